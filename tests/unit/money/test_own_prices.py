"""Which price is a machine's own: tables worked out by hand. Every price is invented."""

from dataclasses import replace

import pytest

from pitchline.money.machine_class import EVERY, MachineClass, PricedMachine
from pitchline.money.owning import Owning
from pitchline.money.prices import ClassFigure, ClassOwning, PriceLine, PriceList
from pitchline.money.stop_costs import StopCosts
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import MachineKind
from pitchline.trade.parts import PartKind

ROLLER = (JobKind.REPLACE, PartKind.BOTTOM_ROLLER)
LIGHT, MIDDLE = MachineClass(mass_under_kg=4e3), MachineClass(mass_from_kg=12e3, mass_under_kg=28e3)
DOZERS, MIDDLE_DOZERS = (
    MachineClass(kind=MachineKind.DOZER),
    MachineClass(MachineKind.DOZER, mass_from_kg=12e3, mass_under_kg=28e3),
)
WIDE = MachineClass(gear="Wide steel, 47 joints")


def roller(price, which=EVERY, hours=2.0):
    return PriceLine(*ROLLER, price, price, price, hours, which=which)


LIST = PriceList(
    "EUR",
    65.0,
    (
        roller(260.0),
        roller(90.0, LIGHT, 1.0),
        roller(275.0, MIDDLE),
        roller(300.0, DOZERS),
        roller(320.0, MIDDLE_DOZERS),
        roller(410.0, WIDE),
        PriceLine(JobKind.REPLACE, PartKind.SPROCKET, 800.0, 900.0, 950.0, 4.0, which=LIGHT),
    ),
)
EX, DOZER = MachineKind.EXCAVATOR, MachineKind.DOZER


@pytest.mark.parametrize(
    ("machine", "price"),
    [
        (PricedMachine(), 260.0),
        (PricedMachine(EX), 260.0),
        (PricedMachine(EX, 2e3), 90.0),
        (PricedMachine(EX, 3999.9), 90.0),
        (PricedMachine(EX, 4e3), 260.0),
        (PricedMachine(EX, 12e3), 275.0),
        (PricedMachine(EX, 27999.0), 275.0),
        (PricedMachine(EX, 28e3), 260.0),
        (PricedMachine(DOZER), 300.0),
        (PricedMachine(DOZER, 2e3), 90.0),
        (PricedMachine(DOZER, 20e3), 320.0),
        (PricedMachine(DOZER, 20e3, ("Wide steel, 47 joints",)), 410.0),
        (PricedMachine(DOZER, 20e3, ("Narrow steel",)), 320.0),
    ],
)
def test_most_specific_price_wins(machine, price):
    """By hand: gear list entry, then family and mass, then mass, then family, then all."""
    assert LIST.for_machine(machine).line_for(*ROLLER).price_usual == price
    assert LIST.own_line(*ROLLER, machine).price_usual == price


def test_part_priced_for_another_class_alone_is_not_priced():
    light, heavy = (LIST.for_machine(PricedMachine(EX, mass_kg)) for mass_kg in (2e3, 45e3))
    assert light.line_for(JobKind.REPLACE, PartKind.SPROCKET).price_usual == 900.0
    assert heavy.line_for(JobKind.REPLACE, PartKind.SPROCKET) is None
    assert LIST.line_for(JobKind.REPLACE, PartKind.SPROCKET) is None


def test_own_prices_stay_what_they_are_when_asked_for_again():
    own = LIST.for_machine(PricedMachine(EX, 2e3))
    assert own.for_machine(PricedMachine(DOZER, 20e3)) is own
    assert {line.which for line in own.lines} == {EVERY}


def test_entry_of_its_newest_name_comes_before_an_older_one():
    renamed = replace(LIST, lines=(*LIST.lines, roller(1.0, MachineClass(gear="Steel 600"))))
    machine = PricedMachine(gear=("Wide steel, 47 joints", "Steel 600"))
    assert renamed.for_machine(machine).line_for(*ROLLER).price_usual == 410.0


@pytest.mark.parametrize(
    "which",
    [
        MachineClass(mass_from_kg=27e3),
        MachineClass(mass_under_kg=12.1e3),
        MachineClass(mass_from_kg=13e3, mass_under_kg=14e3),
    ],
)
def test_classes_that_overlap_are_refused(which):
    with pytest.raises(NotAllowedError, match="do not overlap"):
        replace(LIST, lines=(*LIST.lines, roller(1.0, which)))


def test_classes_that_touch_do_not_overlap():
    beside = MachineClass(mass_from_kg=28e3)
    assert replace(LIST, lines=(*LIST.lines, roller(1.0, beside))).own_line(*ROLLER, PricedMachine(EX, 28e3))


