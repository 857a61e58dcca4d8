"""Where the fleet tables lie: in a folder or in a zip, as CSV or Parquet; a table may be a folder of Parquet files.

See docs/reference/fleet-tables.md.
"""

import shutil
import zipfile
from collections.abc import Iterable
from pathlib import Path, PurePosixPath
from typing import Any

from pitchline.exchange.fleet_layout import TABLES, raise_all
from pitchline.exchange.gathering import Gathering, refuse
from pitchline.exchange.places import Place
from pitchline.exchange.zip_guard import ASK, MB, ZipLimits, check_count, check_sizes
from pitchline.trade.errors import InputError, phrase
from pitchline.words.catalogue import in_english

ENDINGS = (".csv", ".parquet")
ZIPPED_FLEET = ZipLimits("fleet", 10_000, 8 * 1024 * MB, 100, in_english("Zip the tables only."), ASK)
_PIECE = MB
_WANTED = ", ".join(f"{table.name}.csv or .parquet" for table in TABLES if table.required)


def table_files(source: Place, folder: Path) -> dict[str, tuple[Place, ...]]:
    """The files of each fleet table.

    Parameters
    ----------
    source : Path or Stored
        A folder with the tables, or a zip of one.
    folder : Path
        A temporary folder, for what comes out of a zip.

    Returns
    -------
    dict of str to tuple of Path or Stored
        By name of the table, several where it is parted; tables that may be missing are left out where they are.

    Raises
    ------
    InputError
        Nothing there, a required table missing or there twice, or an archive that is damaged, locked or unpacks to far too much.
    """
    gathering = Gathering(source.name)
    try:
        if source.is_dir():
            found = _by_table(sorted(source.iterdir(), key=str), gathering)
            files = {name: _parted(path, gathering) for name, path in found.items()}
        elif source.is_file():
            files = {name: (path,) for name, path in _unpacked(source, folder, gathering).items()}
        else:
            raise refuse(
                source.name, "fleet", phrase("nothing of that name"), "a folder or a zip", "Check name and folder."
            )
    except (OSError, ValueError) as error:
        seen = getattr(error, "strerror", None) or phrase("a name that cannot be used")
        step = in_english("Check name and permissions.")
        raise refuse(source.name, "fleet", seen, "a folder or a zip that can be read", step) from None
    raise_all(gathering)
    return files


def beside(source: Path, name: str) -> str:
    """The text of a file that lies beside the tables; empty where there is none.

    Raises
    ------
    InputError
        It cannot be read, or unpacks to far too much.
    """
    try:
        if source.is_dir():
            path = source / name
            return path.read_text(encoding="utf-8") if path.is_file() else ""
        with zipfile.ZipFile(source) as archive:
            members = [each for each in archive.infolist() if PurePosixPath(each.filename).name == name]
            check_sizes(members, ZIPPED_FLEET, source.name)
            return archive.read(members[0]).decode("utf-8") if members else ""
    except (OSError, ValueError, zipfile.BadZipFile):
        step = in_english("Save it again as UTF-8.")
        raise refuse(source.name, name, phrase("a file that cannot be read"), "text in UTF-8", step) from None


def _by_table(paths: Iterable[Any], gathering: Gathering) -> dict[str, Any]:
    """Which file or folder is which table; missing and doubled ones are noted."""
    found: dict[str, list[Any]] = {table.name: [] for table in TABLES}
    for path in paths:
        if path.suffix.lower() in (*ENDINGS, "") and path.stem.lower() in found:
            found[path.stem.lower()].append(path)
    for table in TABLES:
        if not found[table.name] and table.required:
            gathering.add(
                table.name,
                phrase("no such table"),
                phrase("a folder or zip with {wanted}", wanted=_WANTED),
                "Add the table.",
            )
        if len(found[table.name]) > 1:
            seen = " and ".join(str(path.name) for path in found[table.name])
            gathering.add(table.name, seen, "each table once", "Delete all but one of them.")
    return {name: paths[0] for name, paths in found.items() if paths}


def _parted(path: Any, gathering: Gathering) -> tuple[Place, ...]:
    """The file of a table, or those of a folder; what begins with a dot or a line below is no part of it."""
    if path.suffix:
        return (path,)
    found = sorted((file for file in path.rglob("*.parquet") if file.name[0] not in "._"), key=str)
    if not found:
        step = in_english("Add its files, or name the file itself as the table is named.")
        gathering.add(path.name, phrase("no file ending in .parquet"), "a folder of Parquet files", step)
    return tuple(found)


def _unpacked(source: Place, folder: Path, gathering: Gathering) -> dict[str, Path]:
    try:
        with source.open("rb") as packed, zipfile.ZipFile(packed) as archive:
            return _tables_of(archive, folder, gathering)
    except InputError:
        raise
    except Exception:  # zipfile raises many kinds on damaged archives; all of them mean the same here
        allowed, step = (
            in_english("a folder, or a zip of one"),
            in_english("Zip the folder again, or name the folder itself."),
        )
        raise refuse(source.name, "fleet", phrase("not a zip, or a damaged one"), allowed, step) from None


def _tables_of(archive: zipfile.ZipFile, folder: Path, gathering: Gathering) -> dict[str, Path]:
    members = [member for member in archive.infolist() if not member.is_dir()]
    check_count(members, ZIPPED_FLEET, gathering.file)
    by_path = {PurePosixPath(member.filename.replace("\\", "/")): member for member in members}
    own = [path for path in by_path if "__MACOSX" not in path.parts and path.suffix]
    found = _by_table(own, gathering)
    raise_all(gathering)
    check_sizes([by_path[path] for path in found.values()], ZIPPED_FLEET, gathering.file)
    files = {}
    for name, path in found.items():
        files[name] = folder / path.name.lower()
        _extract(archive, by_path[path], files[name], gathering)
    return files


def _extract(archive: zipfile.ZipFile, member: zipfile.ZipInfo, to: Path, gathering: Gathering) -> None:
    """The archive's own figure is not trusted: no more is written than it announced."""
    written = 0
    with archive.open(member) as packed, to.open("wb") as file:
        while piece := packed.read(_PIECE):
            written += len(piece)
            if written > member.file_size:
                seen = phrase("more inside than it says")
                raise refuse(gathering.file, member.filename[-60:], seen, "an honest archive", ASK)
            file.write(piece)
            if shutil.disk_usage(to.parent).free < 2 * _PIECE:
                step = in_english("Unpack it where there is room, and name the folder.")
                raise refuse(gathering.file, "fleet", phrase("a full disk"), "room for the unpacked tables", step)
