"""The simulated fleets against theory, and against the fleet sample in tests/data, made outside this project's code."""

import csv
import importlib.util

import numpy as np
import pytest
from scipy.special import gammaincc

PARTS = ["machine", "position", "part_no", "kind", "side", "fitted_h", "allowance_mm", "u_new_mm"]
READINGS = ["machine", "position", "part_no", "inspection", "meter_h", "wear_mm", "u_mm", "tool"]


def residuals(fleet, fs):
    """Log rates less the mean of their kind, by machine."""
    log_rate = fleet.truth["log_rate_frac_per_h"]
    return (log_rate + np.log(np.array(fs.LIVES_H))[fleet.truth["position"] % 8]).reshape(-1, fs.POSITIONS)


def test_effects_have_the_spreads_of_the_recipe(fleet_simulator, clean_fleet):
    """Part spread within machines, machine spread between them: analysis of variance (textbook), five standard errors."""
    rest, recipe = residuals(clean_fleet, fleet_simulator), clean_fleet.recipe
    within = rest.var(axis=1, ddof=1).mean()
    between = rest.mean(axis=1).var(ddof=1) - within / rest.shape[1]
    assert np.sqrt(within) == pytest.approx(recipe.part_spread, rel=5 / np.sqrt(2 * 15 * 600))
    assert np.sqrt(between) == pytest.approx(recipe.machine_spread, rel=5 / np.sqrt(2 * 600))


def test_wear_of_factory_parts_has_the_mean_and_variance_of_the_model(clean_fleet, fleet_simulator):
    """Mean rate times ground-weighted hours; variance noise times that, and the new size's."""
    parts, truth, recipe = clean_fleet.parts, clean_fleet.truth, clean_fleet.recipe
    newest = np.r_[np.diff(parts["machine"] * 16 + parts["position"]) > 0, True]
    factory = (parts["fitted_h"][newest] == 0) & (truth["part_no"] == 0)
    hours = fleet_simulator.hours_by_ground(clean_fleet, truth["machine"], truth["last_meter_h"])
    expected = (np.exp(truth["log_rate_frac_per_h"]) * (hours @ np.exp(recipe.ground)))[factory]
    # Parts that came off since are missing, and they were the worn ones: look where hardly any part had come to that.
    young = expected < 0.6
    miss = truth["wear_frac_now"][factory][young] - expected[young]
    variance = recipe.noise * expected[young] + recipe.start_u**2
    z = miss / np.sqrt(variance)
    assert z.mean() == pytest.approx(0.0, abs=5 / np.sqrt(z.size))
    assert z.var() == pytest.approx(1.0, rel=5 * np.sqrt(2.5 / z.size))


def test_true_hours_left_agree_with_the_gamma_process(clean_fleet):
    """The chance the process gave to no more than the true hours is uniform: scipy.special.gammaincc."""
    truth, recipe = clean_fleet.truth, clean_fleet.recipe
    ahead = ~truth["past_limit"]
    rate = np.exp(truth["log_rate_frac_per_h"] + np.array(recipe.ground)[truth["ground_now"]])
    expected, left = (rate * truth["hours_left"])[ahead], (1 - truth["wear_frac_now"])[ahead]
    chance = np.sort(gammaincc(expected / recipe.noise, left / recipe.noise))
    even = (np.arange(chance.size) + 0.5) / chance.size
    assert np.abs(chance - even).max() < 2.23 / np.sqrt(chance.size)


def test_no_hours_are_left_exactly_where_the_limit_is_passed(clean_fleet):
    truth = clean_fleet.truth
    assert np.array_equal(truth["hours_left"] == 0, truth["past_limit"])
    assert np.array_equal(truth["wear_frac_now"] >= 1, truth["past_limit"])


def scores(fleet):
    """Errors of the readings made at the last walk-round in their standard uncertainties, and the machine of each."""
    truth, read, parts = fleet.truth, fleet.readings, fleet.parts
    place = read["machine"] * 16 + read["position"]
    last = read["meter_h"] == truth["last_meter_h"][place]
    allowance = parts["allowance_mm"][np.searchsorted(parts["machine"] * 16 + parts["position"], place)]
    error_mm = read["wear_mm"] - truth["wear_frac_now"][place] * allowance
    return (error_mm / read["u_mm"])[last], read["machine"][last]


