import math

import pytest

from pitchline.money.prices import PriceLine, PriceList
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind

ROLLER = (JobKind.REPLACE, PartKind.BOTTOM_ROLLER)


def test_a_line_is_found_by_job_and_part(prices):
    assert prices.line_for(JobKind.RESHOE, PartKind.SHOE).per == "piece"
    assert prices.line_for(JobKind.REBUILD, PartKind.SHOE) is None


@pytest.mark.parametrize(
    "figures",
    [(-1, 0, 1), (3, 2, 4), (1, 3, 2), (1, math.nan, 2), (1, 2, math.inf)],
    ids=["below zero", "low above usual", "usual above high", "gap", "endless"],
)
def test_prices_that_do_not_rise_from_zero_are_refused(figures):
    with pytest.raises(NotAllowedError, match="low before usual before high"):
        PriceLine(*ROLLER, *figures, 1.0)


@pytest.mark.parametrize("labour_h", [-0.1, math.nan, math.inf])
def test_labour_that_cannot_be_is_refused(labour_h):
    with pytest.raises(NotAllowedError, match="labour hours"):
        PriceLine(*ROLLER, 1.0, 2.0, 3.0, labour_h)


def test_a_price_may_be_nothing_and_the_same_thrice():
    assert PriceLine(*ROLLER, 0.0, 0.0, 0.0, 0.0).price_usual == 0.0


def test_a_unit_nobody_knows_is_refused():
    with pytest.raises(NotAllowedError, match="each or piece"):
        PriceLine(*ROLLER, 1.0, 2.0, 3.0, 1.0, per="pair")


@pytest.mark.parametrize("currency", ["", "EU", "eur", "EURO", "€", "ÄÖÜ"])
def test_a_currency_has_the_form_of_iso_4217(currency):
    """ISO 4217: alphabetic codes are three capital letters."""
    with pytest.raises(NotAllowedError, match="three capital letters"):
        PriceList(currency, 50.0, ())


@pytest.mark.parametrize("rate", [-1.0, math.nan, math.inf])
def test_a_labour_rate_that_cannot_be_is_refused(rate):
    with pytest.raises(NotAllowedError, match="labour rate"):
        PriceList("EUR", rate, ())


def test_the_same_job_and_part_twice_is_refused():
    line = PriceLine(*ROLLER, 1.0, 2.0, 3.0, 1.0)
    with pytest.raises(NotAllowedError, match="each job and part once"):
        PriceList("EUR", 50.0, (line, line))
