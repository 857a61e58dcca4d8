"""From an asking price to an offer."""

from dataclasses import replace

import pytest

from pitchline.money.amount import Money
from pitchline.money.bid import NOT_A_VALUATION, bid, with_asking
from pitchline.money.worth import ValuedPart, Worth, against_half, worth_left
from pitchline.trade.asking import AskingPrice
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.words import say
from said import written

NOTHING = Money(0.0, 0.0, 0.0, "EUR")
ROLLER = ValuedPart(
    Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 1), Money(200, 250, 400, "EUR"), 0, 0, 0, put_right=True
)
CHAIN = ValuedPart(Place(PartKind.CHAIN, Side.LEFT), Money(3_000, 4_000, 5_000, "EUR"), 0.6, 0.7, 0.8)


@pytest.fixture
def worth():
    parts = (ROLLER, CHAIN)
    left, capped = worth_left(parts, "EUR")
    stop = Money(500, 500, 500, "EUR")
    new = Money(3_200, 4_250, 5_400, "EUR")
    return Worth(
        new,
        left,
        against_half(parts, "EUR"),
        Money(200, 250, 400, "EUR"),
        (),
        stop,
        capped,
        parts,
        (written("guards"),),
    )


def test_every_line_by_hand_and_the_offer_is_their_sum(worth):
    """Usual: 20,000 - 250 - 500 + 250 x 0.5 + 4,000 x 0.2; low with high costs, high with low ones."""
    made = bid(20_000, worth)
    assert [line.amount.usual for line in made.lines] == pytest.approx([20_000, -250, -500, 925])
    assert made.worth_it.usual == pytest.approx(20_175)
    assert made.offer.low == pytest.approx(20_000 - 400 - 500 + 200 * 0.5 + 3_000 * 0.1)
    assert made.worth_it.high == pytest.approx(20_000 - 200 - 500 + 400 * 0.5 + 5_000 * 0.3)
    assert made.offer.usual == made.offer.high == 20_000, "never more than is asked"
    assert all(line.because for line in made.lines)
    assert (made.left_out, made.caution) == ((written("guards"),), NOT_A_VALUATION)


def test_an_offer_is_never_below_nothing(worth):
    assert bid(300, replace(worth, put_right=Money(900, 950, 999, "EUR"))).offer == NOTHING


def test_what_is_not_known_is_said_and_not_taken_off(worth):
    made = bid(20_000, replace(worth, stop=None, not_priced=(written("replace idlers: not on the price list"),)))
    assert made.lines[2].amount == NOTHING
    assert "No cost of a lay-up" in say(made.lines[2].because)
    assert "replace idlers" in say(made.lines[1].because)


@pytest.mark.parametrize("asking", [0, -5, float("nan"), float("inf")])
def test_an_asking_price_that_cannot_be_is_refused(worth, asking):
    with pytest.raises(NotAllowedError, match="asking price"):
        bid(asking, worth)


@pytest.mark.parametrize("shares", [(-0.1, 0, 1), (0.5, 0.4, 0.6), (0.1, 0.2, 1.1)])
def test_shares_of_life_left_rise_from_nothing_to_all(shares):
    with pytest.raises(NotAllowedError, match="life left"):
        replace(CHAIN, cautious=shares[0], usual=shares[1], hopeful=shares[2])


def test_a_worse_set_never_makes_a_better_offer(worth):
    worse = replace(CHAIN, cautious=0.1, usual=0.2, hopeful=0.3)
    parts = (ROLLER, worse)
    lower = bid(20_000, replace(worth, parts=parts)).offer
    assert lower.usual < bid(20_000, worth).offer.usual


def test_another_asking_price_needs_no_other_judgement(worth):
    """The worth held at 2,000: 4,000 x 0.7 = 2,800 as it stands."""
    held, made = with_asking(worth, AskingPrice(2_000.0, "EUR"))
    assert (worth.left.usual, held.left.usual, held.capped) == (pytest.approx(2_800), 2_000, True)
    assert made == bid(2_000.0, held)
    free, none = with_asking(held, None)
    assert (free.left, free.capped, none) == (worth.left, False, None)


def test_no_currency_is_turned_into_another(worth):
    held, made = with_asking(worth, AskingPrice(2_000.0, "SEK"))
    assert (held.left, made) == (worth.left, None)


def test_half_worn_is_half_of_as_new(worth):
    assert worth.half_worn == Money(1_600, 2_125, 2_700, "EUR")
