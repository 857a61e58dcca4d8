"""The shapes a wear line can have, each as life used over the depth worn off."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from pitchline.wear.section import Floats, segment_area_m2, segment_depth_m, tapered_bar_area_m2

if TYPE_CHECKING:
    from scipy.interpolate import CubicHermiteSpline

FLATTEST_END = 0.1
"""An end slope of the shape-preserving curve is at least this share of its last piece's; else it could not be carried on."""


class Curve(Protocol):
    """Life used over depth, strictly rising over all depths, 0 at depth 0."""

    def life(self, depth_m: Floats) -> Floats:
        """Life used [1] at each depth worn off [m].

        Parameters
        ----------
        depth_m : ndarray, shape (n,)
            Depth worn off [m], finite, any sign; NaN stays NaN.

        Returns
        -------
        ndarray, shape (n,)
            Life used [1].
        """
        ...

    def depth(self, life_used: Floats) -> Floats:
        """Depth worn off [m] at each life used [1].

        Parameters
        ----------
        life_used : ndarray, shape (n,)
            Life used [1], finite, any sign; NaN stays NaN.

        Returns
        -------
        ndarray, shape (n,)
            Depth worn off [m], below zero for better than new.
        """
        ...


@dataclass(frozen=True, slots=True)
class StraightCurve:
    """Straight pieces through points, carried on in a straight line at both ends.

    Parameters
    ----------
    depths_m, lives : tuple of float
        Depth [m] and life used [1] of each point, both strictly rising, two points or more.
    """

    depths_m: tuple[float, ...]
    lives: tuple[float, ...]

    def life(self, depth_m: Floats) -> Floats:
        """Life used [1] at each depth [m].

        Parameters
        ----------
        depth_m : ndarray, shape (n,)
            Depth worn off [m], finite, any sign; NaN stays NaN.

        Returns
        -------
        ndarray, shape (n,)
            Life used [1].
        """
        return _carried_on(depth_m, self.depths_m, self.lives)

    def depth(self, life_used: Floats) -> Floats:
        """Depth [m] at each life used [1].

        Parameters
        ----------
        life_used : ndarray, shape (n,)
            Life used [1], finite, any sign; NaN stays NaN.

        Returns
        -------
        ndarray, shape (n,)
            Depth worn off [m], below zero for better than new.
        """
        return _carried_on(life_used, self.lives, self.depths_m)


def _carried_on(at: Floats, along: tuple[float, ...], up: tuple[float, ...]) -> Floats:
    """Straight pieces through points, the first and last carried on."""
    if len(along) == 2:  # nearly every line, asked for thousands of times
        share = (at - along[0]) / (along[1] - along[0])
        return up[0] * (1 - share) + up[1] * share
    x, y = np.array(along, dtype=np.float64), np.array(up, dtype=np.float64)
    piece = np.searchsorted(x[1:-1], at, side="right")
    share = (at - x[piece]) / (x[piece + 1] - x[piece])
    return y[piece] * (1 - share) + y[piece + 1] * share


@dataclass(frozen=True, slots=True)
class ShapePreservingCurve:
    """A smooth curve through points that never turns back, carried on in a straight line at both ends.

    Parameters
    ----------
    depths_m, lives : tuple of float
        Depth [m] and life used [1] of each point, both strictly rising, two points or more.

    References
    ----------
    Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300, as in scipy's PchipInterpolator (reference from its
    documentation). Our own addition: an end slope below a tenth of its piece's is raised to that.
    """

    depths_m: tuple[float, ...]
    lives: tuple[float, ...]

    def _spline(self) -> "CubicHermiteSpline":
        from scipy.interpolate import (  # slow to load, and few lines are so shaped
            CubicHermiteSpline,
            PchipInterpolator,
        )

        x, y = np.array(self.depths_m), np.array(self.lives)
        slopes = np.array(PchipInterpolator(x, y).derivative()(x), dtype=np.float64)
        pieces = np.diff(y) / np.diff(x)
        slopes[0] = max(slopes[0], FLATTEST_END * pieces[0])
        slopes[-1] = max(slopes[-1], FLATTEST_END * pieces[-1])
        return CubicHermiteSpline(x, y, slopes)

    def _end_slopes(self, spline: "CubicHermiteSpline") -> tuple[float, float]:
        first, last = spline.derivative()(np.array([self.depths_m[0], self.depths_m[-1]]))
        return float(first), float(last)

    def life(self, depth_m: Floats) -> Floats:
        """Life used [1] at each depth [m].

        Parameters
        ----------
        depth_m : ndarray, shape (n,)
            Depth worn off [m], finite, any sign; NaN stays NaN.

        Returns
        -------
        ndarray, shape (n,)
            Life used [1].
        """
        spline = self._spline()
        first, last = self._end_slopes(spline)
        low, high = self.depths_m[0], self.depths_m[-1]
        inside = np.asarray(spline(np.clip(depth_m, low, high)), dtype=np.float64)
        return inside + first * np.minimum(depth_m - low, 0.0) + last * np.maximum(depth_m - high, 0.0)

    def depth(self, life_used: Floats) -> Floats:
        """Depth [m] at each life used [1], by halving the interval.

        Parameters
        ----------
        life_used : ndarray, shape (n,)
            Life used [1], finite, any sign; NaN stays NaN.

        Returns
        -------
        ndarray, shape (n,)
            Depth worn off [m], below zero for better than new.
        """
        spline = self._spline()
        first, last = self._end_slopes(spline)
        target = np.clip(life_used, self.lives[0], self.lives[-1])
        low = np.full_like(target, self.depths_m[0])
        high = np.full_like(target, self.depths_m[-1])
        for _ in range(60):
            middle = (low + high) / 2
            short = spline(middle) < target
            low, high = np.where(short, middle, low), np.where(short, high, middle)
        beyond = np.minimum(life_used - self.lives[0], 0.0) / first
        beyond += np.maximum(life_used - self.lives[-1], 0.0) / last
        at_end = (target == self.lives[0]) | (target == self.lives[-1])
        ends = np.where(target == self.lives[0], self.depths_m[0], self.depths_m[-1])
        return np.where(at_end, ends, (low + high) / 2) + beyond


