"""Where files lie: on this computer, or in an object store that is reached by an address."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO, TypeAlias, cast

from pitchline.exchange.gathering import refuse
from pitchline.exchange.safe_write import write_whole
from pitchline.words.catalogue import in_english


@dataclass(frozen=True, slots=True)
class Stored:
    """A file or folder of an object store, with those names of Path that are needed.

    Parameters
    ----------
    address : str
        As fsspec reads it: what kind of store before "://", then where in it.
    """

    address: str

    @property
    def name(self) -> str:
        """Last part of the address."""
        return self.address.rstrip("/").rpartition("/")[2]

    @property
    def stem(self) -> str:
        """Its name without the ending."""
        return Path(self.name).stem

    @property
    def suffix(self) -> str:
        """The ending of its name."""
        return Path(self.name).suffix

    def __str__(self) -> str:
        return self.address

    def __truediv__(self, name: str) -> "Stored":
        return Stored(f"{self.address.rstrip('/')}/{name}")

    def _store(self) -> tuple[Any, str]:
        try:
            import fsspec

            store, path = fsspec.core.url_to_fs(self.address)
            return store, path
        except (ImportError, ValueError) as error:
            step = in_english(
                "Install what reaches it: pip install 'pitchline[cluster]', and fsspec's part for this store."
            )
            raise refuse(self.address, "address", error, "an address that can be reached", step) from None

    def open(self, mode: str) -> BinaryIO:
        """A stream of bytes; one that is written to stands there once it is closed."""
        store, path = self._store()
        return cast(BinaryIO, store.open(path, mode))

    def is_dir(self) -> bool:
        """Whether other names begin with this one."""
        store, path = self._store()
        return bool(store.isdir(path))

    def is_file(self) -> bool:
        """Whether a file of this name is there."""
        store, path = self._store()
        return bool(store.isfile(path))

    def rglob(self, pattern: str) -> Iterator["Stored"]:
        """Files below this one whose names fit."""
        store, path = self._store()
        for found in store.find(path):
            if Path(found).match(pattern):
                yield Stored(store.unstrip_protocol(found))

    def iterdir(self) -> Iterator["Stored"]:
        """What is in this folder."""
        store, path = self._store()
        for found in store.ls(path, detail=False):
            yield Stored(store.unstrip_protocol(found))


Place: TypeAlias = Path | Stored


def place(typed: str | Path) -> Place:
    """A path, or the address of an object store where "://" stands in it."""
    return Stored(typed) if isinstance(typed, str) and "://" in typed else Path(typed)


def put_whole(to: Place, content: bytes, settled: bool = True) -> None:
    """Nothing comes out; afterwards the file holds the content, or what it held before; on disk for good if settled."""
    if isinstance(to, Path):
        write_whole(to, content, settled)
        return
    with to.open("wb") as stream:
        stream.write(content)
