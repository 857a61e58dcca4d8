"""The invented price list."""

from pitchline.demo.prices import invented_prices
from pitchline.money.machine_class import EVERY, MachineClass, PricedMachine
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import MachineKind
from pitchline.trade.parts import PartKind


def test_the_list_says_that_it_is_invented() -> None:
    assert "invented" in invented_prices().source


def test_common_jobs_are_priced_and_some_are_not() -> None:
    prices = invented_prices()
    for job, part in (
        (JobKind.TURN, PartKind.BUSH),
        (JobKind.REPLACE, PartKind.CHAIN),
        (JobKind.REPLACE, PartKind.SPROCKET),
        (JobKind.REPLACE, PartKind.BOTTOM_ROLLER),
        (JobKind.REBUILD, PartKind.IDLER),
        (JobKind.RESHOE, PartKind.SHOE),
        (JobKind.REPLACE, PartKind.RUBBER_TRACK),
        (JobKind.ADJUST, PartKind.CHAIN),
    ):
        assert prices.line_for(job, part) is not None
    for part in (PartKind.SLEW_RING, PartKind.FINAL_DRIVE, PartKind.GUARD):
        assert prices.line_for(JobKind.REPLACE, part) is None


def test_shoes_pads_and_bolts_are_priced_by_the_piece() -> None:
    by_piece = {line.part for line in invented_prices().lines if line.per == "piece"}
    assert {PartKind.SHOE, PartKind.PAD} <= by_piece


def test_a_roller_of_a_small_machine_is_cheaper_than_one_of_a_large_one() -> None:
    """By hand from the list's own words: 260 for 7 to 28 t, 0.45 and 1.9 times that, to whole 5 EUR."""
    usual = {}
    for mass_kg in (2e3, 6.999e3, 7e3, 20e3, 27.999e3, 28e3, 45e3, None):
        own = invented_prices().for_machine(PricedMachine(MachineKind.EXCAVATOR, mass_kg))
        line = own.line_for(JobKind.REPLACE, PartKind.BOTTOM_ROLLER)
        assert line is not None
        usual[mass_kg] = (line.price_usual, line.labour_h)
    small, large = (115.0, 1.4), (495.0, 2.8)
    assert list(usual.values()) == [
        small,
        small,
        (260.0, 2.0),
        (260.0, 2.0),
        (260.0, 2.0),
        large,
        large,
        (260.0, 2.0),
    ]


def test_every_class_has_the_same_jobs_but_for_rubber_tracks() -> None:
    jobs: dict[MachineClass, set[tuple[JobKind, PartKind]]] = {}
    for line in invented_prices().lines:
        jobs.setdefault(line.which, set()).add((line.job, line.part))
    every = jobs.pop(EVERY)
    assert len(jobs) == 2
    for one in jobs.values():
        assert {part for _, part in every - one} == {PartKind.RUBBER_TRACK}
