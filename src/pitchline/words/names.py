"""What things are called in English, each once: files speak these words, pages and papers their translation (`labels.py`).

A code whose words are its own, such as `bottom_roller`, has no row.
"""

from collections.abc import Iterator
from enum import Enum
from typing import Any

from pitchline.trade.calls import Call, Stake
from pitchline.trade.consequences import FindingKind, Severity
from pitchline.trade.dossier import LineShape
from pitchline.trade.ground import GroundClass
from pitchline.trade.jobs import Caution, JobKind
from pitchline.trade.machine import ChainType, Layout, MachineKind, ShoeClass, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.trade.work_done import Did
from pitchline.words.ground_names import OF_GROUND

OTHERWISE: dict[type[Enum], dict[Any, str]] = {
    Call: {Call.UNJUDGED: "not read"},
    Stake: {
        Stake.RUINS: "ruins what is dearer",
        Stake.CONFIRM: "look the limit up first",
        Stake.WORN_OUT: "worn out, works on at your cost",
        Stake.MEASURE: "measure again",
        Stake.SETTING: "out of its range",
    },
    FindingKind: {FindingKind.FLAT: "flat spot on the tread"},
    JobKind: {
        JobKind.RESHOE: "re-shoe",
        JobKind.REMOVE_JOINT: "remove a joint",
        JobKind.MEASURE: "measure again",
        JobKind.INVESTIGATE: "look into",
    },
    Did: {
        Did.FITTED_PART_WORN: "fitted used",
        Did.CLEANED: "cleaned out",
        Did.JOINT_REMOVED: "a joint taken out",
        Did.LOOKED_INTO: "looked into, nothing wrong found",
    },
    MachineKind: {MachineKind.OTHER_TRACKED: "other tracked machine"},
    TrackKind: {
        TrackKind.STEEL: "steel chain with bolted shoes",
        TrackKind.STEEL_BOLTED_PADS: "steel chain, rubber pads bolted to the shoes",
        TrackKind.STEEL_PAD_SHOES: "steel chain, rubber pads in place of the shoes",
        TrackKind.RUBBER: "one-piece rubber track with steel inserts",
    },
    PartKind: {
        PartKind.BUSH: "bushes",
        PartKind.LINK: "link rail",
        PartKind.SHOE: "shoes",
        PartKind.PAD: "rubber pads",
        PartKind.GUARD: "guards",
    },
    Measurand: {
        Measurand.PITCH: "pitch per joint",
        Measurand.BUSH_OD_FORWARD: "bush outside diameter, forward face",
        Measurand.BUSH_OD_REVERSE: "bush outside diameter, reverse face",
        Measurand.RAIL_HEIGHT: "link rail height",
        Measurand.PAD_HEIGHT: "rubber pad height",
        Measurand.TREAD_DEPTH: "tread depth below the centre flange",
        Measurand.ROOT_DIAMETER: "root across teeth",
        Measurand.TOOTH_THICKNESS: "tooth thickness at the bearing line",
        Measurand.LUG_HEIGHT: "rubber lug height",
        Measurand.RUBBER_PITCH: "rubber track pitch",
    },
    Caution: {
        Caution.UNSAFE_MACHINE: "do not work it",
        Caution.GREASE_PRESSURE: "grease under pressure",
        Caution.RECOIL_SPRING: "stored energy",
        Caution.CRUSH: "crushing",
        Caution.HOT_WORK: "hot work and fire",
        Caution.HOT_PARTS: "hot oil and parts",
        Caution.JETS_AND_DIRT: "jets and flying dirt",
    },
}
"""Things whose name is not their code with spaces."""
BRIEF = {
    Stake.RUINS: "ruins dearer",
    Stake.CONFIRM: "look limit up",
    Stake.WORN_OUT: "worn out",
    Stake.FALLS_DUE: "due",
    Stake.MEASURE: "measure",
    Stake.SETTING: "out of range",
}
"""What a call is about in two words at most, where room is narrow and its name is longer."""
PIECE = {PartKind.SHOE: "shoe", PartKind.PAD: "pad"}
"""One piece of a part of which a place holds many."""
ASKED = {
    Measurand.PITCH: "pitch, length over several joints",
    Measurand.RUBBER_PITCH: "rubber track pitch, length over several joints",
}
"""Names where they are asked for: what is written down is the whole length, not that of one joint."""
SPANNED: dict[str, str] = {Measurand.PITCH: "pitch", Measurand.RUBBER_PITCH: "rubber track pitch"}
"""Names beside a field for the whole length, which says itself that it is one."""
OF_ONE = {Measurand.PITCH: "pitch of one joint", Measurand.RUBBER_PITCH: "rubber track pitch of one joint"}
"""Names beside a size of one joint, as limits are entered."""
EXAMPLES: dict[GroundClass, str] = {
    GroundClass.GENTLE: "topsoil, peat, clay without stones",
    GroundClass.MILD: "loam or silt with a few stones",
    GroundClass.MIDDLING: "mixed soil with gravel",
    GroundClass.SHARP: "sharp sand, gravel, wet grit",
    GroundClass.HARSH: "quarried rock, demolition rubble",
}
"""What each class of ground looks like. Common practice, no source."""
A_MACHINE: dict[MachineKind, str] = {
    MachineKind.EXCAVATOR: "an excavator",
    MachineKind.DOZER: "a dozer",
    MachineKind.TRACK_LOADING_SHOVEL: "a track loading shovel",
    MachineKind.PAVER: "a paver",
    MachineKind.OTHER_TRACKED: "a tracked machine of another kind",
}
"""A machine of a family, in the midst of a sentence."""
ORDERS = {JobKind.REMOVE_JOINT: "remove a joint of {what}", JobKind.REFIT_BOLTS: "refit bolts of {what}"}
"""Jobs that are no plain order on a thing."""
KINDS: tuple[type[Enum], ...] = (
    Side, Call, Stake, FindingKind, Severity, JobKind, Did, GroundClass, MachineKind, TrackKind, ChainType, Layout,
    ShoeClass, SprocketGaps, LineShape, PartKind, Measurand, Caution,
)  # fmt: skip


