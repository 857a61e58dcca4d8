"""What a verdict says of one invented machine."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from pitchline.demo.yard import build_yard
from pitchline.judge import judge
from pitchline.trade.calls import Call, CallRule, Stake
from pitchline.trade.dossier import Event, PartEvent, PermittedRange, Utilisation
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.jobs import Caution, JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import Writing, writing
from pitchline.words import say

LEFT, RIGHT = Side.LEFT, Side.RIGHT
BUSHES, CHAIN, SHOES = (Place(part, LEFT) for part in (PartKind.BUSH, PartKind.CHAIN, PartKind.SHOE))
ROLLER = Place(PartKind.BOTTOM_ROLLER, LEFT, 3)


def part_of(verdict, place):
    return next(part for part in verdict.parts if part.place == place)


def job_of(verdict, kind, part):
    return next(job for job in verdict.jobs if job.kind is kind and job.part is part)


def test_a_machine_without_walk_rounds_says_what_to_do(dossier):
    with pytest.raises(NotAllowedError, match=r"at least one walk-round.*--sheet"):
        judge(replace(dossier, walk_rounds=()))


def test_every_part_of_the_machine_is_in_the_verdict(dossier):
    verdict = judge(dossier)
    assert tuple(part.place for part in verdict.parts) == dossier.gear.places()


def test_the_same_dossier_gives_the_same_verdict(dossier, prices):
    assert judge(dossier, prices) == judge(dossier, prices)


def test_later_walk_rounds_are_left_out(dossier, later):
    assert judge(later(), as_of=dt.date(2026, 9, 7)) == judge(dossier)


def test_hours_are_carried_on_to_a_later_day(dossier):
    verdict = judge(dossier, as_of=dt.date(2026, 9, 21))
    assert verdict.from_service_h == pytest.approx(3060.0)
    assert "carried on by 30 h a week" in say(verdict.from_reason)
    there, here = (part_of(v, SHOES).due.middle for v in (judge(dossier), verdict))
    assert there - here == pytest.approx(60.0, abs=2.0)


def test_worn_evenly_at_a_known_rate_the_middle_figure_is_the_plain_one(dossier):
    """A third worn in 2,000 h leaves about 4,000 h; the weak prior may move that by a tenth."""
    limit = part_of(judge(dossier), SHOES).judged[0].to_limit
    assert limit.middle == pytest.approx(2000 / 0.33 - 2000, rel=0.10)
    assert limit.cautious < limit.middle < limit.hopeful


def test_bushes_are_booked_for_turning_near_half_worn(later):
    """At 2,600 h; a third in the first 2,000 h makes half in 3,030 h, 430 h from now; the last reading alone 166 h."""
    part = part_of(judge(later(0.47)), BUSHES)
    assert (part.call, part.job) == (Call.BOOK, JobKind.TURN)
    assert part.judged[0].to_turn.middle < 430 < part.judged[0].to_limit.middle
    assert part.judged[0].after_turn.middle > 2000


def test_turned_bushes_are_not_turned_again(dossier, later):
    turned = PartEvent(BUSHES, Event.TURNED, 3000.0)
    machine = later(0.47, events=(*dossier.events, turned))
    last = machine.walk_rounds[-1]
    alone = tuple(
        replace(one, tool=DEFAULT_TOOLS["depth_gauge"]) if one.place == BUSHES else one for one in last.readings
    )
    machine = replace(machine, walk_rounds=(*machine.walk_rounds[:-1], replace(last, readings=alone)))
    part = part_of(judge(machine), BUSHES)
    assert part.judged[0].to_turn is None
    assert part.job is JobKind.REPLACE
    assert part.judged[0].readings == 1


def test_turning_brings_the_pitch_back(dossier, later):
    """Common practice, no source: turning bushes renews the pitch, so its readings before the turn are another life's."""
    turned = PartEvent(BUSHES, Event.TURNED, 3000.0)
    verdict = judge(later(0.05, events=(*dossier.events, turned), sides=(LEFT,)))
    pitch = part_of(verdict, CHAIN).judged[0]
    assert pitch.readings == 1
    assert pitch.life_used == pytest.approx(0.05, abs=0.1)


def test_past_the_limit_is_now_and_stops_what_it_ruins(worn):
    """Bushes worn through ruin a chain; a worn roller tread works on at its owner's cost. Design; common practice, no source."""
    verdict = judge(worn(1.25))
    roller, bush = part_of(verdict, ROLLER), part_of(verdict, Place(PartKind.BUSH, LEFT))
    assert (roller.call, roller.stake) == (Call.BOOK, Stake.WORN_OUT)
    assert (bush.call, bush.stake) == (Call.STOP, Stake.RUINS)
    assert roller.due.middle == 0
    assert "past its limit already" in say(roller.reason)
    assert verdict.call is Call.STOP
    assert say(verdict.headline).startswith("Do not work it")


