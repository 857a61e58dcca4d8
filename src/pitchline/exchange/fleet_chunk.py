"""One chunk of a fleet: the wear paths of its parts, with the words that name them.

See docs/reference/fleet-tables.md.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pyarrow as pa

from pitchline.exchange.fleet_hours import hours_between
from pitchline.exchange.fleet_layout import REASONS, TURNED
from pitchline.exchange.fleet_link import Linked, machine_hours
from pitchline.outlook.paths import GROUNDS, BoolArray, FloatArray, IntArray, Paths
from pitchline.trade.ground import GroundClass

LEAST_DOUBT = 1e-3
"""Smallest standard uncertainty of life used that a reading is given credit for [1]: our own, as for single machines."""


@dataclass(frozen=True, slots=True)
class FleetChunk:
    """Some machines of a fleet.

    Parameters
    ----------
    paths : Paths
        All their parts, also those taken off, by machine, position and part_no; kinds and machines by number in the fleet.
    machine : pyarrow array of string, shape (n,)
        Machine of each part as written.
    position : pyarrow array of string, shape (n,)
        Its position as written.
    part_no : ndarray, shape (n,)
        Which part in that position it is.
    kind : pyarrow array of string, shape (n,)
        Word of its kind.
    side : pyarrow array of string, shape (n,)
        L or R.
    newest : ndarray, shape (n,)
        Whether it is the newest in its position.
    start_h : ndarray, shape (n,)
        Service hours from which its hours count [h]: its fitting, or the meter's zero where that is not known.
    meter_h : ndarray, shape (n,)
        Latest service hours known of its machine [h].
    ground : ndarray, shape (n,)
        Ground class its machine worked last; medium where nothing is recorded.
    removed : ndarray of bool, shape (n,)
        Whether it was taken off at hours that are known: those at which the next one in its position was fitted.
    to_removal_h : ndarray, shape (n, g)
        Hours in each ground class [h] from its last reading, or from fitting, to that removal; 0 where there is none.
    because : pyarrow array of string, shape (n,)
        Why it came off.
    """

    paths: Paths
    machine: Any
    position: Any
    part_no: IntArray
    kind: Any
    side: Any
    newest: BoolArray
    start_h: FloatArray
    meter_h: FloatArray
    ground: IntArray
    removed: BoolArray
    to_removal_h: FloatArray
    because: Any


def chunk_of(rows: Linked, machines: Any, kinds: tuple[str, ...]) -> FleetChunk:
    """A chunk from its rows.

    Parameters
    ----------
    rows : Linked
        In order and joined, without problems.
    machines : pyarrow array of string
        Names of all machines of the fleet, by number.
    kinds : tuple of str
        Words of all kinds of the fleet, by number.
    """
    parts = rows.parts
    known = ~np.isnan(parts["fitted_h"])
    start_h = np.where(known, parts["fitted_h"], 0.0)
    there, at = np.unique(parts["machine"], return_inverse=True)
    meter_h = machine_hours(rows, there)[at]
    last_h = _last_read_h(rows, start_h)
    off_h = np.where(rows.newest, np.nan, np.r_[parts["fitted_h"][1:], np.nan])
    removed = (off_h >= last_h) & (parts["because"] != REASONS.index(TURNED))
    off_h = np.where(removed, off_h, last_h)
    return FleetChunk(
        paths=_paths(rows, start_h, known, meter_h),
        machine=machines.take(pa.array(parts["machine"])),
        position=parts.position,
        part_no=parts["part_no"],
        kind=pa.array(kinds, pa.string()).take(pa.array(parts["kind"])),
        side=pa.array(["L", "R"]).take(pa.array(parts["right"].astype(np.int64))),
        newest=rows.newest,
        start_h=start_h,
        meter_h=meter_h,
        ground=_last_ground(rows, there)[at],
        removed=removed,
        to_removal_h=hours_between(rows.spans, parts["machine"], last_h, off_h),
        because=pa.array(REASONS).take(pa.array(parts["because"])),
    )


def _last_read_h(rows: Linked, start_h: FloatArray) -> FloatArray:
    """Meter hours of the last reading of each part, or of its start."""
    last_h, part = start_h.copy(), rows.part
    if part.size:
        last_h[part] = rows.readings["meter_h"]
    return last_h


def _last_ground(rows: Linked, machine: IntArray) -> IntArray:
    spans = rows.spans
    last = np.searchsorted(spans.machine, machine, side="right") - 1
    ground = np.full(machine.size, int(GroundClass.MIDDLING), np.int64)
    there = np.flatnonzero(last >= 0)
    there = there[spans.machine[last[there]] == machine[there]]
    ground[there] = spans.ground[last[there]]
    return ground


def _paths(rows: Linked, start_h: FloatArray, known: BoolArray, meter_h: FloatArray) -> Paths:
    parts, readings, part = rows.parts, rows.readings, rows.part
    count = np.bincount(part, minlength=start_h.size)
    first = np.cumsum(count) - count
    place = np.arange(part.size) - first[part]
    hours_h = readings["meter_h"]
    earlier_h = np.where(place > 0, np.r_[0.0, hours_h[:-1]], start_h[part]) if part.size else hours_h
    last_h = _last_read_h(rows, start_h)
    allowance = parts["allowance_mm"][part]
    tail_h = hours_between(rows.spans, parts["machine"], last_h, np.where(rows.newest, meter_h, last_h))
    step_h = hours_between(rows.spans, readings["machine"], earlier_h, hours_h)
    padded = (start_h.size, max(int(count.max(initial=1)), 1))
    return Paths(
        kind=parts["kind"],
        machine=parts["machine"],
        start_u=parts["u_new_mm"] / parts["allowance_mm"],
        start_known=known,
        meter_known=np.ones(known.size, np.bool_),
        count=count,
        step_h=_spread(step_h, (*padded, GROUNDS), part, place, 0.0),
        wear=_spread(readings["wear_mm"] / allowance, padded, part, place, 0.0),
        wear_u=_spread(np.maximum(readings["u_mm"] / allowance, LEAST_DOUBT), padded, part, place, 1.0),
        tail_h=tail_h,
        may_be_first=parts["part_no"] == 0,
    )


def _spread(
    what: npt.NDArray[np.float64], shape: tuple[int, ...], part: IntArray, place: IntArray, empty: float
) -> FloatArray:
    spread = np.full(shape, empty)
    spread[part, place] = what
    return spread
