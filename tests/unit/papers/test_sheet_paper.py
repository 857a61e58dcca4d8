"""The blank sheet: every line of this machine, room to write, how to read."""

import io
from dataclasses import dataclass, replace

import pypdf
import pytest

from pitchline.papers import words
from pitchline.papers.press import press
from pitchline.papers.sheet_paper import sheet_pdf, sheet_story
from pitchline.trade.dossier import Dossier
from pitchline.trade.measurands import Measurand, measurands_of
from pitchline.trade.parts import Place
from pitchline.trade.units import UnitSystem
from pitchline.words.how_read import how_read


@dataclass(frozen=True)
class Line:
    place: Place
    measurand: Measurand | None
    previous: str = ""

    @property
    def how(self):
        """As a machine without turned bushes is read."""
        return how_read(self.measurand) if self.measurand else ""


@pytest.fixture(params=["excavator", "mini", "empty", "long_machine"])
def dossier(request):
    verdict = request.getfixturevalue(request.param)
    return Dossier(verdict.machine, verdict.gear, walk_rounds=verdict.walk_rounds)


def lines(dossier):
    return tuple(
        Line(place, measurand, "57.7 mm on 2026-03-02" if measurand else "")
        for place in dossier.gear.places()
        for measurand in measurands_of(place.part) or (None,)
    )


def test_every_line_stands_on_the_sheet_once(dossier):
    told = sheet_story(lines(dossier), dossier, UnitSystem.METRIC)
    assert sum(len(section["rows"]) for section in told["sections"]) == len(lines(dossier))


def test_every_quantity_is_numbered_and_told_how_to_read(dossier, text_of):
    text = text_of(sheet_pdf(lines(dossier), dossier))
    asked = {line.measurand for line in lines(dossier) if line.measurand}
    for measurand in asked:
        assert " ".join(how_read(measurand).split()) in text
    told = sheet_story(lines(dossier), dossier, UnitSystem.METRIC)["how"]
    assert [one["number"] for one in told] == list(range(1, len(asked) + 1))


def test_it_is_tagged_a4_and_has_no_remarks(dossier):
    pdf, remarks = press("sheet.typ", sheet_story(lines(dossier), dossier, UnitSystem.METRIC), None)
    file = pypdf.PdfReader(io.BytesIO(pdf))
    assert remarks == ()
    assert "/StructTreeRoot" in file.trailer["/Root"]
    assert 2 <= len(file.pages) <= 6
    assert float(file.pages[0].mediabox.height) == pytest.approx(297 / 25.4 * 72, abs=0.1)


def test_the_previous_reading_stands_beside_the_boxes(dossier, text_of):
    text = text_of(sheet_pdf(lines(dossier), dossier))
    assert text.count("57.7 mm on 2026-03-02") == sum(line.measurand is not None for line in lines(dossier))


def test_the_boxes_say_the_unit(dossier):
    assert sheet_story(lines(dossier), dossier, UnitSystem.IMPERIAL)["unit"] == "in"


def test_a_machine_never_visited_has_no_date_and_the_same_bytes(dossier):
    blank = replace(dossier, walk_rounds=())
    first = sheet_pdf(lines(blank), blank)
    assert first == sheet_pdf(lines(blank), blank)
    assert "/CreationDate" not in pypdf.PdfReader(io.BytesIO(first)).metadata


def test_what_was_typed_is_never_markup(dossier, text_of):
    typed = "#strong[x] $ \\ *_<a>"
    named = replace(dossier, machine=replace(dossier.machine, name=typed, machine_id=typed))
    assert text_of(sheet_pdf(lines(named), named)).count(typed) >= 3


def test_the_working_aid_line_stands_on_every_page(dossier):
    for page in pypdf.PdfReader(io.BytesIO(sheet_pdf(lines(dossier), dossier))).pages:
        assert words.WORKING_AID in " ".join(page.extract_text().split())
