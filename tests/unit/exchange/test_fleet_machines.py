"""Fleet tables from the machines a yard knows, and machines from fleet tables: nothing is lost on the way there and back."""

import datetime as dt
import zipfile
from dataclasses import replace

import pytest

from pitchline.demo.yard import build_yard
from pitchline.exchange.fleet_from_machines import ENDINGS, MACHINES_FILE, fleet_rows, fleet_zip
from pitchline.exchange.fleet_tables import open_fleet
from pitchline.exchange.fleet_to_machines import machines_from_tables
from pitchline.exchange.machine_file import machine_line
from pitchline.outlook.lives import lives_of
from pitchline.trade.errors import InputError
from pitchline.trade.measurands import Measurand
from pitchline.trade.part_events import Because, Event, PartEvent
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.work_done import Did, WorkDone


@pytest.fixture(scope="module")
def dossiers():
    """The invented demo yard: turned bushes, used parts, meter changes, bent wear lines, inches, machines nobody read."""
    return [one.dossier for one in build_yard().machines]


@pytest.fixture(scope="module")
def rows(dossiers):
    return fleet_rows(dossiers)


def _bare(dossier):
    """The machine with its running gear and nothing else."""
    nothing = dict.fromkeys(
        ("walk_rounds", "work", "events", "limits", "kind_lives", "ground_spans", "hours_seen", "looked_for"), ()
    )
    return replace(dossier, **nothing)


@pytest.mark.parametrize("ending", ENDINGS)
def test_machines_come_back_from_their_tables_as_they_were(dossiers, rows, ending, tmp_path):
    (there := tmp_path / "fleet.zip").write_bytes(fleet_zip(rows, ending))
    back = [dossier for _, dossier in machines_from_tables(there)]
    assert back == dossiers
    assert fleet_zip(fleet_rows(back), ending) == there.read_bytes()


def test_the_tables_alone_rebuild_every_part_and_reading(dossiers, rows, tmp_path):
    """With no more than a running gear in each machine's file, parts, readings, grounds and kinds are the same again."""
    rows = replace(rows, machines=[machine_line(_bare(one)) for one in dossiers])
    (there := tmp_path / "fleet.zip").write_bytes(fleet_zip(rows, "csv"))
    back = fleet_rows([dossier for _, dossier in machines_from_tables(there)])
    assert back.tables == rows.tables
    assert sum(len(each) for each in rows.tables["readings"]) > 0


def test_the_tables_are_what_the_outlook_reads_of_each_machine(dossiers, rows, tmp_path):
    """Life used by the wear line, curved ones too, is the wear over the allowance: the reading 0.62 of new to limit is 0.62."""
    (there := tmp_path / "fleet.zip").write_bytes(fleet_zip(rows, "parquet"))
    with open_fleet(there) as fleet:
        chunk = fleet.chunk(0)
    one = next(dossier for dossier in dossiers if len(dossier.walk_rounds) > 1)
    now_h = max(hours for _, hours in one.sights)
    mine = {
        life.path.wear.round(6).tobytes()
        for life in lives_of(one, now_h).lives
        if life.place.side is not Side.NONE
    }
    machine = chunk.machine.to_pylist()
    read = {
        chunk.paths.wear[row, : chunk.paths.count[row]].round(6).tobytes()
        for row in range(len(machine))
        if machine[row] == one.machine.machine_id
    }
    assert mine == read


def test_what_was_changed_in_a_table_alone_is_refused_with_its_row(rows, tmp_path):
    first = rows.tables["readings"][0]
    tables = rows.tables | {"readings": [(*first[:5], first[5] + 0.5, *first[6:]), *rows.tables["readings"][1:]]}
    (there := tmp_path / "fleet.zip").write_bytes(fleet_zip(replace(rows, tables=tables), "csv"))
    with pytest.raises(InputError) as told:
        machines_from_tables(there)
    assert [(each.field, each.row) for each in told.value.problems] == [("wear_mm", 2)]


def test_a_machine_without_its_file_is_asked_for(rows, tmp_path):
    (there := tmp_path / "fleet.zip").write_bytes(fleet_zip(replace(rows, machines=rows.machines[1:]), "csv"))
    with pytest.raises(InputError) as told:
        machines_from_tables(there)
    assert told.value.problems[0].field == "machine"
    assert MACHINES_FILE in told.value.problems[0].allowed


def test_a_size_nobody_entered_and_a_day_nobody_wrote_are_asked_for(dossiers, rows, tmp_path):
    bare = [machine_line(_bare(one)) for one in dossiers]
    for table, column in (("parts", 9), ("readings", 8)):
        cut = [(*row[:column], None, *row[column + 1 :]) for row in rows.tables[table]]
        changed = replace(rows, machines=bare, tables=rows.tables | {table: cut})
        (there := tmp_path / "fleet.zip").write_bytes(fleet_zip(changed, "csv"))
        with pytest.raises(InputError) as told:
            machines_from_tables(there)
        assert {each.field for each in told.value.problems} == {"new_mm" if table == "parts" else "day"}


def test_why_a_part_came_off_stands_on_its_row_and_a_turn_is_no_removal(dossiers, tmp_path):
    roller = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 1)
    one = next(
        each
        for each in dossiers
        if len(each.walk_rounds) > 1
        and each.limit_of(PartKind.BUSH, Measurand.BUSH_OD_FORWARD)
        and not each.meter_changes
    )
    last = one.walk_rounds[-1]
    work = WorkDone("a", Did.FITTED_NEW, (roller,), last.date, last.service_h, last.date, because=Because.WORN)
    turned = PartEvent(Place(PartKind.BUSH, Side.LEFT), Event.TURNED, last.service_h)
    rows = fleet_rows([replace(one, work=(work,), events=(turned,))])
    parts = {(row[1], row[2]): row for row in rows.tables["parts"]}
    assert parts["bottom_roller/left/1:tread_diameter", 0][8] == "worn"
    assert parts["bottom_roller/left/1:tread_diameter", 1][5] == last.service_h
    assert parts["bush/left:bush_od_forward", 0][8] == "turned"
    (there := tmp_path / "fleet.zip").write_bytes(fleet_zip(rows, "csv"))
    with open_fleet(there) as fleet:
        chunk = fleet.chunk(0)
    gone = [
        (kind, why)
        for kind, off, why in zip(chunk.kind.to_pylist(), chunk.removed, chunk.because.to_pylist(), strict=True)
        if off
    ]
    assert gone == [("bottom_roller", "worn")]


def test_a_name_no_spreadsheet_runs_comes_back(dossiers, tmp_path):
    one = next(each for each in dossiers if each.walk_rounds)
    named = replace(one, machine=replace(one.machine, machine_id="=1+1"))
    (there := tmp_path / "fleet.zip").write_bytes(fleet_zip(fleet_rows([named]), "csv"))
    assert b"\n'=1+1," in zipfile.ZipFile(there).read("parts.csv")
    assert [dossier for _, dossier in machines_from_tables(there)] == [named]


def test_hours_after_the_last_walk_round_and_grounds_without_a_span_are_said(dossiers):
    one = next(each for each in dossiers if each.walk_rounds and not each.ground_spans and not each.hours_seen)
    rows = fleet_rows([one])
    last = max(hours for _, hours in one.sights)
    assert rows.tables["grounds"] == [(one.machine.machine_id, 0.0, last, int(one.usual_ground))]
    assert one.walk_rounds[-1].date <= dt.date(2100, 1, 1)
