"""Coverage on a simulated fleet of 300 machines, every third judged alone, with typical lives that are wrong.

Source: tests/data/fleet-sample, made outside this project's code, with the true hours left beside the readings. The typical lives
used are the fleet's own (from truth.csv), each multiplied by a factor drawn between 0.7 and 1.3, afresh for each machine.
"""

import numpy as np
import pytest

from pitchline.outlook.changes import change_chances
from pitchline.outlook.constants import weak_priors
from pitchline.outlook.crossing import crossing
from pitchline.outlook.filter import Habits
from pitchline.outlook.fit import constants_for
from pitchline.outlook.fleet import LEVELS, forecast, learn, plugged_in, weak
from pitchline.outlook.grid import FINE, FORECAST
from pitchline.outlook.paths import stack
from pitchline.outlook.quadrature import believe
from pitchline.outlook.quantiles import hours_of_many


@pytest.fixture(scope="module")
def judged_alone(sample_fleet):
    """Hours left at 10, 50 and 90 % with the truth, for every newest part of each third machine that is not past its limit.

    Of all 300, in three times the time, 85.1 % lie in the 80 % range, 8.3 % below and 6.7 % above it: a machine alone cannot
    learn how unlike its parts are, and here they are liker than believed. The hundred leave 1,395 parts: counted as if each
    stood alone, a
    share of 80 % has a standard error of 1.1 %, one of 50 % has 1.3 %, one of 10 % has 0.8 % (binomial).
    """
    fleet, rng, found = sample_fleet, np.random.default_rng(20261125), []
    for machine, parts in list(fleet.parts.items())[::3]:
        first = fleet.truth[machine, parts[0]["position"]]
        now_h, ground = float(first["last_meter_h"]), int(first["ground_now"])
        lives_h = fleet.lives_h * rng.uniform(0.7, 1.3, len(fleet.kinds))
        priors = weak_priors(lives_h, np.full(len(fleet.kinds), 0.5))
        paths = stack([fleet.life(row, now_h) for row in parts])
        beliefs = believe(paths, constants_for(paths, priors, Habits(), ground), Habits())
        hours = crossing(beliefs, ground).hours(np.array([0.1, 0.5, 0.9]))
        newest = {
            row["position"]: number
            for number, row in sorted(enumerate(parts), key=lambda at: int(at[1]["part_no"]))
        }
        for position, number in newest.items():
            truth = fleet.truth[machine, position]
            if truth["past_limit"] == "0":
                found.append((*hours[number], float(truth["hours_left"])))
    return np.array(found)


def test_eighty_percent_range_covers_75_to_85_percent(judged_alone):
    """Parts not past their limit; the issue asks for 75 to 85 %."""
    low, _, high, truth = judged_alone.T
    assert judged_alone.shape[0] > 1300
    assert 0.75 <= np.mean((low <= truth) & (truth <= high)) <= 0.85


def test_ranges_are_not_lopsided(judged_alone):
    """The middle figure lies above the truth about as often as below; each tail holds about a tenth.

    Of the truths 6.9 % lie above, 10.3 % below, when last looked at. The ranges are somewhat wide because four spreads stay
    near what is believed of them (parts 0.25, spans 0.05, noise 0.005; learned from the whole of this fleet they are 0.19,
    0.03 and 0.004): with those, 8.5 % lay above on another hundred. To believe just that would be to fit the beliefs to this
    sample.
    """
    low, middle, high, truth = judged_alone.T
    assert 0.45 <= np.mean(truth < middle) <= 0.55
    assert 0.07 <= np.mean(truth < low) <= 0.15
    assert 0.06 <= np.mean(truth > high) <= 0.15


@pytest.fixture(scope="module")
def pooled(sample_fleet):
    """The whole fleet at once: constants learned from it, and its forecast."""
    paths, ground, newest = sample_fleet.paths()
    lives = {kind: (0.8 * life, 0.5) for kind, life in zip(sample_fleet.kinds, sample_fleet.lives_h, strict=True)}
    learned = learn(paths, weak(tuple(sample_fleet.kinds), lives))
    return paths, ground, newest, learned, forecast(paths, ground, learned, wanted=newest)


