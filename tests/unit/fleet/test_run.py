"""The outlook of a whole fleet: the same bits however it is cut up, on however many cores."""

import csv
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pyarrow as pa
import pyarrow.csv
import pyarrow.parquet as pq
import pytest

from pitchline.exchange.fleet_tables import open_fleet
from pitchline.exchange.learned_file import read_learned, write_learned
from pitchline.fleet.learning import evenly_spread, fitted_to, joined, learned_from, sampled_chunks, with_new_kinds
from pitchline.fleet.progress import bar, silent
from pitchline.fleet.run import run_outlook
from pitchline.outlook.learned import weak
from pitchline.trade.errors import InputError, NotAllowedError

SAMPLE = Path(__file__).parents[2] / "data" / "fleet-sample"


@pytest.fixture(scope="module")
def small(cut_from_sample, tmp_path_factory):
    """The first 70 machines of the sample: two blocks and a bit."""
    return cut_from_sample(tmp_path_factory.mktemp("small"), 70)


@pytest.fixture(scope="module")
def learned(small):
    with open_fleet(small) as fleet:
        return learned_from(fleet)


def priors_as_bytes(learned):
    values = [getattr(learned.priors, field.name) for field in fields(learned.priors)]
    return b"".join(np.asarray(value).tobytes() for value in values)


@pytest.fixture(scope="module")
def first_run(small, learned, tmp_path_factory):
    out = tmp_path_factory.mktemp("first") / "out.parquet"
    return run_outlook(small, out, learned, machines_per_chunk=1000), out.read_bytes()


@pytest.fixture
def cut_small(monkeypatch):
    """Tables are cut into shares of some dozen rows, so that a small fleet has several."""
    monkeypatch.setattr("pitchline.exchange.fleet_text.SHARE_BYTES", 2000)
    monkeypatch.setattr("pitchline.exchange.fleet_stream.SHARE_ROWS", 50)


def as_parquet(folder, source):
    folder.mkdir()
    for name in ("parts", "readings", "grounds"):
        pq.write_table(pa.csv.read_csv(source / f"{name}.csv"), folder / f"{name}.parquet", row_group_size=120)
    return folder


@pytest.mark.usefixtures("cut_small")
@pytest.mark.parametrize(
    ("cores", "size", "form"), [(1, 32, "csv"), (1, 64, "parquet"), (2, 64, "csv"), (3, 32, "parquet")]
)
def test_the_same_bits_for_any_workers_chunks_and_shares(
    tmp_path, narrow, learned_narrow, first_narrow, cores, size, form
):
    tables = narrow if form == "csv" else as_parquet(tmp_path / "tables", narrow)
    with open_fleet(tables, size) as fleet:
        assert all(len(spills) > 1 for spills in fleet.spills)
    out = tmp_path / "out.parquet"
    found = run_outlook(tables, out, learned_narrow, cores=cores, machines_per_chunk=size)
    assert out.read_bytes() == first_narrow[1]
    assert found.summary == first_narrow[0].summary


def test_constants_learned_do_not_depend_on_chunks_or_cores(narrow, learned_narrow):
    for cores, size in ((1, 32), (2, 64)):
        found = run_outlook(narrow, cores=cores, machines_per_chunk=size).learned
        assert priors_as_bytes(found) == priors_as_bytes(learned_narrow)


def test_constants_from_a_file_give_the_same_bits(tmp_path, small, learned, first_run):
    write_learned(learned, tmp_path / "c.json", "the small fleet")
    run_outlook(small, tmp_path / "out.parquet", read_learned(tmp_path / "c.json"))
    assert (tmp_path / "out.parquet").read_bytes() == first_run[1]


def test_few_machines_give_the_same_bits_too(cut_from_sample, tmp_path):
    """Constants of fewer than 30 machines are integrated over; here they are assumed, and the fleet is one block and a bit."""
    few = cut_from_sample(tmp_path, 34, 2)
    with open_fleet(few) as fleet:
        start = weak(fleet.kinds, fleet.lives_h)
    made = []
    for number, (cores, size) in enumerate(((1, 1000), (2, 32))):
        out = tmp_path / f"{number}.csv"
        run_outlook(few, out, start, cores=cores, machines_per_chunk=size)
        made.append(out.read_bytes())
    assert made[0] == made[1]


