"""Hours of machines as a table or a feed gives them: which machine, when, how many; by a table of the yard's own.

See docs/howto/bring-hours-in.md.
"""

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from pitchline.exchange.figures import hours_of
from pitchline.exchange.gathering import Gathering, refuse
from pitchline.exchange.table import Layout, TableLine, read_table
from pitchline.trade.errors import NotAllowedError, Problem, phrase
from pitchline.trade.writing import as_figure

HOURS_TABLE = Layout(
    title="hours",
    heads=(),
    columns=("machine", "time", "hours", "idle hours", "latitude", "longitude"),
    anchors=("machine", "hours"),
    before=(
        ("date", "time"),
        ("day", "time"),
        ("meter", "hours"),
        ("short name", "machine"),
        ("serial number", "machine"),
    ),
)
MOST_ROWS = 100_000
"""Rows of one table or one page of a feed: a year of days for 270 machines. Our own choice."""
MOST_HOURS = 1_000_000
"""No meter shows more: seven digits before the point are a fault. Our own choice."""
LONGEST_NAME = 200


@dataclass(frozen=True, slots=True)
class HoursRow:
    """What one machine's meter showed at one moment.

    Parameters
    ----------
    names : tuple of str
        What the sender calls the machine, the likeliest to be known first.
    at : datetime.datetime
        The moment, with its time zone.
    meter_h : float
        Hours on the meter [h].
    idle_h : float or None
        Of them idle since new [h]; None where nobody says.
    latitude, longitude : float or None
        Where it stood [degrees]; None where nobody says.
    row : int or None
        Row in the file.

    Raises
    ------
    NotAllowedError
        A figure that cannot be.
    """

    names: tuple[str, ...]
    at: dt.datetime
    meter_h: float
    idle_h: float | None = None
    latitude: float | None = None
    longitude: float | None = None
    row: int | None = None

    def __post_init__(self) -> None:
        for field, hours in (("hours", self.meter_h), ("idle hours", self.idle_h)):
            if hours is not None and not 0 <= hours <= MOST_HOURS:
                allowed = phrase("0 to {most} h", most=as_figure(MOST_HOURS, ","))
                raise NotAllowedError(
                    field, as_figure(hours, "g") if math.isfinite(hours) else str(hours), allowed
                )
        for field, angle, most in (("latitude", self.latitude, 90), ("longitude", self.longitude, 180)):
            if angle is not None and not -most <= angle <= most:
                raise NotAllowedError(field, str(angle), phrase("-{most} to {most} degrees", most=str(most)))


@dataclass(frozen=True, slots=True)
class HoursFile:
    """What a file of hours holds, and what of it could not be used.

    Parameters
    ----------
    rows : tuple of HoursRow
        In the order of the file.
    left_out : tuple of Problem
        Why others were not taken.
    next_href : str
        Where the next page of a feed is; empty where there is none.
    """

    rows: tuple[HoursRow, ...]
    left_out: tuple[Problem, ...] = ()
    next_href: str = ""


def moment_of(text: str, zone: dt.tzinfo, field: str = "time") -> dt.datetime:
    """A moment from a day, or a day and a time, in ISO 8601.

    Parameters
    ----------
    text : str
        Such as "2026-11-29", "2026-11-29 18:05" or "2026-11-29T18:05:00Z". A day alone is its end.
    zone : datetime.tzinfo
        Zone of a time that names none.
    field : str
        Name used in the error.

    Raises
    ------
    NotAllowedError
        No such moment.
    """
    try:
        found = dt.datetime.fromisoformat(text.strip())
        if len(text.strip()) <= len("2026-11-29"):
            found = found.replace(hour=23, minute=59, second=59)
        zoned = found if found.tzinfo else found.replace(tzinfo=zone)
        zoned.astimezone(dt.UTC)  # a day at the edge of the calendar has no moment in another zone
    except (ValueError, OverflowError):
        allowed = "a day or a moment, such as 2026-11-29 or 2026-11-29 18:05"
        raise NotAllowedError(field, text or phrase("nothing"), allowed, "Write it so.") from None
    return zoned


def read_hours_table(path: Path, zone: dt.tzinfo, now: dt.datetime) -> HoursFile:
    """The rows of a table of hours.

    Parameters
    ----------
    path : Path
        CSV or a workbook's first sheet, with at least the columns machine and hours.
    zone : datetime.tzinfo
        Zone of times that name none.
    now : datetime.datetime
        The moment of rows that say none.

    Returns
    -------
    HoursFile
        Rows that can be used; each other one has its reason.

    Raises
    ------
    InputError
        The file is no such table, or has nothing in it.
    """
    gathering = Gathering(path.name)
    table = read_table(path, HOURS_TABLE, gathering)
    gathering.raise_if_any()
    check_count(path.name, table.lines)
    rows = [_row(line, zone, now, gathering) for line in table.lines]
    return HoursFile(tuple(row for row in rows if row is not None), tuple(gathering.problems))


def check_count(file: str, rows: Sequence[object]) -> None:
    """Nothing comes out.

    Raises
    ------
    InputError
        No row, or more than are read at once.
    """
    if not rows:
        raise refuse(file, "hours", phrase("no rows"), "hours of one machine or more", "Send a file with some.")
    if len(rows) > MOST_ROWS:
        seen, allowed = (phrase("{n} rows", n=as_figure(n, ",")) for n in (len(rows), MOST_ROWS))
        raise refuse(file, "hours", seen, phrase("up to {allowed}", allowed=allowed), "Part the file in two.")


def _row(line: TableLine, zone: dt.tzinfo, now: dt.datetime, gathering: Gathering) -> HoursRow | None:
    def taken() -> HoursRow:
        name = line.word("machine")
        if not name or len(name) > LONGEST_NAME:
            allowed = phrase("a machine's short name, serial number or owner's number")
            raise NotAllowedError("machine", name[:60] or phrase("nothing"), allowed, "Name the machine.")
        time = line.word("time")
        return HoursRow(
            (name,),
            moment_of(time, zone) if time else now,
            hours_of(line.word("hours").removesuffix("h").strip()),
            _figure(line, "idle hours"),
            _angle(line, "latitude"),
            _angle(line, "longitude"),
            line.row,
        )

    return gathering.attempt(taken, line.row)


def _figure(line: TableLine, column: str) -> float | None:
    text = line.word(column).removesuffix("h").strip()
    return hours_of(text, column) if text else None


def _angle(line: TableLine, column: str) -> float | None:
    text = line.word(column)
    return angle_of(text, column) if text else None


def angle_of(text: str, field: str) -> float:
    """An angle in degrees.

    Raises
    ------
    NotAllowedError
        No number.
    """
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise NotAllowedError(
            field, text[:40], "degrees, such as 51.5", "Correct it, or leave it empty."
        ) from None
