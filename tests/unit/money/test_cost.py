"""What a job costs by the list."""

import pytest

from pitchline.money.cost import job_cost, total
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind
from pitchline.words import say


def test_a_piece_price_counts_pieces_and_a_place_price_counts_places(prices):
    """By hand: 90 shoes at 24 and 9 h at 50; 3 rollers at 180 and 4.5 h at 50."""
    shoes = job_cost(prices, JobKind.RESHOE, PartKind.SHOE, 2, 90)
    assert (shoes.price.usual, shoes.labour_h) == (pytest.approx(2160 + 450), pytest.approx(9.0))
    rollers = job_cost(prices, JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 3, 3)
    assert (rollers.price.usual, rollers.labour_h) == (pytest.approx(540 + 225), pytest.approx(4.5))


def test_what_the_list_lacks_is_said_and_not_guessed(prices):
    cost = job_cost(prices, JobKind.REPLACE, PartKind.IDLER, 2, 2)
    assert (cost.price, cost.labour_h) == (None, None)
    assert say(cost.not_priced) == "replace idlers: not on the price list"
    bare = job_cost(None, JobKind.ADJUST, PartKind.CHAIN, 1, 1)
    assert say(bare.not_priced) == "adjust chain: no price list given"


def test_a_total_adds_low_to_low_and_high_to_high(prices):
    chain = job_cost(prices, JobKind.REPLACE, PartKind.CHAIN, 1, 45).price
    roller = job_cost(prices, JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 1, 1).price
    both = total([chain, roller], "EUR")
    assert (both.low, both.usual, both.high) == (3600 + 225, 4100 + 255, 4800 + 315)
    assert total([], "EUR").usual == 0
