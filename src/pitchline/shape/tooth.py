"""The sprocket's outline, new and worn: seats the bushes lie in, flanks, tips.

Seats are arcs a little wider than the bush, flanks rise straight from them: an outline of our own that has the sizes read on it,
root across teeth and tooth thickness. It is no standard's tooth form.
"""

import math
from dataclasses import dataclass

import numpy as np

from pitchline.shape.numbers import Floats
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_figure

_SEAT_WIDER, _TIP_OUT = 1.04, 0.42
_LEAVES = 0.85
"""No tooth is drawn thinner than what this share of it leaves."""
_SEAT_STEPS, _SEAT_SWEEP, _LEAST_SWEEP = 9, 0.46 * math.pi, 0.1 * math.pi
_HOLLOW_FROM = 0.45
"""Share of the flank, from the tip down, after which all of the loss is gone."""


@dataclass(frozen=True, slots=True)
class ToothSizes:
    """What one sprocket's outline is drawn from.

    Parameters
    ----------
    teeth : int
        Counted teeth, 5 or more.
    circle_m : float
        Radius of the circle through new joint centres [m], above zero.
    bush_m : float
        New bush outside diameter [m], above zero.
    root_lost_m : float
        How much smaller the root diameter is than new [m], zero or more.
    thickness_lost_m : float
        How much thinner a tooth is than new where the bush bears [m], zero or more.

    Raises
    ------
    NotAllowedError
        Sizes that make no tooth.
    """

    teeth: int
    circle_m: float
    bush_m: float
    root_lost_m: float = 0.0
    thickness_lost_m: float = 0.0

    def __post_init__(self) -> None:
        chord = 2 * self.circle_m * math.sin(math.pi / max(self.teeth, 2))
        if self.teeth < 5 or not 0 < self.bush_m < chord:
            raise NotAllowedError(
                "sprocket",
                phrase("{teeth} teeth, bush {bush_m} m", teeth=self.teeth, bush_m=as_figure(self.bush_m, "g")),
                "5 teeth or more, gaps wider than the bush",
            )


def tooth_gap(sizes: ToothSizes) -> Floats:
    """The outline from one tooth's tip through the gap to the next tip, the gap's middle at the top.

    Returns
    -------
    ndarray, shape (n, 2)
        Corners from the right tip to the left one, from the wheel's centre [m]. Wear lies on the right flank, which pushes the
        bush when the wheel turns anticlockwise.

    References
    ----------
    Our own outline. Root radius: circle less half a bush, less half the loss. Tooth thickness falls on one flank.

    Examples
    --------
    >>> gap = tooth_gap(ToothSizes(25, 0.4021, 0.06))
    >>> round(float(np.hypot(*gap.T).min()), 4)
    0.3721
    """
    seat = sizes.bush_m / 2 * _SEAT_WIDER
    middle = sizes.circle_m + seat - sizes.bush_m / 2 - sizes.root_lost_m / 2
    half_rad = math.pi / sizes.teeth
    tip = sizes.circle_m + _TIP_OUT * sizes.bush_m
    land = max(min(0.34 * (sizes.circle_m * half_rad - sizes.bush_m / 2), tip * half_rad), 0.002)
    corner = np.array([tip * math.sin(half_rad - land / tip), tip * math.cos(half_rad - land / tip)])
    start = np.array([tip * math.sin(half_rad), tip * math.cos(half_rad)])
    sweep = _sweep(corner, seat, middle)
    lowest = np.linspace(sweep, -sweep, _SEAT_STEPS)
    bottom = np.column_stack([seat * np.sin(lowest), middle - seat * np.cos(lowest)])
    lost = min(sizes.thickness_lost_m, _LEAVES * 2 * (sizes.circle_m * half_rad - seat))
    flank = _flank(corner, bottom[0], lost, land, half_rad)
    bottom[:, 0] += lost * np.maximum(bottom[:, 0] / bottom[0, 0], 0.0)
    return np.vstack([start, flank, bottom[1:], corner * (-1, 1), start * (-1, 1)])


def _sweep(corner: Floats, seat: float, middle: float) -> float:
    """How far round from its bottom the seat goes until a straight flank leaves it smoothly for the tip [rad]."""
    x, y = float(corner[0]), float(corner[1]) - middle
    away = math.hypot(x, y)
    if away <= seat:
        return _SEAT_SWEEP
    return min(max(math.atan2(x, -y) - math.acos(seat / away), _LEAST_SWEEP), _SEAT_SWEEP)


def _flank(corner: Floats, foot: Floats, lost: float, land: float, half_rad: float) -> Floats:
    """From the tip's corner down to the seat; what is lost is hollowed where the bush bears and leaves a hook at the tip."""
    if not lost:
        return np.vstack([corner, foot])
    along = np.linspace(0.0, 1.0, 9)
    line = corner + (foot - corner) * along[:, None]
    at_tip = min(0.3 * lost, _LEAVES * land)
    hollow = at_tip + (lost - at_tip) * np.sin(np.pi / 2 * np.minimum(along / _HOLLOW_FROM, 1.0))
    thick = 2 * (line[:, 1] * math.sin(half_rad) - line[:, 0] * math.cos(half_rad))
    line[:, 0] += np.minimum(hollow, _LEAVES * thick)
    return line


def sprocket_outline(sizes: ToothSizes, first_gap_rad: float) -> Floats:
    """The whole sprocket's outline, one gap pointing in a given direction.

    Parameters
    ----------
    sizes : ToothSizes
        New sizes and what is lost.
    first_gap_rad : float
        Direction of the middle of one gap [rad], from level forward, anticlockwise.

    Returns
    -------
    ndarray, shape (n, 2)
        Corners of the closed outline, from the wheel's centre [m].

    Examples
    --------
    >>> bool(len(sprocket_outline(ToothSizes(25, 0.4021, 0.06), 0.0)) % 25 == 0)
    True
    """
    gap = tooth_gap(sizes)[:-1]
    turns = first_gap_rad - np.pi / 2 + 2 * np.pi / sizes.teeth * np.arange(sizes.teeth)
    cos, sin = np.cos(turns)[:, None], np.sin(turns)[:, None]
    x, y = gap.T
    return np.stack([cos * x - sin * y, sin * x + cos * y], axis=-1).reshape(-1, 2)
