"""Owning and operating cost against the worked example of the source.

US Army Corps of Engineers, EP 1110-1-8, Construction Equipment Ownership and Operating Expense Schedule, 31 July 2003: the
worksheet of figure 2-1. A federal publication, in the public domain.
"""

import pytest

from pitchline.money.owning import Owning
from pitchline.trade.errors import NotAllowedError

WORKSHEET = {
    "price_new": 1_197_389.0,
    "discount": 0.075,
    "tax": 0.058,
    "freight": 10_082.0,  # 1,913 hundredweight at 5.27
    "salvage": 0.20,
    "life_h": 20_000.0,
    "hours_per_year": 1540.0,
    "wear_parts": 0.944
    * 10_560.0,  # tyres there, taken out like the running gear here, at 2373/2515 of today's price
}


def test_price_and_depreciation_of_the_worksheet():
    """Figure 2-1: total equipment value 1,181,907; depreciation 46.78 an hour."""
    machine = Owning(**WORKSHEET)
    assert machine.price == pytest.approx(1_181_907, abs=1)
    assert machine.depreciation_per_h == pytest.approx(46.78, abs=0.005)


def test_money_in_it_and_standing_hour():
    """Average value factor [(N - 1)(1 + 0.20) + 2] / 2N at N = 20,000/1,540 is 0.6308; by hand with 3.25 % a year."""
    machine = Owning(**WORKSHEET, interest=0.0325)
    by_hand = 1_181_907 * 0.6308 * 0.0325 / 1540
    assert machine.money_per_h == pytest.approx(by_hand, rel=2e-4)
    assert machine.standing_per_h == pytest.approx(
        46.78 / 2 + by_hand, abs=0.01
    )  # standby: half of it, and the money


def test_hour_of_work_is_the_sum_of_its_lines():
    """By hand: (1,181,907 - 9,968.64) x 0.80 / 20,000 = 46.88 for repairs, with 29.79 of fuel and 7.22 of oil and grease."""
    machine = Owning(**WORKSHEET, interest=0.0325, repair_factor=0.80, fuel_per_h=29.79 + 7.22)
    assert machine.repair_per_h == pytest.approx(46.88, abs=0.005)
    lines = machine.depreciation_per_h + machine.money_per_h + 46.88 + 37.01
    assert machine.working_per_h == pytest.approx(lines, abs=0.01)


def test_machine_that_loses_nothing_costs_its_money_alone():
    kept = Owning(100.0, 1000.0, 100.0, salvage=1.0, interest=0.1)
    assert (kept.depreciation_per_h, kept.standing_per_h) == (0.0, pytest.approx(0.1))


@pytest.mark.parametrize(
    "wrong",
    [
        {"price_new": 0.0},
        {"life_h": 0.0},
        {"hours_per_year": 8785.0},
        {"salvage": 1.01},
        {"interest": -0.1},
        {"freight": float("nan")},
        {"wear_parts": 2e6},
    ],
)
def test_figure_that_cannot_be_is_refused(wrong):
    with pytest.raises(NotAllowedError):
        Owning(**WORKSHEET | wrong)
