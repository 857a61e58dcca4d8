"""Ground fit as text of 80 columns, and as JSON."""

import textwrap
from collections.abc import Sequence
from typing import Any

from pitchline.ground.outcomes import OUTCOMES, Outcome
from pitchline.ground.pressure import Sunk
from pitchline.ground.results import FitFigure, GroundFit, Input, range_told
from pitchline.ground.shoes import ShoeComparison, turning_effort
from pitchline.ground.soils import Surface
from pitchline.ground.spans import Basis, Span
from pitchline.trade.saying import saying
from pitchline.trade.units import show_mass
from pitchline.words import label, say, translated, worded
from pitchline.words.ground_names import METHODS
from pitchline.words.labels import input_said

WIDTH = 80


def ground_screen(fits: Sequence[GroundFit], comparison: ShoeComparison | None, name: str) -> str:
    """Everything as one text: one ground in full, several as a table, then the shoes, the inputs and the cautions."""
    head = fits[0]
    mass = head.machine.mass_kg
    weighs = show_mass((mass.low + mass.high) / 2) if mass else translated("mass unknown")
    shoes = worded("{width_m:bare_mm} mm shoes", width_m=head.shoe_width_m)
    lines = [f"{name}, {weighs}, {shoes}", *_task(head), ""]
    lines += _one(head) if len(fits) == 1 else _several(fits)
    if comparison is not None:
        lines += ["", *_shoes(comparison)]
    lines += ["", *_inputs(fits), "", translated("Cautions")]
    lines += [line for caution in head.cautions for line in _wrap(say(caution), "  ")]
    return "\n".join(lines)


def _task(fit: GroundFit) -> list[str]:
    found = []
    if fit.task.load_kg:
        found.append(worded("load {load:,.0f} kg at {reach:g} m", load=fit.task.load_kg, reach=fit.task.reach_m))
    if fit.task.slope_deg:
        found.append(worded("on a slope of {slope:g} degrees", slope=fit.task.slope_deg))
    return [", ".join(found)] if found else []


def _wrap(text: str, indent: str = "", later: str | None = None) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent if later is None else later)


def _one(fit: GroundFit) -> list[str]:
    ground, going = translated(fit.ground.name), label(fit.going)
    lines = _wrap(worded("On {ground}: {going}. {because}", ground=ground, going=going, because=say(fit.because)))
    if fit.ground.told:
        lines += _wrap(worded("Told: {told:also}.", told=fit.ground.told))
    if fit.often_share is not None:
        lines += _wrap(
            worded(
                "Fifty passes in one rut: carried in {share:percent} of the cases looked at.",
                share=fit.often_share,
            )
        )
    ends = (translated("low"), translated("middle"), translated("high"))
    lines += ["", f"{'':40}" + "".join(f"{end:>8}" for end in ends)]
    missing = []
    for one in fit.figures:
        if one.middle is None:
            missing.append(one)
            continue
        lines += [_row(one), *_wrap(rests_said([one]), "    ", "    ")]
        if one.without > 0:
            said = worded(
                "no number in {share:percent} of the cases: {reason}", share=one.without, reason=say(one.reason)
            )
            lines += _wrap(said, "    ", "    ")
        if one.outcome is Outcome.PRESSURE:
            sunk = Sunk.FLAT if fit.ground.surface is Surface.HARD else Sunk.GROUSERS_IN
            factor = say(saying(f"input.sunk_{sunk.name.lower()}", share=sunk.value))
            said = worded("contact length taken with {factor}; to compare machines by", factor=factor)
            lines += _wrap(said, "    ", "    ")
        if one.outcome is Outcome.PEAKS:
            ranking = f"; {say(fit.ranking)}" if fit.ranking else ""
            lines += _wrap(translated("for ranking only") + ranking, "    ", "    ")
    if missing:
        lines += ["", translated("No figure")]
        for one in missing:
            lines += _wrap(f"{label(one.outcome)}: {say(one.reason)}.", "  ", "    ")
    return lines