def test_readings_err_as_their_uncertainty_says(fleet_simulator):
    """Standard scores of mean 0 and variance 1, within five standard errors."""
    z, _ = scores(fleet_simulator.simulate(2000, 3, "by_wear"))
    assert z.mean() == pytest.approx(0.0, abs=5 / np.sqrt(z.size))
    assert z.var() == pytest.approx(1.0, rel=5 * np.sqrt(2 / z.size))


def test_heavy_tails_err_as_the_recipe_says(fleet_simulator):
    """Four in a hundred five times as far off: variance 0.96 + 0.04 * 25 = 1.96 without zero errors (arithmetic)."""
    z, _ = scores(fleet_simulator.simulate(2000, 3, "by_wear", far_readings=0.04))
    assert z.var() == pytest.approx(1.96, rel=0.1)


def test_a_zero_error_is_shared_by_all_readings_of_a_day(fleet_simulator):
    """Between days the mean error varies by twice a tool's own spread, as asked; within a day not more than without."""
    z, machine = scores(fleet_simulator.simulate(1000, 3, "by_wear", zero_error_days=1.0, zero_error_times=2.0))
    means = np.bincount(machine, z) / np.bincount(machine)
    assert means.std() == pytest.approx(2.0, rel=0.12)
    assert (z - means[machine]).var() == pytest.approx(14.2 / 15.2, rel=0.05)


def test_wrong_spans_are_recorded_as_often_as_the_recipe_says(fleet_simulator):
    right = fleet_simulator.simulate(600, 3).grounds["ground"]
    wrong = fleet_simulator.simulate(600, 3, "wrong_ground").grounds["ground"]
    assert (right != wrong).mean() == pytest.approx(0.15, abs=5 * np.sqrt(0.15 * 0.85 / right.size))


def test_hidden_changes_are_as_frequent_as_asked(fleet_simulator):
    fleet = fleet_simulator.simulate(2000, 3, "hidden")
    assert fleet.truth["hidden_replacement"].mean() == pytest.approx(0.03, abs=0.005)
    assert not fleet_simulator.simulate(200, 3).truth["hidden_replacement"].any()


def test_the_same_seed_gives_the_same_fleet(fleet_simulator):
    first, again, other = (fleet_simulator.simulate(20, seed) for seed in (5, 5, 6))
    assert np.array_equal(first.readings["wear_mm"], again.readings["wear_mm"])
    assert not np.array_equal(first.truth["hours_left"], other.truth["hours_left"])


def test_every_reading_is_of_a_recorded_part_after_it_was_fitted(clean_fleet):
    parts, read = clean_fleet.parts, clean_fleet.readings
    fitted = {
        key: 0.0 if np.isnan(at) else at
        for *key_, at in zip(parts["machine"], parts["position"], parts["part_no"], parts["fitted_h"], strict=True)
        for key in [tuple(key_)]
    }
    assert len(fitted) == parts["machine"].size
    rows = zip(read["machine"], read["position"], read["part_no"], read["meter_h"], strict=True)
    assert all(meter_h >= fitted[machine, position, part_no] for machine, position, part_no, meter_h in rows)


def shares(fleet):
    """What of a fleet can be held beside the sample: shares and typical figures."""
    truth = fleet.truth
    count = np.bincount(truth["n_readings"].astype(int), minlength=5) / truth["n_readings"].size
    return {
        "one reading": count[1],
        "two readings": count[2],
        "three readings": count[3],
        "four readings": count[4],
        "age unknown": truth["age_unknown"].mean(),
        "past limit": truth["past_limit"].mean(),
        "middle wear": np.median(truth["wear_frac_now"]),
        "readings a position": fleet.readings["machine"].size / truth["machine"].size,
        "parts a position": fleet.parts["machine"].size / truth["machine"].size,
        "spread of log rate": residuals_spread(truth),
    }


def residuals_spread(truth):
    return np.std([row - row.mean() for row in truth["log_rate_frac_per_h"].reshape(-1, 16).T])


