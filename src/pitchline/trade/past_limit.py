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
        What comes of working on, in one clause.
    """

    stake: Stake
    because: str

    @property
    def call(self) -> Call:
        """Stop where somebody can be hurt or something dearer is ruined; what is only worn out is booked."""
        return Call.BOOK if self.stake is Stake.WORN_OUT else Call.STOP


_WORN = Stake.WORN_OUT

PAST_LIMIT: dict[tuple[PartKind, Measurand], PastLimit] = {
    (PartKind.SLEW_RING, Measurand.SLEW_RING_ROCK): PastLimit(
        Stake.UNSAFE, "the upper machine hangs on this bearing, and one worn through lets go without notice"
    ),
    (PartKind.RUBBER_TRACK, Measurand.RUBBER_PITCH): PastLimit(
        Stake.UNSAFE, "steel cords do not stretch unless they give way: the track can part or jump off"
    ),
    (PartKind.BUSH, Measurand.BUSH_OD_FORWARD): PastLimit(
        Stake.RUINS, "a bush that wears through breaks, and takes pin, link bores and sprocket with it"
    ),
    (PartKind.BUSH, Measurand.BUSH_OD_REVERSE): PastLimit(
        Stake.RUINS, "a bush that wears through breaks, and takes pin, link bores and sprocket with it"
    ),
    (PartKind.CHAIN, Measurand.PITCH): PastLimit(
        _WORN, "the chain rides up on the teeth and wears the sprocket; far past the limit it jumps"
    ),
    (PartKind.LINK, Measurand.RAIL_HEIGHT): PastLimit(_WORN, "the rollers' flanges come down on the pin bosses"),
    (PartKind.SHOE, Measurand.GROUSER_HEIGHT): PastLimit(
        _WORN, "it grips less, on slopes too, and the thin plate bends"
    ),
    (PartKind.PAD, Measurand.PAD_HEIGHT): PastLimit(_WORN, "steel comes down on the surface it runs on"),
    (PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER): PastLimit(
        _WORN, "its flanges come up to the pin bosses, and the rollers beside it carry its load"
    ),
    (PartKind.BOTTOM_ROLLER, Measurand.FLANGE_THICKNESS): PastLimit(
        _WORN, "the track is guided by the rollers beside it; where theirs are gone too, it runs off"
    ),
    (PartKind.UPPER_ROLLER, Measurand.TREAD_DIAMETER): PastLimit(_WORN, "the upper run hangs lower and rubs"),
    (PartKind.UPPER_ROLLER, Measurand.FLANGE_THICKNESS): PastLimit(
        _WORN, "the upper run is no longer guided there"
    ),
    (PartKind.IDLER, Measurand.TREAD_DEPTH): PastLimit(_WORN, "its centre flange comes up to the bushes"),
    (PartKind.SPROCKET, Measurand.ROOT_DIAMETER): PastLimit(
        _WORN, "chain and sprocket no longer fit and wear each other"
    ),
    (PartKind.SPROCKET, Measurand.TOOTH_THICKNESS): PastLimit(
        _WORN, "thin teeth wear the bushes; once they are hooked or break, the chain jumps"
    ),
    (PartKind.RUBBER_TRACK, Measurand.LUG_HEIGHT): PastLimit(
        _WORN, "it grips less, on slopes too, and the body over the cords wears next"
    ),
    (PartKind.RUBBER_TRACK, Measurand.GUIDE_LUG_WIDTH): PastLimit(
        _WORN, "thin guide lugs tear; where two in a row are gone, the track runs off"
    ),
}
"""Common practice, no source. Ring and cords fail without notice, and a bush is the wall round its pin; all else wears on."""

FAR_PAST = 1.5
"""Life used from which a part is far past its limit [1]: our own assumption, no source."""

FAR_PAST_LIMIT: dict[tuple[PartKind, Measurand], PastLimit] = {
    (PartKind.CHAIN, Measurand.PITCH): PastLimit(
        Stake.UNSAFE, "so far past it the chain jumps its teeth, and drive and hold of that side go"
    ),
    (PartKind.SPROCKET, Measurand.TOOTH_THICKNESS): PastLimit(
        Stake.UNSAFE, "so far past it the chain jumps the teeth, and drive and hold of that side go"
    ),
    (PartKind.RUBBER_TRACK, Measurand.GUIDE_LUG_WIDTH): PastLimit(
        Stake.UNSAFE, "so far past it the guide lugs tear, and the track runs off"
    ),
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