@dataclass(frozen=True, slots=True)
class TaperedBarCurve:
    """Worn volume of a bar that widens from tip to root, over its volume at the limit.

    Above the new tip and below the root it is carried on in a straight line.

    Parameters
    ----------
    tip_width_m, root_width_m, new_height_m : float
        The new bar's section [m], above zero, the root at least as wide as the tip.
    limit_depth_m : float
        Height worn off at the limit [m], above 0 up to the new height.

    References
    ----------
    `pitchline.wear.section.tapered_bar_area_m2`.
    """

    tip_width_m: float
    root_width_m: float
    new_height_m: float
    limit_depth_m: float

    def _area_m2(self, depth_m: Floats) -> Floats:
        return tapered_bar_area_m2(depth_m, self.tip_width_m, self.root_width_m, self.new_height_m)

    def _limit_area_m2(self) -> float:
        return float(self._area_m2(np.array(self.limit_depth_m)))

    def life(self, depth_m: Floats) -> Floats:
        """Life used [1] at each depth [m].

        Parameters
        ----------
        depth_m : ndarray, shape (n,)
            Depth worn off [m], finite, any sign; NaN stays NaN.

        Returns
        -------
        ndarray, shape (n,)
            Life used [1].
        """
        on_bar = self._area_m2(np.clip(depth_m, 0.0, self.new_height_m))
        above = self.tip_width_m * np.minimum(depth_m, 0.0)
        below = self.root_width_m * np.maximum(depth_m - self.new_height_m, 0.0)
        return (on_bar + above + below) / self._limit_area_m2()

    def depth(self, life_used: Floats) -> Floats:
        """Depth [m] at each life used [1].

        Parameters
        ----------
        life_used : ndarray, shape (n,)
            Life used [1], finite, any sign; NaN stays NaN.

        Returns
        -------
        ndarray, shape (n,)
            Depth worn off [m], below zero for better than new.
        """
        area = life_used * self._limit_area_m2()
        whole = (self.tip_width_m + self.root_width_m) / 2 * self.new_height_m
        taper = (self.root_width_m - self.tip_width_m) / self.new_height_m
        on_bar = np.clip(area, 0.0, whole)
        root = np.sqrt(self.tip_width_m**2 + 2 * taper * on_bar)
        above = np.minimum(area, 0.0) / self.tip_width_m
        below = np.maximum(area - whole, 0.0) / self.root_width_m
        return 2 * on_bar / (self.tip_width_m + root) + above + below


@dataclass(frozen=True, slots=True)
class FlatOnRoundCurve:
    """Worn volume of a round worn flat on one side, over its volume at the limit.

    A round larger than new counts as negative by the same amount a round as much smaller would count, since the slope at new
    is nil and no straight line could be carried on. Deeper than half the round it is carried on in a straight line.

    Parameters
    ----------
    radius_m : float
        Radius when new [m], above zero.
    limit_depth_m : float
        Depth of the flat at the limit [m], above 0 up to the radius.

    References
    ----------
    `pitchline.wear.section.segment_area_m2`; the mirror image above new is our own choice.
    """

    radius_m: float
    limit_depth_m: float

    def _limit_area_m2(self) -> float:
        return float(segment_area_m2(self.radius_m, self.limit_depth_m))

    def life(self, depth_m: Floats) -> Floats:
        """Life used [1] at each depth [m].

        Parameters
        ----------
        depth_m : ndarray, shape (n,)
            Depth worn off [m], finite, any sign; NaN stays NaN.

        Returns
        -------
        ndarray, shape (n,)
            Life used [1].
        """
        deep = np.abs(depth_m)
        area = segment_area_m2(self.radius_m, np.minimum(deep, self.radius_m))
        area = area + 2 * self.radius_m * np.maximum(deep - self.radius_m, 0.0)
        return np.sign(depth_m) * area / self._limit_area_m2()

    def depth(self, life_used: Floats) -> Floats:
        """Depth [m] at each life used [1].

        Parameters
        ----------
        life_used : ndarray, shape (n,)
            Life used [1], finite, any sign; NaN stays NaN.

        Returns
        -------
        ndarray, shape (n,)
            Depth worn off [m], below zero for better than new.
        """
        area = np.abs(life_used) * self._limit_area_m2()
        half = np.pi * self.radius_m**2 / 2
        deep = segment_depth_m(self.radius_m, np.minimum(area, half))
        return np.sign(life_used) * (deep + np.maximum(area - half, 0.0) / (2 * self.radius_m))
