"""What goes in pairs, and what is taken along when somebody is at it."""

import pytest

from pitchline.outlook.hours_left import HoursLeft
from pitchline.stops.along import taken_along
from pitchline.stops.jobs import check_after, parts_needed
from pitchline.stops.work import Work
from pitchline.trade.calls import Call
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import saying
from pitchline.words import say

LEFT, RIGHT = Side.LEFT, Side.RIGHT


def due_work(job, part, middle, call=Call.BOOK, side=LEFT):
    place = Place(part, side)
    return Work(
        job,
        place,
        place,
        call,
        saying("wear.due", due_h=middle),
        1,
        0,
        HoursLeft(middle / 2, middle, middle * 2, 0.0),
        0.5,
    )


def seen(job, part, call=Call.RUN, side=LEFT):
    place = Place(part, side)
    return Work(job, place, place, call, saying("wear.anew"), 1)


@pytest.mark.parametrize(
    ("job", "part"),
    [
        (JobKind.TURN, PartKind.BUSH),
        (JobKind.REPLACE, PartKind.CHAIN),
        (JobKind.REPLACE, PartKind.SPROCKET),
        (JobKind.REPLACE, PartKind.RUBBER_TRACK),
        (JobKind.RESHOE, PartKind.SHOE),
        (JobKind.REPLACE, PartKind.PAD),
    ],
)
def test_the_other_side_goes_along_where_it_is_due_soon(job, part):
    """Both at once: common practice, no source."""
    here, there = due_work(job, part, 0.0), due_work(job, part, 480.0, Call.RUN, RIGHT)
    told_here, told_there = taken_along([here, there])
    assert "both at once is usual, because" in say(told_here.because)
    assert "480 h" in say(told_here.because)
    assert say(told_there.along).startswith("Taken along with the left side")
    assert (told_there.call, told_there.due, told_there.chance) == (there.call, there.due, there.chance)
    assert told_here.along is None


def test_sides_far_apart_are_told_and_not_tied():
    here, there = taken_along(
        [due_work(JobKind.REPLACE, PartKind.CHAIN, 120.0), due_work(JobKind.REPLACE, PartKind.CHAIN, 2200.0, Call.RUN, RIGHT)]
    )  # fmt: skip
    assert "the sides lie far apart" in say(here.because)
    assert there.along is None


def test_rollers_go_one_by_one():
    work = [
        due_work(JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 0.0),
        due_work(JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 100.0, Call.RUN, RIGHT),
    ]
    assert taken_along(work) == work


def test_both_sides_booked_need_no_word():
    work = [due_work(JobKind.TURN, PartKind.BUSH, 0.0), due_work(JobKind.TURN, PartKind.BUSH, 90.0, side=RIGHT)]
    assert taken_along(work) == work


def test_what_waits_for_the_next_visit_goes_along_on_the_side_that_is_visited():
    clean, other = seen(JobKind.CLEAN_OUT, PartKind.CHAIN), seen(JobKind.CLEAN_OUT, PartKind.CHAIN, side=RIGHT)
    turn = due_work(JobKind.TURN, PartKind.BUSH, 0.0)
    along = taken_along([clean, other, turn])
    assert say(along[0].along) == "Taken along, since the left track is worked on anyway."
    assert along[1:] == [other, turn]
    assert taken_along([clean, other]) == [clean, other]


def test_work_with_hours_left_does_not_go_along_by_itself():
    roller = due_work(JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 900.0, Call.RUN)
    assert taken_along([roller, due_work(JobKind.TURN, PartKind.BUSH, 0.0)])[0] == roller


def test_sag_and_bolts_are_checked_after_whatever_settles():
    """Common practice, no source."""
    settles = [
        (JobKind.TURN, PartKind.BUSH),
        (JobKind.REPLACE, PartKind.CHAIN),
        (JobKind.RESHOE, PartKind.SHOE),
        (JobKind.REPLACE, PartKind.PAD),
        (JobKind.REPLACE, PartKind.RUBBER_TRACK),
    ]
    assert all("after the first shift" in say(check_after(*one)) for one in settles)
    assert "bolts" not in say(check_after(JobKind.REPLACE, PartKind.RUBBER_TRACK))
    assert check_after(JobKind.REPLACE, PartKind.BOTTOM_ROLLER) is None
    assert check_after(JobKind.ADJUST, PartKind.CHAIN) is None


def test_shoe_bolts_that_come_with_a_chain_are_not_counted_again(steel_gear):
    """45 shoes with four bolts each, on one side with a new chain and on the other without."""
    places = (Place(PartKind.SHOE, LEFT), Place(PartKind.SHOE, RIGHT))
    assert dict(parts_needed(JobKind.RESHOE, places, 90, steel_gear, 45))[saying("piece.shoe_bolt")] == 180
    assert dict(parts_needed(JobKind.RESHOE, places, 90, steel_gear))[saying("piece.shoe_bolt")] == 360
