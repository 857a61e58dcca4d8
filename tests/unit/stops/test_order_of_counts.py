"""An order list without a plan: counted from the running gear by hand, an invented one of 48 joints a side."""

from dataclasses import replace

import pytest

from pitchline.stops.order import order_of_counts, order_of_part
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import RunningGear, SprocketGaps, TrackKind
from pitchline.trade.parts import PartKind

GEAR = RunningGear(
    TrackKind.STEEL,
    48,
    0.19,
    0.6,
    23,
    SprocketGaps.EVERY_SECOND,
    8,
    2,
    two_flange_rollers=(1, 3, 6, 8),
    bolts_per_shoe=4,
)


def counted(order):
    return {one.words.code: one.count for one in order.parts}


@pytest.mark.parametrize(
    ("part", "expected"),
    [
        (PartKind.CHAIN, {"order.chain": 2, "order.shoe_bolt": 2 * 48 * 4}),
        (PartKind.BOTTOM_ROLLER, {"order.roller_two_flanges": 8, "order.roller_one_flange": 8}),
        (PartKind.SHOE, {"order.shoe": 96, "order.shoe_bolt": 384}),
        (PartKind.SPROCKET, {"order.part": 2}),
        (PartKind.RUBBER_TRACK, {}),
    ],
)
def test_all_of_a_part_on_both_sides(part, expected):
    assert counted(order_of_part(part, GEAR)) == expected


def test_a_few_of_what_was_asked_for():
    asked = [
        (JobKind.REPLACE, PartKind.UPPER_ROLLER, 1, False),
        (JobKind.REPLACE, PartKind.SPROCKET, 2, False),
        (JobKind.RESHOE, PartKind.SHOE, 5, True),
    ]
    order = order_of_counts(asked, replace(GEAR, sprocket_segments=5))
    assert counted(order) == {
        "order.part": 1,
        "order.sprocket_segment": 10,
        "order.shoe": 5,
        "order.shoe_bolt": 20,
    }
    assert "order.fixing_bolts" in {one.words.code for one in order.ask}


def test_nothing_is_ordered_for_what_the_machine_has_not():
    assert order_of_counts([(JobKind.REPLACE, PartKind.RUBBER_TRACK, 2, False)], GEAR).parts == ()
