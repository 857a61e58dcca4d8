"""How each quantity is read. Common practice, no source, unless said."""

import re

from pitchline.trade.measurands import Measurand
from pitchline.trade.writing import marked
from pitchline.words.catalogue import in_english, translated

_FIGURE = re.compile(r"{([\d.]+)}")
HOW_TURNED = in_english(
    "Read the face that drives forward now. The old flat lies opposite it, so a calliper at the thinnest place sits on both. "
    "Either calliper across both and note “calliper across both flats” as the tool; or lay a straightedge along the bush on its "
    "unworn ends, read down to the new flat with a depth gauge, and write the new diameter less that depth."
)
"""How turned bushes are read. Common practice, no source; the two flats opposite each other follow from half a turn."""

HOW_READ: dict[Measurand, str] = {
    Measurand.PITCH: (
        "Pull the chain tight: lay a pin in the sprocket and ease the machine back, everyone clear of the track; then "
        "power off and block it. Measure from pin centre to the same pin centre over four joints, clear of the joining "
        "link. Write the whole length and the number of joints."
    ),
    Measurand.BUSH_OD_FORWARD: (
        "Calliper across the bush where it is thinnest on the forward-drive face. Try several bushes and write the "
        "smallest."
    ),
    Measurand.BUSH_OD_REVERSE: (
        "Calliper across the bush where it is thinnest on the reverse-drive face. Try several bushes and write the "
        "smallest."
    ),
    Measurand.RAIL_HEIGHT: "Depth gauge from the rail's running face to the shoe's face, at the lowest place of the rail.",
    Measurand.GROUSER_HEIGHT: (
        "Depth gauge from the plate's face to the grouser's tip, a third of the way in from the shoe's end."
    ),
    Measurand.PAD_HEIGHT: "Rule from the steel to the rubber's running face, at the lowest place.",
    Measurand.TREAD_DIAMETER: (
        "Outside calliper across the tread at its smallest place, or a tape round it divided by {3.1416}."
    ),
    Measurand.FLANGE_THICKNESS: "Calliper across the thinner flange, half way up.",
    Measurand.TREAD_DEPTH: "Straightedge along the centre flange, depth gauge down to the tread at its deepest.",
    Measurand.ROOT_DIAMETER: (
        "Outside calliper across two opposite tooth gaps where the bush seats. With an odd tooth count say "
        "which gaps."
    ),
    Measurand.TOOTH_THICKNESS: "Calliper across a tooth at the height where the bush bears, not at the tip.",
    Measurand.SAG: (
        "Level ground, nobody near; coast to a stop without the brake, then power off. Straightedge over the upper run, "
        "rule down to the track at the middle of the span. The maker's manual says which span and how much."
    ),
    Measurand.ADJUSTER_EXTENSION: (
        "Rule along the adjuster rod, from the cylinder's face to the mark on the yoke. Stand to one side; open "
        "nothing."
    ),
    Measurand.LUG_HEIGHT: "Depth gauge from the belt's face to the lug's top, at the lowest lug.",
    Measurand.RUBBER_PITCH: (
        "Tape between centres of drive lugs on a tight run, over at least four pitches. Write the whole length and how "
        "many."
    ),
    Measurand.GUIDE_LUG_WIDTH: "Calliper across the guide lug at its base where the rollers rub.",
    Measurand.SLEW_RING_ROCK: (
        "Ring bolts checked first, level firm standing, unladen. Dial gauge near the raceway; tilt one way and set "
        "zero, tilt the other way and read. Same points and order each time. Nobody under the boom."
    ),
}
"""Figures stand as `{3.1416}`; `how_read` writes them."""


def how_read(measurand: Measurand) -> str:
    """How a quantity is read, in the language in force.

    Parameters
    ----------
    measurand : Measurand
        The quantity.
    """
    return _FIGURE.sub(lambda at: marked(at[1]), translated(HOW_READ[measurand]))
