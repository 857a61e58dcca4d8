"""What a ground fit comes to for whoever sends the machine there: per ground what to do, and which shoe gets further."""

from dataclasses import dataclass, replace
from enum import StrEnum

from pitchline.ground.going import SUITS_SHARE, Going
from pitchline.ground.section import GroundOutcome, GroundSection, ShoeOutcome
from pitchline.ground.soils import GROUNDS
from pitchline.ground.two_machines import RANKS, TELLS_APART
from pitchline.trade.ground import GroundClass

LIKELIER = 0.5
"""Share of the cases from which "with care" is said; below it the ground is to be tried first. Our own."""


class Advice(StrEnum):
    """What to do about a ground, the mildest first."""

    SUITS = "suits"
    WITH_CARE = "with_care"
    TRY_FIRST = "try_first"
    ASK_FIRST = "ask_first"
    KEEP_OFF = "keep_off"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class OnGround:
    """What to do about one ground.

    Parameters
    ----------
    ground : str
        Its name.
    advice : Advice
        What to do.
    share : float or None
        Share of the cases in which every method lets the machine go [1]; None where none says anything.
    wider : ShoeOutcome or None
        A shoe that gets further there; None where none is known to.
    wider_going : Going or None
        What is said of the machine there with it.
    wider_share : float or None
        The same share with it [1].
    """

    ground: str
    advice: Advice
    share: float | None
    wider: ShoeOutcome | None = None
    wider_going: Going | None = None
    wider_share: float | None = None


def advice_on(one: GroundOutcome) -> Advice:
    """What to do about a ground: never milder than what was found.

    Returns
    -------
    Advice
        Where it passes nearly every test and is called uncertain all the same, it stands near tipping or sliding: ask first.
    """
    if one.going is Going.SUITS:
        return Advice.SUITS
    if one.going is Going.DOES_NOT:
        return Advice.KEEP_OFF
    if one.going is Going.UNKNOWN:
        return Advice.UNKNOWN
    if one.share is None or one.share >= SUITS_SHARE:
        return Advice.ASK_FIRST
    return Advice.WITH_CARE if one.share >= LIKELIER else Advice.TRY_FIRST


def answer(section: GroundSection) -> tuple[OnGround, ...]:
    """What to do about each ground of a section.

    Returns
    -------
    tuple of OnGround
        In the order of the grounds.
    """
    wider = _further(section)
    told = []
    for place, one in enumerate(section.grounds):
        told.append(OnGround(one.name, advice_on(one), one.share))
        if wider is not None and _better(wider, _fitted(section), place):
            share = wider.shares[place] if wider.shares else None
            told[-1] = replace(told[-1], wider=wider, wider_going=wider.going[place], wider_share=share)
    return tuple(told)


def _fitted(section: GroundSection) -> ShoeOutcome | None:
    return next((shoe for shoe in section.shoes if shoe.fitted), None)


def _further(section: GroundSection) -> ShoeOutcome | None:
    """Of the shoes that do no worse on any of the grounds the narrowest that suits more of them; where none does, the furthest.

    None where one of the grounds is rock or rubble, on which wide shoes bend.
    """
    own = _fitted(section)
    harsh = any(GROUNDS[one.name].wears is GroundClass.HARSH for one in section.grounds if one.name in GROUNDS)
    if own is None or harsh:
        return None
    places = range(len(section.grounds))
    able = [
        shoe
        for shoe in section.shoes
        if shoe is not own
        and shoe.kind == own.kind
        and not any(_better(own, shoe, place) for place in places)
        and any(_better(shoe, own, place) for place in places)
    ]
    most = max((_suits(shoe) for shoe in able), default=0)
    if most > _suits(own):
        return min((shoe for shoe in able if _suits(shoe) == most), key=lambda shoe: shoe.width_m)
    return max(able, key=lambda shoe: sum(share or 0.0 for share in shoe.shares), default=None)


def _suits(shoe: ShoeOutcome) -> int:
    return shoe.going.count(Going.SUITS)


def _better(shoe: ShoeOutcome, than: ShoeOutcome | None, place: int) -> bool:
    """Whether one shoe is told to do better on a ground than another; never where one of them is unknown."""
    if than is None or Going.UNKNOWN in (shoe.going[place], than.going[place]):
        return False
    ranks = [RANKS[one.going[place]] for one in (shoe, than)]
    if ranks[0] != ranks[1] or not (shoe.shares and than.shares):
        return ranks[0] > ranks[1]
    return (shoe.shares[place] or 0.0) - (than.shares[place] or 0.0) >= TELLS_APART
