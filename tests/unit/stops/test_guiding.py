"""Flanges of a side count together: common practice that worn flanges let a track run off, no source; the border is ours."""

from types import SimpleNamespace

import pytest

from pitchline.stops.guiding import with_guiding
from pitchline.stops.work import Work
from pitchline.trade.calls import Call, Stake
from pitchline.trade.dossier import Limit
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import saying, says


def worn(number, side=Side.LEFT, row=0, stake=Stake.WORN_OUT):
    place = Place(PartKind.BOTTOM_ROLLER, side, number)
    return Work(JobKind.REPLACE, place, place, Call.BOOK, saying("wear.anew"), 1, part_row=row, stake=stake)


def outlook(measurand, assumed=False, life_used=1.1):
    limit = Limit(PartKind.BOTTOM_ROLLER, measurand, 0.2, 0.15, assumed=assumed)
    life = SimpleNamespace(measurand=measurand, line=SimpleNamespace(limit=limit))
    return SimpleNamespace(parts=[SimpleNamespace(life=life, life_used=life_used)])


FLANGES, TREADS = outlook(Measurand.FLANGE_THICKNESS), outlook(Measurand.TREAD_DIAMETER)


@pytest.mark.parametrize(("many", "call"), [(1, Call.BOOK), (4, Call.BOOK), (5, Call.STOP), (8, Call.STOP)])
def test_more_than_half_of_a_side_past_their_flanges_stops_it(many, call):
    found = with_guiding([worn(number) for number in range(1, many + 1)], FLANGES, 8)
    assert {item.call for item in found} == {call}
    assert all((item.stake is Stake.UNSAFE) is (call is Call.STOP) for item in found)


def test_treads_do_not_guide_and_sides_do_not_add_up():
    eight = [worn(number) for number in range(1, 9)]
    assert with_guiding(eight, TREADS, 8) == eight
    both = [worn(number, side) for side in (Side.LEFT, Side.RIGHT) for number in range(1, 5)]
    assert with_guiding(both, FLANGES, 8) == both


def test_what_is_only_due_does_not_count_as_gone():
    due = [worn(number, stake=Stake.FALLS_DUE) for number in range(1, 9)]
    assert with_guiding(due, FLANGES, 8) == due


@pytest.mark.parametrize(("life_used", "call"), [(1.1, Call.BOOK), (1.59, Call.BOOK), (1.61, Call.STOP)])
def test_a_rule_of_thumb_stops_nothing_before_its_most_generous_limit(life_used, call):
    """The doubt of an assumed flange is 30 % of its allowance; two of them beyond it make 1.6 (assumption of ours)."""
    assumed = outlook(Measurand.FLANGE_THICKNESS, assumed=True, life_used=life_used)
    found = with_guiding([worn(number) for number in range(1, 6)], assumed, 8)
    assert {item.call for item in found} == {call}
    assert {item.stake for item in found} == {Stake.UNSAFE if call is Call.STOP else Stake.CONFIRM}
    assert all(says(item.because, "assumed.confirm_first", "manual") is (call is Call.BOOK) for item in found)
