"""Figures and days in every way the settings offer, against Babel's own formatting by the CLDR, and no way round them."""

import ast
import datetime as dt
import re
import subprocess
import sys
from pathlib import Path
from threading import Thread

import pytest
from babel.dates import format_date
from babel.numbers import format_decimal
from hypothesis import given
from hypothesis import strategies as st

import pitchline
from pitchline.trade.writing import (
    LOCALES,
    PATTERNS,
    PLAIN,
    Writing,
    as_day,
    as_figure,
    marked,
    way_in_force,
    writing,
)

SOURCE = Path(pitchline.__file__).parent
THIN = "\u202f"
DAYS = {"day-month": ("en_GB", "d MMM y"), "month-day": ("en_US", "medium"), "iso": ("sv_SE", "short")}
"""What each way is elsewhere: American medium days, and the Swedish short one, which is ISO 8601's (CLDR)."""


@pytest.mark.parametrize("numbers", LOCALES)
@given(st.decimals(-(10**9), 10**9, places=2, allow_nan=False))
def test_figures_are_those_of_the_locale(numbers, amount):
    amount += 0  # no minus before nothing
    with writing(Writing(numbers=numbers)):
        assert as_figure(amount, ",.2f") == format_decimal(amount, "#,##0.00", locale=LOCALES[numbers])


@pytest.mark.parametrize(
    ("numbers", "said"), [("point", "12,350.5"), ("comma", "12.350,5"), ("space", f"12{THIN}350,5")]
)
def test_marks_are_those_the_settings_show(numbers, said):
    with writing(Writing(numbers=numbers)):
        assert as_figure(12350.5, ",.1f") == said


@pytest.mark.parametrize("days", PATTERNS)
@given(st.dates(dt.date(1000, 1, 1), dt.date(9999, 12, 31)))
def test_days_are_those_of_a_locale(days, date):
    locale, pattern = DAYS[days]
    with writing(Writing(days=days)):
        said = as_day(date)
    wanted = format_date(date, pattern, locale=locale)
    assert said == wanted.replace("Sept", "Sep")  # British CLDR alone has four letters there


def test_a_day_does_not_break_where_it_must_not():
    with writing(Writing(days="month-day")):
        assert as_day(dt.date(2026, 11, 3), "\u00a0") == "Nov\u00a03,\u00a02026"


def test_a_moment_is_written_as_its_day():
    with writing(Writing(days="iso")):
        assert as_day(dt.datetime(2026, 11, 3, 23, 59, tzinfo=dt.UTC)) == "2026-11-03"


@given(st.floats(-1e12, 1e12), st.sampled_from((",.0f", ".0f", ",.1f", ".2f", "g", ".3g", "+.1f")))
def test_the_usual_way_is_pythons_own_to_the_letter(figure, form):
    assert as_figure(figure, form) == format(figure, form)


@given(st.floats(-1e12, 1e12), st.sampled_from((",.0f", ",.1f", ".2f", "g")))
def test_every_way_says_the_same_digits(figure, form):
    def digits(numbers):
        with writing(Writing(numbers=numbers)):
            return re.sub(r"[^\d+e-]", "", as_figure(figure, form))

    assert len({digits(numbers) for numbers in LOCALES}) == 1


def test_the_way_before_is_in_force_again_even_after_an_error():
    with writing(Writing("comma", "iso")):
        with writing(Writing("space")):
            assert marked("1,234.5") == f"1{THIN}234,5"
        assert marked("1,234.5") == "1.234,5"
    with pytest.raises(ZeroDivisionError), writing(Writing("comma")):
        as_figure(1 / 0)
    assert way_in_force() == PLAIN


def test_another_thread_does_not_write_this_ones_way():
    found = []
    with writing(Writing("comma")):
        thread = Thread(target=lambda: found.append(as_figure(1234.5, ",.1f")))
        thread.start()
        thread.join()
    assert found == ["1,234.5"]


def test_the_usual_way_does_not_wait_for_babel():
    asked = "import sys, datetime as dt; from pitchline.trade.writing import *; as_figure(1e6); as_day(dt.date(2026, 1, 1))"
    command = [sys.executable, "-c", f"{asked}; sys.exit('babel' in sys.modules)"]
    assert subprocess.run(command, check=False).returncode == 0  # noqa: S603  our own interpreter, our own words


PLAINLY = {
    "cli": "the shell has one way",
    "exchange/fleet": "the same",
    "demo": "sheets as somebody typed them",
    "exchange/learned_file.py": "a number in a file",
    "picture/ink.py": "pixels",
    "picture/measures.py": "pixels",
    "papers/audit_plot.py": "pixels",
    "desk/walkround/sketch.py": "pixels",
    "desk/machine/lines.py": "pixels",
    "desk/walkround/field_hints.py": "a figure the page's scripts read",
    "desk/workplan/pages.py": "figures of a field",
    "desk/tables/facts.py": "cells for programs",
    "desk/outlook/question.py": "fields, filled as somebody would type",
    "desk/workdone/views.py": "a field, filled as somebody would type",
    "desk/workdone/table.py": "a number in a file",
    "desk/house/forms.py": "a field, filled as somebody would type",
    "desk/bridge/machines.py": "a field, filled as somebody would type",
    "trade/asking.py": "the same",
    "wear/slips.py": "digits to be swapped",
    "papers/ground.py": "written by `marked` on the next line",
    "papers/words.py": "written by `marked` around it",
}
"""Who may write a figure with a mark in it without the formatter, and why."""


def _own_figures():
    """Formatted values that hold a mark of numbers or a day and do not go through the formatter."""
    for path in sorted(SOURCE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            form = (
                ast.unparse(node.format_spec) if isinstance(node, ast.FormattedValue) and node.format_spec else ""
            )
            if re.search(r",|g'|n'|%b|\.(?!0f)[^']*f", form):
                yield path.relative_to(SOURCE).as_posix(), f"{node.lineno}: {ast.unparse(node.value)}:{form}"


def test_nobody_writes_figures_and_days_but_the_formatter():
    own = list(_own_figures())
    assert [(name, said) for name, said in own if not name.startswith(tuple(PLAINLY))] == []
    assert [start for start in PLAINLY if not any(name.startswith(start) for name, _ in own)] == []
