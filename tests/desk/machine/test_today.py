"""The desk judges for today: by day and again by night, says how old the readings are, and proposes nothing for a past day."""

import datetime as dt
import importlib
import io
import json
from contextlib import nullcontext
from dataclasses import replace

import pytest
from django.apps import apps
from django.db import OperationalError
from icalendar import Calendar
from openpyxl import load_workbook
from pypdf import PdfReader

from pitchline.desk import method
from pitchline.desk.bridge import figures
from pitchline.desk.bridge.figures import verdict_of, verdict_text
from pitchline.desk.clock import held_day, today
from pitchline.desk.house.actions import renew_feed
from pitchline.desk.machine import judging
from pitchline.desk.machine.archiving import archive_several
from pitchline.desk.machine.judging import judge_machine, judge_waiting, outdated
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.worker import Judging
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable
from pitchline.desk.workplan.actions import ask_for
from pitchline.desk.workplan.feed import yard_address
from pitchline.desk.workplan.models import DecidedPlan, FeedPart, Plan
from pitchline.desk.workplan.question import asked_of
from pitchline.desk.workplan.stored import packed_footing, packed_verdict
from pitchline.desk.yard import rows
from pitchline.desk.yard.demo import open_demo_yard
from pitchline.trade.calls import Call
from pitchline.trade.errors import NotAllowedError
from pitchline.words import say

READ_ON = dt.date(2026, 9, 7)  # last walk-round of the invented excavator, at 3,000 h; 30 h a week
TODAY = today()
A_DAY = dt.timedelta(days=1)


@pytest.fixture
def on(settings):
    """Lets the desk's day be another."""

    def move(day):
        settings.TODAY = day
        return day

    return move


@pytest.fixture
def night():
    """The background's work, as after midnight."""
    return Judging().work


@pytest.fixture
def quick(monkeypatch):
    """Days go by without judging: each is the judgement of the first day carried on, and booked from some day on where asked."""
    real, known = judging.judge, {}

    def make(booked_from=dt.date.max):
        def judge(dossier, prices, day, units, **rest):
            first = known.setdefault(dossier.machine.machine_id, real(dossier, prices, READ_ON + A_DAY, units))
            hours = 30 / 7 * (day - first.as_of).days
            call = Call.BOOK if day >= booked_from else first.call
            return replace(first, as_of=day, from_service_h=first.from_service_h + hours, call=call)

        monkeypatch.setattr(judging, "judge", judge)

    make()
    return make


def fresh(machine):
    return Machine.objects.select_related("judgement", "business").get(pk=machine.pk)


def test_day_comes_from_the_settings_or_from_the_clock(settings, monkeypatch):
    settings.TODAY = dt.date(2031, 2, 3)
    assert today() == dt.date(2031, 2, 3)
    settings.TODAY = None
    monkeypatch.setattr("django.utils.timezone.localdate", lambda: dt.date(2033, 4, 5))
    assert today() == dt.date(2033, 4, 5)
    assert held_day("") is None
    assert held_day("2026-11-25") == dt.date(2026, 11, 25)
    with pytest.raises(NotAllowedError, match="PITCHLINE_TODAY"):
        held_day("soon")


def test_machine_brought_in_is_judged_for_today(bring, dossier, on):
    """By hand: 8 weeks after 7 Sep at 30 h a week are 240 h on top of 3,000 h."""
    day = on(READ_ON + dt.timedelta(weeks=8))
    machine = bring(dossier)
    verdict = verdict_of(machine.judgement)
    assert (verdict.as_of, machine.judged_for, verdict.read_on) == (day, day, READ_ON)
    assert verdict.from_service_h == pytest.approx(3240.0)
    assert (verdict.carried_h, machine.carried_h) == (pytest.approx(240.0), pytest.approx(240.0))
    assert machine.hours_h == pytest.approx(3000.0)  # what the meter was seen to show


