"""Work written down: what can be done to what, what it puts right, what can follow what. Common practice, no source."""

import datetime as dt
from dataclasses import replace

import pytest

from pitchline.trade.dossier import Event, PartEvent
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import WalkRound
from pitchline.trade.work_done import USUAL, Did, Reckoned, Spent, WorkDone, closed_by, doable_on
from pitchline.words import translated

LEFT, RIGHT = Side.LEFT, Side.RIGHT
ROLLER, BUSH, CHAIN = (
    Place(PartKind.BOTTOM_ROLLER, LEFT, 3),
    Place(PartKind.BUSH, LEFT),
    Place(PartKind.CHAIN, LEFT),
)
DAY = dt.date(2026, 9, 7)
LATER = DAY + dt.timedelta(days=3)


def work(did=Did.FITTED_NEW, *places, date=LATER, hours_h=3020.0, key="w1", **more):
    return WorkDone(key, did, places or (ROLLER,), date, hours_h, **more)


def seen(place, kind):
    return Finding(place, kind, Severity.CLEAR)


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: work(Did.TURNED, ROLLER), "what was done"),
        (lambda: work(Did.ADJUSTED, ROLLER), "what was done"),
        (lambda: work(Did.JOINT_REMOVED, Place(PartKind.RUBBER_TRACK, LEFT)), "what was done"),
        (lambda: work(Did.FITTED_NEW, ROLLER, ROLLER), "parts"),
        (lambda: WorkDone("w", Did.CLEANED, (), DAY, 1.0), "parts"),
        (lambda: work(hours_h=-1.0), "hours"),
        (lambda: work(hours_h=float("nan")), "hours"),
        (lambda: work(seen_on=LATER + dt.timedelta(days=1)), "day"),
        (lambda: work(Did.MENDED), "what was put right"),
        (lambda: work(Did.LOOKED_INTO), "what was put right"),
        (lambda: Spent(-1.0, 0.0, "EUR"), "cost of labour"),
        (lambda: Spent(0.0, -1.0, "EUR"), "cost of parts"),
        (lambda: Spent(0.0, 1.0, "euro"), "currency"),
        (lambda: Reckoned(float("nan"), "EUR"), "cost as reckoned"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(make, field):
    with pytest.raises(NotAllowedError) as refused:
        make()
    assert refused.value.problem.field == field
    assert refused.value.problem.next_step


def test_every_job_but_a_look_and_a_measurement_is_usually_one_thing():
    assert set(JobKind) - set(USUAL) == {JobKind.INVESTIGATE, JobKind.MEASURE}


def test_bushes_alone_are_turned_and_a_chain_alone_loses_a_joint():
    assert [part for part in PartKind if Did.TURNED in doable_on(part)] == [PartKind.BUSH]
    assert [part for part in PartKind if Did.JOINT_REMOVED in doable_on(part)] == [PartKind.CHAIN]
    assert all(Did.FITTED_NEW in doable_on(part) for part in PartKind)


@pytest.mark.parametrize(
    ("did", "place", "finding", "closed"),
    [
        (Did.FITTED_NEW, ROLLER, seen(ROLLER, FindingKind.LEAK), True),
        (Did.FITTED_PART_WORN, ROLLER, seen(ROLLER, FindingKind.LEAK), True),
        (Did.FITTED_NEW, ROLLER, seen(Place(PartKind.BOTTOM_ROLLER, LEFT, 4), FindingKind.LEAK), False),
        (Did.FITTED_NEW, ROLLER, seen(ROLLER, FindingKind.UNEVEN_TREAD), False),
        (Did.FITTED_NEW, CHAIN, seen(Place(PartKind.LINK, LEFT), FindingKind.CRACKED), True),
        (Did.FITTED_NEW, CHAIN, seen(Place(PartKind.LINK, RIGHT), FindingKind.CRACKED), False),
        (Did.FITTED_NEW, BUSH, seen(CHAIN, FindingKind.CRACKED), False),
        (Did.TURNED, BUSH, seen(BUSH, FindingKind.CRACKED), False),
        (Did.TURNED, BUSH, seen(CHAIN, FindingKind.DRY_JOINT), False),
        (Did.FITTED_NEW, Place(PartKind.SHOE, LEFT), seen(Place(PartKind.PAD, LEFT), FindingKind.CUT), True),
        (Did.BOLTS_REFITTED, ROLLER, seen(ROLLER, FindingKind.LOOSE_BOLTS), True),
        (Did.BOLTS_REFITTED, ROLLER, seen(ROLLER, FindingKind.LEAK), False),
        (Did.CLEANED, CHAIN, seen(CHAIN, FindingKind.PACKED_WITH_SOIL), True),
        (Did.CLEANED, CHAIN, seen(CHAIN, FindingKind.CRACKED), False),
        (Did.MENDED, ROLLER, seen(ROLLER, FindingKind.LEAK), False),
        (Did.LOOKED_INTO, ROLLER, seen(ROLLER, FindingKind.LEAK), False),
        (Did.ADJUSTED, CHAIN, seen(CHAIN, FindingKind.SNAKING), False),
    ],
)
def test_work_puts_right_what_it_reaches_and_nothing_else(did, place, finding, closed):
    assert closed_by(did, (place,), finding) is closed


def test_what_was_seen_the_same_day_is_closed_only_where_the_record_names_it():
    """A walk-round opened again after the work may tell of something new: it must not vanish."""
    leak, crack = seen(ROLLER, FindingKind.LEAK), seen(ROLLER, FindingKind.CRACKED)
    walk = WalkRound(DAY, 3000.0, findings=(leak, crack))
    done = work(date=DAY, seen_on=DAY, put_right=((ROLLER, FindingKind.LEAK),))
    assert (done.closes(leak, walk), done.closes(crack, walk)) == (True, False)
    assert work().closes(crack, walk)
    after = replace(walk, date=LATER + dt.timedelta(days=1))
    assert not done.closes(leak, after)
    assert not work(date=DAY, hours_h=3000.0).follows(walk)  # nobody said which came first
    assert work(date=DAY, hours_h=3000.5).follows(walk)


def test_a_mended_leak_is_closed_and_the_next_one_is_not():
    leak = seen(ROLLER, FindingKind.LEAK)
    walk = WalkRound(DAY, 3000.0, findings=(leak,))
    mended = work(Did.MENDED, seen_on=DAY, put_right=((ROLLER, FindingKind.LEAK),))
    assert mended.closes(leak, walk)
    assert not mended.closes(leak, replace(walk, date=LATER + dt.timedelta(days=2), service_h=3050.0))


@pytest.mark.parametrize(
    ("did", "place", "resets"),
    [
        (Did.ADJUSTED, CHAIN, True),
        (Did.CLEANED, ROLLER, True),
        (Did.TURNED, BUSH, True),
        (Did.FITTED_NEW, Place(PartKind.IDLER, LEFT, 1), True),
        (Did.FITTED_NEW, ROLLER, False),
        (Did.BOLTS_REFITTED, CHAIN, False),
    ],
)
def test_sag_is_no_longer_as_read_after_what_moves_it(did, place, resets):
    assert work(did, place).resets(LEFT) is resets
    assert not work(did, place).resets(RIGHT)


@pytest.fixture
def machine(dossier):
    """The invented machine with one walk-round on DAY at 3,000 h, and no history."""
    return replace(dossier, events=(), walk_rounds=(WalkRound(DAY, 3000.0),))


@pytest.mark.parametrize(
    ("done", "field", "allowed"),
    [
        ((work(), work()), "work done", "each name once"),
        ((work(Did.CLEANED, Place(PartKind.BOTTOM_ROLLER, LEFT, 9)),), "parts", "a part this running gear has"),
        ((work(hours_h=2999.0),), "hours", "at least the 3000 h of the walk-round of 7 Sep 2026"),
        ((work(hours_h=3097.0),), "hours", "at most 3096 h, because 7 Sep 2026 had 3000 h and a day has 24"),
        ((work(date=DAY - dt.timedelta(days=9), hours_h=3001.0),), "hours", "at most the 3000 h"),
        (
            (work(), work(key="w2", date=LATER + dt.timedelta(days=1), hours_h=3010.0)),
            "hours",
            "at least the 3020 h",
        ),
        ((work(Did.TURNED, BUSH), work(Did.FITTED_NEW, BUSH, key="w2")), "what was done", "a turn or a renewal"),
        ((work(Did.TURNED, BUSH), work(Did.FITTED_NEW, CHAIN, key="w2")), "what was done", "a turn or a renewal"),
        (
            (
                work(Did.TURNED, BUSH),
                work(Did.TURNED, BUSH, key="w2", date=LATER + dt.timedelta(9), hours_h=3100.0),
            ),
            "what was done",
            "not turned yet",
        ),
    ],
)
def test_what_cannot_follow_is_refused_with_what_to_do(machine, done, field, allowed):
    with pytest.raises(NotAllowedError) as refused:
        replace(machine, work=done)
    assert refused.value.problem.field == field
    assert allowed in translated(refused.value.problem.allowed)
    assert len(refused.value.problem.next_step) > 10


def test_bushes_are_turned_once_in_a_life(machine):
    turned = PartEvent(BUSH, Event.TURNED, 2000.0)
    with pytest.raises(NotAllowedError, match="not turned yet"):
        replace(machine, events=(turned,), work=(work(Did.TURNED, BUSH),))
    renewed = PartEvent(CHAIN, Event.FITTED_NEW, 2500.0)
    assert replace(machine, events=(turned, renewed), work=(work(Did.TURNED, BUSH),)).work


def test_work_before_the_last_walk_round_can_be_written_down_late(machine):
    late = work(date=DAY - dt.timedelta(days=30), hours_h=2900.0)
    assert replace(machine, work=(late,)).part_events[0].service_h == 2900.0


def test_a_joint_taken_out_counts_on_its_side_until_a_chain_is_fitted(machine):
    out = work(Did.JOINT_REMOVED, CHAIN, hours_h=3010.0)
    both = work(Did.JOINT_REMOVED, CHAIN, Place(PartKind.CHAIN, RIGHT), hours_h=3015.0, key="w2")
    new = work(Did.FITTED_NEW, CHAIN, date=LATER + dt.timedelta(9), hours_h=3020.0, key="w3")
    links = work(Did.FITTED_PART_WORN, Place(PartKind.LINK, LEFT), date=new.date, hours_h=3020.0, key="w4")
    bushes = work(Did.FITTED_NEW, BUSH, date=new.date, hours_h=3020.0, key="w5")
    for done, left, right in (
        ((), 0, 0),
        ((out,), 1, 0),
        ((out, both), 2, 1),
        ((out, both, new), 0, 1),
        ((out, links), 0, 0),
        ((out, bushes), 1, 0),
    ):
        gear = replace(machine, work=done).gear
        whole = machine.gear.joints_per_side
        assert [gear.joints(side) for side in (LEFT, RIGHT, Side.NONE)] == [whole - left, whole - right, whole]
    undone = replace(replace(machine, work=(out,)), work=())
    assert undone.gear == machine.gear


def test_a_joint_taken_out_of_a_chain_that_the_history_says_was_renewed_later_counts_no_more(machine):
    out = work(Did.JOINT_REMOVED, CHAIN, hours_h=3010.0)
    later = PartEvent(CHAIN, Event.FITTED_NEW, 3015.0)
    assert replace(machine, work=(out,), events=(later,)).gear.joints_out == (0, 0)
    assert replace(machine, work=(out,), events=(replace(later, service_h=2000.0),)).gear.joints_out == (1, 0)
