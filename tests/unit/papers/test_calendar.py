"""Calendar entries, read back by the same standard's parser and held to RFC 5545."""

import datetime as dt
import uuid
from dataclasses import replace

import pytest
from icalendar import Calendar

from pitchline.papers.calendar import calendar_ics, day_of, marks_of
from pitchline.papers.stop import stop_of
from pitchline.trade.calls import Call
from said import written


def events(verdict, stops=()):
    return Calendar.from_ical(calendar_ics(verdict, stops).ics).walk("VEVENT")


def marks(verdict):
    return marks_of(verdict.machine.machine_id, verdict.jobs)


def test_every_job_with_a_day_has_an_entry_and_the_rest_is_named(excavator):
    made = calendar_ics(excavator)
    dated = [job for job in excavator.jobs if day_of(job, excavator) is not None]
    assert len(events(excavator)) == len(dated)
    assert len(made.left_out) == len(excavator.jobs) - len(dated)


def test_an_entry_stands_on_the_cautious_day_for_the_whole_day(excavator):
    """RFC 5545, 3.6.1: an all-day entry ends, not included, on the day after."""
    job = next(job for job in excavator.jobs if job.dates is not None)
    number = [j for j in excavator.jobs if day_of(j, excavator) is not None].index(job)
    event = events(excavator)[number]
    assert event.decoded("dtstart") == job.dates.cautious
    assert event.decoded("dtend") - event.decoded("dtstart") == dt.timedelta(days=1)
    stop = events(excavator)[0]
    assert stop.decoded("dtstart") == excavator.as_of


def test_marks_are_unique_uuids_made_from_names(excavator):
    found = [str(event["uid"]) for event in events(excavator)]
    assert len(set(found)) == len(found)
    assert {uuid.UUID(mark).version for mark in found} == {5}


def test_marks_stay_when_hours_days_calls_and_places_change(excavator):
    moved = tuple(
        replace(job, call=Call.BOOK, due=None, dates=None, places=job.places[:1], because=written("other"))
        for job in excavator.jobs
    )
    later = replace(excavator, jobs=moved, as_of=excavator.as_of + dt.timedelta(days=40))
    assert marks(later) == marks(excavator)


def test_a_planned_stop_puts_its_jobs_on_its_day_under_the_same_marks(excavator):
    day = excavator.as_of + dt.timedelta(days=90)
    jobs = tuple(job for job in excavator.jobs if job.dates is not None)
    stop = stop_of(tuple(replace(job, because=written("planned")) for job in jobs), excavator, None, 1, 500.0, day)
    before = {str(event["uid"]) for event in events(excavator)}
    after = events(excavator, [stop])
    assert [event.decoded("dtstart") for event in after][: len(jobs)] == [day] * len(jobs)
    assert {str(event["uid"]) for event in after} == before


def test_another_machine_and_another_job_have_other_marks(excavator, mini):
    other = replace(excavator, machine=replace(excavator.machine, machine_id="Y8"))
    assert not set(marks(other)) & {*marks(excavator), *marks(mini)}
    assert len(set(marks_of("Y7", (excavator.jobs[0], excavator.jobs[0])))) == 2


def test_a_later_verdict_replaces_the_entries_of_an_earlier_one(excavator):
    """RFC 5545, 3.8.7.4: SEQUENCE rises with each revision; DTSTAMP is the day of the verdict, never the clock."""
    later = replace(excavator, as_of=excavator.as_of + dt.timedelta(days=7))
    old, new = events(excavator)[0], events(later)[0]
    assert new["sequence"] > old["sequence"]
    assert old.decoded("dtstamp") == dt.datetime.combine(excavator.as_of, dt.time(), dt.UTC)


def test_the_same_verdict_gives_the_same_bytes_in_lines_as_the_standard_wants(excavator):
    """RFC 5545, 3.1: lines end in CR LF and hold at most 75 octets."""
    made = calendar_ics(excavator).ics
    assert made == calendar_ics(excavator).ics
    lines = made.split(b"\r\n")
    assert all(len(line) <= 75 and b"\n" not in line for line in lines)


@pytest.mark.parametrize("name", ["a,b;c\\d", "x\nBEGIN:VEVENT\nUID:1", "END:VCALENDAR", "é 日本 " * 20])
def test_what_people_typed_cannot_break_out_of_its_text(excavator, name):
    named = replace(excavator, machine=replace(excavator.machine, name=name))
    found = events(named)
    assert len(found) == len(events(excavator))
    assert all(str(event["summary"]).startswith(name) for event in found)


def test_entries_of_an_invented_machine_say_so_and_of_no_other(excavator):
    real = replace(excavator, machine=replace(excavator.machine, note="Bought in 2021."))
    assert all("Invented example." in str(event["description"]) for event in events(excavator))
    assert "nvented" not in str(events(real))


def test_nothing_to_do_is_an_empty_calendar(empty):
    assert calendar_ics(empty).ics.startswith(b"BEGIN:VCALENDAR")
    assert events(empty) == []
