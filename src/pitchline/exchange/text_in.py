"""Guarded reading: nothing large, binary or in an unknown encoding gets further than here."""

import codecs
import stat
from pathlib import Path

from charset_normalizer import is_binary

from pitchline.exchange.gathering import refuse
from pitchline.trade.errors import InputError, phrase
from pitchline.trade.writing import as_figure

LARGEST_BYTES = 10 * 1024 * 1024
_SNIFFED_BYTES = 64 * 1024
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def _megabytes(size: int) -> str:
    return f"{as_figure(size / 1024**2, ',.1f')} MB"


def _check_size(size: int, file: str) -> None:
    if size == 0:
        raise refuse(
            file, "file", phrase("an empty file"), "a file with something in it", "Check that it was saved."
        )
    if size > LARGEST_BYTES:
        allowed = phrase("up to {largest_bytes}", largest_bytes=_megabytes(LARGEST_BYTES))
        raise refuse(file, "file size", _megabytes(size), allowed, "Check that this is the right file.")


def read_bytes(path: Path) -> bytes:
    """What a file holds, its size checked before anything is read.

    Returns
    -------
    bytes
        Between 1 byte and 10 MB.

    Raises
    ------
    InputError
        Missing, a folder, not an ordinary file, unreadable, empty or too large.
    """
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise refuse(path.name, "file", phrase("a folder"), "a file", "Name the file inside it.")
        if not stat.S_ISREG(status.st_mode):
            raise refuse(path.name, "file", phrase("not an ordinary file"), "a file", "Save it as a file first.")
        _check_size(status.st_size, path.name)
        with path.open("rb") as stream:
            raw = stream.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise refuse(
            path.name,
            "file name",
            path.name,
            "a file that exists",
            "There is no such file: check name and folder.",
        ) from None
    except (OSError, ValueError) as error:
        seen = getattr(error, "strerror", None) or phrase("a name that cannot be used")
        raise refuse(path.name, "file", seen, "a file that can be read", "Check name and permissions.") from None
    _check_size(len(raw), path.name)
    return raw


def _not_text(file: str, seen: str) -> InputError:
    return refuse(
        file, "encoding", seen, "text in UTF-8, UTF-16 or Windows-1252", "Save the file again as text in UTF-8."
    )


def encoding_of(raw: bytes, file: str) -> str:
    """The encoding: by its mark, else UTF-8, else UTF-16 by its zero bytes, else Windows-1252 if it looks like text.

    Raises
    ------
    InputError
        The content is binary.
    """
    for mark, encoding in _MARKS:
        if raw.startswith(mark):
            return encoding
    head = raw[:_SNIFFED_BYTES]
    if b"\x00" in head:
        odd, even = head[1::2].count(0), head[::2].count(0)
        if max(odd, even) > 0.4 * len(head) / 2 and min(odd, even) == 0:
            return "utf-16-le" if odd else "utf-16-be"
        raise _not_text(file, phrase("binary content"))
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError:
        if is_binary(head):
            raise _not_text(file, phrase("binary content")) from None
        return "cp1252"
    return "utf-8"


def decode(raw: bytes, file: str) -> str:
    """Bytes as text.

    Raises
    ------
    InputError
        The content is a workbook, binary, or in an encoding that is not known.
    """
    if raw.startswith(b"PK\x03\x04"):
        raise refuse(
            file, "file", phrase("a workbook or archive"), "a text file", "Give it its own ending, such as .xlsx."
        )
    encoding = encoding_of(raw, file)
    try:
        text = raw.decode(encoding)
    except UnicodeDecodeError as error:
        raise _not_text(
            file, phrase("byte {n} does not fit {encoding}", n=error.start + 1, encoding=encoding)
        ) from None
    if "\x00" in text:
        raise _not_text(file, phrase("binary content"))
    return text


def read_text(path: Path) -> str:
    """What a text file says.

    Returns
    -------
    str
        Its text, not blank.

    Raises
    ------
    InputError
        The file cannot be read, is too large, is not text or says nothing.
    """
    text = decode(read_bytes(path), path.name)
    if not text.strip():
        raise refuse(
            path.name,
            "file",
            phrase("nothing but blanks"),
            "a file with something in it",
            "Check that it was saved.",
        )
    return text
