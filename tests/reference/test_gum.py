"""Measurement uncertainty against JCGM 100:2008 (GUM) and EA-4/02.

Sources
- JCGM 100:2008, Evaluation of measurement data: guide to the expression of uncertainty in measurement. Example H.1 (end-gauge
  calibration), table G.2 (Student's t), clauses named beside each check.
- EA-4/02, Evaluation of the uncertainty of measurement in calibration, supplement S9 (digital multimeter)
  and S10 (vernier calliper); figures of both from memory.
"""

import math

import numpy as np
import pytest
from scipy import stats

from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import Reading, Tool
from pitchline.wear.doubt import (
    combined_u_m,
    coverage_factor,
    doubt_of,
    effective_freedom,
    reading_doubt,
    t_factor,
    trapezoid_factor,
)
from pitchline.wear.terms import Term, rectangular, sample_sd_m, type_a


@pytest.fixture
def end_gauge():
    """Table H.1: contributions [nm, kept as metres] and their freedom."""
    figures = ((25.0, 18), (16.599, 2), (6.7, 8), (5.8, 24), (3.9, 5), (2.88679, 50))
    return [Term(f"term {number}", u_nm * 1e-9, freedom) for number, (u_nm, freedom) in enumerate(figures)]


def test_end_gauge_combined_uncertainty(end_gauge):
    """H.1.4: 32 nm; 31.66 nm by the digits of GTC, an open metrology library that works the example again (from memory)."""
    assert combined_u_m(end_gauge) == pytest.approx(31.66e-9, abs=0.005e-9)
    assert round(combined_u_m(end_gauge) * 1e9) == 32


def test_end_gauge_effective_freedom(end_gauge):
    """H.1.6: 16.7, truncated to 16."""
    assert effective_freedom(end_gauge) == 16


def test_end_gauge_expanded_uncertainty(end_gauge):
    """H.1.6: t 2.92 at 99 %; 93 nm printed, from the rounded 32 nm."""
    factor = coverage_factor(end_gauge, 0.99)
    assert factor == pytest.approx(2.92, abs=0.005)
    assert round(factor, 2) * 32 == pytest.approx(93, abs=0.5)
    assert factor * combined_u_m(end_gauge) == pytest.approx(93e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("freedom", "coverage", "printed"),
    [
        (1, 0.95, 12.71),
        (2, 0.95, 4.30),
        (10, 0.95, 2.23),
        (50, 0.95, 2.01),
        (16, 0.99, 2.92),
        (math.inf, 0.95, 1.960),
    ],
)
def test_students_t_as_in_table_g2(freedom, coverage, printed):
    assert t_factor(freedom, coverage) == pytest.approx(printed, abs=0.005)


def test_multimeter_one_rectangular_term_dominates():
    """EA-4/02 S9 (from memory): u 3.0e-2, k 1.65, U 0.05."""
    root = math.sqrt(3)
    terms = [Term("a", 1.0e-3, math.inf), rectangular("b", 2.9e-2 * root), rectangular("c", 6.4e-3 * root)]
    doubt = doubt_of(terms)
    assert doubt.u_m == pytest.approx(3.0e-2, abs=0.05e-2)
    assert doubt.coverage_factor == pytest.approx(1.65, abs=0.006)
    assert doubt.expanded_u_m == pytest.approx(5.0e-2, abs=0.5e-2)


def test_calliper_two_rectangular_terms_dominate():
    """EA-4/02 S10 (from memory): half-widths 50 and 25 um with small others: u 33 um, k 1.83, U 0.06 mm."""
    terms = [
        rectangular("mechanical", 50e-6),
        rectangular("resolution", 25e-6),
        rectangular("gauge block", 0.8e-6),
        rectangular("temperature", 2.0e-6),
    ]
    doubt = doubt_of(terms)
    assert doubt.u_m == pytest.approx(33e-6, abs=1e-6)
    assert doubt.coverage_factor == pytest.approx(1.83, abs=0.005)
    assert doubt.expanded_u_m == pytest.approx(0.06e-3, abs=0.005e-3)


def test_type_a_of_four_repeats():
    """Computed independently: 148.2, 148.5, 148.1, 148.6 mm."""
    repeats_m = (0.1482, 0.1485, 0.1481, 0.1486)
    assert np.mean(repeats_m) * 1e3 == pytest.approx(148.35, abs=1e-9)
    assert sample_sd_m(repeats_m) * 1e3 == pytest.approx(0.238048, abs=1e-6)
    term = type_a("repeats", repeats_m)
    assert term.u_m * 1e3 == pytest.approx(0.119024, abs=1e-6)
    assert term.freedom == 3


def test_whole_budget_of_four_repeats():
    """Computed independently: with resolution 0.1, tool limit 0.05 and 11.5e-6 x 150 x 10 mm rectangular."""
    tool = Tool("test_calliper", "calliper", 0.0001, 0.00005, 0.0003)
    expansion_m = 11.5e-6 * 0.150 * 10
    reading = Reading(
        Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 1),
        Measurand.TREAD_DIAMETER,
        (0.1482, 0.1485, 0.1481, 0.1486),
        tool,
        extra_u_m=expansion_m / math.sqrt(3),
    )
    assert reading_doubt(reading).u_m * 1e3 == pytest.approx(0.126224, abs=1e-6)


@pytest.mark.parametrize("coverage", [0.5, 0.8, 0.95, 0.99])
@pytest.mark.parametrize("ratio", [0.0, 0.01, 0.05, 0.3, 0.7, 1.0])
def test_trapezoid_factor_is_the_quantile_of_two_rectangles_added(ratio, coverage):
    """Against scipy's trapezoidal distribution over the whole range of ratios and coverages."""
    half = 1 + ratio
    side = ratio / half
    law = stats.trapezoid(side, 1 - side, loc=-half, scale=2 * half)
    expected = law.ppf((1 + coverage) / 2) / law.std()
    assert trapezoid_factor((1.0, ratio), coverage) == pytest.approx(expected, rel=1e-6)
