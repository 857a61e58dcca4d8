"""What is said of causes: told only where it may be, else what to look at; and what is known of the work."""

import pytest

from pitchline.cause.diagnosis import diagnose, is_told
from pitchline.cause.mending import MENDED_FIRST, MOVES
from pitchline.cause.nets import RUBBER, STEEL
from pitchline.cause.posterior import NOT_SEEN, SEEN, posterior
from pitchline.cause.signs import Evidence
from pitchline.cause.work import FOUND, Pairing, odds_of
from pitchline.trade.causes import Cause, Sign
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.ground import NamedGround
from pitchline.trade.machine import ChainType, MachineKind, RunningGear, ShoeClass, SprocketGaps, TrackKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import saying
from pitchline.words import say

GEAR = RunningGear(TrackKind.STEEL, 45, 0.173, 0.6, 23, SprocketGaps.EVERY_SECOND, 7, 1)
A = {Sign.FACES: 6.2, Sign.SIDES: 0.8, Sign.TEETH: SEEN, Sign.PACKED: NOT_SEEN}


def evidence(ratios):
    return [Evidence(sign, ratio, saying("cause.looked_for")) for sign, ratio in ratios.items()]


def told(ratios, odds=None):
    return diagnose(STEEL, evidence(ratios), odds or {})


def test_nothing_that_speaks_for_a_cause_says_nothing():
    assert told({Sign.PACKED: NOT_SEEN, Sign.FACES: 0.5}) is None
    assert told({}) is None


def test_the_worked_example_cannot_tell_yet_and_asks_for_the_sag():
    found = told(A)
    assert not found.told
    assert found.causes[0].cause is Cause.REVERSE
    assert found.causes[0].degree == "possible"
    assert found.looks[0].sign is Sign.SAG_LOW
    assert say(found.headline).startswith("Cannot tell yet")


def test_a_cause_is_told_only_where_it_stays_first_if_odds_are_half_or_double():
    found = {Sign.JOINTS_UNLIKE: 20, Sign.PITCH_AHEAD: 5, Sign.BUSH_AHEAD: 0.3, Sign.HOT: SEEN}
    assert is_told(posterior(STEEL, found))
    assert told(found).told
    assert told(found).looks == ()
    assert not is_told(posterior(STEEL, A))


def test_below_seven_in_ten_nothing_is_told():
    for ratio in (2.0, 5.0, 20.0):
        after = posterior(STEEL, {Sign.SAG_LOW: ratio})
        assert is_told(after) == (max(after.chances.values()) >= 0.7)


def test_each_look_proposed_says_how_it_is_done():
    for net, ratios in ((STEEL, {Sign.SAG_HIGH: 3.0}), (RUBBER, {Sign.CORD: SEEN})):
        looks = diagnose(net, evidence(ratios), {}).looks
        assert looks
        assert all(say(one.said).endswith((".", "?")) for one in looks)


def test_evidence_stands_where_it_speaks_for_or_against():
    found = told(A | {Sign.SAG_LOW: NOT_SEEN})
    reverse = next(one for one in found.causes if one.cause is Cause.REVERSE)
    assert len(reverse.speaks_for) == 2  # the reverse face and, weaker, the teeth
    assert "reverse face" in say(reverse.speaks_for[0])


def test_causes_are_mended_line_first_and_habits_last():
    found = told({Sign.FLANGES: SEEN, Sign.ENDS: SEEN, Sign.SIDES: SEEN, Sign.FACES: SEEN})
    order = [MENDED_FIRST.index(cause) for cause in found.mend_first]
    assert order == sorted(order)
    assert len(order) >= 2


def test_every_cause_has_its_place_in_the_order_of_mending():
    assert sorted(MENDED_FIRST) == sorted(Cause)
    assert all(1 <= moves.low < moves.high for moves in MOVES.values())


@pytest.mark.parametrize("cause", list(Cause))
def test_every_cause_says_what_mends_it(cause):
    assert say(saying(f"mend.{cause.value}"))


@pytest.mark.parametrize(
    "sign", [sign for sign in Sign if sign not in (Sign.SAG_HIGH, Sign.BUSH_AHEAD, Sign.ROLLERS_AHEAD)]
)
def test_every_sign_says_how_it_is_looked_for(sign):
    assert say(saying(f"look.{sign.value}"))


def odds(kind=MachineKind.DOZER, gear=GEAR, grounds=(), findings=(), pairing=None):
    return odds_of(kind, gear, grounds, findings, pairing or Pairing())


def test_an_excavator_travels_less():
    assert odds(MachineKind.EXCAVATOR)[Cause.REVERSE] == 0.6
    assert Cause.REVERSE not in odds()


def test_the_ground_bears_on_packing_and_on_wide_shoes():
    wide = RunningGear(
        TrackKind.STEEL,
        45,
        0.173,
        0.9,
        23,
        SprocketGaps.EVERY_SECOND,
        7,
        1,
        shoe_class=ShoeClass.LOW_GROUND_PRESSURE,
    )
    rock = (NamedGround("hard rock", 100),)
    assert odds(gear=wide, grounds=rock)[Cause.WIDE_SHOES] == 4
    assert odds(grounds=rock)[Cause.WIDE_SHOES] == 0.4
    assert odds(grounds=rock)[Cause.PACKING] == 0.4
    assert odds(grounds=(NamedGround("wet heavy clay", 60), NamedGround("firm sand", 40)))[Cause.PACKING] == 3


def test_a_sprocket_changed_alone_bears_on_unlike_pitch():
    assert odds(pairing=Pairing(True))[Cause.UNLIKE_PITCH] == 6
    assert odds(pairing=Pairing(False))[Cause.UNLIKE_PITCH] == 0.3
    assert Cause.UNLIKE_PITCH not in odds()


def test_a_dry_chain_past_half_its_life_bears_on_dry_joints():
    dry = RunningGear(
        TrackKind.STEEL, 45, 0.173, 0.6, 23, SprocketGaps.EVERY_SECOND, 7, 1, chain_type=ChainType.DRY
    )
    assert odds(gear=dry, pairing=Pairing(None, 0.7))[Cause.DRY_JOINTS] == 3
    assert Cause.DRY_JOINTS not in odds(gear=dry, pairing=Pairing(None, 0.3))


def test_a_cause_somebody_saw_is_told():
    stuck = Finding(Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3), FindingKind.SEIZED, Severity.CLEAR)
    known = odds(findings=(stuck,))
    assert known[Cause.SEIZED] == FOUND
    found = told({Sign.ONE_ROLLER: SEEN}, known)
    assert found.told
    assert found.causes[0].cause is Cause.SEIZED
