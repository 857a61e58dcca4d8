"""Typical lives to start from where a yard has entered none: weak, ours, and meant to be outweighed by readings."""

from pitchline.trade.dossier import Dossier, KindLife
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind

DEFAULT_SPREAD = 0.6
"""Standard deviation of the logarithm: two such lives in three lie between about half and twice the figure."""

_P, _M = PartKind, Measurand

TYPICAL_LIFE_H: dict[tuple[PartKind, Measurand], float] = {
    (_P.CHAIN, _M.PITCH): 5000.0,
    (_P.BUSH, _M.BUSH_OD_FORWARD): 5000.0,
    (_P.BUSH, _M.BUSH_OD_REVERSE): 9000.0,
    (_P.LINK, _M.RAIL_HEIGHT): 6000.0,
    (_P.SHOE, _M.GROUSER_HEIGHT): 5000.0,
    (_P.PAD, _M.PAD_HEIGHT): 1800.0,
    (_P.BOTTOM_ROLLER, _M.TREAD_DIAMETER): 6000.0,
    (_P.BOTTOM_ROLLER, _M.FLANGE_THICKNESS): 8000.0,
    (_P.UPPER_ROLLER, _M.TREAD_DIAMETER): 7000.0,
    (_P.UPPER_ROLLER, _M.FLANGE_THICKNESS): 9000.0,
    (_P.IDLER, _M.TREAD_DEPTH): 7000.0,
    (_P.SPROCKET, _M.ROOT_DIAMETER): 5500.0,
    (_P.SPROCKET, _M.TOOTH_THICKNESS): 5000.0,
    (_P.RUBBER_TRACK, _M.LUG_HEIGHT): 2000.0,
    (_P.RUBBER_TRACK, _M.RUBBER_PITCH): 3000.0,
    (_P.RUBBER_TRACK, _M.GUIDE_LUG_WIDTH): 3000.0,
    (_P.SLEW_RING, _M.SLEW_RING_ROCK): 12000.0,
}
"""Hours from new to the limit on medium ground [h]. Assumptions of this project; orders of magnitude are common practice, no
source. No open wear rates for crawler construction machines were found."""


def kind_life(dossier: Dossier, part: PartKind, measurand: Measurand) -> tuple[KindLife, bool]:
    """Typical life of a kind of part, and whether the yard entered it.

    Parameters
    ----------
    dossier : Dossier
        The machine with the yard's own expectations.
    part : PartKind
        The part.
    measurand : Measurand
        The quantity that reaches its limit.

    Returns
    -------
    life : KindLife
        The yard's own, else the project's weak one.
    entered : bool
        True for the yard's own.

    References
    ----------
    Our own weak figures where the yard has none.
    """
    for life in dossier.kind_lives:
        if life.part is part and life.measurand is measurand:
            return life, True
    return KindLife(part, measurand, TYPICAL_LIFE_H[part, measurand], DEFAULT_SPREAD), False
