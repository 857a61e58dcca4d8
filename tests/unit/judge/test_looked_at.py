"""What nobody read or looked at has no call, and no machine is run while what can stop it was passed by: our own rule."""

import datetime as dt
from dataclasses import replace

import pytest

from pitchline.demo.yard import build_yard
from pitchline.judge import judge
from pitchline.judge.called import before_it_works, cost_within, next_job
from pitchline.judge.looked import can_stop
from pitchline.papers import words
from pitchline.papers.buyer import sum_told
from pitchline.papers.stop import next_stop
from pitchline.papers.story import boxes
from pitchline.papers.work_order import TO_DECIDE, work_order_story
from pitchline.trade.calls import Call
from pitchline.trade.dossier import Event, PartEvent
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import WalkRound
from pitchline.trade.saying import says
from pitchline.trade.units import UnitSystem
from pitchline.words import say
from pitchline.words.called import part_called
from pitchline.words.labels import quantity
from pitchline.words.places import kinds_in_words, places_in_words

LEFT, RIGHT = Side.LEFT, Side.RIGHT
DRIVE, LINK = Place(PartKind.FINAL_DRIVE, LEFT), Place(PartKind.LINK, RIGHT)
RING = Place(PartKind.SLEW_RING, Side.NONE)


def part_of(verdict, place):
    return next(part for part in verdict.parts if part.place == place)


@pytest.fixture
def only(dossier):
    """A factory: the machine with one walk-round, of which only some readings and findings stand."""

    def make(*readings, findings=(), looked_over=(), hours_h=3000.0):
        day = WalkRound(dt.date(2026, 9, 7), hours_h, readings, findings, looked_over=looked_over)
        return replace(dossier, walk_rounds=(day,))

    return make


@pytest.mark.parametrize("hours_h", [1100.0, 4000.0, 20_000.0])
def test_nobody_looked_so_nothing_is_called(only, prices, hours_h):
    verdict = judge(only(hours_h=hours_h), prices)
    assert {part.call for part in verdict.parts} == {verdict.call} == {Call.UNJUDGED}
    assert {say(part.reason) for part in verdict.parts} == {
        "Not read and not looked at: no call.",
        "Not looked at on the last walk-round: no call.",
    }
    assert (verdict.jobs, verdict.sets, verdict.next_due) == ((), (), None)
    assert verdict.money_window.high == 0
    assert all(part.due is None and not part.looked_at for part in verdict.parts)
    assert verdict.looked_at == (0, 31)
    assert say(verdict.headline) == "None of 31 parts was looked at: no verdict on the machine."


def test_one_part_read_is_no_verdict_on_the_machine(only, reading):
    verdict = judge(only(reading(PartKind.LINK, RIGHT, Measurand.RAIL_HEIGHT, 108.0)))
    assert part_of(verdict, LINK).call is Call.RUN
    assert verdict.call is Call.UNJUDGED
    assert say(verdict.headline) == "Only 1 of 31 parts was looked at: no verdict on the machine."


def test_hours_by_age_stay_beside_a_part_that_was_not_read(dossier, walk_round):
    fresh = walk_round("2026-09-07", 3000.0, 0.33, sides=(LEFT,))
    verdict = judge(replace(dossier, walk_rounds=(fresh,)))
    part = part_of(verdict, LINK)
    assert (part.call, part_called(part), part.job, part.due) == (Call.UNJUDGED, "not read", None, None)
    assert part.judged[0].status == "not read"
    assert part.judged[0].to_limit.middle > 0
    assert not any(LINK in job.places for job in verdict.jobs)


@pytest.mark.parametrize("place", [DRIVE, RING, Place(PartKind.TRACK_ADJUSTER, RIGHT)])
def test_no_machine_is_run_while_what_can_stop_it_was_passed_by(dossier, walk_round, place):
    whole = judge(dossier)
    assert whole.call is Call.RUN
    first, last = dossier.walk_rounds
    looked = tuple(each for each in last.looked_over if each != place)
    verdict = judge(replace(dossier, walk_rounds=(first, replace(last, looked_over=looked))))
    assert verdict.call is Call.UNJUDGED
    assert verdict.looked_at == (30, 31)
    assert say(verdict.headline).startswith("Nothing seen asks for work, but 1 of 31 parts was not looked at: ")
    assert "Run" not in say(verdict.headline)


