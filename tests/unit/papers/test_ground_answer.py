"""The one sentence of a ground fit: each case, and never more than was found. Every section here is invented."""

from dataclasses import replace

import pytest

from pitchline.ground.answer import Advice, advice_on, answer
from pitchline.ground.going import Going
from pitchline.ground.section import GroundOutcome, GroundSection, ShoeOutcome
from pitchline.ground.shoe_kinds import ShoeKind
from pitchline.ground.two_machines import Beside, beside
from pitchline.papers.ground_answer import answer_said, hire_said
from pitchline.trade.saying import AS_WRITTEN, Saying, saying

SUITS, MAYBE, NOT, UNKNOWN = Going.SUITS, Going.UNCERTAIN, Going.DOES_NOT, Going.UNKNOWN
END = "on the spot a competent person decides."


SHOES = ShoeKind.THREE_GROUSERS


def on(name, going, share=None):
    return GroundOutcome(name, None, going, Saying(AS_WRITTEN, text="Because."), share, ())


def shoe(width_m, goings, shares, fitted=False):
    return ShoeOutcome(width_m, SHOES, fitted, False, goings, None, None, None, (), shares)


def section(*grounds, shoes=(), entered=True):
    own = shoe(0.6, tuple(one.going for one in grounds), tuple(one.share for one in grounds), fitted=True)
    return GroundSection(
        entered, None, saying("ground.empty_level"), None, 0.6, SHOES, grounds, (own, *shoes), None, None, (), None,
        None, (), (),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("going", "share", "advice", "said"),
    [
        (SUITS, 1.0, Advice.SUITS, "it suits wet clay"),
        (MAYBE, 0.6, Advice.WITH_CARE, "go with care on wet clay"),
        (
            MAYBE,
            0.4,
            Advice.TRY_FIRST,
            "on wet clay with care, and try the ground first, for more is against it there than for it",
        ),
        # it passes the tests and stands near tipping or sliding all the same: see `going.Near`
        (MAYBE, 0.95, Advice.ASK_FIRST, "on wet clay with care, and only by a competent person's word"),
        (MAYBE, None, Advice.ASK_FIRST, "on wet clay with care, and only by a competent person's word"),
        (NOT, 0.0, Advice.KEEP_OFF, "keep off wet clay"),
        (UNKNOWN, None, Advice.UNKNOWN, "nobody can say of wet clay, so have it looked at before it goes there"),
    ],
)
def test_each_answer_has_its_words(going, share, advice, said):
    one = on("wet clay", going, share)
    assert advice_on(one) is advice
    assert answer_said(section(one)) == f"Empty, on the level: {said}; {END}"


def test_no_answer_is_milder_than_what_was_found():
    """Over every share: never "suits" where that was not found, never milder as the share falls."""
    order = list(Advice)
    shares = [n / 100 for n in range(90)]
    advised = [advice_on(on("x", MAYBE, share)) for share in shares]
    assert Advice.SUITS not in advised
    assert [order.index(one) for one in advised] == sorted((order.index(one) for one in advised), reverse=True)


def test_grounds_of_one_answer_stand_together_and_nobody_s_ground_is_said_so():
    told = answer_said(section(on("a", SUITS, 1.0), on("b", NOT, 0.0), on("c", SUITS, 1.0), entered=False))
    assert told.startswith(
        "Nobody named the ground it is to go to, so these stand in for it; empty, on the level: it suits a and c; "
    )
    assert "keep off b" in told


def test_a_wider_shoe_that_suits_is_asked_for_the_narrowest_of_them():
    one = section(
        on("hard earth", SUITS, 1.0), on("wet clay", MAYBE, 0.6),
        shoes=(shoe(0.7, (SUITS, SUITS), (1.0, 0.93)), shoe(0.8, (SUITS, SUITS), (1.0, 1.0))),
    )  # fmt: skip
    assert "ask for 700 mm shoes: they suit wet clay;" in answer_said(one)


def test_a_shoe_that_only_gets_further_is_told_with_both_figures_rounded_down():
    one = section(on("wet clay", MAYBE, 0.29), shoes=(shoe(0.8, (MAYBE,), (0.79,)),))
    assert (
        "800 mm shoes get further: on wet clay they are up to it in 7 of 10 such places, these in 2;"
        in answer_said(one)
    )
    one = section(on("wet clay", NOT, 0.04), shoes=(shoe(0.8, (MAYBE,), (0.31,)),))
    assert "keep off wet clay; 800 mm shoes get further" in answer_said(one)
    assert "in 3 of 10 such places, these in hardly any;" in answer_said(one)


