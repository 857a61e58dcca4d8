"""Jobs a price list asks for, with the unit each is priced by: what a form and a blank table offer first."""

from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind

_J, _P = JobKind, PartKind
USUAL_JOBS: dict[tuple[JobKind, PartKind], str] = {
    (_J.REPLACE, _P.CHAIN): "place",
    (_J.REMOVE_JOINT, _P.CHAIN): "place",
    (_J.ADJUST, _P.CHAIN): "place",
    (_J.CLEAN_OUT, _P.CHAIN): "place",
    (_J.INVESTIGATE, _P.CHAIN): "place",
    (_J.TURN, _P.BUSH): "place",
    (_J.REPLACE, _P.BUSH): "place",
    (_J.REPLACE, _P.LINK): "place",
    (_J.RESHOE, _P.SHOE): "piece",
    (_J.REPLACE, _P.SHOE): "piece",
    (_J.REBUILD, _P.SHOE): "piece",
    (_J.REFIT_BOLTS, _P.SHOE): "piece",
    (_J.REPLACE, _P.PAD): "piece",
    (_J.REFIT_BOLTS, _P.PAD): "piece",
    (_J.REPLACE, _P.BOTTOM_ROLLER): "place",
    (_J.RESHELL, _P.BOTTOM_ROLLER): "place",
    (_J.REFIT_BOLTS, _P.BOTTOM_ROLLER): "piece",
    (_J.INVESTIGATE, _P.BOTTOM_ROLLER): "place",
    (_J.REPLACE, _P.UPPER_ROLLER): "place",
    (_J.INVESTIGATE, _P.UPPER_ROLLER): "place",
    (_J.REPLACE, _P.IDLER): "place",
    (_J.REBUILD, _P.IDLER): "place",
    (_J.INVESTIGATE, _P.IDLER): "place",
    (_J.REPLACE, _P.SPROCKET): "place",
    (_J.REFIT_BOLTS, _P.SPROCKET): "piece",
    (_J.CLEAN_OUT, _P.SPROCKET): "place",
    (_J.REPLACE, _P.RUBBER_TRACK): "place",
    (_J.ADJUST, _P.RUBBER_TRACK): "place",
    (_J.CLEAN_OUT, _P.RUBBER_TRACK): "place",
    (_J.INVESTIGATE, _P.RUBBER_TRACK): "place",
    (_J.REPLACE, _P.TRACK_ADJUSTER): "place",
    (_J.INVESTIGATE, _P.TRACK_ADJUSTER): "place",
    (_J.REPLACE, _P.GUARD): "place",
    (_J.REFIT_BOLTS, _P.GUARD): "piece",
    (_J.REPLACE, _P.FINAL_DRIVE): "place",
    (_J.INVESTIGATE, _P.FINAL_DRIVE): "place",
    (_J.REPLACE, _P.SLEW_RING): "place",
    (_J.INVESTIGATE, _P.SLEW_RING): "place",
}
"""In the order of the parts; any other job may be added."""
