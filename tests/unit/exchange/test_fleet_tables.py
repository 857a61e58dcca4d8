"""Fleet tables in: every row counted, every form read alike, every problem told with its table and row."""

import csv
import random
import zipfile
from dataclasses import fields
from pathlib import Path

import numpy as np
import pyarrow as pa
import pyarrow.csv
import pyarrow.parquet as pq
import pytest

from pitchline.exchange.fleet_tables import open_fleet
from pitchline.fleet.learning import joined
from pitchline.outlook.fleet import BLOCK_MACHINES
from pitchline.trade.errors import InputError

SAMPLE = Path(__file__).parents[2] / "data" / "fleet-sample"
TABLES = ("parts", "readings", "grounds")

PARTS = """machine,position,part_no,kind,side,fitted_h,allowance_mm,u_new_mm
EX-2,rear,0,bush_od,R,,4.0,0.08
EX-1,1,0,link_height,L,1000,5.0,0.1
EX-1,1,1,link_height,L,3000,5.0,0.1
EX-1,10,0,idler,R,0,10,0
EX-1,9,0,idler,L,0,10,0
"""
READINGS = """machine,position,part_no,inspection,meter_h,wear_mm,u_mm,tool
EX-1,1,0,1,2500,2.0,0.25,calliper
EX-1,1,0,0,2000,1.0,0.25,calliper
EX-1,1,1,2,3500,-0.1,0.001,calliper
EX-2,rear,0,0,800,1.2,0.2,ultrasonic
"""
GROUNDS = """machine,from_h,to_h,ground
EX-1,2600,3200,3
EX-1,500,2200,4
"""
FILES = {"parts": PARTS, "readings": READINGS, "grounds": GROUNDS}


def put(folder, **changed):
    """A small invented fleet as a folder of CSV files, some of them changed; None leaves a table out."""
    folder.mkdir(exist_ok=True)
    for name, text in (FILES | changed).items():
        if text is not None:
            (folder / f"{name}.csv").write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


def chunks(source, machines_per_chunk=1000):
    with open_fleet(source, machines_per_chunk) as fleet:
        return [fleet.chunk(number) for number in range(fleet.chunks)]


def refused(source):
    with pytest.raises(InputError) as caught, open_fleet(source):
        pass
    return caught.value.problems


def same(one, other):
    """Whether two chunks hold the same to the last bit."""
    for field in fields(one):
        a, b = getattr(one, field.name), getattr(other, field.name)
        if field.name == "paths":
            for inner in fields(a):
                np.testing.assert_array_equal(getattr(a, inner.name), getattr(b, inner.name), inner.name)
        elif isinstance(a, np.ndarray):
            np.testing.assert_array_equal(a, b, field.name)
        else:
            assert a.to_pylist() == b.to_pylist()
    return True


@pytest.fixture(params=[False, True], ids=["whole", "cut"])
def cut(request, monkeypatch):
    """The tables are read whole, or cut after each line and row: told the same."""
    if request.param:
        monkeypatch.setattr("pitchline.exchange.fleet_text.SHARE_BYTES", 1)
        monkeypatch.setattr("pitchline.exchange.fleet_stream.SHARE_ROWS", 1)


@pytest.fixture(scope="module")
def sample():
    (only,) = chunks(SAMPLE)
    return only


def test_the_sample_is_read_fully():
    """Counts of rows as wc gives them, less the header."""
    with open_fleet(SAMPLE, 64) as fleet:
        assert (len(fleet.machines), fleet.parts, fleet.readings, fleet.chunks) == (300, 5488, 10341, 5)
        found = [fleet.chunk(number) for number in range(fleet.chunks)]
    assert sum(chunk.paths.kind.size for chunk in found) == 5488
    assert sum(int(chunk.paths.count.sum()) for chunk in found) == 10341