@pytest.fixture(scope="module")
def scored(pooled, sample_fleet):
    """Forecast hours and truth of each newest part that is not past its limit, and whether it was changed unrecorded."""
    _, _, newest, _, found = pooled
    truth = sample_fleet.truth_rows()
    rows = np.flatnonzero(newest & (truth["past_limit"] == 0))
    return found.hours_left[rows], truth["hours_left"][rows], truth["hidden_replacement"][rows] == 1


def covered(hours, truth, low, high):
    return np.mean((hours[:, LEVELS.index(low)] <= truth) & (truth <= hours[:, LEVELS.index(high)]))


def test_a_fleet_that_learns_from_itself_covers_what_it_promises(scored):
    """The issue asks for 78 to 82 % at the 80 % level on this sample."""
    hours, truth, _ = scored
    assert 0.78 <= covered(hours, truth, 0.10, 0.90) <= 0.82
    assert 0.48 <= covered(hours, truth, 0.25, 0.75) <= 0.53
    assert 0.88 <= covered(hours, truth, 0.05, 0.95) <= 0.92


def test_parts_changed_without_a_record_are_still_covered(scored):
    """72 such parts; without telling the lives apart 61 % were covered at the 80 % level."""
    hours, truth, hidden = scored
    assert hidden.sum() > 60
    assert covered(hours[hidden], truth[hidden], 0.10, 0.90) >= 0.65


def test_kind_lives_and_grounds_are_learned(pooled, sample_fleet):
    """Kind lives against the means of truth.csv; ground effects against its mean log of (remaining wear / remaining hours)."""
    learned = pooled[3]
    assert np.exp(-learned.priors.log_rate) == pytest.approx(sample_fleet.lives_h, rel=0.06)
    assert learned.priors.ground == pytest.approx(sample_fleet.ground_effects(), abs=0.08)
    assert learned.readings == 10_341


def test_the_bits_do_not_depend_on_what_else_is_in_the_fleet(pooled):
    """The first 64 machines alone, or with all others behind them."""
    paths, ground, _, learned, _ = pooled
    rows = np.flatnonzero(paths.group < 64)
    alone = forecast(paths.rows(rows), ground[rows], learned)
    both = forecast(paths, ground, learned)
    assert np.array_equal(alone.hours_left, both.hours_left[rows])
    assert np.array_equal(alone.life_used, both.life_used[rows])


def test_single_precision_and_interpolation_against_the_fine_grid_and_bisection(pooled):
    """A fleet's shortcuts against the one-machine computation: within 2 % of the 90 % range, on average within 0.2 %."""
    paths, ground, _, learned, _ = pooled
    rows = slice(0, int(np.searchsorted(paths.group, 20)))
    few, constants, levels = paths.rows(rows), plugged_in(learned), np.array(LEVELS)
    fast, _ = hours_of_many(crossing(believe(few, constants, Habits(), None, FORECAST), ground[rows]), levels)
    exact = crossing(believe(few, constants, Habits(), None, FINE), ground[rows]).hours(levels)
    apart = np.abs(fast - exact) / np.maximum(exact[:, -1:] - exact[:, :1], 100.0)
    assert apart.max() < 0.02
    assert apart.mean() < 0.002


def test_a_change_nobody_wrote_down_is_dated(pooled, sample_fleet):
    """Parts said to be changed with a chance over 0.9 were changed: by truth.csv, nine in ten of them at least."""
    paths, _, newest, learned, found = pooled
    truth = sample_fleet.truth_rows()
    sure = newest & (np.nan_to_num(found.chance_changed) > 0.9)
    assert sure.sum() > 20
    assert np.mean(truth["hidden_replacement"][sure] == 1) > 0.9
    chances = change_chances(believe(paths, plugged_in(learned), Habits(), None, FORECAST))
    assert ((chances >= 0) & (chances <= 1 + 1e-6)).all()