def named(thing: Any) -> str:
    """A thing's name in English.

    Parameters
    ----------
    thing : Enum or Place
        A word of the trade, or where a part sits.

    Examples
    --------
    >>> named(Stake.SETTING), named(PartKind.UPPER_ROLLER), named(Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3))
    ('out of its range', 'upper roller', 'bottom roller 3, left')
    """
    if isinstance(thing, Place):
        words = named(thing.part) + (f" {thing.position}" if thing.position else "")
        return f"{words}, {thing.side.value}" if thing.side.value else words
    own = OTHERWISE.get(type(thing), {}).get(thing) or OF_GROUND.get(type(thing).__name__, {}).get(thing.value)
    return own if own is not None else str(getattr(thing, "code", thing.value)).replace("_", " ")


def several(part: PartKind) -> str:
    """Several parts of a kind in English, such as "bottom rollers"."""
    return named(part) if PARTS[part].many else f"{named(part)}s"


def asked_for(measurand: Measurand) -> str:
    """What a quantity is called in English where it is asked for."""
    return ASKED.get(measurand, named(measurand))


def of_one(measurand: Measurand) -> str:
    """What a quantity is called in English beside a size of one joint."""
    return OF_ONE.get(measurand, named(measurand))


def all_names() -> Iterator[str]:
    """Every name in English, for the catalogue."""
    for kind in KINDS:
        yield from (named(thing) for thing in kind if thing.value != "")
    yield from map(several, PartKind)
    for table in (BRIEF, PIECE, ASKED, SPANNED, OF_ONE, EXAMPLES, A_MACHINE, ORDERS):
        yield from table.values()
