"""What things are called: one label a thing, in the language in force."""

from collections.abc import Iterator
from typing import Any

from pitchline.trade.calls import Stake
from pitchline.trade.ground import GroundMix
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.writing import as_figure
from pitchline.verdict import METHOD
from pitchline.words.catalogue import translated
from pitchline.words.ground_names import METHODS, input_named
from pitchline.words.names import BRIEF, ORDERS, PIECE, SPANNED, all_names, asked_for, named, of_one, several


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
    return translated(named(thing))


def singular(part: PartKind) -> str:
    """One part of a kind, such as "bottom roller"."""
    return label(part)


def plural(part: PartKind) -> str:
    """Several parts of a kind, such as "bottom rollers"."""
    return translated(several(part))


def brief(stake: Stake) -> str:
    """What a call is about, in two words at most."""
    return translated(BRIEF.get(stake, named(stake)))


def piece(part: PartKind) -> str:
    """One piece of a part of which a place holds many, such as "shoe"."""
    return translated(PIECE[part])


def quantity(measurand: Measurand) -> str:
    """What is measured, such as "tread diameter"."""
    return label(measurand)


def quantity_asked(measurand: Measurand) -> str:
    """What is measured, where it is asked for."""
    return translated(asked_for(measurand))


def quantity_spanned(measurand: str) -> str:
    """What is measured over several joints, where its field says so itself; empty for any other."""
    return translated(SPANNED.get(measurand, ""))


def quantity_of_one(measurand: Measurand) -> str:
    """What is measured, beside a size of one joint."""
    return translated(of_one(measurand))


def ordered(job: JobKind, what: str) -> str:
    """A job as an order on something that has its words, such as "turn bushes, left"."""
    if job is JobKind.RESHOE:
        what = what.replace(plural(PartKind.SHOE), translated("track"), 1)
    return translated(ORDERS.get(job, "{job} {what}")).format(job=label(job), what=what)


def mix_said(mix: GroundMix) -> str:
    """The grounds of hours to come, such as "60 % middling, 40 % sharp"."""
    if len(mix.grounds) == 1:
        return label(mix.grounds[0])
    return ", ".join(f"{as_figure(100 * mix.shares[ground], '.3g')} % {label(ground)}" for ground in mix.grounds)


def method_said(outcome: Any) -> str:
    """How a figure of ground fit comes about."""
    return translated(METHODS[outcome.value])


def input_said(code: str) -> str:
    """An input of ground fit."""
    return translated(input_named(code))


def _of_ground() -> Iterator[str]:
    from pitchline.ground.describe import MOISTURES, OPEN_NAMES, UNDESCRIBED, BootTest, ThumbTest
    from pitchline.ground.going import Going
    from pitchline.ground.outcomes import OUTCOMES, Outcome
    from pitchline.ground.results import input_code
    from pitchline.ground.shoe_kinds import ShoeKind
    from pitchline.ground.soils import GROUNDS
    from pitchline.ground.spans import Basis
    from pitchline.ground.terrain import TERRAINS

    for kind in (Going, ShoeKind, ThumbTest, BootTest, Basis, Outcome):
        yield from map(named, kind)
    yield from (*GROUNDS, *OPEN_NAMES, UNDESCRIBED, *MOISTURES, *TERRAINS, *METHODS.values())
    for facts in OUTCOMES.values():
        yield from (input_named(input_code(name)) for name in (*facts.inputs, *facts.ground))
        yield from filter(None, (facts.unit,))


INGREDIENTS: tuple[str, ...] = (
    "sizes", "start", "typical life", "learned life", "what the yard does", "ground", "turned bushes", "late in life", "reading",
)  # fmt: skip
"""What a figure is made from, as a verdict names it."""


MONTHS: tuple[str, ...] = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
"""Months of a day that is written out."""


def all_labels() -> Iterator[str]:
    """Every label in English, for the catalogue."""
    from pitchline.trade.jobs import SOURCES
    from pitchline.words.cautions import WHAT_TO_DO
    from pitchline.words.how_read import HOW_READ

    yield from _of_ground()
    yield from all_names()
    yield from (*WHAT_TO_DO.values(), *SOURCES.values(), *HOW_READ.values(), METHOD, *INGREDIENTS, *MONTHS)
