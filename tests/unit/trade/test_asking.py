"""What is asked for a machine."""

import math

import pytest

from pitchline.trade.asking import MOST, AskingPrice
from pitchline.trade.errors import NotAllowedError


@pytest.mark.parametrize("amount", [0.0, -1.0, math.nan, math.inf, 2 * MOST])
def test_an_amount_is_above_nothing_and_has_an_end(amount):
    with pytest.raises(NotAllowedError, match="asking price"):
        AskingPrice(amount, "EUR")


@pytest.mark.parametrize("code", ["", "eur", "EURO", "E1R", "ÄÖÜ"])
def test_a_currency_has_three_capital_letters(code):
    """The form of ISO 4217."""
    with pytest.raises(NotAllowedError, match="currency"):
        AskingPrice(48_000.0, code)


@pytest.mark.parametrize(
    ("amount", "said"), [(48_000.0, "EUR 48000"), (480.5, "EUR 480.50"), (480.125, "EUR 480.1250")]
)
def test_it_is_said_as_it_can_be_typed_again(amount, said):
    assert AskingPrice(amount, "EUR").said == said
    assert float(said.removeprefix("EUR ")) == amount
