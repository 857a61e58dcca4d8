"""A CSV table made ready for streaming: UTF-8, one row a line, its header and delimiter known."""

import codecs
import csv
import io
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np
import numpy.typing as npt

from pitchline.exchange.gathering import refuse
from pitchline.exchange.grid_csv import DELIMITERS
from pitchline.exchange.hands import HERE, Hands
from pitchline.exchange.places import Place
from pitchline.exchange.text_in import encoding_of
from pitchline.trade.errors import InputError, phrase
from pitchline.words.catalogue import in_english

SHARE_BYTES = 4 * 1024 * 1024
"""About so many bytes of a table are read in one task."""
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
    delimiter : str
        What parts its cells.
    header : tuple of str
        Column names as they stand, trimmed.
    shares : tuple of (int, int, int)
        Stretches of whole rows behind the header: from which byte, up to which, and the row the first of them is in the file.

    References
    ----------
    RFC 4180 for the quotes.
    """

    path: Place
    delimiter: str
    header: tuple[str, ...]
    shares: tuple[tuple[int, int, int], ...]


@dataclass(slots=True)
class Scanned:
    """What a stretch of a file's bytes says of its encoding, its line ends and its quotes.

    Parameters
    ----------
    utf8, lone_return, zero_byte : bool
        Whether it is UTF-8 throughout, has a return without a new line, has a byte 0.
    open_quote : int or None
        How many lines end before the first that leaves a quote open.
    ends : int
        How many lines end.
    """

    utf8: bool = True
    lone_return: bool = False
    zero_byte: bool = False
    open_quote: int | None = None
    ends: int = 0


class _Scan:
    """One run through such bytes."""

    def __init__(self) -> None:
        self.found = Scanned()
        self._decoder = codecs.getincrementaldecoder("utf-8")()
        self._odd = False
        self._return_last = False

    def feed(self, piece: bytes, last: bool) -> None:
        """The next piece."""
        found = self.found
        found.zero_byte |= b"\x00" in piece
        if found.utf8 and not (piece.isascii() and not self._decoder.getstate()[0]):
            try:
                self._decoder.decode(piece, last)
            except UnicodeDecodeError:
                found.utf8 = False
        if b"\r" in piece or self._return_last:
            joined = (b"\r" if self._return_last else b"") + piece
            inner = joined[:-1] if joined.endswith(b"\r") and not last else joined
            found.lone_return |= inner.count(b"\r") != inner.count(b"\r\n")
        self._return_last = piece.endswith(b"\r")
        self._count_quotes(piece)
        if last and self._odd and found.open_quote is None:
            found.open_quote = found.ends

    def _count_quotes(self, piece: bytes) -> None:
        """A line with an odd number of quotes leaves one open, and would swallow the lines after it."""
        lines = piece.count(b"\n")
        if b'"' in piece or self._odd:
            codes = np.frombuffer(piece, np.uint8)
            ends, quotes = np.flatnonzero(codes == ord("\n")), np.flatnonzero(codes == ord('"'))
            odd = np.bincount(np.searchsorted(ends, quotes), minlength=lines + 1) % 2
            odd[0] ^= self._odd
            bad = np.flatnonzero(odd[:-1])
            if bad.size and self.found.open_quote is None:
                self.found.open_quote = self.found.ends + int(bad[0])
            self._odd = bool(odd[-1])
        self.found.ends += lines


def scanned(path: Place, start: int, stop: int) -> Scanned:
    """What there is between two bytes of a file, the first of which begins a line and the last of which ends one."""
    scan = _Scan()
    with path.open("rb") as stream:
        stream.seek(start)
        while start < stop and (piece := stream.read(min(_PIECE, stop - start))):
            start += len(piece)
            scan.feed(piece, start >= stop)
    return scan.found


def _cut(path: Place) -> list[int]:
    """Bytes at which a file can be cut between its lines, from its first to its end."""
    found = [0]
    with path.open("rb") as stream:
        size = stream.seek(0, io.SEEK_END)
        while found[-1] + SHARE_BYTES < size:
            stream.seek(found[-1] + SHARE_BYTES)
            while (line := stream.readline(_LONGEST_HEADER)) and not line.endswith(b"\n"):
                pass
            found.append(stream.tell())
    return found if found[-1] == size else [*found, size]


def _all_scanned(path: Place, hands: Hands) -> tuple[list[int], list[Scanned]]:
    cuts = _cut(path)
    return cuts, list(hands.each(scanned, [(path, *pair) for pair in pairwise(cuts)]))


def _as_utf8(path: Place, file: str, folder: Path) -> Path:
    """A copy of the text in UTF-8 with our line ends."""
    with path.open("rb") as raw:
        encoding = encoding_of(raw.read(_LONGEST_HEADER), file)
    if encoding == "utf-8":
        encoding = "cp1252"  # the head was plain, the rest was not
    copy = folder / f"{path.stem}.utf-8.csv"
    try:
        with (
            io.TextIOWrapper(path.open("rb"), encoding) as text,
            copy.open("w", encoding="utf-8", newline="\n") as out,
        ):
            while chars := text.read(_LONGEST_CHARS):
                out.write(chars)
    except UnicodeError:
        raise _not_text(file, phrase("bytes that do not fit {encoding}", encoding=encoding)) from None
    return copy


def _not_text(file: str, seen: str) -> InputError:
    allowed = in_english("text in UTF-8, UTF-16 or Windows-1252")
    return refuse(file, "encoding", seen, allowed, "Save the file again as text in UTF-8.")


def csv_table(path: Place, file: str, folder: Path, wanted: tuple[str, ...], hands: Hands = HERE) -> CsvTable:
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
    hands : Hands
        Who runs through it.

    Raises
    ------
    InputError
        Empty, not text, or a quote that is opened and not closed on its line.
    """
    cuts, found = _all_scanned(path, hands)
    if any(not one.utf8 or one.lone_return or one.zero_byte for one in found):
        path = _as_utf8(path, file, folder)
        cuts, found = _all_scanned(path, hands)
        if any(one.zero_byte for one in found):
            raise _not_text(file, "binary content")
    first = [1, *(1 + np.cumsum([one.ends for one in found])).tolist()]
    for row, one in zip(first, found, strict=False):
        if one.open_quote is not None:
            allowed = in_english("every opened quote closed again in the same row")
            step = in_english("Mend the quotes in this row.")
            raise refuse(file, "quotes", phrase("an open quote"), allowed, step, row + one.open_quote)
    head, delimiter, header = _header(path, file, wanted)
    shares = zip([head, *cuts[1:]], cuts[1:], [2, *first[1:]], strict=False)
    return CsvTable(path, delimiter, header, tuple(share for share in shares if share[0] < share[1]))


def _header(path: Place, file: str, wanted: tuple[str, ...]) -> tuple[int, str, tuple[str, ...]]:
    """Where the header row ends, what parts its cells, and its cells."""
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
    return start + len(line) + 1, best, headers[best]


def rows_of(logical: npt.NDArray[np.int64], skipped: list[int]) -> npt.NDArray[np.int64]:
    """Rows in the file of rows that were read, when some between them could not be.

    Examples
    --------
    >>> rows_of(np.array([2, 3, 4]), [3])
    array([2, 4, 5])
    """
    gaps = np.sort(np.asarray(skipped, np.int64)) - np.arange(len(skipped))
    return np.asarray(logical + np.searchsorted(gaps, logical, side="right"), np.int64)