def test_paths_are_those_of_a_plain_reader_row_by_row(sample, sample_fleet):
    """The tests' own loader works with the csv module, one part and one span at a time."""
    paths, ground, newest = sample_fleet.paths()
    for field in fields(paths):
        if field.name not in ("tail_h", "may_be_first", "share"):
            np.testing.assert_allclose(
                getattr(sample.paths, field.name), getattr(paths, field.name), rtol=1e-12, err_msg=field.name
            )
    assert sample.paths.share is None, "tables do not say who copied what"
    np.testing.assert_array_equal(sample.newest, newest)
    np.testing.assert_array_equal(sample.ground, ground)
    np.testing.assert_allclose(sample.paths.tail_h[newest], paths.tail_h[newest])
    assert not sample.paths.tail_h[~newest].any()
    hours = sample_fleet.truth_rows()["last_meter_h"]
    np.testing.assert_array_equal(sample.meter_h, hours)


@pytest.mark.parametrize("size", [1, 32, 33, 64, 1000])
def test_chunks_of_any_size_are_the_same_put_together(sample, size):
    with open_fleet(SAMPLE, size) as fleet:
        assert fleet.machines_per_chunk % BLOCK_MACHINES == 0
        assert fleet.machines_per_chunk >= size
        found = [fleet.chunk(number) for number in range(fleet.chunks)]
    whole = joined([chunk.paths for chunk in found])
    for field in fields(whole):
        np.testing.assert_array_equal(getattr(whole, field.name), getattr(sample.paths, field.name), field.name)
    np.testing.assert_array_equal(np.concatenate([chunk.meter_h for chunk in found]), sample.meter_h)
    assert [name for chunk in found for name in chunk.machine.to_pylist()] == sample.machine.to_pylist()


def as_parquet(folder):
    for name in TABLES:
        pq.write_table(pa.csv.read_csv(SAMPLE / f"{name}.csv"), folder / f"{name}.parquet", row_group_size=1000)
    return folder


def as_zip(folder):
    path = folder / "fleet.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("yard/notes.txt", "kept out of it")
        for name in (*TABLES, "truth"):
            archive.write(SAMPLE / f"{name}.csv", f"yard/{name}.csv")
    return path


def shuffled(folder):
    rng = random.Random(5)
    for name in TABLES:
        head, *rows = (SAMPLE / f"{name}.csv").read_text().splitlines()
        rng.shuffle(rows)
        (folder / f"{name}.csv").write_text("\n".join([head, *rows]) + "\n")
    return folder


def as_a_spreadsheet_saves(folder):
    """Semicolons, quotes, UTF-16, columns in another order, one more column, and blank rows at the end."""
    for name in TABLES:
        with (SAMPLE / f"{name}.csv").open(newline="") as file:
            rows = [[*row[::-1], "kept, for us"] for row in csv.reader(file)]
        rows[0][-1] = "note"
        with (folder / f"{name}.csv").open("w", encoding="utf-16", newline="") as file:
            csv.writer(file, delimiter=";", quoting=csv.QUOTE_ALL).writerows(rows)
            file.write(";;\r\n\r\n" + ";" * (len(rows[0]) - 1) + "\r\n")
    return folder


@pytest.mark.parametrize("made", [as_parquet, as_zip, shuffled, as_a_spreadsheet_saves])
def test_the_same_tables_in_another_form_give_the_same_chunk(tmp_path, sample, made):
    (only,) = chunks(made(tmp_path))
    assert same(only, sample)


