"""Figures of a price list beside its lines, and the class of machine a row is for, between words and values."""

import re
from collections.abc import Iterable
from decimal import Decimal
from functools import partial

from pitchline.exchange.figures import HEAVIEST_KG, exact_mass, exact_number, number_of
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.table import TableLine
from pitchline.exchange.words import look_up
from pitchline.money.machine_class import MachineClass
from pitchline.money.owning import OWNING_WORDS, SHARES, Owning
from pitchline.money.tax import checked_tax
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.machine import MachineKind
from pitchline.trade.units import parse_mass
from pitchline.trade.writing import as_figure
from pitchline.words.catalogue import in_english
from pitchline.words.names import named

CLASS_COLUMNS = ("family", "mass from", "mass under", "gear list")
"""Columns that say for which machines a row is; all of them where they are empty or not there."""
_MONTHS = re.compile(r"([0-9]{1,2})(?:\s*(?:-|–|to)\s*([0-9]{1,2}))?", re.ASCII)
_FAMILIES = {named(kind): kind for kind in MachineKind}


def class_of(line: TableLine, gathering: Gathering) -> MachineClass | None:
    """For which machines a row is; None, with its problems noted, where that cannot be."""
    before = len(gathering.problems)
    family, gear = line.word("family"), line.word("gear list")
    kind = gathering.attempt(partial(look_up, family, _FAMILIES, "family"), line.row) if family else None
    ends = [
        gathering.attempt(partial(class_mass_of, line.word(column), column), line.row)
        for column in ("mass from", "mass under")
    ]
    if len(gathering.problems) > before:
        return None
    return gathering.attempt(partial(MachineClass, kind, ends[0], ends[1], gear), line.row)


def class_mass_of(text: str, field: str) -> float | None:
    """A mass where a class begins or ends [kg], in tonnes where no unit is typed; None where nothing is."""
    if not text.strip():
        return None
    mass_kg = parse_mass(text, "t", field).si
    if not 0 < mass_kg <= HEAVIEST_KG:
        allowed = phrase("a mass above 0 up to {mass} t", mass=as_figure(HEAVIEST_KG / 1e3))
        raise NotAllowedError(field, text, allowed, "Type it with its unit, such as 12 t.")
    return mass_kg


def class_cells(which: MachineClass) -> dict[str, str]:
    """The cells of a row's class."""
    ends = {"mass from": which.mass_from_kg, "mass under": which.mass_under_kg}
    cells = {"family": named(which.kind) if which.kind else "", "gear list": which.gear}
    return cells | {column: exact_mass(mass_kg) for column, mass_kg in ends.items() if mass_kg is not None}


def share_of(text: str, field: str) -> float:
    """A share [1] from a percentage such as "19" or "7.5 %"."""
    bare = text.strip().removesuffix("%").strip()
    number_of(bare, field)
    return float(f"{bare.replace(',', '.')}e-2")


def tax_of(text: str) -> float:
    """A tax rate [1] from a percentage."""
    return checked_tax(share_of(text, "tax percent"))


def percent(share: float) -> str:
    """A share as a percentage that reads back the same, never with a mark that could mean thousands."""
    whole, _, part = format(Decimal(repr(share)) * 100, "f").partition(".")
    part = part.rstrip("0")
    return f"{whole}.{part}{'0' * (len(part) == 3)}" if part else whole


def months_of(text: str) -> tuple[int, ...]:
    """Months as numbers, from text such as "4-10", "11 to 2" or "4, 5, 9".

    Examples
    --------
    >>> months_of("11-2, 5")
    (1, 2, 5, 11, 12)
    """
    found: set[int] = set()
    for piece in re.split(r"[,;]", text) if text.strip() else ():
        match = _MONTHS.fullmatch(piece.strip())
        first, last = (int(match[1]), int(match[2] or match[1])) if match else (0, 0)
        if not (1 <= first <= 12 and 1 <= last <= 12):
            raise NotAllowedError(
                "busy months", text, "months from 1 to 12, such as 4-10", "Type numbers of months."
            )
        found |= {(first - 1 + step) % 12 + 1 for step in range((last - first) % 12 + 1)}
    return tuple(sorted(found))


def months_text(months: tuple[int, ...]) -> str:
    """Months as they are typed, a run of them by its first and last, over the turn of the year too.

    Examples
    --------
    >>> months_text((4, 5, 6)), months_text((1, 2, 11, 12)), months_text((4, 6))
    ('4-6', '11-2', '4, 6')
    """
    begins = [month for month in months if (month - 2) % 12 + 1 not in months]
    if len(begins) == 1 and len(months) > 1:
        return f"{begins[0]}-{(begins[0] + len(months) - 2) % 12 + 1}"
    return ", ".join(map(str, months))


def owning_of(entered: Iterable[tuple[str, str, int]], gathering: Gathering) -> Owning | None:
    """What a standing hour is reckoned from; None, with its problems noted, where it cannot be.

    Parameters
    ----------
    entered : iterable of (str, str, int)
        Each figure's name in `Owning`, its text and its row; at least one.
    gathering : Gathering
        Where its problems go.
    """
    texts = {name: (text, row) for name, text, row in entered}
    first, before = min(row for _, row in texts.values()), len(gathering.problems)
    figures = {}
    for name, (text, row) in texts.items():
        reads = share_of if name in SHARES else number_of
        figures[name] = gathering.attempt(partial(reads, text, OWNING_WORDS[name]), row)
    for name in ("price_new", "life_h", "hours_per_year"):
        if name not in texts:
            step = in_english("Enter it, or leave out every other owning figure.")
            gathering.add(OWNING_WORDS[name], phrase("nothing"), "a number above 0", step, first)
    if len(gathering.problems) > before:
        return None
    rows = {OWNING_WORDS[name]: row for name, (_, row) in texts.items()}
    try:
        return Owning(**figures)  # type: ignore[arg-type]  # none is None here
    except NotAllowedError as error:
        gathering.take(error.problem, rows.get(error.problem.field, first))
        return None


def owning_texts(owning: Owning) -> dict[str, str]:
    """Each figure as a price list writes it, those that are nothing left out."""
    return {
        words: percent(figure) if name in SHARES else exact_number(figure)
        for name, words in OWNING_WORDS.items()
        if (figure := getattr(owning, name))
    }
