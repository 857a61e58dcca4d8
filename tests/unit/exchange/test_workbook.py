import datetime as dt
import io
import zipfile
from dataclasses import replace

import openpyxl
import pytest

from pitchline.exchange.sheet import read_sheet, write_sheet
from pitchline.trade.findings import FindingKind
from pitchline.trade.readings import DEFAULT_TOOLS


@pytest.fixture
def blank(tmp_path, dossier):
    """A blank workbook of the invented machine."""
    path = tmp_path / "blank.xlsx"
    write_sheet(dossier, path)
    return path


@pytest.fixture
def edited(tmp_path, blank):
    """The blank workbook with cells set, as a spreadsheet would save it."""

    def edit(**cells):
        workbook = openpyxl.load_workbook(blank)
        sheet = workbook.worksheets[0]
        for name, content in ({"B2": dt.date(2026, 5, 31), "B3": 1500} | cells).items():
            sheet[name].quotePrefix = False
            sheet[name].number_format = "yyyy-mm-dd" if name == "B2" else "General"
            sheet[name].value = content
        path = tmp_path / "edited.xlsx"
        workbook.save(path)
        return path

    return edit


def test_a_blank_has_a_frozen_header_lists_and_only_text(blank):
    workbook = openpyxl.load_workbook(blank)
    sheet = workbook.worksheets[0]
    assert sheet.title == "walk-round"
    assert sheet.freeze_panes == "A8"
    assert sheet["A7"].value == "side"
    assert {each.formula1 for each in sheet.data_validations.dataValidation} == {
        f"lists!$A$1:$A${len(DEFAULT_TOOLS) + 1}",
        f"lists!$B$1:$B${len(FindingKind) + 1}",
        "lists!$C$1:$C$3",
    }
    assert workbook["lists"].sheet_state == "hidden"
    assert {cell.data_type for row in sheet.iter_rows() for cell in row if cell.value is not None} == {"s"}


def test_numbers_and_days_of_a_spreadsheet_are_read(edited, dossier):
    walk_round = read_sheet(edited(E8=764.5, F8=765, H8=4), dossier)
    assert (walk_round.date, walk_round.service_h) == (dt.date(2026, 5, 31), 6500.0)
    assert walk_round.readings[0].repeats_m == pytest.approx((0.7645, 0.765))
    assert [typed.text for typed in walk_round.readings[0].typed] == ["764.5", "765"]


def test_formulas_are_refused_by_the_name_of_their_cell(edited, dossier, refused):
    problems = refused(read_sheet, edited(E8="=764+1", F9="=A1"), dossier)
    assert [(each.field, each.row) for each in problems] == [("cell E8", 8), ("cell F9", 9)]
    assert "paste values" in problems[0].next_step


def test_an_error_value_is_refused(edited, dossier, refused):
    (problem,) = refused(read_sheet, edited(E8="#DIV/0!"), dossier)
    assert problem.field == "cell E8"


def test_a_day_that_a_spreadsheet_made_of_a_fraction_is_refused(edited, dossier, refused):
    problems = refused(read_sheet, edited(E8=dt.date(2026, 3, 8), H8=4), dossier)
    assert [(each.field, each.seen) for each in problems] == [("reading 1", "2026-03-08")]


@pytest.mark.parametrize(("cell", "seen"), [("A5101", "A5101"), ("BI9", "BI9"), ("XFD1048576", "XFD1048576")])
def test_cells_far_out_are_refused(edited, dossier, refused, cell, seen):
    (problem,) = refused(read_sheet, edited(**{cell: "x"}), dossier)
    assert problem.seen == f"something in cell {seen}"


@pytest.mark.parametrize(
    ("rows", "seen"),
    [
        ('<row r="9999999999"><c><v>1</v></c></row>', "something in row 9999999999"),
        ("<row><c><v>1</v></c></row>" * 5101, "something in row 5,101"),
        ("<row>" + "<c><v>1</v></c>" * 61 + "</row>", "something in row 1"),
    ],
)
def test_cells_without_names_are_counted_too(blank, dossier, refused, rows, seen):
    namespace = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    xml = f'<worksheet xmlns="{namespace}"><sheetData>{rows}</sheetData></worksheet>'
    _rebuilt(blank, {"xl/worksheets/sheet1.xml": xml.encode()})
    (problem,) = refused(read_sheet, blank, dossier)
    assert problem.seen == seen


