"""Work written down at the desk: a job, a lay-up or a part; the verdict follows, and everything can be undone."""

import csv
import io
import json
import uuid
from dataclasses import replace

import pytest
from django.test import Client

from pitchline.desk.bridge.figures import verdict_of, verdict_text
from pitchline.desk.gearbook.actions import take_from_machine
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of
from pitchline.desk.people.models import Business
from pitchline.desk.prices import enter_prices, judged_prices, newest_prices, prices_of
from pitchline.desk.shelf.models import ShelfItem
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable
from pitchline.desk.workplan.models import Plan
from pitchline.desk.workplan.stored import planned
from pitchline.exchange.machine_file import machine_from_json
from pitchline.exchange.prices_file import write_prices
from pitchline.money.machine_class import MachineClass
from pitchline.papers.stop import planned_stops
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.work_done import Did
from pitchline.words import say

ROLLER, DRIVE = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3), Place(PartKind.FINAL_DRIVE, Side.LEFT)
LEAK, BOLTS = FindingKind.LEAK, FindingKind.MISSING_BOLTS


@pytest.fixture
def machine(bring, dossier, priced_yard):
    """The invented excavator, judged with prices: a roller leaks, a final drive leaks and lacks a bolt."""
    last = dossier.walk_rounds[-1]
    seen = (
        Finding(ROLLER, LEAK, Severity.SEVERE),
        Finding(DRIVE, LEAK, Severity.SEVERE),
        Finding(DRIVE, BOLTS, Severity.SLIGHT, 1),
    )
    looked = tuple(place for place in last.looked_over if place not in (ROLLER, DRIVE))
    return bring(
        replace(dossier, walk_rounds=(dossier.walk_rounds[0], replace(last, findings=seen, looked_over=looked)))
    )


def now(machine):
    return Machine.objects.select_related("judgement", "business").get(pk=machine.pk)


def work_of(machine):
    return machine_from_json(now(machine).file_text, "m.json").work


def job_number(machine, kind, place):
    jobs = verdict_of(now(machine).judgement).jobs
    return next(number for number, job in enumerate(jobs, 1) if job.kind is kind and place in job.places)


@pytest.fixture
def fill(client, machine):
    """A factory: what the form of a job holds as it is opened, with changes."""

    def make(source, **changes):
        page = client.get(f"/machines/{machine.pk}/work/done/", source)
        assert page.status_code == 200
        head, rows = page.context["form"], page.context["rows"]
        sent = dict(source)
        for form in (head, *rows):
            for field in form:
                value = field.value()
                if value not in (False, None):
                    sent[field.html_name] = "on" if value is True else str(value)
        return {name: text for name, text in (sent | changes).items() if text is not None}

    return make


@pytest.fixture
def roller(machine):
    """The address of the job that replaces the leaking roller."""
    number = job_number(machine, JobKind.REPLACE, ROLLER)
    return {"verdict": str(machine.judgement_id), "job": str(number)}


@pytest.fixture
def drive(machine):
    """The address of the job that looks into the leaking final drive."""
    number = job_number(machine, JobKind.INVESTIGATE, DRIVE)
    return {"verdict": str(machine.judgement_id), "job": str(number)}


@pytest.fixture
def save(client, machine):
    """A factory of savings."""

    def make(sent, http=None):
        return (http or client).post(f"/machines/{machine.pk}/work/done/", sent)

    return make


def errors(answer):
    context = answer.context
    forms = [context["form"], *context["rows"]]
    return {name: list(said) for form in forms for name, said in form.errors.items()}


