"""Lists multiplied, classes copied, what moved: by hand, with invented prices."""

from dataclasses import replace

import pytest

from pitchline.money.machine_class import EVERY, MachineClass
from pitchline.money.price_changes import Moved, Times, all_multiplied, copied, moved
from pitchline.money.prices import ClassFigure, PriceLine, PriceList
from pitchline.money.stop_costs import StopCosts
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind

MIDDLE, HEAVY = MachineClass(mass_from_kg=12e3, mass_under_kg=28e3), MachineClass(mass_from_kg=28e3)
ROLLER = PriceLine(JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 180.0, 275.0, 380.0, 2.0, which=MIDDLE)
SHOE = PriceLine(JobKind.RESHOE, PartKind.SHOE, 35.0, 45.0, 60.0, 0.15, "piece")
LIST = PriceList("EUR", 65.0, (ROLLER, SHOE))


def test_class_is_copied_with_a_percentage_and_rounded():
    """165 % of 180, 275, 380 is 297, 453.75, 627; to whole fives 295, 455, 625. Hours times 120 %."""
    both = copied(LIST, MIDDLE, HEAVY, Times(1.65, 1.2, 5.0))
    new = PriceLine(JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 295.0, 455.0, 625.0, 2.4, which=HEAVY)
    assert both.lines == (ROLLER, SHOE, new)
    assert copied(both, MIDDLE, HEAVY, Times(9.0)) == both


def test_class_that_overlaps_takes_no_copy():
    with pytest.raises(NotAllowedError, match="do not overlap"):
        copied(LIST, MIDDLE, MachineClass(mass_from_kg=20e3), Times(1.65))


def test_whole_list_is_multiplied_and_small_prices_are_not_lost():
    """104 % of 45 is 46.80: less than a step of 50, so to the cent; of 275 it is 286, the nearest fifty 300."""
    both = all_multiplied(LIST, Times(1.04, step=50.0))
    assert [line.price_usual for line in both.lines] == [300.0, 46.8]
    assert [line.labour_h for line in both.lines] == [2.0, 0.15]


@pytest.mark.parametrize(
    ("price", "labour", "step"), [(0.0, 1.0, 1.0), (101.0, 1.0, 1.0), (1.0, -1.0, 1.0), (1.0, 1.0, 0.0)]
)
def test_factor_that_cannot_be_is_refused(price, labour, step):
    with pytest.raises(NotAllowedError):
        Times(price, labour, step)


def test_what_moved_is_told_once_for_each_thing():
    after = PriceList(
        "EUR",
        70.0,
        (replace(ROLLER, price_usual=260.0, labour_h=2.5), replace(SHOE, which=HEAVY)),
        tax_rate=0.19,
        stop=StopCosts(lorry=380.0),
        figures=(ClassFigure("lorry", 900.0, HEAVY),),
    )
    roller, shoe = (ROLLER.job, ROLLER.part), (SHOE.job, SHOE.part)
    assert set(moved(LIST, after)) == {
        Moved(MIDDLE, *roller, "", 275.0, 260.0),
        Moved(MIDDLE, *roller, "labour hours", 2.0, 2.5),
        Moved(HEAVY, *shoe, "a piece", None, 45.0),
        Moved(HEAVY, *shoe, "labour hours", None, 0.15),
        Moved(EVERY, *shoe, "a piece", 45.0, None),
        Moved(EVERY, *shoe, "labour hours", 0.15, None),
        Moved(EVERY, None, None, "labour per hour", 65.0, 70.0),
        Moved(EVERY, None, None, "tax percent", None, 19.0),
        Moved(EVERY, None, None, "lorry", None, 380.0),
        Moved(HEAVY, None, None, "lorry", None, 900.0),
    }
    assert moved(after, after) == ()


def test_high_price_alone_moves_a_line_and_a_first_list_moves_all_of_it():
    assert moved(LIST, replace(LIST, lines=(replace(ROLLER, price_high=400.0), SHOE))) == (
        Moved(MIDDLE, ROLLER.job, ROLLER.part, "high price", 380.0, 400.0),
    )
    assert len(moved(None, LIST)) == 5
