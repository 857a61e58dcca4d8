"""Where the desk keeps its things: one folder of the user's, after the XDG base directories."""

import os
import secrets
from pathlib import Path

FOLDER_ENV = "PITCHLINE_DESK_DATA"
_KEY_LETTERS = 64


def data_folder() -> Path:
    """The folder with the desk's database, its key and its collected static files; not made here.

    Returns
    -------
    Path
        What the environment names, else "pitchline" in the user's data folder.

    References
    ----------
    XDG Base Directory Specification, version 0.8: $XDG_DATA_HOME, else ~/.local/share (from memory).
    """
    named = os.environ.get(FOLDER_ENV)
    if named:
        return Path(named).expanduser().absolute()
    home = os.environ.get("XDG_DATA_HOME")
    base = Path(home) if home and Path(home).is_absolute() else Path.home() / ".local" / "share"
    return base / "pitchline"


def make_folder(folder: Path) -> None:
    """Nothing comes out; afterwards the folder is there, for its owner alone, with a key of its own."""
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    key = folder / "secret.key"
    if not key.exists():
        handle = os.open(key, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="ascii") as stream:
            stream.write(secrets.token_urlsafe(_KEY_LETTERS))


def key_of(folder: Path) -> str:
    """The desk's secret key; one for this process alone where the folder has none yet."""
    try:
        return (folder / "secret.key").read_text(encoding="ascii")
    except OSError:
        return secrets.token_urlsafe(_KEY_LETTERS)
