"""A ground fit in one sentence a customer acts on, never saying more than was found."""

from collections.abc import Sequence

from pitchline.ground.answer import Advice, OnGround, answer
from pitchline.ground.going import Going
from pitchline.ground.section import GroundOutcome, GroundSection
from pitchline.ground.two_machines import TELLS_APART, Beside
from pitchline.trade.saying import Saying, saying
from pitchline.words import say


def answer_said(section: GroundSection) -> str:
    """What to do about the grounds of a machine, in a sentence.

    Returns
    -------
    str
        Such as "Empty, on the level: it suits hard earth; go with care on wet heavy clay; 750 mm shoes get further: on wet heavy
        clay they are up to it in 8 of 10 such places, these in 6; on the spot a competent person decides."
    """
    found = answer(section)
    told = []
    for advice in Advice:
        alike = [one.ground for one in found if one.advice is advice]
        if alike:
            told.append(saying(f"send.{advice}", grounds=alike))
    code = "send.answer" if section.entered else "send.answer_for_stand_ins"
    return say(saying(code, task=section.task, told=[*told, *_shoes(found)]))


def _shoes(found: Sequence[OnGround]) -> tuple[Saying, ...]:
    """The shoe that gets further, and how much further."""
    better = [one for one in found if one.wider is not None]
    if not better or better[0].wider is None:
        return ()
    suited = [one.ground for one in better if one.wider_going is Going.SUITS]
    told = [saying("send.shoes_suit", grounds=suited)] if suited else []
    for one in better:
        if one.wider_going is not Going.SUITS and one.wider_share is not None:
            told.append(
                saying(
                    "send.shoes_up_to", ground=one.ground, wider=_cases(one.wider_share), own=_tenths(one.share)
                )
            )
    code = f"send.{'ask_for_shoes' if suited else 'shoes_get_further'}{'_as_told' if told else ''}"
    return (saying(code, width_m=better[0].wider.width_m, **({"told": told} if told else {})),)


def _tenths(share: float | None) -> Saying | int:
    """A share in tenths, rounded down so that nothing is promised."""
    tenths = int(10 * (share or 0.0) + 1e-9)
    return tenths or saying("send.hardly_any")


def _cases(share: float | None) -> Saying:
    tenths = int(10 * (share or 0.0) + 1e-9)
    return saying("send.places", tenths=tenths) if tenths else saying("send.hardly_any_place")


def hire_said(compared: Sequence[Beside], sections: Sequence[GroundSection], names: Sequence[str]) -> str:
    """Which of two machines to send to which ground, in a sentence.

    Parameters
    ----------
    compared : sequence of Beside
        Both ground by ground.
    sections : sequence of GroundSection
        Of both, on the same grounds.
    names : sequence of str
        Names of both.

    Returns
    -------
    str
        Such as "For wet clay Wide, it suits it, Narrow does not suit it; on the spot a competent person decides."; says so where
        nothing tells them apart.
    """
    told, pairs = [], list(zip(*(each.grounds for each in sections), strict=True))
    for place, name in enumerate(names):
        for one, pair in zip(compared, pairs, strict=True):
            if one.better == place:
                against = _against(pair[place], pair[1 - place], names[1 - place])
                told.append(saying("send.rather", ground=one.ground, name=name, against=against))
    off = [one.name for one, other in pairs if one.going is other.going is Going.DOES_NOT]
    alike = [one.ground for one in compared if one.better is None and one.ground not in off]
    if alike:
        told.append(saying("send.neither", grounds=alike))
    if off:
        told.append(saying("send.keep_both_off", grounds=off))
    return say(saying("send.hire", told=saying("send.listed", told=told)))


def _against(one: GroundOutcome, other: GroundOutcome, name: str) -> Saying:
    """What the better machine does there, and the other one."""
    if one.going is not other.going:
        return saying("send.it_does", does=_does(one), name=name, other=_does(other))
    more = one.share or 0.0
    if more - (other.share or 0.0) < TELLS_APART:  # alike by the cases: told apart by what wide shoes do on rock
        return saying("send.wider_bends", name=name)
    code = "send.twice_as_often" if more >= 2 * (other.share or 0.0) else "send.more_often"
    return saying(code, name=name, cases=_cases(one.share), other=_tenths(other.share))


def _does(one: GroundOutcome) -> Saying:
    if one.going is Going.SUITS:
        return saying("send.does_suit")
    if one.going is Going.DOES_NOT:
        return saying("send.does_not_suit")
    return saying("send.does_up_to", cases=_cases(one.share))
