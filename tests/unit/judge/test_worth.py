"""What the running gear is worth, and the bid, inside a verdict."""

from dataclasses import replace
from functools import cache

import pytest

from pitchline.judge import judge as judge_anew
from pitchline.money.prices import PriceLine
from pitchline.money.stop_costs import StopCosts
from pitchline.trade.asking import AskingPrice
from pitchline.trade.calls import Call
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.words import say

judge = cache(judge_anew)
"""Several tests ask the same: the same input gives the same verdict."""
ROLLER = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3)


def test_without_prices_nothing_is_worth_anything(dossier):
    verdict = judge(dossier, asking=20_000)
    assert (verdict.worth, verdict.bid) == (None, None)


def test_priced_parts_are_counted_once_and_the_rest_is_named(dossier, prices):
    worth = judge(dossier, prices).worth
    places = [part.place for part in worth.parts]
    assert len(places) == len(set(places))
    assert {place.part for place in places} == {PartKind.CHAIN, PartKind.SHOE, PartKind.BOTTOM_ROLLER}
    assert any(words.startswith("sprockets:") and "price list" in words for words in map(say, worth.left_out))
    assert any(words.startswith("idlers:") for words in map(say, worth.left_out))
    assert any(words.startswith("final drives: by eye") for words in map(say, worth.left_out))


def test_a_chain_counts_as_its_first_part_to_go(dossier, prices):
    """All worn by a third; bushes still have a turn, the rail has two thirds left: by hand 4,100 x 0.67 a side."""
    worth = judge(dossier, prices).worth
    chain = next(part for part in worth.parts if part.place.part is PartKind.CHAIN)
    assert chain.installed.usual == pytest.approx(3_500 + 12 * 50)
    assert chain.usual == pytest.approx(0.67, abs=0.03)


def test_a_part_replaced_today_has_nothing_left_and_its_job_is_the_cure(later, prices):
    leak = Finding(ROLLER, FindingKind.LEAK, Severity.SEVERE)
    sound, leaky = judge(later(), prices).worth, judge(later(findings=(leak,)), prices).worth
    roller = next(part for part in leaky.parts if part.place == ROLLER)
    assert (roller.usual, roller.put_right) == (0.0, True)
    assert leaky.put_right.usual == pytest.approx(180 + 1.5 * 50)
    assert leaky.left.usual < sound.left.usual
    assert sound.put_right.usual == 0


def test_one_stop_is_charged_for_all_that_is_put_right(later, prices):
    leak = Finding(ROLLER, FindingKind.LEAK, Severity.SEVERE)
    priced = replace(prices, stop=StopCosts(lorry=400.0, standing_per_h=20.0))
    assert judge(later(findings=(leak,)), priced).worth.stop.usual == pytest.approx(400 + 1.5 * 20)
    assert judge(later(), priced).worth.stop.usual == 0
    assert judge(later(findings=(leak,)), prices).worth.stop is None


def test_a_few_shoes_do_not_make_a_side_new(later, prices):
    bent = Finding(Place(PartKind.SHOE, Side.LEFT), FindingKind.BENT, Severity.SEVERE, count=3)
    verdict = judge(later(findings=(bent,)), prices)
    assert any(job.call is Call.STOP and job.part is PartKind.SHOE for job in verdict.jobs)
    shoes = next(part for part in verdict.worth.parts if part.place == Place(PartKind.SHOE, Side.LEFT))
    assert not shoes.put_right
    assert verdict.worth.put_right.usual == pytest.approx(3 * 24 + 0.3 * 50)


def test_twice_the_prices_is_twice_the_worth(dossier, prices):
    lines = tuple(
        PriceLine(x.job, x.part, 2 * x.price_low, 2 * x.price_usual, 2 * x.price_high, x.labour_h, x.per)
        for x in prices.lines
    )
    dear = replace(prices, lines=lines, labour_per_h=2 * prices.labour_per_h)
    once, twice = judge(dossier, prices).worth, judge(dossier, dear).worth
    assert twice.left.usual == pytest.approx(2 * once.left.usual)
    assert twice.against_half.low == pytest.approx(2 * once.against_half.low)


def test_the_asking_price_caps_the_worth_and_makes_a_bid(dossier, prices):
    free, asked = judge(dossier, prices), judge(dossier, prices, asking=4_000)
    assert free.bid is None
    assert free.worth.left.usual > 4_000
    assert (asked.worth.left.usual, asked.worth.capped) == (4_000, True)
    assert asked.bid.lines[0].amount.usual == 4_000
    assert asked.bid.worth_it.usual == pytest.approx(sum(line.amount.usual for line in asked.bid.lines))


def test_a_job_on_what_is_put_right_without_a_price_is_named(later, prices):
    seized = Finding(Place(PartKind.FINAL_DRIVE, Side.LEFT), FindingKind.LEAK, Severity.SEVERE)
    worth = judge(later(findings=(seized,)), prices).worth
    assert any("final drive" in words for words in map(say, worth.not_priced))


def test_asking_price_of_the_dossier_counts_where_none_is_given(dossier, prices):
    asked = replace(dossier, asking=AskingPrice(20_000.0, "EUR"))
    assert judge(asked, prices).bid == judge(dossier, prices, asking=20_000.0).bid
    assert judge(asked, prices, asking=9_000.0).bid == judge(dossier, prices, asking=9_000.0).bid
    assert judge(asked).bid is None


def test_asking_price_in_another_currency_makes_no_offer_and_says_so(dossier, prices):
    verdict = judge(replace(dossier, asking=AskingPrice(200_000.0, "SEK")), prices)
    assert verdict.bid is None
    assert verdict.worth == judge(dossier, prices).worth
    assert "The asking price is in SEK, the price list in EUR: no offer is made." in [
        say(one) for one in verdict.remarks
    ]
