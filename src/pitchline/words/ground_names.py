"""What ground fit's figures and inputs are called in English; by codes alone, for its rooms are much to wait for."""

OF_GROUND: dict[str, dict[str, str]] = {
    "Going": {"uncertain": "with care"},
    "ThumbTest": {
        "sinks_deep": "thumb goes in more than 25 mm",
        "sinks": "thumb goes in about 25 mm",
        "dents": "thumb dents it about 6 mm",
        "nail_only": "only the thumbnail marks it",
    },
    "BootTest": {
        "over_ankle": "a boot sinks over the ankle",
        "deep_print": "a boot leaves a print deeper than its sole",
        "heel_print": "only the heel leaves a print",
        "no_print": "a boot leaves no print",
    },
    "ShoeKind": {
        "one_grouser": "single grouser",
        "two_grousers": "double grouser",
        "three_grousers": "triple grouser",
    },
    "Outcome": {
        "pressure": "average contact pressure",
        "peaks": "mean maximum pressure",
        "peak_pressure": "highest pressure, off-centre load",
        "index_needed": "cone index needed for one pass",
        "spare_once": "cone index to spare, one pass",
        "spare_often": "cone index to spare, fifty passes",
        "sinkage": "sinkage",
        "pull": "spare pull, share of weight",
        "climb": "slope it climbs",
        "turn": "steering pull needed, share of what the ground gives",
        "tip": "slope it tips on, at rest",
        "slide": "slope it slides on, at rest",
        "friction": "slope friction alone holds",
        "bearing": "share of bearing resistance used",
    },
}
"""Things of ground fit whose name is not their code with spaces, by the name of their kind."""
METHODS: dict[str, str] = {
    "pressure": "weight over contact area",
    "peaks": "Rowland; ranking only",
    "peak_pressure": "two rigid tracks, every slew angle",
    "index_needed": "mobility index, FM 5-430",
    "spare_once": "RCI less VCI1",
    "spare_often": "RCI less VCI50",
    "sinkage": "Bekker, even pressure",
    "pull": "as it stands, at 20 % slip",
    "climb": "balance of forces on it",
    "turn": "turn on the spot",
    "tip": "rigid body",
    "slide": "friction and cohesion",
    "friction": "at rest, without cohesion",
    "bearing": "EN 1997-1 Annex D, safety factor 2",
}
"""How each figure comes about, and its standing."""
INPUTS: dict[str, str] = {
    "level_length": "contact length",
    "centres": "track gauge",
    "gravity_height": "height of the centre of gravity",
    "own_offset": "offset of the centre of gravity",
    "power": "engine power",
    "roller": "roller diameter",
    "grouser": "grouser height",
    "rolling": "internal resistance",
    "terrains": "tested soils",
    "shear": "shear displacement",
    "strength": "shear strength",
    "friction": "angle of friction",
    "weight": "unit weight",
    "rating_index": "rating cone index",
    "sliding": "friction of the surface",
    "traction": "traction as a share of the published curve",
    "turning_steel": "turning coefficient",
    "turning_rubber": "turning coefficient",
}
"""Inputs whose name is not their code with spaces."""


def input_named(code: str) -> str:
    """An input's name in English; one read from a verdict written before there were codes has it already."""
    return INPUTS.get(code, code.replace("_", " "))
