"""The fleet's outlook out: columns as the format page has them, whole or not at all, safe in a spreadsheet."""

import csv
from pathlib import Path

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from pitchline.exchange.fleet_tables import open_fleet
from pitchline.exchange.grid_csv import shield
from pitchline.exchange.outlook_out import (
    GROUP_ROWS,
    outlook_rows,
    outlook_schema,
    put_part,
    shield_column,
    write_outlook,
)
from pitchline.outlook.fleet import LEVELS, Forecast
from pitchline.trade.errors import InputError, NotAllowedError

SAMPLE = Path(__file__).parents[2] / "data" / "fleet-sample"
SCHEMA = outlook_schema(False, False)
# As the format page lists them, with a column of words for what was suspected.
COLUMNS = [
    "machine",
    "position",
    "part_no",
    "kind",
    "side",
    "meter_h",
    "ground",
    "life_used",
    "life_used_sd",
    "p_past_limit",
    "hours_left_p05",
    "hours_left_p10",
    "hours_left_p25",
    "hours_left_p50",
    "hours_left_p75",
    "hours_left_p90",
    "hours_left_p95",
    "p_unrecorded_change",
    "n_readings",
    "suspected",
]


@pytest.fixture(scope="module")
def chunk():
    with open_fleet(SAMPLE, 64) as fleet:
        return fleet.chunk(0)


@pytest.fixture(scope="module")
def forecast(chunk):
    """Made-up figures by which every cell can be found again; none for parts taken off."""
    row = np.where(chunk.newest, np.arange(chunk.newest.size, dtype=float), np.nan)
    hours = 1000 * row[:, None] + np.arange(len(LEVELS)) + 0.04
    return Forecast(
        row / 7, row / 70, row / 1e4, hours, (row % 3) / 3, (row % 5) / 5, (row % 7) / 7, (row % 11) / 11
    )


@pytest.fixture(scope="module")
def rows(chunk, forecast):
    return outlook_rows(chunk, forecast, np.full_like(chunk.ground, 3))


def put_in(writer, path, rows, schema):
    part = path.with_name(f"part{writer.part_ending}")
    put_part(rows, schema, part)
    writer.take(part)


def written(path, rows, plain_machines=False, plain_positions=False):
    schema = outlook_schema(plain_machines, plain_positions)
    with write_outlook(path, schema) as writer:
        put_in(writer, path, rows, schema)
    return path


def test_one_row_for_the_newest_part_in_each_position(rows):
    with (SAMPLE / "parts.csv").open(newline="") as file:
        parts = [row for row in csv.DictReader(file) if int(row["machine"]) < 64]
    newest = {}
    for row in parts:
        place = (row["machine"], row["position"])
        newest[place] = max(newest.get(place, 0), int(row["part_no"]))
    found = zip(*(rows.column(name).to_pylist() for name in ("machine", "position", "part_no")), strict=True)
    assert [((machine, position), part_no) for machine, position, part_no in found] == list(newest.items())


@pytest.mark.parametrize("ending", [".csv", ".parquet", ".CSV"])
def test_columns_stand_as_on_the_format_page(tmp_path, rows, ending):
    path = written(tmp_path / f"out{ending}", rows)
    if ending == ".parquet":
        assert pq.read_schema(path).names == COLUMNS
    else:
        with path.open(newline="", encoding="utf-8") as file:
            assert next(csv.reader(file)) == COLUMNS


def test_every_cell_stands_in_its_column(tmp_path, chunk, rows):
    with written(tmp_path / "out.csv", rows, True, True).open(newline="") as file:
        found = list(csv.DictReader(file))
    for number, line in zip(np.flatnonzero(chunk.newest).tolist(), found, strict=True):
        assert line["machine"] == chunk.machine[number].as_py()
        assert int(line["n_readings"]) == chunk.paths.count[number]
        assert (line["ground"], float(line["meter_h"])) == ("3", chunk.meter_h[number])
        assert float(line["hours_left_p05"]) == 1000 * number
        assert float(line["hours_left_p95"]) == 1000 * number + 6
        assert float(line["life_used"]) == round(number / 7, 6)
        assert float(line["p_past_limit"]) == number / 1e4
        changed, doubted = number % 3 == 2, number % 5 >= 3
        assert ("changed" in line["suspected"], "a reading" in line["suspected"]) == (changed, doubted)
        assert ("walk-round" in line["suspected"], "ground" in line["suspected"]) == (
            number % 7 >= 4,
            number % 11 >= 6,
        )


def test_parquet_keeps_every_digit_and_whole_numbers(tmp_path, chunk, forecast, rows):
    table = pq.read_table(written(tmp_path / "out.parquet", rows, True, False))
    assert table.schema.field("machine").type == pa.int64()
    assert table.schema.field("position").type == pa.string()
    np.testing.assert_array_equal(table["life_used"].to_numpy(), forecast.life_used[chunk.newest])


@pytest.mark.parametrize("ending", [".csv", ".parquet"])
def test_the_file_does_not_depend_on_how_the_rows_came(tmp_path, rows, ending):
    whole = pa.Table.from_batches([rows] * (GROUP_ROWS // rows.num_rows + 2))
    made = []
    for size in (777, GROUP_ROWS, whole.num_rows):
        path = tmp_path / f"{size}{ending}"
        with write_outlook(path, SCHEMA) as writer:
            for start in range(0, whole.num_rows, size):
                (batch,) = whole.slice(start, size).combine_chunks().to_batches()
                put_in(writer, path, batch, SCHEMA)
        made.append(path.read_bytes())
    assert made[0] == made[1] == made[2]


NASTY = ["=1+1", "x;=1+1", "+5", "-2", "@x", "'=x", "'ok", "a=1", "＝1", 'say "no"', "a,b", "", "Müller"]


def test_words_are_shielded_as_single_cells_are():
    assert shield_column(pa.array(NASTY)).to_pylist() == [shield(word) for word in NASTY]


def test_no_cell_of_the_csv_runs_as_a_formula(tmp_path, rows):
    few = rows.slice(0, len(NASTY))
    nasty = few.set_column(0, "machine", pa.array(NASTY)).set_column(3, "kind", pa.array(NASTY))
    with written(tmp_path / "out.csv", nasty).open(newline="", encoding="utf-8") as file:
        found = list(csv.DictReader(file))
    assert [line["machine"] for line in found] == [shield(word) for word in NASTY]
    assert not any(line["kind"].startswith(("=", "+", "-", "@")) for line in found)
    assert pq.read_table(written(tmp_path / "out.parquet", nasty))["machine"].to_pylist() == NASTY


def test_a_run_that_breaks_off_leaves_the_old_file(tmp_path, rows):
    path = tmp_path / "out.csv"
    path.write_text("old")

    def broken_off():
        with write_outlook(path, SCHEMA) as writer:
            put_in(writer, path, rows, SCHEMA)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        broken_off()
    assert path.read_text() == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_another_ending_is_refused_before_anything_is_written(tmp_path):
    with pytest.raises(NotAllowedError, match=r"\.parquet"), write_outlook(tmp_path / "out.xlsx", SCHEMA):
        pass
    assert not list(tmp_path.iterdir())


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(InputError, match="No such file"), write_outlook(tmp_path / "no" / "out.csv", SCHEMA):
        pass
