"""What the drawings of ground fit ask of one machine on one ground, whether it was fitted just now or stored in a verdict."""

from typing import Protocol

from pitchline.ground.going import Going
from pitchline.ground.outcomes import Outcome
from pitchline.trade.saying import Saying


class ToldFigure(Protocol):
    """One outcome: low, middle and high, or why there is no figure."""

    @property
    def low(self) -> float | None:
        """1 in 10 of the cases lie below."""

    @property
    def middle(self) -> float | None:
        """1 in 2 lie below."""

    @property
    def high(self) -> float | None:
        """9 in 10 lie below."""

    @property
    def without(self) -> float:
        """Share of the cases without a number."""

    @property
    def reason(self) -> Saying | None:
        """Why there is none."""


class ToldGround(Protocol):
    """One ground, what is said of it and its figures."""

    @property
    def name(self) -> str:
        """The ground."""

    @property
    def going(self) -> Going:
        """What is said of it."""

    @property
    def because(self) -> Saying | None:
        """Why."""

    def figure(self, outcome: Outcome, /) -> ToldFigure:
        """One figure."""
