"""The wear line: from a dimension to life used, and back."""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from pitchline.trade.dossier import Limit, LineShape
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.writing import as_figure
from pitchline.wear.curves import Curve, FlatOnRoundCurve, ShapePreservingCurve, StraightCurve, TaperedBarCurve
from pitchline.wear.section import Floats

_BARS = (Measurand.GROUSER_HEIGHT, Measurand.LUG_HEIGHT, Measurand.PAD_HEIGHT)
_ROUNDS = (Measurand.BUSH_OD_FORWARD, Measurand.BUSH_OD_REVERSE)


@dataclass(frozen=True, slots=True)
class WearLine:
    """The curve from a dimension to life used; made by `wear_line`.

    Parameters
    ----------
    limit : Limit
        The yard's new size and limit, with a limit entered.
    curve : Curve
        Life used over the depth worn off.

    References
    ----------
    Definition: life used is 0 when new and 1 at the wear limit.
    """

    limit: Limit
    curve: Curve

    @property
    def limit_m(self) -> float:
        """Size at the wear limit [m]."""
        return self.limit.new_m if self.limit.limit_m is None else self.limit.limit_m

    @property
    def sign(self) -> int:
        """1 where the reading rises with wear, -1 where it falls."""
        return 1 if self.limit_m > self.limit.new_m else -1

    @property
    def zero_is_a_reading(self) -> bool:
        """Whether 0 can be read: the quantity starts or ends at nothing, such as slew ring rock."""
        starts_at_nothing = MEASURANDS[self.limit.measurand].least_m == 0
        return starts_at_nothing or self.limit.new_m == 0 or self.limit_m == 0

    def life_used(self, reading_m: ArrayLike) -> Floats:
        """Share of the wear allowance used up at each reading.

        Parameters
        ----------
        reading_m : array_like, shape (n,)
            Readings [m], above zero; 0 only where the quantity can be nothing. NaN means "not measured" and stays NaN.

        Returns
        -------
        ndarray, shape (n,)
            Life used [1]. Below 0 better than new, above 1 past the limit; never clipped. Beyond the entered points the line
            is carried on: straight with its end slope, or by the section's geometry where it has one.

        Raises
        ------
        NotAllowedError
            A reading is negative, infinite, or zero where that cannot be; the error names its index.

        References
        ----------
        Definition; (new - reading) / (new - limit) for the plain straight line is common practice, no source.

        Examples
        --------
        >>> from pitchline.trade.parts import PartKind
        >>> line = wear_line(Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, new_m=0.110, limit_m=0.100))
        >>> line.life_used([0.110, 0.105, 0.100, 0.099]).round(9).tolist()
        [0.0, 0.5, 1.0, 1.1]
        """
        return self.curve.life(self._depth_m(reading_m))

    def life_doubt(self, reading_m: ArrayLike, u_m: ArrayLike) -> Floats:
        """Standard uncertainty of life used that a reading's own doubt brings.

        Parameters
        ----------
        reading_m : array_like, shape (n,)
            Readings [m], as for `life_used`.
        u_m : array_like, shape (n,)
            Their standard uncertainty [m], zero or more.

        Returns
        -------
        ndarray, shape (n,)
            Half the change of life used from one standard uncertainty below to one above [1]: on a straight line exactly
            slope times doubt, and still honest where the slope is nil, as at the new size of a flat on a round.

        Raises
        ------
        NotAllowedError
            As for `life_used`, or a doubt that is negative or infinite.

        References
        ----------
        JCGM 100:2008 (GUM) 5.1.3, note 2: the change of the result from one standard uncertainty up and down.

        Examples
        --------
        >>> from pitchline.trade.parts import PartKind
        >>> line = wear_line(Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, new_m=0.110, limit_m=0.100))
        >>> line.life_doubt([0.105], [0.0005]).round(6).tolist()
        [0.05]
        """
        depth = self._depth_m(reading_m)
        doubt = np.asarray(u_m, dtype=np.float64)
        _refuse("standard uncertainty", doubt, np.isinf(doubt) | (doubt < 0), "0 or more")
        return (self.curve.life(depth + doubt) - self.curve.life(depth - doubt)) / 2

    def size_m(self, life_used: ArrayLike) -> Floats:
        """The reading that means a given life used: the inverse of `life_used`.

        Parameters
        ----------
        life_used : array_like, shape (n,)
            Life used [1], finite. NaN stays NaN.

        Returns
        -------
        ndarray, shape (n,)
            Size [m]; the new size at 0, the limit at 1. Far past the limit it can come out below zero: there is no such part.

        Raises
        ------
        NotAllowedError
            An infinite life used; the error names its index.

        Examples
        --------
        >>> from pitchline.trade.parts import PartKind
        >>> line = wear_line(Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, new_m=0.110, limit_m=0.100))
        >>> line.size_m([0.0, 0.5, 1.0]).round(9).tolist()
        [0.11, 0.105, 0.1]
        """
        life = np.asarray(life_used, dtype=np.float64)
        _refuse("life used", life, np.isinf(life), "a finite figure")
        size = self.limit.new_m + self.sign * self.curve.depth(life)
        return np.where(life == 1, self.limit_m, size)

    def is_beyond(self, reading_m: ArrayLike) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """Whether each reading lies outside new-to-limit, where the line is carried on.

        Parameters
        ----------
        reading_m : array_like, shape (n,)
            Readings [m], as for `life_used`.

        Returns
        -------
        ndarray, shape (n,)
            True outside; False inside, at the ends, and for NaN.

        Raises
        ------
        NotAllowedError
            As for `life_used`.

        Examples
        --------
        >>> from pitchline.trade.parts import PartKind
        >>> line = wear_line(Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, new_m=0.110, limit_m=0.100))
        >>> line.is_beyond([0.111, 0.110, 0.100, 0.099]).tolist()
        [True, False, False, True]
        """
        reading = self._checked(reading_m)
        low, high = sorted((self.limit.new_m, self.limit_m))
        return (reading < low) | (reading > high)

    def _checked(self, reading_m: ArrayLike) -> Floats:
        reading = np.asarray(reading_m, dtype=np.float64)
        wrong = np.isinf(reading) | (reading <= 0)
        if wrong.any():
            zero = self.zero_is_a_reading
            allowed = "a finite length of 0 or more" if zero else "a finite length above 0"
            _refuse(
                phrase("{quantity:quantity}", quantity=self.limit.measurand),
                reading,
                wrong & ((reading != 0) | (not zero)),
                allowed,
            )
        return reading

    def _depth_m(self, reading_m: ArrayLike) -> Floats:
        """Depth worn off, below zero for better than new."""
        reading = self._checked(reading_m)
        return self.sign * (reading - self.limit.new_m)