@pytest.mark.usefixtures("cut")
def test_a_small_fleet_by_hand(tmp_path):
    """Machines and positions in natural order; hours by ground added up by hand."""
    (found,) = chunks(put(tmp_path / "f"))
    assert found.machine.to_pylist() == ["EX-1"] * 4 + ["EX-2"]
    assert found.position.to_pylist() == ["1", "1", "9", "10", "rear"]
    assert found.part_no.tolist() == [0, 1, 0, 0, 0]
    assert found.kind.to_pylist() == ["link_height", "link_height", "idler", "idler", "bush_od"]
    assert found.side.to_pylist() == ["L", "L", "L", "R", "R"]
    assert found.newest.tolist() == [False, True, True, True, True]
    assert found.meter_h.tolist() == [3500.0] * 4 + [800.0]
    assert found.ground.tolist() == [3, 3, 3, 3, 2]
    assert found.start_h.tolist() == [1000.0, 3000.0, 0.0, 0.0, 0.0]
    paths = found.paths
    assert paths.start_known.tolist() == [True, True, True, True, False]
    assert paths.meter_known.all()
    assert paths.may_be_first.tolist() == [True, False, True, True, True]
    assert paths.count.tolist() == [2, 1, 0, 0, 1]
    assert paths.step_h[0].tolist() == [[0, 0, 0, 0, 1000], [0, 0, 300, 0, 200]]
    assert paths.step_h[1, 0].tolist() == [0, 0, 300, 200, 0]
    assert paths.tail_h[0].tolist() == [0] * 5
    assert paths.tail_h[2].tolist() == [0, 0, 3500 - 600 - 1700, 600, 1700]
    assert paths.step_h[4, 0].tolist() == [0, 0, 800, 0, 0]
    np.testing.assert_allclose(paths.wear[0], [0.2, 0.4])
    np.testing.assert_allclose(paths.wear_u[:2, 0], [0.05, 1e-3])
    np.testing.assert_allclose(paths.start_u, [0.02, 0.02, 0, 0, 0.02])


def test_typical_lives_come_from_the_table_of_kinds(tmp_path):
    kinds = "log_spread,kind,typical_life_h\n0.5,idler,7000\n0.3,something_else,100\n"
    with open_fleet(put(tmp_path / "f", kinds=kinds)) as fleet:
        assert fleet.lives_h == {"idler": (7000.0, 0.5), "something_else": (100.0, 0.3)}
        assert fleet.kinds == ("bush_od", "idler", "link_height")


@pytest.mark.usefixtures("cut")
def test_a_fleet_without_any_reading_or_ground_is_read(tmp_path):
    heads = {name: FILES[name].split("\n")[0] for name in ("readings", "grounds")}
    (found,) = chunks(put(tmp_path / "f", **heads))
    assert not found.paths.count.any()
    assert found.meter_h.tolist() == [3000.0] * 4 + [0.0]


def changed(table, old, new):
    assert FILES[table].count(old) == 1
    return {table: FILES[table].replace(old, new)}


WRONG = [
    (changed("parts", "1000,5.0", "soon,5.0"), "parts.csv", 3, "fitted_h", "soon"),
    (changed("parts", "1000,5.0", "-5,5.0"), "parts.csv", 3, "fitted_h", "-5"),
    (changed("parts", "1000,5.0", "nan,5.0"), "parts.csv", 3, "fitted_h", "nan"),
    (changed("parts", "1000,5.0", "1e999,5.0"), "parts.csv", 3, "fitted_h", "1e999"),
    (changed("parts", "1000,5.0", "1000,0"), "parts.csv", 3, "allowance_mm", "0"),
    (changed("parts", "1000,5.0", "1000,"), "parts.csv", 3, "allowance_mm", "nothing"),
    (changed("parts", "link_height,L,1000", "link_height,left,1000"), "parts.csv", 3, "side", "left"),
    (changed("parts", "1,0,link_height", "1,0.5,link_height"), "parts.csv", 3, "part_no", "0.5"),
    (changed("parts", "EX-2,rear", ",rear"), "parts.csv", 2, "machine", "nothing"),
    (changed("parts", "EX-1,1,1,", "EX-1,1,0,"), "parts.csv", 4, "part_no", "position 1, part_no 0, which"),
    (changed("readings", "2500,2.0,0.25", "2500,2.0,0"), "readings.csv", 2, "u_mm", "0"),
    (changed("readings", "2500,2.0", "2500,2.0 mm"), "readings.csv", 2, "wear_mm", "2.0 mm"),
    (changed("readings", "2000,1.0", "900,1.0"), "readings.csv", 3, "meter_h", "900 h on a part fitted at 1000 h"),
    (changed("readings", "1,1,2,3500", "1,7,2,3500"), "readings.csv", 4, "part_no", "position 1, part_no 7"),
    (changed("readings", "EX-2", "EX-3"), "readings.csv", 5, "machine", "EX-3"),
    (changed("grounds", "3200,3", "3200,5"), "grounds.csv", 2, "ground", "5"),
    (changed("grounds", "500,2200", "500,2700"), "grounds.csv", 2, "from_h", "2600 to 3200 h, with one"),
    (changed("grounds", "500,2200", "2200,2200"), "grounds.csv", 3, "to_h", "2200 to 2200 h"),
    (changed("grounds", "EX-1,500", "EX-9,500"), "grounds.csv", 3, "machine", "EX-9"),
    (changed("readings", "800,1.2,0.2,ultrasonic", "800,1.2"), "readings.csv", 5, "row", "6 cells"),
    (changed("readings", "ultrasonic", '"ultrasonic'), "readings.csv", 5, "quotes", "an open quote"),
    (
        changed("readings", "0.25,calliper\nEX-1,1,1", '0.25,"calliper\nEX-1,1,1'),
        "readings.csv",
        3,
        "quotes",
        "an open",
    ),
    (changed("parts", "u_new_mm", "u_neu_mm"), "parts.csv", 1, "u_new_mm", "no such column"),
    (changed("parts", "fitted_h", "side"), "parts.csv", 1, "side", "the same column twice"),
    ({"parts": PARTS.split("\n")[0]}, "parts.csv", None, "machine", "no row"),
    ({"grounds": b""}, "grounds.csv", None, "file", "an empty file"),
    ({"grounds": None}, "f", None, "grounds", "no such table"),
    ({"grounds": b"PK\x03\x04" + bytes(range(256)) * 8}, "grounds.csv", None, "encoding", "binary content"),
    ({"kinds": "kind,typical_life_h,log_spread\na,5,0.5\na,6,0.5\n"}, "kinds.csv", 3, "kind", "a again"),
    ({"kinds": "kind,typical_life_h,log_spread\na,0,0.5\n"}, "kinds.csv", 2, "typical_life_h", "0"),
]