def test_a_job_is_written_down_with_what_stands_in_the_form(client, machine, fill, roller, save, words, actor):
    sent = fill(roller, **{"by": "A fitter", "job1-labour": "120", "job1-parts": "1,260.50"})
    assert (sent["day"], sent["hours"]) == (
        "2026-11-26",
        "3343",
    )  # 80 days at 30 h a week from 3,000 h: by hand 3,342.9
    assert save(sent).status_code == 302
    (work,) = work_of(machine)
    assert (work.did, work.places, work.service_h, work.by) == (Did.FITTED_NEW, (ROLLER,), 3343.0, "A fitter")
    assert work.seen_on.isoformat() == "2026-09-07"
    assert work.put_right == ((ROLLER, LEAK),)
    assert (work.spent.labour, work.spent.parts, work.spent.currency) == (120.0, 1260.5, "EUR")
    price = next(job for job in verdict_of(machine.judgement).jobs if ROLLER in job.places).price
    assert (work.reckoned.amount, work.reckoned.source) == (price.usual, "verdict of 2026-11-26")
    after = now(machine)
    assert not after.to_judge  # nobody is hired in tests, so it was judged there and then
    assert (machine.hours_h, after.hours_h) == (3000.0, 3343.0), "the meter was last seen at the work"
    for address in ("/", f"/machines/{machine.pk}/"):
        assert "3,343 h" in words(client.get(address))
    verdict = verdict_of(after.judgement)
    part = next(one for one in verdict.parts if one.place == ROLLER)
    assert say(part.reason).startswith("Fitted new at 3,343 h, and not read since.")
    assert not any(ROLLER in job.places for job in verdict.jobs)
    text = words(client.get(f"/machines/{machine.pk}/work/"))
    for said in (
        "Cost so far EUR 1,380.50",
        "labour EUR 120, parts EUR 1,260.50",
        "Bottom roller 3, left: fitted new",
    ):
        assert said in text
    assert "26 Nov 2026 · 3,343 h" in text
    assert "Put right: bottom roller 3, left: leak." in text
    assert "Nobody has gone round it since" in text
    assert "Begin a walk-round" in text
    told = Change.objects.get(machine_id=machine.pk, what="work done")
    assert told.after == "bottom roller 3, left: fitted new at 3,343 h on 26 Nov 2026"


def test_cost_an_hour_is_over_the_hours_since_the_first_record(client, machine, fill, roller, save, words):
    """By hand: 1,143 h from 2,200 h on 2 Mar 2026 to 3,343 h; EUR 2,286 over them is EUR 2 an hour."""
    save(fill(roller, **{"job1-parts": "2286"}))
    text = words(client.get(f"/machines/{machine.pk}/work/"))
    assert "Cost an hour EUR 2.00" in text
    assert "Over the 1,143 h since the walk-round of 2 Mar 2026: 1 job with a cost." in text
    price = work_of(machine)[0].reckoned.amount
    assert f"1 job reckoned at EUR {price:,.0f} cost EUR 2,286: EUR {2286 - price:,.0f} more." in text


def test_done_then_undone_gives_the_same_verdict_to_the_byte(client, machine, fill, roller, save, actor):
    text, before = now(machine).file_text, verdict_text(machine.judgement)
    save(fill(roller))
    assert verdict_text(now(machine).judgement) != before
    undoable = Undoable.objects.get(way="work done")
    assert client.post(f"/undo/{undoable.pk}/").status_code == 302
    judge_machine(actor, machine.pk)
    stood = json.loads(text)
    stood.pop("walk_rounds")  # sheets of their own since it came in
    assert json.loads(now(machine).file_text) == stood
    assert verdict_text(now(machine).judgement) == before
    assert now(machine).judgement_id == machine.judgement_id
    assert now(machine).hours_h == machine.hours_h


def test_sent_twice_it_is_written_once(machine, fill, roller, save):
    sent = fill(roller)
    assert save(sent).status_code == save(sent).status_code == 302
    assert len(work_of(machine)) == 1
    assert Undoable.objects.filter(way="work done").count() == 1