def test_walk_round_of_somebody_a_day_ahead_counts(bring, dossier, on):
    """The desk's clock may stand in another time zone than the yard."""
    on(READ_ON - A_DAY)
    assert bring(dossier).judgement.as_of == READ_ON


def test_every_night_all_are_judged_for_the_new_day(bring, dossier, on, night):
    first = bring(dossier)
    second = bring(replace(dossier, machine=replace(dossier.machine, machine_id="T2", name="Second")))
    day = on(today() + A_DAY)
    night()
    assert {fresh(one).judgement.as_of for one in (first, second)} == {day}
    assert fresh(first).judgement.from_service_h == pytest.approx(first.judgement.from_service_h + 30 / 7)
    assert outdated() == []


def test_nights_the_desk_was_down_are_made_up_for(machine, on, night):
    day = on(today() + dt.timedelta(days=40))
    night()
    assert fresh(machine).judged_for == day


def test_day_gone_by_is_no_persons_act(machine, quick, on, night):
    """Neither the trail nor undo hears of it, and the machine's version stands, so that nobody's open form is refused."""
    before = (Change.objects.count(), Undoable.objects.count(), fresh(machine).version, fresh(machine).marked)
    on(today() + A_DAY)
    night()
    assert (
        Change.objects.count(),
        Undoable.objects.count(),
        fresh(machine).version,
        fresh(machine).marked,
    ) == before
    assert fresh(machine).judgement.who == "this desk"


def test_most_pressing_are_judged_first_and_archived_ones_not(actor, bring, dossier, machine, on):
    others = [bring(replace(dossier, machine=replace(dossier.machine, machine_id=n, name=n))) for n in "ABC"]
    for one, rank, hours in zip([machine, *others], (0, 2, 1, 2), (10.0, 90.0, 5.0, 20.0), strict=True):
        Machine.objects.filter(pk=one.pk).update(call_rank=rank, due_middle_h=hours)
    archive_several(actor, machine_ids=[others[2].pk], archived=True)
    on(today() + A_DAY)
    assert outdated() == [others[0].pk, others[1].pk, machine.pk]
    archive_several(actor, machine_ids=[others[2].pk], archived=False)
    assert outdated()[0] == others[2].pk


@pytest.fixture
def bad_one(bring, dossier, monkeypatch):
    """A machine whose judging fails on our side, the most pressing of the yard; and how often it was tried."""
    bad = bring(replace(dossier, machine=replace(dossier.machine, machine_id="bad", name="Bad")))
    Machine.objects.filter(pk=bad.pk).update(call_rank=2)
    tried, real = [], judging.judge

    def fail(dossier, *rest, **more):
        if dossier.machine.machine_id == "bad":
            tried.append(1)
            raise ZeroDivisionError("invented")
        return real(dossier, *rest, **more)

    monkeypatch.setattr(judging, "judge", fail)
    return bad, tried


def test_one_bad_machine_holds_up_no_other_by_night(machine, bad_one, on):
    """It is tried once a day, says which day it was judged for, and is tried anew on the next."""
    bad, tried = bad_one
    before, worker = fresh(bad).judged_for, Judging()
    day = on(today() + A_DAY)
    worker.work()
    worker.work()
    assert (fresh(machine).judged_for, fresh(bad).judged_for, len(tried)) == (day, before, 1)
    on(day + A_DAY)
    worker.work()
    assert len(tried) == 2


def test_one_bad_machine_holds_up_no_other_that_is_marked(
    machine, bad_one, on, client, words, monkeypatch, caplog
):
    """It says so on its page, is not tried again and again, and is tried anew by another method."""
    bad, tried = bad_one
    on(today() + A_DAY)
    Machine.objects.update(to_judge=True)
    worker = Judging()
    worker.work()
    worker.work()
    assert fresh(machine).judged_for == today()
    assert fresh(bad).judgement is None
    assert len(tried) == 1
    assert "ZeroDivisionError" in caplog.text
    assert "the desk failed on this machine" in words(client.get(f"/machines/{bad.pk}/"))
    for module in (judging, figures):
        monkeypatch.setattr(module, "method_digest", lambda: "another method")
    worker.work()
    assert len(tried) == 2


