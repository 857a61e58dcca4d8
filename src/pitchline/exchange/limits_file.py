"""A yard's sizes and limits as a table, in and out, as CSV or workbook; texts stay as typed.

See docs/howto/enter-your-limits.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from pitchline.exchange.gathering import Gathering
from pitchline.exchange.table import Layout, TableLine, read_table, write_table
from pitchline.exchange.words import measurand_of, part_of
from pitchline.trade.errors import phrase
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import PartKind
from pitchline.words.names import named

LIMITS = Layout(
    title="limits",
    heads=("machine", "unit"),
    columns=("part", "quantity", "new", "limit", "source"),
    anchors=("part", "quantity", "new"),
    further=("assumed",),
)
_YES, _NO = ("yes", "1", "true", "x"), ("", "no", "0", "false")
_UNITS = ("mm", "in")


@dataclass(frozen=True, slots=True)
class LimitTyped:
    """One line of the table.

    Parameters
    ----------
    part : PartKind
        The part.
    measurand : Measurand
        The quantity.
    new, limit, source : str
        As typed, with the unit of the file's head where the text has none.
    assumed : bool
        Whether the limit is a rule of thumb; where it is empty, the rule gives it.
    """

    part: PartKind
    measurand: Measurand
    new: str
    limit: str
    source: str
    assumed: bool = False


def _with_unit(text: str, unit: str) -> str:
    return (
        f"{text} {unit}"
        if text and unit and not any(letter.isalpha() or letter in '"”″' for letter in text)
        else text
    )


def _line(line: TableLine, unit: str, gathering: Gathering) -> LimitTyped | None:
    part = gathering.attempt(partial(part_of, line.word("part")), line.row)
    measurand = gathering.attempt(partial(measurand_of, line.word("quantity"), part), line.row)
    if part is None or measurand is None:
        return None
    if part not in MEASURANDS[measurand].parts:
        allowed = phrase("read on {parts:each_listed}", parts=MEASURANDS[measurand].parts)
        gathering.add("quantity", line.word("quantity"), allowed, "Correct one of the two.", line.row)
        return None
    new, limit = (_with_unit(line.word(name), unit) for name in ("new", "limit"))
    assumed = line.word("assumed").lower()
    if assumed not in (*_YES, *_NO):
        gathering.add("assumed", line.word("assumed"), "yes, or nothing", "Correct it.", line.row)
    return LimitTyped(part, measurand, new, limit, line.word("source"), assumed in _YES)


def read_limits(path: Path) -> tuple[LimitTyped, ...]:
    """Sizes and limits a table tells, as typed.

    Returns
    -------
    tuple of LimitTyped
        In the order of the rows, each part and quantity once.

    Raises
    ------
    InputError
        With every problem of the table, by its row.
    """
    gathering = Gathering(path.name)
    table = read_table(path, LIMITS, gathering)
    unit = table.head_text("unit").strip()
    if unit and unit not in _UNITS:
        gathering.add("unit", unit, "mm or in", "Correct it.", table.head_row("unit"))
    found: dict[tuple[PartKind, Measurand], LimitTyped] = {}
    for row in table.lines:
        one = _line(row, unit, gathering)
        if one is not None and found.setdefault((one.part, one.measurand), one) is not one:
            gathering.add("quantity", row.word("quantity"), "each part and quantity once", "Delete one.", row.row)
    gathering.raise_if_any()
    return tuple(found.values())


def write_limits(path: Path, machine: str, lines: Sequence[LimitTyped]) -> None:
    """Nothing comes out; afterwards the file holds the table, to be filled in or read again.

    Parameters
    ----------
    path : Path
        The table, .csv or .xlsx, new or replaced.
    machine : str
        Whose sizes they are, for the head.
    lines : sequence of LimitTyped
        The lines; empty texts are left to be filled in.

    Raises
    ------
    InputError
        A place that cannot be written to, or a text no sheet can hold.
    """
    rows = [
        {
            "part": named(one.part),
            "quantity": named(one.measurand),
            "new": one.new,
            "limit": one.limit,
            "source": one.source,
            "assumed": "yes" if one.assumed else "",
        }
        for one in lines
    ]
    columns = (*LIMITS.columns, *LIMITS.further) if any(one.assumed for one in lines) else LIMITS.columns
    write_table(path, LIMITS, [("machine", machine), ("unit", "mm")], rows, columns, {})
