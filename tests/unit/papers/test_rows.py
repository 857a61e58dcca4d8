"""Left and right beside each other, and the common hours axis."""

from dataclasses import replace

import pytest

from pitchline.papers.rows import HoursAxis, hours_axis, part_rows, read_rows
from pitchline.trade.parts import Side
from pitchline.verdict import HoursLeft


def test_every_part_stands_in_one_row(excavator, empty):
    for verdict in (excavator, empty):
        told = [part for row in part_rows(verdict) for part in row.both]
        assert sorted(told, key=lambda part: part.place) == sorted(verdict.parts, key=lambda part: part.place)


def test_left_stands_left_and_a_single_part_too(excavator):
    for row in part_rows(excavator):
        assert row.left.place.side in (Side.LEFT, Side.NONE)
        assert row.right is None or row.right.place.side is Side.RIGHT


def test_numbered_parts_share_a_row_of_readings(excavator):
    rows = {(row.part.value, row.measurand.value): row for row in read_rows(excavator)}
    rollers = rows["bottom_roller", "tread_diameter"]
    assert [judged.place.position for judged in rollers.right] == list(range(1, 9))
    assert len(rows) == 8


def test_the_axis_holds_the_booking_window_and_ends_on_a_mark(excavator, mini, empty, long_machine):
    for verdict in (excavator, mini, empty, long_machine):
        axis = hours_axis(verdict)
        assert axis.marks_h[-1] == pytest.approx(axis.end_h)
        assert 2 <= len(axis.marks_h) - 1 <= 5
        assert axis.end_h >= 1.5 * (verdict.window_h or 0)


def test_one_long_outlook_does_not_crush_the_others(excavator):
    far = HoursLeft(90_000.0, 100_000.0, 200_000.0, 0.0)
    parts = (replace(excavator.parts[0], due=far), *excavator.parts[1:])
    assert hours_axis(replace(excavator, parts=parts)).end_h < 20_000


@pytest.mark.parametrize(
    ("left", "shares", "runs_on", "off"),
    [
        (HoursLeft(200, 400, 800, 0), (0.2, 0.4, 0.8), False, False),
        (HoursLeft(0, 400, 1800, 0.1), (0.0, 0.4, 1.0), True, False),
        (HoursLeft(1100, 1400, 1800, 0), (1.0, 1.0, 1.0), True, True),
    ],
)
def test_a_band_is_a_share_of_the_axis(left, shares, runs_on, off):
    band = HoursAxis(1000.0, 250.0).band(left)
    assert (band.low, band.middle, band.high) == pytest.approx(shares)
    assert (band.runs_on, band.off) == (runs_on, off)
