"""Typed lengths and masses. Factors: international yard and pound agreement of 1959 (exact), also in NIST SP 811."""

import pytest

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.units import (
    UnitSystem,
    figure_in,
    parse_length,
    parse_mass,
    show_hours,
    show_length,
    show_mass,
)

NBSP, THIN = "\u00a0", "\u202f"


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("190.4 mm", 0.1904),
        ("190,4", 0.1904),
        ("19.04 cm", 0.1904),
        ("0.1904 m", 0.1904),
        ("1 in", 0.0254),
        ('1"', 0.0254),
        ("1″", 0.0254),
        ("1 Inch", 0.0254),
        ("2 inches", 0.0508),
        ("1 ft", 0.3048),
        ("1'", 0.3048),
        ("3/8 in", 0.009525),  # 3/8 of 25.4 mm
        ("2 3/8 in", 0.060325),
        ("2-3/8 in", 0.060325),
        ("5 27/32 in.", 0.14843125),
        ("-1 1/2 in", -0.0381),
        ("-0 1/2 in", -0.0127),
        ("+3", 0.003),
        (".5 in", 0.0127),
        (f"1{NBSP}234 mm", 1.234),
        (f"1{THIN}234,5 mm", 1.2345),
        ("2.375 in", 0.060325),
    ],
)
def test_length_in_metres(text, metres):
    assert parse_length(text).si == pytest.approx(metres, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kilograms"),
    [
        ("21 t", 21_000.0),
        ("21,5 t", 21_500.0),
        ("21.500 t", 21_500.0),
        ("21500 kg", 21_500.0),
        ("21500", 21_500.0),
        ("100 lb", 45.359237),
        ("100 lbs", 45.359237),
        ("0.125 kg", 0.125),
    ],
)
def test_mass_in_kilograms(text, kilograms):
    assert parse_mass(text).si == pytest.approx(kilograms, rel=1e-12)


def test_text_and_unit_are_kept_as_typed():
    typed = parse_length(" 2 3/8 Inch ")
    assert (typed.text, typed.unit) == (" 2 3/8 Inch ", "in")


def test_default_unit_is_taken_only_where_none_is_typed():
    assert parse_length("2", "in").si == pytest.approx(0.0508)
    assert parse_length("2 mm", "in").si == pytest.approx(0.002)


@pytest.mark.parametrize("text", ["1,000", "1.000 mm", "190.000 mm"])
def test_length_with_what_may_be_a_thousands_mark_is_refused(text):
    with pytest.raises(NotAllowedError, match="thousands mark"):
        parse_length(text)


@pytest.mark.parametrize("text", ["47,400 lb", "47.400 lb", "21,500 kg", "21.500 kg", "1,000"])
def test_mass_with_what_may_be_a_thousands_mark_is_refused(text):
    with pytest.raises(NotAllowedError, match="thousands mark"):
        parse_mass(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "mm",
        "in",
        "abc",
        "nan",
        "inf",
        "1e3",
        "1.2.3",
        "1,2,3",
        "1 234 mm",
        "12 furlong",
        "7½ in",
        "1/0 in",
        "2.5 3/8 in",
        "2 3/ in",
        "/8 in",
        "--1",
        "1 kg",
        "1 in 2 mm",
        "9" * 400,
        "9" * 400 + "/1",
        "9" * 5000 + "/7",
    ],
)
def test_text_that_is_no_length_is_refused_by_name_value_allowed_and_next_step(text):
    with pytest.raises(NotAllowedError) as caught:
        parse_length(text, field="pitch")
    problem = caught.value.problem
    assert (problem.field, problem.seen) == ("pitch", text)
    assert problem.allowed
    assert problem.next_step


@pytest.mark.parametrize("text", ["", "21 st", "21 mm", "1,2,3 t", "heavy"])
def test_text_that_is_no_mass_is_refused(text):
    with pytest.raises(NotAllowedError, match="kg, t, lb"):
        parse_mass(text)


def test_lengths_for_reading():
    assert show_length(0.060325) == "60.3 mm"
    assert show_length(0.060325, digits=2) in ("60.32 mm", "60.33 mm")
    assert show_length(0.0254, UnitSystem.IMPERIAL) == "1.00 in"
    assert show_length(0.0127, UnitSystem.IMPERIAL, digits=3) == "0.500 in"


def test_what_a_dial_gauge_reads_is_shown_finer_than_what_a_calliper_reads():
    """A rock of 0.64 mm is 0.025 in: whole hundredths of an inch would tell neither it from 0.5 mm."""
    assert [show_length(size_m) for size_m in (0.0, 0.00064, -0.00064, 0.002)] == [
        "0.0 mm",
        "0.64 mm",
        "-0.64 mm",
        "2.0 mm",
    ]
    assert [show_length(size_m, UnitSystem.IMPERIAL) for size_m in (0.00064, 0.002, 0.00254)] == [
        "0.025 in",
        "0.079 in",
        "0.10 in",
    ]


def test_masses_for_reading():
    assert show_mass(999.0) == "999 kg"
    assert show_mass(1000.0) == "1.0 t"
    assert show_mass(45_359.237, UnitSystem.IMPERIAL) == "100,000 lb"


@pytest.mark.parametrize(
    ("hours_h", "shown"),
    [(0.0, "0 h"), (994.0, "990 h"), (1010.0, "1,000 h"), (4990.0, "5,000 h"), (7260.0, "7,300 h")],
)
def test_hours_are_rounded_as_far_as_they_can_be_trusted(hours_h, shown):
    """The rule is our own: ten below 1000 h, fifty below 5000 h, a hundred above."""
    assert show_hours(hours_h) == shown


@pytest.mark.parametrize(
    ("text", "unit", "pascals"),
    [("1 psi", "Pa", 6894.757), ("1 bar", "Pa", 1e5), ("30 kPa", "Pa", 3e4), ("2,5", "Pa", 2.5)],
)
def test_a_figure_in_another_unit_of_its_kind(text, unit, pascals):
    """NIST SP 811, appendix B: psi 6.894757 E+03 Pa, bar 1 E+05 Pa."""
    figure, factor = figure_in(text, unit)
    assert float(figure.replace(",", ".")) * factor == pytest.approx(pascals, rel=1e-6)


@pytest.mark.parametrize(("text", "unit"), [("14 t", "m"), ("5 furlongs", "m"), ("20 %", "degrees"), ("3 kg", "")])
def test_a_unit_of_another_kind_stays_and_is_no_number(text, unit):
    assert figure_in(text, unit) == (text, 1.0)
