"""Wear limits by rule of thumb.

The shares are assumptions of ours, worked out here by hand from round sizes that belong to no machine. What can be held against
something outside: roller chain is changed at about 3 % (common practice, no source), which is a ceiling; a rule may never lie on
what is unsafe past its limit; and a bush's allowance has to leave wall standing.
"""

import pytest

from pitchline.trade.assumed_limits import NEVER, RULES, assumed_limit_m, rule_of
from pitchline.trade.calls import Stake
from pitchline.trade.dossier import Limit
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.measurands import MEASURANDS, Direction, Measurand, Role
from pitchline.trade.parts import PartKind
from pitchline.trade.past_limit import PAST_LIMIT
from pitchline.words.speaking import say

BY_HAND = [
    (PartKind.CHAIN, Measurand.PITCH, 190.0, 193.8),  # 2 % of 190 is 3.8
    (PartKind.BUSH, Measurand.BUSH_OD_FORWARD, 60.0, 55.2),  # 8 % of 60 is 4.8
    (PartKind.LINK, Measurand.RAIL_HEIGHT, 110.0, 101.2),  # 8 % of 110 is 8.8
    (PartKind.SHOE, Measurand.GROUSER_HEIGHT, 26.0, 10.4),  # 60 % of 26 is 15.6
    (PartKind.PAD, Measurand.PAD_HEIGHT, 50.0, 25.0),
    (PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER, 160.0, 147.2),
    (PartKind.UPPER_ROLLER, Measurand.FLANGE_THICKNESS, 20.0, 13.0),
    (PartKind.IDLER, Measurand.TREAD_DEPTH, 20.0, 28.0),
    (PartKind.SPROCKET, Measurand.ROOT_DIAMETER, 700.0, 686.0),
    (PartKind.SPROCKET, Measurand.TOOTH_THICKNESS, 50.0, 35.0),
    (PartKind.RUBBER_TRACK, Measurand.LUG_HEIGHT, 25.0, 10.0),
]


@pytest.mark.parametrize(("part", "measurand", "new_mm", "limit_mm"), BY_HAND)
def test_the_limit_is_the_share_of_the_new_size(part, measurand, new_mm, limit_mm):
    assert assumed_limit_m(part, measurand, new_mm / 1000) == pytest.approx(limit_mm / 1000, abs=1e-9)


def test_it_is_rounded_to_a_tenth_of_a_millimetre_and_never_to_the_new_size():
    assert assumed_limit_m(PartKind.CHAIN, Measurand.PITCH, 0.1907) == pytest.approx(
        0.1945, abs=1e-9
    )  # 3.814 to 3.8
    assert assumed_limit_m(PartKind.IDLER, Measurand.TREAD_DEPTH, 0.0001) == pytest.approx(0.0002, abs=1e-9)


def test_every_quantity_that_wears_has_a_rule_or_a_reason():
    wears = {(part, one) for one, words in MEASURANDS.items() if words.role is Role.WEAR for part in words.parts}
    assert wears == set(RULES) | set(NEVER)
    assert not set(RULES) & set(NEVER)


def test_nothing_unsafe_at_its_limit_is_ever_assumed():
    unsafe = {key for key, past in PAST_LIMIT.items() if past.stake is Stake.UNSAFE}
    assert unsafe <= set(NEVER)
    for part, measurand in NEVER:
        with pytest.raises(NotAllowedError, match="unsafe"):
            rule_of(part, measurand)
        with pytest.raises(NotAllowedError):
            Limit(
                part,
                measurand,
                0.1,
                0.09 if MEASURANDS[measurand].direction is Direction.FALLS else 0.11,
                assumed=True,
            )


def test_the_pitch_stays_below_what_roller_chain_is_changed_at():
    """About 3 %: common practice for roller chain, no source; track chain may not be given more by a rule of thumb."""
    assert RULES[PartKind.CHAIN, Measurand.PITCH].share < 0.03


@pytest.mark.parametrize("key", RULES)
def test_the_doubt_is_wide_and_the_rule_says_where_it_comes_from(key):
    rule = RULES[key]
    assert 0.2 <= rule.doubt <= 0.5
    assert say(rule.told).startswith("assumption: ")
    # Even at the most generous limit, two doubts beyond, something of a falling size is left.
    if MEASURANDS[key[1]].direction is Direction.FALLS:
        assert rule.share * (1 + 2 * rule.doubt) < 0.9


def test_an_assumed_limit_needs_a_size():
    with pytest.raises(NotAllowedError, match="assumed"):
        Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, 0.110, None, assumed=True)


def test_a_sure_limit_has_no_doubt():
    sure = Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, 0.110, 0.1012)
    assert (sure.allowance_doubt, sure.generous) == (0.0, 1.0)
