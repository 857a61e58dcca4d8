import csv
import datetime as dt
import json
from dataclasses import replace

import openpyxl
import pytest

from pitchline.exchange.machine_file import machine_from_json
from pitchline.exchange.sheet import read_sheet, sheet_rows, with_walk_rounds, write_sheet
from pitchline.trade.dossier import Limit
from pitchline.trade.findings import FindingKind, Severity
from pitchline.trade.machine import TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, WalkRound
from pitchline.trade.units import Typed, UnitSystem
from pitchline.words import translated


@pytest.fixture
def reads(tmp_path, dossier, sheet_text):
    """A walk-round from rows by hand."""

    def read(*rows, encoding="utf-8", name="sheet.csv", **head):
        path = tmp_path / name
        path.write_text(sheet_text(*rows, **head), encoding=encoding, newline="")
        return read_sheet(path, dossier)

    return read


def test_a_sheet_has_a_row_for_each_quantity_and_each_part_only_looked_at(dossier):
    rows = sheet_rows(dossier)
    spots = [(row.place, row.measurand) for row in rows]
    assert len(set(spots)) == len(spots)
    assert {row.place for row in rows} == set(dossier.gear.places())
    looked_at = {row.place.part for row in rows if row.measurand is None}
    assert looked_at == {PartKind.GUARD, PartKind.FINAL_DRIVE}
    assert all(row.how for row in rows)


def test_a_sheet_for_rubber_pads_asks_for_no_grouser(entry):
    entry["running_gear"]["track"] = "steel_bolted_pads"
    rows = sheet_rows(machine_from_json(json.dumps(entry), "m.json"))
    assert Measurand.GROUSER_HEIGHT not in {row.measurand for row in rows}
    assert (Place(PartKind.SHOE, Side.LEFT), None) in {(row.place, row.measurand) for row in rows}


def test_a_rubber_track_is_looked_at_before_what_it_runs_on(entry):
    """Of each side; the parts are the same, once each."""
    gear = replace(
        machine_from_json(json.dumps(entry), "m.json").gear,
        track=TrackKind.RUBBER,
        chain_type=None,
        slew_ring=True,
    )
    walked = gear.walked()
    assert set(walked) == set(gear.places())
    first = {side: next(one for one in walked if one.side is side).part for side in Side}
    assert first == {
        Side.LEFT: PartKind.RUBBER_TRACK, Side.RIGHT: PartKind.RUBBER_TRACK, Side.NONE: PartKind.SLEW_RING
    }  # fmt: skip
    assert [one.side for one in walked] == sorted((one.side for one in walked), key=list(Side).index)


def test_a_roller_flange_left_out_of_the_limits_is_not_asked_for(dossier):
    """Where none of a part's limits is entered they may still come; what was read before is asked for again."""
    flange, upper = Measurand.FLANGE_THICKNESS, PartKind.UPPER_ROLLER

    def asked(limits, rounds=(), written=()):
        there = replace(dossier, limits=limits, walk_rounds=rounds)
        return {
            row.place for row in sheet_rows(there, written) if row.measurand is flange and row.place.part is upper
        }

    uppers = {place for place in dossier.gear.places() if place.part is upper}
    others = tuple(one for one in dossier.limits if one.part is not upper)
    tread = Limit(upper, Measurand.TREAD_DIAMETER, 0.126, 0.112)
    one = Place(upper, Side.LEFT, 1)
    read = Reading(one, flange, (0.02,), DEFAULT_TOOLS["calliper"], 1, (Typed("20", "mm", 0.02),))
    assert asked(others) == uppers
    assert asked((*others, tread)) == set()
    assert asked((*others, tread, Limit(upper, flange, 0.023, 0.015))) == uppers
    assert asked((*others, tread), rounds=(WalkRound(dt.date(2026, 5, 1), 9000.0, (read,)),)) == {one}
    assert asked((*others, tread), written=[(one, flange)]) == {one}


def test_a_row_tells_the_reading_of_last_time(dossier):
    (row,) = [
        row for row in sheet_rows(dossier) if row.place.key == "chain/left" and row.measurand is Measurand.PITCH
    ]
    assert row.previous == "764 mm, 764,5 mm over 4 joints on 2025-03-01"


def test_a_sheet_by_hand_is_read_with_its_texts(reads):
    walk_round = reads(
        "left|Chain||pitch per joint|766|766.5||4|tape",
        "RIGHT|bottom_roller|3|tread_diameter|6 in||||calliper|leak; loose bolts|slight;clear|1;2||wet",
    )
    assert walk_round.date == dt.date(2026, 5, 31)
    # The meter was changed at 5000 h, to 0 h.
    assert walk_round.service_h == 6500.0
    assert (walk_round.by, walk_round.source) == ("B", "sheet.csv")
    pitch, tread = walk_round.readings
    assert (pitch.joints, [typed.text for typed in pitch.typed]) == (4, ["766", "766.5"])
    # 6 in = 152.4 mm (international yard and pound agreement, 1959).
    assert tread.repeats_m[0] == pytest.approx(0.1524)
    assert [(each.kind, each.severity, each.count) for each in walk_round.findings] == [
        (FindingKind.LEAK, Severity.SLIGHT, 1),
        (FindingKind.LOOSE_BOLTS, Severity.CLEAR, 2),
    ]


