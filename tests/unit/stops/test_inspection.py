"""What measuring again is worth: from nothing up to knowing for certain. The figures stand in tests/reference."""

import math

import pytest

from pitchline.stops.inspection import latest_walk_round_h, worth_of_reading
from pitchline.trade.errors import NotAllowedError


@pytest.mark.parametrize("reading_h", [0.0, 1.0, 100.0, 1e6])
def test_a_reading_is_worth_no_more_than_certainty(reading_h):
    found = worth_of_reading(2000.0, 400.0, 2.0, 18.0, reading_h)
    assert 0.0 <= found.reading <= found.perfect


def test_a_perfect_reading_is_worth_certainty_and_a_blind_one_nothing():
    assert worth_of_reading(2000, 400, 2, 18, 0.0).reading == worth_of_reading(2000, 400, 2, 18, 0.0).perfect
    assert worth_of_reading(2000, 400, 2, 18, 1e9).reading == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    "figures", [(2000, 0, 2, 18, 1), (2000, 400, -2, 18, 1), (2000, 400, 2, 0, 1), (2000, 400, 2, 18, -1)]
)
def test_figures_outside_their_range_are_refused(figures):
    with pytest.raises(NotAllowedError):
        worth_of_reading(*figures)


@pytest.mark.parametrize(
    ("cautious", "due"), [(-50.0, 0.0), (0.0, 0.0), (400.0, 200.0), (4000.0, 500.0), (math.inf, 500.0)]
)
def test_next_walk_round_is_due_by_half_the_cautious_hours_and_by_the_cap(cautious, due):
    assert latest_walk_round_h(cautious, 500.0) == due
