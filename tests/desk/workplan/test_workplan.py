"""The work plan: asked for, worked out, moved, kept, on paper."""

import io
import json
import re
import uuid
from dataclasses import fields, replace

import pytest
from django.test.utils import CaptureQueriesContext
from pypdf import PdfReader

from pitchline.desk.machine.judging import judge_waiting
from pitchline.desk.people.models import Business
from pitchline.desk.pricelist.moves import moves_of
from pitchline.desk.trail.models import Change
from pitchline.desk.walkround.models import Sheet
from pitchline.desk.workplan.actions import work_out_waiting
from pitchline.desk.workplan.models import DecidedPlan, Plan
from pitchline.desk.workplan.papers import PLAN_PAPERS, offered
from pitchline.desk.workplan.question import asked_of, with_week
from pitchline.desk.workplan.stored import footing_of_row, planned
from pitchline.desk.workplan.worker import Planner
from pitchline.judge.plan_by_hand import cost_of, steps_of
from pitchline.money.price_changes import Times, all_multiplied
from pitchline.money.stop_costs import StopCosts
from pitchline.papers.stop import planned_stops


@pytest.fixture
def priced(machine, priced_yard):
    """The invented excavator, judged with prices."""
    judge_waiting()
    machine.refresh_from_db()
    return machine


@pytest.fixture
def asked(client, priced):
    """A factory of plans asked for in the browser."""

    def make(**figures):
        return client.post(f"/machines/{priced.pk}/plan/work-out/", figures, follow=True)

    return make


@pytest.fixture
def plan(asked, priced):
    """Its plan, worked out."""
    asked()
    return Plan.objects.get(machine=priced)


@pytest.fixture
def keep(client, plan):
    """A factory of keepings."""

    def make(**fields):
        post = {"why": "the hall is free then", "seen_kept": ""} | fields
        return client.post(f"/machines/{plan.machine_id}/plan/{plan.pk}/keep/", post)

    return make


def later(plan, by=1):
    steps = [*steps_of(planned(plan)[1])]
    steps[-1] += by
    return ",".join(map(str, steps))


def test_first_plan_is_asked_for_by_the_page_itself_and_never_by_reading_it(client, priced, words):
    """The script posts the form as soon as the page is there; without scripts a button does."""
    answer = client.get(f"/machines/{priced.pk}/plan/")
    assert f'hx-post="/machines/{priced.pk}/plan/work-out/" hx-trigger="load"' in answer.content.decode()
    assert "Work it out" in words(answer)
    assert not Plan.objects.exists()


def test_figures_nobody_asked_yet_wait_for_the_button(client, priced, words):
    answer = client.get(f"/machines/{priced.pk}/plan/", {"horizon": "2500"})
    assert answer.status_code == 200
    assert "Not worked out yet" in words(answer)
    assert "hx-post" not in answer.content.decode()


def test_without_prices_it_says_what_they_unlock(client, machine, words):
    text = words(client.get(f"/machines/{machine.pk}/plan/"))
    assert "A work plan needs" in text
    assert "A price list would give" in text


def test_plan_is_worked_out_once_and_shown(asked, words, plan, client):
    text = words(asked())
    assert Plan.objects.count() == 1
    assert planned(plan)[1].proven
    assert "Proven: no set of lay-ups that keeps to the calls costs less." in text
    assert "Each job at its own limit" in text
    assert "Asked: 6,000 h ahead" in text
    assert "Walk round it again" in text
    assert "Lay-up 1:" in text


def test_what_is_paid_and_what_may_be_lost_adds_up_and_life_left_stands_apart(asked, plan, words):
    """To the whole unit, amounts rounded each; this yard's list has not the price of everything, and the plan says so."""
    text = words(asked())
    told = r"What has a price comes to about EUR ([\d,]+); .*? Expected loss EUR ([\d,]+)"
    made_of = r"To pay: ((?:[a-z][^.]*)? EUR [^.]*)\. Expected loss: ([^.]*)\."
    for whole, parts in zip(re.search(told, text).groups(), re.search(made_of, text).groups(), strict=True):
        amounts = [int(one.replace(",", "")) for one in re.findall(r"EUR ([\d,]+)", parts)]
        assert "life left" not in parts
        assert abs(sum(amounts) - int(whole.replace(",", ""))) <= 2
    assert re.search(r"Life left at the end is worth EUR [\d,]+, which nobody pays out", text)


