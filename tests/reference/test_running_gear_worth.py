"""What parts of limited life are worth: worked figures of appraisal, recomputed by hand.

Sources: the age-life example is a worked one of appraisers' teaching, from memory; the rest as marked.
"""

import pytest

from pitchline.money.amount import Money
from pitchline.money.bid import bid
from pitchline.money.worth import ValuedPart, Worth, against_half, worth_left
from pitchline.trade.parts import PartKind, Place, Side

NOTHING = Money(0.0, 0.0, 0.0, "EUR")


def part(cost, share, number=1, put_right=False, low=None, high=None):
    """A part with one price and one share of life left."""
    place = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, number)
    shares = (share, share, share)
    return ValuedPart(place, Money(low or cost, cost, high or cost, "EUR"), *shares, put_right=put_right)


def worth(parts, put_right=NOTHING, stop=NOTHING, cap=None):
    new = Money(*(sum(getattr(p.installed, f) for p in parts) for f in ("low", "usual", "high")), "EUR")
    left, capped = worth_left(parts, "EUR", cap)
    return Worth(new, left, against_half(parts, "EUR"), put_right, (), stop, capped, parts, ())


def test_four_parts_pro_rata_and_against_half_worn():
    """16,000 x 0.35 + 1,900 x 0.20 + 5,800 x 0.60 + 3,400 x 0.80 = 12,180; less half of 27,100 = -1,370 (by hand)."""
    parts = tuple(part(*one) for one in ((16_000, 0.35), (1_900, 0.20), (5_800, 0.60), (3_400, 0.80)))
    assert worth_left(parts, "EUR")[0].usual == pytest.approx(12_180)
    assert against_half(parts, "EUR").usual == pytest.approx(-1_370)


def test_age_life_takes_off_a_quarter():
    """Age-life method, the glossary's example: effective age 15, remaining 45, cost new 60,000: 25 %, 15,000 off."""
    assert worth_left((part(60_000, 45 / (15 + 45)),), "EUR")[0].usual == pytest.approx(60_000 - 15_000)


def test_what_is_cured_comes_off_first_and_the_rest_by_age():
    """Modified age-life, from memory: new 60,000, curable 6,000, 15 of 60 used: 6,000 + 54,000 x 0.25 = 19,500 off, by hand."""
    parts = (part(6_000, 0.0, 1, put_right=True), part(54_000, 0.75, 2))
    assert worth_left(parts, "EUR")[0].usual == pytest.approx(60_000 - 19_500)


def test_a_credit_for_fresh_parts_is_cut_at_the_worth_of_the_whole():
    """Two sets at 7.0 each at half life, full 12.0 in all, though the whole sold below 8: so a cap.

    Half-time adjustment as in the appraisal of aircraft; figures from memory.
    """
    sets = (part(5.0e6, 1.0, 1), part(7.0e6, 1.0, 2))
    held, capped = worth_left(sets, "EUR", cap=8.0e6)
    assert (held.usual, capped) == (8.0e6, True)
    offer = bid(8.0e6, worth(sets, cap=8.0e6))
    assert offer.lines[-1].amount.usual == pytest.approx(2.0e6)
    assert (offer.capped, offer.worth_it.usual) == (True, pytest.approx(10.0e6))


def test_paying_the_cure_and_then_a_half_worn_price_takes_it_off_once():
    """One part of 1,000 at its limit, cured for 1,000, is new then: -1,000 + 500 = -500, as 0 - half of 1,000 (by hand)."""
    cured = worth((part(1_000, 0.0, put_right=True),), put_right=Money(1_000, 1_000, 1_000, "EUR"))
    plain = worth((part(1_000, 0.0),))
    assert bid(9_000, cured).offer == bid(9_000, plain).offer == Money(8_500, 8_500, 8_500, "EUR")