def test_a_sheet_of_before_says_marked(reads):
    (seen,) = reads("right|bottom_roller|3|||||||leak|marked").findings
    assert seen.severity is Severity.CLEAR


def test_the_unit_of_the_head_is_taken_where_none_is_typed(reads):
    (reading,) = reads("left|chain||pitch|30.1|764 mm||4|tape", unit="in").readings
    assert reading.repeats_m == pytest.approx((0.76454, 0.764))


def test_a_tool_not_named_is_unknown_and_one_by_its_long_name_is_known(reads):
    readings = reads("left|chain||pitch|764|||4|", "left|link||rail_height|101||||Steel tape").readings
    assert [reading.tool.name for reading in readings] == ["unknown", "tape"]


@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_decimal_commas_are_read_between_semicolons_or_tabs(reads, delimiter):
    (reading,) = reads("left|link||rail_height|101,3|101,5", meter="1500,5", delimiter=delimiter).readings
    assert reading.repeats_m == pytest.approx((0.1013, 0.1015))


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_other_encodings_are_read(reads, encoding):
    walk_round = reads("left|guard||||||||bent|slight|||Ölspur – größer", encoding=encoding)
    assert walk_round.findings[0].note == "Ölspur – größer"


def test_columns_may_stand_in_any_order_and_manner(tmp_path, dossier):
    path = tmp_path / "s.csv"
    path.write_text(
        "Machine:,EX-07\nDATE,2026-05-31\nMeter  Hours,1500\n\n"
        "Reading1,PART,Measurand,Side\n101 mm,link rail,Rail height,Left\n"
    )
    (reading,) = read_sheet(path, dossier).readings
    assert reading.place == Place(PartKind.LINK, Side.LEFT)


def test_a_sheet_with_the_names_of_before_reads_the_same(tmp_path, dossier, sheet_text):
    now = sheet_text("left|bottom_roller|3|tread_diameter|150 mm")
    before = now
    names = {
        "day": "date",
        "hours on the meter": "meter hours",
        "who": "read by",
        "number": "position",
        "quantity": "measurand",
    }
    for new, old in names.items():
        assert new in before
        before = before.replace(new, old)
    for name, text in (("now", now), ("before", before)):
        (tmp_path / f"{name}.csv").write_text(text)
    found, wanted = (read_sheet(tmp_path / f"{name}.csv", dossier) for name in ("before", "now"))
    assert found == replace(wanted, source="before.csv")
    assert wanted.readings


SPOILT = [
    ("lft|chain||pitch|764|||4|tape", "side", "lft"),
    ("|chain||pitch|764|||4|tape", "side", "nothing"),
    ("left|slew ring||slew_ring_rock|1 mm", "side", "left"),
    ("left|chian||pitch|764|||4|tape", "part", "chian"),
    ("left|rubber track||lug_height|20", "part", "rubber track"),
    ("left|bottom roller|8|tread diameter|155", "number", "8"),
    ("left|bottom roller||tread diameter|155", "number", "nothing"),
    ("left|bottom roller|two|tread diameter|155", "number", "two"),
    ("left|chain|1|pitch|764|||4", "number", "1"),
    ("left|chain||ptch|764|||4", "quantity", "ptch"),
    ("left|chain|||764|||4", "quantity", "nothing"),
    ("left|link||tread diameter|155", "tread diameter", "link rail, left"),
    ("left|chain||pitch|76x4|||4", "reading 1", "76x4"),
    ("left|chain||pitch|nan|||4", "reading 1", "nan"),
    ("left|chain||pitch|inf|||4", "reading 1", "inf"),
    ("left|chain||pitch|764 kg|||4", "reading 1", "764 kg"),
    ("left|chain||pitch|764|1,000||4", "cells", "15 cells"),
    ("left|chain||pitch|764|||", "over joints", "nothing"),
    ("left|chain||pitch|764|||0", "over joints", "0"),
    ("left|chain||pitch|764|||50", "over joints", "50"),
    ("left|link||rail height|101|||4", "over joints", "4"),
    ("left|link||rail height|-101", "link rail height", "-0.101"),
    ("left|link||rail height|101||||stik", "tool", "stik"),
    ("left|guard||||||||brent|slight", "seen", "brent"),
    ("left|guard||||||||leak|slight", "finding", "leak on guards, left"),
    ("left|guard||||||||bent|", "how bad", "nothing"),
    ("left|guard||||||||bent|bad", "how bad", "bad"),
    ("left|guard||||||||bent;cracked;loose bolts|slight;clear", "how bad", "slight;clear"),
    ("left|guard||||||||bent|slight|0", "finding count", "0"),
    ("left|guard||||||||bent|slight|many", "how many", "many"),
    ("left|guard|||||||||slight", "how bad", "slight"),
    ("left|guard|||||||||||because", "keep because", "because"),
    ("left|guard||||||||||||a note", "note", "a note"),
    ("left|guard||||||||bent|slight|||bell\x07", "note", "character U+0007"),
]


