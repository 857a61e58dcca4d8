"""What a part past its wear limit is: unsafe, ruining what is dearer, or only worn out.

See docs/explanation/calls.md.
"""

from dataclasses import dataclass

from pitchline.trade.calls import Call, Stake
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind


@dataclass(frozen=True, slots=True)
class PastLimit:
    """What it means that one quantity of one part is past its wear limit.

    Parameters
    ----------
    stake : Stake
        Unsafe, ruins what is dearer, or worn out.
    because : str
        What comes of working on: the code of its clause.
    """

    stake: Stake
    because: str

    @property
    def call(self) -> Call:
        """Stop where somebody can be hurt or something dearer is ruined; what is only worn out is booked."""
        return Call.BOOK if self.stake in (Stake.WORN_OUT, Stake.CONFIRM) else Call.STOP


_WORN = Stake.WORN_OUT

PAST_LIMIT: dict[tuple[PartKind, Measurand], PastLimit] = {
    (PartKind.SLEW_RING, Measurand.SLEW_RING_ROCK): PastLimit(Stake.UNSAFE, "past_limit.ring_lets_go"),
    (PartKind.RUBBER_TRACK, Measurand.RUBBER_PITCH): PastLimit(Stake.UNSAFE, "past_limit.cords_give_way"),
    (PartKind.BUSH, Measurand.BUSH_OD_FORWARD): PastLimit(Stake.RUINS, "past_limit.bush_breaks"),
    (PartKind.BUSH, Measurand.BUSH_OD_REVERSE): PastLimit(Stake.RUINS, "past_limit.bush_breaks"),
    (PartKind.CHAIN, Measurand.PITCH): PastLimit(_WORN, "past_limit.chain_rides_up"),
    (PartKind.LINK, Measurand.RAIL_HEIGHT): PastLimit(_WORN, "past_limit.flanges_on_bosses"),
    (PartKind.SHOE, Measurand.GROUSER_HEIGHT): PastLimit(_WORN, "past_limit.shoe_grips_less"),
    (PartKind.PAD, Measurand.PAD_HEIGHT): PastLimit(_WORN, "past_limit.steel_on_surface"),
    (PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER): PastLimit(_WORN, "past_limit.roller_carries_less"),
    (PartKind.BOTTOM_ROLLER, Measurand.FLANGE_THICKNESS): PastLimit(_WORN, "past_limit.guided_by_others"),
    (PartKind.UPPER_ROLLER, Measurand.TREAD_DIAMETER): PastLimit(_WORN, "past_limit.upper_run_rubs"),
    (PartKind.UPPER_ROLLER, Measurand.FLANGE_THICKNESS): PastLimit(_WORN, "past_limit.upper_run_unguided"),
    (PartKind.IDLER, Measurand.TREAD_DEPTH): PastLimit(_WORN, "past_limit.idler_on_bushes"),
    (PartKind.SPROCKET, Measurand.ROOT_DIAMETER): PastLimit(_WORN, "past_limit.no_longer_fit"),
    (PartKind.SPROCKET, Measurand.TOOTH_THICKNESS): PastLimit(_WORN, "past_limit.thin_teeth"),
    (PartKind.RUBBER_TRACK, Measurand.LUG_HEIGHT): PastLimit(_WORN, "past_limit.rubber_grips_less"),
    (PartKind.RUBBER_TRACK, Measurand.GUIDE_LUG_WIDTH): PastLimit(_WORN, "past_limit.guide_lugs_tear"),
}
"""Common practice, no source. Ring and cords fail without notice, and a bush is the wall round its pin; all else wears on."""

FAR_PAST = 1.5
"""Life used from which a part is far past its limit [1]: our own assumption, no source."""

FAR_PAST_LIMIT: dict[tuple[PartKind, Measurand], PastLimit] = {
    (PartKind.CHAIN, Measurand.PITCH): PastLimit(Stake.UNSAFE, "past_limit.chain_jumps"),
    (PartKind.SPROCKET, Measurand.TOOTH_THICKNESS): PastLimit(Stake.UNSAFE, "past_limit.teeth_jumped"),
    (PartKind.RUBBER_TRACK, Measurand.GUIDE_LUG_WIDTH): PastLimit(Stake.UNSAFE, "past_limit.runs_off"),
}
"""Worn out at the limit, and unsafe far past it. Common practice, no source."""


def past_limit(part: PartKind, measurand: Measurand, life_used: float = 1.0) -> PastLimit:
    """What it means that this quantity of this part is past its wear limit.

    Parameters
    ----------
    part : PartKind
        The part.
    measurand : Measurand
        What wears on it.
    life_used : float
        How far past [1], from 1.

    Returns
    -------
    PastLimit
        With the call and what it is about.

    Raises
    ------
    KeyError
        The quantity does not wear on that part.

    References
    ----------
    Common practice, no source; the rule that worn out is booked is our own, see docs/explanation/calls.md.

    Examples
    --------
    >>> past_limit(PartKind.SHOE, Measurand.GROUSER_HEIGHT).call.value
    'book'
    >>> past_limit(PartKind.SLEW_RING, Measurand.SLEW_RING_ROCK).stake.value
    'unsafe'
    """
    at_limit = PAST_LIMIT[part, measurand]
    return FAR_PAST_LIMIT.get((part, measurand), at_limit) if life_used >= FAR_PAST else at_limit
