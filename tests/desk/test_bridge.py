"""Rows and core values: what goes in comes out, to the last digit, without a database."""

from dataclasses import replace

import pytest

from pitchline.demo.yard import build_yard
from pitchline.desk.bridge import sheets
from pitchline.desk.bridge.machines import known_dossier, machine_row, whole_dossier
from pitchline.desk.bridge.sheets import rows_of, set_head, set_value, walk_round_of
from pitchline.desk.walkround.models import ReadingRow, Sheet
from pitchline.exchange.machine_file import machine_json
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import Place

YARD = build_yard()


@pytest.mark.parametrize("number", range(1, 17))
def test_demo_machine_goes_through_rows_unchanged(number):
    demo = YARD.machine(number).with_sheet
    row = machine_row(demo, machine_json(demo))
    known = known_dossier(row)
    rounds = [walk_round_of(*rows_of(walk_round, known), known) for walk_round in demo.walk_rounds]
    assert whole_dossier(known, rounds) == demo


def test_value_in_metres_stands_beside_the_text(dossier):
    row = ReadingRow(part="bush", side="left", measurand="bush_od_forward", typed=["2 3/8 in"], unit="mm")
    set_value(row, dossier)
    assert row.typed == ["2 3/8 in"]
    assert row.value_m == pytest.approx(0.060325, abs=1e-12)  # 2 3/8 x 25.4 mm, by the 1959 agreement
    assert row.problem == ""


def test_text_that_cannot_be_read_is_kept_with_the_reason(dossier):
    row = ReadingRow(part="bush", side="left", measurand="bush_od_forward", typed=["fifty"], unit="mm")
    set_value(row, dossier)
    assert row.typed == ["fifty"]
    assert row.value_m is None
    assert "fifty" in row.problem


def test_sheet_with_such_text_cannot_be_judged_but_can_be_looked_at(dossier):
    _, rows = rows_of(dossier.walk_rounds[0], dossier)
    rows.readings[1].typed = ["fifty"]
    rows.readings[1].beyond = {}
    sheet = Sheet(date=dossier.walk_rounds[0].date, service_h=2200.0)
    with pytest.raises(InputError):
        walk_round_of(sheet, rows, dossier)
    assert len(walk_round_of(sheet, rows, dossier, strict=False).readings) == len(rows.readings) - 1


def test_head_says_what_is_wrong_and_keeps_the_text(dossier):
    sheet = Sheet(date_text="31.12.", hours_text="8,150")
    told = set_head(sheet, dossier)
    assert len(told) == 2
    assert (sheet.date_text, sheet.date) == ("31.12.", None)


@pytest.mark.parametrize("key", ["", "nowhere/left", "bush/up", "../../etc", "bush/left/99999999999999999999999x"])
def test_unknown_place_is_refused(key):
    with pytest.raises(NotAllowedError):
        Place.from_key(key)


def test_lines_of_two_places_never_share_a_number(dossier, monkeypatch):
    """However many quantities there are: with more than twenty, numbers of twenty a place ran into the next place's."""
    many = [*Measurand, *(f"invented {number}" for number in range(30))]
    monkeypatch.setattr(sheets, "Measurand", many)
    places = dossier.gear.places()
    numbers = [sheets.line_number(dossier.gear, place, each) for place in places for each in many]
    assert numbers == sorted(set(numbers))


def test_who_went_round_and_which_file_it_came_from_are_stored_whole(dossier):
    walk_round = replace(dossier.walk_rounds[0], by="b" * 5000, source="s" * 5000)
    sheet, _ = rows_of(walk_round, dossier)
    assert (sheet.by, sheet.source) == ("b" * 5000, "s" * 5000)
    for name in ("by", "source"):
        assert Sheet._meta.get_field(name).max_length is None