def test_cautions_stand_where_the_work_is_proposed(client, plan, words):
    assert "Do not" in (text := words(client.get(f"/machines/{plan.machine_id}/plan/"))) or "Power off" in text
    assert "Take care," in text


def test_plan_and_what_it_is_reckoned_from_agree(plan):
    verdict_plan = planned(plan)[1]
    assert plan.cost == verdict_plan.cost
    assert cost_of(footing_of_row(plan), verdict_plan, steps_of(verdict_plan)) == pytest.approx(
        plan.cost, rel=1e-9
    )


def test_page_does_not_compute_a_stored_plan_again(client, plan, monkeypatch):
    from pitchline.desk.workplan import actions

    monkeypatch.setattr(actions, "judge", lambda *args, **more: pytest.fail("computed"))
    assert client.get(f"/machines/{plan.machine_id}/plan/").status_code == 200


def test_other_figures_are_another_plan(asked, plan, monkeypatch):
    from pitchline.desk.workplan import views

    monkeypatch.setattr(views, "plan_soon", lambda: None)
    asked(horizon="3000", stop_cost="800", week="20")
    assert {one.state for one in Plan.objects.all()} == {Plan.DONE, Plan.WANTED}


@pytest.mark.parametrize(
    ("figures", "said"),
    [
        ({"horizon": "soon"}, "soon"),
        ({"horizon": "3"}, "10 to 60,000 h"),
        ({"sell": "9000"}, "6000"),
        ({"stop_cost": "-1"}, "-1"),
        ({"week": "400"}, "168"),
    ],
)
def test_figure_that_cannot_be_used_is_named(client, priced, words, figures, said):
    answer = client.get(f"/machines/{priced.pk}/plan/", figures)
    assert answer.status_code == 400
    assert said in words(answer)
    assert "--" not in words(answer)
    client.post(f"/machines/{priced.pk}/plan/work-out/", figures)
    assert Plan.objects.count() == 0


def test_page_that_waits_says_how_long_and_asks_again(client, plan, words):
    Plan.objects.update(state=Plan.WORKING)
    text = client.get(f"/machines/{plan.machine_id}/plan/", plan.asked).content.decode()
    assert "Working it out" in text
    assert 'hx-trigger="every 1s"' in text
    assert "<progress" in text


def test_plan_begun_when_the_desk_was_stopped_is_begun_again(plan):
    Plan.objects.update(state=Plan.WORKING, verdict_packed=None)
    assert work_out_waiting() == 0
    Planner().work()
    assert Plan.objects.get().state == Plan.DONE


def test_plan_that_cannot_be_made_says_why(client, bring, dossier, priced_yard, words):
    from dataclasses import replace

    machine = bring(replace(dossier, limits=()))
    answer = client.post(f"/machines/{machine.pk}/plan/work-out/", {}, follow=True)
    text = words(answer)
    assert "No plan can be made" in text
    assert "wear limits" in text


def test_spots_of_a_stop_are_costed_by_recost(client, plan):
    verdict_plan, footing = planned(plan)[1], footing_of_row(plan)
    answer = client.get(f"/machines/{plan.machine_id}/plan/{plan.pk}/spots/", {"stop": "1"}).json()
    steps = [*steps_of(verdict_plan)]
    for spot in answer["spots"]:
        if "cost" in spot:
            assert spot["cost"] == pytest.approx(cost_of(footing, verdict_plan, [spot["step"], *steps[1:]]))
        else:
            assert spot["refused"]
    least = min(spot["cost"] for spot in answer["spots"] if "cost" in spot)
    assert least == pytest.approx(plan.cost, rel=1e-9)


