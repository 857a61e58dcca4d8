"""The exact sum over causes: against enumeration by hand, and against worked examples reckoned outside the project."""

import itertools
import math

import numpy as np
import pytest

from pitchline.cause.nets import RUBBER, STEEL, Net
from pitchline.cause.posterior import NOT_SEEN, SEEN, posterior
from pitchline.trade.causes import Cause, Sign

A = {Sign.FACES: 6.2, Sign.SIDES: 0.8, Sign.TEETH: SEEN, Sign.PACKED: NOT_SEEN}
"""Worked example: reverse face read, sides read, tips seen, packed soil looked for in vain."""


def by_hand(net, evidence, odds):
    """P(c) and its product of factors, set by set, with math alone."""
    causes, total = list(net.priors), 0.0
    chances, none, both = dict.fromkeys(causes, 0.0), 0.0, {}
    for member in itertools.product((False, True), repeat=len(causes)):
        inside = {cause for cause, one in zip(causes, member, strict=True) if one}
        weight = 1.0
        for cause in causes:
            bet = net.priors[cause] / (1 - net.priors[cause]) * odds.get(cause, 1.0)
            chance = bet / (1 + bet)
            weight *= chance if cause in inside else 1 - chance
        for sign, ratio in evidence.items():
            quiet = 1 - net.leaks[sign]
            for cause in inside:
                quiet *= 1 - net.strengths[cause].get(sign, 0.0)
            weight *= 1 - quiet if ratio == SEEN else ratio - (ratio - 1) * quiet
        total += weight
        none += weight * (not inside)
        for cause in inside:
            chances[cause] += weight
        for pair in itertools.combinations(sorted(inside), 2):
            both[pair] = both.get(pair, 0.0) + weight
    share = {pair: weight / total for pair, weight in both.items()}
    return {cause: weight / total for cause, weight in chances.items()}, none / total, total, share


def small_net(rng, causes=6, signs=5):
    some, shown = list(Cause)[:causes], list(Sign)[:signs]
    strengths = {c: {s: float(rng.uniform(0.05, 0.95)) for s in shown if rng.random() < 0.6} for c in some}
    return Net(
        {c: float(rng.uniform(0.02, 0.6)) for c in some},
        {s: float(rng.uniform(0.02, 0.3)) for s in shown},
        strengths,
    )


@pytest.mark.parametrize("seed", range(25))
def test_the_sum_is_exact(seed):
    rng = np.random.default_rng(seed)
    net = small_net(rng)
    evidence = {
        sign: float(rng.choice([SEEN, NOT_SEEN, math.exp(rng.normal(0, 1.5))]))
        for sign in net.leaks
        if rng.random() < 0.8
    }
    odds = {cause: float(math.exp(rng.normal())) for cause in net.priors if rng.random() < 0.4}
    chances, none, total, both = by_hand(net, evidence, odds)
    after = posterior(net, evidence, odds)
    assert after.chances == pytest.approx(chances, abs=1e-12)
    assert after.none == pytest.approx(none, abs=1e-12)
    assert after.total == pytest.approx(total, rel=1e-12)
    causes = list(net.priors)
    for (one, other), chance in both.items():
        assert after.both[causes.index(one), causes.index(other)] == pytest.approx(chance, abs=1e-12)


def test_the_steel_net_agrees_with_enumeration_too():
    chances, none, total, _ = by_hand(STEEL, A, {})
    after = posterior(STEEL, A)
    assert after.chances == pytest.approx(chances, abs=1e-12)
    assert (after.none, after.total) == pytest.approx((none, total), abs=1e-12)


