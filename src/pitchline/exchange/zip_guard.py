"""Checks on archives before anything of them is unpacked, and on workbooks before any library opens them."""

import io
import re
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.exchange.gathering import refuse
from pitchline.trade.errors import InputError, phrase
from pitchline.trade.writing import as_figure
from pitchline.words.catalogue import in_english

MB = 1024 * 1024
SMALL_MEMBER = MB
ASK = in_english("Do not open it; ask where it came from.")
MOST_ROWS = 5_100
"""Room for 5,000 machines, and for what stands above them."""
MOST_COLUMNS = 60
_OLD_CONTAINER = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_CELL = re.compile(rb"<(?:\w{1,20}:)?c\s[^<>]{0,200}?\br=\"([A-Z]{1,4})([0-9]{1,12})\"[^<>]{0,200}?(/?)>")
_NAMELESS = re.compile(
    rb"<(?:\w{1,20}:)?row\s[^<>]{0,300}?\br=\"([0-9]{1,15})\"[^<>]{0,300}?>\s*<(?:\w{1,20}:)?c(?![^<>]*\br=)[\s>]"
)
MOST_TAGS = 2_000_000
"""Room for as many cells, each with its text, as there may be; a library spends some microseconds on each mark."""
LARGEST_BESIDE = 3 * MB
"""Members beside cells and their texts, such as styles: a library builds all of them before it gives one cell."""
_CELLS, _TEXTS = "xl/worksheets/", "xl/sharedstrings.xml"
_PICTURES = (b"\x89PNG", b"\xff\xd8\xff", b"GIF8")
_PLAIN = in_english("Save it again as a plain workbook (.xlsx) or as CSV.")


@dataclass(frozen=True, slots=True)
class ZipLimits:
    """What an archive may hold.

    Parameters
    ----------
    field : str
        What a refusal is about, such as "workbook".
    most_members : int
        Files inside [1].
    largest_bytes : int
        All of them unpacked [bytes].
    largest_ratio : int
        How many times its packed size one may unpack to [1].
    too_many, too_large : str
        What to do next where there are too many, or too much altogether.
    """

    field: str
    most_members: int
    largest_bytes: int
    largest_ratio: int
    too_many: str
    too_large: str


WORKBOOK = ZipLimits("workbook", 200, 50 * MB, 100, _PLAIN, ASK)


def column_number(letters: str) -> int:
    """The number of a column by its letters, from 1.

    Examples
    --------
    >>> column_number("BH")
    60
    """
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number


def _open(raw: bytes, file: str) -> zipfile.ZipFile:
    if raw.startswith(_OLD_CONTAINER):
        raise refuse(
            file, "workbook", phrase("a password or an old format"), "an open workbook in .xlsx format", _PLAIN
        )
    try:
        return zipfile.ZipFile(io.BytesIO(raw))
    except Exception:  # zipfile raises many kinds on damaged archives; all of them mean the same here
        raise refuse(file, "workbook", phrase("not a workbook"), "a workbook in .xlsx format", _PLAIN) from None


def check_count(members: Sequence[zipfile.ZipInfo], limits: ZipLimits, file: str) -> None:
    """Nothing when an archive holds no more files than it may.

    Raises
    ------
    InputError
        It holds more.
    """
    if len(members) > limits.most_members:
        seen, allowed = (
            phrase("{members} files inside", members=as_figure(len(members))),
            phrase("up to {most_members}", most_members=as_figure(limits.most_members)),
        )
        raise refuse(file, limits.field, seen, allowed, limits.too_many)


def check_sizes(members: Sequence[zipfile.ZipInfo], limits: ZipLimits, file: str) -> None:
    """Nothing when what is about to be unpacked is open and, by the archive's own figures, in proportion.

    Raises
    ------
    InputError
        A password, too much altogether, or a file of more than 1 MB that unpacks to too many times its size.
    """
    if any(member.flag_bits & 0x1 for member in members):
        raise refuse(
            file, limits.field, phrase("protected by a password"), "an open file", "Save or zip it without one."
        )
    unpacked = sum(member.file_size for member in members)
    if unpacked > limits.largest_bytes:
        seen, allowed = (
            phrase("{unpacked} unpacked", unpacked=_size(unpacked)),
            phrase("up to {largest_bytes} unpacked", largest_bytes=_size(limits.largest_bytes)),
        )
        raise refuse(file, limits.field, seen, allowed, limits.too_large)
    for member in members:
        ratio = member.file_size / max(member.compress_size, 1)
        if ratio > limits.largest_ratio and member.file_size > SMALL_MEMBER:
            seen = phrase(
                "{words} unpacks to {ratio} times its size", words=member.filename[:60], ratio=as_figure(ratio)
            )
            raise refuse(
                file,
                limits.field,
                seen,
                phrase("up to {largest_ratio} times", largest_ratio=limits.largest_ratio),
                ASK,
            )


