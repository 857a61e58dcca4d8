"""Factors of interest at their ends, and what they refuse."""

import pytest

from pitchline.money.factors import (
    present_of_series,
    present_of_single,
    rate_per_hour,
    series_of_future,
    series_of_present,
)
from pitchline.money.options import Payment, cost_per_h
from pitchline.trade.errors import NotAllowedError


def test_without_interest_money_is_only_counted():
    assert (present_of_single(0, 7), present_of_series(0, 8)) == (1.0, 8.0)
    assert (series_of_present(0, 8), series_of_future(0, 8)) == (0.125, 0.125)
    assert rate_per_hour(0, 1_000) == 0.0


def test_interest_near_nothing_goes_over_into_none():
    assert present_of_series(1e-12, 10) == pytest.approx(10.0, rel=1e-9)
    assert present_of_series(1e-9, 10) == pytest.approx(10.0, rel=1e-7)


def test_paid_now_is_paid_in_full():
    assert present_of_single(0.3, 0) == 1.0


@pytest.mark.parametrize("rate", [-0.01, 1.5, float("nan")])
def test_a_rate_that_cannot_be_is_refused(rate):
    for factor in (present_of_single, present_of_series, series_of_present, series_of_future):
        with pytest.raises(NotAllowedError, match="interest"):
            factor(rate, 5)


@pytest.mark.parametrize("periods", [0, -1, float("nan"), float("inf")])
def test_a_life_that_cannot_be_is_refused(periods):
    for factor in (present_of_series, series_of_present, series_of_future):
        with pytest.raises(NotAllowedError, match="periods"):
            factor(0.05, periods)


def test_payments_are_held_inside_the_life():
    with pytest.raises(NotAllowedError, match="hour of payment"):
        cost_per_h((Payment(6_000.0, 1.0),), 5_000.0, 0.05, 1_000.0)
    with pytest.raises(NotAllowedError, match="hour of payment"):
        Payment(-1.0, 1.0)
    with pytest.raises(NotAllowedError, match="amount"):
        Payment(1.0, float("nan"))
    with pytest.raises(NotAllowedError, match="hours a year"):
        rate_per_hour(0.05, 0.0)
