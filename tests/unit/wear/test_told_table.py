"""The table a phone tells readings by: straight pieces that follow every wear line, and what they stand for."""

from dataclasses import replace

import numpy as np
import pytest

from pitchline.trade.dossier import Limit, LineShape
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS
from pitchline.wear.doubt import reading_doubt
from pitchline.wear.line import wear_line
from pitchline.wear.told_table import life_nodes, told_line, tool_figures_m

BUSH = Limit(PartKind.BUSH, Measurand.BUSH_OD_FORWARD, 0.059, 0.053, shape=LineShape.FLAT_ON_ROUND)
BAR = Limit(
    PartKind.SHOE,
    Measurand.GROUSER_HEIGHT,
    0.03,
    0.012,
    (),
    LineShape.TAPERED_BAR,
    tip_width_m=0.006,
    root_width_m=0.02,
)
BENT = Limit(
    PartKind.LINK, Measurand.RAIL_HEIGHT, 0.104, 0.094, ((0.1, 0.25), (0.097, 0.6)), LineShape.SHAPE_PRESERVING
)
RISES = Limit(
    PartKind.IDLER, Measurand.TREAD_DEPTH, 0.02, 0.034, ((0.024, 0.2), (0.03, 0.7)), LineShape.SHAPE_PRESERVING
)
ROLLER = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3)


@pytest.mark.parametrize("limit", [BUSH, BAR, BENT, RISES], ids=lambda limit: limit.shape.value)
def test_the_pieces_stay_within_half_a_point_of_the_line_and_are_few(limit):
    line = wear_line(limit)
    nodes = life_nodes(line)
    sizes_m = line.size_m(np.linspace(-0.9, 2.5, 5000))
    sizes_m = sizes_m[sizes_m > 0]
    told = np.interp(sizes_m, *zip(*nodes, strict=True))
    assert np.abs(told - line.life_used(sizes_m)).max() < 0.005
    assert len(nodes) < 40
    assert {0.0, 1.0} <= {life for _, life in nodes}


@pytest.mark.parametrize("between", [(), ((0.1, 0.25), (0.097, 0.6))])
def test_a_straight_line_is_its_own_table(between):
    limit = replace(BENT, between=between, shape=LineShape.STRAIGHT)
    assert life_nodes(wear_line(limit)) == ((0.094, 1.0), *between[::-1], (0.104, 0.0))


@pytest.mark.parametrize("tool", DEFAULT_TOOLS)
def test_what_a_tool_is_trusted_with_makes_the_doubt_of_one_reading(read, tool):
    once_m, rest_m, _ = tool_figures_m(DEFAULT_TOOLS[tool])
    assert np.hypot(once_m, rest_m) == pytest.approx(
        reading_doubt(read("link", "rail_height", "99", tool=tool)).u_m
    )


def test_a_line_knows_its_last_reading_until_the_part_was_renewed(dossier, visit, read, with_visits):
    earlier = visit(read("bottom_roller", "tread_diameter", "151.0", position=3), day=100, service_h=2000.0)
    told = told_line(with_visits(dossier, earlier), visit(), ROLLER, Measurand.TREAD_DIAMETER)
    assert (told.before.reading, told.before.date) == (earlier.readings[0], earlier.date)
    assert told.before.life == pytest.approx(0.5)  # 9 of 18 mm
    later = told_line(with_visits(dossier, earlier), earlier, ROLLER, Measurand.TREAD_DIAMETER)
    assert later.before is None


def test_without_a_limit_it_is_held_against_the_others_of_the_same_round(dossier, visit):
    told = told_line(replace(dossier, limits=()), visit(), ROLLER, Measurand.TREAD_DIAMETER).table
    assert told.by_others
    assert told.limit is None
    assert told.nodes == ((0.7, 1.0), (1.3, 0.0))


def test_a_setting_is_told_by_its_range_and_the_stroke(dossier, visit):
    told = told_line(
        dossier, visit(), Place(PartKind.TRACK_ADJUSTER, Side.LEFT), Measurand.ADJUSTER_EXTENSION
    ).table
    assert (told.band, told.most_m) == (None, pytest.approx(1.05 * 0.15))
