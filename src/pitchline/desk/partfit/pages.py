"""What the page of which part fits shows; no figure is computed here."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.safestring import SafeString

from pitchline.desk.drawing import measured_address
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.shelved import BESIDES, shelved
from pitchline.desk.partfit.asking import Answer, Asked, as_typed, gear_of, many_on, read_on, size_said, unit_of
from pitchline.desk.partfit.forms import PARTS, PREFIX, help_of, in_unit
from pitchline.desk.partfit.models import PartsTable
from pitchline.desk.people.models import Business
from pitchline.match.from_machine import MEASURED
from pitchline.match.ranking import Ranked
from pitchline.match.wording import answer
from pitchline.papers import words
from pitchline.papers.order_told import order_lines
from pitchline.stops.order import order_of_part
from pitchline.trade.measurands import Measurand
from pitchline.trade.part_sizes import PartSize, sizes_of_part
from pitchline.trade.parts import PartKind
from pitchline.trade.units import UnitSystem
from pitchline.words import label, say, worded
from pitchline.words.labels import singular

_PICTURES = {
    PartKind.CHAIN: Measurand.PITCH,
    PartKind.SHOE: Measurand.GROUSER_HEIGHT,
    PartKind.PAD: Measurand.PAD_HEIGHT,
    PartKind.BOTTOM_ROLLER: Measurand.TREAD_DIAMETER,
    PartKind.UPPER_ROLLER: Measurand.TREAD_DIAMETER,
    PartKind.IDLER: Measurand.TREAD_DEPTH,
    PartKind.SPROCKET: Measurand.TOOTH_THICKNESS,
    PartKind.RUBBER_TRACK: Measurand.LUG_HEIGHT,
    PartKind.SLEW_RING: Measurand.SLEW_RING_ROCK,
}
_OF_SIZE = {size: measurand for (_, measurand), (_, size) in MEASURED.items()}
LEAST_SHOWN = 0.005
"""Parts less likely than this are not listed, but for the first three."""


@dataclass(frozen=True, slots=True)
class Card:
    """A part to choose."""

    name: str
    href: str
    picture: str


@dataclass(frozen=True, slots=True)
class Field:
    """A size to type.

    Parameters
    ----------
    size : PartSize
        Which.
    name, label, unit, help, typed : str
        Its name in the address, what it is called, the unit of a bare figure, how it is read as HTML, what stands in it.
    picture : str
        Address of its picture; empty where there is none.
    asked : bool
        Whether it is the one to read next.
    """

    size: PartSize
    name: str
    label: str
    unit: str
    help: SafeString
    typed: str
    picture: str
    asked: bool


@dataclass(frozen=True, slots=True)
class Row:
    """A part the lists have.

    Parameters
    ----------
    number, chance, outside, note : str
        What the list calls it, how likely it is, what does not agree, what else the list says.
    where, href : str
        The table or the entry of the gear list it stands in, and its address.
    sizes : tuple of (str, str, str)
        Its sizes: name, new, and as read; those read first.
    quote : str
        Address of a quote for it; empty where none can be made.
    """

    number: str
    chance: str
    outside: str
    note: str
    where: str
    href: str
    sizes: tuple[tuple[str, str, str], ...]
    quote: str


def cards(machine: Machine | None) -> list[Card]:
    """The parts to choose from; of a machine those it has."""
    parts = [part for part in PARTS if machine is None or not machine.file_text or many_on(machine, part)]
    return [
        Card(words.first_up(singular(part)), _address(part, machine), _picture(part)) for part in parts or PARTS
    ]


def _picture(part: PartKind) -> str:
    """Address of a part's picture; empty where there is none."""
    return measured_address(_PICTURES[part]) if part in _PICTURES else ""


def _address(part: PartKind, machine: Machine | None) -> str:
    more = {"machine": str(machine.pk)} if machine is not None else {}
    return f"{reverse('which-part')}?{urlencode({'part': part.value} | more)}#main"


def fields_of(
    asked: Asked, typed: Mapping[str, str], business: Business, filled: dict[str, str], answered: Answer | None
) -> list[Field]:
    """The sizes to type, in the order they are asked for."""
    looks = answered.looks if answered is not None and not answered.match.fits else ()
    found = []
    for size in sizes_of_part(asked.part) if asked.part is not None else ():
        name = PREFIX + size.value
        found.append(
            Field(
                size,
                name,
                words.first_up(label(size)),
                unit_of(business) if in_unit(size) else "",
                help_of(size),
                typed.get(name, filled.get(name, "")),
                measured_address(_OF_SIZE[size], True) if size in _OF_SIZE else "",
                bool(looks) and looks[0].size is size,
            )
        )
    return found


def filled_in(machine: Machine, part: PartKind, business: Business) -> tuple[dict[str, str], str, list[str]]:
    """What the last walk-round read, by field; its day; and where each was read."""
    read, day = read_on(machine, part)
    unit = unit_of(business)
    filled = {PREFIX + size.value: as_typed(one, unit) for size, one in read.items()}
    return filled, day, [label(one.place) for one in read.values()]


def shown(answered: Answer, asked: Asked, business: Business, machine: Machine | None) -> dict[str, Any]:
    """What the lists say, for the page."""
    units, match = UnitSystem(business.units), answered.match
    listed = [one for place, one in enumerate(match.ranked) if place < 3 or one.chance >= LEAST_SHOWN]
    many = many_on(machine, asked.part) if machine is not None and asked.part is not None else 0
    return {
        "said": say(answer(match, answered.looks)),
        "fits": match.fits,
        "rows": [_row(one, answered, asked, units, machine, many) for one in listed],
        "none": worded("{chance:in_a_hundred}", chance=match.none),
        "looks": [label(one.size) for one in answered.looks[1:3]] if not match.fits else [],
        "parts": answered.parts,
        "many": many,
        "with_it": goes_with(machine, asked.part) if machine is not None and asked.part is not None else [],
    }  # fmt: skip


def goes_with(machine: Machine, part: PartKind) -> list[tuple[str, str, str]]:
    """What is ordered where all of a part of a machine are renewed: how many, what, and what to know of it."""
    gear = gear_of(machine)
    if gear is None:
        return []
    (order,) = shelved(machine, [order_of_part(part, gear)], BESIDES)
    return order_lines(order)


def _row(
    one: Ranked, answered: Answer, asked: Asked, units: UnitSystem, machine: Machine | None, many: int
) -> Row:
    where = answered.found[id(one.part)]
    is_table = isinstance(where, PartsTable)
    read = {each.size: size_said(each.size, each.value, units) for each in asked.readings}
    order = sorted(one.part.sizes, key=lambda size: size not in read)
    sizes = tuple(
        (label(size), size_said(size, one.part.sizes[size], units), read.get(size, "")) for size in order
    )
    quote = ""
    if machine is not None and many:
        asks = {"part": one.part.part.value, "many": many, "listed_as": f"{one.part.number}, {where.name}"[:200]}
        quote = f"{reverse('free-quote', args=[machine.pk])}?{urlencode(asks)}"
    return Row(
        one.part.number,
        worded("{chance:in_a_hundred}", chance=one.chance),
        ", ".join(label(size) for size in one.outside),
        one.part.note,
        where.name,
        reverse("parts-table" if is_table else "book-entry", args=[where.pk]),
        sizes,
        quote,
    )