def test_somebody_faster_is_told_and_what_was_typed_stands(machine, fill, roller, save):
    sent = fill(roller, note="my own words")
    Machine.objects.filter(pk=machine.pk).update(version=machine.version + 1)
    answer = save(sent)
    assert answer.status_code == 409
    assert "Somebody else changed this meanwhile" in answer.content.decode()
    assert "my own words" in answer.content.decode()
    assert work_of(machine) == ()
    again = sent | {"seen_version": answer.context["form"]["seen_version"].value()}
    assert save(again).status_code == 302


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"day": "2026-11-27"}, "day", "write it down when it is"),
        ({"day": "yesterday"}, "day", "YYYY-MM-DD"),
        ({"day": ""}, "day", "it is needed"),
        ({"day": "2026-08-01"}, "hours", "at most the 3000 h of the walk-round of 7 Sep 2026"),
        ({"hours": "2999"}, "hours", "at least the 3000 h of the walk-round of 7 Sep 2026"),
        ({"hours": "33430"}, "hours", "a day has 24"),
        ({"hours": "many"}, "hours", "many"),
        ({"seen_version": ""}, "seen_version", "it is needed"),
        ({"work_id": "none"}, "work_id", "valid UUID"),
        ({"job1-did": ""}, "did", "Choose what was done"),
        ({"job1-did": "polished"}, "did", "Select a valid choice"),
        (
            {"job1-did": "mended", "job1-right-bottom_roller/left/3-leak": None},
            "did",
            "Nothing is ticked that it put right",
        ),
        ({"job1-at-bottom_roller/left/3": None}, "at-bottom_roller/left/3", "Tick those it was done to"),
        ({"job1-labour": "-5"}, "labour", "-5"),
        ({"job1-parts": "a lot"}, "parts", "a lot"),
        (
            {"job1-size-bottom_roller/left/3-tread_diameter": "152"},
            "size-bottom_roller/left/3-tread_diameter",
            "fitted used",
        ),
        (
            {"job1-did": "fitted_part_worn", "job1-size-bottom_roller/left/3-tread_diameter": "152 km"},
            "size-bottom_roller/left/3-tread_diameter",
            "152 km",
        ),
        (
            {"job1-did": "fitted_part_worn", "job1-size-bottom_roller/left/3-tread_diameter": "9999"},
            "size-bottom_roller/left/3-tread_diameter",
            "Measure again",
        ),
    ],
)
def test_what_cannot_be_stands_at_its_field_and_nothing_is_written(
    machine, fill, roller, save, typed, field, told
):
    answer = save(fill(roller, **typed))
    assert answer.status_code == 400
    found = errors(answer)
    assert list(found) == [field]
    assert told in found[field][0]
    assert told in answer.content.decode().replace("&#x27;", "'").replace("&quot;", '"')
    assert work_of(machine) == ()
    for name, text in typed.items():
        if text and name.startswith(("day", "hours", "job1-labour", "job1-parts")):
            assert f'value="{text}"' in answer.content.decode()


def test_bushes_turned_and_renewed_on_one_day_are_refused(fill, save, machine):
    turned = fill({"part": "bush"}, **{"job1-did": "turned", "job1-at-bush/left": "on"})
    assert save(turned).status_code == 302
    new = fill({"part": "chain"}, **{"job1-did": "fitted_new", "job1-at-chain/left": "on"})
    answer = save(new)
    assert answer.status_code == 400
    assert "leave out one of the two, or correct its day" in errors(answer)["did"][0]
    assert len(work_of(machine)) == 1


def test_a_leak_is_closed_by_mending_and_the_missing_bolt_still_stops_it(fill, drive, save, machine):
    sent = fill(
        drive,
        **{
            "job1-did": "mended",
            f"job1-right-{DRIVE.key}-leak": "on",
            f"job1-right-{DRIVE.key}-missing_bolts": None,
        },
    )
    assert save(sent).status_code == 302
    part = next(one for one in verdict_of(now(machine).judgement).parts if one.place == DRIVE)
    assert [one.kind for one in part.findings] == [BOLTS]
    assert part.call.value == "stop"
    assert "Seen, and put right at 3,343 h: leak, severe." in say(part.reason)