def test_worked_example_of_a_steel_chain():
    """Reckoned outside the project over all 2^15 sets."""
    after = posterior(STEEL, A)
    told = [0.450495, 0.378852, 0.235993, 0.206426, 0.184028, 0.126899, 0.120000, 0.120000, 0.089287, 0.088703]
    told += [0.080099, 0.080000, 0.074567, 0.050000, 0.037844]
    order = [Cause.REVERSE, Cause.SLACK, Cause.TIGHT, Cause.UNLIKE_PITCH, Cause.DRY_JOINTS, Cause.LOOSE_BOLTS]
    order += [Cause.WORN_ROLLERS, Cause.WIDE_SHOES, Cause.ONE_WAY, Cause.PACKING, Cause.OUT_OF_LINE]
    order += [Cause.WORN_IDLER, Cause.SIDE_HILL, Cause.SEIZED, Cause.FRAME_OR_SPRING]
    assert [after.chances[cause] for cause in order] == pytest.approx(told, abs=6e-7)
    assert (after.none, after.total) == pytest.approx((0.028833, 0.483700), abs=6e-7)


def test_worked_example_of_dry_joints():
    found = {Sign.JOINTS_UNLIKE: 20, Sign.PITCH_AHEAD: 5, Sign.BUSH_AHEAD: 0.3, Sign.HOT: SEEN}
    after = posterior(STEEL, found | {Sign.BOLT_RINGS: NOT_SEEN, Sign.BENT_SHOES: NOT_SEEN})
    told = {Cause.DRY_JOINTS: 0.934582, Cause.TIGHT: 0.195755, Cause.SEIZED: 0.099016}
    told |= {Cause.WIDE_SHOES: 0.039154, Cause.LOOSE_BOLTS: 0.011532}
    assert {cause: after.chances[cause] for cause in told} == pytest.approx(told, abs=6e-7)


def test_worked_example_of_a_rubber_track():
    found = {Sign.SAG_HIGH: SEEN, Sign.SAG_LOW: NOT_SEEN, Sign.DRIVE_LUGS_TORN: SEEN, Sign.CORD: NOT_SEEN}
    after = posterior(RUBBER, found | {Sign.GUIDES_WORN: 1.5})
    told = {Cause.SLACK_OR_WORN_DRIVE: 0.889092, Cause.SHARP_GROUND: 0.220779, Cause.SPIN: 0.2}
    told |= {Cause.LINE_OR_SLOPES: 0.142522, Cause.CORE_LEAVING: 0.084721, Cause.TIGHT: 0.056915}
    told |= {Cause.OVERLOADED_CORD: 0.054798, Cause.WET_CORD: 0.032258}
    assert after.chances == pytest.approx(told, abs=6e-7)


@pytest.mark.parametrize("net", [STEEL, RUBBER], ids=["steel", "rubber"])
def test_nobody_looked_leaves_the_priors(net):
    assert posterior(net, {}).chances == pytest.approx(dict(net.priors), abs=1e-12)


def test_a_useless_reading_moves_nothing():
    assert posterior(STEEL, {Sign.FACES: 1.0}).chances == pytest.approx(dict(STEEL.priors), abs=1e-12)


def test_all_looked_for_in_vain_leaves_no_cause_above_one_in_twenty():
    after = posterior(STEEL, dict.fromkeys(STEEL.leaks, NOT_SEEN))
    assert max(after.chances.values()) < 0.05


def test_odds_of_one_cause_shifted_afterwards_are_odds_shifted_before():
    after = posterior(STEEL, A)
    told = after.shifted(Cause.REVERSE, 0.5)
    assert told == pytest.approx(posterior(STEEL, A, {Cause.REVERSE: 0.5}).chances, abs=1e-12)
    assert (told[Cause.SLACK], told[Cause.REVERSE]) == pytest.approx((0.402, 0.291), abs=5e-4)  # worked outside


@pytest.mark.parametrize("net", [STEEL, RUBBER], ids=["steel", "rubber"])
def test_every_cause_shows_by_signs_of_its_net(net):
    for cause in net.priors:
        assert net.strengths[cause]
        assert set(net.strengths[cause]) <= set(net.leaks)
    assert {sign for each in net.strengths.values() for sign in each} == set(net.leaks)
