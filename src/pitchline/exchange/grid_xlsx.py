"""Rows of text from and to a workbook: text cells only, no formulas in or out."""

import datetime as dt
import io
import math
import re
import warnings
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from openpyxl import Workbook, load_workbook
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation

from pitchline.exchange.figures import exact_number
from pitchline.exchange.gathering import Gathering, refuse
from pitchline.exchange.grid_csv import Rows
from pitchline.exchange.text_in import read_bytes
from pitchline.exchange.zip_guard import MOST_COLUMNS, MOST_ROWS, check_workbook
from pitchline.trade.errors import phrase
from pitchline.trade.writing import as_figure
from pitchline.words.catalogue import in_english

_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")
_LOOKS_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
LIST_ROWS = 200


def _escape(text: str) -> str:
    """Carriage returns and look-alike escapes, written the way workbooks escape characters (ECMA-376, ST_Xstring)."""
    return _LOOKS_ESCAPED.sub("_x005F_", text).replace("\r", "_x000D_")


def _unescape(text: str) -> str:
    return _ESCAPED.sub(lambda match: chr(int(match[1], 16)), text)


def _number_text(number: float, cell_name: str, gathering: Gathering, row: int) -> str:
    if not math.isfinite(number):
        gathering.add(f"cell {cell_name}", number, "a finite number", "Type the number again.", row)
        return ""
    sign = "-" if number < 0 else ""
    return sign + exact_number(abs(number))


def _cell_text(cell: Any, row: int, column: int, gathering: Gathering) -> str:
    """The cell as text; a formula or an error in it is noted as a problem."""
    content, kind = cell.value, cell.data_type
    name = f"{get_column_letter(column)}{row}"
    if content is None:
        return ""
    if kind == "f":
        gathering.add(f"cell {name}", content, "a typed value, no formula", "Copy it and paste values.", row)
        return ""
    if kind == "e":
        gathering.add(f"cell {name}", content, "a value, no error", "Type the value.", row)
        return ""
    if isinstance(content, str):
        return _unescape(content)
    if isinstance(content, dt.datetime):
        return content.date().isoformat() if content.time() == dt.time() else content.isoformat(" ")
    if isinstance(content, bool) or not isinstance(content, int | float):
        return str(content)
    return _number_text(content, name, gathering, row)


def _cells(raw: bytes, file: str) -> Iterator[tuple[Any, ...]]:
    """The cells of the first sheet, one row and one column further than allowed, so that too much is seen."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            workbook = load_workbook(io.BytesIO(raw), read_only=True, keep_links=False)
            sheet = workbook.worksheets[0]
            yield from sheet.iter_rows(max_row=MOST_ROWS + 1, max_col=MOST_COLUMNS + 1)
    except Exception:  # the library raises many kinds on damaged workbooks; all of them mean the same here
        allowed = in_english("a workbook in .xlsx format with a sheet of cells")
        raise refuse(
            file, "workbook", phrase("damaged content"), allowed, "Save it again as .xlsx or as CSV."
        ) from None


def read_xlsx(path: Path) -> Rows:
    """The cells of a workbook's first sheet as text.

    Returns
    -------
    tuple of tuple of str
        Row by row; numbers and days are written out.

    Raises
    ------
    InputError
        Unsafe to unpack, damaged, too large, or holding formulas or error values, each named by its cell.
    """
    raw, file = read_bytes(path), path.name
    check_workbook(raw, file)
    gathering = Gathering(file)
    rows: list[tuple[str, ...]] = []
    for row, cells in enumerate(_cells(raw, file), start=1):
        texts = tuple(_cell_text(cell, row, column, gathering) for column, cell in enumerate(cells, start=1))
        if any(texts) and (row > MOST_ROWS or any(texts[MOST_COLUMNS:])):
            allowed = phrase(
                "up to {most_rows} rows and {most_columns} columns",
                most_rows=as_figure(MOST_ROWS, ","),
                most_columns=MOST_COLUMNS,
            )
            raise refuse(
                file,
                "workbook size",
                phrase("something in row {row}", row=as_figure(row, ",")),
                allowed,
                "Delete what lies outside.",
                row,
            )
        rows.append(texts[:MOST_COLUMNS])
    gathering.raise_if_any()
    return tuple(rows)


def _put(sheet: Any, row: int, column: int, text: str) -> Any:
    cell = sheet.cell(row=row, column=column)
    cell.value = _escape(text)
    cell.data_type = "s"
    cell.number_format = "@"
    cell.quotePrefix = True
    return cell


def _add_lists(
    workbook: Any, sheet: Any, columns: Sequence[str], header: int, lists: Mapping[str, Sequence[str]]
) -> None:
    """Drop-down lists, their words kept on a second sheet; other entries stay possible."""
    words = workbook.create_sheet("lists")
    words.sheet_state = "hidden"
    for number, (column, choices) in enumerate(lists.items(), start=1):
        for row, choice in enumerate(choices, start=1):
            _put(words, row, number, choice)
        own, there = get_column_letter(columns.index(column) + 1), get_column_letter(number)
        validation = DataValidation(
            type="list",
            formula1=f"lists!${there}$1:${there}${len(choices)}",
            allow_blank=True,
            showErrorMessage=False,
        )
        validation.add(f"{own}{header + 1}:{own}{max(sheet.max_row, header) + LIST_ROWS}")
        sheet.add_data_validation(validation)


def xlsx_bytes(
    title: str,
    rows: Sequence[Sequence[str]],
    header: int,
    widths: Mapping[str, float],
    lists: Mapping[str, Sequence[str]],
) -> bytes:
    """Rows as a workbook with the header row frozen.

    Parameters
    ----------
    title : str
        Name of the sheet.
    rows : sequence of sequence of str
        Row by row.
    header : int
        Row number of the table's header, from 1.
    widths : mapping of str to float
        Column widths in characters, by column name.
    lists : mapping of str to sequence of str
        Words offered as a drop-down list, by column name.

    Raises
    ------
    InputError
        A text a workbook cannot hold.
    """
    workbook = Workbook()
    sheet = workbook.active
    sheet.title = title
    columns = list(rows[header - 1])
    try:
        for row, texts in enumerate(rows, start=1):
            for column, text in enumerate(texts, start=1):
                cell = _put(sheet, row, column, text)
                cell.font = Font(bold=row == header or (row < header and column == 1))
                cell.alignment = Alignment(vertical="top")
    except ValueError as error:
        raise refuse("", "text", str(error), "text without control characters", "Correct the text.") from None
    for number, name in enumerate(columns, start=1):
        sheet.column_dimensions[get_column_letter(number)].width = widths.get(name, 12)
    sheet.freeze_panes = sheet.cell(row=header + 1, column=1)
    if lists:
        _add_lists(workbook, sheet, columns, header, lists)
    stream = io.BytesIO()
    workbook.save(stream)
    workbook.close()
    return stream.getvalue()
