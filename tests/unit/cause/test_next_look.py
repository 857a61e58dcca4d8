"""What to look at next, against the worked example and against looking for real."""

import math

import pytest

from pitchline.cause.nets import RUBBER, STEEL
from pitchline.cause.next_look import next_looks
from pitchline.cause.posterior import NOT_SEEN, SEEN, posterior
from pitchline.trade.causes import Cause, Sign

A = {Sign.FACES: 6.2, Sign.SIDES: 0.8, Sign.TEETH: SEEN, Sign.PACKED: NOT_SEEN}


def looks(evidence=A):
    """The causes at or above 0.2, as in the example."""
    return next_looks(STEEL, posterior(STEEL, evidence), frozenset(evidence), 0.2)


def test_gains_as_reckoned_outside():
    gains = {look.sign: look.gain for look in looks()}
    told = {Sign.SAG_LOW: 0.419, Sign.ROOT_AHEAD: 0.114, Sign.PITCH_AHEAD: 0.096, Sign.CAME_OFF: 0.074}
    told[Sign.HOLLOW_RAIL] = 0.072
    assert {sign: gains[sign] for sign in told} == pytest.approx(told, abs=5e-4)


def test_sag_comes_first():
    assert looks()[0].sign is Sign.SAG_LOW


@pytest.mark.parametrize(
    ("low", "high", "chance", "told"),
    [
        (SEEN, NOT_SEEN, 0.181, {Cause.TIGHT: 0.6685, Cause.REVERSE: 0.4493}),
        (NOT_SEEN, SEEN, 0.347, {Cause.SLACK: 0.7218, Cause.REVERSE: 0.4038}),
        (NOT_SEEN, NOT_SEEN, 0.472, {Cause.REVERSE: 0.5077, Cause.UNLIKE_PITCH: 0.2581, Cause.SLACK: 0.1389}),
    ],
)
def test_what_the_sag_would_tell(low, high, chance, told):
    before = posterior(STEEL, A)
    after = posterior(STEEL, A | {Sign.SAG_LOW: low, Sign.SAG_HIGH: high})
    outcomes = [(SEEN, NOT_SEEN), (NOT_SEEN, SEEN), (NOT_SEEN, NOT_SEEN)]
    total = sum(posterior(STEEL, A | {Sign.SAG_LOW: one, Sign.SAG_HIGH: two}).total for one, two in outcomes)
    assert after.total / total == pytest.approx(chance, abs=6e-4)
    assert before.total > total  # both at once cannot be, and is left out
    assert {cause: after.chances[cause] for cause in told} == pytest.approx(told, abs=6e-5)


def test_a_gain_is_what_looking_brings_on_average():
    """The teeth looked at for real, both ways, and the entropy by hand."""
    evidence = {Sign.FACES: 6.2}
    before = posterior(STEEL, evidence)
    asked = [cause for cause, chance in before.chances.items() if chance >= 0.2]

    def doubt(after):
        return -sum(p * math.log(p) + (1 - p) * math.log(1 - p) for p in (after.chances[cause] for cause in asked))

    found = [posterior(STEEL, evidence | {Sign.BOSSES: how}) for how in (SEEN, NOT_SEEN)]
    left = sum(one.total / before.total * doubt(one) for one in found)
    gains = {look.sign: look.gain for look in next_looks(STEEL, before, frozenset(evidence), 0.2)}
    assert gains[Sign.BOSSES] == pytest.approx(doubt(before) - left, abs=1e-9)


def test_what_was_looked_at_is_not_asked_again():
    assert not {look.sign for look in looks()} & set(A)


def test_nothing_is_asked_where_no_cause_is_likely():
    assert looks(dict.fromkeys(list(STEEL.leaks)[:-1], NOT_SEEN)) == ()


@pytest.mark.parametrize("to_go", [1, 2])
def test_what_is_first_after_a_course_is_as_likely_as_taking_every_look_for_real(to_go):
    """Rubber: each look taken both ways, the best look after that, and the first cause of each posterior."""
    evidence = {Sign.CUTS: NOT_SEEN, Sign.SAG_HIGH: SEEN, Sign.SAG_LOW: NOT_SEEN}
    open_ones = [sign for sign in RUBBER.leaks if sign not in evidence]

    def best(known, looks):
        after = posterior(RUBBER, known)
        if looks == 0:
            return after.total * max(after.chances.values())
        return max(first(known, sign, looks) for sign in open_ones if sign not in known)

    def first(known, sign, looks):
        return sum(best(known | {sign: how}, looks - 1) for how in (SEEN, NOT_SEEN))

    before = posterior(RUBBER, evidence)
    told = {one.sign: one.first_true for one in next_looks(RUBBER, before, frozenset(evidence), to_go=to_go)}
    assert told
    for sign, chance in told.items():
        assert chance == pytest.approx(first(evidence, sign, to_go) / before.total, abs=1e-9)
