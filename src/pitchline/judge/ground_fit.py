"""The verdict's section on the ground: what the machine file says of it, judged by ground fit.

See docs/explanation/ground.md.
"""

from collections.abc import Iterable, Sequence

import numpy as np

from pitchline.ground.describe import ground_named
from pitchline.ground.going import Going, Task
from pitchline.ground.outcomes import Outcome
from pitchline.ground.results import FitFigure, GroundFit, Input, range_told
from pitchline.ground.section import (
    GroundFigure,
    GroundInput,
    GroundOutcome,
    GroundSection,
    ShoeOutcome,
    SlewPoint,
)
from pitchline.ground.shoes import (
    MixPart,
    ShoeChoice,
    ShoeComparison,
    ShoeOffer,
    compare_shoes,
    fitted_kind,
    turning_effort,
)
from pitchline.ground.soils import GROUNDS
from pitchline.ground.spans import Basis
from pitchline.ground.standing import Standing, standing
from pitchline.ground.sweeps import slew_sweep
from pitchline.ground.why import CAUTIONS
from pitchline.outlook.constants import weak_priors
from pitchline.trade.dossier import Dossier
from pitchline.trade.ground import GroundClass
from pitchline.trade.machine import RunningGear
from pitchline.trade.saying import Saying, saying

STAND_INS: dict[GroundClass, tuple[str, ...]] = {
    GroundClass.GENTLE: ("moist heavy clay", "wet heavy clay", "peat"),
    GroundClass.MILD: ("moist loam", "wet sandy loam", "wet silt"),
    GroundClass.MIDDLING: ("hard earth", "moist sandy loam", "wet lean clay"),
    GroundClass.SHARP: ("dry sand", "firm sand", "gravel"),
    GroundClass.HARSH: ("hard rock", "demolition rubble"),
}
"""Grounds looked at where the machine file says only how hard its ground wears: dry to wet, our own pairing."""
WIDTH_STEPS_M, ROUND_WIDTH_M = (-0.2, -0.1, 0.1, 0.2, 0.3), 0.05
"""Widths looked at beside its own [m], and what they are rounded to; our own choice."""
SLEW_STEPS = 36


def ground_section(dossier: Dossier) -> GroundSection:
    """Whether a machine suits the grounds it works on, by its file.

    Parameters
    ----------
    dossier : Dossier
        The machine with the grounds it goes to.

    Returns
    -------
    GroundSection
        For the empty machine on the level; the same for the same dossier.

    Raises
    ------
    NotAllowedError
        A ground of a name that is not known.
    """
    machine, mix = standing(dossier.machine, dossier.gear), mix_of(dossier)
    return section_of(machine, dossier.gear, mix, bool(dossier.ground_mix), how_known(dossier))


def section_of(
    machine: Standing,
    gear: RunningGear,
    mix: Sequence[MixPart],
    entered: bool,
    how: Saying,
    task: Task | None = None,
    offers: Sequence[ShoeOffer] | None = None,
) -> GroundSection:
    """Whether a machine suits given grounds.

    Parameters
    ----------
    machine : Standing
        The machine.
    gear : RunningGear
        Its running gear.
    mix : sequence of MixPart
        Grounds with their shares of the hours, which add up to 1.
    entered : bool
        Whether somebody named these grounds.
    how : Saying
        Where they come from.
    task : Task or None
        Load and slope; None is the empty machine on the level.
    offers : sequence of ShoeOffer or None
        Shoes to look at beside those fitted; None takes widths round its own.
    """
    asked, own = task or Task(), ShoeOffer(gear.shoe_width_m, fitted_kind(gear))
    comparison = _compared(machine, own, mix, asked, offers)
    fits = next(choice.fits for choice in comparison.choices if choice.offer == own)
    mean, slew = _slewed(machine, asked)
    best = comparison.suggested if entered else None
    return GroundSection(
        entered=entered,
        how=how,
        task=_task_said(asked),
        said=_said(fits),
        shoe_width_m=own.width_m,
        shoe_kind=own.kind,
        grounds=tuple(
            _outcome(fit, 100 * part.share if entered else None) for part, fit in zip(mix, fits, strict=True)
        ),
        shoes=tuple(_shoe(choice, choice.offer == own, choice.offer == best) for choice in comparison.choices),
        advice=_advice(comparison, own, entered),
        wear=comparison.choices[0].wear,
        inputs=_inputs(fits),
        outline=machine.outline,
        mean_pressure_pa=mean,
        slew=slew,
        cautions=CAUTIONS,
    )


def _task_said(task: Task) -> Saying:
    code = f"ground.{'loaded' if task.load_kg else 'empty'}_{'slope' if task.slope_deg else 'level'}"
    load = {"load_kg": task.load_kg, "reach_m": task.reach_m} if task.load_kg else {}
    return saying(code, **load, **({"slope_deg": task.slope_deg} if task.slope_deg else {}))