@pytest.mark.usefixtures("cut")
@pytest.mark.parametrize(("change", "file", "row", "field", "seen"), WRONG)
def test_a_problem_is_told_with_its_table_row_and_field(tmp_path, change, file, row, field, seen):
    found = refused(put(tmp_path / "f", **change))
    told = [(problem.file, problem.row, problem.field) for problem in found]
    assert (file, row, field) in told
    assert any(problem.seen.startswith(seen) for problem in found)
    assert all(problem.allowed and problem.next_step for problem in found)


@pytest.mark.usefixtures("cut")
def test_every_problem_is_told_at_once_in_order(tmp_path):
    change = changed("parts", "link_height,L,1000", "link_height,l,x") | changed("readings", "2000,1.0", "-1,?")
    change |= changed("grounds", "500,2200", "2200,500")
    told = [(problem.file, problem.row, problem.field) for problem in refused(put(tmp_path / "f", **change))]
    assert told == [
        ("grounds.csv", 3, "to_h"),
        ("parts.csv", 3, "side"),
        ("parts.csv", 3, "fitted_h"),
        ("readings.csv", 3, "meter_h"),
        ("readings.csv", 3, "wear_mm"),
    ]


@pytest.mark.usefixtures("cut")
def test_rows_after_a_broken_or_blank_one_keep_their_numbers(tmp_path):
    text = PARTS.replace("EX-1,1,0", "\nbroken\nEX-1,1,0").replace("rear,0,bush_od,R", "rear,0,bush_od,X")
    text = text.replace("EX-1,9,0,idler,L", "EX-1,9,0,idler,?")
    told = [(problem.row, problem.field) for problem in refused(put(tmp_path / "f", parts=text))]
    assert told == [(2, "side"), (4, "row"), (8, "side")]


def test_a_wholly_wrong_table_stops_at_a_thousand_problems(tmp_path):
    rows = "".join(f"EX-1,{number},x\n" for number in range(5000))
    problems = refused(put(tmp_path / "f", kinds=f"kind,typical_life_h,log_spread\n{rows}"))
    assert len(problems) == 1001
    assert problems[-1].seen == "1,000 problems"


def test_the_name_nearest_to_a_missing_column_is_offered(tmp_path):
    (problem,) = refused(put(tmp_path / "f", **changed("parts", "u_new_mm", "u_neu_mm")))
    assert problem.next_step == "Did you mean 'u_neu_mm'?"


