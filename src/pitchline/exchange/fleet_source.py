"""Where the fleet tables lie: in a folder or in a zip, as CSV or Parquet.

See docs/reference/fleet-tables.md.
"""

import shutil
import zipfile
from collections.abc import Iterable
from pathlib import Path, PurePosixPath

from pitchline.exchange.fleet_layout import TABLES, raise_all
from pitchline.exchange.gathering import Gathering, refuse
from pitchline.exchange.zip_guard import LARGEST_RATIO, SMALL_MEMBER
from pitchline.trade.errors import InputError

ENDINGS = (".csv", ".parquet")
LARGEST_TABLES = 8 * 1024**3
MOST_MEMBERS = 10_000
_PIECE = 1024 * 1024
_WANTED = ", ".join(f"{table.name}.csv or .parquet" for table in TABLES if table.required)


def table_files(source: Path, folder: Path) -> dict[str, Path]:
    """The file of each fleet table.

    Parameters
    ----------
    source : Path
        A folder with the tables, or a zip of one.
    folder : Path
        A temporary folder, for what comes out of a zip.

    Returns
    -------
    dict of str to Path
        By name of the table; tables that may be missing are left out where they are.

    Raises
    ------
    InputError
        Nothing there, a required table missing or there twice, or an archive that is damaged, locked or unpacks to far too much.
    """
    gathering = Gathering(source.name)
    try:
        if source.is_dir():
            found = _by_table(sorted(source.iterdir()), gathering)
            files = {name: Path(path) for name, path in found.items()}
        elif source.is_file():
            files = _unpacked(source, folder, gathering)
        else:
            raise refuse(
                source.name, "fleet", "nothing of that name", "a folder or a zip", "Check name and folder."
            )
    except (OSError, ValueError) as error:
        seen = getattr(error, "strerror", None) or "a name that cannot be used"
        step = "Check name and permissions."
        raise refuse(source.name, "fleet", seen, "a folder or a zip that can be read", step) from None
    raise_all(gathering)
    return files


def _by_table(paths: Iterable[Path | PurePosixPath], gathering: Gathering) -> dict[str, Path | PurePosixPath]:
    """Which file is which table; missing and doubled ones are noted."""
    found: dict[str, list[Path | PurePosixPath]] = {table.name: [] for table in TABLES}
    for path in paths:
        if path.suffix.lower() in ENDINGS and path.stem.lower() in found:
            found[path.stem.lower()].append(path)
    for table in TABLES:
        if not found[table.name] and table.required:
            gathering.add(table.name, "no such table", f"a folder or zip with {_WANTED}", "Add the table.")
        if len(found[table.name]) > 1:
            seen = " and ".join(str(path.name) for path in found[table.name])
            gathering.add(table.name, seen, "each table once", "Delete all but one of them.")
    return {name: paths[0] for name, paths in found.items() if paths}


def _unpacked(source: Path, folder: Path, gathering: Gathering) -> dict[str, Path]:
    try:
        with zipfile.ZipFile(source) as archive:
            return _tables_of(archive, folder, gathering)
    except InputError:
        raise
    except Exception:  # zipfile raises many kinds on damaged archives; all of them mean the same here
        allowed, step = "a folder, or a zip of one", "Zip the folder again, or name the folder itself."
        raise refuse(source.name, "fleet", "not a zip, or a damaged one", allowed, step) from None


def _tables_of(archive: zipfile.ZipFile, folder: Path, gathering: Gathering) -> dict[str, Path]:
    members = [member for member in archive.infolist() if not member.is_dir()]
    if len(members) > MOST_MEMBERS:
        seen = f"{len(members):,} files inside"
        raise refuse(gathering.file, "fleet", seen, f"up to {MOST_MEMBERS:,}", "Zip the tables only.")
    by_path = {PurePosixPath(member.filename.replace("\\", "/")): member for member in members}
    own = [path for path in by_path if "__MACOSX" not in path.parts]
    found = _by_table(own, gathering)
    raise_all(gathering)
    files, room = {}, LARGEST_TABLES
    for name, path in found.items():
        member = by_path[PurePosixPath(path)]
        _check_member(member, room, gathering)
        files[name] = folder / path.name.lower()
        room -= member.file_size
        _extract(archive, member, files[name], gathering)
    return files


def _check_member(member: zipfile.ZipInfo, room: int, gathering: Gathering) -> None:
    """A member that is locked, or whose size is out of all proportion, is refused before it is unpacked."""
    name, ask = member.filename[-60:], "Do not open it; ask where it came from."
    if member.flag_bits & 0x1:
        raise refuse(gathering.file, name, "protected by a password", "an open archive", "Zip it without one.")
    ratio = member.file_size / max(member.compress_size, 1)
    if ratio > LARGEST_RATIO and member.file_size > SMALL_MEMBER:
        seen = f"unpacks to {ratio:,.0f} times its size"
        raise refuse(gathering.file, name, seen, f"up to {LARGEST_RATIO} times", ask)
    if member.file_size > room:
        allowed = f"up to {LARGEST_TABLES // 1024**3} GB of tables"
        raise refuse(gathering.file, name, f"{member.file_size / 1024**3:,.1f} GB unpacked", allowed, ask)


def _extract(archive: zipfile.ZipFile, member: zipfile.ZipInfo, to: Path, gathering: Gathering) -> None:
    """The archive's own figure is not trusted: no more is written than it announced."""
    written = 0
    with archive.open(member) as packed, to.open("wb") as file:
        while piece := packed.read(_PIECE):
            written += len(piece)
            if written > member.file_size:
                seen, ask = "more inside than it says", "Do not open it; ask where it came from."
                raise refuse(gathering.file, member.filename[-60:], seen, "an honest archive", ask)
            file.write(piece)
            if shutil.disk_usage(to.parent).free < 2 * _PIECE:
                step = "Unpack it where there is room, and name the folder."
                raise refuse(gathering.file, "fleet", "a full disk", "room for the unpacked tables", step)
