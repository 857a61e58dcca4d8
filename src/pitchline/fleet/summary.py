"""What a run over a fleet found, in a few figures: how much there is, and which parts are due first."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from pitchline.exchange.outlook_out import SUSPECTED_FROM

MOST_SHOWN = 20
_PAST_FROM = 0.5
_SHOWN = ("machine", "position", "kind", "side", "meter_h", "hours_left_p10", "hours_left_p50", "hours_left_p90")


@dataclass(frozen=True, slots=True)
class DuePart:
    """One of the parts due first.

    Parameters
    ----------
    machine, position, kind, side : str
        Which part, as written in the tables.
    meter_h : float
        Latest service hours of its machine [h].
    hours_left_p10, hours_left_p50, hours_left_p90 : float
        Hours by which the limit is reached with a chance of 10, 50 and 90 % [h].
    p_past_limit : float
        Chance of being past the limit already [1].
    """

    machine: str
    position: str
    kind: str
    side: str
    meter_h: float
    hours_left_p10: float
    hours_left_p50: float
    hours_left_p90: float
    p_past_limit: float


@dataclass(frozen=True, slots=True)
class FleetSummary:
    """What a run over a fleet found.

    Parameters
    ----------
    machines, parts, readings : int
        What the tables hold.
    positions : int
        Parts that are the newest in their position: those with an outlook.
    past_limit : int
        Those of them more likely past their limit than not.
    suspected_changes : int
        Those more likely changed without a record than not.
    suspected : int
        Those of which anything is suspected.
    due_first : tuple of DuePart
        Up to twenty parts with the fewest hours left, those past their limit left out; soonest first.
    """

    machines: int
    parts: int
    readings: int
    positions: int
    past_limit: int
    suspected_changes: int
    suspected: int
    due_first: tuple[DuePart, ...]


class Tally:
    """A summary being gathered, chunk by chunk: by each worker of what it does, then of all in order."""

    def __init__(self) -> None:
        self._positions = 0
        self._past_limit = 0
        self._changes = 0
        self._suspected = 0
        self._first: Any = None

    def join(self, later: "Tally") -> None:
        """Count what another has counted of the chunks that follow."""
        self._positions += later._positions
        self._past_limit += later._past_limit
        self._changes += later._changes
        self._suspected += later._suspected
        self._first = _soonest(
            later._first if self._first is None else pa.concat_tables([self._first, later._first])
        )

    def summary(self, machines: int, parts: int, readings: int) -> FleetSummary:
        """The summary after the last chunk."""
        due = () if self._first is None else tuple(DuePart(**row) for row in self._first.to_pylist())
        return FleetSummary(
            machines, parts, readings, self._positions, self._past_limit, self._changes, self._suspected, due
        )


def tally_of(rows: Any) -> Tally:
    """What there is to count in one chunk's rows, as outlook_rows gives them."""
    tally = Tally()
    past = np.asarray(rows.column("p_past_limit")) > _PAST_FROM
    tally._positions = rows.num_rows
    tally._past_limit = int(past.sum())
    tally._changes = int((np.asarray(rows.column("p_unrecorded_change")) > SUSPECTED_FROM).sum())
    tally._suspected = int(pc.sum(pc.not_equal(rows.column("suspected"), "")).as_py() or 0)
    tally._first = _soonest(
        pa.Table.from_batches([rows]).select([*_SHOWN, "p_past_limit"]).filter(pa.array(~past))
    )
    return tally


def _soonest(due: Any) -> Any:
    order = np.argsort(np.asarray(due.column("hours_left_p50")), kind="stable")[:MOST_SHOWN]
    return due.take(pa.array(order))
