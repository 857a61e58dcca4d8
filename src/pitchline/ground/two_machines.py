"""Two machines on the same grounds: which suits which, and why."""

from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.ground.going import Going
from pitchline.ground.outcomes import Outcome
from pitchline.ground.section import GroundOutcome, GroundSection
from pitchline.ground.soils import GROUNDS, Surface
from pitchline.ground.why import together
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.ground import GroundClass
from pitchline.trade.saying import Saying, saying

RANKS = {Going.DOES_NOT: 0, Going.UNCERTAIN: 1, Going.SUITS: 2}
TELLS_APART = 0.1
"""Difference in the share of the cases from which one of two that are called the same is told to do better; our own."""


@dataclass(frozen=True, slots=True)
class Beside:
    """Two machines on one ground.

    Parameters
    ----------
    ground : str
        The ground.
    better : int or None
        0 for the first machine, 1 for the second; None where nothing tells them apart.
    said : Saying
        What is said of each, and why.
    """

    ground: str
    better: int | None
    said: Saying


def beside(sections: Sequence[GroundSection], names: Sequence[str]) -> tuple[Beside, ...]:
    """Two machines ground by ground.

    Parameters
    ----------
    sections : sequence of GroundSection
        Two, on the same grounds in the same order.
    names : sequence of str
        Names of both.

    Raises
    ------
    NotAllowedError
        Sections on different grounds.
    """
    first, second = sections
    if [one.name for one in first.grounds] != [one.name for one in second.grounds]:
        raise NotAllowedError("grounds", "different ones", "the same for both machines")
    return tuple(_beside(pair, (first, second), names) for pair in zip(first.grounds, second.grounds, strict=True))


def all_said(compared: Sequence[Beside], names: Sequence[str]) -> Saying:
    """Which machine for which ground.

    Returns
    -------
    Saying
        A sentence; says so where nothing tells them apart.
    """
    told = []
    for place, name in enumerate(names):
        grounds = [one.ground for one in compared if one.better == place]
        if grounds:
            told.append(saying("beside.rather_on", name=name, grounds=grounds))
    alike = [one.ground for one in compared if one.better is None]
    if alike:
        told.append(saying("beside.alike_on", grounds=alike))
    return saying("beside.all_grounds", told=told)


def _beside(
    pair: tuple[GroundOutcome, GroundOutcome], sections: tuple[GroundSection, GroundSection], names: Sequence[str]
) -> Beside:
    ground = pair[0].name
    ranks = [RANKS.get(one.going, -1) for one in pair]
    said = [
        saying("beside.each", name=name, going=one.going, because=one.because)
        for name, one in zip(names, pair, strict=True)
    ]
    narrow = _spared(ground, sections)
    # of two that do not suit neither is the one to send
    is_open = -1 not in ranks and max(ranks) > RANKS[Going.DOES_NOT]
    better = _better(ranks, pair) if is_open else None
    if better is not None:
        return Beside(ground, better, together(*said, *_pressed(pair, sections)))
    if narrow is not None:
        bends = saying("beside.wider_bends", name=names[1 - narrow])
        return Beside(ground, narrow if is_open else None, together(*said, bends))
    known = GROUNDS.get(ground)
    if -1 not in ranks and known is not None and known.surface is Surface.HARD:
        said.append(saying("beside.width_gives_nothing"))
    return Beside(ground, None, together(*said))


def _better(ranks: Sequence[int], pair: tuple[GroundOutcome, GroundOutcome]) -> int | None:
    if ranks[0] != ranks[1]:
        return int(ranks[1] > ranks[0])
    first, second = ((one.share or 0.0) for one in pair)
    return None if abs(first - second) < TELLS_APART else int(second > first)


def _pressed(
    pair: tuple[GroundOutcome, GroundOutcome], sections: tuple[GroundSection, GroundSection]
) -> tuple[Saying, ...]:
    """Contact pressure and shoe width of both, which is why; nothing where one has no figure."""
    told = []
    for one, section in zip(pair, sections, strict=True):
        found = one.figure(Outcome.PRESSURE)
        if found.low is None or found.high is None:
            return ()
        told.append(saying("beside.presses", ends_pa=(found.low, found.high), width_m=section.shoe_width_m))
    return (saying("beside.press", one=told[0], other=told[1]),)


def _spared(ground: str, sections: tuple[GroundSection, GroundSection]) -> int | None:
    """On rock and rubble the clearly narrower shoe, by common practice."""
    known = GROUNDS.get(ground)
    if known is None or known.wears is not GroundClass.HARSH:
        return None
    first, second = (section.shoe_width_m for section in sections)
    return None if abs(first - second) < 0.05 else int(second < first)
