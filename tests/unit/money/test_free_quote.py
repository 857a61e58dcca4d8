"""A free quote by hand: two rollers at 180 and 1.5 h, 90 shoes at 24 and 0.1 h, labour at 50. Every price is invented."""

from dataclasses import replace

import pytest

from pitchline.money.free_quote import Asked, free_quote
from pitchline.money.stop_costs import StopCosts
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind
from pitchline.words import say

ROLLERS = Asked(JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 2)
SHOES = Asked(JobKind.RESHOE, PartKind.SHOE, 90)
IDLER = Asked(JobKind.REPLACE, PartKind.IDLER, 1)
STOP = StopCosts(lorry=380.0, call_out=90.0, opening_per_side=160.0, standing_per_h=35.0)


def usual(quote):
    return [line.price and line.price.usual for line in quote.lines]


def test_lines_count_places_and_pieces_with_their_labour(prices):
    """2 x 180 + 3 h x 50 = 510; 90 x 24 + 9 h x 50 = 2610. Low 2 x 150 + 150 and 90 x 20 + 450."""
    quote = free_quote(prices, [ROLLERS, SHOES])
    assert usual(quote) == [510.0, 2610.0]
    assert (quote.net.low, quote.net.usual, quote.net.high) == (450 + 2250, 3120.0, 630 + 3150)
    assert quote.labour_h == 12.0
    assert [line.per for line in quote.lines] == ["each", "piece"]


def test_parts_alone_have_no_labour(prices):
    quote = free_quote(prices, [ROLLERS, SHOES], with_labour=False)
    assert usual(quote) == [360.0, 2160.0]
    assert quote.labour_h == 0.0


def test_charges_are_those_wanted_and_a_standing_machine_is_never_one(prices):
    quote = free_quote(replace(prices, stop=STOP), [ROLLERS], ["lorry"], sides_opened=2)
    assert [(say(charge.words), charge.amount) for charge in quote.charges] == [
        ("lorry", 380.0),
        ("opening the track and closing it again, 2 sides", 320.0),
    ]
    assert quote.net.usual == 510 + 380 + 320


def test_price_put_by_hand_stands_with_its_reason_beside_the_lists(prices):
    by_hand = replace(ROLLERS, price=450.0, why="agreed")
    (line,) = free_quote(prices, [by_hand]).lines
    assert (line.price.low, line.price.usual, line.price.high) == (450.0,) * 3
    assert line.listed.usual == 510.0
    with pytest.raises(NotAllowedError, match="reason"):
        free_quote(prices, [replace(ROLLERS, price=450.0)])
    assert free_quote(prices, [replace(ROLLERS, price=510.0)]).net.usual == 510.0


def test_what_the_list_has_not_is_priced_by_hand_or_quoted_apart(prices):
    quote = free_quote(prices, [ROLLERS, IDLER])
    assert usual(quote) == [510.0, None]
    assert quote.net.usual == 510.0
    assert free_quote(prices, [replace(IDLER, price=800.0)]).net.usual == 800.0
    assert free_quote(prices, [IDLER]).net is None


def test_line_in_own_words_has_a_price_of_its_own(prices):
    quote = free_quote(prices, [Asked(None, None, 1, "carriage", 35.0)])
    assert quote.net.usual == 35.0


@pytest.mark.parametrize(
    "made",
    [
        {"count": 0},
        {"count": 10_000},
        {"price": -1.0},
        {"price": float("nan")},
        {"job": None},
        {"part": None},
        {"job": None, "words": "carriage"},
    ],
)
def test_line_that_cannot_be_is_refused(made):
    with pytest.raises(NotAllowedError):
        replace(ROLLERS, **made)


@pytest.mark.parametrize(
    "more", [{"asked": []}, {"sides_opened": 3}, {"sides_opened": 1}, {"charges": ["lorry"]}, {"charges": ["x"]}]
)
def test_quote_that_cannot_be_is_refused(prices, more):
    with pytest.raises(NotAllowedError):
        free_quote(prices, **({"asked": [ROLLERS]} | more))