def test_work_is_booked_but_not_said_to_be_worked_where_something_was_passed_by(later):
    verdict = judge(later(0.47))
    assert say(verdict.headline).startswith("Work it, and book: turn bushes, left and right.")
    machine = later(0.47)
    last = replace(machine.walk_rounds[-1], looked_over=())
    verdict = judge(replace(machine, walk_rounds=(*machine.walk_rounds[:-1], last)))
    assert verdict.call is Call.BOOK
    assert say(verdict.headline).startswith(
        "Book: turn bushes, left and right. 11 of 31 parts were not looked at: upper rollers, "
    )


def test_a_part_read_earlier_keeps_its_call_and_says_when(dossier, walk_round):
    last = walk_round("2026-11-02", 3200.0, 0.36, sides=(LEFT,), passed_by=(LINK,))
    verdict = judge(replace(dossier, walk_rounds=(*dossier.walk_rounds, last)))
    part = part_of(verdict, LINK)
    assert part.call is Call.RUN
    assert not part.looked_at
    assert say(part.reason).endswith("Last read on 7 Sep 2026.")
    assert verdict.call is Call.UNJUDGED


def test_a_finding_carried_over_is_nobody_looking(dossier):
    *before, last = dossier.walk_rounds
    looked = tuple(each for each in last.looked_over if each != DRIVE)
    note = "last seen 2 Mar 2026, not looked over since"
    leak = Finding(DRIVE, FindingKind.LEAK, Severity.SLIGHT, note=note, last_seen_on=dt.date(2026, 3, 2))
    verdict = judge(replace(dossier, walk_rounds=(*before, replace(last, findings=(leak,), looked_over=looked))))
    assert not part_of(verdict, DRIVE).looked_at
    assert verdict.call is Call.UNJUDGED
    fresh = replace(leak, last_seen_on=None)  # whatever a note says, it is a person's own words
    verdict = judge(replace(dossier, walk_rounds=(*before, replace(last, findings=(fresh,), looked_over=looked))))
    assert part_of(verdict, DRIVE).looked_at


def test_a_part_fitted_since_was_in_somebodys_hands_but_not_read(later):
    fitted = PartEvent(Place(PartKind.SHOE, LEFT), Event.FITTED_NEW, 3600.0)
    machine = later(0.40)
    verdict = judge(replace(machine, events=(*machine.events, fitted)))
    part = part_of(verdict, fitted.place)
    assert (part.call, part.looked_at) == (Call.UNJUDGED, True)
    assert say(part.reason) == "Fitted new at 3,600 h, and not read since."


def test_every_part_with_a_severe_crack_can_stop_a_machine():
    assert all(can_stop(part) for part in (PartKind.SLEW_RING, PartKind.FINAL_DRIVE, PartKind.BOTTOM_ROLLER))


def test_long_lists_are_drawn_together():
    rollers = tuple(
        Place(PartKind.BOTTOM_ROLLER, side, number) for side in (LEFT, RIGHT) for number in range(1, 9)
    )
    assert places_in_words(rollers) == "bottom rollers 1 to 8, left and right"
    assert places_in_words(rollers[1:]) == "bottom rollers 2 to 8 left, 1 to 8 right"
    others = (DRIVE, RING, LINK, Place(PartKind.IDLER, LEFT, 1))
    said = kinds_in_words([("all", rollers), *(("the_one", [place]) for place in others)])
    assert said == "bottom rollers, final drive, slew ring and 2 more kinds of part"


def test_a_round_of_one_side_says_that_the_other_is_missing(dossier):
    last = dossier.walk_rounds[-1]
    left = [one for one in dossier.gear.places() if one.side is Side.LEFT]
    mine = replace(
        last,
        readings=tuple(one for one in last.readings if one.place.side is Side.LEFT),
        findings=(),
        looked_over=tuple(left),
    )
    said = say(judge(replace(dossier, walk_rounds=(mine,)), as_of=mine.date).headline)
    assert "Nobody looked at the right side: go round it too for a verdict on both." in said