def _row(one: FitFigure) -> str:
    words = OUTCOMES[one.outcome]
    ends = [f"{(end or 0.0) * words.scale:.{words.decimals}f}" for end in (one.low, one.middle, one.high)]
    cells = "".join(f"{end:>8}" for end in ends)
    return f"{label(one.outcome):40}{cells}" + (f" {translated(words.unit)}" if words.unit else "")


def rests_said(figures: Sequence[FitFigure]) -> str:
    """What figures rest on, by where each input comes from."""
    told = []
    for basis in Basis:
        names = dict.fromkeys(input_said(code) for one in figures for code in one.resting_on(basis))
        if names:
            told.append(f"{label(basis)}: {', '.join(names)}")
    return "; ".join(told)


def _several(fits: Sequence[GroundFit]) -> list[str]:
    lines = [translated("low to high    pressure kPa  sinkage mm   pull %    bearing used %  going")]
    columns = ((Outcome.PRESSURE, 12), (Outcome.SINKAGE, 12), (Outcome.PULL, 10), (Outcome.BEARING, 15))
    for fit in fits:
        cells = "".join(f"{_range(fit.figure(outcome)):>{wide}}" for outcome, wide in columns)
        lines += _wrap(f"{translated(fit.ground.name)}: {say(fit.because)}", "", "  ")
        lines.append(f"{'':13}{cells}  {label(fit.going)}")
    lines.append("")
    for outcome, _ in columns:
        rests = rests_said([fit.figure(outcome) for fit in fits])
        called = label(outcome)
        lines += _wrap(worded("{outcome} rests on {inputs}", outcome=called, inputs=rests), "", "  ")
    return lines


def _range(one: FitFigure) -> str:
    words = OUTCOMES[one.outcome]
    if one.low is None or one.high is None:
        return translated("unknown")
    low, high = (f"{end * words.scale:.{words.decimals}f}" for end in (one.low, one.high))
    return low if low == high else worded("{low} to {high}", low=low, high=high)


def _shoes(comparison: ShoeComparison) -> list[str]:
    mix = ", ".join(f"{translated(part.ground.name)} {100 * part.share:.0f} %" for part in comparison.mix)
    lines = [*_wrap(worded("Shoes over a year of {mix}", mix=mix)), ""]
    lines.append(
        f"{translated('share of the year, %'):24}{translated('suits'):>7}{translated('uncertain'):>10}{translated('not'):>5}"
        f"{translated('unknown'):>8}{translated('turn %'):>11}{translated('over all m'):>13}"
    )
    for choice in comparison.choices:
        shares = (choice.suits, choice.uncertain, choice.does_not, choice.unknown)
        cells = "".join(f"{100 * s:>{w}.0f}" for s, w in zip(shares, (7, 10, 5, 8), strict=True))
        turn = turning_effort(choice)
        turned = translated("unknown")
        if turn is not None:
            turned = worded("{low} to {high}", low=f"{100 * turn[0]:.0f}", high=f"{100 * turn[1]:.0f}")
        wide = choice.overall_width_m
        over = translated("unknown") if wide is None else f"{wide[0]:.2f}-{wide[1]:.2f}"
        lines.append(f"{say(choice.offer.called):24}{cells}{turned:>11}{over:>13}")
        for remark in choice.remarks:
            lines += _wrap(worded("{remark} (common practice)", remark=say(remark)), "    ")
    turns = [fit.figure(Outcome.TURN) for choice in comparison.choices for fit in choice.fits]
    called = label(Outcome.TURN)
    turn_said = worded("turn % is {outcome}; it rests on {inputs}", outcome=called, inputs=rests_said(turns))
    lines += _wrap(turn_said, "", "  ")
    wear = comparison.choices[0].wear
    said = (
        translated("unknown") if wear is None else worded("{times:.2f} times that on middling ground", times=wear)
    )
    wears = worded(
        "Wear an hour over this year, from the outlook's ground effects: {wear}. The same for every width: no published "
        "figure says how width changes it.",
        wear=said,
    )
    lines += ["", *_wrap(wears)]
    best = comparison.suggested
    suggested = worded(
        "Suggested, by the rule of practice that the narrowest that floats is the one: {shoe}. {because}",
        shoe=say(best.called) if best else translated("none known"),
        because=say(comparison.because),
    )
    lines += _wrap(suggested)
    return lines


