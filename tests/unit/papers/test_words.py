"""The wording all papers share. Expected texts are our own rules as written in the docstrings."""

import datetime as dt

import pytest

from pitchline.papers import words
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading
from pitchline.trade.units import Typed, UnitSystem
from pitchline.verdict import Dates, HoursLeft, Money

BUSH = Place(PartKind.BUSH, Side.LEFT)


def plain(text):
    return text.replace(words.GAP, " ")


@pytest.mark.parametrize(
    ("left", "said"),
    [
        (HoursLeft(380, 620, 900, 0), "likely between 380 h and 900 h (8 in 10)"),
        (HoursLeft(0, 120, 400, 0.2), "likely between now and 400 h (9 in 10)"),
        (HoursLeft(0, 0, 0, 1), "reached already"),
    ],
)
def test_a_range_is_said_in_words(left, said):
    assert plain(words.range_said(left)) == said


@pytest.mark.parametrize(
    ("dates", "said"),
    [
        (None, ""),
        (
            Dates(dt.date(2027, 2, 3), dt.date(2027, 3, 14), dt.date(2027, 5, 25)),
            "about mid Mar 2027, between early Feb 2027 and late May 2027",
        ),
        (Dates(dt.date(2027, 2, 1), dt.date(2027, 2, 5), dt.date(2027, 2, 9)), "about early Feb 2027"),
        (Dates(None, None, None), "over 20 years off"),
        (Dates(dt.date(2040, 1, 11), None, None), "over 20 years off; perhaps 2040"),
        (
            Dates(dt.date(2031, 11, 3), dt.date(2036, 4, 24), dt.date(2045, 9, 7)),
            "about 2036, between 2031 and 2045",
        ),
    ],
)
def test_days_are_said_by_thirds_of_a_month(dates, said):
    assert plain(words.dates_said(dates)) == said


@pytest.mark.parametrize(("day", "third"), [(1, "early"), (10, "early"), (11, "mid"), (20, "mid"), (21, "late")])
def test_thirds_of_a_month_change_after_the_tenth_and_the_twentieth(day, third):
    assert plain(words.about_day(dt.date(2027, 1, day))) == f"{third} Jan 2027"


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (0, "EUR 0"),
        (4149, "EUR 4,150"),
        (12_340, "EUR 12,350"),
        (98_765, "EUR 98,800"),
        (1_234_567, "EUR 1,234,600"),
    ],
)
def test_money_has_its_code_and_thousands_marks(value, said):
    assert plain(words.amount(value, "EUR")) == said


def test_a_sure_amount_has_no_range():
    assert words.amount_range(Money(100, 100, 100, "EUR")) == ""
    assert words.amount_range(Money(3600, 4150, 4900, "EUR")) == "3,600 to 4,900"


@pytest.mark.parametrize(
    ("u_m", "units", "said"),
    [
        (0.0008, UnitSystem.METRIC, "± 0.8 mm"),
        (0.0002, UnitSystem.METRIC, "± 0.20 mm"),
        (0.000254, UnitSystem.IMPERIAL, "± 0.010 in"),
        (0.00254, UnitSystem.IMPERIAL, "± 0.10 in"),
    ],
)
def test_a_small_doubt_is_shown_finer(u_m, units, said):
    assert plain(words.doubt(u_m, units)) == said


def test_several_doubts_are_said_once_or_from_least_to_most():
    assert plain(words.doubts([0.0008, 0.0008], UnitSystem.METRIC)) == "± 0.8 mm"
    assert plain(words.doubts([0.0017, 0.0008], UnitSystem.METRIC)) == "± 0.8 to 1.7 mm"
    assert words.doubts([], UnitSystem.METRIC) == ""


@pytest.mark.parametrize(
    ("texts", "units", "said"),
    [
        (("57.7", "57.8"), ("mm", "mm"), "57.7, 57.8 mm"),
        (("2 1/4 in", "57.8"), ("in", "mm"), "2 1/4 in, 57.8 mm"),
        (("57,7 mm",), ("mm",), "57,7 mm"),
    ],
)
def test_a_reading_is_shown_as_it_was_typed(texts, units, said):
    typed = tuple(Typed(text, unit, 0.0577) for text, unit in zip(texts, units, strict=True))
    reading = Reading(BUSH, Measurand.BUSH_OD_FORWARD, (0.0577,) * len(texts), DEFAULT_TOOLS["calliper"], 1, typed)
    assert plain(words.as_typed(reading)) == said


def test_the_unit_of_a_row_is_said_once():
    a, b, c = (words.tied(text) for text in ("154.5 mm", "155 mm", "6 1/4 in"))
    assert [plain(text) for text in words.unit_once([a, b])] == ["154.5", "155 mm"]
    assert words.unit_once([a, c]) == [a, c]


def test_words_in_a_row_end_with_and():
    assert [words.listed(list("abc"[:n])) for n in (1, 2, 3)] == ["a", "a and b", "a, b and c"]


def test_no_percentage_is_made_elsewhere():
    assert words.percent(0.615).replace(words.GAP, " ") == "62 %"
