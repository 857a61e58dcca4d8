"""After work was written down a verdict no longer asks for it, and says no more than was done. Our own rules."""

import datetime as dt
from dataclasses import replace

import pytest

from pitchline.judge import judge
from pitchline.trade.calls import Call
from pitchline.trade.dossier import PermittedRange
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading
from pitchline.trade.work_done import Did, WorkDone
from pitchline.words import say

LEFT = Side.LEFT
ROLLER, DRIVE = Place(PartKind.BOTTOM_ROLLER, LEFT, 3), Place(PartKind.FINAL_DRIVE, LEFT)
CHAIN = Place(PartKind.CHAIN, LEFT)


def part_of(verdict, place):
    return next(part for part in verdict.parts if part.place == place)


def done(machine, did, *places, days=5, more_h=20.0, **more):
    last = machine.walk_rounds[-1]
    one = WorkDone("w1", did, places, last.date + dt.timedelta(days), last.service_h + more_h, last.date, **more)
    return replace(machine, work=(one,))


def with_findings(machine, *findings, readings=()):
    last = machine.walk_rounds[-1]
    last = replace(last, findings=findings, readings=(*last.readings, *readings))
    return replace(machine, walk_rounds=(*machine.walk_rounds[:-1], last))


@pytest.fixture
def leaking(later):
    return with_findings(later(0.40), Finding(ROLLER, FindingKind.LEAK, Severity.SEVERE))


def test_a_renewed_roller_starts_new_and_its_job_is_gone(leaking, prices):
    before = judge(leaking, prices)
    assert part_of(before, ROLLER).call is Call.STOP
    verdict = judge(done(leaking, Did.FITTED_NEW, ROLLER), prices)
    part, last = part_of(verdict, ROLLER), leaking.walk_rounds[-1]
    assert part.call is Call.UNJUDGED  # not read has no call
    assert part.findings == ()
    assert say(part.reason) == (
        f"Fitted new at {last.service_h + 20:,.0f} h, and not read since. "
        f"Seen, and put right at {last.service_h + 20:,.0f} h: leak, severe."
    )
    (tread,) = (one for one in part.judged if one.measurand is Measurand.TREAD_DIAMETER)
    assert tread.life_used < 0.02
    assert not any(ROLLER in job.places for job in verdict.jobs)
    assert verdict.from_service_h == last.service_h + 20.0
    assert say(verdict.from_reason) == f"written down with the work of {last.date + dt.timedelta(5):%-d %b %Y}"
    assert any(one.startswith("Done since the walk-round of") for one in map(say, verdict.remarks))
    assert verdict.worth.left.usual > before.worth.left.usual


def test_a_used_roller_is_judged_by_the_size_it_was_fitted_with(leaking):
    tape = DEFAULT_TOOLS["calliper"]
    size = Reading(ROLLER, Measurand.TREAD_DIAMETER, (0.152,), tape)
    told = part_of(judge(done(leaking, Did.FITTED_PART_WORN, ROLLER, readings=(size,))), ROLLER)
    (tread,) = (one for one in told.judged if one.measurand is Measurand.TREAD_DIAMETER)
    assert told.call.asks or told.call is Call.RUN
    assert tread.status == "judged"
    assert tread.life_used == pytest.approx((160 - 152) / (160 - 144), abs=0.08)  # by hand: half worn
    silent = part_of(judge(done(leaking, Did.FITTED_PART_WORN, ROLLER)), ROLLER)
    assert silent.call is Call.UNJUDGED


def test_a_worse_used_roller_never_has_more_hours(leaking):
    hours = []
    for mm in (158.0, 154.0, 150.0, 146.0):
        size = Reading(ROLLER, Measurand.TREAD_DIAMETER, (mm / 1e3,), DEFAULT_TOOLS["calliper"])
        told = part_of(judge(done(leaking, Did.FITTED_PART_WORN, ROLLER, readings=(size,))), ROLLER)
        hours.append(next(one.to_limit.middle for one in told.judged if one.measurand is Measurand.TREAD_DIAMETER))
    assert hours == sorted(hours, reverse=True)


