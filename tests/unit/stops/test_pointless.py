"""What a bigger job makes pointless, and what it does not."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.outlook.hours_left import HoursLeft
from pitchline.stops.pointless import swallowed_by, with_it, without_pointless
from pitchline.stops.work import Work, findings_work
from pitchline.trade.calls import Call, Stake
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import saying, then
from pitchline.words import say

LEFT, RIGHT = Side.LEFT, Side.RIGHT


SEEN = saying("seen.stop_from_first")


def due_work(job, part, middle, call=Call.BOOK, side=LEFT, position=0, now=0.0):
    place = Place(part, side, position)
    return Work(
        job,
        place,
        place,
        call,
        saying("wear.due", due_h=middle),
        1,
        0,
        HoursLeft(middle / 2, middle, middle * 2, now),
        0.5,
    )


def seen(job, part, call=Call.BOOK, side=LEFT, position=0, pieces=1, outlives=False):
    place = Place(part, side, position)
    return Work(job, place, place, call, SEEN, pieces, outlives=outlives)


CHAIN = due_work(JobKind.REPLACE, PartKind.CHAIN, 200.0)


def test_turning_is_dropped_where_the_chain_is_due_no_later():
    turn = due_work(JobKind.TURN, PartKind.BUSH, 300.0)
    assert without_pointless([turn, CHAIN]) == [CHAIN]


def test_turning_is_dropped_beside_a_chain_that_is_booked_though_the_turn_is_due_now():
    turn = due_work(JobKind.TURN, PartKind.BUSH, 0.0)
    assert without_pointless([turn, CHAIN]) == [CHAIN]


def test_turning_stays_where_the_chain_lasts_or_lies_on_the_other_side():
    turn = due_work(JobKind.TURN, PartKind.BUSH, 300.0)
    assert turn in without_pointless([turn, due_work(JobKind.REPLACE, PartKind.CHAIN, 900.0, Call.RUN)])
    assert turn in without_pointless([turn, due_work(JobKind.REPLACE, PartKind.CHAIN, 100.0, side=RIGHT)])


def test_one_job_at_one_place_once_and_the_urgent_one_stays():
    soon, late = CHAIN, due_work(JobKind.REPLACE, PartKind.CHAIN, 700.0)
    assert without_pointless([late, soon]) == [soon]


@pytest.mark.parametrize(
    "lesser",
    [
        seen(JobKind.INVESTIGATE, PartKind.CHAIN),
        seen(JobKind.INVESTIGATE, PartKind.LINK),
        seen(JobKind.REFIT_BOLTS, PartKind.SHOE, pieces=5),
        seen(JobKind.ADJUST, PartKind.CHAIN),
        seen(JobKind.REMOVE_JOINT, PartKind.CHAIN),
    ],
)
def test_a_new_chain_comes_with_sound_joints_new_bolts_and_the_right_sag(lesser):
    """Common practice, no source."""
    assert without_pointless([lesser, CHAIN]) == [CHAIN]
    other = due_work(JobKind.REPLACE, PartKind.CHAIN, 200.0, side=RIGHT)
    assert lesser in without_pointless([lesser, other])
    not_due = due_work(JobKind.REPLACE, PartKind.CHAIN, 3000.0, Call.RUN)
    assert lesser in without_pointless([lesser, not_due])


@pytest.mark.parametrize("job", [JobKind.CLEAN_OUT, JobKind.INVESTIGATE])
def test_what_a_new_chain_does_not_cure_stays(job):
    part = PartKind.CHAIN if job is JobKind.CLEAN_OUT else PartKind.TRACK_ADJUSTER
    lesser = seen(job, part)
    assert lesser in without_pointless([lesser, CHAIN])


def test_what_stops_the_machine_is_never_dropped_for_what_is_only_booked():
    walking = seen(JobKind.INVESTIGATE, PartKind.CHAIN, Call.STOP)
    assert walking in without_pointless([walking, CHAIN])


def test_nobody_looks_into_a_chain_that_is_worn_out():
    """The new chain takes over the call, and with it what the call is about."""
    walking = Work(
        JobKind.INVESTIGATE, Place(PartKind.CHAIN, LEFT), Place(PartKind.CHAIN, LEFT), Call.STOP, SEEN, 1,
        stake=Stake.UNSAFE,
    )  # fmt: skip
    worn_out = due_work(JobKind.REPLACE, PartKind.CHAIN, 0.0, now=0.8)
    (only,) = without_pointless([walking, worn_out])
    assert (only.job, only.call, only.stake) == (JobKind.REPLACE, Call.STOP, Stake.UNSAFE)
    assert SEEN in only.because.values["said"]


def test_what_can_hurt_is_told_first_where_both_stop_the_machine():
    """A chain whose bushes ruin it, and a pin walking out of it: the same call, and the one job says the graver of the two."""
    chain = replace(due_work(JobKind.REPLACE, PartKind.CHAIN, 0.0, Call.STOP, now=1.0), stake=Stake.RUINS)
    pin = replace(
        seen(JobKind.INVESTIGATE, PartKind.CHAIN, Call.STOP),
        stake=Stake.UNSAFE,
        because=saying("finding.pin_walking_out"),
    )
    (kept,) = without_pointless([chain, pin])
    assert (kept.job, kept.call, kept.stake) == (JobKind.REPLACE, Call.STOP, Stake.UNSAFE)
    assert say(pin.because) in say(kept.because)
    (kept,) = without_pointless([chain, replace(pin, stake=Stake.RUINS)])
    assert kept.stake is Stake.RUINS


def test_bolts_of_a_roller_come_with_the_roller_and_its_leak_goes_with_it():
    roller = seen(JobKind.REPLACE, PartKind.BOTTOM_ROLLER, Call.STOP, position=4)
    lesser = [
        seen(JobKind.INVESTIGATE, PartKind.BOTTOM_ROLLER, Call.RUN, position=4),
        seen(JobKind.REFIT_BOLTS, PartKind.BOTTOM_ROLLER, position=4, pieces=3),
    ]
    assert without_pointless([*lesser, roller]) == [roller]
    beside = seen(JobKind.INVESTIGATE, PartKind.BOTTOM_ROLLER, Call.RUN, position=5)
    assert beside in without_pointless([beside, roller])


def test_a_few_new_shoes_leave_the_bolts_of_the_others():
    few, bolts = (seen(job, PartKind.SHOE, pieces=3) for job in (JobKind.RESHOE, JobKind.REFIT_BOLTS))
    assert bolts in without_pointless([few, bolts])
    whole = due_work(JobKind.RESHOE, PartKind.SHOE, 100.0)
    assert without_pointless([whole, bolts]) == [whole]


def test_one_sided_wear_is_looked_into_though_the_part_is_renewed(dossier):
    """The cause wears the new part too."""
    place = Place(PartKind.BOTTOM_ROLLER, LEFT, 2)
    uneven = findings_work([Finding(place, FindingKind.UNEVEN_TREAD, Severity.SEVERE)], dossier)[0]
    roller = due_work(JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 50.0, position=2)
    kept = without_pointless([uneven, roller])
    (look,) = [item for item in kept if item.job is JobKind.INVESTIGATE]
    assert say(look.because) == f"{say(uneven.because)} Look for it before the new one goes on."
    assert without_pointless([uneven]) == [uneven]


def test_a_stop_that_ends_something_unsafe_is_unsafe_itself(dossier):
    """A pin walks out of a chain whose bushes are past their limit: the new chain ends both, and the paper must say so."""
    place = Place(PartKind.CHAIN, LEFT)
    walking = findings_work([Finding(place, FindingKind.PIN_WALKING_OUT, Severity.SLIGHT)], dossier)[0]
    chain = replace(
        due_work(JobKind.REPLACE, PartKind.CHAIN, 0.0),
        call=Call.STOP,
        stake=Stake.RUINS,
        because=saying("past_limit.bush_breaks"),
    )
    (kept,) = without_pointless([walking, chain])
    assert (kept.job, kept.stake) == (JobKind.REPLACE, Stake.UNSAFE)
    assert kept.because == then(walking.because, chain.because)


def test_the_part_says_where_its_job_went():
    turn = due_work(JobKind.TURN, PartKind.BUSH, 300.0)
    assert say(with_it(turn, CHAIN)) == "The chain is due no later: bushes come with it, so they are not turned."
    bolts = seen(JobKind.REFIT_BOLTS, PartKind.SHOE)
    assert say(with_it(bolts, CHAIN)) == "The chain is renewed, so that goes with it."
    assert say(with_it(bolts, due_work(JobKind.RESHOE, PartKind.SHOE, 9.0))).startswith("The shoes are renewed")
    adjust = seen(JobKind.ADJUST, PartKind.CHAIN)
    assert say(with_it(adjust, due_work(JobKind.TURN, PartKind.BUSH, 0.0))).startswith("The bushes are turned")


_PARTS = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK, PartKind.SHOE, PartKind.BOTTOM_ROLLER, PartKind.SPROCKET)
_WORK = st.builds(
    lambda job, part, call, side, middle, worn: (
        seen(job, part, call, side) if middle is None else due_work(job, part, middle, call, side, now=worn)
    ),
    st.sampled_from(list(JobKind)),
    st.sampled_from(_PARTS),
    st.sampled_from([Call.RUN, Call.BOOK, Call.STOP]),
    st.sampled_from([LEFT, RIGHT]),
    st.none() | st.floats(0, 9000),
    st.floats(0, 1),
)


@given(st.lists(_WORK, max_size=12))
def test_less_is_left_and_what_is_dropped_has_a_bigger_job_at_least_as_urgent(work):
    left = without_pointless(work)
    assert len({(item.job, item.place) for item in left}) == len(left)
    assert {(item.job, item.place) for item in left} <= {(item.job, item.place) for item in work}
    for item in work:
        if any((item.job, item.place) == (one.job, one.place) for one in left):
            continue
        bigger = swallowed_by(item, left)
        assert bigger is not None
        assert bigger.call.rank >= item.call.rank


@given(st.lists(_WORK, max_size=12))
def test_nothing_stops_less_than_before(work):
    """The most urgent call of each side stays what it was, or becomes more urgent."""
    left = without_pointless(work)
    for side in (LEFT, RIGHT):
        before = max((item.call.rank for item in work if item.place.side is side), default=0)
        after = max((item.call.rank for item in left if item.place.side is side), default=0)
        assert after >= before


@given(st.lists(_WORK, max_size=12))
def test_without_the_chain_nothing_is_dropped_that_was_kept_with_it(work):
    """Taking a due chain away never adds a reason to drop anything else."""
    with_chain = {(item.job, item.place) for item in without_pointless([*work, CHAIN])}
    rest = [item for item in work if not (item.job is JobKind.REPLACE and item.place == CHAIN.place)]
    without = {(item.job, item.place) for item in without_pointless(rest)}
    gone = {key for key in with_chain if key != (CHAIN.job, CHAIN.place)} - without
    assert not gone
