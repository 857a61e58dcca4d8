"""A ground fit in one sentence a customer acts on, never saying more than was found."""

from collections.abc import Sequence

from pitchline.ground.answer import Advice, OnGround, answer
from pitchline.ground.going import Going
from pitchline.ground.section import GroundOutcome, GroundSection
from pitchline.ground.two_machines import Beside
from pitchline.ground.words import listed_said
from pitchline.papers.words import first_up

_DO = {
    Advice.SUITS: "it suits {}",
    Advice.WITH_CARE: "go with care on {}",
    Advice.TRY_FIRST: "on {} try the ground first, for more is against it there than for it",
    Advice.ASK_FIRST: "on {} only by a competent person's word",
    Advice.KEEP_OFF: "keep off {}",
    Advice.UNKNOWN: "nobody can say of {}, so have it looked at before it goes there",
}
_DECIDES = "on the spot a competent person decides"


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
            told.append(_DO[advice].format(listed_said(alike)))
    head = (
        section.task if section.entered else f"nobody named its ground, so these stand in for it; {section.task}"
    )
    return f"{first_up(head)}: {'; '.join((*told, *_shoes(found)))}; {_DECIDES}."


def _shoes(found: Sequence[OnGround]) -> tuple[str, ...]:
    """The shoe that gets further, and how much further."""
    better = [one for one in found if one.wider is not None]
    if not better or better[0].wider is None:
        return ()
    suited = [one.ground for one in better if one.wider_going is Going.SUITS]
    told = [f"they suit {listed_said(suited)}"] if suited else []
    for one in better:
        if one.wider_going is not Going.SUITS and one.wider_share is not None:
            told.append(
                f"on {one.ground} they are up to it in {_cases(one.wider_share)}, these in {_tenths(one.share)}"
            )
    width = f"{better[0].wider.width_m * 1e3:.0f} mm shoes"
    head = f"ask for {width}" if suited else f"{width} get further"
    return (f"{head}: {', '.join(told)}" if told else head,)


def _tenths(share: float | None) -> str:
    """A share in tenths, rounded down so that nothing is promised."""
    tenths = int(10 * (share or 0.0) + 1e-9)
    return str(tenths) if tenths else "hardly any"


def _cases(share: float | None) -> str:
    return f"{_tenths(share)} of 10 such places" if int(10 * (share or 0.0) + 1e-9) else "hardly any such place"


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
    told = []
    for place, name in enumerate(names):
        for one, pair in zip(compared, zip(*(each.grounds for each in sections), strict=True), strict=True):
            if one.better == place:
                told.append(f"for {one.ground} {name}, {_against(pair[place], pair[1 - place], names[1 - place])}")
    alike = [one.ground for one in compared if one.better is None]
    if alike:
        told.append(f"for {listed_said(alike)} neither is told to be the better one")
    return f"{first_up('; '.join(told))}; {_DECIDES}."


def _against(one: GroundOutcome, other: GroundOutcome, name: str) -> str:
    """What the better machine does there, and the other one."""
    if one.going is not other.going:
        return f"it {_does(one)}, {name} {_does(other)}"
    more = one.share or 0.0
    twice = "twice as often as" if more >= 2 * (other.share or 0.0) else "more often than"
    return f"with care: it is up to it {twice} {name}, in {_cases(one.share)} against {_tenths(other.share)}"


def _does(one: GroundOutcome) -> str:
    if one.going is Going.SUITS:
        return "suits it"
    return "does not suit it" if one.going is Going.DOES_NOT else f"is up to it in {_cases(one.share)}"
