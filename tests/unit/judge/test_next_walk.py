"""When to walk round again: the closed form, its bounds, and the machine it is for."""

from dataclasses import replace

import numpy as np
import pytest

from pitchline.judge import judge
from pitchline.judge.next_walk import Waiting
from pitchline.stops.settings import PlanSettings

PACE = 1e-4


def waiting(wear_sd_h, pace_sd=0.0, reading_h=200.0, settled_h=1e6):
    """A part with 2,000 h left whose wear now is known to so many hours' worth, read to so many."""
    cov = np.diag([(wear_sd_h * PACE) ** 2, pace_sd**2])
    return Waiting("roller", (0.8, PACE), cov, 1.0, reading_h * PACE, 2.0, 18.0, settled_h)


def test_with_a_known_pace_it_is_the_newsvendors_form():
    """Life left 2,000 h give or take 400 h, early 2, late 18 an hour, a reading good to 200 h: computed, 776.10."""
    assert waiting(400.0).worth_h(0.0) == pytest.approx(776.10, abs=0.01)
    assert waiting(400.0).worth_h(1500.0) == pytest.approx(776.10, abs=0.01)


def test_a_reading_is_never_worth_more_than_certainty():
    """The same without the reading's error: 1,403.99."""
    values = [waiting(400.0, reading_h=error_h).worth_h(0.0) for error_h in (1.0, 50.0, 200.0, 800.0)]
    assert values == sorted(values, reverse=True)
    assert values[0] <= 1403.99 + 0.01


def test_an_unknown_pace_shows_only_after_some_hours():
    part = waiting(20.0, pace_sd=0.25 * PACE)
    values = [part.worth_h(hours) for hours in (0.0, 400.0, 800.0, 1600.0)]
    assert values == sorted(values)
    assert values[0] < 0.2 * values[-1]


def test_a_reading_after_the_job_comes_too_late():
    assert waiting(400.0, settled_h=700.0).worth_h(699.0) > 0
    assert waiting(400.0, settled_h=700.0).worth_h(700.0) == 0


def test_nothing_to_learn_is_worth_nothing():
    assert waiting(0.0).worth_h(500.0) == 0


@pytest.fixture(scope="module")
def dear(prices):
    """The same prices with sprockets on the list."""
    line = replace(prices.lines[2], part=type(prices.lines[2].part).SPROCKET)
    return replace(prices, lines=(*prices.lines, line))


def test_the_next_walk_is_never_later_than_half_the_cautious_hours(dossier, dear):
    plan = judge(dossier, dear, planning=PlanSettings(6000.0), what_ifs=False).plan
    cautious = judge(dossier, dear).next_due.cautious
    assert 0 < plan.next_walk_h <= plan.latest_walk_h
    assert plan.latest_walk_h >= cautious / 2 - 1
    assert plan.walk_worth > 0
    assert plan.walk_part
    assert plan.next_walk_h < max(stop.at_h for stop in plan.stops)
