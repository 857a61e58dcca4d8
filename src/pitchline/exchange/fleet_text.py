"""A CSV table made ready for streaming: UTF-8, one row a line, its header and delimiter known."""

import codecs
import csv
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

import numpy as np
import numpy.typing as npt

from pitchline.exchange.gathering import refuse
from pitchline.exchange.grid_csv import DELIMITERS
from pitchline.exchange.text_in import encoding_of
from pitchline.trade.errors import InputError, phrase
from pitchline.words.catalogue import in_english

_PIECE = 4 * 1024 * 1024
_LONGEST_HEADER = 64 * 1024
_LONGEST_CHARS = 1024 * 1024


@dataclass(frozen=True, slots=True)
class CsvTable:
    """A CSV file that is known to be readable text.

    Parameters
    ----------
    path : Path
        The file, UTF-8.
    start : int
        Bytes before the header row: a byte-order mark.
    delimiter : str
        What parts its cells.
    header : tuple of str
        Column names as they stand, trimmed.

    References
    ----------
    RFC 4180 for the quotes.
    """

    path: Path
    start: int
    delimiter: str
    header: tuple[str, ...]


class _Scan:
    """What one run through a file's bytes finds of its encoding, its line ends and its quotes."""

    def __init__(self) -> None:
        self.utf8 = True
        self.lone_return = False
        self.zero_byte = False
        self.open_quote: int | None = None
        self._decoder = codecs.getincrementaldecoder("utf-8")()
        self._line = 1
        self._odd = False
        self._return_last = False

    def feed(self, piece: bytes, last: bool) -> None:
        """The next piece of the file."""
        self.zero_byte |= b"\x00" in piece
        if self.utf8 and not (piece.isascii() and not self._decoder.getstate()[0]):
            try:
                self._decoder.decode(piece, last)
            except UnicodeDecodeError:
                self.utf8 = False
        if b"\r" in piece or self._return_last:
            joined = (b"\r" if self._return_last else b"") + piece
            inner = joined[:-1] if joined.endswith(b"\r") and not last else joined
            self.lone_return |= inner.count(b"\r") != inner.count(b"\r\n")
        self._return_last = piece.endswith(b"\r")
        self._count_quotes(piece)

    def _count_quotes(self, piece: bytes) -> None:
        """A line with an odd number of quotes leaves one open, and would swallow the lines after it."""
        lines = piece.count(b"\n")
        if b'"' in piece or self._odd:
            codes = np.frombuffer(piece, np.uint8)
            ends, quotes = np.flatnonzero(codes == ord("\n")), np.flatnonzero(codes == ord('"'))
            odd = np.bincount(np.searchsorted(ends, quotes), minlength=lines + 1) % 2
            odd[0] ^= self._odd
            bad = np.flatnonzero(odd[:-1])
            if bad.size and self.open_quote is None:
                self.open_quote = self._line + int(bad[0])
            self._odd = bool(odd[-1])
        self._line += lines

    def end(self) -> None:
        """After the last piece."""
        if self._odd and self.open_quote is None:
            self.open_quote = self._line


def _scanned(stream: BinaryIO) -> _Scan:
    scan = _Scan()
    piece = stream.read(_PIECE)
    while piece:
        following = stream.read(_PIECE)
        scan.feed(piece, not following)
        piece = following
    scan.end()
    return scan


def _as_utf8(path: Path, file: str, folder: Path) -> Path:
    """A copy of the text in UTF-8 with our line ends."""
    with path.open("rb") as raw:
        encoding = encoding_of(raw.read(_LONGEST_HEADER), file)
    if encoding == "utf-8":
        encoding = "cp1252"  # the head was plain, the rest was not
    copy = folder / f"{path.stem}.utf-8.csv"
    try:
        with path.open(encoding=encoding) as text, copy.open("w", encoding="utf-8", newline="\n") as out:
            while chars := text.read(_LONGEST_CHARS):
                out.write(chars)
    except UnicodeError:
        raise _not_text(file, phrase("bytes that do not fit {encoding}", encoding=encoding)) from None
    return copy


def _not_text(file: str, seen: str) -> InputError:
    allowed = in_english("text in UTF-8, UTF-16 or Windows-1252")
    return refuse(file, "encoding", seen, allowed, "Save the file again as text in UTF-8.")


def csv_table(path: Path, file: str, folder: Path, wanted: tuple[str, ...]) -> CsvTable:
    """A CSV file checked as text, with its header.

    Parameters
    ----------
    path : Path
        The file.
    file : str
        Its name for the errors.
    folder : Path
        A temporary folder for a copy in UTF-8 where one is needed.
    wanted : tuple of str
        Column names by which the delimiter is known.

    Raises
    ------
    InputError
        Empty, not text, or a quote that is opened and not closed on its line.
    """
    with path.open("rb") as stream:
        scan = _scanned(stream)
    if not scan.utf8 or scan.lone_return or scan.zero_byte:
        path = _as_utf8(path, file, folder)
        with path.open("rb") as stream:
            scan = _scanned(stream)
        if scan.zero_byte:
            raise _not_text(file, "binary content")
    if scan.open_quote is not None:
        allowed = in_english("every opened quote closed again in the same row")
        raise refuse(
            file, "quotes", phrase("an open quote"), allowed, "Mend the quotes in this row.", scan.open_quote
        )
    return _with_header(path, file, wanted)


def _with_header(path: Path, file: str, wanted: tuple[str, ...]) -> CsvTable:
    with path.open("rb") as stream:
        head = stream.read(_LONGEST_HEADER)
    start = len(codecs.BOM_UTF8) if head.startswith(codecs.BOM_UTF8) else 0
    line = head[start:].split(b"\n")[0]
    if not line.strip() or (len(head) == _LONGEST_HEADER and b"\n" not in head):
        seen = phrase("an empty first row") if not line.strip() else phrase("a first row without an end")
        raise refuse(file, "header", seen, "the column names in the first row", "Put the column names there.", 1)
    text = line.decode("utf-8", "replace").rstrip("\r")
    headers = {
        each: tuple(cell.strip() for cell in next(csv.reader([text], delimiter=each))) for each in DELIMITERS
    }
    best = max(DELIMITERS, key=lambda each: (len(set(headers[each]) & set(wanted)), len(headers[each])))
    return CsvTable(path, start, best, headers[best])


def rows_of(logical: npt.NDArray[np.int64], skipped: list[int]) -> npt.NDArray[np.int64]:
    """Rows in the file of rows that were read, when some between them could not be.

    Examples
    --------
    >>> rows_of(np.array([2, 3, 4]), [3])
    array([2, 4, 5])
    """
    gaps = np.sort(np.asarray(skipped, np.int64)) - np.arange(len(skipped))
    return np.asarray(logical + np.searchsorted(gaps, logical, side="right"), np.int64)
