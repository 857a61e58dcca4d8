"""The rows of one chunk of machines put in order and joined: which reading is of which part, what overlaps, what is missing.

See docs/reference/fleet-tables.md.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pyarrow as pa

from pitchline.exchange.fleet_hours import Spans
from pitchline.exchange.fleet_layout import FILE_ROWS, MOST_PART_NO, Telling
from pitchline.exchange.fleet_values import natural_order
from pitchline.exchange.gathering import MOST_PROBLEMS
from pitchline.outlook.paths import BoolArray, FloatArray, IntArray
from pitchline.trade.errors import phrase
from pitchline.words.catalogue import in_english

MOST_READINGS = 500
PART_COLUMNS = pa.schema(
    (
        ("machine", pa.int64()),
        ("position", pa.string()),
        ("part_no", pa.int64()),
        ("kind", pa.int64()),
        ("right", pa.bool_()),
        ("fitted_h", pa.float64()),
        ("allowance_mm", pa.float64()),
        ("u_new_mm", pa.float64()),
        ("because", pa.int64()),
        ("row", pa.int64()),
    )
)
READING_COLUMNS = pa.schema(
    (
        ("machine", pa.int64()),
        ("position", pa.string()),
        ("part_no", pa.int64()),
        ("meter_h", pa.float64()),
        ("wear_mm", pa.float64()),
        ("u_mm", pa.float64()),
        ("row", pa.int64()),
    )
)
GROUND_COLUMNS = pa.schema(
    (
        ("machine", pa.int64()),
        ("from_h", pa.float64()),
        ("to_h", pa.float64()),
        ("ground", pa.int64()),
        ("row", pa.int64()),
    )
)


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows of a table as arrays.

    Parameters
    ----------
    columns : dict of str to ndarray, shape (n,)
        Every column but the positions.
    position : pyarrow array or None, shape (n,)
        The positions as words, where the table has them.
    """

    columns: dict[str, npt.NDArray[Any]]
    position: Any = None

    def __getitem__(self, name: str) -> npt.NDArray[Any]:
        """A column."""
        return self.columns[name]

    def taken(self, at: npt.NDArray[Any]) -> "Rows":
        """Some of the rows, in the order asked for."""
        columns = {name: column[at] for name, column in self.columns.items()}
        if self.position is None:
            return Rows(columns)
        return Rows(
            columns, self.position.filter(pa.array(at)) if at.dtype == bool else self.position.take(pa.array(at))
        )


def rows_from(table: Any) -> Rows:
    """The rows of an Arrow table as arrays."""
    columns = {
        name: table.column(name).to_numpy(zero_copy_only=False)
        for name in table.column_names
        if name != "position"
    }
    position = table.column("position").combine_chunks() if "position" in table.column_names else None
    return Rows(columns, position)


@dataclass(frozen=True, slots=True)
class Linked:
    """One chunk's rows in order and joined.

    Parameters
    ----------
    parts : Rows
        By machine, position and part_no.
    newest : ndarray, shape (n,)
        Whether each part is the newest in its position.
    readings : Rows
        By part, then hours.
    part : ndarray, shape (r,)
        Row of the part of each reading.
    spans : Spans
        Ground spans by machine and hours.
    """

    parts: Rows
    newest: BoolArray
    readings: Rows
    part: IntArray
    spans: Spans


@dataclass(frozen=True, slots=True)
class Tellings:
    """Where problems of each table go."""

    parts: Telling
    readings: Telling
    grounds: Telling


def _position_codes(parts: Rows, readings: Rows) -> tuple[IntArray, IntArray]:
    """Positions as numbers that are in order as the words are."""
    coded = pa.chunked_array([parts.position, readings.position]).combine_chunks().dictionary_encode()
    found = coded.dictionary
    place = np.empty(len(found), np.int64)
    place[natural_order(found)] = np.arange(len(found))
    codes = place[coded.indices.to_numpy(zero_copy_only=False)] if len(found) else np.zeros(0, np.int64)
    return codes[: len(parts.position)], codes[len(parts.position) :]


def linked(parts: Rows, readings: Rows, grounds: Rows, tellings: Tellings) -> Linked:
    """The rows of some machines in order and joined.

    Parameters
    ----------
    parts, readings, grounds : Rows
        Rows of those machines, in any order.
    tellings : Tellings
        Where problems go: a part twice, readings of no part or before its fitting, too many of one part, spans that overlap.

    Returns
    -------
    Linked
        Only meant to be used where no problem was noted.
    """
    codes, read_codes = _position_codes(parts, readings)
    first = int(parts["machine"].min()) if parts["machine"].size else 0
    several, numbers = int(codes.size + read_codes.size) or 1, MOST_PART_NO + 1
    place = (parts["machine"] - first) * several + codes
    key = place * numbers + parts["part_no"]
    order = np.lexsort((parts["row"], key))
    parts, place, key = parts.taken(order), place[order], key[order]
    _tell_doubles(parts, np.flatnonzero(np.diff(key) == 0) + 1, tellings.parts)
    newest = np.r_[np.diff(place) > 0, np.ones(min(place.size, 1), np.bool_)]
    read_key = ((readings["machine"] - first) * several + read_codes) * numbers + readings["part_no"]
    part = np.minimum(np.searchsorted(key, read_key), max(key.size - 1, 0))
    known = key[part] == read_key if key.size else np.zeros(read_key.size, np.bool_)
    if not known.all():
        _tell_unknown(readings.taken(np.flatnonzero(~known)), tellings.readings)
        readings, part = readings.taken(known), part[known]
    order = np.lexsort((readings["u_mm"], readings["wear_mm"], readings["meter_h"], part))
    readings, part = readings.taken(order), part[order]
    _tell_early(parts, readings, part, tellings.readings)
    _tell_many(parts, readings, part, tellings.readings)
    return Linked(parts, newest, readings, part, _spans(grounds, tellings.grounds))


