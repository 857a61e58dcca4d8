"""A free quote on paper: what stands on it, that it adds up, and that it fits."""

import datetime as dt
import io
from dataclasses import replace

import pypdf
import pytest

from pitchline.money.free_quote import Asked, free_quote
from pitchline.money.machine_class import EVERY, MachineClass
from pitchline.money.stop_costs import StopCosts
from pitchline.papers.free_quote import QuoteHead, free_quote_pdf, free_quote_story, line_said
from pitchline.papers.price_words import class_said
from pitchline.papers.words import GAP
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import Machine, MachineKind
from pitchline.trade.parts import PartKind
from pitchline.trade.units import UnitSystem

HEAD = QuoteHead(
    Machine("EX-1", "Invented excavator", MachineKind.EXCAVATOR, 21_000.0),
    dt.date(2026, 11, 30),
    dt.date(2026, 12, 30),
    "EX-1-20261130-F1",
    notes="Old parts are taken back.",
    price_list="price list 4 of 3 Aug 2026",
)
ROLLERS = Asked(JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 2)
ASKED = [ROLLERS, Asked(JobKind.REPLACE, PartKind.SPROCKET), Asked(None, None, 1, "carriage", 35.0)]


@pytest.fixture
def listed(prices):
    return replace(prices, tax_rate=0.19, stop=StopCosts(lorry=400.0))


def test_two_rollers_and_a_line_of_ones_own_with_tax(listed, text_of):
    """By hand: 2 x 180 + 3 h x 50 = 510, carriage 35, lorry 400: 945; 19 % of it 179.55, together 1,124.55."""
    text = text_of(free_quote_pdf(free_quote(listed, ASKED, ["lorry"]), HEAD))
    for said in (
        "Replace 2 bottom rollers", "labour 3 h", "510.00", "Carriage", "35.00", "Lorry", "400.00", "945.00", "179.55",
        "1,124.55", "Old parts are taken back.",
        "Made by price list 4 of 3 Aug 2026", "EX-1-20261130-F1", "30 Dec 2026", "hours not read",
        "to be quoted apart: Replace 1 sprocket", "nothing was looked at",
    ):  # fmt: skip
        assert said in text, said


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ((JobKind.TURN, 1, True), "Turn bushes, 1 side"),
        ((JobKind.TURN, 2, True), "Turn bushes, 2 sides"),
        ((JobKind.REPLACE, 2, False), "Bushes, 2 sides"),
    ],
)
def test_bushes_are_counted_by_the_side_as_they_are_priced(listed, asked, said):
    """A side has some forty of them: "turn 2 bushes" at the price of two sides would be read as two bushes."""
    kind, count, with_labour = asked
    quote = free_quote(listed, [Asked(kind, PartKind.BUSH, count), ROLLERS], with_labour=with_labour)
    told = {line_said(line, with_labour) for line in quote.lines}
    assert said in {one.replace(GAP, " ") for one in told}


def test_parts_alone_say_so_and_name_no_work(listed, text_of):
    text = text_of(free_quote_pdf(free_quote(listed, [ROLLERS], with_labour=False), HEAD))
    assert "2 × bottom roller" in text
    assert "360.00" in text
    assert "without labour" in text
    assert "Replace" not in text


def test_same_quote_is_the_same_bytes_on_one_page(listed):
    many = [Asked(None, None, 1, f"line {n}", 1.0) for n in range(30)]
    pdf = free_quote_pdf(free_quote(listed, [*ASKED, *many]), HEAD)
    assert pdf == free_quote_pdf(free_quote(listed, [*ASKED, *many]), HEAD)
    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 1


def test_quote_without_a_price_or_with_a_past_last_day_is_refused(listed):
    with pytest.raises(NotAllowedError, match="no line with a price"):
        free_quote_story(free_quote(listed, ASKED[1:2]), HEAD)
    with pytest.raises(NotAllowedError, match="valid until"):
        free_quote_story(free_quote(listed, ASKED), replace(HEAD, valid_until=dt.date(2026, 11, 29)))


@pytest.mark.parametrize(
    ("which", "said"),
    [
        (EVERY, "every machine"),
        (MachineClass(mass_under_kg=4e3), "under 4 t"),
        (MachineClass(MachineKind.DOZER, 12e3, 28e3), "dozer, 12 t to under 28 t"),
        (MachineClass(mass_from_kg=28.5e3), "28.5 t and over"),
        (MachineClass(gear="Wide steel"), "Wide steel"),
    ],
)
def test_class_of_machine_in_words(which, said):
    assert class_said(which) == said


def test_class_of_machine_in_pounds():
    """26,455 lb are 12 t: 12,000 / 0.45359237."""
    assert class_said(MachineClass(mass_from_kg=12e3), UnitSystem.IMPERIAL) == "26,455 lb and over"