def _size(size_bytes: int) -> str:
    """In megabytes, or gigabytes from one on."""
    if size_bytes < 1024 * MB:
        return f"{as_figure(size_bytes / MB)} MB"
    return f"{as_figure(size_bytes / (1024 * MB), ',.1f')} GB"


def _check_members(members: list[zipfile.ZipInfo], file: str) -> None:
    check_count(members, WORKBOOK, file)
    check_sizes(members, WORKBOOK, file)
    names = {member.filename.casefold() for member in members}
    if any(name.endswith((".bin", ".vba")) and "vba" in name for name in names):
        raise refuse(file, "workbook", "macros", "a workbook without macros", "Save it as .xlsx without macros.")
    if "[content_types].xml" not in names:
        raise refuse(
            file, "workbook", phrase("an archive that is no workbook"), "a workbook in .xlsx format", _PLAIN
        )


def _check_content(name: str, content: bytes, file: str) -> None:
    if not name.casefold().startswith((_CELLS, _TEXTS)) and not content.startswith(_PICTURES):
        if len(content) > LARGEST_BESIDE:
            raise refuse(
                file,
                "workbook",
                phrase("{size} in {name}", size=_size(len(content)), name=name[:60]),
                phrase("up to {most} beside its cells", most=_size(LARGEST_BESIDE)),
                _PLAIN,
            )
    elif content.count(b"<") > MOST_TAGS:
        raise refuse(
            file,
            "workbook size",
            phrase("{n} marks in {name}", n=as_figure(content.count(b"<"), ","), name=name[:60]),
            phrase("up to {most}", most=as_figure(MOST_TAGS, ",")),
            _PLAIN,
        )
    if b"<!DOCTYPE" in content or b"<!ENTITY" in content:
        raise refuse(
            file,
            "workbook",
            phrase("entity definitions in {name}", name=name[:60]),
            "a workbook without them",
            _PLAIN,
        )
    if not name.casefold().startswith(_CELLS):
        return
    allowed = phrase(
        "up to {most_rows} rows and {most_columns} columns",
        most_rows=as_figure(MOST_ROWS, ","),
        most_columns=MOST_COLUMNS,
    )
    for digits in _NAMELESS.findall(content):
        if int(digits) > MOST_ROWS:
            raise refuse(
                file,
                "workbook size",
                phrase("something in row {digits}", digits=int(digits)),
                allowed,
                "Delete what lies outside.",
            )
    for letters, digits, empty in _CELL.findall(content):
        if not empty and (int(digits) > MOST_ROWS or column_number(letters.decode()) > MOST_COLUMNS):
            cell = f"{letters.decode()}{digits.decode()}"
            raise refuse(
                file,
                "workbook size",
                phrase("something in cell {cell}", cell=cell),
                allowed,
                "Delete what lies outside.",
            )


def check_workbook(raw: bytes, file: str) -> None:
    """Nothing when a workbook is safe to unpack.

    Raises
    ------
    InputError
        Not a zip, encrypted, too many members, more than 50 MB unpacked, a member of more than 1 MB that unpacks to over 100
        times its size, more than 3 MB in a member beside cells, texts and pictures, more marks than cells need, macros,
        entity definitions, or cells beyond 5,100 rows or 60 columns.

    References
    ----------
    Our own limits; cell names after ECMA-376 part 1, section 18.3.1.4 (section from memory).
    """
    with _open(raw, file) as archive:
        _check_members(archive.infolist(), file)
        try:
            for member in archive.infolist():
                # Whatever its ending: another member may name it as its styles or its texts.
                _check_content(member.filename, archive.read(member), file)
        except InputError:
            raise
        except Exception:  # a damaged member raises many kinds; all of them mean the same here
            raise refuse(
                file, "workbook", phrase("damaged content"), "a workbook in .xlsx format", _PLAIN
            ) from None
