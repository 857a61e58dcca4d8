"""What is held of every machine's story: verdict, plan, quote, order, workbook and calendar say the same; no figure is pinned."""

import datetime as dt
import io
from collections import Counter

import pytest
from icalendar import Calendar
from openpyxl import load_workbook

from pitchline.judge.called import next_hours, next_job
from pitchline.papers.calendar import calendar_ics
from pitchline.papers.quote import quote_story
from pitchline.papers.stop import not_in, planned_stops
from pitchline.papers.work_order import work_order_story
from pitchline.papers.workbook import workbook_xlsx
from pitchline.trade.calls import Call
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import RENEWS, JobKind
from pitchline.trade.units import UnitSystem
from pitchline.words.names import named


def one_story(verdict, prices):
    """Nothing comes out; everything that is told of a machine is held against its verdict."""
    calls, ranges = Counter(), {}
    for job in verdict.jobs:
        for place in job.places:
            calls[job.kind, place] += 1
    assert not [one for one, many in calls.items() if many > 1]
    called = {(job.kind, place): job.call for job in verdict.jobs for place in job.places}
    ranges = {(job.kind, job.places): job.due for job in verdict.jobs}
    money = verdict.plan.beside[0].money
    # A plan that cannot keep what it is held to costs more than it is paid and lost for.
    assert verdict.plan.cost == pytest.approx(money.to_pay + money.expected_loss - money.credit)
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
        assert row[columns["call"]] == named(job.call)
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
