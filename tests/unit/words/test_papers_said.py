"""In a made-up language no paper, drawing, table or calendar entry keeps a word of English that nobody typed."""

import datetime as dt
import io
import re
from dataclasses import replace
from pathlib import Path

import openpyxl
import pypdf
import pytest
from rich.console import Console

import made_up
import pitchline.papers
from judged_once import judge_once
from pitchline.exchange.sheet import sheet_rows, write_sheet
from pitchline.money.free_quote import Asked, free_quote
from pitchline.papers import free_quote as of_nobody
from pitchline.papers.advert import advert_text
from pitchline.papers.bid_words import worth_lines
from pitchline.papers.buyer import buyer_pdf
from pitchline.papers.calendar import calendar_ics
from pitchline.papers.paper import verdict_pdf
from pitchline.papers.photos import Photo
from pitchline.papers.plan_screen import plan_lines
from pitchline.papers.press import press
from pitchline.papers.quote import quote_pdf
from pitchline.papers.screen import verdict_screen
from pitchline.papers.sheet_paper import sheet_pdf
from pitchline.papers.stop import planned_stops
from pitchline.papers.work_order import work_order_pdf
from pitchline.papers.workbook import workbook_xlsx
from pitchline.picture.views import VIEWS, Wanted, drawn
from pitchline.stops.settings import PlanSettings
from pitchline.trade.asking import AskingPrice
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import PLAIN, writing
from pitchline.words import catalogue
from words_typed import typed_in

TODAY = dt.date(2026, 11, 26)
PAPERS = Path(pitchline.papers.__file__).parent
PHOTO = Photo(
    bytes.fromhex(
        "ffd8ffe000104a46494600010100000100010000ffdb004300ffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff"
        "ffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffc0000b080001000101011100ffc4001400010000000000"
        "000000000000000000000affc40014100100000000000000000000000000000000ffda0008010100003f0037ffd9"
    ),
    1,
    1,
    "",
)
"""One grey pixel."""


@pytest.fixture(scope="module")
def planned(dossier, prices):
    """The invented excavator with a plan, as it was judged in English."""
    with writing(PLAIN):
        return judge_once(dossier, prices, TODAY, planning=PlanSettings(6000.0))


@pytest.fixture
def told(planned, wide):
    return replace(planned, writing=wide)


def paper(name, verdict, dossier, prices):
    """A paper by its name."""
    if name == "colleague":
        return verdict_pdf(verdict)
    if name == "buyer":
        return buyer_pdf(verdict, asking=AskingPrice(50_000.0, "EUR"), photos=[PHOTO])
    if name == "sheet":
        return sheet_pdf(sheet_rows(dossier), dossier)
    stop = planned_stops(verdict, prices)[0]
    if name == "workshop":
        return work_order_pdf(verdict, stop)
    return quote_pdf(verdict, stop, TODAY + dt.timedelta(days=30), price_list="")


def lines_of(pdf):
    return [line for page in pypdf.PdfReader(io.BytesIO(pdf)).pages for line in page.extract_text().splitlines()]


@pytest.mark.parametrize("name", ["colleague", "buyer", "workshop", "quote", "sheet"])
def test_a_paper_has_no_plain_word(name, told, dossier, prices, plain):
    """Read from the very PDF; the blank sheet shows the names of tools as a table of readings takes them."""
    pdf = paper(name, told, dossier, prices)
    tools = {"calliper", "tape", "rule", "ultrasonic", "unknown"} if name == "sheet" else set()
    assert plain(lines_of(pdf), {*typed_in(dossier), *tools}) == []
    assert pypdf.PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/Lang"] == "und"
    assert len(lines_of(pdf)) > 25


def test_a_quote_without_a_verdict_has_no_plain_word(dossier, prices, wide, plain):
    """What the template is given; what it says itself is tried with the other quote."""
    asked = [
        Asked(job, part, count)
        for job, part, count in (
            (JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 2),
            (JobKind.RESHOE, PartKind.SHOE, 90),
            (JobKind.REFIT_BOLTS, PartKind.SHOE, 4),
            (JobKind.REPLACE, PartKind.IDLER, 1),
        )
    ]
    on = dt.date(2026, 11, 26)
    for with_labour in (True, False):
        quote = free_quote(prices, asked, [], 0, with_labour)
        head = of_nobody.QuoteHead(dossier.machine, on, on, "1", 3000.0)
        story = of_nobody.free_quote_story(quote, head)
        assert plain(texts_in(story), typed_in(dossier)) == []


def texts_in(told):
    """Every text in what a template is given."""
    if isinstance(told, dict):
        return [text for value in told.values() for text in texts_in(value)]
    if isinstance(told, list | tuple):
        return [text for value in told for text in texts_in(value)]
    return [told] if isinstance(told, str) else []


def test_templates_say_nothing_past_the_catalogue():
    """Between brackets stands what is set as it is: no word but what `say` or a value brings."""
    found = {}
    for file in PAPERS.glob("*.typ"):
        text = re.sub(r"//[^\n]*", "", file.read_text(encoding="utf-8"))
        text = re.sub(r'"(?:[^"\\]|\\.)*"', '""', text)
        bare = [
            re.sub(r"#[\w.-]+(?:\((?:[^()]|\([^()]*\))*\))*", "", one)
            for one in re.findall(r"\[([^\[\]]*)\]", text)
        ]
        if words := [one for one in bare if re.search("[A-Za-z]{2}", one) and '""' not in one]:
            found[file.name] = words
    assert found == {}


