"""Results of ground fit: each figure with its range, its reasons and where its inputs came from."""

from dataclasses import dataclass

from pitchline.ground.going import Going, Task
from pitchline.ground.outcomes import Outcome
from pitchline.ground.soils import Ground
from pitchline.ground.spans import Basis, Span
from pitchline.ground.standing import Standing
from pitchline.trade.saying import Saying, saying

_UNITS = ("n_m3", "kg", "pa", "deg", "w", "m")


def input_code(name: str) -> str:
    """An input's field name without its unit."""
    unit = _unit_of(name)
    return name if unit == "bare" else name.removesuffix(f"_{unit}")


def _unit_of(name: str) -> str:
    return next((unit for unit in _UNITS if name.endswith(f"_{unit}")), "bare")


def range_told(name: str, span: Span) -> Saying | None:
    """A range, such as "3.57 to 3.69 m".

    Returns
    -------
    Saying or None
        Its ends in the input's own unit; None for tested soils, which are no number.
    """
    if name == "terrains":
        return None
    return saying(f"input.range_{_unit_of(name)}", ends=(span.low, span.high))


@dataclass(frozen=True, slots=True)
class Input:
    """One input behind a figure.

    Parameters
    ----------
    name : str
        Field name, its unit in it.
    span : Span
        Its range, where it comes from, and the source.
    """

    name: str
    span: Span

    @property
    def code(self) -> str:
        """Its name without the unit."""
        return input_code(self.name)


@dataclass(frozen=True, slots=True)
class FitFigure:
    """One outcome with its range.

    Parameters
    ----------
    outcome : Outcome
        What it is.
    low, middle, high : float or None
        1 in 10, 1 in 2 and 9 in 10 of the draws lie below [SI, slopes in deg]; None where there is no number.
    without : float
        Share of the draws without a number [1].
    reason : Saying or None
        Why; None where every draw has one.
    inputs : tuple of Input
        What it rests on.

    References
    ----------
    `outcomes.OUTCOMES` names the method.
    """

    outcome: Outcome
    low: float | None
    middle: float | None
    high: float | None
    without: float
    reason: Saying | None
    inputs: tuple[Input, ...]

    def resting_on(self, basis: Basis) -> tuple[str, ...]:
        """Codes of the inputs of one basis."""
        return tuple(one.code for one in self.inputs if one.span.basis is basis)


@dataclass(frozen=True, slots=True)
class GroundFit:
    """One machine on one ground.

    Parameters
    ----------
    ground : Ground
        The ground.
    machine : Standing
        The machine as it was taken.
    task : Task
        Load and slope.
    shoe_width_m : float
        Shoe width [m].
    going : Going
        What is said of it.
    because : Saying
        Why.
    share : float or None
        Share of the draws in which every method lets it go [1]; None where none says anything.
    often_share : float or None
        Share in which the ground carries fifty passes by its cone index [1].
    figures : tuple of FitFigure
        Every outcome.
    ranking : Saying or None
        Where its mean maximum pressure stands among the published limits; for ranking only, None where none apply.
    cautions : tuple of Saying
        What to heed.

    References
    ----------
    Our own; docs/explanation/ground.md.
    """

    ground: Ground
    machine: Standing
    task: Task
    shoe_width_m: float
    going: Going
    because: Saying
    share: float | None
    often_share: float | None
    figures: tuple[FitFigure, ...]
    ranking: Saying | None
    cautions: tuple[Saying, ...]

    @property
    def name(self) -> str:
        """Name of the ground."""
        return self.ground.name

    def figure(self, outcome: Outcome) -> FitFigure:
        """One figure."""
        return next(one for one in self.figures if one.outcome is outcome)
