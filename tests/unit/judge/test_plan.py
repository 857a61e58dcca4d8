"""The plan of one machine: what it is made from, and that it reads as the trade would expect."""

import datetime as dt
from dataclasses import replace
from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest

from pitchline.judge import judge as judge_anew
from pitchline.judge.instance import bridged
from pitchline.judge.machine_by_day import known_by
from pitchline.judge.plan_inputs import PlanInputs
from pitchline.judge.sensitivity import Sensitivity, solved
from pitchline.judge.teller import renewed_now
from pitchline.judge.what_if import _known_to_last, all_new, others
from pitchline.judge.why import _pointless
from pitchline.money.prices import PriceLine
from pitchline.money.stop_costs import StopCosts
from pitchline.outlook.expected import life_left
from pitchline.outlook.lives import lives_of
from pitchline.outlook.machine import machine_outlook
from pitchline.outlook.renewed import as_new, share_left
from pitchline.papers.plan_words import plan_head
from pitchline.papers.stop import planned_stops
from pitchline.stops.instance import Component, Stage, StageJob, StopInstance
from pitchline.stops.plan import PlannedJob, StopPlan
from pitchline.stops.planner import plan_stops
from pitchline.stops.recost import recost
from pitchline.stops.settings import PlanSettings
from pitchline.stops.thumb import chances_passed
from pitchline.trade.calls import Call
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.words import say
from pitchline.words.names import named

judge = cache(judge_anew)
"""Several tests ask the same: the same input gives the same verdict."""
SETTINGS = PlanSettings(6000.0, stop_cost=500.0)


WINDOW_H = 240.0


def made(known, outlook, prices, settings):
    """A machine as an instance, with nothing called."""
    return bridged(PlanInputs(known, outlook, prices, [], WINDOW_H, settings))


@pytest.fixture(scope="module")
def bridge(dossier, prices):
    """The test machine as an instance, with its outlook."""
    known = known_by(dossier, None)
    lives = lives_of(known.dossier, known.now_h, known.held)
    outlook = machine_outlook(lives, known.dossier.usual_ground)
    return known, outlook, made(known, outlook, prices, SETTINGS)


@pytest.fixture(scope="module")
def planned(dossier, prices):
    """On a machine on which everything wears alike a turn gains some 500 h: it has to be cheap to be worth it."""
    sprocket = PriceLine(JobKind.REPLACE, PartKind.SPROCKET, 250.0, 300.0, 380.0, 4.0)
    lines = [replace(line, labour_h=4.0) if line.job is JobKind.TURN else line for line in prices.lines]
    return judge(dossier, replace(prices, lines=(*lines, sprocket)), planning=SETTINGS, what_ifs=False)


def test_chances_of_today_are_those_of_the_outlook(bridge):
    _, outlook, whole = bridge
    hours_h = whole.instance.step_h * np.arange(1, whole.instance.steps + 1)
    for part in whole.instance.components:
        members = whole.members[part.name]
        if len(members) == 1:
            expected = outlook.limits.of([outlook.rows[members[0]]]).chance(hours_h[None])[0]
            found = np.array(part.stages[0].prob_limit_by_step[1:])
            np.testing.assert_allclose(found, expected, atol=1e-9)


def test_every_part_is_planned_or_named(bridge):
    _, outlook, whole = bridge
    planned = {member for members in whole.members.values() for member in members}
    missing = [outlook.parts[number].life for number in range(len(outlook.parts)) if number not in planned]
    waiting = [life for life in missing if life.measurand.value == "bush_od_reverse"]
    assert len(missing) == len(waiting) or whole.left_out


def test_a_new_part_begins_as_new_and_wears(bridge):
    _, outlook, _ = bridge
    left = share_left(as_new(outlook, 0), np.array([0.0, 500.0, 2000.0, 60_000.0]))
    assert left[0] == pytest.approx(1.0, abs=0.02)
    assert (np.diff(left) < 0).all()
    assert left[-1] < 0.01


def test_share_left_is_what_many_draws_say(bridge):
    """Draws from the same mixture: a rate by its weight, then normal wear, cut off at nothing left."""
    _, outlook, _ = bridge
    part = outlook.limits.of([outlook.rows[2]])
    rng, hours_h = np.random.default_rng(3), 1500.0
    weight = (part.weight[:, 0] / part.weight.sum()).ravel()
    at = rng.choice(weight.size, 200_000, p=weight)
    growth = part.rate[:, 0].ravel()[at] * hours_h
    sets = np.repeat(np.arange(part.noise.size), part.rate.shape[2])[at]
    var = part.wear_var[:, 0].ravel()[at] + part.noise[sets] * growth + (part.span_spread[sets] * growth) ** 2
    wear = rng.normal(part.wear[:, 0].ravel()[at] + growth, np.sqrt(var))
    drawn = np.maximum(1 - wear, 0.0).mean()
    assert share_left(part, np.array([hours_h]))[0] == pytest.approx(drawn, abs=0.003)


