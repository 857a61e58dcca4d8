"""Rows parted by chunk of machines, kept in a temporary Arrow file, so that any fleet fits in little memory."""

from dataclasses import dataclass, field
from pathlib import Path
from types import TracebackType
from typing import Any, Self

import numpy as np
import numpy.typing as npt
import pyarrow as pa

from pitchline.exchange.gathering import refuse
from pitchline.trade.errors import InputError
from pitchline.words.catalogue import in_english


@dataclass(frozen=True, slots=True)
class Spill:
    """A temporary file of rows, and where those of each chunk are.

    Parameters
    ----------
    path : Path
        The file.
    batch, chunk, start, stop : ndarray, shape (p,)
        Each stretch of rows: in which batch, of which chunk, from which row to which; rising by chunk, then batch.
    """

    path: Path
    batch: npt.NDArray[np.int64]
    chunk: npt.NDArray[np.int64]
    start: npt.NDArray[np.int64]
    stop: npt.NDArray[np.int64]

    def read(self, chunk: int) -> Any:
        """The rows of one chunk, in the order they were written.

        Returns
        -------
        pyarrow.Table
            No row where there is none.
        """
        first, last = np.searchsorted(self.chunk, [chunk, chunk + 1])
        with pa.memory_map(str(self.path)) as source, pa.ipc.open_file(source) as file:
            parts = [
                file.get_batch(int(self.batch[at])).slice(self.start[at], self.stop[at] - self.start[at])
                for at in range(first, last)
            ]
            return pa.Table.from_batches(parts, schema=file.schema)


@dataclass(slots=True)
class SpillWriter:
    """A temporary file being filled."""

    path: Path
    schema: Any
    _file: Any = None
    _batches: int = 0
    _stretches: list[npt.NDArray[np.int64]] = field(default_factory=list)

    def __enter__(self) -> Self:
        self._file = pa.ipc.new_file(str(self.path), self.schema)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._file.close()

    def write(self, columns: dict[str, Any], chunk: npt.NDArray[np.int64]) -> None:
        """Add rows.

        Raises
        ------
        InputError
            The disk is full.
        """
        if not chunk.size:
            return
        batch = pa.record_batch(columns, schema=self.schema)
        if (np.diff(chunk) < 0).any():
            order = np.argsort(chunk, kind="stable")
            batch, chunk = batch.take(pa.array(order)), chunk[order]
        try:
            self._file.write_batch(batch)
        except OSError as error:
            raise full_disk(self.path, error) from None
        starts = np.flatnonzero(np.r_[True, np.diff(chunk) > 0])
        stops = np.r_[starts[1:], chunk.size]
        self._stretches.append(np.stack([chunk[starts], np.full(starts.size, self._batches), starts, stops]))
        self._batches += 1

    def spill(self) -> Spill:
        """The file as it can be read, after it is closed."""
        found = np.concatenate([np.zeros((4, 0), np.int64), *self._stretches], axis=1)
        chunk, batch, start, stop = found[:, np.lexsort((found[1], found[0]))]
        return Spill(self.path, batch, chunk, start, stop)


def full_disk(path: Path, error: OSError) -> InputError:
    """The error for a temporary folder that cannot hold the fleet."""
    allowed = in_english("room for a copy of the tables")
    return refuse(
        path.name, "temporary folder", error.strerror or str(error), allowed, "Make room, then try again."
    )