def test_a_grouser_worn_out_alone_does_not_stop_the_machine(later, reading):
    """Case c33 of the issue's findings: nobody takes a machine out of use for its grousers."""
    machine = later(0.3)
    last = machine.walk_rounds[-1]
    low = reading(PartKind.SHOE, LEFT, Measurand.GROUSER_HEIGHT, 4.0, kept_because="measured twice")
    others = tuple(one for one in last.readings if one.place != SHOES)
    verdict = judge(replace(machine, walk_rounds=(replace(last, readings=(*others, low)),)))
    assert (part_of(verdict, SHOES).call, verdict.call) == (Call.BOOK, Call.BOOK)


def test_no_turn_where_the_chain_is_due_anyway(worn):
    verdict = judge(worn(1.25))
    assert not any(job.kind is JobKind.TURN for job in verdict.jobs)


def test_a_severe_leak_stops_the_machine_whatever_is_left(later):
    leak = Finding(ROLLER, FindingKind.LEAK, Severity.SEVERE)
    verdict = judge(later(0.2, findings=(leak,)))
    assert part_of(verdict, ROLLER).call is verdict.call is Call.STOP
    job = job_of(verdict, JobKind.REPLACE, PartKind.BOTTOM_ROLLER)
    assert job.places == (ROLLER,)
    assert job.cautions[0] is Caution.UNSAFE_MACHINE
    assert {Caution.GREASE_PRESSURE, Caution.RAISED_MACHINE} <= set(job.cautions)


def test_findings_of_earlier_walk_rounds_do_not_count(dossier, walk_round, later):
    leak = Finding(ROLLER, FindingKind.LEAK, Severity.SEVERE)
    seen = replace(dossier.walk_rounds[1], findings=(leak,))
    fresh = later()
    verdict = judge(replace(fresh, walk_rounds=(dossier.walk_rounds[0], seen, fresh.walk_rounds[2])))
    assert part_of(verdict, ROLLER).findings == ()


def test_a_part_without_limit_is_recorded_and_never_guessed(dossier, later):
    kept = tuple(limit for limit in dossier.limits if limit.part is not PartKind.SHOE)
    verdict = judge(later(limits=kept))
    part = part_of(verdict, SHOES)
    assert (part.call, part.job, part.due) == (Call.UNJUDGED, None, None)
    assert say(part.reason).startswith("No limit entered")
    assert part.judged[0].reading is not None
    assert any("No limit entered" in remark and "grouser height" in remark for remark in map(say, verdict.remarks))


def test_a_machine_is_not_called_run_where_most_of_it_is_unjudged(dossier):
    """Nobody reads "run" off a machine of which nobody knows more than its chain."""
    chain = tuple(limit for limit in dossier.limits if limit.part is PartKind.CHAIN)
    verdict = judge(replace(dossier, limits=chain))
    calls = {part.place.part: part.call for part in verdict.parts}
    assert calls[PartKind.CHAIN] is Call.RUN
    assert calls[PartKind.LINK] is calls[PartKind.BOTTOM_ROLLER] is Call.UNJUDGED
    assert calls[PartKind.FINAL_DRIVE] is Call.RUN
    assert verdict.call is Call.UNJUDGED
    wearing = [part for part in verdict.parts if any(one.status != "setting" for one in part.judged)]
    unjudged = [part for part in verdict.parts if part.call is Call.UNJUDGED]
    assert f"{len(unjudged)} of {len(wearing)} parts" in say(verdict.headline)
    assert "Too little is known" in say(verdict.headline)


def test_one_kind_without_a_limit_is_named_beside_run(dossier):
    kept = tuple(limit for limit in dossier.limits if limit.part is not PartKind.SHOE)
    verdict = judge(replace(dossier, limits=kept))
    assert verdict.call is Call.RUN
    assert "on what could be judged" in say(verdict.headline)
    assert "not read or without a limit: shoes, " in say(verdict.headline)


def test_work_on_an_unjudged_part_is_still_called(dossier, later):
    """A severe leak stops the machine though nothing is known of its wear."""
    leak = Finding(ROLLER, FindingKind.LEAK, Severity.SEVERE)
    verdict = judge(replace(later(0.2, findings=(leak,)), limits=()))
    assert part_of(verdict, ROLLER).call is verdict.call is Call.STOP
    assert "Nothing is said of the wear of 25 of 25 parts" in say(verdict.headline)


