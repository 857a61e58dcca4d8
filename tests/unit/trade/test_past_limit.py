"""What a part past its limit is: common practice, no source. Checked here: the table is whole, and stop is rare and true."""

import pytest

from pitchline.trade.calls import Call, Stake
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.parts import PartKind
from pitchline.trade.past_limit import FAR_PAST_LIMIT, PAST_LIMIT, past_limit
from pitchline.trade.saying import saying
from pitchline.words import say

WORN = [
    (part, measurand) for measurand, words in MEASURANDS.items() for part in words.parts if words.role is Role.WEAR
]


def test_every_quantity_that_wears_has_a_row_and_no_setting_has():
    assert set(PAST_LIMIT) == set(WORN)


@pytest.mark.parametrize(("part", "measurand"), WORN)
def test_past_the_limit_always_asks_for_work_and_says_why(part, measurand):
    row = past_limit(part, measurand)
    assert row.call.asks
    assert say(saying(row.because))
    assert (row.call is Call.STOP) is (row.stake in (Stake.UNSAFE, Stake.RUINS))


@pytest.mark.parametrize(
    ("part", "measurand"),
    [
        (PartKind.SHOE, Measurand.GROUSER_HEIGHT),
        (PartKind.SPROCKET, Measurand.TOOTH_THICKNESS),
        (PartKind.SPROCKET, Measurand.ROOT_DIAMETER),
        (PartKind.IDLER, Measurand.TREAD_DEPTH),
        (PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER),
        (PartKind.UPPER_ROLLER, Measurand.TREAD_DIAMETER),
        (PartKind.PAD, Measurand.PAD_HEIGHT),
        (PartKind.RUBBER_TRACK, Measurand.LUG_HEIGHT),
    ],
)
def test_grouser_tread_tooth_pad_and_lug_are_worn_out_and_work_on(part, measurand):
    """Nobody in the trade takes a machine out of use for these."""
    assert past_limit(part, measurand).stake is Stake.WORN_OUT


def test_what_fails_without_notice_stops_the_machine():
    assert past_limit(PartKind.SLEW_RING, Measurand.SLEW_RING_ROCK).stake is Stake.UNSAFE
    assert past_limit(PartKind.RUBBER_TRACK, Measurand.RUBBER_PITCH).stake is Stake.UNSAFE
    assert past_limit(PartKind.BUSH, Measurand.BUSH_OD_FORWARD).stake is Stake.RUINS


@pytest.mark.parametrize(("part", "measurand"), WORN)
def test_further_past_is_never_milder(part, measurand):
    ranks = [past_limit(part, measurand, used).call.rank for used in (1.0, 1.2, 1.49, 1.5, 3.0)]
    assert ranks == sorted(ranks)


def test_what_jumps_or_runs_off_stops_the_machine_far_past_its_limit():
    """Common practice, no source; the border is our own assumption."""
    for part, measurand in FAR_PAST_LIMIT:
        assert past_limit(part, measurand, 1.4).call is Call.BOOK
        assert past_limit(part, measurand, 1.6).stake is Stake.UNSAFE
    assert past_limit(PartKind.SHOE, Measurand.GROUSER_HEIGHT, 3.0).call is Call.BOOK


def test_a_setting_has_no_limit_to_be_past():
    with pytest.raises(KeyError):
        past_limit(PartKind.CHAIN, Measurand.SAG)
