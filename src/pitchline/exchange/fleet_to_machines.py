"""Machines from fleet tables: as the files beside them tell, or built from the rows of the tables. Nothing is lost unsaid.

Whichever way a machine came, its tables are made anew and held against those that were sent: what differs is refused, row by row.

See docs/reference/fleet-tables.md.
"""

from collections import defaultdict
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pitchline.exchange.fleet_built import built, places_of
from pitchline.exchange.fleet_from_machines import COLUMNS, MACHINES_FILE, fleet_rows, position_of
from pitchline.exchange.fleet_layout import GROUNDS, PARTS, READINGS, Telling, raise_all
from pitchline.exchange.fleet_rows_in import Row, Sent, sent_fleet
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.machine_file import machine_line
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, phrase
from pitchline.trade.ground import GroundClass
from pitchline.words.catalogue import in_english

CLOSE_MM, CLOSE_H = 1e-6, 1e-3
"""How far figures made anew may lie from those sent: what a computer rounds, and no more."""
_HELD = {
    PARTS.name: ("kind", "side", "fitted_h", "allowance_mm", "u_new_mm", "removed_because"),
    READINGS.name: ("meter_h", "wear_mm", "u_mm"),
    GROUNDS.name: ("from_h", "to_h", "ground"),
}


def machines_from_tables(source: Path) -> list[tuple[str, Dossier]]:
    """The machines that fleet tables tell of.

    Parameters
    ----------
    source : Path
        A folder with the fleet tables and the machines' files, or a zip of one.

    Returns
    -------
    list of (str, Dossier)
        Each machine's file as text, and what it tells.

    Raises
    ------
    InputError
        With every problem: of the tables, of a machine's file, of what a machine's file cannot hold.
    """
    fleet, gathering = sent_fleet(source), Gathering(source.name)
    found: list[tuple[str, Dossier]] = []
    for name in [*fleet.files, *(name for name in fleet.machines if name not in fleet.files)]:
        if name not in fleet.files:
            step = in_english("Add a line with its machine file: its running gear is enough.")
            gathering.add("machine", name, phrase("a line for it in {file}", file=MACHINES_FILE), step)
            continue
        (text, dossier), sent = fleet.files[name], fleet.machines.get(name, Sent())
        try:
            if _says_more(sent, dossier):
                dossier = built(dossier, sent, fleet.kinds)
                text = machine_line(dossier)
            _hold(dossier, sent, gathering, fleet.names)
        except NotAllowedError as error:
            gathering.take(error.problem.at(name), None)
        except InputError as error:
            for problem in error.problems:
                gathering.take(problem, problem.row)
        found.append((text, dossier))
    raise_all(gathering)
    return found


def _says_more(sent: Sent, dossier: Dossier) -> bool:
    """Whether the tables have the history of a machine whose own file has none."""
    if dossier.walk_rounds or dossier.part_events:
        return False
    return bool(
        sent.readings
        or any(row["fitted_h"] is not None for row in sent.parts)
        or (sent.parts and not dossier.limits)
    )


def _hold(dossier: Dossier, sent: Sent, gathering: Gathering, names: dict[str, str]) -> None:
    """Nothing when the machine's own tables say what was sent; else each difference is told."""
    made = fleet_rows([dossier])
    called = {name: position_of(*where) for name, where in places_of(dossier, sent.parts).items()}
    for layout in (PARTS, READINGS, GROUNDS):
        table, telling = layout.name, Telling(gathering, names[layout.name])
        mine = [dict(zip(COLUMNS[table], row, strict=True)) for row in made.tables[table]]
        here = getattr(sent, table) if layout is not GROUNDS else _without_gaps(sent.grounds, mine)
        _hold_rows(_grouped(here, called), _grouped(mine, {}), _HELD[table], telling)


def _grouped(rows: list[Row], called: dict[str, str]) -> dict[tuple[str, int], list[Row]]:
    """Rows of each part, or all of the grounds, in order of hours."""
    found: dict[tuple[str, int], list[Row]] = defaultdict(list)
    for row in rows:
        position = str(row.get("position", ""))
        found[called.get(position, position), int(row.get("part_no", 0))].append(row)
    for mine in found.values():
        mine.sort(key=lambda row: (row.get("meter_h", row.get("from_h")) or 0.0, row.get("wear_mm") or 0.0))
    return found


def _without_gaps(sent: list[Row], mine: list[Row]) -> list[Row]:
    """The grounds sent, hours no span covers filled in as middling ground, up to the hours the machine has."""
    now_h = max((row["to_h"] for row in mine), default=0.0)
    found, at_h, row_no = list[Row](), 0.0, 1
    for row in [
        *sorted(sent, key=lambda each: each["from_h"]),
        {"from_h": now_h, "to_h": now_h, "ground": 0, "row": None},
    ]:
        row_no = row["row"] or row_no
        if row["from_h"] > at_h:
            found.append(
                {"from_h": at_h, "to_h": row["from_h"], "ground": int(GroundClass.MIDDLING), "row": row_no}
            )
        if row["to_h"] > row["from_h"]:
            found.append(row)
        at_h = max(at_h, row["to_h"])
    return _joined(found)


def _joined(rows: list[Row]) -> list[Row]:
    """Spans that follow each other on one ground as one."""
    found: list[Row] = []
    for row in rows:
        if found and found[-1]["ground"] == row["ground"] and found[-1]["to_h"] == row["from_h"]:
            found[-1] = found[-1] | {"to_h": row["to_h"]}
        else:
            found.append(row)
    return found


def _hold_rows(
    sent: dict[tuple[str, int], list[Row]],
    mine: dict[tuple[str, int], list[Row]],
    held: Sequence[str],
    telling: Telling,
) -> None:
    step = in_english("Correct the row, or what the machine file says of it.")
    if held == _HELD[GROUNDS.name]:
        mine = {key: _joined(rows) for key, rows in mine.items()}
    for key in sorted({*sent, *mine}):
        here, there = sent.get(key, []), mine.get(key, [])
        if len(here) != len(there):
            seen = phrase("{n} rows of {position}, part_no {number}", n=len(here), position=key[0], number=key[1])
            allowed = phrase("{n}, as the machine's file tells it", n=len(there))
            telling.add("part_no", seen, allowed, step, here[0]["row"] if here else None)
            continue
        for row, made in zip(here, there, strict=True):
            for name in held:
                if not _same(name, row.get(name), made[name]):
                    allowed = phrase(
                        "{made}, as the machine's file tells it", made="" if made[name] is None else made[name]
                    )
                    telling.add(name, "" if row.get(name) is None else row[name], allowed, step, row["row"])


def _same(name: str, sent: Any, made: Any) -> bool:
    if name == "removed_because":
        return (sent or "unknown") == (made or "unknown")
    if sent is None or made is None:
        return sent is made
    if name.endswith(("_h", "_mm")):
        return bool(abs(sent - made) <= (CLOSE_H if name.endswith("_h") else CLOSE_MM))
    return bool(sent == made)