def _spans(grounds: Rows, telling: Telling) -> Spans:
    order = np.lexsort((grounds["row"], grounds["to_h"], grounds["from_h"], grounds["machine"]))
    grounds = grounds.taken(order)
    same = grounds["machine"][1:] == grounds["machine"][:-1]
    wrong = np.flatnonzero(same & (grounds["from_h"][1:] < grounds["to_h"][:-1])) + 1
    if wrong.size:
        seen = [
            phrase(
                "{from_h:g} to {to_h:g} h, with one that ends at {end_h:g} h",
                from_h=float(grounds["from_h"][at]),
                to_h=float(grounds["to_h"][at]),
                end_h=float(grounds["to_h"][at - 1]),
            )
            for at in wrong[:MOST_PROBLEMS].tolist()
        ]
        step = in_english("Part the spans where one ends and the next begins.")
        telling.each("from_h", seen, "spans of a machine that do not overlap", step, grounds["row"][wrong])
    return Spans(grounds["machine"], grounds["from_h"], grounds["to_h"], grounds["ground"])


def _named(rows: Rows, at: npt.NDArray[np.int64]) -> list[str]:
    positions = rows.position.take(pa.array(at[:MOST_PROBLEMS])).to_pylist()
    numbers = rows["part_no"][at[:MOST_PROBLEMS]].tolist()
    return [
        phrase("position {place}, part_no {number}", place=place, number=number)
        for place, number in zip(positions, numbers, strict=True)
    ]


def _tell_doubles(parts: Rows, at: npt.NDArray[np.int64], telling: Telling) -> None:
    if at.size:
        seen = [
            phrase("{name}, which stands in row {row} already", name=name, row=row % FILE_ROWS)
            for name, row in zip(_named(parts, at), parts["row"][at - 1].tolist(), strict=False)
        ]
        step = in_english("Delete one of the rows, or give the later part a higher part_no.")
        telling.each("part_no", seen, "each part of a machine once", step, parts["row"][at])


def _tell_unknown(readings: Rows, telling: Telling) -> None:
    at = np.arange(readings["row"].size)
    allowed, step = (
        in_english("a part of that machine that stands in the table of parts"),
        in_english("Add the part, or correct the reading."),
    )
    telling.each("part_no", _named(readings, at), allowed, step, readings["row"])


def _tell_early(parts: Rows, readings: Rows, part: IntArray, telling: Telling) -> None:
    fitted_h = parts["fitted_h"][part]
    early = np.flatnonzero(readings["meter_h"] < fitted_h)
    if early.size:
        hours = zip(
            readings["meter_h"][early[:MOST_PROBLEMS]].tolist(),
            fitted_h[early[:MOST_PROBLEMS]].tolist(),
            strict=True,
        )
        seen = [
            phrase("{read:g} h on a part fitted at {fitted:g} h", read=read, fitted=fitted)
            for read, fitted in hours
        ]
        allowed, step = (
            in_english("hours from the fitting of the part on"),
            in_english("Correct the hours, or the part_no."),
        )
        telling.each("meter_h", seen, allowed, step, readings["row"][early])


def _tell_many(parts: Rows, readings: Rows, part: IntArray, telling: Telling) -> None:
    count = np.bincount(part, minlength=parts["row"].size)
    for at in np.flatnonzero(count > MOST_READINGS)[:MOST_PROBLEMS].tolist():
        row = int(readings["row"][np.searchsorted(part, at)])
        seen, step = (
            phrase("{n:,} readings of one part", n=count[at]),
            in_english("Leave out some of its readings."),
        )
        telling.add(
            "part_no",
            seen,
            phrase("up to {most_readings} readings of one part", most_readings=MOST_READINGS),
            step,
            row,
        )


def machine_hours(rows: Linked, machine: IntArray) -> FloatArray:
    """Latest service hours known of each machine.

    Returns
    -------
    ndarray, shape (m,)
        The largest hours of any reading, span or fitting [h].
    """
    latest = np.zeros(machine.size)
    fitted = np.nan_to_num(rows.parts["fitted_h"])
    np.maximum.at(latest, np.searchsorted(machine, rows.parts["machine"]), fitted)
    np.maximum.at(latest, np.searchsorted(machine, rows.readings["machine"]), rows.readings["meter_h"])
    np.maximum.at(latest, np.searchsorted(machine, rows.spans.machine), rows.spans.to_h)
    return latest
