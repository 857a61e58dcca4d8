"""Whatever the fleet tables hold, the reader gives chunks that hold together, or an InputError, and nothing else."""

import zipfile

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pitchline.exchange.fleet_hours import TICKS_PER_H, Spans, hours_between
from pitchline.exchange.fleet_tables import open_fleet
from pitchline.trade.errors import InputError

BOUNDED = settings(max_examples=110, deadline=None, suppress_health_check=list(HealthCheck))

TABLES = {
    "parts": "machine,position,part_no,kind,side,fitted_h,allowance_mm,u_new_mm\n"
    "A,1,0,idler,L,,10,0.1\nA,1,1,idler,L,2000,10,0.1\nB,2,0,bush_od,R,5,4,0.1\n",
    "readings": "machine,position,part_no,inspection,meter_h,wear_mm,u_mm,tool\n"
    'A,1,0,0,1500,2.5,0.2,"calliper"\nA,1,1,1,2500,1.5,0.2,"calliper"\nB,2,0,0,700,-0.1,0.2,rule\n',
    "grounds": "machine,from_h,to_h,ground\nA,0,1500,3\nA,1500,2500,2\nB,0,700,4\n",
    "kinds": "kind,typical_life_h,log_spread\nidler,7000,0.5\n",
}


@pytest.fixture(autouse=True)
def cut_small(monkeypatch):
    """Tables are cut wherever a line ends, and after each row of Parquet."""
    monkeypatch.setattr("pitchline.exchange.fleet_text.SHARE_BYTES", 1)
    monkeypatch.setattr("pitchline.exchange.fleet_stream.SHARE_ROWS", 1)


def read(source):
    """The one chunk, checked, or None where the fleet is refused with problems that are told in full."""
    try:
        with open_fleet(source) as fleet:
            (chunk,) = [fleet.chunk(number) for number in range(fleet.chunks)]
            parts, readings = fleet.parts, fleet.readings
    except InputError as error:
        told_in_full(error.problems)
        return None
    assert (chunk.paths.kind.size, int(chunk.paths.count.sum())) == (parts, readings)
    holds_together(chunk)
    return chunk


def told_in_full(problems):
    assert problems
    for problem in problems:
        assert all((problem.file, problem.field, problem.seen, problem.allowed, problem.next_step))
        str(problem).encode()


def holds_together(chunk):
    paths = chunk.paths
    for name in ("step_h", "wear", "wear_u", "tail_h", "start_u"):
        assert np.isfinite(getattr(paths, name)).all()
    assert (paths.step_h >= 0).all()
    assert (paths.tail_h >= 0).all()
    assert (paths.wear_u > 0).all()
    assert (np.diff(paths.machine) >= 0).all()
    last_h = chunk.start_h + paths.step_h.sum(axis=(1, 2)) + paths.tail_h.sum(axis=1)
    np.testing.assert_allclose(last_h[chunk.newest], chunk.meter_h[chunk.newest], atol=2.0 / TICKS_PER_H)


def test_the_tables_to_be_spoilt_are_good(tmp_path):
    for name, text in TABLES.items():
        (tmp_path / f"{name}.csv").write_text(text)
    assert read(tmp_path) is not None


edits = st.lists(
    st.tuples(
        st.sampled_from(["cut", "put", "double", "overwrite"]),
        st.floats(0, 1),
        st.integers(0, 20),
        st.binary(max_size=6)
        | st.sampled_from(
            [b"\xff\xfe", b'"', b"\x00", b";", b"\n\n", b"nan", b"-", b"1e9", b"\r", b",", b"\xe4", b"9"]
        ),
    ),
    min_size=1,
    max_size=4,
)


def spoilt(raw, changes):
    """Bytes cut out, put in, doubled or overwritten."""
    raw = bytearray(raw)
    for kind, share, length, new in changes:
        at = int(share * len(raw))
        if kind == "cut":
            del raw[at : at + length]
        elif kind == "put":
            raw[at:at] = new
        elif kind == "double":
            raw[at:at] = raw[at : at + length]
        else:
            raw[at : at + len(new)] = new
    return bytes(raw)


@given(name=st.sampled_from(list(TABLES)), changes=edits)
@BOUNDED
def test_csv_tables_with_bytes_changed(tmp_path, name, changes):
    for each, text in TABLES.items():
        raw = text.encode()
        (tmp_path / f"{each}.csv").write_bytes(spoilt(raw, changes) if each == name else raw)
    read(tmp_path)


ODD = (
    "",
    " 1 ",
    "nan",
    "inf",
    "-1",
    "1e400",
    "1.5",
    "1,5",
    "=1",
    "é",
    "x" * 300,
    "9" * 30,
    "\x07",
    "+3",
    "\u0663",
    '"',
)
cells = st.sampled_from(("A", "B", "1", "0", "2", "L", "R", "idler", "1e3", *ODD))


