"""Which machine a running gear is from, in a verdict: told where it is odd, and never to the verdict's good."""

from dataclasses import replace

import pytest

from judged_once import judge_once
from pitchline.exchange.verdict_in import verdict_from_json
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge.machine_by_day import known_by
from pitchline.judge.whose_gear import whose_gear
from pitchline.papers.whose_told import odd_in_short, told_identity
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.machine import MachineKind, ShoeClass
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side

THIRD = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3)


def with_third(dossier, value_mm, kept=""):
    """The same machine, its third roller on the left read so at the last walk-round."""
    last = dossier.walk_rounds[-1]
    old = next(one for one in last.readings if one.place == THIRD and one.measurand is Measurand.TREAD_DIAMETER)
    read = replace(old, repeats_m=(value_mm / 1e3,), kept_because=kept)
    readings = tuple(read if one is old else one for one in last.readings)
    return replace(dossier, walk_rounds=(*dossier.walk_rounds[:-1], replace(last, readings=readings)))


def hours_of(verdict):
    """Cautious hours of every part but the third roller."""
    judged = (one for part in verdict.parts if part.place != THIRD for one in part.judged)
    return {(one.place, one.measurand): one.to_limit.cautious for one in judged if one.to_limit is not None}


def odd_of(dossier):
    return [
        (one.kind.value, [place.key for place in one.places]) for one in whose_gear(known_by(dossier, None)).odd
    ]


def test_a_machine_that_is_what_is_said_has_nothing_odd(dossier):
    found = whose_gear(known_by(dossier, None))
    assert found.odd == found.against == ()
    assert found.width is ShoeClass.STANDARD


@pytest.mark.parametrize("more_mm", [2.0, 5.0, 10.0])
def test_a_roller_larger_than_new_is_odd_and_makes_no_verdict_better(dossier, more_mm):
    new_m = dossier.limit_of(PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER).new_m
    sound = judge_once(dossier)
    odd = with_third(dossier, new_m * 1e3 + more_mm, "read twice")
    assert odd_of(odd) == [("beyond_new", [THIRD.key])]
    judged = judge_once(odd)
    assert judged.call.rank >= sound.call.rank
    before, after = ({part.place: part.call for part in one.parts} for one in (sound, judged))
    assert all(after[place].rank >= before[place].rank for place in before if place != THIRD)
    assert all(hours <= 1.02 * hours_of(sound)[what] + 10 for what, hours in hours_of(judged).items())
    assert len(odd_in_short(judged)) == 1
    assert odd_in_short(judged)[0].startswith("Bottom roller 3 left reads ")


def test_what_is_told_of_it_is_read_back_from_json_and_the_papers_say_it(dossier):
    seen = Finding(THIRD, FindingKind.ODD_PART, Severity.CLEAR, note="narrower tread")
    last = replace(dossier.walk_rounds[-1], findings=(seen,))
    dozer = replace(dossier.machine, kind=MachineKind.DOZER)
    gear = replace(dossier.gear, grousers_per_shoe=3, slew_ring=True)
    verdict = judge_once(replace(dossier, machine=dozer, gear=gear, walk_rounds=(*dossier.walk_rounds[:-1], last)))
    assert verdict_from_json(verdict_json(verdict)).identity == verdict.identity
    told = told_identity(verdict)
    assert told.is_odd
    assert told.headline.startswith("It is said to be a dozer, and the running gear is like that of an excavator")
    assert [said for said, _ in told.odd] == ["Seen: odd part, bottom roller 3, left. narrower tread"]
    assert verdict.call.rank >= judge_once(dossier).call.rank
