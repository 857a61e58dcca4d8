"""What a part past its limit is: common practice, no source. Checked here: the table is whole, and stop is rare and true."""

import pytest

from pitchline.trade.calls import Call, Stake
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.parts import PartKind
from pitchline.trade.past_limit import PAST_LIMIT, past_limit

WORN = [
    (part, measurand) for measurand, words in MEASURANDS.items() for part in words.parts if words.role is Role.WEAR
]


def test_every_quantity_that_wears_has_a_row_and_no_setting_has():
    assert set(PAST_LIMIT) == set(WORN)


@pytest.mark.parametrize(("part", "measurand"), WORN)
def test_past_the_limit_always_asks_for_work_and_says_why(part, measurand):
    row = past_limit(part, measurand)
    assert row.call.asks
    assert row.because
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


def test_a_setting_has_no_limit_to_be_past():
    with pytest.raises(KeyError):
        past_limit(PartKind.CHAIN, Measurand.SAG)
