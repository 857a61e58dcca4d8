"""Arc costs against sums by hand on the tiny example."""

import pytest

from pitchline.stops.tables import NEVER, tables_of, ways_named

A, CURRENT, NEW = 0, 0, 1


def test_staying_costs_the_penalties_of_its_age(tiny_stops):
    tables = tables_of(tiny_stops())
    assert tables.wear[0, A, CURRENT].tolist() == [0.0, 0.0, 2.0, 10.0]
    assert tables.end[0, A, CURRENT] == 30.0
    assert tables.wear[2, A, NEW, 2:].tolist() == [0.0, 1.0]
    assert tables.end[2, A, NEW] == 0.0 + 1.0 + 2.0 - 0.0


def test_a_stage_is_left_after_it_was_entered(tiny_stops):
    tables = tables_of(tiny_stops())
    assert (tables.wear[3, A, NEW, :3] >= NEVER / 2).all()
    assert tables.wear[3, A, NEW, 3] == 0.0


def test_stages_are_entered_as_they_can_be(tiny_stops):
    """Today's stage from the start only, the others by a job only."""
    tables = tables_of(tiny_stops())
    assert (tables.wear[1:, A, CURRENT] >= NEVER / 2).all()
    assert (tables.wear[0, A, NEW] >= NEVER / 2).all()
    assert tables.end[0, A, NEW] >= NEVER / 2


def test_money_later_is_worth_less(tiny_stops):
    """One step is one year here: a tenth of interest divides by 1.1 a step."""
    tables = tables_of(tiny_stops(discount=0.1))
    assert tables.wear[0, A, CURRENT, 3] == pytest.approx(2 / 1.1**2 + 8 / 1.1**3)
    assert tables.end[2, A, NEW] == pytest.approx(1 / 1.1**3 + 2 / 1.1**4)
    assert tables.stop == pytest.approx([4 / 1.1**step for step in range(4)])
    assert tables.ways[0].cost == pytest.approx([12 / 1.1**step for step in range(4)])


def test_ways_are_found_by_their_name(tiny_stops):
    tables = tables_of(tiny_stops())
    assert ways_named(tables, ("B", "replace")).tolist() == [2, 3]
    assert ways_named(tables, ("B", "turn")).tolist() == []