def test_a_lay_up_is_written_down_job_by_job_and_the_plan_tells_what_is_open(
    client, actor, dossier, bring, prices, tmp_path, words, save_at, monkeypatch
):
    of_others = replace(prices.lines[0], which=MachineClass(mass_from_kg=100e3))
    write_prices(replace(prices, lines=(*prices.lines, of_others)), tmp_path / "prices.csv")
    enter_prices(actor, name="prices.csv", content=(tmp_path / "prices.csv").read_bytes())
    machine, asked = bring(dossier), []
    for place in ("rows", "views"):  # by the machine's own prices, as on the plan's page
        monkeypatch.setattr(
            f"pitchline.desk.workdone.{place}.planned_stops",
            lambda told, prices, on: asked.append(prices) or planned_stops(told, prices, on),
        )
    client.post(f"/machines/{machine.pk}/plan/work-out/", {"horizon": "6000"})
    plan = Plan.objects.get(machine=machine)
    stops = planned_stops(planned(plan)[0], prices_of(newest_prices(actor.business)), plan.judgement.as_of)
    stop = max(stops, key=lambda one: len(one.jobs))
    assert len(stop.jobs) > 1
    client.post(
        f"/machines/{machine.pk}/plan/{plan.pk}/keep/", {"why": "the hall is free", "steps": "", "seen_kept": ""}
    )
    source = {"plan": str(plan.pk), "layup": str(stop.number), "kept": "1"}
    page = words(client.get(f"/machines/{machine.pk}/work/done/", source))
    assert f"Lay-up {stop.number} of the plan of 26 Nov 2026" in page
    nothing = save_at(machine, source)
    assert nothing.status_code == 400
    assert "Tick each job that was done." in words(nothing)
    first, second = stop.jobs[0], stop.jobs[1]
    assert save_at(machine, source, **{"job1-done": "on", "job1-parts": "100"}).status_code == 302
    (work,) = work_of(machine)
    assert set(work.places) == set(first.places)
    assert work.reckoned.source == f"lay-up {stop.number} of the plan of 2026-11-26"
    lines = client.get(f"/machines/{machine.pk}/work/").context["planned"]
    states = {(line.number, job.title): job.state for line in lines for job in line.jobs}
    mine = [job for line in lines if line.number == stop.number for job in line.jobs]
    assert [job.state for job in mine[:2]] == ["done", "open"]
    assert "open" in states.values()
    wrong = save_at(machine, source, **{"job2-done": "on", "job2-labour": "much"})
    assert wrong.status_code == 400
    assert list(errors(wrong)) == ["labour"]
    assert len(work_of(machine)) == 1
    assert second.places
    own = judged_prices(plan.judgement)
    assert len(asked) > 2
    assert own != prices_of(plan.judgement.prices)
    assert all(one == own for one in asked)


def test_who_looks_into_something_has_to_say_what_came_of_it(client, fill, drive, machine):
    page = client.get(f"/machines/{machine.pk}/work/done/", drive)
    assert page.context["rows"][0]["did"].value() == ""
    assert "a competent person has looked" in page.content.decode()


def test_a_used_roller_is_judged_by_its_size(fill, roller, save, machine):
    size = "job1-size-bottom_roller/left/3-tread_diameter"
    assert save(fill(roller, **{"job1-did": "fitted_part_worn", size: "15.4 cm"})).status_code == 302
    (work,) = work_of(machine)
    assert work.readings[0].value_m == pytest.approx(0.154)
    part = next(one for one in verdict_of(now(machine).judgement).parts if one.place == ROLLER)
    assert part.call.value in ("run", "book", "stop")
    assert part.judged[0].life_used == pytest.approx(6 / 16, abs=0.1)  # by hand: 6 of 16 mm worn


def test_some_places_of_a_job_cost_their_share(client, fill, save, machine):
    verdict = verdict_of(machine.judgement)
    number, job = next((n, job) for n, job in enumerate(verdict.jobs, 1) if len(job.places) == 2 and job.price)
    sent = fill(
        {"verdict": str(machine.judgement_id), "job": str(number)}, **{f"job1-at-{job.places[1].key}": None}
    )
    assert save(sent).status_code == 302
    (work,) = work_of(machine)
    assert work.places == job.places[:1]
    assert work.reckoned.amount == pytest.approx(job.price.usual / 2)


