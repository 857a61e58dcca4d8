"""Hours from tables and from answers by ISO 15143-3 (element names as public examples show them; invented figures)."""

import datetime as dt
import json
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from pitchline.exchange.hours_rows import HoursRow, moment_of, read_hours_table
from pitchline.exchange.iso_15143 import looks_like_feed, read_feed
from pitchline.trade.errors import InputError, NotAllowedError

DATA = Path(__file__).parents[2] / "data" / "hours"
SNAPSHOT, SERIES = ((DATA / name).read_bytes() for name in ("snapshot.xml", "series.xml"))
EVENING = dt.datetime(2026, 11, 29, 19, 30, tzinfo=dt.UTC)
SEVEN = HoursRow(("yard-7", "INV 0007"), EVENING, 2454.25, 812.5, 51.25, -0.75)
NINE = HoursRow(("INV 0009",), dt.datetime(2026, 11, 29, 16, tzinfo=dt.UTC), 77.0)
LONDON = ZoneInfo("Europe/London")


def test_snapshot_gives_who_when_and_how_many():
    """Two of five tell hours; one is below nought and told, one knows nothing, one has a time before there were senders."""
    found = read_feed(SNAPSHOT, "feed")
    assert [one.at.astimezone(dt.UTC) for one in found.rows] == [SEVEN.at, NINE.at]
    assert found.rows[0] == SEVEN
    assert (found.rows[1].names, found.rows[1].meter_h) == (NINE.names, NINE.meter_h)
    assert [one.seen for one in found.left_out] == ["-3"]
    assert found.next_href == "https://hours.example/fleet/2"


def test_same_snapshot_as_json_in_other_letters_is_the_same():
    """A sender's JSON: the same names as keys, figures as numbers, times as values."""
    told = {
        "links": [{"rel": "self", "href": "a"}, {"rel": "Next", "href": "b"}],
        "Equipment": [
            {
                "EquipmentHeader": {"OEMName": "Invented", "EquipmentID": "yard-7", "SerialNumber": "INV 0007"},
                "Location": {"Latitude": 51.25, "Longitude": -0.75, "Datetime": "2026-11-29T19:30:00Z"},
                "CumulativeIdleHours": {"Hour": 812.5, "Datetime": "2026-11-29T19:30:00Z"},
                "CumulativeOperatingHours": {"Hour": 2454.25, "Datetime": "2026-11-29T19:30:00Z"},
            },
            {"EquipmentHeader": {"EquipmentID": "yard-8"}, "CumulativeOperatingHours": None},
        ],
    }
    found = read_feed(json.dumps(told).encode(), "feed")
    assert (found.rows, found.next_href) == ((SEVEN,), "b")
    assert read_feed(b"\xef\xbb\xbf" + json.dumps({"Fleet": told}).encode(), "feed").rows == (SEVEN,)


def test_hours_over_time_are_of_the_machine_that_was_asked_for():
    told = {
        "CumulativeOperatingHours": [
            {"Hour": 2440, "Datetime": "2026-11-27T20:00:00Z"},
            {"Hour": 2447.5, "datetime": "2026-11-28T20:00:00Z"},
        ]
    }
    for raw in (SERIES, json.dumps(told).encode()):
        found = read_feed(raw, "feed", "yard-7")
        assert [(one.names, one.at.day, one.meter_h) for one in found.rows] == [
            (("yard-7",), 27, 2440.0),
            (("yard-7",), 28, 2447.5),
        ]
        assert found.next_href == ""
    nameless = read_feed(SERIES, "feed")
    assert (nameless.rows, len(nameless.left_out)) == ((), 2)


@pytest.mark.parametrize(
    "raw",
    [
        b"<Fleet>",
        b'<!DOCTYPE a [<!ENTITY x "y">]><Fleet>&x;</Fleet>',
        b"<Fleet><Equipment/></Fleet>",
        b"<a>" * 40 + b"</a>" * 40,
        b"{}",
        b"[1, 2]",
        b'{"Equipment": 3}',
        b'{"a":' * 60 + b"1" + b"}" * 60,
        b'{"Equipment": [',
        b"\xff\xfe{",
        b"<?xml version='1.0' encoding='no-such'?><Fleet/>",
    ],
)
def test_what_is_no_such_answer_is_refused_with_what_to_do(raw):
    with pytest.raises(InputError) as refused:
        read_feed(raw, "hours.xml")
    assert all(one.file == "hours.xml" and one.next_step for one in refused.value.problems)


def test_table_takes_days_moments_and_rows_without_a_time(tmp_path):
    """A day alone is its end, in the yard's own zone; London is on UTC in November and an hour ahead in July."""
    table = tmp_path / "hours.csv"
    table.write_text(
        "machine;date;meter;idle hours\ngorse;2026-11-29;2454,5 h;800\nrowan;2026-07-01 18:00;99;\nheather;;12;\n"
        "gorse;2026-13-01;1;\n;2026-11-29;5;\nrowan;2026-11-29;12 000 000;\nrowan;2026-11-29;9000001;\n"
    )
    now = dt.datetime(2026, 11, 30, 9, tzinfo=LONDON)
    found = read_hours_table(table, LONDON, now)
    assert [(one.names[0], one.at.astimezone(dt.UTC), one.meter_h, one.idle_h, one.row) for one in found.rows] == [
        ("gorse", dt.datetime(2026, 11, 29, 23, 59, 59, tzinfo=dt.UTC), 2454.5, 800.0, 2),
        ("rowan", dt.datetime(2026, 7, 1, 17, tzinfo=dt.UTC), 99.0, None, 3),
        ("heather", now.astimezone(dt.UTC), 12.0, None, 4),
    ]
    assert [(one.row, one.field) for one in found.left_out] == [
        (5, "time"),
        (6, "machine"),
        (7, "hours"),
        (8, "hours"),
    ]


@pytest.mark.parametrize("text", ["", "yesterday", "2026-02-30", "0001-01-01T00:00:00+14:00", "29.11.2026"])
def test_no_such_moment(text):
    with pytest.raises(NotAllowedError):
        moment_of(text, ZoneInfo("Pacific/Kiritimati"))


def test_feed_and_table_are_told_apart():
    assert [
        looks_like_feed(raw) for raw in (SNAPSHOT, b' {"a": 1}', b"\xef\xbb\xbf[", b"machine;hours\n", b"")
    ] == [True, True, True, False, False]
