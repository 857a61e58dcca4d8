"""Figures that know where their method ends: outside it there is no number, and a reason stands in its place."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.writing import as_figure

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]
GRAVITY_M_S2 = 9.81
"""Standard gravity, rounded as the sources of this room round it."""


@dataclass(frozen=True, slots=True)
class Checked:
    """A figure of a published method, held against the method's own range.

    Parameters
    ----------
    figure : ndarray, shape (...)
        The figure, in the unit the function names [as its function says]; NaN where the method gives no number.
    outside : tuple of (str, ndarray)
        Reasons why there is no number, as codes, each with where it holds.

    References
    ----------
    Our own: no number outside a method's range.
    """

    figure: Floats
    outside: tuple[tuple[str, Bools], ...] = ()

    @property
    def reasons(self) -> tuple[str, ...]:
        """Reasons that hold somewhere, in the order they were looked at."""
        return tuple(reason for reason, where in self.outside if where.any())

    def zero_where(self, reason: str) -> Floats:
        """The figure, 0 where it has none for one reason.

        Returns
        -------
        ndarray, shape (...)
            The figure [as its function says].
        """
        broken = [where for one, where in self.outside if one == reason]
        return np.where(broken[0], 0.0, self.figure) if broken else self.figure

    @property
    def one(self) -> float | None:
        """The only figure [as its function says]; None where there is no number."""
        figure = float(self.figure)
        return None if math.isnan(figure) else figure


def checked(figure: npt.ArrayLike, *limits: tuple[str, npt.ArrayLike]) -> Checked:
    """A figure with NaN wherever one of the limits is broken.

    Parameters
    ----------
    figure : array_like, shape (...)
        The figure as computed [any unit].
    *limits : tuple of (str, array_like)
        A reason, and where it forbids a number, shape (...) [1].

    Examples
    --------
    >>> found = checked([1.0, 2.0], ("too_much", [False, True]))
    >>> found.figure, found.reasons
    (array([ 1., nan]), ('too_much',))
    """
    found = np.array(figure, dtype=float)
    outside = []
    for reason, broken in limits:
        where = np.broadcast_to(np.asarray(broken, dtype=bool), found.shape)
        found = np.where(where, np.nan, found)
        outside.append((reason, where))
    return Checked(found, tuple(outside))


def above_zero(**figures: npt.ArrayLike) -> None:
    """Refuse figures that are not finite and above zero; NaN means unknown and passes.

    Parameters
    ----------
    **figures : array_like, shape (...)
        By the name a person would use, with underscores [any unit].

    Raises
    ------
    NotAllowedError
        One of them is zero, negative or infinite.
    """
    _refuse(figures, lambda found: found <= 0, "a finite figure above 0")


def zero_or_more(**figures: npt.ArrayLike) -> None:
    """Refuse figures that are negative or infinite; NaN means unknown and passes.

    Parameters
    ----------
    **figures : array_like, shape (...)
        By the name a person would use, with underscores [any unit].

    Raises
    ------
    NotAllowedError
        One of them is negative or infinite.
    """
    _refuse(figures, lambda found: found < 0, "a finite figure of 0 or more")


def _refuse(figures: dict[str, npt.ArrayLike], wrong: Callable[[Floats], Bools], allowed: str) -> None:
    for name, figure in figures.items():
        found = np.asarray(figure, dtype=float)
        bad = np.isinf(found) | wrong(found)
        if bad.any():
            raise NotAllowedError(name.replace("_", " "), as_figure(found[bad].flat[0], "g"), allowed)
