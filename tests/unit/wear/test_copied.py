"""Rounded and copied figures: seen where they are, never said of parts that were each measured or are new."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from pitchline.outlook.lives import lives_of
from pitchline.trade.dossier import Dossier, Limit
from pitchline.trade.machine import Machine, MachineKind, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, WalkRound
from pitchline.wear.copied import copied, rounded_steps_m, steps_by_others_m
from pitchline.wear.doubt import reading_doubt

NEW_M, LIMIT_M = 0.160, 0.146
GEAR = RunningGear(TrackKind.STEEL, 47, 0.187, 0.57, 25, SprocketGaps.EVERY_SECOND, 8, 2)


def rollers(sizes_mm, tool="outside_calliper"):
    """A machine whose bottom rollers, left then right, read these sizes; and its walk-round."""
    sides = (Side.LEFT, Side.RIGHT)
    places = [Place(PartKind.BOTTOM_ROLLER, side, number) for side in sides for number in range(1, 9)]
    readings = tuple(
        Reading(place, Measurand.TREAD_DIAMETER, (round(size / 1e3, 7),), DEFAULT_TOOLS[tool])
        for place, size in zip(places, sizes_mm, strict=False)
    )
    visit = WalkRound(dt.date(2026, 5, 4), 3000.0, readings)
    limit = Limit(PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER, NEW_M, LIMIT_M)
    machine = Machine("invented", "Invented", MachineKind.EXCAVATOR)
    return Dossier(machine, GEAR, limits=(limit,), walk_rounds=(visit,)), visit


def groups(sizes_mm, tool="outside_calliper"):
    return copied(*rollers(sizes_mm, tool))


def test_eight_alike_half_worn_look_copied():
    (found,) = groups([153.0] * 8 + [152.0, 154.5, 153.5, 151.5, 155.0, 152.5, 154.0, 151.0])
    assert len(found.places) == 8
    assert {place.side for place in found.places} == {Side.LEFT}
    assert found.reading.value_m == pytest.approx(0.153)


def test_the_chance_is_that_of_scipys_normal_and_a_count_by_hand():
    """16 of 16 in one 0.5 mm step: p^15, with parts a fifth of 7 mm apart and half the tool's 0.7 mm besides."""
    (found,) = groups([153.0] * 16)
    scatter = np.hypot(0.35, 0.2 * 7.0)
    one_step = norm.cdf(0.25, 0, scatter) - norm.cdf(-0.25, 0, scatter)
    assert found.chance == pytest.approx(one_step**15, rel=1e-6)


@pytest.mark.parametrize("size_mm", [160.0, 159.8, 160.4])
def test_new_parts_read_alike_honestly(size_mm):
    assert groups([size_mm] * 16, "calliper") == ()


def test_three_alike_are_nothing():
    assert groups([153.0] * 3 + [152.0, 154.5, 153.5, 151.5, 155.0]) == ()


def test_few_alike_among_many_in_whole_millimetres_are_nothing():
    """16 half-worn rollers in whole millimetres: four in one step are what a normal scatter of 1.4 mm gives."""
    assert groups([152, 152, 152, 152, 153, 153, 153, 154, 154, 154, 151, 151, 155, 155, 150, 156]) == ()


def test_nothing_is_said_without_a_limit():
    machine, visit = rollers([153.0] * 16)
    assert copied(replace(machine, limits=()), visit) == ()


def test_whole_millimetres_are_a_coarser_step():
    visit = rollers([152, 153, 154, 151, 150, 153])[1]
    assert rounded_steps_m(visit) == {"outside_calliper": pytest.approx(1e-3)}


def test_sixteenths_of_an_inch_are_a_coarser_step():
    sizes = [25.4 * sixteenths / 16 for sixteenths in (95, 96, 97, 93, 94)]
    assert rounded_steps_m(rollers(sizes, "calliper")[1]) == {"calliper": pytest.approx(0.0254 / 16)}


@pytest.mark.parametrize("sizes", [[153.5, 152.0, 154.5, 151.0, 150.5], [153, 152, 151], [153.0] * 8])
def test_its_own_steps_too_few_or_one_figure_are_no_rounding(sizes):
    assert rounded_steps_m(rollers(sizes)[1]) == {}


def test_one_reading_in_the_tools_own_step_does_not_hide_the_rounding():
    assert rounded_steps_m(rollers([153, 152, 151, 154, 150.5])[1]) == {"outside_calliper": pytest.approx(1e-3)}


def test_the_step_of_a_reading_does_not_hang_on_its_own_figure():
    """Moved by half millimetres among whole ones and halves, and read once more as another place reads."""
    for others in ([152, 153, 154, 151], [152, 153, 154, 150.5], [152, 153, 154, 151, 150.5], [152, 153, 154]):
        steps = set()
        for size in (149.0, 149.5, 150.0, 152.0):
            visit = rollers([size, *others])[1]
            steps.add(steps_by_others_m(visit)[visit.readings[0].place, Measurand.TREAD_DIAMETER])
        assert steps == {1e-3 if others == [152, 153, 154, 151] else 0.0}


def test_a_step_of_a_millimetre_is_a_doubt_of_a_rectangle():
    """GUM F.2.2.1: step over the root of 12, by squares beside what the tool has anyway."""
    reading = rollers([153.0])[1].readings[0]
    tool = DEFAULT_TOOLS["outside_calliper"]
    squares = tool.repeatability_m**2 + tool.permitted_error_m**2 / 3 + 1e-3**2 / 12
    assert reading_doubt(reading, 1e-3).u_m == pytest.approx(np.sqrt(squares))
    assert reading_doubt(reading, 1e-4).u_m == reading_doubt(reading).u_m


def test_lives_know_how_many_places_read_alike():
    lives = lives_of(
        rollers([153.0] * 8 + [152.0, 154.5, 153.5, 151.5, 155.0, 152.5, 154.0, 151.0])[0], 3000.0
    ).lives
    assert [life.traces[0].alike for life in lives] == [8] * 8 + [1] * 8
    assert [life.path.share for life in lives] == [pytest.approx(1 / 8)] * 8 + [1.0] * 8


def test_lives_know_the_rounding():
    life = lives_of(rollers([153, 152, 154, 155, 151])[0], 3000.0).lives[0]
    tool = DEFAULT_TOOLS["outside_calliper"]
    rounded = np.sqrt(tool.repeatability_m**2 + tool.permitted_error_m**2 / 3 + 1e-3**2 / 12)
    assert life.traces[0].doubt.u_m == pytest.approx(rounded)
    assert life.path.wear_u[0] == pytest.approx(rounded / (NEW_M - LIMIT_M))