@given(name=st.sampled_from(["parts", "readings", "grounds", "kinds"]), data=st.data())
@BOUNDED
def test_csv_tables_with_cells_changed(tmp_path, name, data):
    for each, text in TABLES.items():
        lines = [line.split(",") for line in text.splitlines()]
        if each == name:
            for _ in range(data.draw(st.integers(1, 3))):
                row = data.draw(st.integers(0, len(lines) - 1))
                lines[row][data.draw(st.integers(0, len(lines[row]) - 1))] = data.draw(cells)
        (tmp_path / f"{each}.csv").write_text("\n".join(map(",".join, lines)) + "\n", encoding="utf-8")
    read(tmp_path)


def parquet(folder, name, text, column=None, values=None):
    head, *rows = [line.replace('"', "").split(",") for line in text.splitlines()]
    columns = dict(zip(head, zip(*rows, strict=True), strict=True))
    if column is not None:
        columns[column] = values
    pq.write_table(
        pa.table({key: pa.array(list(cells)) for key, cells in columns.items()}), folder / f"{name}.parquet"
    )


values = (
    st.lists(st.none() | st.floats(width=64) | st.floats(0, 3000), min_size=3, max_size=3)
    | st.lists(st.none() | st.text(max_size=4) | st.sampled_from(["A", "1", "L"]), min_size=3, max_size=3)
    | st.lists(st.none() | st.integers(-(2**62), 2**62) | st.integers(0, 5), min_size=3, max_size=3)
    | st.lists(st.booleans() | st.none(), min_size=3, max_size=3)
    | st.lists(st.binary(max_size=3) | st.none(), min_size=3, max_size=3)
    | st.lists(st.lists(st.integers(0, 3), max_size=2), min_size=3, max_size=3)
    | st.lists(st.datetimes(), min_size=3, max_size=3)
)


@given(name=st.sampled_from(["parts", "readings", "grounds"]), at=st.integers(0, 7), column=values)
@BOUNDED
def test_parquet_tables_with_columns_of_any_kind(tmp_path, name, at, column):
    for each in ("parts", "readings", "grounds"):
        head = TABLES[each].split("\n")[0].split(",")
        parquet(tmp_path, each, TABLES[each], *((head[at % len(head)], column) if each == name else ()))
    read(tmp_path)


@given(name=st.sampled_from(["parts", "readings", "grounds"]), changes=edits)
@BOUNDED
def test_parquet_tables_with_bytes_changed(tmp_path, name, changes):
    for each in ("parts", "readings", "grounds"):
        parquet(tmp_path, each, TABLES[each])
    path = tmp_path / f"{name}.parquet"
    path.write_bytes(spoilt(path.read_bytes(), changes))
    read(tmp_path)


@pytest.mark.parametrize("way", [zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED])
@given(changes=edits)
@BOUNDED
def test_a_zip_with_bytes_changed(tmp_path, way, changes):
    path = tmp_path / "fleet.zip"
    with zipfile.ZipFile(path, "w", way) as archive:
        for name, text in TABLES.items():
            archive.writestr(f"{name}.csv", text)
    path.write_bytes(spoilt(path.read_bytes(), changes))
    read(path)


@given(
    st.lists(st.tuples(st.floats(0, 9000), st.floats(1, 500), st.integers(0, 4)), max_size=8),
    st.floats(0, 9000),
    st.floats(0, 9000),
)
@settings(deadline=None)
def test_hours_by_ground_are_those_of_adding_up_one_by_one(wanted, one, other):
    """Against overlaps added up span by span."""
    spans, end = [], 0.0
    for gap, length, ground in wanted:
        spans.append((end + gap / 10, end + gap / 10 + length, ground))
        end = spans[-1][1]
    low, high = min(one, other), max(one, other)
    expected = np.zeros(5)
    for start, stop, ground in spans:
        expected[ground] += max(0.0, min(high, stop) - max(low, start))
    expected[2] += high - low - expected.sum()
    columns = [
        np.array([span[at] for span in spans], kind) for at, kind in ((0, float), (1, float), (2, np.int64))
    ]
    machine = np.full(len(spans), 7, np.int64)
    worked = Spans(np.r_[machine, [8]], np.r_[columns[0], 0.0], np.r_[columns[1], 9000.0], np.r_[columns[2], 4])
    found = hours_between(worked, np.array([7, 6]), np.array([low, low]), np.array([high, high]))
    np.testing.assert_allclose(found[0], expected, atol=0.02)
    assert found[0].sum() == pytest.approx(high - low, abs=2 / TICKS_PER_H)
    assert found[1, 2] == found[1].sum()
