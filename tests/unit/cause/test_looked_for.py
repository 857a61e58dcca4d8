"""What somebody answered for who looked: evidence as a sign seen is, and a cause found is told."""

import datetime as dt

import pytest

from pitchline.cause.diagnosis import diagnose
from pitchline.cause.nets import STEEL
from pitchline.cause.posterior import NOT_SEEN, SEEN, posterior
from pitchline.cause.signs import Evidence, said_signs
from pitchline.trade.causes import Cause, LookedFor, Sign
from pitchline.trade.saying import saying
from pitchline.words import say

DAY = dt.date(2026, 3, 2)


def answered(about, there, day=DAY, note=""):
    return LookedFor(day, about, there, note)


def seen(*signs):
    return [Evidence(sign, SEEN, saying("cause.looked_for")) for sign in signs]


def test_an_answer_for_a_sign_counts_as_looking_does_and_the_newest_counts():
    later = DAY + dt.timedelta(days=1)
    said = said_signs(
        [answered(Sign.HOT, False), answered(Sign.HOT, True, later), answered(Sign.BOSSES, False)], STEEL.leaks
    )
    assert {one.sign: one.ratio for one in said} == {Sign.HOT: SEEN, Sign.BOSSES: NOT_SEEN}
    assert said_signs([answered(Sign.CUTS, True)], STEEL.leaks) == []


def test_a_cause_confirmed_is_told_whatever_was_guessed_before():
    guessed = diagnose(STEEL, seen(Sign.TEETH, Sign.FACES), {})
    assert not guessed.told
    found = diagnose(
        STEEL, seen(Sign.TEETH, Sign.FACES), {}, looked_into={Cause.SEIZED: answered(Cause.SEIZED, True)}
    )
    assert found.told
    assert found.looks == ()
    assert say(found.headline) == "Found, not guessed: a roller or idler does not turn."
    first = next(one for one in found.causes if one.cause is Cause.SEIZED)
    assert first.chance > 0.99
    assert first.speaks_for[0].code == "cause.confirmed"
    assert Cause.SEIZED in found.mend_first


@pytest.mark.parametrize("cause", [Cause.TIGHT, Cause.FRAME_OR_SPRING])
def test_a_cause_confirmed_speaks_where_nothing_else_was_seen(cause):
    assert diagnose(STEEL, [], {}) is None
    assert diagnose(STEEL, [], {}, looked_into={cause: answered(cause, True)}).causes[0].cause is cause


def test_two_found_are_both_told():
    both = {cause: answered(cause, True) for cause in (Cause.SLACK, Cause.PACKING)}
    found = diagnose(STEEL, [], {}, looked_into=both)
    assert found.told
    assert say(found.headline) == "Found, not guessed: track run too slack; soil packed in the running gear."


def test_a_cause_ruled_out_is_said_so_and_leaves_its_signs_to_others():
    signs = seen(Sign.SAG_HIGH, Sign.TEETH)
    before = diagnose(STEEL, signs, {})
    assert before.causes[0].cause is Cause.SLACK
    after = diagnose(STEEL, signs, {}, looked_into={Cause.SLACK: answered(Cause.SLACK, False, note="gauged")})
    assert Cause.SLACK not in {one.cause for one in after.causes}
    assert [say(one) for one in after.ruled_out] == [
        "track run too slack: looked into on 2 Mar 2026, and not so (gauged)"
    ]
    chances = {one.cause: one.chance for one in before.causes}
    assert all(one.chance > chances.get(one.cause, 0.0) for one in after.causes if one.cause is Cause.DRY_JOINTS)


def test_rust_at_a_pin_speaks_for_a_dry_joint_and_its_lack_against():
    """By hand, no other evidence: odds 0.12 / 0.88 times (1 - 0.95 * 0.6) / 0.05 = 1.1727, so 0.5398."""
    prior = STEEL.priors[Cause.DRY_JOINTS]
    there = posterior(STEEL, {Sign.PIN_RUST: SEEN}).chances[Cause.DRY_JOINTS]
    assert there == pytest.approx(0.5398, abs=1e-4)
    assert posterior(STEEL, {Sign.PIN_RUST: NOT_SEEN}).chances[Cause.DRY_JOINTS] < prior