def test_machine_whose_judging_never_ends_says_so_and_is_left(machine, on, client, words, caplog):
    """By the crew's head, after 10 minutes: see test_crew. It is judged again once something of it changes."""
    on(today() + A_DAY)
    assert outdated() == [machine.pk]
    Judging().gave_up(str(machine.pk), "took longer than 10 minutes and was ended")
    said = "judging it took longer than 10 minutes and was ended; it is tried again when something of it changes"
    assert f"Not judged: {said}" in words(client.get(f"/machines/{machine.pk}/"))
    assert said in words(client.get("/"))
    assert client.get(f"/api/v1/machines/{machine.pk}").json()["not_judged_because"].startswith(said)
    assert outdated() == []
    Machine.objects.update(to_judge=True)
    Judging().work()
    assert fresh(machine).judged_for == today()
    assert fresh(machine).not_judged_because == ""


def test_drawing_that_never_ends_leaves_the_judgement(machine):
    Judging().gave_up(f"drawing {machine.pk}", "took longer than 10 minutes and was ended")
    assert fresh(machine).judgement == machine.judgement


def test_what_another_process_judges_is_left_to_it(machine, quick, on):
    """Two in the background on one yard: what one is at, the other passes by, and is not held up."""
    day = on(today() + A_DAY)
    worker = Judging()
    worker.at = lambda what: nullcontext(False)
    worker.work()
    Machine.objects.update(to_judge=True)
    worker.work()
    assert fresh(machine).judged_for < day
    Judging().work()
    assert fresh(machine).judged_for == day


def test_machine_stays_marked_while_the_database_fails(machine, monkeypatch):
    def fail(actor, machine):
        raise OperationalError("invented")

    Machine.objects.update(to_judge=True)
    monkeypatch.setattr(judging, "_judged", fail)
    with pytest.raises(OperationalError):
        judge_waiting()
    assert fresh(machine).to_judge


def test_night_stands_back_for_whoever_rings(machine, quick, on):
    worker = Judging()
    worker.start()
    worker.wake()
    on(today() + A_DAY)
    worker.work()
    assert fresh(machine).judged_for < today()
    worker._bell.listen(0)
    worker.work()
    assert fresh(machine).judged_for == today()


def test_two_that_judge_by_night_at_once_make_one_judgement(actor, machine, on, monkeypatch):
    """Two computers on one database: what the other stored meanwhile is taken, and nothing fails."""
    real = judging.judge
    day = on(today() + A_DAY)

    def meanwhile(*asked, **rest):
        monkeypatch.setattr(judging, "judge", real)
        judge_machine(actor, machine.pk)
        return real(*asked, **rest)

    monkeypatch.setattr(judging, "judge", meanwhile)
    Judging().work()
    assert Judgement.objects.filter(machine=machine, as_of=day).count() == 1
    assert fresh(machine).judged_for == day


def test_nights_leave_few_judgements_behind(machine, quick, on, night):
    """What a person made stays, and of what only days made the newest few: else a yard of 3,000 would grow by 100 MB a day."""
    first = machine.judgement_id
    for _ in range(6):
        on(today() + A_DAY)
        night()
    days = sorted(
        (today() - one.as_of).days for one in Judgement.objects.filter(machine=machine).exclude(pk=first)
    )
    assert days == [0, 1, 2]
    assert Judgement.objects.filter(pk=first).exists()


def test_what_somebody_took_a_paper_or_a_plan_from_stays(client, machine, quick, on, night):
    on(today() + A_DAY)
    night()
    taken = fresh(machine).judgement
    paper = f"/machines/{machine.pk}/papers/{taken.pk}/verdict.pdf"
    before = client.get(paper).content
    on(today() + A_DAY)
    night()
    planned = fresh(machine).judgement
    Plan.objects.create(
        business=machine.business, machine=machine, judgement=planned, digest="x", asked={}, who="me"
    )
    for _ in range(5):
        on(today() + A_DAY)
        night()
    assert Judgement.objects.filter(pk__in=(taken.pk, planned.pk)).count() == 2
    assert client.get(paper).content == before


