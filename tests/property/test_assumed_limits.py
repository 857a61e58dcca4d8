"""An assumed limit is never better than the same size entered as sure.

Hours: none of the three figures rises, and the chance of being past it does not fall. Call: never milder, but that nothing is
stopped by a rule of thumb: there it is booked for now, and says to look the limit up before the machine works on. Random machines
of every kind come from bench/odd_machines.py.
"""

import importlib.util
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.judge import judge
from pitchline.outlook.lives import lives_of
from pitchline.outlook.machine import machine_outlook
from pitchline.trade.assumed_limits import RULES
from pitchline.trade.calls import Call, Stake
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import says


def _load(name):
    spec = importlib.util.spec_from_file_location(name, Path(__file__).parents[2] / "bench" / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


om = _load("odd_machines")
ANY = om.Recipe(odd_parts=0.05, side_changed=0.1, slips=0.02, any_tool=True, any_line=True, rounded=0.1)
CONFIRM = ("assumed.confirm_first", "look the limit up")


def machine(seed, rounds=2):
    return om.make(np.random.default_rng(seed), ANY, rounds).dossier


def assumed(dossier):
    """The same machine with every limit that can be assumed said to be so, and nothing else changed."""
    limits = tuple(
        replace(one, assumed=(one.part, one.measurand) in RULES and one.limit_m is not None)
        for one in dossier.limits
    )
    return replace(dossier, limits=limits)


def outlooks(dossier):
    lives = lives_of(dossier, dossier.walk_rounds[-1].service_h)
    return machine_outlook(lives, dossier.mix_to_come).parts


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_doubt_buys_no_hours(seed):
    dossier = machine(seed)
    for sure, rough in zip(outlooks(dossier), outlooks(assumed(dossier)), strict=True):
        if not rough.life.line.limit.assumed:
            continue
        for before, after in ((sure.to_limit, rough.to_limit), (sure.to_turn, rough.to_turn)):
            if before is None or after is None:
                continue
            assert after.cautious <= before.cautious + 0.1
            assert after.middle <= before.middle + 0.1
            assert after.hopeful <= before.hopeful + 0.1
            assert after.chance_now >= before.chance_now - 1e-9
        assert rough.life_used == pytest.approx(sure.life_used)
        assert rough.life_used_u >= sure.life_used_u


@settings(max_examples=4, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_no_call_is_milder_but_a_stop_that_says_to_look_the_limit_up(seed):
    dossier = machine(seed, 1)
    sure, rough = judge(dossier), judge(assumed(dossier))
    for before, after in zip(sure.parts, rough.parts, strict=True):
        if after.call.rank < before.call.rank:
            assert (before.call, after.call) == (Call.STOP, Call.BOOK), before.place
            # A chain may be stopped by its bushes alone; then they say it.
            by_another = says(before.reason, "part.another_asks", "asks for a new one")
            beside = [one for one in rough.parts if by_another and one.place.side is after.place.side]
            assert any(says(one.reason, *CONFIRM) for one in (after, *beside)), before.place


@pytest.fixture(scope="module")
def plain_machine():
    even = om.Recipe(odd_parts=0.0, side_changed=0.0, slips=0.0, unread=0.0, meter_unknown=0.0)
    for seed in range(100):
        dossier = om.make(np.random.default_rng(seed), even, 1).dossier
        if dossier.gear.has_chain and not dossier.events:
            return dossier
    raise AssertionError("no such machine")


BUSH = Place(PartKind.BUSH, Side.LEFT)


def test_bushes_by_an_assumed_limit(plain_machine):
    """Doubt of their allowance 30 %, so the most generous limit is 1.6 of it (ours). By a manual's figure, past it is a stop."""
    which = next(
        one
        for one in om.read_last(plain_machine)
        if (one.place, one.measurand) == (BUSH, Measurand.BUSH_OD_FORWARD)
    )
    called = {}
    for level in (0.3, 1.15, 2.2):
        worn = om.moved(plain_machine, which, level)
        sure, rough = judge(worn), judge(assumed(worn))
        assert "remark.assumed_limit" in {one.code for one in rough.remarks}
        assert any(job.assumed_limit for job in rough.jobs)
        assert not any(job.assumed_limit for job in sure.jobs)
        if rough.call is Call.BOOK and level > 1:
            assert says(rough.headline, "headline.look_limit_up", "Look the wear limit up")
            assert not says(rough.headline, "headline.work_it_and_book", "Work it")
        called[level] = tuple(next(p for p in v.parts if p.place == BUSH) for v in (sure, rough))
    assert [before.call for before, _ in called.values()][1:] == [Call.STOP, Call.STOP]
    ranks = [after.call.rank for _, after in called.values()]
    assert ranks == sorted(ranks)
    assert [after.call for _, after in called.values()][1:] == [Call.BOOK, Call.STOP]
    assert says(called[1.15][1].reason, *CONFIRM)
    assert called[1.15][1].stake is Stake.CONFIRM
    assert called[1.15][1].assumed_limit
    assert not called[1.15][0].assumed_limit


def test_the_range_is_wider_on_the_near_side(plain_machine):
    """Half worn by an even pace: a limit known to 30 % may come after 0.62 of the allowance in 1 of 10 cases (normal quantile
    1.2816 times 0.3), which is about a quarter of the hours that the other half would take."""
    row = next(
        number
        for number, part in enumerate(outlooks(plain_machine))
        if part.life.place.part is PartKind.LINK and part.life.place.side is Side.LEFT
    )
    which = next(one for one in om.read_last(plain_machine) if one.place == Place(PartKind.LINK, Side.LEFT))
    half = om.moved(plain_machine, which, 0.5)
    sure, rough = outlooks(half)[row].to_limit, outlooks(assumed(half))[row].to_limit
    assert rough.cautious < 0.6 * sure.cautious
    assert rough.middle <= sure.middle
    assert rough.hopeful <= sure.hopeful
    assert rough.hopeful > 0.85 * sure.hopeful