@pytest.mark.parametrize(
    ("grounds", "shoes"),
    [
        ((on("wet clay", MAYBE, 0.5),), (shoe(0.8, (MAYBE,), (0.59,)),)),  # less than a tenth better
        ((on("wet clay", MAYBE, 0.5),), (shoe(0.5, (MAYBE,), (0.2,)),)),  # worse
        ((on("wet clay", UNKNOWN),), (shoe(0.8, (SUITS,), (1.0,)),)),  # nothing to compare with
        ((on("wet clay", MAYBE, 0.5),), (shoe(0.8, (UNKNOWN,), (None,)),)),
        (
            (on("a", MAYBE, 0.5), on("b", SUITS, 1.0)),
            (shoe(0.8, (SUITS, MAYBE), (1.0, 0.8)),),
        ),  # gives b away for a
        ((on("wet clay", MAYBE, 0.5), on("hard rock", SUITS, 1.0)), (shoe(0.8, (SUITS, SUITS), (1.0, 1.0)),)),
    ],
)
def test_no_shoe_is_told_that_is_not_known_to_be_better_everywhere(grounds, shoes):
    assert all(one.wider is None for one in answer(section(*grounds, shoes=shoes)))
    assert "shoes" not in answer_said(section(*grounds, shoes=shoes))


def test_a_section_of_a_time_without_shares_still_has_its_sentence():
    one = section(on("wet clay", MAYBE), shoes=(shoe(0.8, (SUITS,), ()),))
    assert "ask for 800 mm shoes: they suit wet clay" in answer_said(one)


@pytest.mark.parametrize(
    ("first", "second", "said"),
    [
        (on("x", MAYBE, 0.8), on("x", MAYBE, 0.4),
         "For x Wide, with care: it is up to it twice as often as Narrow, in 8 of 10 such places against 4; "),
        (on("x", MAYBE, 0.8), on("x", MAYBE, 0.6), "it is up to it more often than Narrow"),
        (on("x", SUITS, 1.0), on("x", NOT, 0.0), "For x Wide, it suits it, Narrow does not suit it; "),
        (on("x", MAYBE, 0.5), on("x", NOT, 0.0), "For x Wide, it is up to it in 5 of 10 such places, Narrow does not suit it; "),
        (on("x", MAYBE, 0.5), on("x", MAYBE, 0.5), "For x neither is told to be the better one; "),
        (on("x", UNKNOWN), on("x", SUITS, 1.0), "For x neither is told to be the better one; "),
    ],
)  # fmt: skip
def test_of_two_machines_the_better_one_is_named_with_what_it_is_better_by(first, second, said):
    pair = (section(first), section(second))
    names = ("Wide", "Narrow")
    assert said in hire_said(beside(pair, names), pair, names)


def test_on_rock_the_narrower_shoes_are_named_as_the_reason():
    """Both suit it in every case: neither is up to it more often."""
    rock = on("hard rock", SUITS, 1.0)
    pair = (replace(section(rock), shoe_width_m=0.9), section(rock))
    told = hire_said(beside(pair, ("Wide", "Narrow")), pair, ("Wide", "Narrow"))
    assert told == (
        f"For hard rock Narrow, both do alike, but wide shoes as those of Wide bend, crack and pull bolts there; {END}"
    )


def test_neither_of_two_machines_that_do_not_suit_is_sent():
    """Whatever tells them apart: more of the cases, or narrower shoes on rock."""
    for ground, shares in (("x", (0.1, 0.0)), ("hard rock", (0.0, 0.0))):
        wide, narrow = (section(on(ground, NOT, share)) for share in shares)
        pair = (replace(wide, shoe_width_m=0.9), narrow)
        told = beside(pair, ("Wide", "Narrow"))
        assert [one.better for one in told] == [None]
        assert hire_said(told, pair, ("Wide", "Narrow")) == f"Keep both off {ground}; {END}"


def test_the_better_machine_is_named_ground_by_ground():
    pair = (section(on("a", SUITS, 1.0), on("b", NOT, 0.0)), section(on("a", NOT, 0.0), on("b", SUITS, 1.0)))
    lines = (Beside("a", 0, ""), Beside("b", 1, ""))
    told = hire_said(lines, pair, ("Wide", "Narrow"))
    assert (
        told
        == f"For a Wide, it suits it, Narrow does not suit it; for b Narrow, it suits it, Wide does not suit it; {END}"
    )