def _refuse(
    field: str, seen: Floats, wrong: np.ndarray[tuple[int, ...], np.dtype[np.bool_]], allowed: str
) -> None:
    if wrong.any():
        index = int(np.flatnonzero(wrong)[0])
        raise NotAllowedError(
            phrase("{field}, number {index}", field=field, index=index),
            as_figure(np.ravel(seen)[index], "g"),
            allowed,
            "Read it again.",
        )


def wear_line(limit: Limit) -> WearLine:
    """The wear line of one quantity from the yard's own new size and limit.

    Parameters
    ----------
    limit : Limit
        New size, wear limit, points between and shape. Sizes [m], life used [1].

    Returns
    -------
    WearLine
        Strictly one way, 0 at new and 1 at the limit. The two geometric shapes make life used proportional to the worn volume,
        which grows in a straight line with hours of the same work.

    Raises
    ------
    NotAllowedError
        No limit is entered, a size is not finite, points between lie outside new-to-limit or do not go strictly one way, or
        the shape does not suit the quantity or lacks its widths.

    References
    ----------
    Definition; sections in `pitchline.wear.section`.

    Examples
    --------
    >>> from pitchline.trade.parts import PartKind
    >>> line = wear_line(Limit(PartKind.BUSH, Measurand.BUSH_OD_FORWARD, new_m=0.060, limit_m=0.054,
    ...                        shape=LineShape.FLAT_ON_ROUND))
    >>> line.life_used([0.060, 0.057, 0.054]).round(4).tolist()
    [0.0, 0.3592, 1.0]
    """
    label = phrase("{quantity:quantity}, {part:part}", quantity=limit.measurand, part=limit.part)
    if limit.limit_m is None:
        raise NotAllowedError(
            phrase("{label}, limit", label=label), "no limit entered", "a size", "Enter the yard's own wear limit."
        )
    if not (math.isfinite(limit.new_m) and math.isfinite(limit.limit_m)):
        raise NotAllowedError(
            phrase("{label}, limit", label=label),
            phrase(
                "{new_m} to {limit_m} m", new_m=as_figure(limit.new_m, "g"), limit_m=as_figure(limit.limit_m, "g")
            ),
            "finite sizes",
        )
    curve: Curve
    if limit.shape is LineShape.TAPERED_BAR:
        curve = _tapered_bar(limit, limit.limit_m, label)
    elif limit.shape is LineShape.FLAT_ON_ROUND:
        curve = _flat_on_round(limit, limit.limit_m, label)
    else:
        depths_m, lives = _points(limit, limit.limit_m, label)
        straight = limit.shape is LineShape.STRAIGHT
        curve = StraightCurve(depths_m, lives) if straight else ShapePreservingCurve(depths_m, lives)
    return WearLine(limit, curve)


