import math

import pytest

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import Reading, Tool
from pitchline.wear.doubt import (
    coverage_factor,
    doubt_of,
    effective_freedom,
    reading_doubt,
    repeats_term,
)
from pitchline.wear.terms import Term, rectangular, sample_sd_m

TOOL = Tool("test", "test calliper", resolution_m=0.0001, permitted_error_m=0.0002, repeatability_m=0.0003)
RAIL = Place(PartKind.LINK, Side.LEFT)


def rail(*repeats_m, tool=TOOL, extra_u_m=0.0):
    return Reading(RAIL, Measurand.RAIL_HEIGHT, repeats_m, tool, extra_u_m=extra_u_m)


def test_a_single_reading_takes_the_tools_repeatability():
    doubt = reading_doubt(rail(0.105))
    expected = math.sqrt(0.0003**2 + 0.0001**2 / 12 + 0.0002**2 / 3)
    assert doubt.u_m == pytest.approx(expected, rel=1e-12)
    assert [term.name for term in doubt.terms] == ["repeatability", "resolution", "tool limit"]


@pytest.mark.parametrize("count", [2, 3])
def test_repeats_that_happen_to_agree_are_not_taken_as_perfect(count):
    assert repeats_term(rail(*[0.105] * count)).u_m == pytest.approx(0.0003 / math.sqrt(count))


def test_repeats_that_scatter_more_than_the_tool_lead():
    term = repeats_term(rail(0.105, 0.1058))
    assert term.u_m == pytest.approx(0.0004)
    assert term.freedom == 1 + 8


def test_repeats_that_scatter_far_more_than_the_tool_stand_alone():
    assert repeats_term(rail(0.105, 0.109)).freedom == 1


def test_four_repeats_speak_for_themselves():
    term = repeats_term(rail(0.105, 0.105, 0.105, 0.1051))
    assert term.u_m == pytest.approx(0.00005 / 2, rel=1e-9)
    assert term.freedom == 3


def test_a_pitch_over_four_joints_is_four_times_as_sure():
    chain = Place(PartKind.CHAIN, Side.LEFT)
    one = reading_doubt(Reading(chain, Measurand.PITCH, (0.190,), TOOL))
    four = reading_doubt(Reading(chain, Measurand.PITCH, (0.760,), TOOL, joints=4))
    assert four.u_m == pytest.approx(one.u_m / 4)
    assert four.expanded_u_m == pytest.approx(one.expanded_u_m / 4)


def test_mud_entered_besides_adds_to_the_doubt():
    clean, muddy = reading_doubt(rail(0.105)), reading_doubt(rail(0.105, extra_u_m=0.001))
    assert muddy.u_m == pytest.approx(math.hypot(clean.u_m, 0.001))
    assert muddy.terms[-1].name == "entered besides"


def test_a_perfect_tool_leaves_no_doubt():
    doubt = reading_doubt(rail(0.105, tool=Tool("ideal", "ideal tool", 0.0, 0.0, 0.0)))
    assert (doubt.u_m, doubt.expanded_u_m, doubt.freedom) == (0.0, 0.0, math.inf)


def test_a_dominant_tool_limit_gives_the_rectangles_factor():
    coarse = Tool("coarse", "coarse tool", 0.0, 0.001, 0.00001)
    assert reading_doubt(rail(0.105, tool=coarse)).coverage_factor == pytest.approx(0.95 * math.sqrt(3))


def test_one_repeat_has_no_scatter():
    with pytest.raises(NotAllowedError, match="two or more"):
        sample_sd_m([0.1])


def test_known_terms_have_endless_freedom():
    assert effective_freedom([rectangular("a", 1.0), rectangular("b", 1.0)]) == math.inf


def test_comparable_rectangles_and_scatter_fall_back_to_students_t():
    terms = [rectangular("a", 1.0), Term("scatter", 0.5, 4)]
    assert coverage_factor(terms) == pytest.approx(doubt_of(terms).coverage_factor)
    assert coverage_factor(terms) > 1.96


@pytest.mark.parametrize(("u_m", "freedom"), [(-1.0, 1), (math.nan, 1), (math.inf, 1), (1.0, 0)])
def test_terms_that_cannot_be_are_refused(u_m, freedom):
    with pytest.raises(NotAllowedError):
        Term("x", u_m, freedom)