def test_a_part_not_read_is_measured_before_it_is_changed(later):
    verdict = judge(later(1.1, sides=(LEFT,)))
    unread = part_of(verdict, Place(PartKind.IDLER, LEFT, 1))
    assert unread.call is Call.UNJUDGED
    before = judge(replace(later(), walk_rounds=later(1.3, sides=(LEFT,)).walk_rounds[2:]))
    right = part_of(before, Place(PartKind.LINK, RIGHT))
    assert right.call is not Call.STOP
    assert right.judged[0].status == "not read"


def test_a_slip_is_held_back_until_it_is_kept(later, reading):
    def slipped(kept_because):
        height = reading(PartKind.LINK, LEFT, Measurand.RAIL_HEIGHT, 10.55, kept_because=kept_because)
        machine = later(0.45)
        last = machine.walk_rounds[-1]
        same = [r for r in last.readings if not (r.place == height.place and r.measurand is height.measurand)]
        return judge(
            replace(machine, walk_rounds=(*machine.walk_rounds[:-1], replace(last, readings=(*same, height))))
        )

    rail = Place(PartKind.LINK, LEFT)
    held = slipped("")
    assert part_of(held, rail).judged[0].status == "held back"
    assert part_of(held, rail).judged[0].readings == 2
    assert held.suspicions[0].instead_m == pytest.approx(0.1055)
    kept = slipped("measured twice")
    assert part_of(kept, rail).judged[0].readings == 3
    assert part_of(kept, rail).call is Call.BOOK


def test_a_slack_track_is_adjusted_with_the_grease_caution(later, reading):
    band = PermittedRange(PartKind.CHAIN, Measurand.SAG, 0.030, 0.050)
    slack = reading(PartKind.CHAIN, LEFT, Measurand.SAG, 70.0, tool="rule")
    verdict = judge(later(0.3, slack, ranges=(band,)))
    job = job_of(verdict, JobKind.ADJUST, PartKind.CHAIN)
    assert job.places == (CHAIN,)
    assert job.cautions[0] is Caution.GREASE_PRESSURE
    assert "70.0 mm" in say(job.because)
    with writing(Writing(units=UnitSystem.IMPERIAL)):
        assert "2.76 in" in say(job.because)


@pytest.mark.parametrize(("extension_mm", "job"), [(90.0, JobKind.INVESTIGATE), (110.0, JobKind.REMOVE_JOINT)])
def test_a_joint_comes_out_only_once_half_a_pitch_is_used(later, reading, extension_mm, job):
    """Dropping one joint draws the idler back by half a pitch (loop geometry): 100 mm at a pitch of 200 mm."""
    band = PermittedRange(PartKind.TRACK_ADJUSTER, Measurand.ADJUSTER_EXTENSION, 0.0, 0.080)
    out = reading(PartKind.TRACK_ADJUSTER, LEFT, Measurand.ADJUSTER_EXTENSION, extension_mm, tool="rule")
    turned = PartEvent(BUSHES, Event.TURNED, 3000.0)
    verdict = judge(later(0.45, out, ranges=(band,), events=(turned,)))
    assert any(found.kind is job and LEFT in {place.side for place in found.places} for found in verdict.jobs)


def told(job):
    return [(say(piece), count) for piece, count in job.parts_needed]


def test_counts_come_from_the_running_gear(worn):
    verdict = judge(worn(1.2))
    chain = job_of(verdict, JobKind.REPLACE, PartKind.CHAIN)
    assert told(chain) == [("chain of 45 joints", 2), ("shoe bolt and nut", 2 * 45 * 4)]
    shoes = job_of(verdict, JobKind.RESHOE, PartKind.SHOE)
    assert told(shoes) == [("shoe", 90)]
    rollers = job_of(verdict, JobKind.REPLACE, PartKind.BOTTOM_ROLLER)
    assert told(rollers) == [("bottom roller, two flanges", 2), ("bottom roller, one flange", 8)]


def test_price_is_parts_and_labour_by_the_list(worn, prices):
    """By hand: 2 chains at 3,500 and 2 x 12 h at 50."""
    chain = job_of(judge(worn(1.2), prices), JobKind.REPLACE, PartKind.CHAIN)
    assert chain.labour_h == 24.0
    assert (chain.price.low, chain.price.usual, chain.price.high) == (7200.0, 8200.0, 9600.0)


def test_what_is_not_priced_is_listed(worn, prices):
    verdict = judge(worn(1.2), prices)
    assert "replace sprocket: not on the price list" in map(say, verdict.not_priced)
    assert job_of(verdict, JobKind.REPLACE, PartKind.SPROCKET).price is None
    bare = judge(worn(1.2))
    assert bare.money_now is None
    assert all("no price list given" in say(line) for line in bare.not_priced)


