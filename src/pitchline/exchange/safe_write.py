"""Writing a file whole or not at all."""

import contextlib
import errno
import os
import secrets
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from pitchline.exchange.gathering import refuse
from pitchline.trade.errors import InputError, phrase
from pitchline.words.catalogue import in_english


def write_whole(path: Path, content: bytes, settled: bool = True) -> None:
    """Nothing comes out; afterwards the file holds the content, or what it held before.

    Parameters
    ----------
    path : Path
        The file.
    content : bytes
        What it is to hold.
    settled : bool
        Whether the disk is waited for; what a run needs no longer than it lasts can do without.

    Raises
    ------
    InputError
        The folder is missing or may not be written to, or the path is a folder.
    """
    with open_whole(path, settled) as stream:
        try:
            stream.write(content)
        except OSError as error:
            raise not_writable(path, error) from None


def not_writable(path: Path, error: Exception) -> InputError:
    """The error for a file that cannot be written."""
    if getattr(error, "errno", None) == errno.ENOSPC:
        return refuse(
            path.name, "file to write", phrase("the disk is full"), "room on it", "Make room, then do it again."
        )
    seen = getattr(error, "strerror", None) or phrase("a name that cannot be used")
    allowed = in_english("a file in a folder that can be written to")
    return refuse(path.name, "file to write", seen, allowed, "Choose another place.")


@contextlib.contextmanager
def open_whole(path: Path, settled: bool = True) -> Iterator[BinaryIO]:
    """A stream to write to; when all goes well the file holds what was written, else what it held before.

    Yields
    ------
    BinaryIO
        The stream; errors of writing to it are the caller's.

    Raises
    ------
    InputError
        The folder is missing or may not be written to, or the path is a folder.
    """
    try:
        target = Path(os.path.realpath(path))
        beside = target.with_name(f".{target.name[:100]}.{secrets.token_hex(4)}.part")
        stream = os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666), "wb")
    except (OSError, ValueError) as error:
        raise not_writable(path, error) from None
    try:
        with stream:
            yield stream
            if settled:
                _settle(stream, path)
        try:
            beside.replace(target)
        except OSError as error:
            raise not_writable(path, error) from None
    finally:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)


def _settle(stream: BinaryIO, path: Path) -> None:
    try:
        stream.flush()
        os.fsync(stream.fileno())
    except OSError as error:
        raise not_writable(path, error) from None
