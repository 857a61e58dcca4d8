"""What things are called in English, each once: files speak these words, pages and papers their translation (`labels.py`).

A code whose words are its own, such as `bottom_roller`, has no row.
"""

from collections.abc import Iterator
from enum import Enum
from typing import Any

from pitchline.trade.calls import Call, Stake
from pitchline.trade.causes import Cause, Sign
from pitchline.trade.consequences import FindingKind, Severity
from pitchline.trade.dossier import LineShape
from pitchline.trade.ground import GroundClass
from pitchline.trade.jobs import Caution, JobKind
from pitchline.trade.machine import ChainType, Layout, MachineKind, ShoeClass, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.part_events import Because
from pitchline.trade.part_sizes import PartSize
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
    Because: {
        Because.WORN: "worn out",
        Because.BROKEN: "it broke, leaked or seized",
        Because.TOGETHER: "changed along with another part",
        Because.UNKNOWN: "nobody said",
    },
    FindingKind: {
        FindingKind.FLAT: "flat spot on the tread",
        FindingKind.HOLLOW_RAIL: "rail hollow in mid-link",
        FindingKind.CAME_OFF: "jumped teeth or came off",
    },
    PartSize: {
        PartSize.LINK_HEIGHT: "link rail height",
        PartSize.BOLTS_ALONG: "bolt spacing along",
        PartSize.BOLTS_ACROSS: "bolt spacing across",
        PartSize.TIP_DIAMETER: "diameter over the tips",
        PartSize.RUBBER_PITCH: "pitch of the links",
    },
    Cause: {
        Cause.TIGHT: "track run too tight",
        Cause.SLACK: "track run too slack",
        Cause.PACKING: "soil packed in the running gear",
        Cause.REVERSE: "much or fast travel in reverse",
        Cause.ONE_WAY: "turns mostly one way",
        Cause.SIDE_HILL: "works across slopes",
        Cause.OUT_OF_LINE: "frame, idler or sprocket out of line",
        Cause.DRY_JOINTS: "joints run dry",
        Cause.WORN_ROLLERS: "worn rollers or idlers spoil the rails, or worn rails the rollers",
        Cause.SEIZED: "a roller or idler does not turn",
        Cause.WIDE_SHOES: "shoes too wide for hard ground",
        Cause.UNLIKE_PITCH: "sprocket and chain of unlike pitch",
        Cause.WORN_IDLER: "idler worn, or loose in its guide",
        Cause.LOOSE_BOLTS: "shoe bolts loose",
        Cause.FRAME_OR_SPRING: "frame bent, recoil spring or adjuster failed",
        Cause.SHARP_GROUND: "sharp ground or edges",
        Cause.WET_CORD: "water at the cord",
        Cause.OVERLOADED_CORD: "cord overloaded",
        Cause.SPIN: "spinning and turning on the spot on hard ground",
        Cause.SLACK_OR_WORN_DRIVE: "rubber track run too slack, or its drive worn",
        Cause.LINE_OR_SLOPES: "rollers or idler out of line, or slopes",
        Cause.CORE_LEAVING: "steel leaving the rubber",
    },
    Sign: {
        Sign.FACES: "bushes worn more on the reverse face",
        Sign.SIDES: "one side worn more than the other",
        Sign.FLANGES: "inner and outer flanges worn unlike",
        Sign.ENDS: "front and rear rollers worn unlike",
        Sign.ONE_ROLLER: "one roller unlike its neighbours",
        Sign.PITCH_AHEAD: "pitch worn more than the bushes",
        Sign.BUSH_AHEAD: "bushes worn more than the pitch",
        Sign.JOINTS_UNLIKE: "joints unlike one another",
        Sign.ROOT_AHEAD: "sprocket worn more than the bushes",
        Sign.RAIL_AHEAD: "rail worn more than the rollers",
        Sign.ROLLERS_AHEAD: "rollers worn more than the rail",
        Sign.SHOES_AHEAD: "shoes worn more than the rail",
        Sign.TEETH: "teeth rounded, hooked or broken",
        Sign.SAG_LOW: "sag below its range",
        Sign.SAG_HIGH: "sag above its range",
        Sign.PACKED: "packed soil",
        Sign.BOSSES: "flanges touch the pin bosses",
        Sign.CAME_OFF: "track jumps or came off",
        Sign.HOLLOW_RAIL: "rail hollow",
        Sign.HOT: "a joint or hub hot",
        Sign.PIN_RUST: "rust at a pin",
        Sign.LUGS_ONE_SIDE: "drive lugs worn on one side",
        Sign.LEAKING: "a roller or idler leaks",
        Sign.BENT_SHOES: "shoes bent or cracked",
        Sign.BOLT_RINGS: "bolts of shoes loose or gone",
        Sign.CUTS: "cuts",
        Sign.LUGS_LOW: "lugs lower than their hours say",
        Sign.LUGS_TORN: "lugs torn",
        Sign.CORD: "cord to be seen",
        Sign.RUST: "rust at a cut",
        Sign.BULGE: "bulge, or layers apart",
        Sign.GUIDES_WORN: "guide lugs worn or torn",
        Sign.DRIVE_LUGS_TORN: "drive lugs torn",
        Sign.CORE_BARE: "steel inserts bare or out",
        Sign.SKIPS: "drive skips, or the track came off",
        Sign.EDGE_TORN: "edge torn",
        Sign.LOOP_LONGER: "loop longer than new",
    },
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
    Measurand.RUBBER_PITCH: "rubber track pitch, length over several links",
}
"""Names where they are asked for: what is written down is the whole length, not that of one joint."""
SPANNED: dict[str, str] = {Measurand.PITCH: "pitch", Measurand.RUBBER_PITCH: "rubber track pitch"}
"""Names beside a field for the whole length, which says itself that it is one."""
OF_ONE = {Measurand.PITCH: "pitch of one joint", Measurand.RUBBER_PITCH: "rubber track pitch of one link"}
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
    Side, Call, Stake, FindingKind, Severity, JobKind, Did, Because, GroundClass, MachineKind, TrackKind, ChainType, Layout,
    ShoeClass, SprocketGaps, LineShape, PartKind, Measurand, Caution, Cause, Sign, PartSize,
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
