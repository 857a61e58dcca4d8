"""What can be measured on a part: the words, which way it goes as metal wears, and how it is read."""

import re
from dataclasses import dataclass
from enum import StrEnum

from pitchline.trade.parts import PartKind
from pitchline.trade.writing import marked


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


_FIGURE = re.compile(r"{([\d.]+)}")


class Role(StrEnum):
    """Whether a quantity wears, or is set by an adjuster."""

    WEAR = "wear"
    SETTING = "setting"


HOW_TURNED = (
    "Read the face that drives forward now. The old flat lies opposite it, so a calliper at the thinnest place sits on both. "
    "Either calliper across both and note “calliper across both flats” as the tool; or lay a straightedge along the bush on its "
    "unworn ends, read down to the new flat with a depth gauge, and write the new diameter less that depth."
)
"""How turned bushes are read. Common practice, no source; the two flats opposite each other follow from half a turn."""


@dataclass(frozen=True, slots=True)
class MeasurandWords:
    """The words and rules of one measurand.

    Parameters
    ----------
    label : str
        Name for reading.
    parts : tuple of PartKind
        Parts it is read on.
    direction : Direction
        Which way it goes with wear.
    role : Role
        Wear or setting.
    how_read : str
        How it is read, figures as `{3.1416}`; `how` writes them. Common practice, no source, unless said.
    spans_joints : bool
        Read over several joints and divided by their number.
    least_m, most_m : float
        What any tracked machine can show [m]; outside it the reading is held back and asked about. Our own wide bounds.

    References
    ----------
    Our own table; the practice of reading each part is common practice, no source.
    """

    label: str
    parts: tuple[PartKind, ...]
    direction: Direction
    role: Role
    how_read: str
    spans_joints: bool = False
    least_m: float = 0.001
    most_m: float = 3.0

    @property
    def how(self) -> str:
        """How it is read, for reading."""
        return _FIGURE.sub(lambda at: marked(at[1]), self.how_read)

    @property
    def asked(self) -> str:
        """Name where it is asked for: what is written down is the whole length, not that of one joint."""
        bare = self.label.removesuffix(" per joint")
        return f"{bare}, length over several joints" if self.spans_joints else self.label

    @property
    def of_one(self) -> str:
        """Name beside a size of one joint, as limits are entered."""
        bare = self.label.removesuffix(" per joint")
        return f"{bare} of one joint" if self.spans_joints else self.label


_F, _R = Direction.FALLS, Direction.RISES
_W, _S = Role.WEAR, Role.SETTING
_ROLLERS = (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER)

