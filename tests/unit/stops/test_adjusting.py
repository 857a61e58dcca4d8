"""What sag and adjuster ask for. The geometry of the loop is worked out here by hand, not by the code under test."""

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pitchline.stops.adjusting import TrackSeen, setting_work
from pitchline.stops.jobs import step_of
from pitchline.trade.calls import Call
from pitchline.trade.dossier import PermittedRange
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.work_done import Did, WorkDone
from pitchline.words import say

LEFT = Side.LEFT
CHAIN, ADJUSTER, BUSHES = (Place(part, LEFT) for part in (PartKind.CHAIN, PartKind.TRACK_ADJUSTER, PartKind.BUSH))
BANDS = (
    PermittedRange(PartKind.CHAIN, Measurand.SAG, 0.030, 0.050),
    PermittedRange(PartKind.TRACK_ADJUSTER, Measurand.ADJUSTER_EXTENSION, 0.0, 0.120),
)


@pytest.fixture
def asked(dossier, reading):
    """What a sag and an extension, in mm, ask for on the left; the chain has 45 joints of 200 mm, its limit is 206 mm."""

    def ask(sag=None, out=None, **seen):
        machine = replace(dossier, ranges=BANDS)
        readings = []
        if sag is not None:
            readings.append(reading(PartKind.CHAIN, LEFT, Measurand.SAG, sag, tool="rule"))
        if out is not None:
            readings.append(reading(PartKind.TRACK_ADJUSTER, LEFT, Measurand.ADJUSTER_EXTENSION, out, tool="rule"))
        known = TrackSeen(**{"pitch_new_m": 0.200, "pitch_limit_m": 0.206} | seen)
        return setting_work(readings, machine, LEFT, known)

    return ask


def told(work):
    return [(item.job, item.asked_by, item.place) for item in work]


def test_nothing_is_asked_inside_the_ranges(asked):
    assert asked(40, 60) == asked() == []


def test_slack_is_taken_up_and_tight_let_out(asked):
    (slack,), (tight,) = asked(60, 40), asked(20, 40)
    assert told([slack]) == told([tight]) == [(JobKind.ADJUST, CHAIN, CHAIN)]
    assert "take it up" in say(slack.because)
    assert "let it out" in say(tight.because)
    assert slack.call is tight.call is Call.BOOK


def test_soil_is_dug_out_before_the_sag_is_set(asked):
    work = asked(60, 40, packed=(CHAIN,))
    assert sorted((item.job for item in work), key=step_of) == [JobKind.CLEAN_OUT, JobKind.ADJUST]
    assert "clean out first, then set the sag" in say(next(w for w in work if w.job is JobKind.ADJUST).because)


def test_a_packed_track_that_is_too_tight_is_measured_again_before_it_is_let_out(asked):
    (only,) = asked(10, 40, packed=(CHAIN,))
    assert (only.job, only.call) == (JobKind.CLEAN_OUT, Call.BOOK)
    assert "measure the sag again" in say(only.because)


def test_an_adjuster_at_its_end_is_never_pumped_further(asked):
    """45 joints grown 4 mm each are 180 mm of chain, and the idler goes out by half of that: 90 of the 130 mm."""
    work = asked(70, 130, pitch_m=0.204)
    assert told(work) == [(JobKind.REMOVE_JOINT, ADJUSTER, CHAIN), (JobKind.REMOVE_JOINT, CHAIN, CHAIN)]
    assert "do not pump it further" in say(work[0].because)
    assert "about 90 mm" in say(work[0].because)
    assert not any("take it up" in say(item.because) for item in work)


def test_no_joint_comes_out_to_hide_stretch_a_turn_takes_back(asked):
    work = asked(70, 130, pitch_m=0.204, turn_to_come=True)
    assert told(work) == [(JobKind.TURN, ADJUSTER, BUSHES), (JobKind.TURN, CHAIN, BUSHES)]
    assert work[0].pieces == 45
    assert "no joint comes out" in say(work[0].because)


def test_no_joint_comes_out_where_stretch_is_not_the_cause(asked):
    """45 joints grown 0.2 mm each are 9 mm of chain: 4.5 of the 130 mm, so something else is wrong."""
    work = asked(70, 130, pitch_m=0.2002)
    assert told(work) == [(JobKind.INVESTIGATE, ADJUSTER, ADJUSTER), (JobKind.INVESTIGATE, CHAIN, ADJUSTER)]
    assert "recoil spring" in say(work[0].because)


