"""Typical lives of the project's own: what moves them, and which way. The figures themselves are assumptions of ours."""

from dataclasses import replace

import numpy as np
import pytest

from pitchline.judge import judge
from pitchline.outlook.kinds import FAMILIES, GROUND_PACE, GROUPS, TYPICAL_LIFE_H, WearsBy, ground_pace, kind_life
from pitchline.outlook.learned import weak
from pitchline.outlook.lives import lives_of
from pitchline.outlook.machine import machine_outlook
from pitchline.outlook.past import pasts
from pitchline.trade.dossier import KindLife
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.findings import Finding, FindingKind, Severity, seen_on
from pitchline.trade.ground import GroundClass, GroundMix, GroundSpan
from pitchline.trade.machine import ChainType, MachineKind, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.words import say

TRAVELLING = [key for key in TYPICAL_LIFE_H if key[0] is not PartKind.SLEW_RING]
PITCH = (PartKind.CHAIN, Measurand.PITCH)
BUSH = (PartKind.BUSH, Measurand.BUSH_OD_FORWARD)


@pytest.fixture
def bare(dossier):
    """The invented machine without expectations of its own."""
    return replace(dossier, kind_lives=())


def of_kind(dossier, kind, share=None):
    return replace(dossier, machine=replace(dossier.machine, kind=kind), travel_share=share)


def life(dossier, key):
    found, entered = kind_life(dossier, *key)
    assert not entered
    return found


def with_chain(dossier, chain_type):
    return replace(dossier, gear=replace(dossier.gear, chain_type=chain_type))


@pytest.mark.parametrize("key", TRAVELLING)
@pytest.mark.parametrize("kind", [MachineKind.DOZER, MachineKind.TRACK_LOADING_SHOVEL])
def test_what_lives_by_travelling_does_not_stand_on_an_excavators_lives(bare, kind, key):
    """About half, and at least a third: common practice, no source."""
    ratio = life(of_kind(bare, kind), key).typical_life_h / TYPICAL_LIFE_H[key]
    assert 0.33 < ratio < 0.7


@pytest.mark.parametrize("kind", list(MachineKind))
def test_a_slew_ring_goes_by_the_hours_whatever_the_tracks_do(bare, kind):
    ring = (PartKind.SLEW_RING, Measurand.SLEW_RING_ROCK)
    assert {life(of_kind(bare, kind, share), ring) for share in (None, 0.1, 0.9)} == {
        KindLife(*ring, TYPICAL_LIFE_H[ring], 0.6)
    }


@pytest.mark.parametrize("kind", list(MachineKind))
@pytest.mark.parametrize("key", TRAVELLING)
def test_more_travelling_wears_faster_and_a_share_entered_is_less_doubtful(bare, kind, key):
    usual = FAMILIES[kind].usual
    assumed, entered = (life(of_kind(bare, kind, share), key) for share in (None, usual))
    assert assumed.typical_life_h == pytest.approx(entered.typical_life_h)
    assert assumed.log_spread > entered.log_spread >= 0.6
    hours = [life(of_kind(bare, kind, share * usual), key).typical_life_h for share in (0.0, 0.5, 1.0, 1.05)]
    assert hours == sorted(hours, reverse=True)
    # What wears by the hour alone keeps half the travelling from doubling the life: our plain model.
    assert hours[2] < hours[1] < 2 * hours[2]


def test_oil_in_the_joints_keeps_the_pitch_and_nothing_else(bare):
    dry, sealed, oiled = (life(with_chain(bare, one), PITCH) for one in ChainType)
    assert dry.typical_life_h < sealed.typical_life_h < oiled.typical_life_h
    # A joint without its oil stretches 2 to 5 times as fast: an assumption of this project.
    assert 2 <= oiled.typical_life_h / dry.typical_life_h <= 5
    assert life(bare, PITCH).log_spread > sealed.log_spread
    assert {life(with_chain(bare, one), BUSH) for one in ChainType} == {life(bare, BUSH)}


def test_what_the_yard_entered_stands_as_it_is(bare):
    own = KindLife(*PITCH, 4321.0, 0.4)
    machine = of_kind(with_chain(replace(bare, kind_lives=(own,)), ChainType.DRY), MachineKind.DOZER, 0.9)
    assert kind_life(machine, *PITCH) == (own, True)


def test_every_part_that_wears_has_a_group_and_medium_ground_is_the_measure():
    assert {part for part, _ in TYPICAL_LIFE_H} == set(GROUPS)
    for pace in GROUND_PACE.values():
        assert pace[: GroundClass.MIDDLING + 1].tolist() == [1.0, 1.0, 1.0]
        assert (pace > 0).all()
    kinds = tuple(KindLife(*key, hours) for key, hours in TYPICAL_LIFE_H.items())
    assert ground_pace(kinds).shape == (len(kinds), len(GroundClass))
    assert set(GROUPS.values()) == set(WearsBy)


