"""Thousands marks at the desk: every way the settings offer, and what each field makes of a mark that could mean either.

What each text means follows from the three ways of writing the settings offer, and from arithmetic; nothing outside decides it.
"""

import pytest

from pitchline.desk.thousands import figure_text, length_text, number_text
from pitchline.exchange.figures import number_of, typed_length
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.measurands import MEASURANDS
from pitchline.trade.writing import LOCALES, Writing, marked, writing

STYLES = tuple(LOCALES)
THIN = "\u202f"


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize(
    ("said", "hours"), [("2,612", 2612), ("12,345.5", 12345.5), ("1,234,567", 1234567), ("612.5", 612.5)]
)
def test_what_a_page_shows_can_be_typed(style, said, hours):
    with writing(Writing(style)):
        shown = f"{marked(said)} h"
    assert number_of(number_text(shown, style, "h"), "hours") == hours


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize(
    ("typed", "hours"),
    [
        ("2 612", 2612),
        ("2'612", 2612),
        ("2\u2019612,5", 2612.5),
        (f"2{THIN}612.5", 2612.5),
        ("1.234.567", 1234567),
        ("1,234.5", 1234.5),
        ("1.234,5", 1234.5),
        ("12 345 678", 12345678),
        ("2612", 2612),
        ("2612,5", 2612.5),
        ("2612.625", 2612.625),
        ("0,625", 0.625),
        ("46,1", 46.1),
        ("46.12", 46.12),
        (" 8150 H ", 8150),
    ],
)
def test_what_can_be_read_one_way_is_read_in_every_style(style, typed, hours):
    assert number_of(number_text(typed, style, "h"), "hours") == hours


@pytest.mark.parametrize(
    ("style", "typed"), [("point", "2.612"), ("comma", "2,612"), ("space", "2,612"), ("space", "2.612")]
)
def test_a_decimal_mark_before_three_digits_is_asked_about(style, typed):
    with pytest.raises(NotAllowedError, match=r"this could be 2612 or 2\.612") as asked:
        number_of(number_text(typed, style), "hours")
    assert "Type 2612 for the first" in asked.value.problem.next_step


@pytest.mark.parametrize(
    "typed",
    ["", "h", "two", "1,,234", "1,23,456", "1 23", "1.234,567,8", "1 234 56", "-2,612", "1/2,345", "12,3456"],
)
@pytest.mark.parametrize("style", STYLES)
def test_what_is_no_number_stays_none(style, typed):
    read = number_text(typed, style)
    if typed == "12,3456":
        assert number_of(read, "hours") == pytest.approx(12.3456)
        return
    with pytest.raises(NotAllowedError):
        number_of(read, "hours")


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize(
    ("typed", "unit", "least_mm", "most_mm", "mm"),
    [
        ("46,1", "mm", 10, 200, 46.1),
        ("46,125", "mm", 10, 200, 46.125),
        ("46.000", "mm", 10, 200, 46),
        ("1,234", "mm", 160, 2400, 1234),
        ("1.234 mm", "mm", 160, 2400, 1234),
        ("1 234,5", "mm", 160, 2400, 1234.5),
        ("1'234", "mm", 160, 2400, 1234),
        ("2,375 in", "mm", 10, 200, 60.325),
        ("2.375", "in", 10, 200, 60.325),
        ("2 3/8 in", "mm", 10, 200, 60.325),
        ("1 125/1000 in", "mm", 10, 200, 28.575),
        ("5'", "mm", 10, 2000, 1524),
        ("1,234 m", "mm", 10, 2000, 1234),
    ],
)
def test_lengths(style, typed, unit, least_mm, most_mm, mm):
    read = length_text(typed, style, unit, least_mm / 1e3, most_mm / 1e3)
    assert typed_length(read, unit, "length").si * 1e3 == pytest.approx(mm)


def test_a_length_the_range_cannot_tell_follows_the_business():
    assert length_text("3,234", "point", "mm", 0.01, 0.2) == "3234"
    assert length_text("3,234", "comma", "mm", 0.01, 0.2) == "3,234"


@pytest.mark.parametrize("words", MEASURANDS.values(), ids=map(str, MEASURANDS))
def test_every_quantity_tells_a_thousand_from_a_thousandth(words):
    """One mark before three digits never fits both ways, so that no reading has to be asked about."""
    mark = [thousandths / 1e3 for thousandths in range(1001, 1_000_000, 7)]  # 1,001 to 999,999
    both = [
        each
        for each in mark
        if words.least_m <= each / 1e3 <= words.most_m and words.least_m <= each <= words.most_m
    ]
    assert not both


def test_figures_in_a_range():
    assert figure_text("14.300", "point", 200, 1e6) == "14300"
    assert figure_text("14,300", "comma", 200, 1e6) == "14300"
    assert figure_text("1,250", "point", 0, 5000) == "1250"
    assert figure_text("1.250", "point", 0, 5000) == "1.250"
    assert figure_text("1,125", "point", 0, 60) == "1,125"
    assert figure_text("12 x", "point", 0, 60) == "12 x"
