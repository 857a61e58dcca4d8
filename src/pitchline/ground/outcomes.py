"""What ground fit computes: each outcome with its unit and the inputs it rests on."""

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
class OutcomeFacts:
    """What a figure is in, and what it rests on.

    Parameters
    ----------
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
    """

    unit: str
    scale: float
    decimals: int
    inputs: tuple[str, ...]
    ground: tuple[str, ...]


_FOOT = ("mass_kg", "shoe_width_m", "level_length_m")
_CONE = (*_FOOT, "pitch_m", "clearance_m", "power_w", "grouser_m")
_OFF = (*_FOOT, "centres_m", "own_offset_m")
_SOIL = ("terrains", "shear_m")
OUTCOMES: dict[Outcome, OutcomeFacts] = {
    Outcome.PRESSURE: OutcomeFacts("kPa", 0.001, 0, (*_FOOT, "loop_height_m"), ()),
    Outcome.PEAKS: OutcomeFacts("kPa", 0.001, 0, (*_FOOT[:2], "pitch_m", "roller_m"), ()),
    Outcome.PEAK_PRESSURE: OutcomeFacts("kPa", 0.001, 0, _OFF, ()),
    Outcome.INDEX_NEEDED: OutcomeFacts("", 1.0, 0, _CONE, ()),
    Outcome.SPARE_ONCE: OutcomeFacts("", 1.0, 0, _CONE, ("rating_index",)),
    Outcome.SPARE_OFTEN: OutcomeFacts("", 1.0, 0, _CONE, ("rating_index",)),
    Outcome.SINKAGE: OutcomeFacts("mm", 1000.0, 0, _FOOT, ("terrains",)),
    Outcome.PULL: OutcomeFacts(
        "%", 100.0, 0, (*_FOOT, "rolling"), (*_SOIL, "sliding", "traction", "rating_index")
    ),
    Outcome.CLIMB: OutcomeFacts(
        "deg", 1.0, 0, (*_FOOT, "rolling"), (*_SOIL, "sliding", "traction", "rating_index")
    ),
    Outcome.TURN: OutcomeFacts(
        "%", 100.0, 0, (*_FOOT, "centres_m", "rolling"), ("terrains", "sliding", "turning_steel", "turning_rubber")
    ),
    Outcome.TIP: OutcomeFacts("deg", 1.0, 0, (*_OFF, "gravity_height_m"), ()),
    Outcome.SLIDE: OutcomeFacts("deg", 1.0, 0, _FOOT, ("terrains", "sliding", "traction")),
    Outcome.FRICTION: OutcomeFacts("deg", 1.0, 0, _FOOT, ("terrains", "sliding", "traction")),
    Outcome.BEARING: OutcomeFacts(
        "%", 100.0, 0, _OFF, ("strength_pa", "friction_deg", "cohesion_pa", "weight_n_m3")
    ),
}
"""Every outcome; the share of bearing resistance has the stated safety factor in it."""