def test_half_of_the_extension_is_the_border(asked):
    """45 joints: half of 130 mm at the idler is 130 mm of chain, 2.889 mm a joint."""
    grown_m = 0.130 / 45
    assert asked(40, 130, pitch_m=0.200 + 1.001 * grown_m)[0].job is JobKind.REMOVE_JOINT
    assert asked(40, 130, pitch_m=0.200 + 0.999 * grown_m)[0].job is JobKind.INVESTIGATE


def test_the_pitch_is_measured_before_a_joint_comes_out(asked):
    (only,) = asked(40, 130)
    assert only.job is JobKind.INVESTIGATE
    assert "measure it before a joint comes out" in say(only.because)


def test_a_chain_past_its_limit_is_renewed_not_shortened(asked):
    assert asked(70, 160, pitch_m=0.2061)[0].job is JobKind.REPLACE


def test_no_joint_comes_out_where_it_would_give_back_more_than_is_used(dossier, reading):
    """A joint of 204 mm gives 102 mm back at the idler; 95 mm are out."""
    short = replace(
        dossier, ranges=(PermittedRange(PartKind.TRACK_ADJUSTER, Measurand.ADJUSTER_EXTENSION, 0.0, 0.090),)
    )
    out = reading(PartKind.TRACK_ADJUSTER, LEFT, Measurand.ADJUSTER_EXTENSION, 95, tool="rule")
    seen = TrackSeen(0.204, 0.200, 0.206)
    (only,) = setting_work([out], short, LEFT, seen)
    assert only.job is JobKind.INVESTIGATE
    assert "none can come out" in say(only.because)


def test_the_stroke_is_an_end_where_no_range_is_entered(dossier, reading):
    machine = replace(dossier, ranges=(), gear=replace(dossier.gear, adjuster_stroke_m=0.1))
    out = reading(PartKind.TRACK_ADJUSTER, LEFT, Measurand.ADJUSTER_EXTENSION, 101, tool="rule")
    seen = TrackSeen(0.2002, 0.200, 0.206)
    (only,) = setting_work([out], machine, LEFT, seen)
    assert only.job is JobKind.INVESTIGATE


def test_too_tight_at_the_end_of_the_stroke_is_let_out_first(asked):
    work = asked(10, 130, pitch_m=0.204)
    assert {item.job for item in work} == {JobKind.ADJUST}
    assert {item.asked_by for item in work} == {CHAIN, ADJUSTER}
    assert all("let it out" in say(item.because) for item in work)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.floats(0, 120),
    st.floats(0, 200),
    st.none() | st.floats(0.199, 0.210),
    st.booleans(),
    st.booleans(),
)
def test_no_setting_ever_pumps_at_the_end_nor_sets_before_the_soil_is_out(asked, sag, out, pitch_m, turn, packed):
    work = asked(sag, out, pitch_m=pitch_m, turn_to_come=turn, packed=(CHAIN,) if packed else ())
    jobs = [item.job for item in work]
    if out > 120:
        assert not any(
            "take it up" in say(item.because) or "then set the sag" in say(item.because) for item in work
        )
    if JobKind.REMOVE_JOINT in jobs:
        assert pitch_m is not None
        assert not turn
        assert pitch_m < 0.206
        assert 45 * (pitch_m - 0.200) / 2 >= 0.5 * out / 1000
        assert out / 1000 >= pitch_m / 2
    if packed and jobs:
        assert JobKind.CLEAN_OUT in jobs
        assert JobKind.ADJUST not in jobs or sag > 50 or out > 120
    assert bool(work) is (sag < 30 or sag > 50 or out > 120)


def test_a_joint_that_came_out_before_is_no_longer_stretch_that_explains(dossier, reading):
    """By hand: 44 joints of 205 mm are 9,020 mm, 20 mm more than 45 new ones of 200 mm: 10 of the 130 mm at the idler."""
    done = WorkDone("w1", Did.JOINT_REMOVED, (CHAIN,), dt.date(2026, 9, 7), 9000.0)
    machine = replace(dossier, ranges=BANDS, walk_rounds=(), work=(done,))
    out = reading(PartKind.TRACK_ADJUSTER, LEFT, Measurand.ADJUSTER_EXTENSION, 130, tool="rule")
    seen = TrackSeen(0.205, 0.200, 0.206)
    whole = setting_work([out], replace(dossier, ranges=BANDS), LEFT, seen)
    (short,) = setting_work([out], machine, LEFT, seen)
    assert [one.job for one in whole] == [JobKind.REMOVE_JOINT]
    assert short.job is JobKind.INVESTIGATE
    assert "10 mm" in say(short.because)