MEASURANDS: dict[Measurand, MeasurandWords] = {
    Measurand.PITCH: MeasurandWords(
        "pitch per joint",
        (PartKind.CHAIN,),
        _R,
        _W,
        "Pull the chain tight: lay a pin in the sprocket and ease the machine back, everyone clear of the "
        "track; then power off and "
        "block it. Measure from pin centre to the same "
        "pin centre over four joints, clear of the joining link. Write the whole length and the number of joints.",
        spans_joints=True,
        least_m=0.04,
        most_m=0.6,
    ),
    Measurand.BUSH_OD_FORWARD: MeasurandWords(
        "bush outside diameter, forward face",
        (PartKind.BUSH,),
        _F,
        _W,
        "Calliper across the bush where it is thinnest on the forward-drive face. Try several bushes and write the smallest.",
        least_m=0.01,
        most_m=0.2,
    ),
    Measurand.BUSH_OD_REVERSE: MeasurandWords(
        "bush outside diameter, reverse face",
        (PartKind.BUSH,),
        _F,
        _W,
        "Calliper across the bush where it is thinnest on the reverse-drive face. Try several bushes and write the smallest.",
        least_m=0.01,
        most_m=0.2,
    ),
    Measurand.RAIL_HEIGHT: MeasurandWords(
        "link rail height",
        (PartKind.LINK,),
        _F,
        _W,
        "Depth gauge from the rail's running face to the shoe's face, at the lowest place of the rail.",
        least_m=0.02,
        most_m=0.4,
    ),
    Measurand.GROUSER_HEIGHT: MeasurandWords(
        "grouser height",
        (PartKind.SHOE,),
        _F,
        _W,
        "Depth gauge from the plate's face to the grouser's tip, a third of the way in from the shoe's end.",
        least_m=0.001,
        most_m=0.2,
    ),
    Measurand.PAD_HEIGHT: MeasurandWords(
        "rubber pad height",
        (PartKind.PAD,),
        _F,
        _W,
        "Rule from the steel to the rubber's running face, at the lowest place.",
        least_m=0.001,
        most_m=0.25,
    ),
    Measurand.TREAD_DIAMETER: MeasurandWords(
        "tread diameter",
        _ROLLERS,
        _F,
        _W,
        "Outside calliper across the tread at its smallest place, or a tape round it divided by {3.1416}.",
        least_m=0.04,
        most_m=0.6,
    ),
    Measurand.FLANGE_THICKNESS: MeasurandWords(
        "flange thickness",
        _ROLLERS,
        _F,
        _W,
        "Calliper across the thinner flange, half way up.",
        least_m=0.002,
        most_m=0.1,
    ),
    Measurand.TREAD_DEPTH: MeasurandWords(
        "tread depth below the centre flange",
        (PartKind.IDLER,),
        _R,
        _W,
        "Straightedge along the centre flange, depth gauge down to the tread at its deepest.",
        least_m=0.002,
        most_m=0.15,
    ),
    Measurand.ROOT_DIAMETER: MeasurandWords(
        "root across teeth",
        (PartKind.SPROCKET,),
        _F,
        _W,
        "Outside calliper across two opposite tooth gaps where the bush seats. With an odd tooth count say which gaps.",
        least_m=0.1,
        most_m=2.0,
    ),
    Measurand.TOOTH_THICKNESS: MeasurandWords(
        "tooth thickness at the bearing line",
        (PartKind.SPROCKET,),
        _F,
        _W,
        "Calliper across a tooth at the height where the bush bears, not at the tip.",
        least_m=0.005,
        most_m=0.2,
    ),
    Measurand.SAG: MeasurandWords(
        "sag",
        (PartKind.CHAIN, PartKind.RUBBER_TRACK),
        _R,
        _S,
        "Level ground, nobody near; coast to a stop without the brake, then power off. Straightedge over the "
        "upper run, rule down to the track at the "
        "middle of the span. The maker's manual says which span and how much.",
        least_m=0.0,
        most_m=1.0,
    ),
    Measurand.ADJUSTER_EXTENSION: MeasurandWords(
        "adjuster extension",
        (PartKind.TRACK_ADJUSTER,),
        _R,
        _S,
        "Rule along the adjuster rod, from the cylinder's face to the mark on the yoke. Stand to one side; open nothing.",
        least_m=0.0,
        most_m=1.0,
    ),
    Measurand.LUG_HEIGHT: MeasurandWords(
        "rubber lug height",
        (PartKind.RUBBER_TRACK,),
        _F,
        _W,
        "Depth gauge from the belt's face to the lug's top, at the lowest lug.",
        least_m=0.001,
        most_m=0.15,
    ),
    Measurand.RUBBER_PITCH: MeasurandWords(
        "rubber track pitch",
        (PartKind.RUBBER_TRACK,),
        _R,
        _W,
        "Tape between centres of drive lugs on a tight run, over at least four pitches. Write the whole length and how many.",
        spans_joints=True,
        least_m=0.03,
        most_m=0.3,
    ),
    Measurand.GUIDE_LUG_WIDTH: MeasurandWords(
        "guide lug width",
        (PartKind.RUBBER_TRACK,),
        _F,
        _W,
        "Calliper across the guide lug at its base where the rollers rub.",
        least_m=0.003,
        most_m=0.2,
    ),
    Measurand.SLEW_RING_ROCK: MeasurandWords(
        "slew ring rock",
        (PartKind.SLEW_RING,),
        _R,
        _W,
        "Ring bolts checked first, level firm standing, unladen. Dial gauge near the raceway; tilt one way and set zero, tilt "
        "the other way and read. Same points and order each time. Nobody under the boom.",
        least_m=0.0,
        most_m=0.05,
    ),
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