@pytest.mark.parametrize(
    "query", [{}, {"stop": "99"}, {"stop": "x"}, {"stop": "1", "steps": "a,b"}, {"stop": "1", "steps": "1"}]
)
def test_spots_of_no_stop_are_refused_in_words(client, plan, query):
    answer = client.get(f"/machines/{plan.machine_id}/plan/{plan.pk}/spots/", query)
    known = "steps" in query or len(planned(plan)[1].stops) > 0
    assert answer.status_code == 400 or known
    if answer.status_code == 400:
        assert answer.json()["refused"]


def test_moved_plan_is_shown_from_its_address_alone(client, plan, words):
    text = words(client.get(f"/machines/{plan.machine_id}/plan/", plan.asked | {"steps": later(plan)}))
    assert "As you put it:" in text
    assert "Put by hand" in text
    assert "more than the cheapest" in text


def test_moving_without_scripts_takes_hours(client, plan, words):
    verdict_plan = planned(plan)[1]
    number = len(verdict_plan.stops)
    hours = verdict_plan.stops[-1].at_h + 2 * verdict_plan.step_h
    typed = plan.asked | {f"stop{number}": f"{hours:g}"}
    assert f"in {hours:,.0f} h" in words(client.get(f"/machines/{plan.machine_id}/plan/", typed))


@pytest.mark.parametrize("hours", ["never", "1e400", "-5000", "999999", "nan"])
def test_moving_a_stop_nowhere_is_refused(client, plan, hours, words):
    answer = client.get(f"/machines/{plan.machine_id}/plan/", plan.asked | {"stop1": hours})
    assert answer.status_code == 400
    assert "Lay-ups" in words(answer)
    page = answer.content.decode()
    told = re.search(r'<p class="wrong-said" id="wrong-stop1">(.*?)</p>', page, re.DOTALL)[1]
    assert "Allowed: " in told
    assert re.search(rf'aria-describedby="wrong-stop1"\s+value="{re.escape(hours)}"', page)


def test_lay_up_that_cannot_go_where_it_is_put_says_so_beside_it(client, asked, priced, words):
    """Bushes are turned before they are renewed: the lay-up that was moved says so, the others say nothing."""
    asked(horizon="9000")
    plan = Plan.objects.get(machine=priced)
    last = f"{planned(plan)[1].stops[-1].at_h:g}"
    answer = client.get(f"/machines/{priced.pk}/plan/", plan.asked | {"stop1": last})
    assert answer.status_code == 400
    told = re.findall(r'<p class="wrong-said" id="wrong-stop(\d)">(.*?)</p>', answer.content.decode(), re.DOTALL)
    said = {number: text for number, text in told if text}
    assert set(said) == {"1"} != {number for number, _ in told}
    assert "Move it less far" in said["1"]
    assert f'value="{last}"' in answer.content.decode()


def test_kept_plan_stands_beside_the_cheapest_with_who_and_why(client, keep, plan, words):
    assert keep(steps=later(plan)).status_code == 302
    row = DecidedPlan.objects.get()
    assert (row.why, row.who) == ("the hall is free then", "this desk")
    assert row.cost >= plan.cost
    text = words(client.get(f"/machines/{plan.machine_id}/plan/"))
    assert "The plan kept" in text
    assert "the hall is free then" in text
    change = Change.objects.filter(machine_id=plan.machine_id, what="work plan kept").get()
    assert change.why == "the hall is free then"


ASKED = {"horizon": "6000", "sell": "", "stop_cost": "", "week": ""}


def test_other_units_hide_neither_plan_nor_kept_plan(client, keep, plan, words):
    keep(steps=later(plan))
    settings = {"seen_version": 1, "units": "imperial", "numbers": "point", "days": "day-month"}
    assert client.post("/settings/", settings).status_code == 302
    for figures in ({}, ASKED):
        text = words(client.get(f"/machines/{plan.machine_id}/plan/", figures))
        assert "the hall is free then" in text
        assert "Lay-up 1" in text
        assert "Not worked out yet" not in text
        assert "Made before the newest verdict" not in text
    assert Plan.objects.count() == 1