def test_the_table_has_every_position_of_the_sample_once(tmp_path, learned):
    """Rows, readings and ground as in truth.csv, which was made outside this project."""
    out = tmp_path / "out.csv"
    found = run_outlook(SAMPLE, out, learned)
    with out.open(newline="") as file:
        rows = {(row["machine"], row["position"]): row for row in csv.DictReader(file)}
    with (SAMPLE / "truth.csv").open(newline="") as file:
        truth = list(csv.DictReader(file))
    assert len(rows) == len(truth) == found.summary.positions == 4800
    for row in truth:
        mine = rows[row["machine"], row["position"]]
        assert (mine["part_no"], mine["n_readings"], mine["ground"]) == (
            row["part_no"],
            row["n_readings"],
            row["ground_now"],
        )
        assert float(mine["meter_h"]) == float(row["last_meter_h"])
        hours = [float(mine[name]) for name in mine if name.startswith("hours_left")]
        assert hours == sorted(hours)
        assert hours[0] >= 0
    at_work = [row for row in truth if row["past_limit"] == "0"]
    inside = 0
    for row in at_work:
        mine = rows[row["machine"], row["position"]]
        inside += float(mine["hours_left_p10"]) <= float(row["hours_left"]) <= float(mine["hours_left_p90"])
    assert 0.78 <= inside / len(at_work) <= 0.82


def test_the_ground_asked_for_is_the_one_assumed(tmp_path, small, learned):
    middle = []
    for ground in (0, 4):
        run_outlook(small, tmp_path / "out.parquet", learned, ground=ground)
        table = pq.read_table(tmp_path / "out.parquet")
        assert set(table["ground"].to_pylist()) == {ground}
        middle.append(table["hours_left_p50"].to_numpy())
    assert (middle[0] >= middle[1]).all()
    assert middle[0].sum() > 1.5 * middle[1].sum()


def test_the_summary_counts_and_puts_what_is_due_first_in_order(first_run):
    summary = first_run[0].summary
    assert summary.machines == 70
    due = [part.hours_left_p50 for part in summary.due_first]
    assert len(due) == 20
    assert due == sorted(due)
    assert all(part.p_past_limit <= 0.5 for part in summary.due_first)


def test_machines_to_learn_from_are_the_same_for_any_chunks(small):
    found = []
    for size in (32, 64, 1000):
        with open_fleet(small, size) as fleet:
            found.append(joined([chunk.paths for chunk in sampled_chunks(fleet, 20)]))
    assert len(np.unique(found[0].machine)) == 20
    for other in found[1:]:
        for field in fields(other):
            np.testing.assert_array_equal(getattr(other, field.name), getattr(found[0], field.name))


@pytest.mark.parametrize(("count", "most"), [(5, 2000), (62_700, 2000), (2001, 2000), (1, 1)])
def test_numbers_are_spread_evenly(count, most):
    found = evenly_spread(count, most)
    assert found.size == min(count, most)
    assert found[0] == 0
    assert found[-1] < count
    gaps = np.diff(found)
    assert gaps.size == 0 or (gaps.min() >= 1 and gaps.max() - gaps.min() <= 1)


def test_a_new_kind_begins_with_its_typical_life(learned):
    kinds = ("new_kind", learned.kinds[3], "other")
    found = fitted_to(learned, kinds, {"new_kind": (1234.0, 0.4)})
    assert found.kinds == kinds
    assert np.exp(-found.priors.log_rate[0]) == pytest.approx(1234.0)
    assert found.priors.log_rate[1] == learned.priors.log_rate[3]
    assert found.priors.log_rate_u[2] > found.priors.log_rate_u[0] > found.priors.log_rate_u[1]
    assert found.priors.spreads == learned.priors.spreads


def test_progress_is_told_in_order_up_to_the_end(small, learned):
    told = []
    run_outlook(small, None, learned, machines_per_chunk=32, report=lambda *what: told.append(what))
    assert told[0] == ("reading", 0, 1)
    assert told[-4:] == [("forecasting", done, 3) for done in range(4)]