def _inputs(fits: Sequence[GroundFit]) -> list[str]:
    lines = [translated("Inputs")]
    seen: list[tuple[str, Span]] = []
    for fit in fits:
        for figure in fit.figures:
            for one in figure.inputs:
                if (one.name, one.span) not in seen:
                    seen.append((one.name, one.span))
                    lines += _wrap(_input(one), "  ", "      ")
    return lines


def _input(one: Input) -> str:
    said = say(range_told(one.name, one.span))
    shown = f" {said}" if said else ""
    source = f" ({say(one.span.source)})" if one.span.source else ""
    return f"{input_said(one.code)}{shown}: {label(one.span.basis)}{source}"


def ground_json(fits: Sequence[GroundFit], comparison: ShoeComparison | None, machine_id: str) -> dict[str, Any]:
    """Everything as plain values; SI, slopes in degrees."""
    return {
        "format": "pitchline-ground/1",
        "machine": machine_id,
        "grounds": [_fit_json(fit) for fit in fits],
        "shoes": None if comparison is None else _shoes_json(comparison),
        "cautions": [say(caution) for caution in fits[0].cautions],
    }


def _fit_json(fit: GroundFit) -> dict[str, Any]:
    return {
        "ground": fit.ground.name,
        "told": [say(told) for told in fit.ground.told],
        "shoe_width_m": fit.shoe_width_m,
        "load_kg": fit.task.load_kg,
        "reach_m": fit.task.reach_m,
        "slope_deg": fit.task.slope_deg,
        "going": fit.going.value,
        "because": say(fit.because),
        "share_that_goes": fit.share,
        "share_fifty_passes": fit.often_share,
        "ranking": say(fit.ranking),
        "figures": [_figure_json(one) for one in fit.figures],
    }


def _figure_json(one: FitFigure) -> dict[str, Any]:
    return {
        "outcome": one.outcome.value,
        "method": METHODS[one.outcome],
        "low": one.low,
        "middle": one.middle,
        "high": one.high,
        "share_without": one.without,
        "reason": say(one.reason),
        "inputs": [
            {
                "name": each.name,
                "low": None if each.name == "terrains" else each.span.low,
                "high": None if each.name == "terrains" else each.span.high,
                "basis": each.span.basis.value,
                "source": say(each.span.source),
            }
            for each in one.inputs
        ],
    }


def _shoes_json(comparison: ShoeComparison) -> dict[str, Any]:
    best = comparison.suggested
    return {
        "mix": [{"ground": part.ground.name, "share": part.share} for part in comparison.mix],
        "suggested": None if best is None else {"width_m": best.width_m, "kind": best.kind.value},
        "because": say(comparison.because),
        "choices": [
            {
                "width_m": choice.offer.width_m,
                "kind": choice.offer.kind.value,
                "suits": choice.suits,
                "uncertain": choice.uncertain,
                "does_not_suit": choice.does_not,
                "unknown": choice.unknown,
                "wear_over_medium": choice.wear,
                "turning_share": turning_effort(choice),
                "overall_width_m": choice.overall_width_m,
                "remarks": [say(remark) for remark in choice.remarks],
                "going": [{"ground": fit.ground.name, "going": fit.going.value} for fit in choice.fits],
            }
            for choice in comparison.choices
        ],
    }
