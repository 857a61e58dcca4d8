"""What a cause wears faster while it lasts, and in which order causes are mended. No published factor was found: all assumed."""

from dataclasses import dataclass

from pitchline.trade.causes import Cause
from pitchline.trade.measurands import Measurand

_BUSHES = (Measurand.BUSH_OD_FORWARD, Measurand.BUSH_OD_REVERSE)
_TOOTH = (Measurand.ROOT_DIAMETER, Measurand.TOOTH_THICKNESS)


@dataclass(frozen=True, slots=True)
class Moves:
    """What a cause makes wear faster.

    Parameters
    ----------
    measurands : tuple of Measurand
        Which quantities.
    low, high : float
        Times as fast, from and to, 1 or more [1].
    """

    measurands: tuple[Measurand, ...]
    low: float
    high: float


MOVES: dict[Cause, Moves] = {
    Cause.TIGHT: Moves((*_BUSHES, Measurand.ROOT_DIAMETER, Measurand.RUBBER_PITCH), 1.3, 3.0),
    Cause.SLACK: Moves((Measurand.TOOTH_THICKNESS, Measurand.FLANGE_THICKNESS), 1.1, 2.0),
    Cause.PACKING: Moves((*_BUSHES, *_TOOTH), 1.3, 3.0),
    Cause.REVERSE: Moves((Measurand.BUSH_OD_REVERSE,), 1.5, 3.0),
    Cause.ONE_WAY: Moves((Measurand.PITCH, Measurand.RAIL_HEIGHT, Measurand.GROUSER_HEIGHT), 1.2, 1.7),
    Cause.SIDE_HILL: Moves((Measurand.RAIL_HEIGHT, Measurand.FLANGE_THICKNESS), 1.3, 2.0),
    Cause.OUT_OF_LINE: Moves((Measurand.RAIL_HEIGHT, Measurand.FLANGE_THICKNESS), 1.5, 3.0),
    Cause.DRY_JOINTS: Moves((Measurand.PITCH,), 2.0, 5.0),
    Cause.WORN_ROLLERS: Moves((Measurand.RAIL_HEIGHT, Measurand.TREAD_DIAMETER), 1.2, 2.0),
    Cause.SEIZED: Moves((Measurand.RAIL_HEIGHT,), 1.1, 1.4),
    Cause.WIDE_SHOES: Moves((Measurand.GROUSER_HEIGHT, Measurand.PITCH), 1.2, 2.0),
    Cause.UNLIKE_PITCH: Moves(_TOOTH, 1.5, 4.0),
    Cause.WORN_IDLER: Moves((Measurand.RAIL_HEIGHT, Measurand.FLANGE_THICKNESS), 1.2, 1.8),
    Cause.FRAME_OR_SPRING: Moves((Measurand.TREAD_DIAMETER,), 1.2, 2.0),
    Cause.SPIN: Moves((Measurand.LUG_HEIGHT,), 1.5, 4.0),
    Cause.SLACK_OR_WORN_DRIVE: Moves((Measurand.GUIDE_LUG_WIDTH,), 1.3, 3.0),
    Cause.LINE_OR_SLOPES: Moves((Measurand.GUIDE_LUG_WIDTH,), 1.3, 3.0),
}
"""Causes left out move no size: they break something, or wear a seat that is not read."""

MENDED_FIRST: tuple[Cause, ...] = (
    Cause.FRAME_OR_SPRING, Cause.OUT_OF_LINE, Cause.LINE_OR_SLOPES,
    Cause.SEIZED, Cause.WORN_ROLLERS, Cause.WORN_IDLER,
    Cause.UNLIKE_PITCH, Cause.SLACK_OR_WORN_DRIVE, Cause.DRY_JOINTS,
    Cause.WIDE_SHOES, Cause.LOOSE_BOLTS,
    Cause.PACKING,
    Cause.TIGHT, Cause.SLACK, Cause.REVERSE, Cause.ONE_WAY, Cause.SIDE_HILL, Cause.SPIN, Cause.SHARP_GROUND,
    Cause.OVERLOADED_CORD, Cause.WET_CORD, Cause.CORE_LEAVING,
)  # fmt: skip
"""The order in which causes are mended before new parts go on: line and frame, what turns, what drives, shoes, guards, habits."""