def test_an_idler_that_is_alone_on_its_side_has_no_number(only, dossier):
    """Whoever stands beside a machine with one idler a side knows no "idler 1"; bottom rollers are told apart."""
    passed = (Place(PartKind.IDLER, LEFT, 1), Place(PartKind.BOTTOM_ROLLER, LEFT, 1))
    looked_over = tuple(place for place in dossier.gear.places() if place not in passed)
    said = say(judge(only(looked_over=looked_over)).headline)
    assert "idler, left" in said
    assert "idler 1" not in said
    assert "bottom roller 1 left" in said


def test_what_wears_a_part_is_looked_for_before_a_new_one_goes_on(demo_priced):
    """A rubber track with its cord showing and worn to one side must not work: common practice, no source."""
    verdict = demo_priced(2)
    now, _ = before_it_works(verdict.jobs)
    assert [job.kind for job in now] == [JobKind.INVESTIGATE, JobKind.REPLACE]
    assert now[0].places == now[1].places
    assert next_job(verdict) is now[0]
    assert verdict.money_now.usual == pytest.approx(sum(job.price.usual for job in now))
    assert now[0].price.usual > 0
    first, right_now, _ = boxes(verdict)
    assert "look into rubber track" in first.label
    assert "look into rubber track" in " ".join(right_now.lines)


def test_what_is_meant_of_one_place_names_it(demo_priced):
    """Of three rollers that are due, one was read past its limit."""
    (job,) = [
        job
        for job in demo_priced(6).jobs
        if job.call is Call.BOOK
        and job.part is PartKind.BOTTOM_ROLLER
        and "read past its limit" in say(job.because)
    ]
    assert len(job.places) > 1
    assert say(job.because).startswith("Bottom roller 2, right: ")


def test_a_part_goes_by_the_job_its_smaller_one_goes_into(demo_priced):
    """A track with cord showing is renewed for its lugs: it is not looked into as well."""
    verdict = demo_priced(2)
    right = next(part for part in verdict.parts if part.place == Place(PartKind.RUBBER_TRACK, Side.RIGHT))
    (job,) = [job for job in verdict.jobs if right.place in job.places and job.call.asks]
    assert (right.job, right.stake, right.call) == (job.kind, job.stake, job.call)
    assert right.job is JobKind.REPLACE


@pytest.mark.parametrize("number", [2, 4, 6, 7, 16])
def test_work_of_the_next_thousand_hours_is_one_sum(demo_priced, number):
    """By hand, from the verdict: what is due now, what is taken along, and of the rest each part by its own hours."""
    verdict = demo_priced(number)
    left = {part.place: part.due for part in verdict.parts if part.call is not Call.UNJUDGED}
    usual = sum(
        job.price.usual for job in verdict.jobs if job.price and (job.call.asks or (job.along and not job.due))
    )
    for job in verdict.jobs:
        if job.price and not job.call.asks and job.due:
            each = job.price.usual / len(job.places)
            usual += sum(each for place in job.places if (left.get(place) or job.due).middle <= 1000)
    money = cost_within(verdict, 1000.0)
    assert money.usual == pytest.approx(usual)
    assert money.low <= money.usual <= money.high
    assert money.usual >= verdict.money_window.usual
    assert f"{words.amount(money.usual, 'EUR')}" in sum_told(verdict)
    assert cost_within(verdict, 1e4).usual >= money.usual
    assert cost_within(verdict, verdict.window_h) is None


def test_before_a_turn_is_decided_both_faces_and_the_rails_are_measured(demo_priced):
    """The other face was never read on this machine: it has a line on the order all the same."""
    verdict = demo_priced(7)
    (turn,) = [job for job in verdict.jobs if says(job.because, "turn.measure_before_deciding", "decided")]
    order = work_order_story(verdict, next_stop(verdict, build_yard().prices), UnitSystem.METRIC)
    (told,) = [one for one in order["jobs"] if one["title"].casefold().startswith("turn bushes")]
    asked = [row["quantity"] for row in told["rows"]]
    assert [asked.count(quantity(one)) for one in TO_DECIDE] == 3 * [len(turn.places)]
