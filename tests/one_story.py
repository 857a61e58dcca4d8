"""What is held of every machine's story, in every place that tells it: the same; no figure is pinned.

Verdict, plan, quote, order, workbook, calendar, verdict file, tables, list, chart and API.
"""

import datetime as dt
import io
import json
from collections import Counter
from types import SimpleNamespace

import pytest
from icalendar import Calendar
from openpyxl import load_workbook

from pitchline.desk.api.showing import machine as api_machine
from pitchline.desk.bridge.figures import set_figures
from pitchline.desk.bridge.machine_rows import Machine
from pitchline.exchange.verdict_json import verdict_json
from pitchline.exchange.yard_columns import JOB_COLUMNS, PART_COLUMNS
from pitchline.exchange.yard_tables import job_rows, part_rows
from pitchline.judge.called import next_hours, next_job
from pitchline.outlook.hours_left import NOW
from pitchline.papers.calendar import calendar_ics
from pitchline.papers.quote import quote_story
from pitchline.papers.stop import not_in, planned_stops
from pitchline.papers.work_order import work_order_story
from pitchline.papers.workbook import workbook_xlsx
from pitchline.picture.part_words import hours_said
from pitchline.picture.yard import yard_svg
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
    assert all(stop.day is None or stop.day >= verdict.as_of for stop in verdict.plan.stops)
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
    _stops_are_now(verdict)
    _programs_agree(verdict, stops)
    _yard_agrees(verdict)


def _stops_are_now(verdict):
    """What must not work before it is done has no hours left and no day to come, whoever is told."""
    for told in (*verdict.parts, *verdict.jobs):
        if told.call is Call.STOP:
            assert told.due == NOW
            assert told.dates is None or {told.dates.cautious, told.dates.hopeful} == {verdict.as_of}


def _programs_agree(verdict, stops):
    """What programs read: the verdict's file, the tables, and the verdict of the API, which is that file."""
    told = json.loads(verdict_json(verdict))
    for name, ours in (("jobs", verdict.jobs), ("parts", verdict.parts)):
        for one, line in zip(ours, told[name], strict=True):
            assert line["call"] == one.call.value
            assert (line["due"] or {}).get("middle") == (one.due.middle if one.due else None)
    assert [stop["at_h"] for stop in told["plan"]["stops"]] == [stop.at_h for stop in verdict.plan.stops]
    for rows, ours, columns in (
        (job_rows(verdict), verdict.jobs, JOB_COLUMNS),
        (part_rows(verdict), verdict.parts, PART_COLUMNS),
    ):
        for row, one in zip(rows, ours, strict=True):
            cells = dict(zip([column.name for column in columns][-len(row) :], row, strict=True))
            assert cells["call"] == one.call.value
            assert cells["middle_h"] == (round(one.due.middle, 1) if one.due else None)
            assert cells["middle_on"] is None or cells["middle_on"] >= verdict.as_of


def _yard_agrees(verdict):
    """The list, its files, the API's machine and the chart go by the first job of the verdict, and by its hours."""
    row = Machine(business_id=1, name=verdict.machine.name, created_at=None)
    set_figures(row, verdict, SimpleNamespace(metered_h=lambda day: verdict.from_service_h))
    hours, job = next_hours(verdict), next_job(verdict)
    listed = (row.due_cautious_h, row.due_middle_h, row.due_hopeful_h)
    assert listed == (hours or (None, None, None))
    assert (row.call or "unjudged") == verdict.call.value
    assert row.due_on is None or row.due_on >= verdict.as_of
    assert row.money_usual == (verdict.money_window.usual if verdict.money_window else None)
    if job is not None and verdict.call is not Call.UNJUDGED:
        assert named(job.kind).casefold().split()[0] in row.due_said.casefold()
    shown = api_machine(row)
    assert shown.call == (row.call or None)
    if shown.due is not None:
        assert (shown.due.cautious_h, shown.due.middle_h, shown.due.hopeful_h, shown.due.day) == (
            *listed,
            row.due_on,
        )
    drawn = yard_svg([verdict], 900)
    waits = hours is not None and hours[1] > 0
    assert ("first due in about" in drawn) is waits
    assert not waits or f"first due in about {hours_said(hours[1])}" in drawn


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
    assert {(job.kind, place) for job in verdict.jobs for place in job.places if job.call.asks} <= {
        (job.kind, place) for job in jobs for place in job.places
    }
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