def sample_shares(sample):
    truth = sample.truth.values()
    columns = {
        name: np.array([float(row[name]) for row in truth]) for name in next(iter(truth)) if name != "part_no"
    }
    count = np.bincount(columns["n_readings"].astype(int), minlength=5) / len(truth)
    rates = np.array([float(row["log_rate_frac_per_h"]) for row in truth])
    return {
        "one reading": count[1],
        "two readings": count[2],
        "three readings": count[3],
        "four readings": count[4],
        "age unknown": columns["age_unknown"].mean(),
        "past limit": columns["past_limit"].mean(),
        "middle wear": np.median(columns["wear_frac_now"]),
        "readings a position": sum(map(len, sample.readings.values())) / len(truth),
        "parts a position": sum(map(len, sample.parts.values())) / len(truth),
        "spread of log rate": residuals_spread({"log_rate_frac_per_h": rates}),
    }


def test_a_fleet_by_wear_looks_like_the_sample(sample_like_fleet, sample_fleet):
    """Each figure within a quarter of the sample's, shares within five points: the same character, not the same fleet."""
    ours, theirs = shares(sample_like_fleet), sample_shares(sample_fleet)
    for name, figure in theirs.items():
        assert ours[name] == pytest.approx(figure, rel=0.25, abs=0.05), name


def test_tools_and_their_uncertainties_are_the_samples(clean_fleet):
    """Each tool's u_mm and steps as in tests/data/fleet-sample/readings.csv."""
    read = clean_fleet.readings
    found = {(tool, round(u, 6)) for tool, u in zip(read["tool"].tolist(), read["u_mm"].tolist(), strict=True)}
    assert found == {("calliper", 0.40104), ("ultrasonic", 0.251661), ("rule", 0.945163)}
    by_rule = read["wear_mm"][read["tool"] == "rule"]
    assert np.array_equal(by_rule, by_rule.round())


def test_paths_are_those_made_part_by_part_from_the_tables(fleet_simulator, sample_fleet, tmp_path, monkeypatch):
    """The tables written out, read back by the reader of the sample and stacked part by part give the same paths."""
    fleet = fleet_simulator.simulate(12, 8, "by_wear")
    fleet_simulator.write_tables(fleet, tmp_path, parquet=False)
    paths, ground, newest = fleet_simulator.to_paths(fleet)
    reader = type(sample_fleet)
    monkeypatch.setitem(reader.__init__.__globals__, "FOLDER", tmp_path)
    again, ground_again, newest_again = reader().paths()
    kinds = sorted(fleet_simulator.KINDS)
    assert [kinds[kind] for kind in again.kind] == [fleet_simulator.KINDS[kind] for kind in paths.kind]
    for name in ("machine", "start_known", "count"):
        assert np.array_equal(getattr(paths, name), getattr(again, name)), name
    for name in ("start_u", "step_h", "wear", "wear_u", "tail_h"):
        assert getattr(paths, name) == pytest.approx(getattr(again, name), rel=1e-6, abs=1e-9), name
    assert np.array_equal(ground, ground_again)
    assert np.array_equal(newest, newest_again)


def test_tables_have_the_columns_of_the_format(fleet_simulator, tmp_path):
    """Columns of tests/data/fleet-sample."""
    written = fleet_simulator.write_tables(fleet_simulator.simulate(3, 8), tmp_path)
    columns = {}
    for path in written:
        if path.suffix == ".csv":
            with path.open(encoding="utf-8", newline="") as file:
                columns[path.stem] = next(csv.reader(file))
    assert columns["parts"] == [
        "machine",
        "position",
        "part_no",
        "kind",
        "side",
        "fitted_h",
        "allowance_mm",
        "u_new_mm",
    ]
    assert columns["readings"] == [
        "machine",
        "position",
        "part_no",
        "inspection",
        "meter_h",
        "wear_mm",
        "u_mm",
        "tool",
    ]
    assert columns["grounds"] == ["machine", "from_h", "to_h", "ground"]
    assert columns["kinds"] == ["kind", "typical_life_h", "log_spread"]
    assert (tmp_path / "parquet" / "parts.parquet").exists() == (importlib.util.find_spec("pyarrow") is not None)