def with_cheap_turns(prices):
    """The same list with turns of 170 a side: worth it on a machine on which everything wears alike."""
    lines = [replace(line, labour_h=1.0) if line.job is JobKind.TURN else line for line in prices.lines]
    return replace(prices, lines=tuple(lines))


def test_money_inside_the_window_holds_what_stops_it_now(later, prices):
    prices = with_cheap_turns(prices)
    leak = Finding(ROLLER, FindingKind.LEAK, Severity.SEVERE)
    verdict = judge(later(0.47, findings=(leak,)), prices)
    assert verdict.money_now.usual == 180.0 + 1.5 * 50.0
    assert verdict.money_window.low <= verdict.money_window.usual <= verdict.money_window.high
    assert verdict.money_window.high >= verdict.money_now.high + 2 * (150.0 + 1 * 50.0)


def test_money_inside_the_window_is_the_sum_of_the_jobs_called(later, prices):
    prices = with_cheap_turns(prices)
    leak = Finding(ROLLER, FindingKind.LEAK, Severity.SEVERE)
    verdict = judge(later(0.47, findings=(leak,)), prices)
    called = [job.price for job in verdict.jobs if job.call.asks and job.price is not None]
    assert len(called) > 1
    assert verdict.money_window.usual == pytest.approx(sum(price.usual for price in called))
    assert verdict.money_window.high == pytest.approx(sum(price.high for price in called))