def mix_of(dossier: Dossier) -> tuple[MixPart, ...]:
    """Grounds a machine goes to by its file, with their shares.

    Returns
    -------
    tuple of MixPart
        Equal shares where they only stand in for how hard its ground wears.

    Raises
    ------
    NotAllowedError
        A ground of a name that is not known.

    References
    ----------
    `STAND_INS`, our own pairing.
    """
    if dossier.ground_mix:
        whole = sum(each.percent for each in dossier.ground_mix)
        return tuple(MixPart(ground_named(each.name), each.percent / whole) for each in dossier.ground_mix)
    names = STAND_INS[dossier.usual_ground]
    return tuple(MixPart(GROUNDS[name], 1 / len(names)) for name in names)


def how_known(dossier: Dossier) -> Saying:
    """Where the grounds of a machine come from."""
    if dossier.ground_mix:
        return saying("ground.named_in_file")
    if not dossier.ground_entered:
        return saying("ground.usual_not_entered")
    return saying("ground.usual_entered", wear=dossier.usual_ground)


def _compared(
    machine: Standing,
    own: ShoeOffer,
    mix: Sequence[MixPart],
    task: Task,
    offers: Sequence[ShoeOffer] | None,
) -> ShoeComparison:
    """The shoes fitted beside those on offer, each once."""
    if offers is None:
        widths = [round(round((own.width_m + step) / ROUND_WIDTH_M) * ROUND_WIDTH_M, 3) for step in WIDTH_STEPS_M]
        offers = [ShoeOffer(width, own.kind) for width in widths if 0.2 <= width <= 1.3]
    effects = [float(one) for one in weak_priors(np.ones(1), np.ones(1)).ground]
    return compare_shoes(machine, list(dict.fromkeys((own, *offers))), mix, effects, task)


def _said(fits: Sequence[GroundFit]) -> Saying:
    """Every ground with its word, the same words together."""
    told = []
    for going in Going:
        names = [fit.ground.name for fit in fits if fit.going is going]
        if names:
            told.append(saying("ground.going_on", going=going, grounds=names))
    return saying("ground.every_going", goings=saying("ground.goings", goings=told))


def _outcome(fit: GroundFit, percent: float | None) -> GroundOutcome:
    figures = tuple(_figure(one) for one in fit.figures)
    return GroundOutcome(fit.ground.name, percent, fit.going, fit.because, fit.share, figures)


def _figure(one: FitFigure) -> GroundFigure:
    measured, listed, assumed = (tuple(dict.fromkeys(one.resting_on(basis))) for basis in Basis)
    return GroundFigure(
        one.outcome, one.low, one.middle, one.high, one.without, one.reason, measured, listed, assumed
    )


def _shoe(choice: ShoeChoice, fitted: bool, suggested: bool) -> ShoeOutcome:
    return ShoeOutcome(
        choice.offer.width_m,
        choice.offer.kind,
        fitted,
        suggested,
        tuple(fit.going for fit in choice.fits),
        choice.fits[0].figure(Outcome.PRESSURE).middle,
        turning_effort(choice),
        choice.overall_width_m,
        choice.remarks,
        tuple(fit.share for fit in choice.fits),
    )


def _advice(comparison: ShoeComparison, own: ShoeOffer, entered: bool) -> Saying:
    best, because = comparison.suggested, comparison.because
    if best is None:
        return because
    shoe, has = (
        saying("shoe.width", width_m=one.width_m) if best.kind is own.kind else one.called for one in (best, own)
    )
    if best == own:
        code = "shoe.fitted_is_suggested" if entered else "shoe.unnamed_fitted"
        return saying(code, shoe=shoe, because=because)
    code = "shoe.other_is_suggested" if entered else "shoe.unnamed_other"
    return saying(code, shoe=shoe, fitted=has, because=because)


def _inputs(fits: Sequence[GroundFit]) -> tuple[GroundInput, ...]:
    """Each input once, the machine's first."""
    found: dict[Input, list[str]] = {}
    for fit in fits:
        for one in _once(each for figure in fit.figures for each in figure.inputs):
            found.setdefault(one, []).append(fit.ground.name)
    sizes = fits[0].machine.spans
    return tuple(
        GroundInput(
            one.code,
            range_told(one.name, one.span),
            one.span.basis,
            one.span.source,
            () if one.name in sizes else tuple(names),
        )
        for one, names in sorted(found.items(), key=lambda item: item[0].name not in sizes)
    )


def _once(inputs: Iterable[Input]) -> Iterable[Input]:
    return dict.fromkeys(inputs)


def _slewed(machine: Standing, task: Task) -> tuple[float | None, tuple[SlewPoint, ...]]:
    if machine.mass_kg is None:
        return None, ()
    sweep = slew_sweep(machine, task, steps=SLEW_STEPS)
    if not machine.slews:
        return sweep.mean_pa, ()
    points = [
        SlewPoint(float(angle), _known(left), _known(right), float(max(left[3], right[3])))
        for angle, left, right in zip(sweep.slew_deg, sweep.left_pa, sweep.right_pa, strict=True)
    ]
    return sweep.mean_pa, tuple(points)


def _known(figures: Iterable[float]) -> tuple[float | None, ...]:
    low, middle, high, _ = (float(one) for one in figures)
    return tuple(None if np.isnan(one) else one for one in (low, middle, high))
