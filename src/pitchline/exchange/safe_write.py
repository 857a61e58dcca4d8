"""Writing a file whole or not at all."""

import contextlib
import os
import secrets
from pathlib import Path

from pitchline.exchange.gathering import refuse


def write_whole(path: Path, content: bytes) -> None:
    """Nothing comes out; afterwards the file holds the content, or what it held before.

    Parameters
    ----------
    path : Path
        The file, new or replaced.
    content : bytes
        What it shall hold.

    Raises
    ------
    InputError
        The folder is missing or may not be written to, or the path is a folder.

    References
    ----------
    Our own: a temporary file beside the target, then one rename.
    """
    target = Path(os.path.realpath(path))
    beside = target.with_name(f".{target.name[:100]}.{secrets.token_hex(4)}.part")
    try:
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        beside.replace(target)
    except (OSError, ValueError) as error:
        with contextlib.suppress(OSError, ValueError):
            beside.unlink(missing_ok=True)
        seen = getattr(error, "strerror", None) or "a name that cannot be used"
        raise refuse(
            path.name, "file to write", seen, "a file in a folder that can be written to", "Choose another place."
        ) from None
