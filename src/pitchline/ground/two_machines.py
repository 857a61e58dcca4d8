"""Two machines on the same grounds: which suits which, and why, in words."""

from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.ground.going import Going
from pitchline.ground.outcomes import Outcome
from pitchline.ground.section import GroundOutcome, GroundSection
from pitchline.ground.soils import GROUNDS, Surface
from pitchline.ground.words import listed_said
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.ground import GroundClass

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
    said : str
        What is said of each, and why.
    """

    ground: str
    better: int | None
    said: str


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


def all_said(compared: Sequence[Beside], names: Sequence[str]) -> str:
    """Which machine for which ground, in a sentence.

    Returns
    -------
    str
        A sentence; says so where nothing tells them apart.
    """
    told = []
    for place, name in enumerate(names):
        grounds = [one.ground for one in compared if one.better == place]
        if grounds:
            told.append(f"{name} rather on {listed_said(grounds)}")
    alike = [one.ground for one in compared if one.better is None]
    if alike:
        told.append(f"nothing tells them apart on {listed_said(alike)}")
    return f"{'; '.join(told)}."


def _beside(
    pair: tuple[GroundOutcome, GroundOutcome], sections: tuple[GroundSection, GroundSection], names: Sequence[str]
) -> Beside:
    ground = pair[0].name
    ranks = [RANKS.get(one.going, -1) for one in pair]
    said = f"{names[0]}: {_told(pair[0])} {names[1]}: {_told(pair[1])}"
    if -1 in ranks:
        narrow = _spared(ground, sections)
        return Beside(ground, None, said + (_bends(names[1 - narrow]) if narrow is not None else ""))
    better = _better(ranks, pair)
    if better is not None:
        return Beside(ground, better, f"{said} {_pressed(pair, sections)}")
    narrow = _spared(ground, sections)
    if narrow is not None:
        return Beside(ground, narrow, said + _bends(names[1 - narrow]))
    known = GROUNDS.get(ground)
    width = " Width gives nothing here." if known is not None and known.surface is Surface.HARD else ""
    return Beside(ground, None, said + width)


def _told(one: GroundOutcome) -> str:
    return f"{one.going.label}. {one.because}"


def _better(ranks: Sequence[int], pair: tuple[GroundOutcome, GroundOutcome]) -> int | None:
    if ranks[0] != ranks[1]:
        return int(ranks[1] > ranks[0])
    first, second = ((one.share or 0.0) for one in pair)
    return None if abs(first - second) < TELLS_APART else int(second > first)


def _pressed(pair: tuple[GroundOutcome, GroundOutcome], sections: tuple[GroundSection, GroundSection]) -> str:
    """Contact pressure and shoe width of both, which is why."""
    told = []
    for one, section in zip(pair, sections, strict=True):
        found = one.figure(Outcome.PRESSURE)
        if found.low is None or found.high is None:
            return ""
        low, high = (f"{end / 1e3:.0f}" for end in (found.low, found.high))
        told.append(
            f"{low if low == high else f'{low} to {high}'} kPa on {section.shoe_width_m * 1e3:.0f} mm shoes"
        )
    return f"They press with {told[0]} against {told[1]}."


def _spared(ground: str, sections: tuple[GroundSection, GroundSection]) -> int | None:
    """On rock and rubble the clearly narrower shoe, by common practice."""
    known = GROUNDS.get(ground)
    if known is None or known.wears is not GroundClass.HARSH:
        return None
    first, second = (section.shoe_width_m for section in sections)
    return None if abs(first - second) < 0.05 else int(second < first)


def _bends(name: str) -> str:
    return f" The wider shoes of {name} bend, crack and pull bolts there (common practice, no source)."