def test_first_judgement_of_another_call_stays(machine, quick, on, night):
    """The day it turned from run to book is worth knowing; it was booked from then on."""
    turned = today() + dt.timedelta(days=3)
    quick(booked_from=turned)
    for _ in range(8):
        on(today() + A_DAY)
        night()
    assert fresh(machine).judgement.call == "book"
    kept = Judgement.objects.filter(machine=machine, passing=False)
    assert [(one.call, one.as_of) for one in kept.order_by("as_of")] == [("run", TODAY), ("book", turned)]


def test_page_and_list_say_the_day_until_the_night_is_done(client, machine, quick, words, on, night):
    judged = today()
    on(judged + A_DAY)
    said = f"{judged.day} Nov 2026"
    assert f"Judged for {said}; today’s judgement is on its way." in words(client.get(f"/machines/{machine.pk}/"))
    assert f"judged for {said}" in words(client.get("/"))
    night()
    assert "on its way" not in words(client.get(f"/machines/{machine.pk}/"))
    assert "judged for" not in words(client.get("/"))


def test_how_old_the_readings_are_is_said_everywhere(client, machine, words):
    """By hand: 7 Sep to 26 Nov are 80 days, 11 weeks; at 30 h a week 343 h."""
    said = "read 11 weeks ago, carried on 343 h"
    assert f"Judged for 26 Nov 2026: {said}." in words(client.get(f"/machines/{machine.pk}/"))
    assert said in words(client.get("/"))
    api = client.get(f"/api/v1/machines/{machine.pk}").json()
    assert (api["readings"], api["judged_for"]) == (said, "2026-11-26")
    verdict = client.get(f"/api/v1/machines/{machine.pk}/verdict").json()
    assert (verdict["as_of"], verdict["read_on"]) == ("2026-11-26", "2026-09-07")
    paper = PdfReader(
        io.BytesIO(client.get(f"/machines/{machine.pk}/papers/{machine.judgement_id}/verdict.pdf").content)
    )
    assert said in " ".join(paper.pages[0].extract_text().lower().split())


def test_without_hours_a_week_hours_since_are_not_known(client, bring, dossier, words):
    machine = bring(replace(dossier, utilisation=None))
    assert "read 11 weeks ago; hours since are not known" in words(client.get(f"/machines/{machine.pk}/"))
    assert machine.carried_h is None


def test_old_readings_ask_for_a_walk_round_and_are_not_called_run(client, bring, dossier, words, on):
    on(READ_ON + dt.timedelta(weeks=14))
    machine = bring(dossier)
    first = "Go round it first: read 14 weeks ago, carried on 420 h"
    assert first in words(client.get(f"/machines/{machine.pk}/"))
    assert say(verdict_of(machine.judgement).headline).startswith(first)
    assert machine.call != "run"
    assert "Run it" not in machine.judgement.headline
    listed = words(client.get("/"))
    assert first in listed or "go round it first" in listed


def quote_words(answer):
    return " ".join(PdfReader(io.BytesIO(answer.content)).pages[0].extract_text().split())


@pytest.fixture
def due(bring, worn, priced_yard):
    """A machine with priced work due, last read on 2 Nov 2026."""
    machine = bring(worn(0.97))
    assert machine.call in ("book", "stop")
    return machine


def test_quote_bears_today_and_holds_from_today(client, due, on):
    """Its page stayed open over night, the yard is not judged anew yet: the quote is of today all the same; 30 days on."""
    on(dt.date(2026, 12, 1))
    text = quote_words(client.get(f"/machines/{due.pk}/papers/{due.judgement_id}/quote.pdf"))
    assert "1 Dec 2026" in text
    assert "31 Dec 2026" in text
    assert "measured on 2 Nov 2026" in text