@pytest.mark.usefixtures("cut")
def test_windows_text_is_read(tmp_path):
    parts, readings, grounds = (text.replace("EX-1", "Müller 1").encode("cp1252") for text in FILES.values())
    (found,) = chunks(put(tmp_path / "f", parts=parts, readings=readings, grounds=grounds))
    assert found.machine.to_pylist()[-1] == "Müller 1"


def test_names_in_a_parquet_table_may_be_numbers_of_any_kind(tmp_path):
    folder = as_parquet(tmp_path)
    table = pq.read_table(folder / "parts.parquet")
    table = table.set_column(0, "machine", table["machine"].cast(pa.float64()))
    table = table.set_column(1, "position", table["position"].cast(pa.string()).dictionary_encode())
    table = table.set_column(6, "allowance_mm", table["allowance_mm"].cast(pa.decimal128(12, 4)))
    pq.write_table(table, folder / "parts.parquet")
    (found,) = chunks(folder)
    assert found.paths.kind.size == 5488
    assert found.machine.to_pylist()[-1] == "299"


def test_a_parquet_column_of_another_kind_is_told_once(tmp_path):
    folder = as_parquet(tmp_path)
    table = pq.read_table(folder / "grounds.parquet")
    pq.write_table(table.set_column(1, "from_h", pa.array([True] * table.num_rows)), folder / "grounds.parquet")
    assert [(problem.field, problem.seen) for problem in refused(folder)] == [("from_h", "a column of bool")]


def test_a_parquet_figure_that_is_missing_or_not_a_number_is_told(tmp_path):
    folder = as_parquet(tmp_path)
    table = pq.read_table(folder / "readings.parquet")
    u_mm = table["u_mm"].to_pylist()
    u_mm[3], u_mm[5] = None, float("nan")
    pq.write_table(
        table.set_column(table.schema.names.index("u_mm"), "u_mm", pa.array(u_mm)), folder / "readings.parquet"
    )
    assert [(problem.row, problem.seen) for problem in refused(folder)] == [(5, "nothing"), (7, "nan")]


def test_one_table_in_two_forms_is_refused(tmp_path):
    folder = put(tmp_path / "f")
    (folder / "parts.parquet").write_bytes(b"x")
    (problem,) = refused(folder)
    assert problem.seen == "parts.csv and parts.parquet"


def test_nothing_there_is_refused(tmp_path):
    (problem,) = refused(tmp_path / "no-such")
    assert problem.seen == "nothing of that name"


def test_a_zip_that_unpacks_to_far_too_much_is_refused(tmp_path):
    path = tmp_path / "bomb.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in TABLES:
            archive.writestr(f"{name}.csv", "0" * 5_000_000)
    (problem,) = refused(path)
    assert "times its size" in problem.seen


def test_a_zip_that_says_less_than_it_holds_is_refused(tmp_path):
    path = tmp_path / "liar.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_STORED) as archive:
        for name, text in FILES.items():
            archive.writestr(f"{name}.csv", text)
    raw = path.read_bytes()
    size = len(PARTS).to_bytes(4, "little")
    path.write_bytes(raw.replace(size, (len(PARTS) - 40).to_bytes(4, "little")))
    assert refused(path)


def test_a_damaged_zip_is_refused(tmp_path):
    path = as_zip(tmp_path)
    raw = bytearray(path.read_bytes())
    raw[2000:2100] = bytes(100)
    path.write_bytes(raw)
    assert refused(path)


def test_too_many_readings_of_one_part_are_refused(tmp_path):
    rows = "".join(f"EX-1,1,0,0,{2000 + number},1,0.1,x\n" for number in range(501))
    (problem,) = refused(put(tmp_path / "f", readings=READINGS.split("\n")[0] + "\n" + rows))
    assert problem.seen == "501 readings of one part"


def test_temporary_files_are_gone_afterwards(tmp_path, monkeypatch):
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "scratch"))
    (tmp_path / "scratch").mkdir()
    with open_fleet(SAMPLE, 64) as fleet:
        assert any((tmp_path / "scratch").iterdir())
        fleet.chunk(0)
    assert not any((tmp_path / "scratch").iterdir())
