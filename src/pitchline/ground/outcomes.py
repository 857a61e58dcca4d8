"""What ground fit computes: each outcome with its unit, its method and the inputs it rests on."""

from dataclasses import dataclass
from enum import StrEnum


class Outcome(StrEnum):
    """Figures of a ground fit."""

    PRESSURE = "pressure"
    PEAKS = "peaks"
    PEAK_PRESSURE = "peak_pressure"
    INDEX_NEEDED = "index_needed"
    SPARE_ONCE = "spare_once"
    SPARE_OFTEN = "spare_often"
    SINKAGE = "sinkage"
    PULL = "pull"
    CLIMB = "climb"
    TURN = "turn"
    TIP = "tip"
    SLIDE = "slide"
    FRICTION = "friction"
    BEARING = "bearing"


@dataclass(frozen=True, slots=True)
class OutcomeWords:
    """How an outcome is told.

    Parameters
    ----------
    label : str
        Name for reading.
    unit : str
        Unit on screen; empty where it is a bare number.
    scale : float
        From SI to that unit [1].
    decimals : int
        Decimals on screen.
    inputs : tuple of str
        Machine inputs by field name.
    ground : tuple of str
        Ground inputs by field name; "terrains" stands for the tested soils.
    method : str
        Method and its standing, for reading.
    """

    label: str
    unit: str
    scale: float
    decimals: int
    inputs: tuple[str, ...]
    ground: tuple[str, ...]
    method: str


_FOOT = ("mass_kg", "shoe_width_m", "level_length_m")
_CONE = (*_FOOT, "pitch_m", "clearance_m", "power_w", "grouser_m")
_OFF = (*_FOOT, "centres_m", "own_offset_m")
_SOIL = ("terrains", "shear_m")
OUTCOMES: dict[Outcome, OutcomeWords] = {
    Outcome.PRESSURE: OutcomeWords(
        "average contact pressure", "kPa", 1e-3, 0, (*_FOOT, "loop_height_m"), (), "weight over contact area"
    ),
    Outcome.PEAKS: OutcomeWords(
        "mean maximum pressure", "kPa", 1e-3, 0, (*_FOOT[:2], "pitch_m", "roller_m"), (), "Rowland; ranking only"
    ),
    Outcome.PEAK_PRESSURE: OutcomeWords(
        "highest pressure, off-centre load", "kPa", 1e-3, 0, _OFF, (), "two rigid tracks, every slew angle"
    ),
    Outcome.INDEX_NEEDED: OutcomeWords(
        "cone index needed for one pass", "", 1.0, 0, _CONE, (), "mobility index, FM 5-430"
    ),
    Outcome.SPARE_ONCE: OutcomeWords(
        "cone index to spare, one pass", "", 1.0, 0, _CONE, ("rating_index",), "RCI less VCI1"
    ),
    Outcome.SPARE_OFTEN: OutcomeWords(
        "cone index to spare, fifty passes", "", 1.0, 0, _CONE, ("rating_index",), "RCI less VCI50"
    ),
    Outcome.SINKAGE: OutcomeWords("sinkage", "mm", 1e3, 0, _FOOT, ("terrains",), "Bekker, even pressure"),
    Outcome.PULL: OutcomeWords(
        "spare pull, share of weight",
        "%",
        100.0,
        0,
        (*_FOOT, "rolling"),
        (*_SOIL, "sliding", "traction", "rating_index"),
        "as it stands, at 20 % slip",
    ),
    Outcome.CLIMB: OutcomeWords(
        "slope it climbs",
        "deg",
        1.0,
        0,
        (*_FOOT, "rolling"),
        (*_SOIL, "sliding", "traction", "rating_index"),
        "balance of forces on it",
    ),
    Outcome.TURN: OutcomeWords(
        "steering pull needed over given",
        "%",
        100.0,
        0,
        (*_FOOT, "centres_m", "rolling"),
        ("terrains", "sliding", "turning_steel", "turning_rubber"),
        "turn on the spot",
    ),
    Outcome.TIP: OutcomeWords(
        "slope it tips on, at rest", "deg", 1.0, 0, (*_OFF, "gravity_height_m"), (), "rigid body"
    ),
    Outcome.SLIDE: OutcomeWords(
        "slope it slides on, at rest",
        "deg",
        1.0,
        0,
        _FOOT,
        ("terrains", "sliding", "traction"),
        "friction and cohesion",
    ),
    Outcome.FRICTION: OutcomeWords(
        "slope friction alone holds",
        "deg",
        1.0,
        0,
        _FOOT,
        ("terrains", "sliding", "traction"),
        "at rest, without cohesion",
    ),
    Outcome.BEARING: OutcomeWords(
        "share of bearing resistance used",
        "%",
        100.0,
        0,
        _OFF,
        ("strength_pa", "friction_deg", "cohesion_pa", "weight_n_m3"),
        "EN 1997-1 Annex D, safety factor 2",
    ),
}
"""Every outcome; the share of bearing resistance has the stated safety factor in it."""