def test_old_quote_of_an_old_verdict_prints_the_same(client, due, quick, on, night):
    address = f"/machines/{due.pk}/papers/{due.judgement_id}/quote.pdf"
    before = client.get(address).content
    for _ in range(4):
        on(today() + A_DAY)
        night()
    assert client.get(address).content == before


def events_of(answer):
    return Calendar.from_ical(b"".join(answer.streaming_content)).walk("VEVENT")


@pytest.fixture
def fed(actor):
    """The feed's address."""
    renew_feed(actor)
    actor.business.refresh_from_db()
    return yard_address(actor.business)


def test_nothing_in_the_feed_stands_on_a_past_day(client, due, fed, on, night):
    """The same entry moves along with the day, so that overdue work never vanishes into the past."""
    before = {str(one["uid"]): one for one in events_of(client.get(fed))}
    day = on(today() + dt.timedelta(weeks=3))
    for work in (lambda: None, night):  # before the night's work, and after it
        work()
        events = events_of(client.get(fed))
        assert events
        assert min(one["dtstart"].dt for one in events) == day
        assert {str(one["uid"]) for one in events} == set(before)
        for one in events:
            assert int(one["sequence"]) > int(before[str(one["uid"])]["sequence"])


def test_feed_is_made_by_night(client, due, quick, fed, on, night):
    on(today() + A_DAY)
    night()
    source = FeedPart.objects.get(machine=due).source
    client.get(fed).getvalue()
    assert FeedPart.objects.get(machine=due).source == source


@pytest.fixture
def kept(machine, priced_yard, planned_once, fed):
    """A plan somebody keeps for the invented excavator, its first stop some weeks off."""
    judge_waiting()
    judged = fresh(machine).judgement
    verdict, footing = planned_once
    plan = Plan.objects.create(
        business=machine.business, machine=machine, judgement=judged, digest="kept", asked={"horizon": "6000"},
        state=Plan.DONE, who="me", cost=verdict.plan.cost, verdict_packed=packed_verdict(verdict),
        footing_packed=packed_footing(footing), method=verdict.method, version=verdict.version,
    )  # fmt: skip
    DecidedPlan.objects.create(
        business=machine.business, machine=machine, plan=plan, steps=[], cost=plan.cost, who="me", why="so",
        verdict_packed=plan.verdict_packed,
    )  # fmt: skip
    return plan, verdict.plan.stops[0]


def test_planned_stop_that_was_missed_stands_on_today_and_says_so(client, machine, kept, fed, words, on):
    plan, first = kept
    day = on(first.day + dt.timedelta(days=10))
    said = f"overdue since {first.day.day} "
    assert said in words(client.get(f"/machines/{machine.pk}/plan/"))
    jobs = [one for one in events_of(client.get(fed)) if "it stood on" in str(one["description"])]
    assert jobs
    assert {one["dtstart"].dt for one in jobs} == {day}
    assert all("overdue" in str(one["summary"]) for one in jobs)
    book = client.get(f"/machines/{machine.pk}/plan/{plan.pk}/papers/work.xlsx?kept=1")
    rows = list(load_workbook(io.BytesIO(book.content))["lay-ups"].iter_rows(min_row=2, values_only=True))
    assert rows[0][2].date() == day
    assert rows[0][7].date() == first.day
    quote = quote_words(client.get(f"/machines/{machine.pk}/plan/{plan.pk}/papers/quote.pdf?kept=1"))
    assert f"{machine.short_name}-{day:%Y%m%d}-20261126-" in quote


