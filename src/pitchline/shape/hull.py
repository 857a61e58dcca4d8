"""The taut outer loop round any number of circles: which ones it touches, its tangents and its length."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from pitchline.shape.numbers import Floats, above_zero
from pitchline.trade.errors import NotAllowedError

_TURN = 2 * np.pi


@dataclass(frozen=True, slots=True)
class TautLoop:
    """A taut loop round circles, run through anticlockwise.

    Parameters
    ----------
    touched : tuple of int
        Circles it touches, by number, in order; one that is touched twice stands twice.
    leaves_rad : tuple of float
        Direction from each touched circle's centre to where the loop leaves it [rad], rising; the first arc begins where
        the last straight arrives, one turn earlier.
    length_m : float
        Length of the loop [m].
    """

    touched: tuple[int, ...]
    leaves_rad: tuple[float, ...]
    length_m: float


def taut_loop(x_m: ArrayLike, y_m: ArrayLike, radius_m: ArrayLike) -> TautLoop:
    """The convex loop round circles, as a tight belt lies.

    Parameters
    ----------
    x_m, y_m : array_like, shape (n,)
        Centres [m], any sign.
    radius_m : array_like, shape (n,)
        Radii [m], above zero.

    Returns
    -------
    TautLoop
        What it touches, and its length [m].

    Raises
    ------
    NotAllowedError
        No circle, or a radius not above zero.

    References
    ----------
    Derived: walking round the directions, the loop lies on the circle that reaches furthest; it leaves circle i for j where
    both reach equally far. Tangent sqrt(D^2 - (ri - rj)^2), arcs r theta.

    Examples
    --------
    >>> round(taut_loop([0, 0.4, 0], [0, 0, 0.3], [0.05] * 3).length_m * 1e3, 3)
    1514.159
    """
    x, y, r = (np.atleast_1d(np.asarray(one, dtype=np.float64)) for one in (x_m, y_m, radius_m))
    if not r.size:
        raise NotAllowedError("circles", "none", "one or more")
    above_zero("radius", r)
    here, start = int(np.argmax(x + r)), 0.0
    first, angle, length = here, start, 0.0
    touched, leaves = [], []
    for _ in range(4 * r.size + 4):
        turn, there = _next(x, y, r, here, angle)
        turn = min(turn, start + _TURN - angle)
        length += r[here] * turn
        angle += turn
        if there is None or angle >= start + _TURN - 1e-13:
            break
        length += float(
            np.sqrt(max((x[there] - x[here]) ** 2 + (y[there] - y[here]) ** 2 - (r[here] - r[there]) ** 2, 0))
        )
        touched.append(here)
        leaves.append(angle)
        here = there
    return TautLoop(tuple(touched or [first]), tuple(leaves or [start]), float(length))


def _next(x: Floats, y: Floats, r: Floats, here: int, angle: float) -> tuple[float, int | None]:
    """Turn until another circle reaches further than this one, and that circle; a whole turn and None where none does."""
    dx, dy, less = x - x[here], y - y[here], r[here] - r
    apart = np.hypot(dx, dy)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = less / apart
    reaches = (apart > np.abs(less)) & (np.arange(r.size) != here)
    if not np.any(reaches):
        return _TURN, None
    rises = np.arctan2(dy, dx) - np.arccos(np.clip(np.where(reaches, share, 0.0), -1, 1))
    turns = np.where(reaches, np.mod(rises - angle, _TURN), np.inf)
    turns = np.where(np.isfinite(turns) & (turns > _TURN - 1e-12), 0.0, turns)
    soonest = float(turns.min())
    ties = np.flatnonzero(turns <= soonest + 1e-12)
    return soonest, int(ties[np.argmax(apart[ties])])
