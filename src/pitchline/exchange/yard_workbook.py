"""A table of the yard as a workbook: rows that can be pivoted, and a second sheet whose sums are formulas over them.

See docs/reference/yard-tables.md.
"""

import datetime as dt
import io
from collections import defaultdict
from collections.abc import Sequence
from typing import Any

import xlsxwriter
from xlsxwriter.utility import xl_col_to_name

from pitchline.exchange.machine_list import Cell
from pitchline.exchange.yard_columns import Column

_SETTINGS = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
}


def yard_workbook(
    name: str, columns: Sequence[Column], rows: Sequence[Sequence[Cell]], sums: Sequence[str] = ()
) -> bytes:
    """A table as a workbook: numbers as numbers, days as days, moments in UTC, every text a text.

    Parameters
    ----------
    name : str
        Of the sheet with the rows.
    columns : sequence of Column
        Its columns.
    rows : sequence of sequences
        Cells in their order; None where nothing is known.
    sums : sequence of str
        By which column the second sheet adds up, then which columns; those that are not there are left out.

    Returns
    -------
    bytes
        The file's content.

    References
    ----------
    ECMA-376, part 1, 18.17 (SUMIFS, COUNTIFS); the layout is our own.
    """
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream, _SETTINGS) as book:
        sheet = book.add_worksheet(name)
        head, text = book.add_format({"bold": True}), book.add_format({"num_format": "@", "quote_prefix": True})
        day, moment = (book.add_format({"num_format": f"yyyy-mm-dd{time}"}) for time in ("", " hh:mm:ss"))
        for at, column in enumerate(columns):
            sheet.write_string(0, at, column.name, head)
            sheet.set_column(at, at, max(12, len(column.name) + 3))
        sheet.freeze_panes(1, 0)
        sheet.autofilter(0, 0, len(rows), len(columns) - 1)
        for number, row in enumerate(rows, start=1):
            for at, cell in enumerate(row):
                if isinstance(cell, dt.datetime):
                    sheet.write_datetime(number, at, cell.astimezone(dt.UTC).replace(tzinfo=None), moment)
                elif isinstance(cell, dt.date):
                    sheet.write_datetime(number, at, cell, day)
                elif isinstance(cell, str):
                    if cell:
                        sheet.write_string(number, at, cell, text)
                elif cell is not None:
                    sheet.write_number(number, at, cell)
        if sums:
            _write_sums(book.add_worksheet("sums"), name, [one.name for one in columns], rows, sums, head)
    return stream.getvalue()


def _write_sums(
    sheet: Any, name: str, columns: list[str], rows: Sequence[Sequence[Cell]], sums: Sequence[str], head: Any
) -> None:
    """A line for each word, and each currency where there are amounts: formulas, with what they come to beside them."""
    keys = [one for one in (sums[0], "currency") if one in columns]
    added = [one for one in sums[1:] if one in columns]
    told = [*keys, "rows", *added]
    for at, one in enumerate(told):
        sheet.write_string(0, at, one, head)
        sheet.set_column(at, at, max(12, len(one) + 3))
    sheet.freeze_panes(1, 0)

    def over(column: str) -> str:
        letter = xl_col_to_name(columns.index(column), col_abs=True)
        return f"'{name}'!{letter}$2:{letter}${max(2, len(rows) + 1)}"

    found: dict[tuple[str, ...], list[Sequence[Cell]]] = defaultdict(list)
    for row in rows:
        found[tuple(str(row[columns.index(key)] or "") for key in keys)].append(row)
    for line, words in enumerate(sorted(found), start=2):
        some = found[words]
        for at, word in enumerate(words):
            sheet.write_string(line - 1, at, word)
        # An empty cell meets only the criterion "=", and an empty criterion would be taken for 0.
        alike = ",".join(
            f'{over(key)},IF({chr(65 + at)}{line}="","=",{chr(65 + at)}{line})' for at, key in enumerate(keys)
        )
        sheet.write_formula(line - 1, len(keys), f"=COUNTIFS({alike})", None, len(some))
        for at, one in enumerate(added, start=len(keys) + 1):
            come_to = sum(cell for row in some if isinstance(cell := row[columns.index(one)], int | float))
            sheet.write_formula(line - 1, at, f"=SUMIFS({over(one)},{alike})", None, come_to)
