"""The fleet tables of machines a yard knows: each part's life with what was read of it, as the outlook takes it.

See docs/reference/fleet-tables.md.
"""

import csv
import io
import statistics
import zipfile
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from pitchline.exchange.fleet_layout import TURNED
from pitchline.exchange.grid_csv import shield
from pitchline.exchange.machine_file import machine_line
from pitchline.outlook.learned import kind_word
from pitchline.outlook.lives import Life, Lives, events_at, lives_of, start_u
from pitchline.trade.dossier import Dossier, Limit
from pitchline.trade.ground import GroundClass, GroundSpan
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.part_events import Because, Event, PartEvent
from pitchline.trade.parts import Place, Side

ENDINGS = ("csv", "parquet")
MACHINES_FILE = "machines.jsonl"
_DIGITS = 9
"""Decimals of a millimetre that are kept: what differs beyond them is the computer's rounding."""
_WHEN = (1980, 1, 1, 0, 0, 0)
Row = tuple[Any, ...]
COLUMNS: dict[str, tuple[str, ...]] = {
    "parts": (
        "machine", "position", "part_no", "kind", "side", "fitted_h", "allowance_mm", "u_new_mm", "removed_because", "new_mm",
    ),
    "readings": ("machine", "position", "part_no", "inspection", "meter_h", "wear_mm", "u_mm", "tool", "day"),
    "grounds": ("machine", "from_h", "to_h", "ground"),
    "kinds": ("kind", "typical_life_h", "log_spread"),
}  # fmt: skip
_TYPES = {"part_no": pa.int64(), "inspection": pa.int64(), "ground": pa.int64()}


@dataclass(slots=True)
class FleetRows:
    """The rows of the fleet tables, and what they cannot say.

    Parameters
    ----------
    tables : dict of str to list of tuple
        Rows of each table, in the order of COLUMNS.
    machines : list of str
        Each machine's file on one line: what the tables do not say stands there.
    untold : Counter of str
        What the tables cannot say, by what it is: how often.
    """

    tables: dict[str, list[Row]] = field(default_factory=lambda: {name: [] for name in COLUMNS})
    machines: list[str] = field(default_factory=list)
    untold: Counter[str] = field(default_factory=Counter)

    @property
    def machines_read(self) -> int:
        """Machines of which a part was read."""
        return len({row[0] for row in self.tables["readings"]})


def fleet_rows(dossiers: Iterable[Dossier]) -> FleetRows:
    """The fleet tables of some machines.

    Parameters
    ----------
    dossiers : iterable of Dossier
        Each under its own short name.

    Returns
    -------
    FleetRows
        Every part with an entered limit that has a side, also those taken off; wear as life used by its wear line times the
        allowance, so that a line that is not straight is kept.
    """
    found = FleetRows()
    lives_h: dict[str, list[tuple[float, float]]] = {}
    for dossier in dossiers:
        found.machines.append(machine_line(dossier))
        now_h = max((service_h for _, service_h in dossier.sights), default=0.0)
        lives = lives_of(dossier, now_h)
        _add_parts(found, dossier, lives, now_h)
        name = dossier.machine.machine_id
        found.tables["grounds"] += [
            (name, span.from_h, span.to_h, int(span.ground)) for span in worked(dossier, now_h)
        ]
        for kind in {
            life.path.kind: life.kind for life in lives.lives if life.place.side is not Side.NONE
        }.values():
            word = kind_word(kind.part.value, kind.measurand.value)
            lives_h.setdefault(word, []).append((kind.typical_life_h, kind.log_spread))
        _count_untold(found.untold, dossier)
    for word, believed in sorted(lives_h.items()):
        life_h, spread = (statistics.median_low(each) for each in zip(*believed, strict=True))
        found.tables["kinds"].append((word, life_h, spread))
    return found


def position_of(place: Place, measurand: Measurand) -> str:
    """What the tables call a place and what is read there.

    Examples
    --------
    >>> from pitchline.trade.parts import PartKind
    >>> position_of(Place(PartKind.LINK, Side.LEFT), Measurand.RAIL_HEIGHT)
    'link/left:rail_height'
    """
    return f"{place.key}:{measurand.value}"


def worked(dossier: Dossier, now_h: float) -> list[GroundSpan]:
    """The grounds of all hours from 0 to now, without a gap: those no span covers were worked on the usual ground."""
    found: list[GroundSpan] = []
    at_h = 0.0
    for span in sorted(dossier.ground_spans, key=lambda one: one.from_h):
        from_h, to_h = min(span.from_h, now_h), min(span.to_h, now_h)
        found += _span(at_h, from_h, dossier.usual_ground)
        found += _span(from_h, to_h, span.ground)
        at_h = max(at_h, to_h)
    return [*found, *_span(at_h, now_h, dossier.usual_ground)]


def _span(from_h: float, to_h: float, ground: GroundClass) -> list[GroundSpan]:
    return [GroundSpan(from_h, to_h, ground)] if to_h > from_h else []


