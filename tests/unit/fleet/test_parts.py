"""A fleet from a folder or an object store to a folder of parts, taken up again where it broke off, by processes or a cluster."""

import os
import signal
import threading
import time

import fsspec
import pyarrow as pa
import pyarrow.csv
import pyarrow.dataset
import pyarrow.parquet as pq
import pytest

from pitchline.exchange.fleet_tables import open_fleet
from pitchline.exchange.places import Stored, place
from pitchline.fleet.run import run_outlook
from pitchline.trade.errors import InputError, NotAllowedError


@pytest.fixture(scope="module")
def tables(narrow, tmp_path_factory):
    """The tables as folders of Parquet files, rows of a machine in several of them."""
    folder = tmp_path_factory.mktemp("parted")
    for name in ("parts", "readings", "grounds"):
        table = pa.csv.read_csv(narrow / f"{name}.csv")
        for number in range(3):
            part = folder / name / f"depot={number}"
            part.mkdir(parents=True)
            pq.write_table(table.take(list(range(number, table.num_rows, 3))), part / "rows.parquet")
        (folder / name / "_SUCCESS").write_bytes(b"")
    return folder


def parts_in(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.fixture(scope="module")
def whole(tables, learned_narrow, tmp_path_factory):
    """What one process makes of them: three parts."""
    out = tmp_path_factory.mktemp("whole") / "out"
    found = run_outlook(tables, out, learned_narrow, machines_per_chunk=32)
    return found.summary, parts_in(out)


def test_parts_of_a_folder_are_the_rows_of_the_one_table(
    whole, tables, narrow, learned_narrow, tmp_path, first_narrow
):
    assert len(whole[1]) == 4
    one = pq.read_table(pa.py_buffer(first_narrow[1]))
    out = tmp_path / "out"
    found = run_outlook(narrow, out, learned_narrow, machines_per_chunk=32)
    assert pa.dataset.dataset(out).to_table().equals(one)
    assert found.summary == whole[0] == first_narrow[0].summary
    assert {name: content for name, content in parts_in(out).items() if name[0] != "_"} == {
        name: content for name, content in whole[1].items() if name[0] != "_"
    }


def test_a_run_broken_off_is_taken_up_again(whole, tables, learned_narrow, tmp_path):
    """A part that is there is kept: its hour of writing stays; one that is missing is made, with the same bits."""
    out = tmp_path / "out"
    out.mkdir()
    for name, content in whole[1].items():
        if name != "part-000001.parquet":
            (out / name).write_bytes(content)
    os.utime(out / "part-000002.parquet", (1, 1))
    found = run_outlook(tables, out, learned_narrow, machines_per_chunk=32)
    assert (found.summary, parts_in(out)) == whole
    assert (out / "part-000002.parquet").stat().st_mtime == 1


def test_parts_of_another_run_and_other_files_are_let_be(whole, tables, learned_narrow, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    for name, content in whole[1].items():
        (out / name).write_bytes(content)
    with pytest.raises(InputError, match="parts of another run"):
        run_outlook(tables, out, learned_narrow, ground=4, machines_per_chunk=32)
    (out / "_run.json").unlink()
    with pytest.raises(InputError, match="a folder with other files"):
        run_outlook(tables, out, learned_narrow, machines_per_chunk=32)
    assert len(parts_in(out)) == 3


def test_an_object_store_is_read_and_written(whole, tables, learned_narrow):
    store = fsspec.filesystem("memory")
    store.put(str(tables), "/yard", recursive=True)
    found = run_outlook(
        place("memory://yard"), place("memory://hours/left"), learned_narrow, machines_per_chunk=32
    )
    written = {path.rpartition("/")[2]: store.cat(path) for path in store.find("/hours/left")}
    assert (found.summary, written) == whole


def test_a_row_of_a_parted_table_is_told_with_its_file(tables, tmp_path):
    for path in tables.rglob("*.parquet"):
        to = tmp_path / path.relative_to(tables)
        to.parent.mkdir(parents=True, exist_ok=True)
        table = pq.read_table(path)
        if path.parts[-3:-1] == ("readings", "depot=1"):
            hours = [-1.0, *table["meter_h"].to_pylist()[1:]]
            table = table.set_column(table.schema.names.index("meter_h"), "meter_h", pa.array(hours))
        pq.write_table(table, to)
    with pytest.raises(InputError) as caught, open_fleet(tmp_path):
        pass
    (problem,) = caught.value.problems
    assert (problem.file, problem.row, problem.field) == ("readings/depot=1/rows.parquet", 2, "meter_h")


def test_an_address_nothing_answers_to_is_refused(narrow):
    with pytest.raises(InputError, match="nosuch"):
        run_outlook(place("nosuch://yard"))
    with pytest.raises(NotAllowedError, match="--out"):
        run_outlook(narrow, Stored("memory://hours.csv"))


@pytest.fixture(scope="module")
def dask():
    """Two workers of a cluster of the test's own, each a process."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, silence_logs="CRITICAL"
    ) as cluster:
        yield cluster


def test_a_cluster_gives_the_same_bits_even_where_a_worker_is_killed(
    dask, whole, tables, learned_narrow, tmp_path, monkeypatch
):
    """One of two is killed while the tables are read, with tasks begun and tasks waiting; the other begins them again."""
    monkeypatch.setattr("pitchline.exchange.fleet_stream.SHARE_ROWS", 20)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    first, second = (worker.pid for worker in dask.workers.values())

    def kill():
        while not any(tmp_path.glob("pitchline-*/readings-*.arrow")):
            time.sleep(0.005)
        os.kill(first, signal.SIGKILL)

    killer = threading.Thread(target=kill)
    killer.start()
    out = tmp_path / "out"
    found = run_outlook(tables, out, learned_narrow, machines_per_chunk=32, scheduler=dask.scheduler_address)
    killer.join()
    assert found.summary == whole[0]
    assert {path.name: path.read_bytes() for path in out.glob("part-*")} == {
        name: content for name, content in whole[1].items() if name != "_run.json"
    }
    assert second in {worker.pid for worker in dask.workers.values()}
    assert first not in {worker.pid for worker in dask.workers.values()}