def test_a_part_is_chosen_where_no_job_asks(client, fill, save, machine, words):
    answer = client.get(f"/machines/{machine.pk}/work/done/")
    assert "Which part was worked on?" in words(answer)
    one = fill({"part": "idler/right/1"})
    assert one["job1-at-idler/right/1"] == "on"
    assert "job1-at-idler/left/1" not in one
    assert save(one | {"job1-did": "cleaned"}).status_code == 302
    (work,) = work_of(machine)
    assert (work.did, [place.key for place in work.places], work.reckoned, work.spent) == (
        Did.CLEANED, ["idler/right/1"], None, None,
    )  # fmt: skip


@pytest.mark.parametrize(
    "source",
    [
        {"verdict": str(uuid.uuid4()), "job": "1"},
        {"job": "1", "verdict": ""},
        {"part": "rubber_track"},
        {"part": "wing/left"},
        {"plan": str(uuid.uuid4()), "layup": "1"},
    ],
)
def test_what_is_not_there_is_not_found(client, machine, source):
    answer = client.get(f"/machines/{machine.pk}/work/done/", source)
    assert answer.status_code == (200 if not any(text for name, text in source.items() if name != "job") else 404)


def test_a_job_past_the_last_is_not_found(client, machine):
    address = f"/machines/{machine.pk}/work/done/"
    assert client.get(address, {"verdict": str(machine.judgement_id), "job": "99"}).status_code == 404
    assert client.get(address, {"verdict": "none", "job": "1"}).status_code == 400


def test_another_business_finds_nothing(stranger_client, machine, roller, save):
    sent = roller | {"seen_version": "1", "day": "2026-11-26", "hours": "3343", "job1-did": "fitted_new"}
    assert save(sent, stranger_client).status_code == 404
    for address in ("work/", "work/done/", "work/work.csv"):
        assert stranger_client.get(f"/machines/{machine.pk}/{address}").status_code == 404
    assert work_of(machine) == ()


def test_a_post_without_a_token_is_refused(machine, fill, roller):
    sent = fill(roller)
    strict = Client(enforce_csrf_checks=True)
    assert strict.post(f"/machines/{machine.pk}/work/done/", sent).status_code == 403


def test_every_due_job_of_the_machine_has_its_button(client, machine, words):
    page = client.get(f"/machines/{machine.pk}/").content.decode()
    jobs = verdict_of(machine.judgement).jobs
    for number, job in enumerate(jobs, 1):
        there = f'?verdict={machine.judgement_id}&amp;job={number}"' in page
        assert there is (job.kind is not JobKind.MEASURE)


def test_the_table_holds_every_record_and_runs_no_formula(client, machine, fill, roller, save):
    save(fill(roller, note="=1+1", **{"job1-parts": "260"}))
    answer = client.get(f"/machines/{machine.pk}/work/work.csv")
    assert answer["Content-Type"].startswith("text/csv")
    (head, row) = csv.reader(io.StringIO(answer.content.decode("utf-8-sig")))
    line = dict(zip(head, row, strict=True))
    assert (line["day"], line["service hours"], line["where"]) == ("2026-11-26", "3343", "bottom_roller/left/3")
    assert (line["what was done"], line["cost"], line["currency"]) == ("fitted new", "260.00", "EUR")
    assert line["note"] == "'=1+1"


def test_a_wrong_record_is_taken_out_with_a_reason_and_can_be_put_back(client, machine, fill, roller, save, words):
    save(fill(roller))
    (work,) = work_of(machine)
    address, version = f"/machines/{machine.pk}/work/take-out/", now(machine).version
    refused = client.post(address, {"key": work.key, "seen_version": version, "why": " "})
    assert refused.status_code == 400
    assert "Say why this record is wrong." in words(refused)
    assert client.post(address, {"key": "none", "seen_version": version, "why": "x"}).status_code == 400
    assert client.post(address, {"key": work.key, "seen_version": 0, "why": "x"}).status_code == 409
    sent = {"key": work.key, "seen_version": version, "why": "The other roller it was."}
    assert client.post(address, sent).status_code == 302
    assert work_of(machine) == ()
    last = Undoable.objects.filter(way="work done").order_by("-at").first()
    client.post(f"/undo/{last.pk}/")
    assert work_of(machine) == (work,)
    first = Undoable.objects.filter(way="work done").order_by("at").first()
    client.post(f"/undo/{first.pk}/")
    assert work_of(machine) == ()


