"""What goes into a plan is checked, and each error says what was seen and what would do."""

import math

import pytest

from pitchline.stops.checks import check_money, check_name, check_names, check_profile, check_shares
from pitchline.trade.errors import NotAllowedError


@pytest.mark.parametrize("amount", [-0.01, math.nan, math.inf, -math.inf, 2e9])
def test_negative_endless_and_huge_figures_are_refused(amount):
    with pytest.raises(NotAllowedError) as caught:
        check_money(amount, "stop_cost")
    assert (caught.value.problem.field, caught.value.problem.seen) == ("stop_cost", str(amount))


def test_nothing_is_a_price_unless_it_has_to_be_more():
    check_money(0.0, "stop_cost")
    with pytest.raises(NotAllowedError, match="above 0"):
        check_money(0.0, "step_hours", above_zero=True)


def test_a_missing_price_is_counted():
    check_profile((1.0, 2.0), "cost", 2)
    with pytest.raises(NotAllowedError, match="'1 figures' is not allowed; allowed: 2 figures"):
        check_profile((1.0,), "cost", 2)


def test_a_bad_price_is_told_with_its_place():
    with pytest.raises(NotAllowedError, match="cost, entry 2"):
        check_profile((1.0, -2.0), "cost")


@pytest.mark.parametrize(("chances", "entry"), [((0.0, 1.1), 2), ((-0.1,), 1), ((0.5, 0.4), 2), ((math.nan,), 1)])
def test_chances_stay_within_one_and_never_fall(chances, entry):
    with pytest.raises(NotAllowedError, match=f"entry {entry}"):
        check_shares(chances, "prob_limit_by_step")


def test_names_say_something_once():
    check_names(("roller", "idler"), "components")
    with pytest.raises(NotAllowedError, match="a name"):
        check_name("  ", "name")
    with pytest.raises(NotAllowedError, match="each name once"):
        check_names(("roller", "idler", "roller"), "components")
