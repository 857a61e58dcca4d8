"""Uploaded files, opened with care: sizes bounded, archives looked at before they are unpacked, names never used as paths."""

import io
import re
import zipfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import PurePosixPath

from pitchline.exchange.gathering import refuse

LARGEST_FILE = 20 * 1024**2
LARGEST_UNPACKED = 200 * 1024**2
MOST_MEMBERS = 12_000
LARGEST_RATIO = 200
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


def upload(name: str, content: bytes) -> Upload:
    """A file as it was sent.

    Raises
    ------
    InputError
        It is too large.
    """
    path = PurePosixPath(name.replace("\\", "/"))
    if len(content) > LARGEST_FILE:
        allowed = f"up to {LARGEST_FILE // 1024**2} MB"
        raise refuse(path.name, "file", f"{len(content) / 1024**2:.0f} MB", allowed, "Send less at a time.")
    return Upload(str(path.parent), _SAFE.sub("_", path.name)[:120] or "file", content)


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
            _check(members, archive.name)
            found = []
            for member in members:
                with opened.open(member) as stream:
                    content = stream.read(LARGEST_FILE + 1)
                found.append(upload(member.filename, content))
            return found
    except (zipfile.BadZipFile, EOFError, OSError, NotImplementedError, RuntimeError, ValueError):
        step = "Pack it again as an ordinary zip."
        raise refuse(archive.name, "archive", "damaged content", "a zip without password", step) from None


def _check(members: list[zipfile.ZipInfo], name: str) -> None:
    step = "Send less at a time."
    if len(members) > MOST_MEMBERS:
        raise refuse(name, "archive", f"{len(members):,} files", f"up to {MOST_MEMBERS:,}", step)
    whole = sum(member.file_size for member in members)
    if whole > LARGEST_UNPACKED:
        allowed = f"up to {LARGEST_UNPACKED // 1024**2} MB"
        raise refuse(name, "archive", f"{whole / 1024**2:,.0f} MB unpacked", allowed, step)
    for member in members:
        if member.file_size > 1024**2 and member.file_size > LARGEST_RATIO * max(member.compress_size, 1):
            seen = f"{member.filename[:60]} unpacks to more than {LARGEST_RATIO} times its size"
            raise refuse(name, "archive", seen, "ordinary files", "Do not open it; ask where it came from.")
