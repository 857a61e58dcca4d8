"""One machine, one story: verdict, plan, quote, order, workbook and calendar say the same of every part, job, day and amount.

Random machines come from bench/odd_machines.py; `PITCHLINE_EXAMPLES=fuzz` runs 200 of them. What is held is what a customer, a
workshop and an office hold against each other; no figure is pinned.
"""

import datetime as dt
import importlib.util
import os
import sys
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import one_story as one_story_module
from one_story import one_story
from pitchline.demo.prices import invented_prices
from pitchline.demo.yard import build_yard
from pitchline.judge import judge
from pitchline.outlook.hours_left import HoursLeft
from pitchline.stops.settings import PlanSettings
from pitchline.trade.calls import Call
from pitchline.trade.dossier import Utilisation
from pitchline.trade.errors import NotAllowedError

spec = importlib.util.spec_from_file_location(
    "odd_machines", Path(__file__).parents[2] / "bench" / "odd_machines.py"
)
om = importlib.util.module_from_spec(spec)
sys.modules["odd_machines"] = om
spec.loader.exec_module(om)
ANY = om.Recipe(
    odd_parts=0.05, side_changed=0.1, slips=0.02, any_tool=True, any_line=True, few_quantities=True, rounded=0.1
)

PRICES = invented_prices()
EXAMPLES = 200 if os.environ.get("PITCHLINE_EXAMPLES") == "fuzz" else 12
HORIZON_H = 3000.0


@settings(max_examples=EXAMPLES, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), rounds=st.integers(1, 3))
def test_every_random_machine_has_one_story(seed, rounds):
    dossier = om.make(np.random.default_rng(seed), ANY, rounds).dossier
    dossier = replace(dossier, utilisation=dossier.utilisation or Utilisation(20.0, 30.0, 40.0))
    try:
        verdict = judge(dossier, PRICES, planning=PlanSettings(HORIZON_H), what_ifs=False)
    except NotAllowedError as error:
        if error.problem.field != "plan":
            raise
        return  # nothing that can be planned
    one_story(verdict, PRICES)


@pytest.fixture(scope="module")
def gorse():
    """A demo machine that must not work, with a plan."""
    yard = build_yard()
    planning = PlanSettings(HORIZON_H)
    verdict = judge(yard.machine(7).with_sheet, yard.prices, planning=planning, what_ifs=False)
    one_story(verdict, yard.prices)
    return verdict, yard.prices


def planned(verdict, **changes):
    first, *rest = verdict.plan.stops
    return replace(verdict, plan=replace(verdict.plan, stops=(replace(first, **changes), *rest)))


TAMPERED = {
    "two calls": lambda it: replace(it, jobs=(*it.jobs, replace(it.jobs[0], call=Call.RUN))),
    "another call in the plan": lambda it: planned(
        it, jobs=tuple(replace(job, call=Call.RUN) for job in it.plan.stops[0].jobs)
    ),
    "another range in the plan": lambda it: planned(
        it, jobs=tuple(replace(job, due=HoursLeft(1.0, 2.0, 3.0, 0.0)) for job in it.plan.stops[0].jobs)
    ),
    "a job of the plan twice": lambda it: planned(it, jobs=2 * it.plan.stops[0].jobs),
    "a day before today": lambda it: planned(it, day=it.as_of - dt.timedelta(days=7)),
    "another sum": lambda it: replace(it, plan=replace(it.plan, cost=it.plan.cost + 1)),
    "a stop in some hours": lambda it: replace(
        it, jobs=tuple(replace(job, due=HoursLeft(1.0, 2.0, 3.0, 0.0)) for job in it.jobs)
    ),
}


@pytest.mark.parametrize("how", TAMPERED)
def test_a_story_that_parts_is_found(gorse, how):
    verdict, prices = gorse
    with pytest.raises(AssertionError):
        one_story(TAMPERED[how](verdict), prices)


@pytest.mark.parametrize(
    ("teller", "told"),
    [
        ("quote_story", lambda real, *given: (story := real(*given)) | {"jobs": 2 * story["jobs"]}),
        ("work_order_story", lambda real, *given: (story := real(*given)) | {"jobs": story["jobs"][1:]}),
        ("workbook_xlsx", lambda real, verdict, stops: real(verdict, stops[1:])),
        ("next_hours", lambda real, verdict: (7.0, 8.0, 9.0)),
        ("job_rows", lambda real, verdict: real(verdict)[::-1]),
        ("part_rows", lambda real, verdict: real(verdict)[::-1]),
        ("verdict_json", lambda real, verdict: real(replace(verdict, jobs=verdict.jobs[::-1]))),
        ("set_figures", lambda real, row, verdict, dossier: real(row, replace(verdict, jobs=verdict.jobs[1:]), dossier)),
        ("api_machine", lambda real, row: real(row).model_copy(update={"call": "run"})),
        ("yard_svg", lambda real, verdicts, width: "first due in about 700 h"),
    ],
)  # fmt: skip
def test_whoever_tells_another_story_is_found(gorse, monkeypatch, teller, told):
    monkeypatch.setattr(f"one_story.{teller}", partial(told, getattr(one_story_module, teller)))
    with pytest.raises((AssertionError, ValueError)):
        one_story(*gorse)