def test_no_bar_is_drawn_where_there_is_no_terminal(capsys):
    with bar() as report:
        assert report is silent
        report("x", 1, 2)
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("asked", "field"),
    [({"ground": 5}, "--ground"), ({"cores": 0}, "--cores"), ({"machines_per_chunk": 0}, "--chunk")],
)
def test_figures_outside_their_range_are_refused(small, learned, asked, field):
    with pytest.raises(NotAllowedError) as caught:
        run_outlook(small, None, learned, **asked)
    assert caught.value.problem.field == field


def test_nothing_is_written_when_a_table_is_wrong(tmp_path, small):
    for name in ("parts", "readings", "grounds"):
        text = (small / f"{name}.csv").read_text()
        (tmp_path / f"{name}.csv").write_text(text + "1,x\n" if name == "readings" else text)
    out = tmp_path / "out.csv"
    with pytest.raises(InputError):
        run_outlook(tmp_path, out)
    assert not out.exists()


def test_an_error_in_a_worker_reaches_the_caller_and_leaves_the_old_file(tmp_path, narrow, learned_narrow):
    """Constants for one ground only make the forecast fail inside the process that computes it."""
    out = tmp_path / "out.csv"
    out.write_text("old")
    priors = replace(learned_narrow.priors, ground=learned_narrow.priors.ground[:1])
    broken = replace(learned_narrow, priors=priors)
    with pytest.raises(IndexError):
        run_outlook(narrow, out, broken, cores=2, machines_per_chunk=32)
    assert out.read_text() == "old"
    assert list(tmp_path.iterdir()) == [out]


def test_what_the_yard_runs_parts_down_to_is_learned_with_reasons(tmp_path, small):
    """Which limits the sample was made with is not told; parts of it that are past their limit are few, so near it is meant."""
    for name in ("readings", "grounds"):
        (tmp_path / f"{name}.csv").write_text((small / f"{name}.csv").read_text())
    head, *lines = (small / "parts.csv").read_text().splitlines()
    worn = "\n".join([f"{head},removed_because", *(f"{line},worn" for line in lines)])
    (tmp_path / "parts.csv").write_text(worn + "\n")
    with open_fleet(tmp_path) as fleet:
        limits = learned_from(fleet).limits
    known = [limit for limit in limits.values() if limit.typical is not None]
    assert len(known) >= 4
    assert all(limit.worn_out == limit.removals for limit in limits.values())
    assert 0.9 < np.median([limit.typical for limit in known]) < 1.3


def test_without_reasons_nothing_is_said_of_limits(small, learned):
    assert learned.limits
    assert all(limit.typical is None and limit.worn_out == 0 for limit in learned.limits.values())


def test_an_unknown_reason_is_told(tmp_path, small):
    for name in ("readings", "grounds"):
        (tmp_path / f"{name}.csv").write_text((small / f"{name}.csv").read_text())
    head, *lines = (small / "parts.csv").read_text().splitlines()
    odd = [f"{head},removed_because", f"{lines[0]},wron", *(f"{line}," for line in lines[1:])]
    (tmp_path / "parts.csv").write_text("\n".join(odd) + "\n")
    with pytest.raises(InputError, match="removed_because") as caught, open_fleet(tmp_path):
        pass
    problem = caught.value.problems[0]
    assert (problem.row, problem.seen) == (2, "wron")
    assert "worn" in problem.next_step


def test_a_kind_the_constants_do_not_know_is_learned_from_the_fleet(small, learned):
    """Without it the life of idlers would be a weak guess; learned from the fleet it agrees with learning all of it."""
    few = [number for number, kind in enumerate(learned.kinds) if kind != "idler"]
    priors = replace(
        learned.priors, log_rate=learned.priors.log_rate[few], log_rate_u=learned.priors.log_rate_u[few]
    )
    late = replace(learned.late, times=learned.late.times[few])
    without = replace(learned, kinds=tuple(learned.kinds[number] for number in few), priors=priors, late=late)
    with open_fleet(small) as fleet:
        found = with_new_kinds(fleet, without)
        guessed = fitted_to(without, fleet.kinds, {})
    idler = found.kinds.index("idler")
    own = learned.kinds.index("idler")
    assert abs(guessed.priors.log_rate[idler] - learned.priors.log_rate[own]) > 0.15
    assert found.priors.log_rate[idler] == pytest.approx(learned.priors.log_rate[own], abs=0.1)
    assert found.machines == learned.machines
