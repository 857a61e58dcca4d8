"""What can be measured on a part, and which way it goes as metal wears."""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.trade.parts import PartKind


class Measurand(StrEnum):
    """A quantity read on a part."""

    PITCH = "pitch"
    BUSH_OD_FORWARD = "bush_od_forward"
    BUSH_OD_REVERSE = "bush_od_reverse"
    RAIL_HEIGHT = "rail_height"
    GROUSER_HEIGHT = "grouser_height"
    PAD_HEIGHT = "pad_height"
    TREAD_DIAMETER = "tread_diameter"
    FLANGE_THICKNESS = "flange_thickness"
    TREAD_DEPTH = "tread_depth"
    ROOT_DIAMETER = "root_diameter"
    TOOTH_THICKNESS = "tooth_thickness"
    SAG = "sag"
    ADJUSTER_EXTENSION = "adjuster_extension"
    LUG_HEIGHT = "lug_height"
    RUBBER_PITCH = "rubber_pitch"
    GUIDE_LUG_WIDTH = "guide_lug_width"
    SLEW_RING_ROCK = "slew_ring_rock"


class Direction(StrEnum):
    """Which way a reading goes as the part wears."""

    FALLS = "falls"
    RISES = "rises"


class Role(StrEnum):
    """Whether a quantity wears, or is set by an adjuster."""

    WEAR = "wear"
    SETTING = "setting"


@dataclass(frozen=True, slots=True)
class MeasurandFacts:
    """The rules of one measurand; how it is read stands in `words/how_read.py`.

    Parameters
    ----------
    parts : tuple of PartKind
        Parts it is read on.
    direction : Direction
        Which way it goes with wear.
    role : Role
        Wear or setting.
    spans_joints : bool
        Read over several joints and divided by their number.
    least_m, most_m : float
        What any tracked machine can show [m]; outside it the reading is held back and asked about. Our own wide bounds.

    References
    ----------
    Our own table; the practice of reading each part is common practice, no source.
    """

    parts: tuple[PartKind, ...]
    direction: Direction
    role: Role
    spans_joints: bool = False
    least_m: float = 0.001
    most_m: float = 3.0


_F, _R = Direction.FALLS, Direction.RISES
_W, _S = Role.WEAR, Role.SETTING
_ROLLERS = (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER)

MEASURANDS: dict[Measurand, MeasurandFacts] = {
    Measurand.PITCH: MeasurandFacts((PartKind.CHAIN,), _R, _W, spans_joints=True, least_m=0.04, most_m=0.6),
    Measurand.BUSH_OD_FORWARD: MeasurandFacts((PartKind.BUSH,), _F, _W, least_m=0.01, most_m=0.2),
    Measurand.BUSH_OD_REVERSE: MeasurandFacts((PartKind.BUSH,), _F, _W, least_m=0.01, most_m=0.2),
    Measurand.RAIL_HEIGHT: MeasurandFacts((PartKind.LINK,), _F, _W, least_m=0.02, most_m=0.4),
    Measurand.GROUSER_HEIGHT: MeasurandFacts((PartKind.SHOE,), _F, _W, least_m=0.001, most_m=0.2),
    Measurand.PAD_HEIGHT: MeasurandFacts((PartKind.PAD,), _F, _W, least_m=0.001, most_m=0.25),
    Measurand.TREAD_DIAMETER: MeasurandFacts(_ROLLERS, _F, _W, least_m=0.04, most_m=0.6),
    Measurand.FLANGE_THICKNESS: MeasurandFacts(_ROLLERS, _F, _W, least_m=0.002, most_m=0.1),
    Measurand.TREAD_DEPTH: MeasurandFacts((PartKind.IDLER,), _R, _W, least_m=0.002, most_m=0.15),
    Measurand.ROOT_DIAMETER: MeasurandFacts((PartKind.SPROCKET,), _F, _W, least_m=0.1, most_m=2.0),
    Measurand.TOOTH_THICKNESS: MeasurandFacts((PartKind.SPROCKET,), _F, _W, least_m=0.005, most_m=0.2),
    Measurand.SAG: MeasurandFacts((PartKind.CHAIN, PartKind.RUBBER_TRACK), _R, _S, least_m=0.0, most_m=1.0),
    Measurand.ADJUSTER_EXTENSION: MeasurandFacts((PartKind.TRACK_ADJUSTER,), _R, _S, least_m=0.0, most_m=1.0),
    Measurand.LUG_HEIGHT: MeasurandFacts((PartKind.RUBBER_TRACK,), _F, _W, least_m=0.001, most_m=0.15),
    Measurand.RUBBER_PITCH: MeasurandFacts(
        (PartKind.RUBBER_TRACK,), _R, _W, spans_joints=True, least_m=0.03, most_m=0.3
    ),
    Measurand.GUIDE_LUG_WIDTH: MeasurandFacts((PartKind.RUBBER_TRACK,), _F, _W, least_m=0.003, most_m=0.2),
    Measurand.SLEW_RING_ROCK: MeasurandFacts((PartKind.SLEW_RING,), _R, _W, least_m=0.0, most_m=0.05),
}


def measurands_of(part: PartKind) -> tuple[Measurand, ...]:
    """The quantities read on a part, in the order they are read.

    Returns
    -------
    tuple of Measurand
        Empty for a part that is only looked at.

    Examples
    --------
    >>> [m.value for m in measurands_of(PartKind.BUSH)]
    ['bush_od_forward', 'bush_od_reverse']
    """
    return tuple(measurand for measurand, words in MEASURANDS.items() if part in words.parts)