def test_a_mended_leak_is_closed_and_bolts_elsewhere_stand(later):
    leak = Finding(DRIVE, FindingKind.LEAK, Severity.SEVERE)
    bolts = Finding(DRIVE, FindingKind.LOOSE_BOLTS, Severity.CLEAR, 2)
    machine = with_findings(later(0.40), leak, bolts)
    right = ((DRIVE, FindingKind.LEAK),)
    told = part_of(judge(done(machine, Did.MENDED, DRIVE, put_right=right)), DRIVE)
    assert [one.kind for one in told.findings] == [FindingKind.LOOSE_BOLTS]
    assert told.job is JobKind.REFIT_BOLTS
    assert told.call is Call.STOP
    assert "put right at" in say(told.reason)


def test_looking_and_finding_nothing_says_so(later):
    machine = with_findings(later(0.40), Finding(DRIVE, FindingKind.LEAK, Severity.SLIGHT))
    looked = done(machine, Did.LOOKED_INTO, DRIVE, put_right=((DRIVE, FindingKind.LEAK),))
    assert "and nothing wrong found: leak, slight." in say(part_of(judge(looked), DRIVE).reason)


def test_an_adjusted_track_is_not_judged_by_the_sag_before(later):
    band = PermittedRange(PartKind.CHAIN, Measurand.SAG, 0.020, 0.040)
    slack = Reading(CHAIN, Measurand.SAG, (0.090,), DEFAULT_TOOLS["tape"])
    machine = replace(with_findings(later(0.40), readings=(slack,)), ranges=(band,))
    assert part_of(judge(machine), CHAIN).job is JobKind.ADJUST
    assert part_of(judge(done(machine, Did.ADJUSTED, CHAIN)), CHAIN).job is not JobKind.ADJUST
    still = replace(slack, repeats_m=(0.070,))
    told = part_of(judge(done(machine, Did.ADJUSTED, CHAIN, readings=(still,))), CHAIN)
    assert told.job is JobKind.ADJUST
    assert "70.0 mm of sag" in say(told.reason)


def test_work_to_come_is_not_known_yet(leaking):
    """A judgement for a day before the work still has its finding."""
    later_on = done(leaking, Did.FITTED_NEW, ROLLER)
    day = leaking.walk_rounds[-1].date + dt.timedelta(days=2)
    assert judge(later_on, as_of=day).parts == judge(leaking, as_of=day).parts


def test_the_same_day_the_reading_before_the_work_is_of_the_part_taken_off(leaking):
    """Walk-round and work at one hour: the record says which came first, and the other order reads the new part."""
    last = leaking.walk_rounds[-1]
    right = ((ROLLER, FindingKind.LEAK),)
    first = WorkDone("w1", Did.FITTED_NEW, (ROLLER,), last.date, last.service_h, last.date, right)
    assert part_of(judge(replace(leaking, work=(first,))), ROLLER).call is Call.UNJUDGED
    before = replace(first, seen_on=leaking.walk_rounds[-2].date)
    told = part_of(judge(replace(leaking, work=(before,))), ROLLER)
    assert told.call is Call.STOP  # what was seen after the work stands
    assert next(one.readings for one in told.judged if one.measurand is Measurand.TREAD_DIAMETER) == 1


def test_a_joint_taken_out_is_counted_on_its_side_in_jobs_and_prices(later, prices):
    """A side's turn and new shoes are counted by what is on it, a new chain whole: from the running gear, by hand."""
    machine = later(0.60)
    verdict = judge(done(machine, Did.JOINT_REMOVED, CHAIN), prices)
    whole = machine.gear.joints_per_side
    assert (verdict.gear.joints(LEFT), verdict.gear.joints(Side.RIGHT)) == (whole - 1, whole)
    counted = [job for job in verdict.jobs if job.kind in (JobKind.TURN, JobKind.RESHOE) and job.pieces]
    assert counted
    for job in counted:
        assert job.pieces == sum(whole - (place.side is LEFT) for place in job.places)