def test_undoing_what_was_taken_out_meanwhile_is_refused(client, machine, fill, roller, save, words):
    save(fill(roller))
    (work,) = work_of(machine)
    client.post(
        f"/machines/{machine.pk}/work/take-out/",
        {"key": work.key, "seen_version": now(machine).version, "why": "wrong"},
    )
    first = Undoable.objects.filter(way="work done").order_by("at").first()
    assert "Not undone" in words(client.post(f"/undo/{first.pk}/", follow=True))


def test_the_next_walk_round_does_not_carry_what_was_put_right(client, machine, fill, roller, save):
    from pitchline.desk.walkround.carry_over import last_findings

    save(fill(roller))
    _, standing = last_findings(dossier_of(now(machine)), None)
    assert {(one.place, one.kind) for one in standing} == {(DRIVE, LEAK), (DRIVE, BOLTS)}


def test_the_machine_file_out_and_in_again_loses_nothing(client, machine, fill, roller, save):
    save(fill(roller, by="A fitter", note="From the shelf.", **{"job1-labour": "90"}))
    text = client.get(f"/machines/{machine.pk}/machine.json").content.decode()
    assert machine_from_json(text, "m.json").work == work_of(machine)


def test_without_prices_a_cost_needs_its_currency(client, bring, dossier, save_at):
    machine = bring(replace(dossier, machine=replace(dossier.machine, machine_id="T2")))
    answer = save_at(
        machine, {"part": "idler"}, **{"job1-did": "cleaned", "job1-at-idler/left/1": "on", "job1-labour": "40"}
    )
    assert answer.status_code == 400
    assert "three capital letters" in answer.context["form"].errors["currency"][0]
    answer = save_at(
        machine,
        {"part": "idler"},
        currency="sek",
        **{"job1-did": "cleaned", "job1-at-idler/left/1": "on", "job1-labour": "40"},
    )
    assert answer.status_code == 302
    assert work_of(machine)[0].spent.currency == "SEK"


@pytest.fixture
def save_at(client):
    """A factory: the form of another machine, filled in and sent."""

    def make(machine, source, **changes):
        address = f"/machines/{machine.pk}/work/done/"
        page = client.get(address, source)
        sent = dict(source)
        for form in (page.context["form"], *page.context["rows"]):
            for field in form:
                if field.value() not in (False, None):
                    sent[field.html_name] = "on" if field.value() is True else str(field.value())
        return client.post(address, sent | changes)

    return make


def test_a_machine_without_running_gear_says_what_is_missing(client, actor, words):
    bare = Machine.objects.create(
        business=Business.objects.get(pk=actor.business.pk), short_name="B", name="Bare", kind="dozer"
    )
    assert "Its running gear is not entered yet" in words(client.get(f"/machines/{bare.pk}/work/"))
    assert client.get(f"/machines/{bare.pk}/work/done/").status_code == 302


def test_a_turn_tells_what_is_looked_at_after_the_first_shift(client, machine, fill, save, words):
    save(fill({"part": "bush"}, **{"job1-did": "turned", "job1-at-bush/left": "on", "job1-at-bush/right": "on"}))
    text = words(client.get(f"/machines/{machine.pk}/work/"))
    assert "Bushes, both sides: Check the sag and the bolts again after the first shift." in text


def test_work_that_renews_asks_what_was_taken_where_something_lies_there(client, actor, machine, fill, roller):
    """A roller of this running gear lies on the shelf: the desk asks; of another's, it does not."""
    entry = take_from_machine(actor, machine_id=machine.pk, entry_id=uuid.uuid4(), name="Wide steel")
    item = ShelfItem.objects.create(business=actor.business, number="R-1", what="bottom_roller", count=3)
    assert f"/machines/{machine.pk}/take/" not in client.get(f"/machines/{machine.pk}/work/").content.decode()
    ShelfItem.objects.filter(pk=item.pk).update(entry=entry)
    answer = client.post(f"/machines/{machine.pk}/work/done/", fill(roller))
    assert answer["Location"] == f"/machines/{machine.pk}/take/"
    assert ShelfItem.objects.get().count == 3
