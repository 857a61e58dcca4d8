import datetime as dt

import pytest

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.meter import MeterChange, service_hours

FIRST = MeterChange(dt.date(2025, 3, 1), 8000.0)
SECOND = MeterChange(dt.date(2026, 3, 1), 500.0, 20.0)


def test_without_a_change_service_hours_are_the_meter():
    assert service_hours(1234.0, dt.date(2026, 1, 1)) == 1234.0


@pytest.mark.parametrize(
    ("meter_h", "day", "service_h"),
    [
        (7999.0, dt.date(2025, 2, 28), 7999.0),
        (0.0, dt.date(2025, 3, 1), 8000.0),  # on the day of a change the new meter counts
        (500.0, dt.date(2026, 2, 28), 8500.0),
        (20.0, dt.date(2026, 3, 1), 8500.0),  # the second new meter came with 20 h on it
        (120.0, dt.date(2026, 6, 1), 8600.0),
    ],
)
def test_hours_run_on_across_two_changes(meter_h, day, service_h):
    """Worked by hand: what the old meter showed last, less what the new one showed first, is added."""
    assert service_hours(meter_h, day, (FIRST, SECOND)) == service_h
    assert service_hours(meter_h, day, (SECOND, FIRST)) == service_h


@pytest.mark.parametrize("hours", [-1.0, float("nan")])
def test_hours_below_zero_are_refused(hours):
    with pytest.raises(NotAllowedError, match="hours on the meter"):
        service_hours(hours, dt.date(2026, 1, 1))
    with pytest.raises(NotAllowedError, match="meter change"):
        MeterChange(dt.date(2026, 1, 1), hours)
    with pytest.raises(NotAllowedError, match="meter change"):
        MeterChange(dt.date(2026, 1, 1), 0.0, hours)
