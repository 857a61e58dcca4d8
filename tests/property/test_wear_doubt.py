"""What must hold for every doubt budget."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading
from pitchline.wear.doubt import combined_u_m, coverage_factor, doubt_of, effective_freedom, reading_doubt
from pitchline.wear.terms import Term, rectangular

SIZES = st.floats(1e-7, 1e-2)
TERMS = st.lists(
    st.one_of(
        st.builds(rectangular, st.just("limit"), SIZES),
        st.builds(Term, st.just("scatter"), SIZES, st.floats(1, 200)),
    ),
    min_size=1,
    max_size=6,
)
REPEATS = st.lists(st.floats(0.09, 0.12), min_size=1, max_size=6)
TOOLS = st.sampled_from(sorted(DEFAULT_TOOLS)).map(DEFAULT_TOOLS.__getitem__)


def rail(repeats, tool, **more):
    return Reading(Place(PartKind.LINK, Side.LEFT), Measurand.RAIL_HEIGHT, tuple(repeats), tool, **more)


@given(REPEATS, TOOLS, st.randoms())
def test_order_of_repeats_is_irrelevant(repeats, tool, random):
    shuffled = list(repeats)
    random.shuffle(shuffled)
    assert reading_doubt(rail(shuffled, tool)).u_m == pytest.approx(
        reading_doubt(rail(repeats, tool)).u_m, rel=1e-9
    )


@given(REPEATS, TOOLS, st.floats(0, 0.01))
def test_doubt_entered_besides_never_makes_surer(repeats, tool, extra_u_m):
    plain = reading_doubt(rail(repeats, tool))
    assert reading_doubt(rail(repeats, tool, extra_u_m=extra_u_m)).u_m >= plain.u_m


@given(TERMS)
def test_terms_add_up_by_squares(terms):
    whole = combined_u_m(terms)
    assert whole**2 == pytest.approx(math.fsum(term.u_m**2 for term in terms), rel=1e-9)
    assert whole >= max(term.u_m for term in terms)


@given(TERMS)
def test_freedom_lies_between_the_least_and_the_sum(terms):
    """JCGM 100:2008, G.4.1: never above the sum; truncation keeps it at 1 or more."""
    freedom = effective_freedom(terms)
    assert freedom >= math.floor(min([1e9, *(term.freedom for term in terms)]))
    assert freedom <= math.fsum(term.freedom for term in terms) * (1 + 1e-9)
    assert freedom >= 1


@given(TERMS)
def test_factor_is_never_below_a_rectangles(terms):
    """95 % of a rectangle needs 1.645; nothing here needs less."""
    assert coverage_factor(terms) >= 0.95 * math.sqrt(3) - 1e-9
    doubt = doubt_of(terms)
    assert doubt.expanded_u_m == pytest.approx(doubt.coverage_factor * doubt.u_m)


@given(TERMS, st.floats(0.1, 10))
def test_scaling_every_term_scales_the_doubt(terms, factor):
    scaled = [
        Term(
            term.name,
            term.u_m * factor,
            term.freedom,
            None if term.half_width_m is None else term.half_width_m * factor,
        )
        for term in terms
    ]
    assert combined_u_m(scaled) == pytest.approx(factor * combined_u_m(terms), rel=1e-9)


@given(st.integers(1, 8), TOOLS)
def test_more_joints_make_a_pitch_surer(joints, tool):
    chain = Place(PartKind.CHAIN, Side.LEFT)
    doubts = [
        reading_doubt(Reading(chain, Measurand.PITCH, (0.19 * count,), tool, joints=count)).u_m
        for count in (joints, joints + 1)
    ]
    assert doubts[1] < doubts[0]
