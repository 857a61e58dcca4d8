"""Jobs a price list asks for, with the unit each is priced by: what a form and a blank table offer first."""

from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind

_J, _P = JobKind, PartKind
USUAL_JOBS: dict[tuple[JobKind, PartKind], str] = {
    (_J.REPLACE, _P.CHAIN): "each",
    (_J.REMOVE_JOINT, _P.CHAIN): "each",
    (_J.ADJUST, _P.CHAIN): "each",
    (_J.CLEAN_OUT, _P.CHAIN): "each",
    (_J.INVESTIGATE, _P.CHAIN): "each",
    (_J.TURN, _P.BUSH): "each",
    (_J.REPLACE, _P.BUSH): "each",
    (_J.REPLACE, _P.LINK): "each",
    (_J.RESHOE, _P.SHOE): "each",
    (_J.REPLACE, _P.SHOE): "piece",
    (_J.REBUILD, _P.SHOE): "piece",
    (_J.REFIT_BOLTS, _P.SHOE): "piece",
    (_J.REPLACE, _P.PAD): "piece",
    (_J.REFIT_BOLTS, _P.PAD): "piece",
    (_J.REPLACE, _P.BOTTOM_ROLLER): "each",
    (_J.RESHELL, _P.BOTTOM_ROLLER): "each",
    (_J.REFIT_BOLTS, _P.BOTTOM_ROLLER): "piece",
    (_J.INVESTIGATE, _P.BOTTOM_ROLLER): "each",
    (_J.REPLACE, _P.UPPER_ROLLER): "each",
    (_J.INVESTIGATE, _P.UPPER_ROLLER): "each",
    (_J.REPLACE, _P.IDLER): "each",
    (_J.REBUILD, _P.IDLER): "each",
    (_J.INVESTIGATE, _P.IDLER): "each",
    (_J.REPLACE, _P.SPROCKET): "each",
    (_J.REFIT_BOLTS, _P.SPROCKET): "piece",
    (_J.CLEAN_OUT, _P.SPROCKET): "each",
    (_J.REPLACE, _P.RUBBER_TRACK): "each",
    (_J.ADJUST, _P.RUBBER_TRACK): "each",
    (_J.CLEAN_OUT, _P.RUBBER_TRACK): "each",
    (_J.INVESTIGATE, _P.RUBBER_TRACK): "each",
    (_J.REPLACE, _P.TRACK_ADJUSTER): "each",
    (_J.INVESTIGATE, _P.TRACK_ADJUSTER): "each",
    (_J.REPLACE, _P.GUARD): "each",
    (_J.REFIT_BOLTS, _P.GUARD): "piece",
    (_J.REPLACE, _P.FINAL_DRIVE): "each",
    (_J.INVESTIGATE, _P.FINAL_DRIVE): "each",
    (_J.REPLACE, _P.SLEW_RING): "each",
    (_J.INVESTIGATE, _P.SLEW_RING): "each",
}
"""In the order of the parts; any other job may be added."""
