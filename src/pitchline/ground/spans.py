"""Inputs as ranges that say where they come from, and even draws from them."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from pitchline.ground.checked import Floats
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.even_points import even_points
from pitchline.trade.saying import Saying
from pitchline.trade.writing import as_figure


class Basis(StrEnum):
    """Where an input comes from."""

    MEASURED = "measured"
    LISTED = "listed"
    ASSUMED = "assumed"


@dataclass(frozen=True, slots=True)
class Span:
    """One input as a range; nothing inside it is likelier than the rest.

    Parameters
    ----------
    low, high : float
        Its ends [as its name says]; equal where it is taken as exact.
    basis : Basis
        Measured on this machine or ground, listed in a file or table, or assumed by us.
    source : Saying or None
        Where the figures are from.

    Raises
    ------
    NotAllowedError
        Ends that are not finite, or the wrong way round.
    """

    low: float
    high: float
    basis: Basis
    source: Saying | None = None

    def __post_init__(self) -> None:
        if not (np.isfinite(self.low) and np.isfinite(self.high) and self.low <= self.high):
            raise NotAllowedError(
                "range",
                phrase("{low} to {high}", low=as_figure(self.low, "g"), high=as_figure(self.high, "g")),
                "a finite lower end and a higher one",
            )

    def at(self, share: Floats) -> Floats:
        """The input at shares of the way from its low to its high end.

        Parameters
        ----------
        share : ndarray, shape (n,)
            Shares, 0 to 1 [1].

        Returns
        -------
        ndarray, shape (n,)
            The input [as its name says].
        """
        return self.low + share * (self.high - self.low)


def exact(figure: float, basis: Basis, source: Saying | None = None) -> Span:
    """An input taken as exact.

    Parameters
    ----------
    figure : float
        The input [as its name says].
    basis : Basis
        Where it comes from.
    source : Saying or None
        Where exactly.
    """
    return Span(figure, figure, basis, source)


def within(figure: float, share: float, basis: Basis, source: Saying | None = None) -> Span:
    """An input known to a share of itself.

    Parameters
    ----------
    figure : float
        Its middle [as its name says].
    share : float
        How far either end is off it [1], zero or more.
    basis : Basis
        Where it comes from.
    source : Saying or None
        Where exactly.
    """
    return Span(figure * (1 - share), figure * (1 + share), basis, source)


def even_shares(inputs: int, draws: int, seed: int) -> Floats:
    """Shares of the way through each input's range, spread evenly over all of them together.

    Parameters
    ----------
    inputs : int
        How many inputs, 1 or more.
    draws : int
        How many draws, 1 or more.
    seed : int
        Where chance starts, zero or more.

    Returns
    -------
    ndarray, shape (inputs, draws)
        Shares inside [0, 1) [1], the same for the same seed.

    References
    ----------
    `pitchline.trade.even_points`, cut off where the count is not a power of two.

    Examples
    --------
    >>> even_shares(3, 4, 1).shape
    (3, 4)
    """
    return even_points(inputs, 2 ** max(int(np.ceil(np.log2(draws))), 0), seed)[:draws].T
