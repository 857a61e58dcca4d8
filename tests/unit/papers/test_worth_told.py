"""A worth and an offer as a page tells them: figures by hand from price and share."""

from dataclasses import replace

import pytest

from pitchline.money.amount import Money
from pitchline.money.bid import with_asking
from pitchline.money.worth import ValuedPart, Worth, against_half, worth_left
from pitchline.papers.worth_told import BAND_WIDE, part_worths, told_worth, with_tax_said, worth_line
from pitchline.trade.asking import AskingPrice
from pitchline.trade.saying import saying
from said import written

NOTHING = Money(0.0, 0.0, 0.0, "EUR")


@pytest.fixture
def worth(excavator):
    def make(share, put_right=NOTHING, stop=NOTHING):
        part = ValuedPart(excavator.parts[0].place, Money(3_000.0, 4_000.0, 5_000.0, "EUR"), share, share, share)
        left, capped = worth_left((part,), "EUR")
        half = against_half((part,), "EUR")
        out = (written("final drives: by eye only"),)
        return Worth(part.installed, left, half, put_right, (written("weld frame"),), stop, capped, (part,), out)

    return make


def plain(text):
    return text.replace("\u00a0", " ")


def figures(told):
    return [(one.name, plain(one.middle), plain(one.spread)) for one in told]


def test_now_as_new_and_half_worn_with_their_ranges(worth):
    told = told_worth(worth(0.7), None)
    assert figures(told.figures) == [
        ("Running gear worth now", "EUR 2,800", "2,100 to 3,500"),
        ("As new", "EUR 4,000", "3,000 to 5,000"),
        ("Half worn", "EUR 2,000", "1,500 to 2,500"),
    ]
    assert "EUR 800 more than half worn." in plain(told.said)
    assert (told.lines, told.offer, told.change, told.held) == ((), None, None, "")


def test_what_is_in_no_figure_is_named(worth):
    assert told_worth(worth(0.7), None).not_in_it == (
        "final drives: by eye only",
        "weld frame: not priced, and so not taken off",
    )


def test_band_stands_where_the_shares_of_as_new_do(worth):
    """2,100, 2,800 and 3,500 of 4,000 on 300: 157.5, 210, 262.5."""
    told = told_worth(worth(0.7), None)
    assert (told.low, told.middle, told.low + told.wide, told.half) == (158, 210, 262, BAND_WIDE // 2)


def test_worse_than_half_worn_takes_off_what_the_lines_say(worth):
    """4,000 x (0.2 - 0.5) = -1,200; 1,000 put right and 500 for a stop: 20,000 becomes 17,300."""
    cured, stop = Money(900.0, 1_000.0, 1_100.0, "EUR"), Money(500.0, 500.0, 500.0, "EUR")
    told = told_worth(*with_asking(worth(0.2, cured, stop), AskingPrice(20_000.0, "EUR")))
    assert figures((told.change, told.offer)) == [
        ("Change to the asking price", "EUR −2,700", "−3,100 to −2,300"),
        ("Offer", "EUR 17,300", "16,900 to 17,700"),
    ]
    assert plain(told.said).endswith(
        "with EUR 1,500 to put right before it works, the lay-up included, EUR 20,000 asked makes an offer of EUR 17,300."
    )
    assert all(line.because for line in told.lines)


def test_better_than_half_worn_never_offers_more_than_is_asked(worth):
    told = told_worth(*with_asking(worth(0.9), AskingPrice(20_000.0, "EUR")))
    assert plain(told.said).endswith("the offer is the whole EUR 20,000 asked.")
    assert [line.name for line in told.lines[-2:]] == ["Comes to", "Offer"]
    assert plain(told.offer.middle) == "EUR 20,000"


def test_a_cheap_machine_holds_the_worth_and_says_so(worth):
    told = told_worth(*with_asking(worth(0.9), AskingPrice(2_500.0, "EUR")))
    assert plain(told.figures[0].middle) == "EUR 2,500"
    assert "no more can sit in the running gear than is asked" in told.held


def test_each_part_has_its_life_and_its_three_worths(worth, excavator):
    one = worth(0.7)
    wide = replace(one, parts=(replace(one.parts[0], cautious=0.6, hopeful=0.8),))
    (part,) = part_worths(wide, excavator.gear)
    assert (plain(part.life), plain(part.life_spread)) == ("70 %", "60 % to 80 %")
    assert figures((part.now, part.half, part.new)) == [
        ("Worth left in it", "EUR 2,800", "1,800 to 4,000"),
        ("Half worn", "EUR 2,000", "1,500 to 2,500"),
        ("As new", "EUR 4,000", "3,000 to 5,000"),
    ]


def test_tax_stands_on_a_line_of_its_own(worth):
    _, offer = with_asking(worth(0.5), AskingPrice(10_000.0, "EUR"))
    taxed = with_tax_said(offer, 0.175)
    assert (taxed.name, plain(taxed.middle)) == ("Offer with 17.5 % tax", "EUR 11,750")


def test_the_price_that_was_typed_is_told_as_it_was_typed(worth):
    told = told_worth(*with_asking(worth(0.9), AskingPrice(20_125.0, "EUR")))
    assert {plain(told.lines[0].middle), plain(told.offer.middle)} == {"EUR 20,125"}
    assert plain(told.said).endswith("the offer is the whole EUR 20,125 asked.")


def test_it_says_how_many_kinds_of_part_have_a_price_and_is_held_back_by_too_few(worth):
    """One kind priced of two is told with its count; one of three says nothing of a machine."""
    lacking = [saying("price.job_not_on_list", part=part, job="replace") for part in ("sprocket", "idler")]
    one, both = (replace(worth(0.7), left_out=tuple(lacking[:many])) for many in (1, 2))
    assert plain(told_worth(one, None).said).startswith(
        "1 of 2 kinds of part have a price: these alone, as far as they were read, would cost "
    )
    assert told_worth(one, None).too_few == ""
    assert told_worth(both, None).too_few == (
        "1 of 3 kinds of part has a price: too few to say what the running gear is worth."
    )
    assert worth_line(both) == told_worth(both, None).too_few
