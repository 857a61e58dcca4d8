"""Factors of interest, present worth and equivalent cost against handbook values and numpy-financial.

Printed values carry the rounding of factor tables: they are held to the digits printed, computed ones to 1e-9.
"""

import numpy as np
import numpy_financial as npf
import pytest
from scipy.integrate import quad

from pitchline.money.factors import (
    present_of_series,
    present_of_single,
    rate_per_hour,
    series_of_future,
    series_of_present,
)
from pitchline.money.options import Payment, cost_a_year, cost_per_h, present_worth, present_worth_of


def test_factors_of_eight_percent_and_ten_periods_as_printed():
    """Factor table of the US Fundamentals of Engineering reference handbook, i = 8 %, n = 10."""
    assert round(series_of_present(0.08, 10), 4) == 0.1490
    assert round(series_of_future(0.08, 10), 4) == 0.0690
    assert round(present_of_series(0.08, 10), 4) == 6.7101
    assert round(present_of_single(0.08, 10), 4) == 0.4632


def test_a_machine_of_25_000_over_ten_years():
    """Worked comparison at 8 %: printed with rounded factors 27,429 and 4,087.69; recomputed without them 27,428.65, 4,087.68."""
    case = (25_000.0, 500.0, 2_000.0, 0.08, 10)
    assert present_worth(*case) == pytest.approx(27_428.65, abs=0.005)
    assert cost_a_year(*case) == pytest.approx(4_087.68, abs=0.005)
    assert present_worth(*case) == pytest.approx(27_429, rel=1e-3)
    assert cost_a_year(*case) == pytest.approx(4_087.69, rel=1e-3)


def test_a_machine_of_20_000_over_three_years():
    """University course notes on engineering economy (IE 492): printed 15,820; without rounded factors 15,819.65."""
    assert cost_a_year(20_000, 8_500, 5_000, 0.15, 3) == pytest.approx(15_819.65, abs=0.01)


@pytest.mark.parametrize("rate", [1e-6, 0.01, 0.08, 0.35, 1.0])
@pytest.mark.parametrize("periods", [1, 2, 10, 60, 400])
def test_every_factor_is_that_of_numpy_financial(rate, periods):
    """numpy-financial gives back the opposite sign of the cash it is given."""
    assert present_of_single(rate, periods) == pytest.approx(-npf.pv(rate, periods, 0, 1), rel=1e-9)
    assert present_of_series(rate, periods) == pytest.approx(-npf.pv(rate, periods, 1), rel=1e-8)
    assert series_of_present(rate, periods) == pytest.approx(-npf.pmt(rate, periods, 1), rel=1e-8)
    assert series_of_future(rate, periods) == pytest.approx(-npf.pmt(rate, periods, 0, 1), rel=1e-8)


@pytest.mark.parametrize("years", [1, 7, 25])
def test_present_worth_is_that_of_numpy_financial(years):
    flows = np.array([9_000.0, *([750.0] * years)])
    flows[-1] -= 1_200.0
    assert present_worth(9_000, 750, 1_200, 0.06, years) == pytest.approx(npf.npv(0.06, flows), rel=1e-9)
    assert cost_a_year(9_000, 750, 1_200, 0.06, years) == pytest.approx(
        -npf.pmt(0.06, years, npf.npv(0.06, flows)), rel=1e-9
    )


def test_payments_at_whole_years_of_hours_are_yearly_payments():
    """1,500 h a year: what is paid at 1,500 h and 3,000 h is paid after one and two years."""
    payments = (Payment(0.0, 100.0), Payment(1_500.0, 40.0), Payment(3_000.0, -30.0))
    wanted = npf.npv(0.07, [100.0, 40.0, -30.0])
    assert present_worth_of(payments, 0.07, 1_500.0) == pytest.approx(wanted, rel=1e-12)


def test_a_year_of_hourly_interest_is_the_yearly_rate():
    """(1 + i_h)^hours = 1 + i (definition)."""
    assert (1 + rate_per_hour(0.08, 1_234.0)) ** 1_234.0 == pytest.approx(1.08, rel=1e-9)


def test_cost_per_hour_paid_every_hour_is_worth_the_option():
    """Discounted over its life the hourly cost has to give back the present worth; the sum done here by an integral."""
    payments = (Payment(0.0, 8_000.0), Payment(2_500.0, 3_000.0), Payment(5_000.0, -900.0))
    hourly = cost_per_h(payments, 5_000.0, 0.10, 1_400.0)
    paid, _ = quad(lambda hours: hourly * 1.10 ** (-hours / 1_400.0), 0, 5_000.0)
    assert paid == pytest.approx(present_worth_of(payments, 0.10, 1_400.0), rel=1e-4)


def test_without_interest_cost_per_hour_is_money_over_hours():
    payments = (Payment(0.0, 8_000.0), Payment(2_500.0, 3_000.0))
    assert cost_per_h(payments, 5_000.0, 0.0, 1_400.0) == pytest.approx(11_000 / 5_000, rel=1e-9)