def test_plan_holds_over_night_and_can_be_made_anew_for_today(client, machine, kept, on, night, words):
    """Nothing but the day is new: it stays the machine's plan, says which day it is of, and is not called outdated."""
    plan, _ = kept
    DecidedPlan.objects.all().delete()
    day = on(today() + A_DAY)
    night()
    page = words(client.get(f"/machines/{machine.pk}/plan/"))
    assert "Worked out for 26 Nov 2026. Its days hold" in page
    assert "Made before the newest verdict" not in page
    asked = asked_of({"horizon": "6000"}, "point")
    anew = ask_for(Actor(machine.business, "me"), machine=machine, judgement=fresh(machine).judgement, asked=asked)
    assert anew.pk != plan.pk
    assert anew.judgement.as_of == day


def test_demo_yard_is_alive_whenever_it_is_opened(actor, on):
    """Opened in 2028, it was walked round in the week before; opened again later, it stays as it was."""
    on(dt.date(2028, 5, 10))
    open_demo_yard(actor)
    walked = dict(Machine.objects.values_list("short_name", "last_walk_on"))
    assert len(walked) == 17
    assert dt.date(2028, 5, 3) <= max(walked.values()) < dt.date(2028, 5, 10)
    assert min(walked.values()) > dt.date(2028, 4, 10)
    on(dt.date(2028, 9, 1))
    again = open_demo_yard(actor)
    assert (again.added, len(again.unchanged)) == ([], 17)
    assert dict(Machine.objects.values_list("short_name", "last_walk_on")) == walked


def test_judgements_of_before_get_their_footing(machine, priced_yard):
    """With and without prices they rest on something else; the method of then is not known, so it is another."""
    judge_waiting()
    now = set(Judgement.objects.values_list("footing", flat=True))
    assert len(now) == 2
    Judgement.objects.update(footing="")
    migration = importlib.import_module("pitchline.desk.machine.migrations.0005_judged_for_a_day")
    migration.fill_in_footing(apps, None)
    then = set(Judgement.objects.values_list("footing", flat=True))
    assert len(then) == 2
    assert not then & {"", *now}


@pytest.fixture
def upgraded(monkeypatch):
    """The desk as it is after the method that judges has changed."""
    for module in (judging, figures, rows):
        monkeypatch.setattr(module, "method_digest", lambda: "another method")


def test_another_method_judges_every_machine_anew_in_the_background(machine, upgraded, night, client, words):
    """The same file, prices, units and day; and so says the page meanwhile, and the list."""
    before = machine.judgement
    assert outdated() == [machine.pk]
    assert "being judged anew" in words(client.get(f"/machines/{machine.pk}/"))
    assert "judged by an earlier method" in words(client.get("/"))
    night()
    after = fresh(machine)
    assert (after.judgement.method_digest, after.judged_by) == ("another method", "another method")
    assert after.judgement.pk != before.pk
    assert outdated() == []
    assert "being judged anew" not in words(client.get(f"/machines/{machine.pk}/"))
    assert "earlier method" not in words(client.get("/"))


def test_a_paper_of_an_earlier_method_prints_the_same_again(machine, upgraded, night, client):
    old = machine.judgement
    address = f"/machines/{machine.pk}/papers/{old.pk}/verdict.json"
    night()
    assert fresh(machine).judgement.pk != old.pk
    assert json.loads(client.get(address).content) == json.loads(verdict_text(old))


def test_method_is_the_source_of_every_room_that_judges(tmp_path, monkeypatch):
    """One changed letter in one of them is another method; a changed page of the desk is not."""
    root = tmp_path / "pitchline"
    for room in ("trade", "judge", "desk"):
        (root / room).mkdir(parents=True)
        (root / room / "calls.py").write_text("LIMIT = 1\n")
    (root / "verdict.py").write_text("A = 1\n")
    monkeypatch.setattr(method, "ROOMS", ("trade", "judge", "verdict.py"))
    monkeypatch.setattr(method.pitchline, "__file__", str(root / "__init__.py"))
    told = method.method_digest.__wrapped__
    first = told()
    (root / "desk" / "calls.py").write_text("LIMIT = 2\n")
    assert told() == first
    (root / "judge" / "calls.py").write_text("LIMIT = 2\n")
    assert told() != first