def test_twice_the_prices_twice_the_money(later, prices):
    twice = replace(
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
    one, two = judge(later(0.47), prices), judge(later(0.47), twice)
    assert two.money_window.high == pytest.approx(2 * one.money_window.high)


def test_hours_become_days_by_the_hours_a_week(dossier):
    part = part_of(judge(dossier), SHOES)
    weeks = (part.due.cautious / 40, part.due.middle / 30, part.due.hopeful / 25)
    days = (part.dates.cautious, part.dates.middle, part.dates.hopeful)
    for week, day in zip(weeks, days, strict=True):
        assert abs((day - dt.date(2026, 9, 7)).days - week * 7) <= 1


def test_without_hours_a_week_there_are_no_days(later):
    verdict = judge(later(0.3, utilisation=None))
    assert verdict.window_h == 8 * 40
    assert part_of(verdict, SHOES).dates is None
    assert any("No hours a week" in remark for remark in map(say, verdict.remarks))


def test_a_longer_booking_window_books_more(later):
    short = judge(later(0.40, call_rule=CallRule(booking_window_weeks=1)))
    long = judge(later(0.40, call_rule=CallRule(booking_window_weeks=52)))
    booked = [sum(part.call is Call.BOOK for part in verdict.parts) for verdict in (short, long)]
    assert booked[0] < booked[1]


def test_the_first_of_a_set_comes_before_any_one_of_it(dossier):
    verdict = judge(dossier)
    rollers = next(one for one in verdict.sets if one.part is PartKind.BOTTOM_ROLLER)
    assert len(rollers.places) == 10
    singles = [part_of(verdict, place).judged[0].to_limit.middle for place in rollers.places]
    assert rollers.first.middle < min(singles)


def test_more_hours_a_week_bring_the_day_nearer(dossier):
    slow, fast = (judge(replace(dossier, utilisation=Utilisation(h, h, h))) for h in (20.0, 40.0))
    assert fast.next_due_dates.middle < slow.next_due_dates.middle
    assert fast.next_due.middle == slow.next_due.middle


def test_hours_do_not_count_when_nothing_has_a_limit(dossier):
    verdict = judge(replace(dossier, limits=()))
    assert verdict.next_due is None
    assert verdict.call is Call.UNJUDGED
    assert "no wear could be judged" in say(verdict.headline)
    assert any("hours left cannot be given" in remark for remark in map(say, verdict.remarks))


def test_why_names_reading_sizes_start_and_typical_life(dossier):
    why = {line.what: line for line in part_of(judge(dossier), SHOES).judged[0].why}
    assert say(why["sizes"].said) == "new 26.0 mm, limit 12.0 mm"
    assert say(why["start"].said) == "fitted new at 1,000 h"
    assert "our assumption" in say(why["typical life"].source)
    assert "at 95 %" in say(why["reading"].said)


def test_line_through_the_readings_is_shown_beside_when_it_can_say(later):
    """0.20 at 2,200 h, 0.33 at 3,000 h, 0.45 at 3,600 h: least squares by numpy.polyfit gives the middle crossing."""
    line = part_of(judge(later(0.45)), SHOES).judged[0].line_only
    slope, intercept = np.polyfit([2200.0, 3000.0, 3600.0], [0.20, 0.33, 0.45], 1)
    assert line.middle_h == pytest.approx((1 - intercept) / slope - 3600, abs=0.5)
    assert line.low_h < line.middle_h < line.high_h


def test_a_reading_past_the_limit_asks_for_work_even_if_it_is_hard_to_believe(later, reading):
    """Worn by a third at 3,000 h and read past the limit 600 h later."""
    machine = later(0.40)
    last = machine.walk_rounds[-1]
    place = Place(PartKind.LINK, LEFT)
    high = reading(PartKind.LINK, LEFT, Measurand.RAIL_HEIGHT, 98.0, kept_because="measured twice")
    others = tuple(r for r in last.readings if r.place != place)
    verdict = judge(
        replace(machine, walk_rounds=(*machine.walk_rounds[:-1], replace(last, readings=(*others, high))))
    )
    assert part_of(verdict, place).call is Call.BOOK


def test_a_reading_just_past_the_limit_is_measured_again_though_its_doubt_is_wide(later, reading):
    """One walk-round, a tool nobody noted: the outlook leans on the other parts, and the reading must still be heard."""
    machine = later(0.60)
    last = machine.walk_rounds[-1]
    place = Place(PartKind.LINK, LEFT)
    high = reading(PartKind.LINK, LEFT, Measurand.RAIL_HEIGHT, 99.99, tool="unknown")
    others = tuple(one for one in last.readings if one.place != place)
    verdict = judge(replace(machine, walk_rounds=(replace(last, readings=(*others, high)),)))
    part = part_of(verdict, place)
    assert part.judged[0].to_limit.chance_now < 0.5
    assert (part.call, part.job) == (Call.BOOK, JobKind.MEASURE)
    assert "read past its limit" in say(part.reason)


def test_one_repeat_far_from_the_others_is_held_back(later, reading):
    """Two swapped digits in one of three passes: 694 typed as 649, as a new user did."""
    machine = later(0.40)
    last = machine.walk_rounds[-1]
    place = Place(PartKind.CHAIN, LEFT)
    slipped = reading(PartKind.CHAIN, LEFT, Measurand.PITCH, 809.5, 890.0, 809.0, joints=4, tool="tape")
    others = tuple(r for r in last.readings if r.place != place)
    verdict = judge(
        replace(machine, walk_rounds=(*machine.walk_rounds[:-1], replace(last, readings=(*others, slipped))))
    )
    (asked,) = [one for one in verdict.suspicions if one.reading == slipped]
    assert asked.held
    assert asked.instead_m == pytest.approx(0.8095)
    assert part_of(verdict, place).judged[0].status == "held back"


def test_a_pitch_limit_over_four_joints_is_refused(later):
    machine = later(0.40)
    wrong = tuple(
        replace(limit, new_m=0.800, limit_m=0.824) if limit.measurand is Measurand.PITCH else limit
        for limit in machine.limits
    )
    with pytest.raises(NotAllowedError, match="one joint"):
        judge(replace(machine, limits=wrong))


@pytest.mark.parametrize(
    ("entered", "told"), [((25.0, 30.0, 40.0), False), ((4.0, 6.0, 8.0), True), ((90.0, 100.0, 110.0), True)]
)
def test_hours_far_from_those_entered_a_week_are_told(dossier, entered, told):
    """800 h in 27 weeks are 30 h a week."""
    verdict = judge(replace(dossier, utilisation=Utilisation(*entered)))
    said = [remark for remark in map(say, verdict.remarks) if "h a week, and" in remark]
    assert bool(said) is told
    assert all("about 30 h a week" in remark for remark in said)


def test_a_chain_that_has_hours_by_its_rails_is_not_said_to_have_none():
    """Its pitch was never read on the right, its rails were: it has a call and hours, so its wear is not passed over."""
    yard = build_yard()
    dossier = yard.machine(17).with_sheet
    rounds = tuple(
        replace(
            one,
            readings=tuple(
                r for r in one.readings if (r.measurand, r.place.side) != (Measurand.PITCH, Side.RIGHT)
            ),
        )
        for one in dossier.walk_rounds
    )
    verdict = judge(replace(dossier, walk_rounds=rounds), None)
    (chain,) = (part for part in verdict.parts if part.place == Place(PartKind.CHAIN, Side.RIGHT))
    assert (chain.call, chain.due is not None) == (Call.RUN, True)
    assert "Nothing is said of the wear" not in say(verdict.headline)
