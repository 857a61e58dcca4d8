"""Why a running gear wears as it does, and the signs by which a cause shows."""

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum


class Cause(StrEnum):
    """Something that makes parts wear faster, or unlike each other, until it is mended."""

    TIGHT = "tight"
    SLACK = "slack"
    PACKING = "packing"
    REVERSE = "reverse"
    ONE_WAY = "one_way"
    SIDE_HILL = "side_hill"
    OUT_OF_LINE = "out_of_line"
    DRY_JOINTS = "dry_joints"
    WORN_ROLLERS = "worn_rollers"
    SEIZED = "seized"
    WIDE_SHOES = "wide_shoes"
    UNLIKE_PITCH = "unlike_pitch"
    WORN_IDLER = "worn_idler"
    LOOSE_BOLTS = "loose_bolts"
    FRAME_OR_SPRING = "frame_or_spring"
    SHARP_GROUND = "sharp_ground"
    WET_CORD = "wet_cord"
    OVERLOADED_CORD = "overloaded_cord"
    SPIN = "spin"
    SLACK_OR_WORN_DRIVE = "slack_or_worn_drive"
    LINE_OR_SLOPES = "line_or_slopes"
    CORE_LEAVING = "core_leaving"


class Sign(StrEnum):
    """What a cause shows by: read, seen, or worked out from readings beside each other."""

    FACES = "faces"
    SIDES = "sides"
    FLANGES = "flanges"
    ENDS = "ends"
    ONE_ROLLER = "one_roller"
    PITCH_AHEAD = "pitch_ahead"
    BUSH_AHEAD = "bush_ahead"
    JOINTS_UNLIKE = "joints_unlike"
    ROOT_AHEAD = "root_ahead"
    RAIL_AHEAD = "rail_ahead"
    ROLLERS_AHEAD = "rollers_ahead"
    SHOES_AHEAD = "shoes_ahead"
    TEETH = "teeth"
    SAG_LOW = "sag_low"
    SAG_HIGH = "sag_high"
    PACKED = "packed"
    BOSSES = "bosses"
    CAME_OFF = "came_off"
    HOLLOW_RAIL = "hollow_rail"
    HOT = "hot"
    PIN_RUST = "pin_rust"
    LEAKING = "leaking"
    BENT_SHOES = "bent_shoes"
    BOLT_RINGS = "bolt_rings"
    CUTS = "cuts"
    LUGS_LOW = "lugs_low"
    LUGS_TORN = "lugs_torn"
    CORD = "cord"
    RUST = "rust"
    BULGE = "bulge"
    GUIDES_WORN = "guides_worn"
    DRIVE_LUGS_TORN = "drive_lugs_torn"
    CORE_BARE = "core_bare"
    SKIPS = "skips"
    EDGE_TORN = "edge_torn"
    LOOP_LONGER = "loop_longer"
    LUGS_ONE_SIDE = "lugs_one_side"


@dataclass(frozen=True, slots=True)
class LookedFor:
    """What somebody found who looked for a cause or a sign.

    Parameters
    ----------
    date : datetime.date
        The day.
    about : Cause or Sign
        What was looked for.
    there : bool
        Whether it was found: a cause confirmed or ruled out, a sign seen or not there.
    note, by : str
        Free text, and who looked.
    """

    date: dt.date
    about: Cause | Sign
    there: bool
    note: str = ""
    by: str = ""