@pytest.mark.parametrize(
    "made",
    [
        {"mass_from_kg": 0.0},
        {"mass_under_kg": -1.0},
        {"mass_from_kg": 5e3, "mass_under_kg": 5e3},
        {"gear": "Wide", "kind": EX},
        {"gear": "Wide", "mass_under_kg": 5e3},
    ],
)
def test_class_that_cannot_be_is_refused(made):
    with pytest.raises(NotAllowedError):
        MachineClass(**made)


STOP = StopCosts(lorry=380.0, call_out=90.0, standing_per_h=35.0, busy_standing_per_h=70.0, busy_months=(5, 6))
FIGURES = replace(
    LIST,
    stop=STOP,
    figures=(
        ClassFigure("lorry", 900.0, MIDDLE),
        ClassFigure("labour_per_h", 80.0, MIDDLE),
        ClassFigure("standing_per_h", 60.0, MIDDLE),
        ClassFigure("standing_per_h", 95.0, WIDE),
        ClassFigure("busy_standing_per_h", 140.0, WIDE),
    ),
)


@pytest.mark.parametrize(
    ("machine", "labour", "lorry", "may", "july"),
    [
        (PricedMachine(EX, 2e3), 65.0, 380.0, 70.0, 35.0),
        (PricedMachine(EX, 20e3), 80.0, 900.0, 60.0, 60.0),
        (PricedMachine(EX, 20e3, WIDE.gear and (WIDE.gear,)), 80.0, 900.0, 140.0, 95.0),
    ],
)
def test_figures_beside_the_lines_are_a_classs_own_too(machine, labour, lorry, may, july):
    """By hand; a class with a standing hour of its own does not take the busy one of all machines, which may be less."""
    own = FIGURES.for_machine(machine)
    assert (own.labour_per_h, own.stop.lorry, own.stop.call_out) == (labour, lorry, 90.0)
    assert (own.stop.standing_rate(5), own.stop.standing_rate(7)) == (may, july)


def test_figure_of_a_class_where_all_machines_have_none():
    own = replace(LIST, figures=(ClassFigure("call_out", 50.0, LIGHT),)).for_machine(PricedMachine(EX, 2e3))
    assert own.stop == StopCosts(call_out=50.0)


RECKONED = Owning(price_new=100_000.0, life_h=10_000.0, hours_per_year=1000.0, salvage=0.2, interest=0.05)
"""Half of 8.00 an hour lost; (9 x 1.2 + 2) / 20 = 0.64 of the price in it, at 5 % over 1000 h 3.20 an hour: 7.20."""


def test_reckoned_standing_hour_stands_where_none_is_entered():
    bare = replace(STOP, standing_per_h=None, busy_standing_per_h=None, busy_months=())
    lists = replace(LIST, stop=bare, owning=(ClassOwning(RECKONED),))
    assert lists.for_machine(PricedMachine(EX, 2e3)).stop == replace(bare, standing_per_h=7.2)
    of_class = replace(LIST, stop=STOP, owning=(ClassOwning(RECKONED, MIDDLE),))
    assert of_class.for_machine(PricedMachine(EX, 20e3)).stop.standing_rate(5) == 7.2
    assert of_class.for_machine(PricedMachine(EX, 2e3)).stop == STOP


@pytest.mark.parametrize(
    "more",
    [
        {"owning": (ClassOwning(RECKONED),)},
        {"figures": (ClassFigure("standing_per_h", 1.0, MIDDLE),), "owning": (ClassOwning(RECKONED, MIDDLE),)},
        {"owning": (ClassOwning(RECKONED, MIDDLE), ClassOwning(RECKONED, MIDDLE))},
        {"figures": (ClassFigure("lorry", 1.0, MIDDLE), ClassFigure("lorry", 2.0, MIDDLE))},
        {"stop": None, "figures": (ClassFigure("busy_standing_per_h", 1.0, MIDDLE),)},
    ],
    ids=["both", "both of a class", "reckoned twice", "twice", "busy rate without months"],
)
def test_figures_that_contradict_are_refused(more):
    with pytest.raises(NotAllowedError):
        replace(LIST, **({"stop": STOP} | more))


@pytest.mark.parametrize(
    ("name", "amount", "which"), [("lorry", -1.0, LIGHT), ("lorry", 1.0, EVERY), ("x", 1.0, LIGHT)]
)
def test_figure_of_a_class_that_cannot_be_is_refused(name, amount, which):
    with pytest.raises(NotAllowedError):
        ClassFigure(name, amount, which)
