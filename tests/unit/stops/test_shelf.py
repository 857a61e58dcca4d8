"""The shelf and whom it is promised to; every count here is reckoned by hand or by trying all ways."""

import itertools

import numpy as np
import pytest

from pitchline.stops.order import OrderLine, OrderList, StopJob, order_list
from pitchline.stops.shelf import SHELVED, Stock, Want, allot, shelved_as, wants_of, with_shelf
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import RunningGear, SprocketGaps, TrackKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import saying
from pitchline.words import say

GEAR = RunningGear(
    TrackKind.STEEL, 45, 0.19, 0.6, 23, SprocketGaps.EACH, 7, 2, two_flange_rollers=(1, 7), bolts_per_shoe=4
)
ROLLERS = tuple(place for place in GEAR.places() if place.part is PartKind.BOTTOM_ROLLER)


def order_of(job, places, pieces):
    return order_list((StopJob(job, places, pieces),), GEAR)


def test_an_order_takes_what_its_lines_count():
    """7 rollers a side, 2 of them with two flanges: 4 and 10; a shod side has 45 shoes and 4 bolts to each."""
    assert wants_of(order_of(JobKind.REPLACE, ROLLERS, 14)) == {"roller_two_flanges": 4, "roller_one_flange": 10}
    shoes = (Place(PartKind.SHOE, Side.LEFT),)
    assert wants_of(order_of(JobKind.RESHOE, shoes, 45)) == {"shoe": 45, "shoe_bolt": 180}
    chain = (Place(PartKind.CHAIN, Side.LEFT),)
    assert wants_of(order_of(JobKind.REPLACE, chain, 45))["chain"] == 1


def test_what_was_done_is_no_longer_wanted():
    done = frozenset(ROLLERS[:7])
    assert wants_of(order_of(JobKind.REPLACE, ROLLERS, 14), done) == {
        "roller_two_flanges": 2,
        "roller_one_flange": 5,
    }
    assert wants_of(order_of(JobKind.REPLACE, ROLLERS, 14), frozenset(ROLLERS)) == {}


def test_lines_say_what_is_there_and_what_is_to_order():
    order = with_shelf(order_of(JobKind.REPLACE, ROLLERS, 14), {"roller_one_flange": 3, "roller_two_flanges": 9})
    told = {say(line.words): (line.count, line.on_shelf, say(line.known)) for line in order.parts}
    assert told["bottom roller, one flange"] == (10, 3, "on the shelf: 3, to order: 7")
    assert told["bottom roller, two flanges"] == (4, 4, "on the shelf: 4, to order: 0")


def test_two_lines_of_one_thing_share_what_is_there():
    lines = tuple(
        OrderLine(saying("order.shoe"), 4, (Place(PartKind.SHOE, side),)) for side in (Side.LEFT, Side.RIGHT)
    )
    order = OrderList(lines, (), (), (), 0.0, (), (), ())
    assert [line.on_shelf for line in with_shelf(order, {"shoe": 5}).parts] == [4, 1]
    uncounted = OrderList((OrderLine(saying("order.shoe"), None, ()),), (), (), (), 0.0, (), (), ())
    assert with_shelf(uncounted, {"shoe": 5}).parts[0].on_shelf is None


def test_everything_on_the_shelf_has_a_name():
    assert len(set(SHELVED)) == len(SHELVED)
    for what in SHELVED:
        code = "order.part" if what in list(PartKind) else f"order.{what}"
        line = OrderLine(saying(code, part=what), 1, ())
        assert shelved_as(line) == what
        assert say(line.words)


def test_no_piece_is_promised_twice_and_none_lies_idle_that_somebody_wants():
    """Drawn shelves and wants, a want at a time: whoever is first gets as many as the best of all ways would give it."""
    rng = np.random.default_rng(16)
    for _ in range(200):
        stock = [
            Stock(
                str(n),
                "chain",
                int(rng.integers(0, 4)),
                str(rng.choice(("", "a", "b"))),
                str(rng.choice(("", "N", "S"))),
            )
            for n in range(4)
        ]
        wants = [
            Want(
                "chain", int(rng.integers(0, 5)), str(rng.choice(("", "a", "b"))), str(rng.choice(("", "N", "S")))
            )
            for _ in range(3)
        ]
        given = allot(stock, wants)
        left = {one.item: one.count for one in stock}
        for want, mine in zip(wants, given, strict=True):
            may = [
                one
                for one in stock
                if want.gear and one.gear == want.gear and (not one.depot or one.depot == want.depot)
            ]
            there = sum(left[one.item] for one in may)
            assert sum(mine.values()) == min(want.count, there)
            assert set(mine) <= {one.item for one in may}
            for item, count in mine.items():
                left[item] -= count
                assert count > 0 <= left[item]


def test_what_lies_at_the_machines_own_depot_goes_first():
    stock = [Stock("anywhere", "idler", 1, "g"), Stock("north", "idler", 1, "g", "N")]
    for first, second in itertools.pairwise(
        allot(stock, [Want("idler", 1, "g", "N"), Want("idler", 1, "g", "S")])
    ):
        assert (first, second) == ({"north": 1}, {"anywhere": 1})


@pytest.mark.parametrize(("what", "count"), [("chain", -1), ("spade", 1)])
def test_what_cannot_lie_there_is_refused(what, count):
    with pytest.raises(NotAllowedError):
        Stock("x", what, count, "")