@pytest.mark.parametrize("figures", [{"horizon": "2500"}, {"horizon": "never"}])
def test_kept_plan_shows_whatever_is_asked(client, keep, plan, words, figures):
    keep(steps=later(plan))
    text = words(client.get(f"/machines/{plan.machine_id}/plan/", figures))
    assert "The plan kept" in text
    assert "the hall is free then" in text
    assert "made from other figures" not in text


def test_kept_plan_shows_where_nothing_can_be_judged_any_more(client, keep, plan, words):
    keep(steps=later(plan))
    for sheet in Sheet.objects.filter(machine=plan.machine_id):
        client.post(f"/walk-rounds/{sheet.pk}/put-away/", {"away": "1", "why": "test"})
    text = words(client.get(f"/machines/{plan.machine_id}/plan/"))
    assert "Not judged" in text
    assert "the hall is free then" in text


def test_machines_page_tells_of_a_kept_plan(client, keep, plan, words):
    page = f"/machines/{plan.machine_id}/"
    assert "is kept" not in words(client.get(page))
    keep(steps=later(plan))
    text = words(client.get(page))
    assert "A work plan is kept" in text
    assert "the hall is free then" in text


def test_keeping_without_a_reason_keeps_nothing(keep, words):
    answer = keep(why="")
    assert answer.status_code == 400
    assert "Say why" in words(answer)
    assert not DecidedPlan.objects.exists()


def test_reason_that_cannot_be_shown_is_refused(keep):
    assert keep(why="a\x00b").status_code == 400
    assert not DecidedPlan.objects.exists()


def test_keeping_what_must_not_be_is_refused_and_typed_words_stay(keep):
    answer = keep(steps="9999", why="because")
    assert answer.status_code == 400
    assert "because" in answer.content.decode()
    assert not DecidedPlan.objects.exists()


def test_second_of_two_people_does_not_undo_the_first(keep, plan, words):
    keep(steps=later(plan))
    answer = keep(why="mine")
    assert answer.status_code == 409
    assert "Somebody else kept a plan meanwhile" in words(answer)
    assert DecidedPlan.objects.get(put_away_at=None).why == "the hall is free then"


def test_putting_away_leaves_the_row_and_can_be_undone(client, keep, plan):
    keep(steps=later(plan))
    kept = DecidedPlan.objects.get()
    client.post(f"/machines/{plan.machine_id}/plan/put-away/", {"seen_kept": str(kept.pk)})
    assert DecidedPlan.objects.get().put_away_at is not None
    assert keep(steps=later(plan)).status_code == 302
    assert DecidedPlan.objects.filter(put_away_at=None).count() == 1


def test_putting_away_another_than_the_one_seen_changes_nothing(client, keep, plan):
    keep(steps=later(plan))
    client.post(f"/machines/{plan.machine_id}/plan/put-away/", {"seen_kept": str(uuid.uuid4())})
    assert DecidedPlan.objects.get().put_away_at is None


@pytest.mark.parametrize("name", PLAN_PAPERS)
@pytest.mark.parametrize("kept", [False, True])
def test_papers_of_the_first_stop(client, keep, plan, name, kept):
    keep(steps=later(plan))
    answer = client.get(f"/machines/{plan.machine_id}/plan/{plan.pk}/papers/{name}", {"kept": "1"} if kept else {})
    assert answer.status_code == 200
    starts = {"pdf": b"%PDF", "lsx": b"PK", "ics": b"BEGIN:VCALENDAR"}
    assert answer.content.startswith(starts[name[-3:]])


def test_quote_is_offered_only_where_its_stop_has_a_price(plan, prices):
    verdict = planned(plan)[0]
    first, *rest = planned_stops(verdict, prices)
    unpriced = replace(first, jobs=tuple(replace(job, price=None) for job in first.jobs))
    assert [name for name, _ in offered([first, *rest])] == list(PLAN_PAPERS)
    assert [name for name, _ in offered([unpriced, first])] == [
        name for name in PLAN_PAPERS if name != "quote.pdf"
    ]
    assert offered([]) == ()