@pytest.mark.parametrize(("code", "said"), [("pt-BR", "pt-BR"), ("zh-Hant-TW", "zh-TW"), ("es-419", "es")])
def test_a_language_with_a_country_sets_a_paper(code, said, tmp_path, dossier, monkeypatch):
    """One word of it is known; the PDF names the language by its code (RFC 5646)."""
    entry = 'msgid ""\nmsgstr "Content-Type: text/plain; charset=utf-8\\n"\n\nmsgid "Walk-round sheet"\nmsgstr "Ficha de ronda"\n'
    (tmp_path / f"{code}.po").write_text(entry, encoding="utf-8")
    monkeypatch.setattr(catalogue, "FOLDERS", [tmp_path])
    with writing(replace(PLAIN, language=code)):
        pdf = sheet_pdf(sheet_rows(dossier)[:2], dossier)
    assert "Ficha de ronda" in lines_of(pdf)[0] + lines_of(pdf)[1]
    assert pypdf.PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/Lang"] == said


def test_english_papers_are_british(dossier):
    pdf, remarks = press("sheet.typ", _bare(), None)
    assert pypdf.PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/Lang"] == "en-GB"
    assert remarks == ()


def _bare():
    texts = dict.fromkeys(
        ("title", "author", "name", "name_short", "machine_id", "kind", "note", "last", "unit", "aid", "made"), "x"
    )
    lists = {key: [] for key in ("gear", "sections", "how", "tools", "seen", "how_bad")}
    return texts | lists | {"caution": {"title": "x", "text": "x"}}


VIEWS_OF_ONE = [view for view in VIEWS if view not in ("part", "hours-line")]


def words_drawn(svg):
    """What a drawing says: texts, titles, and what is read out of it."""
    shown = re.sub(r"<style.*?</style>", "", svg, flags=re.DOTALL)
    return [*re.findall(r">([^<>]+)<", shown), *re.findall(r'aria-label="([^"]*)"', shown)]


@pytest.mark.parametrize("number", [1, 7, 15])
def test_drawings_have_no_plain_word(number, judged_demo, wide, plain):
    """Wide and narrow; of a chain, of rubber tracks that nobody went round yet, and of rubber tracks."""
    with writing(PLAIN):
        verdict = judged_demo(number)
    verdict = replace(verdict, writing=wide)
    svgs = [drawn([verdict], Wanted("part", part=kind)) for kind in {part.place.part for part in verdict.parts}]
    for view in VIEWS_OF_ONE if any(part.judged for part in verdict.parts) else ("side", "above"):
        svgs += [drawn([verdict], Wanted(view, width=width, tone="light")) for width in (1000, 360)]
    texts = [text for svg in svgs for text in words_drawn(svg)]
    invented = re.compile(
        r"Invented for the demo yard\.|Invented( for( the( demo)?)?)?$|^(for )?(the )?(demo )?yard\."
    )
    name = verdict.machine.name
    words = [text for text in texts if text not in name]  # narrow drawings break a name
    assert plain([invented.sub("", text) for text in words], {name, verdict.machine.note}) == []
    assert len(texts) > 40


def test_a_plan_is_drawn_and_shown_without_a_plain_word(told, dossier, plain):
    texts = [*words_drawn(drawn([told], Wanted("hours-line")))]
    for shown in (verdict_screen(told), verdict_screen(told, UnitSystem.IMPERIAL, 60), plan_lines(told)):
        console = Console(file=io.StringIO(), width=100)
        console.print(shown)
        texts += console.file.getvalue().splitlines()
    assert plain([*texts, *worth_lines(told)], typed_in(dossier)) == []


def test_workbook_calendar_and_advert_have_no_plain_word(told, dossier, prices, plain):
    """Names of sheets and heads too: nobody reads a workbook back. Of a calendar what a person is shown of an entry."""
    stops = planned_stops(told, prices)
    book = openpyxl.load_workbook(io.BytesIO(workbook_xlsx(told, stops)))
    texts = [sheet.title for sheet in book]
    texts += [
        cell
        for sheet in book
        for row in sheet.iter_rows(values_only=True)
        for cell in row
        if isinstance(cell, str)
    ]
    entries = calendar_ics(told, stops).ics.decode().replace("\r\n ", "").replace("\\n", "\n").replace("\\", "")
    texts += re.findall(r"^(?:SUMMARY|CATEGORIES|DESCRIPTION):(.*(?:\n(?![A-Z-]+[:;]).*)*)", entries, re.MULTILINE)
    texts += advert_text(told, asking=AskingPrice(50_000.0, "EUR")).splitlines()
    assert plain(texts, typed_in(dossier)) == []
    assert len(texts) > 80


def test_a_sheet_to_fill_in_keeps_the_words_a_program_reads(dossier, wide, tmp_path):
    """Heads, parts, quantities and tools are read back by their English names, whatever the language."""
    path = tmp_path / "sheet.csv"
    write_sheet(dossier, path)
    text = path.read_text(encoding="utf-8-sig")
    assert "side,part,number,quantity" in text.replace(";", ",")
    assert "bottom roller" in text
    assert made_up.cyrillic("bottom roller") not in text
