"""The invented price list."""

from pitchline.demo.prices import invented_prices
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind


def test_the_list_says_that_it_is_invented() -> None:
    assert "invented" in invented_prices().source


def test_common_jobs_are_priced_and_some_are_not() -> None:
    prices = invented_prices()
    for job, part in (
        (JobKind.TURN, PartKind.BUSH),
        (JobKind.REPLACE, PartKind.CHAIN),
        (JobKind.REPLACE, PartKind.SPROCKET),
        (JobKind.REPLACE, PartKind.BOTTOM_ROLLER),
        (JobKind.REBUILD, PartKind.IDLER),
        (JobKind.RESHOE, PartKind.SHOE),
        (JobKind.REPLACE, PartKind.RUBBER_TRACK),
        (JobKind.ADJUST, PartKind.CHAIN),
    ):
        assert prices.line_for(job, part) is not None
    for part in (PartKind.SLEW_RING, PartKind.FINAL_DRIVE, PartKind.GUARD):
        assert prices.line_for(JobKind.REPLACE, part) is None


def test_shoes_pads_and_bolts_are_priced_by_the_piece() -> None:
    by_piece = {line.part for line in invented_prices().lines if line.per == "piece"}
    assert {PartKind.SHOE, PartKind.PAD} <= by_piece
