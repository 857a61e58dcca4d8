"""One machine, one story: verdict, plan, quote, order, workbook and calendar say the same of every part, job, day and amount.

Random machines come from bench/odd_machines.py; `PITCHLINE_EXAMPLES=fuzz` runs 200 of them. What is held is what a customer, a
workshop and an office hold against each other; no figure is pinned.
"""

import datetime as dt
import importlib.util
import io
import os
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar import Calendar
from openpyxl import load_workbook

from pitchline.demo.yard import build_yard
from pitchline.judge import judge
from pitchline.judge.called import next_hours, next_job
from pitchline.papers.calendar import calendar_ics
from pitchline.papers.quote import quote_story
from pitchline.papers.stop import not_in, planned_stops
from pitchline.papers.work_order import work_order_story
from pitchline.papers.workbook import workbook_xlsx
from pitchline.stops.settings import PlanSettings
from pitchline.trade.calls import Call
from pitchline.trade.dossier import Utilisation
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import RENEWS, JobKind
from pitchline.trade.units import UnitSystem

spec = importlib.util.spec_from_file_location(
    "odd_machines", Path(__file__).parents[2] / "bench" / "odd_machines.py"
)
om = importlib.util.module_from_spec(spec)
sys.modules["odd_machines"] = om
spec.loader.exec_module(om)
ANY = om.Recipe(
    odd_parts=0.05, side_changed=0.1, slips=0.02, any_tool=True, any_line=True, few_quantities=True, rounded=0.1
)

YARD = build_yard()
EXAMPLES = 200 if os.environ.get("PITCHLINE_EXAMPLES") == "fuzz" else 12
HORIZON_H = 3000.0


def one_story(verdict, prices):
    """Nothing comes out; everything that is told of a machine is held against its verdict."""
    calls, ranges = Counter(), {}
    for job in verdict.jobs:
        for place in job.places:
            calls[job.kind, place] += 1
    assert not [one for one, many in calls.items() if many > 1]
    called = {(job.kind, place): job.call for job in verdict.jobs for place in job.places}
    ranges = {(job.kind, job.places): job.due for job in verdict.jobs}
    stops = planned_stops(verdict, prices)
    seen = set()
    for stop in stops:
        assert stop.day >= verdict.as_of
        assert stop.at_h == 0 or stop.day.weekday() < 5
        once = Counter((job.kind, place) for job in stop.jobs for place in job.places)
        assert set(once.values()) <= {1}
        for job in stop.jobs:
            first = not {(job.kind, place) for place in job.places} & seen
            if first:
                assert {called.get((job.kind, place), Call.RUN) for place in job.places} == {job.call}
                assert ranges.get((job.kind, job.places), job.due) == job.due
            elif job.kind in (*RENEWS, JobKind.TURN):
                assert job.call is Call.RUN
            if job.call is Call.STOP:
                assert stop.at_h == 0
            if job.call is Call.BOOK:
                assert stop.at_h <= verdict.window_h
            named = job.call.asks or job.along or job.joins or job.due is None
            assert named or abs(job.due.middle - stop.at_h) < verdict.plan.step_h
        seen |= set(once)
        _papers_agree(verdict, stop)
    _files_agree(verdict, stops)
    hours, job = next_hours(verdict), next_job(verdict)
    assert (hours is None) is (job is None)


def _papers_agree(verdict, stop):
    order = work_order_story(verdict, stop, UnitSystem.METRIC)
    assert [one["call"] for one in order["jobs"]] == [job.call.value for job in stop.jobs]
    try:
        quote = quote_story(verdict, stop, stop.day + dt.timedelta(30), UnitSystem.METRIC)
    except NotAllowedError:
        assert not stop.priced
        return
    assert len({line["what"] for line in quote["jobs"]}) == len(quote["jobs"])
    lines = sum(float(one["price"].replace(",", "")) for one in (*quote["jobs"], *quote["charges"]))
    assert float(quote["net"].replace(",", "")) == pytest.approx(lines, abs=0.005)


def _files_agree(verdict, stops):
    jobs = [*(job for stop in stops for job in stop.jobs), *not_in(stops, verdict)]
    head, *rows = load_workbook(io.BytesIO(workbook_xlsx(verdict, stops)))["jobs"].iter_rows(values_only=True)
    columns = {name: number for number, name in enumerate(head)}
    for job, row in zip(jobs, rows, strict=True):
        assert row[columns["call"]] == job.call.label
        for name in ("cautious", "middle", "hopeful"):
            hours, day = row[columns[f"{name} h"]], row[columns[f"{name} day"]]
            day = day.date() if day is not None else None
            stands = hours == 0 and day == verdict.as_of
            assert stands if job.call is Call.STOP else day is None or day >= verdict.as_of
    entries = Calendar.from_ical(
        calendar_ics(verdict, stops, place="Yard", address="https://desk.invalid/").ics
    ).walk("VEVENT")
    for entry in entries:
        assert entry.decoded("dtstart") >= verdict.as_of
        assert (str(entry["location"]), str(entry["url"])) == ("Yard", "https://desk.invalid/")


@pytest.mark.parametrize("number", [machine.number for machine in YARD.machines])
def test_every_demo_machine_has_one_story(number):
    verdict = judge(YARD.machine(number).with_sheet, YARD.prices, planning=PlanSettings(HORIZON_H), what_ifs=False)
    one_story(verdict, YARD.prices)


@settings(max_examples=EXAMPLES, deadline=None)
@given(seed=st.integers(0, 2**32 - 1), rounds=st.integers(1, 3))
def test_every_random_machine_has_one_story(seed, rounds):
    dossier = om.make(np.random.default_rng(seed), ANY, rounds).dossier
    dossier = replace(dossier, utilisation=dossier.utilisation or Utilisation(20.0, 30.0, 40.0))
    try:
        verdict = judge(dossier, YARD.prices, planning=PlanSettings(HORIZON_H), what_ifs=False)
    except NotAllowedError as error:
        if error.problem.field != "plan":
            raise
        return  # nothing that can be planned
    one_story(verdict, YARD.prices)
