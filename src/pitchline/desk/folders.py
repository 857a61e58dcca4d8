"""Where the desk keeps its things: one folder, where the computer's system keeps a user's data."""

import os
import secrets
from pathlib import Path

FOLDER_ENV, HERE_ENV = "PITCHLINE_DESK_DATA", "PITCHLINE_DESK_HERE"
KEY, NEW = "secret.key", "new"
"""The desk's key; and what says that a yard was begun, and never opened yet."""
_KEY_LETTERS = 64


def data_folder() -> Path:
    """The folder with the desk's database, its key and its collected static files; not made here.

    Returns
    -------
    Path
        What the environment names, else the system's own place; where releases before 0.6.0 have begun a yard, theirs.
    """
    named = os.environ.get(FOLDER_ENV)
    if named:
        return Path(named).expanduser().absolute()
    usual, earlier = usual_folder(), _earlier_folder()
    return earlier if (earlier / KEY).exists() and not (usual / KEY).exists() else usual


def folder_here() -> Path:
    """The folder of this computer alone, where several computers share the data folder: what is made anew, and nobody's record.

    Returns
    -------
    Path
        What the environment names, else the data folder.
    """
    named = os.environ.get(HERE_ENV)
    return Path(named).expanduser().absolute() if named else data_folder()


def usual_folder() -> Path:
    """Where a yard is begun when nobody says otherwise."""
    from platformdirs import user_data_path  # by whoever names no folder

    return user_data_path("pitchline", appauthor=False).absolute()


def _earlier_folder() -> Path:
    """Where every system had it before 0.6.0."""
    home = os.environ.get("XDG_DATA_HOME")
    base = Path(home) if home and Path(home).is_absolute() else Path.home() / ".local" / "share"
    return base / "pitchline"


def make_folder(folder: Path) -> None:
    """Nothing comes out; afterwards the folder is there, for its owner alone, with a key of its own."""
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    key = folder / KEY
    if key.exists():
        return
    (folder / NEW).touch(mode=0o600)
    beside = folder / f".{KEY}.{secrets.token_hex(4)}"  # a power cut leaves a whole key or none
    with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="ascii") as stream:
        stream.write(secrets.token_urlsafe(_KEY_LETTERS))
        stream.flush()
        os.fsync(stream.fileno())
    try:
        os.link(beside, key)  # whoever comes first, of several computers too
    except FileExistsError:
        pass
    except OSError:  # a file system without links
        beside.rename(key)
        return
    beside.unlink()


def key_of(folder: Path) -> str:
    """The desk's secret key; one for this process alone where the folder has none yet."""
    try:
        return (folder / KEY).read_text(encoding="ascii")
    except OSError:
        return secrets.token_urlsafe(_KEY_LETTERS)
