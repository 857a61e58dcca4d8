"""Rows of text from and to CSV: delimiter found by the header, and nothing a spreadsheet would run."""

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from pitchline.exchange.gathering import refuse
from pitchline.exchange.text_in import read_text
from pitchline.exchange.words import plain
from pitchline.exchange.zip_guard import MOST_COLUMNS, MOST_ROWS
from pitchline.trade.errors import phrase
from pitchline.trade.writing import as_figure
from pitchline.words.catalogue import in_english

DELIMITERS = (",", ";", "\t")
HEADER_WITHIN = 20
"""In somebody's own table the column names stand in one of so many rows."""
_RUNS = re.compile("(^|[;\t\r\n])(?='*[=+\\-@\t\r\n＝＋－＠])")
_SHIELDED = re.compile("(^|[;\t\r\n])'(?='*[=+\\-@\t\r\n＝＋－＠])")
"""Where a cell may begin: a spreadsheet that parts CSV at a semicolon, as with decimal commas, sees cells inside of ours."""

Rows = tuple[tuple[str, ...], ...]


def shield(text: str) -> str:
    """A text no spreadsheet runs as a formula: an apostrophe stands before whatever begins like one.

    Examples
    --------
    >>> shield("=1+1"), shield("x;=1+1"), shield("148.2 mm")
    ("'=1+1", "x;'=1+1", '148.2 mm')
    """
    return _RUNS.sub(r"\1'", text)


def unshield(text: str) -> str:
    """The text behind `shield`, unchanged.

    Examples
    --------
    >>> unshield(shield("=1+1"))
    '=1+1'
    """
    return _SHIELDED.sub(r"\1", text)


def words_in(cells: Iterable[str]) -> int:
    """How many cells hold words: a row of column names holds the most."""
    return sum(any(letter.isalpha() for letter in cell) for cell in cells)


def _delimiter(text: str, anchors: Sequence[str], before: Mapping[str, str], file: str) -> str:
    """The delimiter with which some line holds the header's anchor words; without such, that which parts the most words."""
    if not anchors:
        lines = text.splitlines()[:HEADER_WITHIN]
        return max(DELIMITERS, key=lambda one: max((words_in(line.split(one)) for line in lines), default=0))
    for line in text.splitlines()[:MOST_ROWS]:
        for delimiter in DELIMITERS:
            words = (plain(cell.strip().strip('"')) for cell in line.split(delimiter))
            cells = {before.get(word, word) for word in words}
            if cells.issuperset(anchors):
                return delimiter
    wanted = ", ".join(anchors)
    raise refuse(
        file,
        "table header",
        phrase("not found"),
        phrase(
            "one row of column names, {wanted} among them, cells parted by comma, semicolon or tab",
            wanted=wanted,
        ),
        "Start from a blank made by pitchline.",
    )


def read_csv(path: Path, anchors: Sequence[str], before: Mapping[str, str]) -> Rows:
    """The cells of a CSV file as text.

    Parameters
    ----------
    path : Path
        The file.
    anchors : sequence of str
        Column names by which the header row, and with it the delimiter, is known.
    before : mapping of str to str
        What columns were called before, and what they are called now.

    Returns
    -------
    tuple of tuple of str
        Row by row, the first row of the file first.

    Raises
    ------
    InputError
        The file cannot be read, has no header row, broken quotes, or too many rows or columns.

    References
    ----------
    RFC 4180 for the quotes; delimiters and limits are ours.
    """
    text, file = read_text(path), path.name
    delimiter = _delimiter(text, anchors, before, file)
    rows: list[tuple[str, ...]] = []
    try:
        for cells in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True):
            number = len(rows) + 1
            while cells and not cells[-1].strip(" ") and len(cells) > MOST_COLUMNS:
                cells.pop()
            if number > MOST_ROWS or len(cells) > MOST_COLUMNS:
                seen = phrase("{n} cells in row {number}", n=len(cells), number=as_figure(number, ","))
                allowed = phrase(
                    "up to {most_rows} rows and {most_columns} columns",
                    most_rows=as_figure(MOST_ROWS, ","),
                    most_columns=MOST_COLUMNS,
                )
                raise refuse(file, "table size", seen, allowed, "Delete what does not belong to it.", number)
            rows.append(tuple(unshield(cell) for cell in cells))
    except csv.Error as error:
        closed = in_english("every opened quote closed again, followed by the delimiter")
        raise refuse(file, "quotes", str(error), closed, "Mend the quotes in this row.", len(rows) + 1) from None
    return tuple(rows)


def csv_bytes(rows: Iterable[Sequence[str]]) -> bytes:
    """Rows as a CSV file: commas, UTF-8 with a byte-order mark so that spreadsheets know it, formulas shielded.

    References
    ----------
    RFC 4180.
    """
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\r\n")
    for row in rows:
        writer.writerow([shield(cell) for cell in row])
    return stream.getvalue().encode("utf-8-sig")
