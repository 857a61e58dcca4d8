"""Days as they stand in files."""

import datetime as dt

import pytest

from pitchline.exchange.figures import date_of
from pitchline.trade.errors import NotAllowedError


@pytest.mark.parametrize(
    "text", ["2026-05-31", " 2026-05-31 ", "2026-05-31 14:30:00", "2026-05-31T14:30", "2026-05-31 14:30:00.5"]
)
def test_a_day_may_carry_a_time_of_day(text):
    assert date_of(text) == dt.date(2026, 5, 31)


@pytest.mark.parametrize("text", ["2026-05-31 noon", "2026-05-31 14", "31.05.2026", "2026-02-30", ""])
def test_anything_else_is_no_day(text):
    with pytest.raises(NotAllowedError, match="YYYY-MM-DD"):
        date_of(text)
