"""Units there and back. Factors: international yard and pound agreement of 1959 (exact)."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.units import Typed, UnitSystem, parse_length, parse_mass, show_length, show_mass

INCH = Fraction(254, 10_000)
lengths_m = st.floats(0.0, 3.0)
masses_kg = st.floats(1000.0, 900_000.0)


@given(lengths_m)
def test_a_length_in_millimetres_reads_back(length_m):
    # four decimals: three could be taken for a thousands mark and are refused
    assert parse_length(show_length(length_m, digits=4)).si == pytest.approx(length_m, abs=0.51e-7)


@given(lengths_m)
def test_a_length_in_inches_reads_back(length_m):
    shown = show_length(length_m, UnitSystem.IMPERIAL, digits=4)
    assert parse_length(shown).si == pytest.approx(length_m, abs=0.51e-4 * 0.0254)


@given(masses_kg)
def test_a_mass_in_tonnes_reads_back(mass_kg):
    assert parse_mass(show_mass(mass_kg)).si == pytest.approx(mass_kg, abs=51.0)


@given(st.integers(0, 99), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_inch_fractions_are_exact(whole, numerator, denominator):
    expected = float((whole + Fraction(numerator, denominator)) * INCH)
    assert parse_length(f"{whole} {numerator}/{denominator} in").si == pytest.approx(expected, rel=1e-12)


@given(st.integers(0, 9999), st.integers(0, 99), st.sampled_from(["mm", "cm", "m", "in", "ft"]))
def test_decimal_comma_and_point_agree(whole, hundredths, unit):
    point, comma = f"{whole}.{hundredths:02d} {unit}", f"{whole},{hundredths:02d} {unit}"
    assert parse_length(point).si == parse_length(comma).si


def parsed_or_refused(parse, text):
    """What a text means, or why it is refused; anything else that is raised fails the test."""
    try:
        return parse(text)
    except NotAllowedError as error:
        return error.problem


@given(st.text(max_size=40) | st.text("0123456789.,/ -+'\"inmftkgb", max_size=12))
def test_any_text_is_a_finite_quantity_or_refused_with_a_next_step(text):
    for parse in (parse_length, parse_mass):
        found = parsed_or_refused(parse, text)
        if isinstance(found, Typed):
            assert math.isfinite(found.si)
            assert found.text == text
        else:
            assert found.seen == text
            assert found.allowed
            assert found.next_step