def _rebuilt(path, changes):
    """The workbook with members replaced or added."""
    old = zipfile.ZipFile(path)
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            if name not in changes:
                new.writestr(name, old.read(name))
        for name, content in changes.items():
            new.writestr(name, content)
    raw = stream.getvalue()
    path.write_bytes(raw)


def _small_bomb(path):
    _rebuilt(path, {"xl/worksheets/sheet1.xml": b" " * (20 * 1024**2)})


def _large_bomb(path):
    _rebuilt(path, {f"xl/media/{n}.png": b"\0" * (18 * 1024**2) for n in range(3)})


def _many_members(path):
    _rebuilt(path, {f"xl/media/{n}.txt": b"x" for n in range(300)})


def _macros(path):
    _rebuilt(path, {"xl/vbaProject.bin": b"x"})


def _entities(path):
    lol = '<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>'
    _rebuilt(path, {"xl/workbook.xml": f"<?xml version='1.0'?>{lol}<workbook>&b;</workbook>".encode()})


def _encrypted(path):
    raw = bytearray(path.read_bytes())
    at = raw.find(b"PK\x01\x02")
    raw[at + 8] |= 1
    path.write_bytes(bytes(raw))


def _old_format(path):
    path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600))


def _no_zip(path):
    path.write_bytes(b"side,part\n")


def _cut_short(path):
    path.write_bytes(path.read_bytes()[:-200])


def _other_archive(path):
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("readme.txt", "x")


def _no_sheet(path):
    _rebuilt(path, {"xl/workbook.xml": b"<workbook/>"})


def _damaged(path):
    _rebuilt(path, {"xl/worksheets/sheet1.xml": b"<worksheet><sheetData><row r='1'><c r='A1'"})


@pytest.mark.parametrize(
    ("spoil", "seen"),
    [
        (_small_bomb, "xl/worksheets/sheet1.xml unpacks to"),
        (_large_bomb, "54 MB unpacked"),
        (_many_members, "3"),
        (_macros, "macros"),
        (_entities, "entity definitions in xl/workbook.xml"),
        (_encrypted, "protected by a password"),
        (_old_format, "a password or an old format"),
        (_no_zip, "not a workbook"),
        (_cut_short, "not a workbook"),
        (_other_archive, "an archive that is no workbook"),
        (_no_sheet, "damaged content"),
        (_damaged, "damaged content"),
    ],
)
def test_a_dangerous_or_damaged_workbook_is_refused(blank, dossier, refused, spoil, seen):
    spoil(blank)
    (problem,) = refused(read_sheet, blank, dossier)
    assert problem.field == "workbook"
    assert problem.seen.startswith(seen)


def test_dangerous_workbooks_never_reach_the_library(blank, dossier, refused, monkeypatch):
    monkeypatch.setattr(
        "pitchline.exchange.grid_xlsx.load_workbook", lambda *_, **__: pytest.fail("it was opened")
    )
    _small_bomb(blank)
    assert refused(read_sheet, blank, dossier)


def test_entities_are_refused_by_the_library_too():
    # openpyxl takes defusedxml where it is installed; without it the billion-laughs guard would rest on us alone.
    assert openpyxl.DEFUSEDXML is True


def test_texts_with_escapes_and_line_ends_come_back(tmp_path, dossier):
    path = tmp_path / "s.xlsx"
    alone = replace(dossier, walk_rounds=())
    odd = "_x000D_ _x005F_x0041_ a\r\nb\tc #N/A"
    write_sheet(alone, path, replace(dossier.walk_rounds[0], by=odd))
    assert read_sheet(path, alone).by == odd


def test_a_character_no_workbook_can_hold_is_told(tmp_path, dossier, refused):
    walk_round = replace(dossier.walk_rounds[0], by="\x01")
    for suffix in (".xlsx", ".csv"):
        assert refused(write_sheet, dossier, tmp_path / f"s{suffix}", walk_round)[0].row == 4
    assert list(tmp_path.iterdir()) == []