def test_the_plan_is_proven_and_costs_what_it_says(bridge):
    whole = bridge[2]
    plan = plan_stops(whole.instance)
    assert plan.proven
    assert recost(whole.instance, plan.done()) == pytest.approx(plan.expected_cost, rel=1e-9)


def test_bushes_are_turned_once_before_a_new_chain_and_near_their_turn_point(planned):
    turns = [stop.at_h for stop in planned.plan.stops for job in stop.jobs if job.kind is JobKind.TURN]
    chains = [
        stop.at_h
        for stop in planned.plan.stops
        for job in stop.jobs
        if job.kind is JobKind.REPLACE and job.part is PartKind.CHAIN
    ]
    due = next(job.due.middle for job in planned.jobs if job.kind is JobKind.TURN)
    assert turns
    assert turns[0] <= due + 800
    assert all(any(turn < chain for turn in turns) for chain in chains)


def test_a_new_chain_comes_with_a_sprocket(planned):
    for stop in planned.plan.stops:
        chains = {place.side for job in stop.jobs if job.part is PartKind.CHAIN for place in job.places}
        sprockets = {place.side for job in stop.jobs if job.part is PartKind.SPROCKET for place in job.places}
        assert chains <= sprockets
    assert any(job.part is PartKind.CHAIN for stop in planned.plan.stops for job in stop.jobs)


def test_no_job_is_done_twice_within_weeks(planned):
    seen = {}
    for stop in planned.plan.stops:
        for job in stop.jobs:
            for place in job.places:
                assert stop.at_h - seen.get((job.kind, place), -1e9) > 500
                seen[job.kind, place] = stop.at_h


def test_what_stops_the_machine_is_done_at_once(later, prices):
    roller = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3)
    leak = Finding(roller, FindingKind.LEAK, Severity.SEVERE)
    verdict = judge(later(0.45, findings=(leak,)), prices, planning=SETTINGS, what_ifs=False)
    first = verdict.plan.stops[0]
    assert first.at_h == 0
    mine = [job for job in first.jobs if roller in job.places]
    assert [job.call for job in mine] == [Call.STOP]
    assert say(mine[0].because).startswith("Seen: leak, severe")
    assert planned_stops(verdict, prices)[0].jobs[0].call is Call.STOP


def test_the_plan_is_the_cheapest_of_what_it_is_set_beside(planned):
    ways = planned.plan.beside
    assert ways[0].cost == pytest.approx(planned.plan.cost, rel=1e-9)
    assert all(way.cost >= ways[0].cost - 1e-6 for way in ways)
    assert len(ways) >= 4


@pytest.fixture(scope="module")
def new_plan(bridge):
    """The machine all new, after two attempts: to prove its cheapest plan takes forty times as long and gains 0.2 %."""
    return plan_stops(all_new(bridge[2].instance), attempts=2)


def test_all_new_never_costs_more(bridge, new_plan):
    """Nor does a plan for it that may not be the cheapest yet."""
    assert new_plan.expected_cost <= plan_stops(bridge[2].instance).expected_cost + 1e-6


def test_all_new_with_everything_done_today_is_the_same_machine_as_renewed(bridge, new_plan):
    """Knocking off what a good planner would: never less than nothing, never more than renewing everything now.

    Held for the most and the least the cheapest plan of the new machine may cost.
    """
    instance = bridge[2].instance
    today = plan_stops(instance).expected_cost
    everything = instance.stop_cost[0] + sum(group.cost[0] for group in instance.groups)
    everything += sum(max(job.cost[0] for job in part.jobs) for part in instance.components if part.jobs)
    assert today - new_plan.expected_cost >= 0
    assert today - new_plan.lower_bound <= everything


def test_twice_the_prices_twice_the_cost(dossier, prices, bridge):
    known, outlook, whole = bridge
    double = replace(
        prices,
        labour_per_h=2 * prices.labour_per_h,
        lines=tuple(
            replace(
                line,
                price_low=2 * line.price_low,
                price_usual=2 * line.price_usual,
                price_high=2 * line.price_high,
            )
            for line in prices.lines
        ),
    )
    twice = made(known, outlook, double, replace(SETTINGS, stop_cost=1000.0))
    assert plan_stops(twice.instance).expected_cost == pytest.approx(
        2 * plan_stops(whole.instance).expected_cost, rel=1e-6
    )


