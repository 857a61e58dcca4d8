"""Readings and findings as signs: which speak, which way, and which say nothing."""

import math

import pytest

from pitchline.cause.posterior import NOT_SEEN, SEEN
from pitchline.cause.signs import Readings, Setting, Worn, sag_signs, seen_signs
from pitchline.trade.causes import Sign
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.machine import MachineKind, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side

GEAR = RunningGear(TrackKind.STEEL, 45, 0.173, 0.6, 23, SprocketGaps.EVERY_SECOND, 7, 1)
BOTH = (Side.LEFT, Side.RIGHT)


def worn(part, measurand, life, side=Side.LEFT, position=0, since=None, doubt=0.02):
    return Worn(Place(part, side, position), measurand, life, doubt, since)


def rollers(lives, side=Side.LEFT, since=None):
    kind = PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER
    return [worn(*kind, life, side, number, since) for number, life in enumerate(lives, 1)]


def signs(readings, kind=MachineKind.EXCAVATOR):
    return {one.sign: one.ratio for one in Readings(readings, kind).signs()}


def bush(forward, reverse, side=Side.LEFT, since=None):
    names = (Measurand.BUSH_OD_FORWARD, forward), (Measurand.BUSH_OD_REVERSE, reverse)
    return [worn(PartKind.BUSH, name, life, side, since=since) for name, life in names]


def test_a_reverse_face_twice_as_worn_speaks_for_it():
    assert signs(bush(0.3, 0.6))[Sign.FACES] > 3
    assert signs(bush(0.3, 0.3))[Sign.FACES] < 1


def test_both_sides_together_speak_louder_than_one():
    one = signs(bush(0.3, 0.4))[Sign.FACES]
    both = signs([*bush(0.3, 0.4), *bush(0.3, 0.4, Side.RIGHT)])[Sign.FACES]
    assert both > one


def test_a_reading_that_is_mostly_doubt_says_nothing():
    """Life used must be three times its doubt."""
    faint = [
        worn(PartKind.BUSH, name, 0.05, doubt=0.02)
        for name in (Measurand.BUSH_OD_FORWARD, Measurand.BUSH_OD_REVERSE)
    ]
    assert signs(faint) == {}


def test_sides_of_unlike_age_are_not_compared():
    rail = PartKind.LINK, Measurand.RAIL_HEIGHT
    same = [worn(*rail, 0.3), worn(*rail, 0.6, Side.RIGHT)]
    assert Sign.SIDES in signs(same)
    assert Sign.SIDES not in signs([worn(*rail, 0.3, since=4000.0), worn(*rail, 0.6, Side.RIGHT)])


def test_one_side_worn_more_in_everything_speaks_for_it():
    lives = [0.3, 0.33, 0.28, 0.31, 0.3, 0.32, 0.29]
    more = [1.6 * life for life in lives]
    assert signs(rollers(lives) + rollers(lives, Side.RIGHT))[Sign.SIDES] < 1
    assert signs(rollers(lives) + rollers(more, Side.RIGHT))[Sign.SIDES] > 3


def test_it_says_which_side_and_by_how_much():
    found = Readings(rollers([0.3] * 7) + rollers([0.45] * 7, Side.RIGHT), MachineKind.EXCAVATOR).signs()
    (said,) = [one.said for one in found if one.sign is Sign.SIDES]
    assert (said.values["more"], said.values["less"]) == ("right", "left")
    assert said.values["times"] == pytest.approx(1.5)


def test_front_rollers_worn_more_than_rear_ones():
    lives = [0.6, 0.6, 0.4, 0.4, 0.4, 0.35, 0.35]
    assert signs(rollers(lives))[Sign.ENDS] > 1
    assert signs(rollers([0.4] * 7))[Sign.ENDS] < 1


def test_a_new_roller_among_old_ones_is_not_odd():
    old, new = (
        rollers([0.5] * 6),
        [worn(PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER, 0.1, position=7, since=9e3)],
    )
    assert Sign.ONE_ROLLER not in signs(old + new)
    assert signs(rollers([0.5] * 6 + [0.1]))[Sign.ONE_ROLLER] > 2