@pytest.mark.parametrize(("row", "field", "seen"), SPOILT)
def test_one_wrong_cell_gives_one_problem_at_its_row(reads, refused, row, field, seen):
    fill = ["764", "1", "000"] if "1,000" in row else None
    cells = row.split("|")
    if fill:
        row = "|".join([*cells, *[""] * (14 - len(cells))])
    problems = refused(reads, row)
    assert [(translated(one.field), translated(one.seen), one.row, one.file) for one in problems] == [
        (field, seen, 8, "sheet.csv")
    ]
    assert problems[0].next_step


@pytest.mark.parametrize(
    ("head", "field", "row"),
    [
        ({"machine": "EX-08"}, "machine", 1),
        ({"machine": ""}, "machine", 1),
        ({"date": "31.05.2026"}, "date", 2),
        ({"date": ""}, "date", 2),
        ({"meter": ""}, "hours on the meter", 3),
        ({"meter": "-5"}, "hours on the meter", 3),
        ({"meter": "nan"}, "hours on the meter", 3),
        ({"meter": '"1,500"'}, "hours on the meter", 3),
        ({"meter": "1.500"}, "hours on the meter", 3),
        ({"meter": "100"}, "hours on the meter", 3),
        ({"date": "2025-02-01", "meter": "4900"}, "hours on the meter", 3),
        ({"unit": "cubits"}, "unit", 5),
    ],
)
def test_a_wrong_head_is_told_at_its_row(reads, refused, head, field, row):
    (problem,) = refused(lambda: reads("left|link||rail_height|101", **head))
    assert (problem.field, problem.row) == (field, row)


def test_a_decimal_comma_that_splits_a_head_cell_is_not_read_as_less(reads, refused):
    problems = refused(lambda: reads(meter="1500,5"))
    assert (problems[0].field, problems[0].seen) == ("hours on the meter", "1500, 5")


def test_falling_hours_ask_for_the_change_of_the_meter(reads, refused):
    (problem,) = refused(lambda: reads(meter="100"))
    assert problem.seen == "5100 h on 2026-05-31"
    assert "enter the change" in problem.next_step


def test_a_duplicate_reading_names_the_first_row(reads, refused):
    (problem,) = refused(reads, "left|link||rail_height|101", "left|Link rail||rail height|102")
    assert (problem.row, problem.allowed) == (9, "once; it stands in row 8 already")


def test_all_problems_come_at_once_in_order_of_row(reads, refused):
    problems = refused(
        lambda: reads(
            "left|chian||ptch|x|||4|stik|brent|bad",
            "left|link||rail_height|101",
            "left|link||rail_height|oops",
            machine="EX-08",
            date="today",
        )
    )
    assert [problem.row for problem in problems] == [1, 2, 8, 8, 8, 8, 8, 8, 10]


@pytest.mark.parametrize(
    ("was", "now", "field", "near"),
    [
        ("hours on the meter", "hours on the metre", "head", "Did you mean 'hours on the meter'?"),
        ("over joints", "over jonts", "column", "Did you mean 'over joints'?"),
    ],
)
def test_a_misspelt_name_is_refused_with_the_nearest(
    tmp_path, dossier, sheet_text, refused, was, now, field, near
):
    path = tmp_path / "s.csv"
    path.write_text(sheet_text().replace(was, now))
    problems = refused(read_sheet, path, dossier)
    assert near in [problem.next_step for problem in problems if problem.field == field]


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("a,b\n1,2\n", "table header"),
        ('side,part,quantity\n"left,chain\n', "quotes"),
        ("side,part,quantity\n" + "," * 80 + "x\n", "table size"),
        ("side,part,quantity\n" + "\n" * 6000, "table size"),
        ("side,part,quantity\nleft," + "x" * 200_000, "quotes"),
    ],
)
def test_what_is_no_sheet_is_refused(tmp_path, dossier, refused, text, field):
    path = tmp_path / "s.csv"
    path.write_text(text)
    (problem,) = refused(read_sheet, path, dossier)
    assert problem.field == field