def _add_parts(found: FleetRows, dossier: Dossier, lives: Lives, now_h: float) -> None:
    rounds = {walk_round.date: number for number, walk_round in enumerate(dossier.walk_rounds)}
    for (place, measurand), mine in _by_place(lives):
        limit = mine[0].line.limit
        if place.side is Side.NONE:
            found.untold["no_side"] += sum(len(life.traces) for life in mine)
            continue
        starts: list[PartEvent | None] = [
            None,
            *(one for one in events_at(dossier, place) if one.service_h <= now_h),
        ]
        head = (dossier.machine.machine_id, position_of(place, measurand))
        number = 0
        for started, ended in zip(starts, [*starts[1:], None], strict=True):
            life = next((one for one in mine if one.started == started), None)
            if life is None and (started is None or ended is None):
                continue  # nobody read it, and its hours tell nothing
            found.tables["parts"].append((*head, number, *_part(limit, place, started, ended, life)))
            if started is not None and started.event is Event.FITTED_PART_WORN and number:
                found.untold["used_fitted"] += 1
            found.tables["readings"] += [(*head, number, *cells) for cells in _readings(life, limit, rounds)]
            found.untold["copied"] += sum(trace.alike > 1 for trace in life.traces) if life is not None else 0
            number += 1


def _by_place(lives: Lives) -> list[tuple[tuple[Place, Measurand], list[Life]]]:
    found: dict[tuple[Place, Measurand], list[Life]] = {}
    for life in lives.lives:
        found.setdefault((life.place, life.measurand), []).append(life)
    return list(found.items())


def _part(
    limit: Limit, place: Place, started: PartEvent | None, ended: PartEvent | None, life: Life | None
) -> Row:
    """A part's cells from its kind to its new size."""
    known = (
        life.path.start_known
        if life is not None
        else started is not None and started.event is not Event.FITTED_PART_WORN
    )
    doubt = life.path.start_u if life is not None else start_u(limit, started)
    allowance_mm = allowance_of(limit)
    return (
        kind_word(limit.part.value, limit.measurand.value),
        "L" if place.side is Side.LEFT else "R",
        started.service_h if started is not None and known else None,
        allowance_mm,
        round(doubt * allowance_mm, _DIGITS),
        _because(place, ended),
        round(1e3 * limit.new_m, _DIGITS),
    )


def allowance_of(limit: Limit) -> float:
    """Wear allowance from new to the limit [mm], as the tables write it."""
    return round(1e3 * abs(limit.new_m - (limit.limit_m or 0.0)), _DIGITS)


def _because(place: Place, ended: PartEvent | None) -> str:
    """Why a part came off; what came with another part says nothing of its own limit."""
    if ended is None:
        return ""
    if ended.event is Event.TURNED:
        return TURNED
    if ended.place.part is place.part or ended.because is Because.UNKNOWN:
        return ended.because.value
    return Because.TOGETHER.value


def _readings(life: Life | None, limit: Limit, rounds: dict[Any, int]) -> Iterator[Row]:
    """The readings of a part, from its walk-round to its day; a face read before a turn begins with that reading."""
    if life is None:
        return
    traces, path, allowance_mm = life.traces, life.path, allowance_of(limit)
    before = path.wear.size - len(traces)
    hours = [life.started.service_h if life.started is not None else 0.0] * before
    hours += [trace.service_h for trace in traces]
    told: list[Row] = [(None, "", "")] * before
    told += [(rounds.get(trace.date), trace.reading.tool.name, trace.date.isoformat()) for trace in traces]
    for service_h, used, used_u, (inspection, tool, day) in zip(
        hours, path.wear.tolist(), path.wear_u.tolist(), told, strict=True
    ):
        wear_mm, u_mm = round(used * allowance_mm, _DIGITS) + 0.0, round(used_u * allowance_mm, _DIGITS)
        yield inspection, service_h, wear_mm, max(u_mm, 1e-6), tool, day


def _count_untold(untold: Counter[str], dossier: Dossier) -> None:
    for walk_round in dossier.walk_rounds:
        for reading in walk_round.readings:
            limit = dossier.limit_of(reading.place.part, reading.measurand)
            if MEASURANDS[reading.measurand].role is Role.WEAR and (limit is None or limit.limit_m is None):
                untold["no_limit"] += 1
    untold["meter"] += not dossier.meter_from_new
    untold["assumed"] += sum(limit.assumed for limit in dossier.limits)


def fleet_zip(rows: FleetRows, ending: str) -> bytes:
    """The tables in one zip, with the machine files beside them; the same rows give the same bytes.

    Parameters
    ----------
    rows : FleetRows
        The rows.
    ending : str
        csv or parquet.
    """
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, columns in COLUMNS.items():
            content = _csv(columns, rows.tables[name]) if ending == "csv" else _parquet(columns, rows.tables[name])
            _write(archive, f"{name}.{ending}", content)
        _write(archive, MACHINES_FILE, "".join(f"{one}\n" for one in rows.machines).encode())
    return packed.getvalue()


def _write(archive: zipfile.ZipFile, name: str, content: bytes) -> None:
    member = zipfile.ZipInfo(name, _WHEN)
    member.compress_type = zipfile.ZIP_DEFLATED
    archive.writestr(member, content)


def _csv(columns: tuple[str, ...], rows: list[Row]) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([[shield(cell) if isinstance(cell, str) else cell for cell in row] for row in rows])
    return text.getvalue().encode()


def _parquet(columns: tuple[str, ...], rows: list[Row]) -> bytes:
    whole = {}
    for number, name in enumerate(columns):
        cells = [row[number] for row in rows]
        is_number = name.endswith(("_h", "_mm")) or name == "log_spread"
        whole[name] = pa.array(cells, _TYPES.get(name, pa.float64() if is_number else pa.string()))
    packed = io.BytesIO()
    pq.write_table(pa.table(whole), packed)
    return packed.getvalue()