def test_one_odd_roller_is_named():
    found = Readings(rollers([0.4, 0.4, 0.4, 0.9, 0.4, 0.4, 0.4]), MachineKind.DOZER).signs()
    (said,) = [one.said for one in found if one.sign is Sign.ONE_ROLLER]
    assert said.values["at"] == "bottom_roller/left/4"


def test_pitch_ahead_of_its_bushes_and_the_other_way_round_are_never_both_said():
    readings = [
        *bush(0.2, 0.2),
        worn(PartKind.CHAIN, Measurand.PITCH, 0.5),
    ]
    told = signs(readings)
    assert told[Sign.PITCH_AHEAD] > 2
    assert told[Sign.BUSH_AHEAD] < 0.5


def test_turned_bushes_are_not_held_against_the_pitch():
    """After a turn both begin anew; a bush turned alone on record does not tell of the pitch before it."""
    told = signs([*bush(0.2, 0.2, since=5000.0), worn(PartKind.CHAIN, Measurand.PITCH, 0.5)])
    assert Sign.PITCH_AHEAD not in told


def test_assumed_limits_say_less():
    sure = [*bush(0.2, 0.2), worn(PartKind.CHAIN, Measurand.PITCH, 0.5)]
    loose = [Worn(one.place, one.measurand, one.life, one.doubt, None, 0.4) for one in sure]
    assert 1 < signs(loose)[Sign.PITCH_AHEAD] < signs(sure)[Sign.PITCH_AHEAD]


def chain(below, above, side=Side.LEFT):
    return Setting(Place(PartKind.CHAIN, side), below, above)


def test_sag_counts_on_the_side_that_lies_furthest_out():
    told = {one.sign: one.ratio for one in sag_signs([chain(0.0, 0.02), chain(0.0, 0.99, Side.RIGHT)])}
    assert told == {Sign.SAG_HIGH: SEEN, Sign.SAG_LOW: NOT_SEEN}
    told = {one.sign: one.ratio for one in sag_signs([chain(0.99, 0.0), chain(0.1, 0.1, Side.RIGHT)])}
    assert told[Sign.SAG_LOW] == SEEN
    assert told[Sign.SAG_HIGH] < 1


def test_sag_nobody_read_says_nothing():
    assert sag_signs([]) == []


def looked(findings, places):
    return {one.sign: one.ratio for one in seen_signs(findings, frozenset(places), GEAR, list(Sign))}


SPROCKETS = [Place(PartKind.SPROCKET, side) for side in BOTH]


def test_what_was_seen_counts_and_what_was_looked_for_in_vain_counts_against():
    hooked = Finding(SPROCKETS[0], FindingKind.HOOKED_TEETH, Severity.CLEAR)
    assert looked([hooked], [])[Sign.TEETH] == SEEN
    assert looked([], SPROCKETS)[Sign.TEETH] == NOT_SEEN


def test_half_a_look_is_none():
    """One sprocket of two looked at: of the teeth nothing is said."""
    assert Sign.TEETH not in looked([], SPROCKETS[:1])


@pytest.mark.parametrize("sign", [Sign.JOINTS_UNLIKE, Sign.FLANGES, Sign.ONE_ROLLER])
def test_a_glance_says_little_of_what_a_hand_or_a_rule_tells(sign):
    assert looked([], GEAR.places())[sign] == 0.5
    assert Sign.HOT not in looked([], GEAR.places())


def test_a_leaking_roller_is_no_dry_joint():
    leak = Finding(Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 5), FindingKind.LEAK, Severity.CLEAR)
    told = looked([leak], [])
    assert told == {Sign.LEAKING: SEEN}


def test_more_life_apart_speaks_louder():
    told = [signs(bush(0.3, 0.3 * math.exp(step / 10)))[Sign.FACES] for step in range(12)]
    assert told == sorted(told)
