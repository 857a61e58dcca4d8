"""Worth and bid on the screen."""

from dataclasses import replace

import pytest

from pitchline.money.bid import NOT_A_VALUATION, bid
from pitchline.money.worth import ValuedPart, Worth, against_half, worth_left
from pitchline.papers.bid_words import worth_lines
from pitchline.verdict import Money
from pitchline.words import say
from said import written

NOTHING = Money(0.0, 0.0, 0.0, "EUR")


@pytest.fixture
def priced(excavator):
    def make(share, asking=None, put_right=NOTHING):
        part = ValuedPart(excavator.parts[0].place, Money(3_000.0, 4_000.0, 5_000.0, "EUR"), share, share, share)
        left, capped = worth_left((part,), "EUR", asking)
        out = (written("final drives: by eye only"),)
        worth = Worth(
            part.installed, left, against_half((part,), "EUR"), put_right, (), NOTHING, capped, (part,), out
        )
        return replace(excavator, worth=worth, bid=bid(asking, worth) if asking else None)

    return make


def test_without_a_worth_nothing_is_said(excavator):
    assert worth_lines(excavator) == []


def test_what_it_is_worth_is_told_with_its_range_and_what_is_not_counted(priced):
    text = " ".join(" ".join(worth_lines(priced(0.7))).split())
    assert "EUR 2,800 (2,100 to 3,500) of EUR 4,000 as new; EUR 800 more than half worn" in text
    assert "final drives: by eye only" in text


def test_a_bid_is_told_line_by_line_with_its_reasons_and_what_it_is_not(priced):
    lines = worth_lines(priced(0.2, 20_000, Money(900.0, 1_000.0, 1_100.0, "EUR")))
    text = "\n".join(lines)
    assert [line.split() for line in lines if line.startswith(("To put right now   ", "Offer"))] == [
        ["To", "put", "right", "now", "-1,100", "-1,000", "-900"],
        ["Offer", "17,400", "17,800", "18,200"],
    ]
    assert say(NOT_A_VALUATION).split(":")[0] in text
    assert all(len(line) <= 80 for line in lines)


def test_an_offer_held_at_the_asking_price_says_so(priced):
    text = "\n".join(worth_lines(priced(0.9, 20_000)))
    assert "Comes to" in text
    assert "not above the asking price" in text
