"""What a stop costs beside its jobs, and tax on top."""

import pytest

from pitchline.money.amount import Money
from pitchline.money.stop_costs import StopCosts
from pitchline.money.tax import with_tax
from pitchline.trade.errors import NotAllowedError
from pitchline.words import say

WHOLE = StopCosts(400.0, 90.0, 350.0, 30.0, 75.0, (4, 5, 6), 150.0)


def test_a_stop_in_a_busy_month_by_hand():
    charges = WHOLE.charges(6.5, month=5, sides_opened=2)
    assert [charge.amount for charge in charges] == [400.0, 90.0, 350.0, 6.5 * 75.0, 300.0]
    assert say(charges[3].words) == "machine standing, 6.5 h"
    assert say(charges[4].words) == "opening the track and closing it again, 2 sides"


def test_outside_the_busy_months_the_other_rate_counts():
    last = WHOLE.charges(2.0, month=7, sides_opened=0)[-1]
    assert (say(last.words), last.amount, last.billed) == ("machine standing, 2 h", 60.0, False)


def test_what_is_not_entered_is_charged_nothing_and_named():
    costs = StopCosts(lorry=400.0)
    (only,) = costs.charges(5.0, 1, 2)
    assert (say(only.words), only.amount) == ("lorry", 400.0)
    assert tuple(map(say, costs.not_entered)) == (
        "call-out",
        "fitter's day",
        "standing per hour",
        "opening a track per side",
    )


def test_hours_not_known_are_not_charged():
    assert [say(charge.words) for charge in WHOLE.charges(None, 1, 0)] == ["lorry", "call-out", "fitter's day"]


@pytest.mark.parametrize(
    ("figures", "field"),
    [
        ({"lorry": -1.0}, "lorry"),
        ({"call_out": float("nan")}, "call-out"),
        ({"opening_per_side": float("inf")}, "opening a track per side"),
        ({"busy_standing_per_h": -2.0, "busy_months": (5,)}, "standing per hour busy"),
        ({"busy_standing_per_h": 2.0}, "busy months"),
        ({"busy_months": (5,)}, "standing per hour busy"),
        ({"busy_standing_per_h": 2.0, "busy_months": (0,)}, "busy months"),
        ({"busy_standing_per_h": 2.0, "busy_months": (5, 5)}, "busy months"),
    ],
)
def test_a_cost_that_cannot_be_is_refused(figures, field):
    with pytest.raises(NotAllowedError) as caught:
        StopCosts(**figures)
    assert caught.value.problem.field == field


@pytest.mark.parametrize("month", [0, 13])
def test_there_is_no_such_month(month):
    with pytest.raises(NotAllowedError, match="month"):
        WHOLE.standing_rate(month)


def test_tax_is_rounded_half_up_to_the_cent_and_stands_apart():
    """By hand: 7.5 % of 10.20 is 0.765, so 0.77; of 33.34 it is 2.5005, so 2.50."""
    taxed = with_tax(Money(10.20, 33.34, 100.0, "EUR"), 0.075)
    assert (taxed.tax.low, taxed.tax.usual, taxed.tax.high) == (0.77, 2.50, 7.50)
    assert (taxed.net.usual, taxed.gross.usual) == (33.34, 35.84)


@pytest.mark.parametrize("rate", [-0.01, 1.01, float("nan")])
def test_a_tax_that_cannot_be_is_refused(rate):
    with pytest.raises(NotAllowedError, match="tax percent"):
        with_tax(Money(1, 1, 1, "EUR"), rate)
