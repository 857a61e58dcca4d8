"""What things are called: one label a thing, in the language in force."""

from collections.abc import Iterator
from enum import Enum
from typing import Any

from pitchline.trade.bolts import PIECES
from pitchline.trade.calls import Call, Stake
from pitchline.trade.consequences import FindingKind, Severity
from pitchline.trade.ground import GROUND_EXAMPLES, GroundClass, GroundMix
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import ChainType, MachineKind, TrackKind
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.trade.writing import as_figure
from pitchline.words.catalogue import translated


def label(thing: Any) -> str:
    """The name of a thing for reading.

    Parameters
    ----------
    thing : Enum or Place
        A word of the trade, or where a part sits.
    """
    if isinstance(thing, Place):
        words = singular(thing.part) + (f" {thing.position}" if thing.position else "")
        return f"{words}, {label(thing.side)}" if thing.side.value else words
    return translated(_english(thing))


def _english(thing: Any) -> str:
    return str(getattr(thing, "label", None) or thing.value)


def singular(part: PartKind) -> str:
    """One part of a kind, such as "bottom roller"."""
    return translated(PARTS[part].singular)


def plural(part: PartKind) -> str:
    """Several parts of a kind, such as "bottom rollers"."""
    return translated(PARTS[part].plural)


def brief(stake: Stake) -> str:
    """What a call is about, in two words at most."""
    return translated(stake.brief)


def piece(part: PartKind) -> str:
    """One piece of a part of which a place holds many, such as "shoe"."""
    return translated(PIECES[part])


def quantity(measurand: Measurand) -> str:
    """What is measured, such as "tread diameter"."""
    return translated(MEASURANDS[measurand].label)


def mix_said(mix: GroundMix) -> str:
    """The grounds of hours to come, such as "60 % middling, 40 % sharp"."""
    if len(mix.grounds) == 1:
        return label(mix.grounds[0])
    return ", ".join(f"{as_figure(100 * mix.shares[ground], '.3g')} % {label(ground)}" for ground in mix.grounds)


def _of_ground() -> Iterator[str]:
    from pitchline.ground.describe import MOISTURES, OPEN_NAMES, UNDESCRIBED, BootTest, ThumbTest
    from pitchline.ground.going import Going
    from pitchline.ground.outcomes import OUTCOMES
    from pitchline.ground.results import input_label
    from pitchline.ground.shoes import ShoeKind
    from pitchline.ground.soils import GROUNDS
    from pitchline.ground.spans import Basis
    from pitchline.ground.terrain import TERRAINS

    for kind in (Going, ShoeKind, ThumbTest, BootTest, Basis):
        yield from map(_english, kind)
    yield from (*GROUNDS, *OPEN_NAMES, UNDESCRIBED, *MOISTURES, *TERRAINS)
    for facts in OUTCOMES.values():
        yield from (facts.label, facts.method, *(input_label(name) for name in (*facts.inputs, *facts.ground)))
        if facts.unit:
            yield facts.unit


_CALLED: tuple[type[Enum], ...] = (
    Side, Call, Stake, FindingKind, Severity, JobKind, GroundClass, MachineKind, TrackKind, ChainType,
)  # fmt: skip


A_MACHINE: dict[MachineKind, str] = {
    MachineKind.EXCAVATOR: "an excavator",
    MachineKind.DOZER: "a dozer",
    MachineKind.TRACK_LOADING_SHOVEL: "a track loading shovel",
    MachineKind.PAVER: "a paver",
    MachineKind.OTHER_TRACKED: "a tracked machine of another kind",
}
"""A machine of a family, in the midst of a sentence."""


MONTHS: tuple[str, ...] = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
"""Months of a day that is written out."""


def all_labels() -> Iterator[str]:
    """Every label in English, for the catalogue."""
    yield from _of_ground()
    for kind in _CALLED:
        yield from (_english(thing) for thing in kind if _english(thing))
    for words in PARTS.values():
        yield from (words.singular, words.plural)
    yield from PIECES.values()
    yield from (stake.brief for stake in Stake)
    for measured in MEASURANDS.values():
        yield from (measured.label, measured.asked, measured.of_one)
    yield from (*A_MACHINE.values(), *MONTHS, *GROUND_EXAMPLES.values())