def test_a_sale_pays_less_for_what_is_left(dossier, prices):
    kept = judge(dossier, prices, planning=PlanSettings(4000.0, None, 500.0), what_ifs=False).plan
    sold = judge(dossier, prices, planning=PlanSettings(4000.0, 4000.0, 500.0), what_ifs=False).plan
    assert sold.cost >= kept.cost
    assert any("buyer pays" in line for line in map(say, sold.assumed))


@pytest.mark.parametrize(
    ("settings", "named"),
    [
        ({"horizon_h": 5.0}, "horizon"),
        ({"horizon_h": float("nan")}, "horizon"),
        ({"horizon_h": 4000.0, "sell_at_h": 5000.0}, "sell at"),
        ({"horizon_h": 4000.0, "stop_cost": -1.0}, "stop cost"),
        ({"horizon_h": 4000.0, "paid_share": 1.5}, "paid share"),
        ({"horizon_h": 4000.0, "discount_rate_per_year": float("inf")}, "discount rate"),
    ],
)
def test_figures_outside_their_range_are_refused(settings, named):
    with pytest.raises(NotAllowedError, match=named):
        PlanSettings(**settings)


def test_without_prices_there_is_no_plan(dossier):
    with pytest.raises(NotAllowedError, match="price list"):
        judge(dossier, None, planning=SETTINGS)


def test_what_is_not_priced_is_named(dossier, prices):
    few = replace(prices, lines=tuple(line for line in prices.lines if line.part is not PartKind.BOTTOM_ROLLER))
    plan = judge(dossier, few, planning=SETTINGS, what_ifs=False).plan
    assert any("bottom rollers" in line and "price list" in line for line in map(say, plan.left_out))
    assert "It holds what has a price alone. Not in it:" in plan_head(plan)  # where it claims to be the cheapest
    assert "To pay about" not in plan_head(plan)
    assert "What has a price comes to about" in plan_head(plan)


def test_a_page_may_have_the_plan_first_and_what_would_change_it_after(dossier, prices):
    """The same plan either way, and the same whenever it is asked for: nothing leans on a clock."""
    first = judge(dossier, prices, planning=SETTINGS, what_ifs=False).plan
    whole = judge(dossier, prices, planning=SETTINGS).plan
    assert (first.tried, first.changes, first.measuring, first.below_new) == (0, (), (), None)
    assert whole.tried > 10
    assert replace(whole, tried=0, changes=(), measuring=(), below_new=None) == first


def test_a_figure_said_to_move_the_first_stop_moves_it_and_no_other_does(dossier, full):
    """Bounds and borrowed prices must say what a search from nothing says."""
    known = known_by(dossier, None)
    outlook = machine_outlook(lives_of(known.dossier, known.now_h, known.held), known.dossier.usual_ground)
    asked = PlanInputs(known, outlook, full, [], WINDOW_H, SETTINGS)
    whole = bridged(asked)
    solver = solved(whole.instance)
    plan = solver.plan()
    told = {one.what: one.first_stop_h for one in Sensitivity(whole, plan, asked, solver.neighbour()).changes()[0]}
    for other in others(whole, plan, outlook, full):
        stops = plan_stops(other.instance, attempts=3).stops
        stays = bool(stops) and plan.stops[0].earliest_h <= stops[0].hour <= plan.stops[0].latest_h
        assert (other.said not in told) == stays
        assert stays or told[other.said] == (stops[0].hour if stops else None)


def test_what_a_way_is_paid_for_adds_up_to_its_cost(planned):
    for way in planned.plan.beside:
        money = way.money
        assert money.to_pay + money.expected_loss - money.credit == pytest.approx(way.cost, abs=1e-6)
        split = (money.jobs, money.stops, money.standing, money.losses, money.breaking, money.credit)
        assert min(split) >= -1e-6


@pytest.fixture(scope="module")
def full(prices):
    """The price list with sprockets on it, and with what an unplanned stop costs."""
    line = PriceLine(JobKind.REPLACE, PartKind.SPROCKET, 300.0, 450.0, 700.0, 4.0)
    stop = StopCosts(lorry=300.0, call_out=50.0, standing_per_h=40.0)
    return replace(prices, lines=(*prices.lines, line), stop=stop)


@pytest.fixture(scope="module")
def long_plan(dossier, full):
    return judge(dossier, full, planning=PlanSettings(15_000.0), what_ifs=False).plan