def test_quote_carries_the_business_and_the_customer(client, plan, actor):
    from pitchline.desk.machine.models import Machine
    from pitchline.desk.people.models import Business

    Business.objects.update(paper_name="Invented Yard Works")
    Machine.objects.update(customer="An invented customer")
    answer = client.get(f"/machines/{plan.machine_id}/plan/{plan.pk}/papers/quote.pdf")
    text = PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
    assert "Invented Yard Works" in text
    assert "An invented customer" in text
    assert "-P1" in text


def test_quote_of_the_plan_kept_has_a_number_of_its_own(client, keep, plan):
    keep(steps=later(plan))
    answer = client.get(f"/machines/{plan.machine_id}/plan/{plan.pk}/papers/quote.pdf", {"kept": "1"})
    assert "-P1-K1" in PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()


def test_new_verdict_leaves_the_old_plan_and_says_so(client, plan, priced, words):
    whole = json.loads(priced.file_text)
    whole.pop("walk_rounds", None)
    whole["hours"]["per_week"]["usual"] = 33
    post = {"text": json.dumps(whole), "why": "more work", "seen_version": priced.version}
    client.post(f"/machines/{priced.pk}/file/", post)
    text = words(client.get(f"/machines/{priced.pk}/plan/"))
    assert "Made before the newest verdict" in text
    assert "Plan on what is known now" in text


def test_strangers_plan_id_is_not_found_under_another_machine(client, plan, bring, later_machine):
    assert client.get(f"/machines/{later_machine.pk}/plan/{plan.pk}/spots/", {"stop": "1"}).status_code == 404


@pytest.fixture
def later_machine(bring, dossier):
    from dataclasses import replace

    return bring(replace(dossier, machine=replace(dossier.machine, machine_id="T2")), judged=False)


def test_queries_do_not_grow_with_the_yard(client, plan, bring, dossier):
    from dataclasses import replace

    from django.db import connection

    def count():
        with CaptureQueriesContext(connection) as seen:
            client.get(f"/machines/{plan.machine_id}/plan/")
        return len(seen)

    few = count()
    for number in range(5):
        bring(replace(dossier, machine=replace(dossier.machine, machine_id=f"N{number}")), judged=False)
    assert count() == few


def test_week_keeps_quiet_and_busy_in_proportion(dossier):
    use = with_week(dossier, 60.0).utilisation
    assert (use.low, use.usual, use.high) == pytest.approx((50.0, 60.0, 80.0))
    assert with_week(dossier, None) is dossier


def test_empty_fields_take_what_is_usual():
    asked = asked_of({}, "point")
    assert asked.settings.horizon_h == 6000
    assert asked.settings.stop_cost is None


def test_what_prices_move_is_told_of_kept_plans_too(client, keep, plan, priced, prices, words):
    """A plan costs a sum of amounts of the list: with each of them doubled it costs twice as much."""
    stop = {
        one.name: 2 * amount
        for one in fields(StopCosts)
        if isinstance(amount := getattr(prices.stop or StopCosts(), one.name), float)
    }
    dearer = replace(
        all_multiplied(prices, Times(2.0)),
        labour_per_h=2 * prices.labour_per_h,
        stop=replace(prices.stop, **stop) if prices.stop else None,
    )
    business = Business.objects.get()
    assert moves_of(business, prices, dearer).plans == ()
    keep(steps=later(plan))
    row = DecidedPlan.objects.get()
    (moved,) = moves_of(business, prices, dearer).plans
    assert (moved.machine, moved.before) == (priced, pytest.approx(row.cost, abs=0.51))
    assert moved.after == pytest.approx(2 * row.cost, abs=0.51), "to whole units"
    page = words(client.get("/prices/times/", {"percent": "200", "labour": "100", "step": "1"}))
    assert "Plans that are kept, over all their hours" in page
