"""Sizes by which a part is told from others of its kind, and how each changes as it wears."""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.trade.measurands import Direction
from pitchline.trade.parts import PartKind


class PartSize(StrEnum):
    """A size, a count or a word that a part is known by."""

    PITCH = "pitch"
    PIN_DIAMETER = "pin_diameter"
    BUSH_DIAMETER = "bush_diameter"
    LINK_HEIGHT = "link_height"
    INSIDE_WIDTH = "inside_width"
    BOLTS_ALONG = "bolts_along"
    BOLTS_ACROSS = "bolts_across"
    BOLT_DIAMETER = "bolt_diameter"
    JOINTS = "joints"
    WIDTH = "width"
    GROUSER_HEIGHT = "grouser_height"
    GROUSERS = "grousers"
    TREAD_DIAMETER = "tread_diameter"
    FLANGE_DIAMETER = "flange_diameter"
    SHAFT_DIAMETER = "shaft_diameter"
    FLANGES = "flanges"
    TEETH = "teeth"
    ROOT_DIAMETER = "root_diameter"
    TIP_DIAMETER = "tip_diameter"
    BOLT_CIRCLE = "bolt_circle"
    BOLTS = "bolts"
    BORE = "bore"
    RUBBER_PITCH = "rubber_pitch"
    LINKS = "links"
    GUIDE = "guide"


class Told(StrEnum):
    """How a size is told."""

    LENGTH = "length"
    COUNT = "count"
    WORD = "word"


@dataclass(frozen=True, slots=True)
class PartSizeFacts:
    """How one size is told, and how it wears.

    Parameters
    ----------
    parts : tuple of PartKind
        Parts it is known of.
    told : Told
        A length, a count or a word.
    wears : Direction or None
        Which way it goes with wear; None where it stays.
    allowance : float
        Wear allowance where the table says none, as a share of the new size [1]: an assumption, wide on purpose.
    least_m, most_m : float
        What any tracked machine has [m]: our own wide bounds, for "none of these".
    """

    parts: tuple[PartKind, ...]
    told: Told = Told.LENGTH
    wears: Direction | None = None
    allowance: float = 0.0
    least_m: float = 0.001
    most_m: float = 3.0


_P, _F, _R = PartKind, Direction.FALLS, Direction.RISES
_ROLLERS = (_P.BOTTOM_ROLLER, _P.UPPER_ROLLER)
_TURNS = (*_ROLLERS, _P.IDLER)

PART_SIZES: dict[PartSize, PartSizeFacts] = {
    PartSize.PITCH: PartSizeFacts((_P.CHAIN, _P.SPROCKET), wears=_R, allowance=0.03, least_m=0.08, most_m=0.35),
    PartSize.PIN_DIAMETER: PartSizeFacts((_P.CHAIN,), wears=_F, allowance=0.1, least_m=0.015, most_m=0.1),
    PartSize.BUSH_DIAMETER: PartSizeFacts(
        (_P.CHAIN, _P.SPROCKET), wears=_F, allowance=0.15, least_m=0.02, most_m=0.15
    ),
    PartSize.LINK_HEIGHT: PartSizeFacts((_P.CHAIN,), wears=_F, allowance=0.15, least_m=0.04, most_m=0.25),
    PartSize.INSIDE_WIDTH: PartSizeFacts((_P.CHAIN,), least_m=0.03, most_m=0.3),
    PartSize.BOLTS_ALONG: PartSizeFacts((_P.CHAIN, _P.SHOE, _P.PAD, *_ROLLERS), least_m=0.03, most_m=0.4),
    PartSize.BOLTS_ACROSS: PartSizeFacts((_P.CHAIN, _P.SHOE, _P.PAD, *_ROLLERS), least_m=0.03, most_m=0.7),
    PartSize.BOLT_DIAMETER: PartSizeFacts(
        (_P.CHAIN, _P.SHOE, _P.PAD, _P.SPROCKET, *_ROLLERS), least_m=0.008, most_m=0.04
    ),
    PartSize.JOINTS: PartSizeFacts((_P.CHAIN,), Told.COUNT),
    PartSize.WIDTH: PartSizeFacts(
        (_P.SHOE, _P.PAD, _P.RUBBER_TRACK, _P.SPROCKET, *_TURNS), least_m=0.02, most_m=1.5
    ),
    PartSize.GROUSER_HEIGHT: PartSizeFacts((_P.SHOE,), wears=_F, allowance=0.7, least_m=0.01, most_m=0.15),
    PartSize.GROUSERS: PartSizeFacts((_P.SHOE,), Told.COUNT),
    PartSize.TREAD_DIAMETER: PartSizeFacts(_TURNS, wears=_F, allowance=0.15, least_m=0.05, most_m=1.2),
    PartSize.FLANGE_DIAMETER: PartSizeFacts(_TURNS, wears=_F, allowance=0.05, least_m=0.06, most_m=1.3),
    PartSize.SHAFT_DIAMETER: PartSizeFacts(_TURNS, least_m=0.02, most_m=0.2),
    PartSize.FLANGES: PartSizeFacts(_ROLLERS, Told.COUNT),
    PartSize.TEETH: PartSizeFacts((_P.SPROCKET,), Told.COUNT),
    PartSize.ROOT_DIAMETER: PartSizeFacts((_P.SPROCKET,), wears=_F, allowance=0.05, least_m=0.1, most_m=1.5),
    PartSize.TIP_DIAMETER: PartSizeFacts((_P.SPROCKET,), wears=_F, allowance=0.05, least_m=0.1, most_m=1.6),
    PartSize.BOLT_CIRCLE: PartSizeFacts((_P.SPROCKET, _P.FINAL_DRIVE, _P.SLEW_RING), least_m=0.05, most_m=3.0),
    PartSize.BOLTS: PartSizeFacts(
        (_P.SPROCKET, _P.FINAL_DRIVE, _P.SLEW_RING, _P.SHOE, _P.PAD, *_ROLLERS), Told.COUNT
    ),
    PartSize.BORE: PartSizeFacts((_P.SPROCKET, _P.SLEW_RING), least_m=0.03, most_m=3.0),
    PartSize.RUBBER_PITCH: PartSizeFacts((_P.RUBBER_TRACK,), wears=_R, allowance=0.02, least_m=0.04, most_m=0.16),
    PartSize.LINKS: PartSizeFacts((_P.RUBBER_TRACK,), Told.COUNT),
    PartSize.GUIDE: PartSizeFacts((_P.RUBBER_TRACK,), Told.WORD),
}
"""The bounds and shares are our own and wide; which sizes tell a part is common practice, no source."""


def sizes_of_part(part: PartKind) -> tuple[PartSize, ...]:
    """What a part is known by, in the order it is asked for; empty for a part nothing is known of."""
    return tuple(size for size, facts in PART_SIZES.items() if part in facts.parts)