def test_every_new_chain_of_a_long_plan_has_its_sprocket(long_plan):
    chains = [
        (stop.at_h, place.side)
        for stop in long_plan.stops
        for job in stop.jobs
        if job.kind is JobKind.REPLACE and job.part is PartKind.CHAIN
        for place in job.places
    ]
    sprockets = [
        (stop.at_h, place.side)
        for stop in long_plan.stops
        for job in stop.jobs
        if job.part is PartKind.SPROCKET
        for place in job.places
    ]
    assert chains
    assert set(chains) <= set(sprockets)


def test_a_late_turn_loses_the_other_face_and_no_more(dossier, prices):
    """With no other loss, running to the end past the turn point costs half a chain, 4,100 / 2, beside new parts."""
    known = known_by(dossier, None)
    outlook = machine_outlook(lives_of(known.dossier, known.now_h, known.held), known.dossier.usual_ground)
    settings = PlanSettings(60_000.0, damage_share=0.0, overrun_times=0.0)
    whole = made(known, outlook, prices, settings)
    bushes = next(part for part in whole.plain.components if part.name == "bush/left")
    lost = sum(bushes.stages[0].penalty_by_step) - sum(whole.renewals["bush/left", 0])
    chain = 3500.0 + 12.0 * 50.0
    assert 0.3 * chain < lost < 0.6 * chain


def test_a_part_nobody_read_is_named_and_not_planned(dossier, prices):
    last = dossier.walk_rounds[-1]
    unread = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 4)
    rounds = tuple(
        replace(one, readings=tuple(r for r in one.readings if r.place != unread))
        for one in (*dossier.walk_rounds[:-1], last)
    )
    plan = judge(replace(dossier, walk_rounds=rounds), prices, planning=SETTINGS, what_ifs=False).plan
    assert "bottom roller 4, left: not read" in map(say, plan.left_out)
    assert named(unread) not in map(say, plan.idle)
    assert not any(unread in job.places for stop in plan.stops for job in stop.jobs)


def test_what_is_renewed_at_once_passes_no_limit_in_service(bridge):
    instance = bridge[2].plain
    name = instance.components[0].name
    before, after = (
        next(part for part in one.components if part.name == name).stages[0].prob_limit_by_step
        for one in (instance, renewed_now(instance, [name]))
    )
    assert after[0] == 0.0
    assert after[1:] == before[1:]
    plan = StopPlan(
        0.0, 0.0, (), (PlannedJob(name, "replace", 0, 0.0),), tuple(p.name for p in instance.components), ""
    )
    assert chances_passed(renewed_now(instance, [name]), plan)[0] == 0.0


def test_what_was_seen_and_booked_is_not_left_for_later(later, prices):
    """A clear leak is booked; the plan would run the roller to its wear."""
    roller = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3)
    leak = Finding(roller, FindingKind.LEAK, Severity.CLEAR)
    verdict = judge(later(0.2, findings=(leak,)), prices, planning=SETTINGS, what_ifs=False)
    booked = [part for part in verdict.parts if part.place == roller]
    assert booked[0].call is Call.BOOK
    soon = [stop for stop in planned_stops(verdict, prices) if stop.at_h <= verdict.window_h]
    assert any(roller in job.places for stop in soon for job in stop.jobs)
    numbers = [stop.number for stop in planned_stops(verdict, prices)]
    assert numbers[-1] == len(verdict.plan.stops)
    assert numbers == list(range(numbers[0], len(verdict.plan.stops) + 1))


def test_lay_up_of_hours_without_dates_has_no_day_and_is_never_overdue(later, prices):
    """Nobody entered hours a week: 1,700 h ahead is no day, today least of all."""
    verdict = judge(later(0.2), prices, planning=SETTINGS, what_ifs=False)
    undated = replace(verdict.plan, stops=tuple(replace(stop, day=None) for stop in verdict.plan.stops))
    ahead = [
        stop
        for stop in planned_stops(replace(verdict, plan=undated), prices, verdict.as_of + dt.timedelta(days=9))
        if stop.at_h > 0
    ]
    assert ahead
    assert not any(stop.dated or stop.overdue_since for stop in ahead)


def test_jobs_made_pointless_are_told_kind_by_kind():
    """Rollers and a sprocket are not "bottom rollers 4 and 0 left"."""
    left = [Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 4), Place(PartKind.SPROCKET, Side.LEFT)]
    jobs = [SimpleNamespace(job=JobKind.REPLACE, place=place) for place in left]
    told = say(_pointless(SimpleNamespace(pointless=lambda: jobs)))
    assert "bottom roller 4 left" in told
    assert "sprocket, left" in told