def _points(limit: Limit, limit_m: float, label: str) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Depth and life used of new, the points between and the limit."""
    points = ((limit.new_m, 0.0), *limit.between, (limit_m, 1.0))
    sign = 1 if limit_m > limit.new_m else -1
    for before, after in pairwise(points):
        if not (sign * (after[0] - before[0]) > 0 and after[1] > before[1]):
            wrong = after if after in limit.between else before
            allowed = phrase(
                "sizes strictly between {new_m} and {limit_m} mm in order from new to limit, with life used strictly rising "
                "between 0 and 1",
                new_m=as_figure(limit.new_m * 1e3, "g"),
                limit_m=as_figure(limit_m * 1e3, "g"),
            )
            raise NotAllowedError(
                phrase("{label}, points between", label=label),
                phrase(
                    "{wrong} mm at life used {wrong_2}",
                    wrong=as_figure(wrong[0] * 1e3, "g"),
                    wrong_2=as_figure(wrong[1], "g"),
                ),
                allowed,
                "Correct this point or leave it out.",
            )
    depths_m = tuple(sign * (size_m - limit.new_m) for size_m, _ in points)
    return depths_m, tuple(life for _, life in points)


def _no_points(limit: Limit, label: str) -> None:
    if limit.between:
        raise NotAllowedError(
            phrase("{label}, points between", label=label),
            phrase("{between} points", between=len(limit.between)),
            phrase("none for the shape {shape}, which follows from the section", shape=limit.shape.value),
            "Leave the points out, or take the straight or shape-preserving line.",
        )


def _tapered_bar(limit: Limit, limit_m: float, label: str) -> TaperedBarCurve:
    _no_points(limit, label)
    if limit.measurand not in _BARS:
        raise NotAllowedError(
            phrase("{label}, shape", label=label),
            limit.shape.value,
            "heights of grouser, pad and lug",
            "Take the straight line.",
        )
    tip_m, root_m = limit.tip_width_m, limit.root_width_m
    if tip_m is None or root_m is None or not 0 < tip_m <= root_m < math.inf:
        seen = " and ".join(
            "nothing" if width is None else f"{as_figure(width * 1e3, 'g')} mm" for width in (tip_m, root_m)
        )
        raise NotAllowedError(
            phrase("{label}, width at tip and root", label=label),
            seen,
            "two widths above 0, the root at least as wide as the tip",
            "Enter both widths, or take the straight line.",
        )
    return TaperedBarCurve(tip_m, root_m, limit.new_m, limit.new_m - limit_m)


def _flat_on_round(limit: Limit, limit_m: float, label: str) -> FlatOnRoundCurve:
    _no_points(limit, label)
    if limit.measurand not in _ROUNDS:
        raise NotAllowedError(
            phrase("{label}, shape", label=label), limit.shape.value, "bush diameters", "Take the straight line."
        )
    if limit_m < limit.new_m / 2:
        raise NotAllowedError(
            phrase("{label}, limit", label=label),
            f"{as_figure(limit_m * 1e3, 'g')} mm",
            phrase(
                "at least half the new diameter, {new_m} mm, for a flat on a round",
                new_m=as_figure(limit.new_m * 5e2, "g"),
            ),
            "Check the limit, or take the straight line.",
        )
    return FlatOnRoundCurve(limit.new_m / 2, limit.new_m - limit_m)
