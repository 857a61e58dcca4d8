"""Interest of a plan of stops, against numpy-financial (the formulas of spreadsheets)."""

from dataclasses import replace

import numpy_financial as npf
import pytest

from pitchline.stops.recost import recost


@pytest.mark.parametrize("rate", [0.01, 0.04, 0.11])
@pytest.mark.parametrize("step", [0, 1, 7])
def test_money_later_is_worth_its_present_value(tiny_stops, rate, step):
    """Half a year a step: pv at the rate of half a year that compounds to the yearly one."""
    instance = replace(tiny_stops(), discount_rate_per_year=rate, step_h=600.0, hours_per_year=1200.0)
    by_step = (1 + rate) ** 0.5 - 1
    assert instance.discount(step) == pytest.approx(-npf.pv(by_step, step, 0, 1.0), rel=1e-12)


def test_a_plan_costs_the_net_present_value_of_its_payments(tiny_stops):
    """Both parts renewed at step 2 and never outrun: one stop of 4, jobs of 12 and 6, less the credit at the end."""
    instance = replace(tiny_stops(discount=0.1), step_h=1.0, hours_per_year=1.0)
    never = tuple(
        replace(
            part,
            stages=tuple(replace(one, penalty_by_step=(0.0,) * len(one.penalty_by_step)) for one in part.stages),
        )
        for part in instance.components
    )
    instance = replace(instance, components=never)
    done = {"A": [("replace", 2)], "B": [("replace", 2)]}
    credit = instance.components[0].stages[1].end_credit_by_age[2]
    paid = [0.0, 0.0, 4.0 + 12.0 + 6.0, 0.0, -credit]
    assert recost(instance, done) == pytest.approx(npf.npv(0.1, paid), rel=1e-12)
