"""Ground fit: one machine on one ground, each figure with its range and with where its inputs came from."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from pitchline.ground.checked import Bools, Floats
from pitchline.ground.going import (
    DRAWS,
    SEED,
    SUITS_SHARE,
    Against,
    Going,
    Near,
    Table,
    Task,
    Unknown,
    ground_table,
)
from pitchline.ground.outcomes import OUTCOMES, Outcome
from pitchline.ground.peaks import PEAK_LIMITS
from pitchline.ground.results import FitFigure, GroundFit, Input
from pitchline.ground.soils import Ground, Surface
from pitchline.ground.spans import Basis, Span, exact
from pitchline.ground.standing import Standing
from pitchline.ground.terrain import TERRAINS
from pitchline.ground.why import CAUTIONS, going_because, no_figure_because
from pitchline.trade.saying import Saying, saying

RANGE = (0.1, 0.5, 0.9)
"""Shares of the draws below low, middle and high."""


def ground_fit(
    machine: Standing, ground: Ground, task: Task | None = None, draws: int = DRAWS, seed: int = SEED
) -> GroundFit:
    """Whether a machine suits a ground, with every figure behind it.

    Parameters
    ----------
    machine : Standing
        The machine, as `standing.standing` makes it.
    ground : Ground
        The ground, as `describe` makes it.
    task : Task or None
        Load and slope; None is an empty machine on the level.
    draws : int
        Draws, 1 or more.
    seed : int
        Where chance starts, zero or more.

    Returns
    -------
    GroundFit
        The same for the same inputs and seed.

    References
    ----------
    Our own; the methods' sources stand in their modules.

    Examples
    --------
    >>> from pitchline.ground.describe import ground_named
    >>> from pitchline.ground.standing import standing
    >>> from pitchline.trade.machine import Machine, MachineKind, RunningGear, SprocketGaps, TrackKind
    >>> gear = RunningGear(TrackKind.STEEL, 47, 0.187, 0.57, 25, SprocketGaps.EVERY_SECOND, 8, 2, slew_ring=True)
    >>> machine = standing(Machine("x", "x", MachineKind.EXCAVATOR, 20_300.0), gear)
    >>> ground_fit(machine, ground_named("stiff clay")).going.value
    'suits'
    """
    asked = task or Task()
    return fits_of(machine, (ground,), None, asked, ground_table(machine, (ground,), None, asked, draws, seed))[0][
        0
    ]


def fits_of(
    machine: Standing, grounds: tuple[Ground, ...], widths_m: tuple[float, ...] | None, task: Task, table: Table
) -> tuple[tuple[GroundFit, ...], ...]:
    """A table told as fits, one row of shoe widths for each ground.

    Parameters
    ----------
    machine : Standing
        The machine.
    grounds : tuple of Ground
        The grounds, as in the table.
    widths_m : tuple of float or None
        Shoe widths as in the table [m]; None for the machine's own.
    task : Task
        Load and slope.
    table : Table
        As `going.ground_table` made it.
    """
    ranges = {name: ranges_of(figure) for name, figure in table.figures.items()}
    goes = _shares(table.passes)
    often = _shares(np.where(np.isnan(spare := table.figures[Outcome.SPARE_OFTEN]), np.nan, spare >= 0))
    tests = {test: _shares(found) for test, found in table.tests.items()}
    near = {what: clear < SUITS_SHARE for what, clear in table.clear.items()}
    own = machine.shoe_width_m
    widths = widths_m or ((own.low + own.high) / 2,)
    shod = [machine if widths_m is None else with_width(machine, width) for width in widths]
    return tuple(
        tuple(
            _fit(shod[w], ground, task, width, (g, w), ranges, goes, often, tests, near, table.unknown)
            for w, width in enumerate(widths)
        )
        for g, ground in enumerate(grounds)
    )


def ranges_of(figure: Floats) -> Floats:
    """Low, middle and high of the draws that have a number, and the share of those without.

    Parameters
    ----------
    figure : ndarray, shape (..., n)
        Draws [any unit].

    Returns
    -------
    ndarray, shape (..., 4)
        The three figures [same unit], NaN where no draw has a number; then the share without one [1].

    References
    ----------
    Order statistics.
    """
    ordered = np.sort(figure, axis=-1)
    known = np.isfinite(ordered).sum(axis=-1)
    ends = [np.round(share * np.maximum(known - 1, 0)).astype(int) for share in RANGE]
    found = [np.take_along_axis(ordered, end[..., None], axis=-1)[..., 0] for end in ends]
    return np.stack([*found, 1.0 - known / figure.shape[-1]], axis=-1)


def with_width(machine: Standing, width_m: float) -> Standing:
    """The machine on shoes of another width; its mass is left as it is.

    Parameters
    ----------
    machine : Standing
        The machine.
    width_m : float
        Width [m], above zero.

    Returns
    -------
    Standing
        A copy, or the same where that width is fitted.
    """
    own = machine.shoe_width_m
    if own.low == own.high == width_m:
        return machine
    return replace(machine, shoe_width_m=exact(width_m, Basis.LISTED, saying("source.shoe_on_offer")))


def _shares(flags: Floats) -> Floats:
    """Share of ones among the draws that say anything; NaN where none does."""
    known = np.isfinite(flags).sum(axis=-1)
    ones = np.nansum(flags, axis=-1)
    return np.where(known > 0, ones / np.maximum(known, 1), np.nan)


def _fit(
    machine: Standing,
    ground: Ground,
    task: Task,
    width_m: float,
    at: tuple[int, int],
    ranges: dict[Outcome, Floats],
    goes: Floats,
    often: Floats,
    tests: dict[Against, Floats],
    near: dict[Near, Bools],
    unknown: dict[Unknown, Bools],
) -> GroundFit:
    close = tuple(what for what, found in near.items() if found[at])
    missing = tuple(what for what, found in unknown.items() if found[at])
    share = _known(goes[at])
    going = going_on(going_of(share), close, missing)
    share = None if going is Going.UNKNOWN else share
    shares = {test: _known(found[at]) for test, found in tests.items()}
    carried = shares[Against.SINKS]
    sizes = machine.spans
    figures = tuple(
        _figure(outcome, ranges[outcome][at], machine, sizes, ground, task, carried) for outcome in Outcome
    )
    return GroundFit(
        ground,
        machine,
        task,
        width_m,
        going,
        going_because(going, ground, machine, shares, task.slope_deg, close, missing),
        share,
        _known(often[at]),
        figures,
        _ranking(ground, figures),
        CAUTIONS,
    )


def _known(share: float) -> float | None:
    return None if np.isnan(share) else float(share)


def going_of(share: float | None) -> Going:
    """What a share of the draws says.

    Parameters
    ----------
    share : float or None
        Share that goes [1]; None where nothing is known.
    """
    if share is None:
        return Going.UNKNOWN
    if share >= SUITS_SHARE:
        return Going.SUITS
    return Going.DOES_NOT if share <= 1 - SUITS_SHARE else Going.UNCERTAIN


def going_on(going: Going, close: Sequence[Near], missing: Sequence[Unknown]) -> Going:
    """What is said once it is known how near the machine stands to tipping and sliding.

    Parameters
    ----------
    going : Going
        What the share of the draws says.
    close : sequence of Near
        What it stands within reach of.
    missing : sequence of Unknown
        What nobody knows of a slope that is asked for.

    Returns
    -------
    Going
        Never better: what does not suit stays so, unknown grip or pull makes the rest unknown, "suits" within reach is uncertain.
    """
    if missing and going is not Going.DOES_NOT:
        return Going.UNKNOWN
    return Going.UNCERTAIN if close and going is Going.SUITS else going


def _figure(
    outcome: Outcome,
    found: Floats,
    machine: Standing,
    sizes: dict[str, Span],
    ground: Ground,
    task: Task,
    carried: float | None,
) -> FitFigure:
    low, middle, high, without = (float(one) for one in found)
    inputs = _inputs(outcome, machine, sizes, ground, task)
    reason = None
    if without > 0:
        words = [name for name in OUTCOMES[outcome].ground if name not in _NEVER_ALONE]
        some = without < 1 or any(one.name in words for one in inputs)
        reason = no_figure_because(outcome, ground, machine, some, without, carried)
    if np.isnan(middle):
        return FitFigure(outcome, None, None, None, without, reason, inputs)
    return FitFigure(outcome, low, middle, high, without, reason, inputs)


def _inputs(
    outcome: Outcome, machine: Standing, sizes: dict[str, Span], ground: Ground, task: Task
) -> tuple[Input, ...]:
    words = OUTCOMES[outcome]
    found = [Input(name, sizes[name]) for name in words.inputs if name in sizes]
    if task.slope_deg > 0 and outcome in (Outcome.PEAK_PRESSURE, Outcome.BEARING):
        found.append(Input("gravity_height_m", machine.gravity_height_m))
    turning = "turning_rubber" if machine.track.value == "steel" else "turning_steel"
    spare = _superseded(outcome, ground)
    for name in words.ground:
        if name in spare:
            continue
        if name == "terrains" and ground.terrains:
            span = Span(1, len(TERRAINS), Basis.ASSUMED, saying("source.tested_soils", soils=ground.terrains))
            found.append(Input(name, span))
        elif name not in ("terrains", turning) and (span_of := getattr(ground, name)) is not None:
            found.append(Input(name, span_of))
    return tuple(found)


_NEVER_ALONE = ("shear_m", "turning_steel", "turning_rubber")
"""Inputs that tell nothing without another one."""


def _superseded(outcome: Outcome, ground: Ground) -> tuple[str, ...]:
    """Inputs that a better one stands in for: winter curves before a soil's thrust, tested soils before a cone index."""
    if outcome not in (Outcome.PULL, Outcome.CLIMB, Outcome.SLIDE, Outcome.FRICTION):
        return ()
    if ground.winter is not None:
        thrust = ("shear_m", "rating_index")
        return ("terrains", *thrust) if outcome in (Outcome.SLIDE, Outcome.FRICTION) else thrust
    return ("rating_index",) if ground.terrains else ("shear_m",)


def _ranking(ground: Ground, figures: tuple[FitFigure, ...]) -> Saying | None:
    """Its place among the published limits; never a verdict."""
    peaks = next(one for one in figures if one.outcome is Outcome.PEAKS)
    if ground.peak_ground is None or peaks.middle is None or ground.surface is Surface.HARD:
        return None
    limits = PEAK_LIMITS[ground.peak_ground]
    for limit_pa, within in (
        (limits.many_passes_pa, "many_passes"),
        (limits.satisfactory_pa, "satisfactory"),
        (limits.single_pass_pa, "single_pass"),
    ):
        if peaks.middle <= limit_pa:
            return saying(f"ground.within_{within}", limit_pa=limit_pa)
    return saying("ground.above_single_pass", limit_pa=limits.single_pass_pa)