def test_another_file_ending_is_refused(tmp_path, dossier, refused):
    (tmp_path / "s.ods").write_text("x")
    assert refused(read_sheet, tmp_path / "s.ods", dossier)[0].seen == ".ods"
    assert refused(write_sheet, dossier, tmp_path / "t.pdf")[0].seen == ".pdf"
    assert not (tmp_path / "t.pdf").exists()


def test_a_place_that_cannot_be_written_to_is_told(tmp_path, dossier, refused):
    assert refused(write_sheet, dossier, tmp_path / "no" / "s.csv")[0].field == "file to write"
    (tmp_path / "d.csv").mkdir()
    assert refused(write_sheet, dossier, tmp_path / "d.csv")[0].field == "file to write"
    assert [path.name for path in tmp_path.iterdir()] == ["d.csv"]


def test_a_failed_write_leaves_the_old_file(tmp_path, dossier, refused, monkeypatch):
    path = tmp_path / "s.csv"
    path.write_text("old")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    (problem,) = refused(write_sheet, dossier, path)
    assert problem.seen == "the disk is full"
    assert path.read_text() == "old"
    assert list(tmp_path.iterdir()) == [path]


LIKE_FORMULAS = ["=1+1", "+1", "-1", "@sum", "\tx", "\rx", "\nx", "=", "'=x", "''-x"]


@pytest.mark.parametrize("text", [*LIKE_FORMULAS, "'", "''x", "1=1", "plain", "x;=1", ";;'-1", "a;\t=1", "x;'=1"])
@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
def test_every_text_reads_back_from_a_sheet(tmp_path, dossier, text, suffix):
    path, alone = tmp_path / f"s{suffix}", replace(dossier, walk_rounds=())
    write_sheet(alone, path, replace(dossier.walk_rounds[0], by=text))
    assert read_sheet(path, alone).by == text


@pytest.mark.parametrize("text", LIKE_FORMULAS)
def test_a_text_like_a_formula_is_written_so_that_no_spreadsheet_runs_it(tmp_path, dossier, text):
    walk_round = replace(dossier.walk_rounds[0], by=text)
    write_sheet(dossier, tmp_path / "s.csv", walk_round)
    with (tmp_path / "s.csv").open(encoding="utf-8-sig", newline="") as stream:
        assert list(csv.reader(stream))[3][1] == f"'{text}"
    write_sheet(dossier, tmp_path / "s.xlsx", walk_round)
    cell = openpyxl.load_workbook(tmp_path / "s.xlsx").worksheets[0]["B4"]
    assert (cell.data_type, cell.quotePrefix) == ("s", True)


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_no_cell_is_a_formula_however_a_spreadsheet_parts_the_file(tmp_path, dossier, delimiter):
    """With decimal commas a spreadsheet parts CSV at the semicolon."""
    write_sheet(dossier, tmp_path / "s.csv", replace(dossier.walk_rounds[0], by="x;=1+1;-2\t@y"))
    with (tmp_path / "s.csv").open(encoding="utf-8-sig", newline="") as stream:
        cells = [cell for row in csv.reader(stream, delimiter=delimiter) for cell in row]
    assert not [cell for cell in cells if cell[:1] in ("=", "+", "-", "@")]


def test_an_imperial_blank_says_so(tmp_path, dossier):
    write_sheet(dossier, tmp_path / "s.csv", units=UnitSystem.IMPERIAL)
    assert "unit,in" in (tmp_path / "s.csv").read_text(encoding="utf-8-sig")


def _round(day, service_h, source="a.csv", **more):
    return WalkRound(dt.date(2026, 1, day), service_h, source=source, **more)


def test_walk_rounds_are_added_in_order_of_date(dossier):
    grown = with_walk_rounds(dossier, [_round(20, 6200.0), _round(10, 6100.0, "b.csv")])
    assert [each.service_h for each in grown.walk_rounds] == [4800.0, 5200.0, 6100.0, 6200.0]


def test_the_same_sheet_twice_counts_once(dossier):
    again = replace(dossier.walk_rounds[0], source="copy.csv")
    again = replace(again, readings=again.readings[::-1])
    assert with_walk_rounds(dossier, [again]) == dossier


def test_two_different_sheets_of_one_day_are_refused(dossier, refused):
    (problem,) = refused(with_walk_rounds, dossier, [_round(10, 6100.0), _round(10, 6100.0, "b.csv", by="other")])
    assert (problem.file, problem.seen) == ("b.csv", "2026-01-10")


def test_hours_that_fall_between_sheets_are_refused(dossier, refused):
    (problem,) = refused(with_walk_rounds, dossier, [_round(10, 6300.0), _round(20, 6200.0, "b.csv")])
    assert (problem.file, problem.field) == ("b.csv", "hours on the meter")
