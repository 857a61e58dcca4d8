"""Uploaded files, opened with care: sizes bounded, archives looked at before they are unpacked, names never used as paths."""

import io
import re
import tempfile
import zipfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest

from pitchline.desk.posts import MOST_NAME
from pitchline.exchange.gathering import refuse
from pitchline.exchange.sheet import read_sheet
from pitchline.exchange.zip_guard import MB, ZipLimits, check_count, check_sizes
from pitchline.trade.dossier import Dossier
from pitchline.trade.readings import WalkRound
from pitchline.words import in_english, translated

LARGEST_FILE_MB, LARGEST_PHOTO_MB, LARGEST_POCKET_MB = 20, 20, 400
"""How large a file brought into the yard may be, a photo or document kept, and what a phone saved with all its photos: told here
alone (pages: `{% largest %}`)."""
_LESS = in_english("Send less at a time.")
SENT_ARCHIVE = ZipLimits("archive", 12_000, 200 * MB, 200, _LESS, _LESS)
_SAFE = re.compile(r"[^\w.\- ]")


@dataclass(frozen=True, slots=True)
class Upload:
    """One file somebody sent, or one out of an archive.

    Parameters
    ----------
    folder : str
        Folder inside the archive, for telling what belongs together; never a path of this computer.
    name : str
        Its own name, made safe.
    content : bytes
        What it holds.
    """

    folder: str
    name: str
    content: bytes

    @property
    def ending(self) -> str:
        """Its ending in small letters, with the dot."""
        return PurePosixPath(self.name).suffix.lower()


def upload(name: str, content: bytes, largest_mb: float = LARGEST_FILE_MB) -> Upload:
    """A file as it was sent.

    Raises
    ------
    InputError
        It is too large, or its name too long.
    """
    path = PurePosixPath(name.replace("\\", "/"))
    check_size(path.name, len(content), largest_mb)
    if len(path.name) > MOST_NAME:
        many, allowed = (
            translated("{n} letters").format(n=len(path.name)),
            translated("{most} letters at most").format(most=MOST_NAME),
        )
        raise refuse(f"{path.name[:40]}…", "file name", many, allowed, "Rename it, and send it again.")
    return Upload(str(path.parent), _SAFE.sub("_", path.name) or "file", content)


def taken(sent: "UploadedFile[Any]", largest_mb: float = LARGEST_FILE_MB) -> Upload:
    """One file of a form; one that is too large is refused before it is read.

    Raises
    ------
    InputError
        It is too large.
    """
    check_size(str(sent.name), sent.size or 0, largest_mb)
    return upload(str(sent.name), sent.read(), largest_mb)


def sent_files(request: HttpRequest) -> list[Upload]:
    """The files somebody sent.

    Raises
    ------
    InputError
        None, or one that is too large.
    """
    files = request.FILES.getlist("files")
    if not files:
        raise refuse("", "files", "nothing", "one file or more", "Choose files first.")
    return [taken(one) for one in files]


def check_size(name: str, size: int, largest_mb: float) -> None:
    """Refuse a file that is too large, before it is read.

    Raises
    ------
    InputError
        It is.
    """
    if size > largest_mb * MB:
        raise refuse(
            name,
            "file",
            translated("{size} MB").format(size=f"{size / MB:.0f}"),
            translated("up to {largest_mb} MB").format(largest_mb=largest_mb),
            _LESS,
        )


def unpacked(sent: Iterable[Upload]) -> list[Upload]:
    """The files, and in place of each archive the files in it.

    Raises
    ------
    InputError
        An archive that is damaged, encrypted, or would unpack to too much.
    """
    found: list[Upload] = []
    for one in sent:
        found += _members(one) if one.ending == ".zip" else [one]
    return found


def _members(archive: Upload) -> list[Upload]:
    try:
        with zipfile.ZipFile(io.BytesIO(archive.content)) as opened:
            members = [member for member in opened.infolist() if not member.is_dir()]
            check_count(members, SENT_ARCHIVE, archive.name)
            check_sizes(members, SENT_ARCHIVE, archive.name)
            found = []
            for member in members:
                with opened.open(member) as stream:
                    content = stream.read(LARGEST_FILE_MB * MB + 1)
                found.append(upload(member.filename, content))
            return found
    except (zipfile.BadZipFile, EOFError, OSError, NotImplementedError, RuntimeError, ValueError):
        step = translated("Pack it again as an ordinary zip.")
        raise refuse(archive.name, "archive", "damaged content", "a zip without password", step) from None


def walk_round_in(one: Upload, dossier: Dossier) -> WalkRound:
    """What an uploaded sheet says about one machine.

    Raises
    ------
    InputError
        With every problem of the sheet.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / one.name
        path.write_bytes(one.content)
        return read_sheet(path, dossier)