def test_a_job_on_a_part_renewed_before_does_not_tell_todays_hours(long_plan):
    seen = set()
    again = 0
    for stop in long_plan.stops:
        for job in stop.jobs:
            places = {(job.kind, place) for place in job.places}
            if places <= seen:
                again += 1
                assert job.due is None
                assert "anew" in say(job.because)
            seen |= places
    assert again


def test_the_bridge_makes_what_a_hand_makes(dossier, prices):
    """One roller by hand: chances of the outlook, losses, price and credit by the words of the explanation."""
    lines = tuple(line for line in prices.lines if line.part is PartKind.BOTTOM_ROLLER)
    stop = StopCosts(lorry=300.0, call_out=50.0, standing_per_h=20.0)
    only = replace(prices, lines=lines, stop=stop)
    known = known_by(dossier, None)
    outlook = machine_outlook(lives_of(known.dossier, known.now_h, known.held), known.dossier.usual_ground)
    whole = made(known, outlook, only, PlanSettings(6000.0))
    roller = next(part for part in whole.plain.components if part.name == "bottom_roller/right/2")
    (member,) = whole.members[roller.name]
    hours_h = 100.0 * np.arange(61)
    chance = outlook.limits.of([outlook.rows[member]]).chance(hours_h[None])[0]
    chance[0] = 0.0
    price = 180.0 + 1.5 * 50.0
    life_h = life_left(outlook)[member].as_new_h
    per_h, stop_cost = 4 * price / life_h, 350.0 + 8 * 20.0
    # Worn out it works on; three quarters of its price, at four lives' pace, ruin it, and it stops the machine.
    gone_h = np.maximum(hours_h - 0.75 / 4 * life_h, 0.0)
    broken = np.where(gone_h > 0, outlook.limits.of([outlook.rows[member]]).chance(gone_h[None])[0], 0.0)
    hours = [100.0 * (some[1:] + some[:-1]) / 2 for some in (chance - broken, broken)]
    loss = 0.25 * price * np.diff(chance) + per_h * hours[0]
    loss += stop_cost * np.diff(broken) + (stop_cost + price + 1.5 * 20.0) / life_h * hours[1]
    credit = price * share_left(outlook.limits.of([outlook.rows[member]]), hours_h)
    np.testing.assert_allclose(roller.stages[0].penalty_by_step, loss, rtol=1e-9)
    np.testing.assert_allclose(roller.stages[0].end_credit_by_age, credit, rtol=1e-9)
    plain = next(part for part in whole.plain.components if part.name == roller.name)
    assert plain.jobs[0].cost == pytest.approx((price + 1.5 * 20.0,) * 60)
    assert whole.instance.stop_cost == (350.0,) * 60
    by_hand = Component(
        roller.name,
        (Stage("current", tuple(chance.tolist()), tuple(loss.tolist()), tuple(credit.tolist())), roller.stages[1]),
        tuple(StageJob("replace", stage, 1, (price + 30.0,) * 60) for stage in (0, 1)),
    )
    year_h = 30.0 * 365.25 / 7
    hand = StopInstance("hand", 60, 100.0, year_h, 0.0, (350.0,) * 60, (), (by_hand,), ())
    alone = replace(whole.instance, groups=(), rules=(), components=(roller,))
    assert plan_stops(hand).expected_cost == pytest.approx(plan_stops(alone).expected_cost, rel=1e-9)
    assert plan_stops(hand).stop_steps == plan_stops(alone).stop_steps


def test_bushes_known_to_be_due_lose_the_turn_and_then_the_limit(bridge):
    """Known to reach the turn point at 1,000 h: nothing lost before, half a chain by the limit, the limit's loss after."""
    whole = bridge[2]
    turning = whole.turning["bush/left"]
    known = _known_to_last(whole, "bush/left", ((1.0, 1000.0),))
    first = next(part for part in known.components if part.name == "bush/left").stages[0]
    steps = round(turning.rest_h / known.step_h)
    assert sum(first.penalty_by_step[:10]) == pytest.approx(0.0, abs=1e-9)
    assert sum(first.penalty_by_step[: 10 + steps - 1]) == pytest.approx(turning.lost_per_h * (steps - 1) * 100.0)
    assert turning.lost_per_h * turning.rest_h == pytest.approx((3500.0 + 12.0 * 50.0) / 2)
    assert first.prob_limit_by_step[10 + steps - 1] == 0.0
