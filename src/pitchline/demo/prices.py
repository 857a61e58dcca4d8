"""The demo yard's invented price list: most jobs, and some left out on purpose."""

from collections.abc import Iterator
from dataclasses import replace

from pitchline.money.machine_class import MachineClass
from pitchline.money.price_changes import Times, multiplied
from pitchline.money.prices import PriceLine, PriceList
from pitchline.money.stop_costs import StopCosts
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind

SOURCE = "invented for the demo yard; nobody's prices"

_LINES: tuple[tuple[JobKind, PartKind, float, float, float, float, str], ...] = (
    (JobKind.TURN, PartKind.BUSH, 80, 150, 260, 10, "each"),
    (JobKind.REPLACE, PartKind.BUSH, 1400, 1900, 2600, 18, "each"),
    (JobKind.REPLACE, PartKind.CHAIN, 2600, 3400, 4600, 8, "each"),
    (JobKind.REMOVE_JOINT, PartKind.CHAIN, 20, 40, 80, 3, "each"),
    (JobKind.ADJUST, PartKind.CHAIN, 0, 5, 10, 0.5, "each"),
    (JobKind.CLEAN_OUT, PartKind.CHAIN, 0, 0, 0, 1.5, "each"),
    (JobKind.INVESTIGATE, PartKind.CHAIN, 0, 0, 50, 2, "each"),
    (JobKind.REPLACE, PartKind.LINK, 2600, 3400, 4600, 8, "each"),
    (JobKind.RESHOE, PartKind.SHOE, 35, 45, 60, 0.15, "piece"),
    (JobKind.REPLACE, PartKind.SHOE, 45, 60, 80, 0.3, "piece"),
    (JobKind.REFIT_BOLTS, PartKind.SHOE, 3, 5, 8, 0.1, "piece"),
    (JobKind.REPLACE, PartKind.PAD, 30, 42, 60, 0.15, "piece"),
    (JobKind.REFIT_BOLTS, PartKind.PAD, 2, 4, 6, 0.1, "piece"),
    (JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 180, 260, 380, 2, "each"),
    (JobKind.RESHELL, PartKind.BOTTOM_ROLLER, 120, 160, 220, 4, "each"),
    (JobKind.INVESTIGATE, PartKind.BOTTOM_ROLLER, 0, 0, 30, 0.5, "each"),
    (JobKind.REFIT_BOLTS, PartKind.BOTTOM_ROLLER, 2, 4, 8, 0.3, "piece"),
    (JobKind.REPLACE, PartKind.UPPER_ROLLER, 120, 170, 260, 1.5, "each"),
    (JobKind.REPLACE, PartKind.IDLER, 550, 750, 1100, 5, "each"),
    (JobKind.REBUILD, PartKind.IDLER, 250, 350, 500, 9, "each"),
    (JobKind.REPLACE, PartKind.SPROCKET, 300, 450, 700, 4, "each"),
    (JobKind.REFIT_BOLTS, PartKind.SPROCKET, 3, 5, 8, 0.2, "piece"),
    (JobKind.CLEAN_OUT, PartKind.SPROCKET, 0, 0, 0, 0.5, "each"),
    (JobKind.REPLACE, PartKind.RUBBER_TRACK, 700, 1000, 1500, 3, "each"),
    (JobKind.ADJUST, PartKind.RUBBER_TRACK, 0, 5, 10, 0.5, "each"),
    (JobKind.CLEAN_OUT, PartKind.RUBBER_TRACK, 0, 0, 0, 1, "each"),
    (JobKind.INVESTIGATE, PartKind.RUBBER_TRACK, 0, 0, 0, 1, "each"),
    (JobKind.INVESTIGATE, PartKind.TRACK_ADJUSTER, 0, 0, 60, 1.5, "each"),
    (JobKind.REFIT_BOLTS, PartKind.GUARD, 2, 4, 8, 0.3, "piece"),
)


_CLASSES = (
    (MachineClass(mass_under_kg=7e3), Times(0.45, 0.7, 5.0)),
    (MachineClass(mass_from_kg=28e3), Times(1.9, 1.4, 5.0)),
)
"""What the lines above, meant for 7 to 28 t, are multiplied by for smaller and larger machines: parts and hours, invented too."""


def _by_class() -> Iterator[PriceLine]:
    """All lines, then those of each class; a rubber track is of a small machine anyway."""
    every = [PriceLine(*line) for line in _LINES]
    yield from every
    for which, times in _CLASSES:
        yield from (
            replace(multiplied(line, times), which=which)
            for line in every
            if line.part is not PartKind.RUBBER_TRACK
        )


_STOP = StopCosts(
    lorry=380.0,
    call_out=90.0,
    fitter_day=260.0,
    standing_per_h=35.0,
    busy_standing_per_h=70.0,
    busy_months=(4, 5, 6, 7, 8, 9, 10),
    opening_per_side=160.0,
)
_TAX = 0.20


def invented_prices() -> PriceList:
    """The demo yard's price list.

    Returns
    -------
    PriceList
        In EUR, without tax, by mass of the machine; final drives, slew rings and some looking-into are not in it, so that
        something stays unpriced.

    Examples
    --------
    >>> invented_prices().line_for(JobKind.REPLACE, PartKind.SLEW_RING) is None
    True
    """
    return PriceList("EUR", 65.0, tuple(_by_class()), SOURCE, _TAX, _STOP)