def used(dossier, ground):
    verdict = judge(replace(dossier, ground_to_come=GroundMix.all_of(ground)))
    return {(part.place, one.measurand): one for part in verdict.parts for one in part.judged if one.to_limit}


def test_sand_eats_bushes_and_rock_breaks_shoes(bare):
    """Which part suffers where is common practice, no source. Hours left with all to come there, against middling ground."""
    medium, sand, rock = (
        used(bare, each) for each in (GroundClass.MIDDLING, GroundClass.SHARP, GroundClass.HARSH)
    )
    bush = (Place(PartKind.BUSH, Side.LEFT), Measurand.BUSH_OD_FORWARD)
    shoe = (Place(PartKind.SHOE, Side.LEFT), Measurand.GROUSER_HEIGHT)
    link = (Place(PartKind.LINK, Side.LEFT), Measurand.RAIL_HEIGHT)

    def left(found, where):
        return found[where].to_limit.middle / medium[where].to_limit.middle

    assert left(sand, bush) < left(sand, link) < left(sand, shoe)
    assert left(rock, shoe) < left(rock, link) < left(rock, bush)


def test_why_names_the_grounds_that_take_a_part_otherwise(bare):
    sand = judge(replace(bare, ground_to_come=GroundMix.all_of(GroundClass.SHARP)))
    said = {
        part.place.part: [say(why.said) for one in part.judged for why in one.why if why.what == "ground"]
        for part in sand.parts
    }
    assert any("sharp sand" in one and "1.4 times" in one for one in said[PartKind.BUSH])
    assert said[PartKind.LINK] == []
    plain = judge(bare)
    assert not any(why.what == "ground" for part in plain.parts for one in part.judged for why in one.why)


def test_learned_constants_know_of_no_such_weights(bare):
    lives = lives_of(bare, 3000.0)
    learned = weak(("link_height",), {"link_height": (6000.0, 0.5)})
    with_own, with_learned = (machine_outlook(lives, GroundClass.HARSH, learned=one) for one in (None, learned))
    assert with_own.pace is not None
    assert with_learned.pace is None


def test_a_course_stands_at_the_hours_it_was_read_at_on_any_ground(bare):
    """Hours are weighted for wear alone: 1,000 h in sand stay 1,000 h on the drawing."""
    spanned = replace(bare, ground_spans=(GroundSpan(2100.0, 2900.0, GroundClass.SHARP),))
    lives = lives_of(spanned, 3000.0)
    outlook = machine_outlook(lives, GroundClass.MIDDLING)
    row = next(n for n, part in enumerate(outlook.parts) if part.life.measurand is Measurand.BUSH_OD_FORWARD)
    (past,) = pasts(outlook.beliefs, [outlook.rows[row]], pace=outlook.pace)
    walks = [3000.0 - trace.service_h for trace in outlook.parts[row].life.traces]
    fitted = outlook.parts[row].life.started
    expected = [*([3000.0 - fitted.service_h] if fitted else []), *walks]
    assert past.ago_h[: len(expected)] == pytest.approx(expected, abs=1e-6)
    assert np.all(np.diff(past.ago_h) <= 0)


def test_a_chain_type_needs_a_chain_and_a_share_is_a_share(dossier):
    with pytest.raises(NotAllowedError, match="rubber track has no joints"):
        replace(dossier.gear, track=TrackKind.RUBBER, chain_type=ChainType.SEALED)
    with pytest.raises(NotAllowedError, match="120 %"):
        replace(dossier, travel_share=1.2)


def test_a_dry_joint_on_a_dry_chain_is_asked_about_and_not_made_milder(bare):
    seen = Finding(Place(PartKind.CHAIN, Side.LEFT), FindingKind.DRY_JOINT, Severity.SEVERE)
    last = replace(bare.walk_rounds[-1], findings=(seen,))
    machine = replace(bare, walk_rounds=(*bare.walk_rounds[:-1], last))
    calls = {}
    for chain_type in (None, *ChainType):
        verdict = judge(with_chain(machine, chain_type))
        calls[chain_type] = next(part.call for part in verdict.parts if part.place == seen.place)
        assert any("has no oil to lose" in one for one in map(say, verdict.remarks)) is (
            chain_type is ChainType.DRY
        )
    assert len(set(calls.values())) == 1
    assert FindingKind.DRY_JOINT not in seen_on(PartKind.CHAIN, with_chain(bare, ChainType.DRY).gear)
    assert FindingKind.DRY_JOINT in seen_on(PartKind.CHAIN, bare.gear)
