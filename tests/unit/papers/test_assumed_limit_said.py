"""A figure that rests on an assumed limit says so in every paper; the words are written out here."""

import datetime as dt
import io
from dataclasses import replace

import icalendar
import pytest
from rich.console import Console

from pitchline.exchange.verdict_in import verdict_from_json
from pitchline.exchange.verdict_json import verdict_json
from pitchline.money.prices import PriceList
from pitchline.money.stop_costs import StopCosts
from pitchline.papers import words
from pitchline.papers.advert import advert_text
from pitchline.papers.buyer import buyer_story
from pitchline.papers.calendar import calendar_ics
from pitchline.papers.quote import quote_story
from pitchline.papers.screen import verdict_screen
from pitchline.papers.stop import next_stop
from pitchline.papers.story import story
from pitchline.papers.work_order import work_order_story
from pitchline.trade.calls import Call
from pitchline.trade.parts import PartKind
from pitchline.trade.units import UnitSystem
from pitchline.words.called import job_called, limit_called, part_called

METRIC = UnitSystem.METRIC
STOP = StopCosts(lorry=400.0, standing_per_h=50.0, opening_per_side=100.0)
LIST = PriceList("EUR", 65.0, (), "invented", 0.19, STOP)
UNTIL = dt.date(2026, 12, 12)


@pytest.fixture
def assumed(excavator):
    """The sample with the limits of its sprockets assumed, and whatever it books resting on an assumed limit."""

    def by_rule(part):
        judged = tuple(replace(one, limit_assumed=True) for one in part.judged)
        return replace(part, judged=judged) if part.place.part is PartKind.SPROCKET else part

    jobs = tuple(replace(job, assumed_limit=job.call is Call.BOOK) for job in excavator.jobs)
    return replace(excavator, parts=tuple(map(by_rule, excavator.parts)), jobs=jobs)


@pytest.fixture
def sprocket(assumed):
    return next(part for part in assumed.parts if part.place.part is PartKind.SPROCKET)


@pytest.fixture
def job(assumed):
    return next(job for job in assumed.jobs if job.assumed_limit)


def strings(told):
    """Every text of a story."""
    if isinstance(told, str):
        yield told.replace(words.GAP, " ")
    elif isinstance(told, dict):
        for each in told.values():
            yield from strings(each)
    elif isinstance(told, list | tuple):
        for each in told:
            yield from strings(each)


def test_part_and_job_say_it_behind_their_call(sprocket, job, assumed):
    assert part_called(sprocket).endswith(", assumed limit")
    assert job_called(job).endswith(", assumed limit")
    other = next(part for part in assumed.parts if part.place.part is PartKind.LINK)
    assert "assumed" not in part_called(other)
    assert limit_called(sprocket.judged[0]) == "assumed limit"
    assert limit_called(other.judged[0]) == "limit"


def test_in_narrow_columns_a_star_stands_behind_the_share(sprocket, assumed, excavator):
    assert words.life_used(sprocket).endswith("%*")
    assert story(assumed, METRIC)["assumed"]
    assert not story(excavator, METRIC)["assumed"]


def test_buyer_work_order_and_quote_say_it(assumed, excavator):
    for verdict, is_said in ((assumed, True), (excavator, False)):
        stop = next_stop(verdict, LIST)
        told = (
            buyer_story(verdict, METRIC),
            work_order_story(verdict, stop, METRIC),
            quote_story(verdict, stop, UNTIL, METRIC),
        )
        for each in told:
            assert any("assumed limit" in text for text in strings(each)) is is_said


def test_text_for_an_advert_says_it(assumed):
    assert "by an assumed limit" in advert_text(assumed, METRIC).replace(words.GAP, " ")


def test_the_calendar_says_it(assumed):
    events = icalendar.Calendar.from_ical(calendar_ics(assumed).ics).walk("VEVENT")
    assert any("assumed limit" in str(event["SUMMARY"]) for event in events)


def test_the_screen_says_it(assumed, excavator):
    for verdict, said in ((assumed, True), (excavator, False)):
        out = io.StringIO()
        Console(file=out, width=110, color_system=None).print(verdict_screen(verdict, METRIC, 110))
        assert ("*: by an assumed limit" in " ".join(out.getvalue().split())) is said
        assert ("%*" in out.getvalue().replace(" ", "")) is said


def test_a_verdict_keeps_it_and_one_of_before_reads_without(assumed, excavator):
    text = verdict_json(assumed)
    assert '"limit_assumed": true' in text
    assert '"assumed_limit": true' in text
    assert verdict_from_json(text) == assumed
    before = verdict_json(excavator)
    for field in ("limit_assumed", "assumed_limit"):
        before = before.replace(f',\n          "{field}": false', "").replace(f',\n      "{field}": false', "")
    assert "assumed_limit" not in before
    assert not any(job.assumed_limit for job in verdict_from_json(before).jobs)


def test_what_has_no_call_says_nothing_of_it(sprocket):
    assert words.life_used(replace(sprocket, call=Call.UNJUDGED)) == ""
