"""Ground fit as text of 80 columns, and as JSON."""

import textwrap
from collections.abc import Sequence
from typing import Any

from pitchline.ground.outcomes import OUTCOMES, Outcome
from pitchline.ground.pressure import Sunk
from pitchline.ground.results import FitFigure, GroundFit, Input, span_said
from pitchline.ground.shoes import ShoeComparison, turning_effort
from pitchline.ground.soils import Surface
from pitchline.ground.spans import Basis, Span
from pitchline.trade.units import show_mass

WIDTH = 80


def ground_screen(fits: Sequence[GroundFit], comparison: ShoeComparison | None, name: str) -> str:
    """Everything as one text: one ground in full, several as a table, then the shoes, the inputs and the cautions."""
    head = fits[0]
    mass = head.machine.mass_kg
    weighs = f", {show_mass((mass.low + mass.high) / 2)}" if mass else ", mass unknown"
    lines = [f"{name}{weighs}, {head.shoe_width_m * 1e3:.0f} mm shoes", *_task(head), ""]
    lines += _one(head) if len(fits) == 1 else _several(fits)
    if comparison is not None:
        lines += ["", *_shoes(comparison)]
    lines += ["", *_inputs(fits), "", "Cautions"]
    lines += [line for caution in head.cautions for line in _wrap(caution, "  ")]
    return "\n".join(lines)


def _task(fit: GroundFit) -> list[str]:
    found = []
    if fit.task.load_kg:
        found.append(f"load {fit.task.load_kg:,.0f} kg at {fit.task.reach_m:g} m")
    if fit.task.slope_deg:
        found.append(f"on a slope of {fit.task.slope_deg:g} degrees")
    return [", ".join(found)] if found else []


def _wrap(text: str, indent: str = "", later: str | None = None) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent if later is None else later)


def _one(fit: GroundFit) -> list[str]:
    lines = _wrap(f"On {fit.ground.name}: {fit.going.label}. {fit.because}")
    if fit.ground.told:
        lines += _wrap("Told: " + "; ".join(fit.ground.told) + ".")
    if fit.often_share is not None:
        lines += _wrap(
            f"Fifty passes in one rut: carried in {100 * fit.often_share:.0f} % of the cases looked at."
        )
    lines += ["", f"{'':40}{'low':>8}{'middle':>8}{'high':>8}"]
    missing = []
    for one in fit.figures:
        if one.middle is None:
            missing.append(one)
            continue
        lines += [_row(one), *_wrap(rests_said([one]), "    ", "    ")]
        if one.without > 0:
            said = f"no number in {100 * one.without:.0f} % of the cases: {one.reason}"
            lines += _wrap(said, "    ", "    ")
        if one.outcome is Outcome.PRESSURE:
            sunk = Sunk.FLAT if fit.ground.surface is Surface.HARD else Sunk.GROUSERS_IN
            lines += _wrap(f"contact length taken with {sunk.label}; to compare machines by", "    ", "    ")
        if one.outcome is Outcome.PEAKS:
            ranking = f"; {fit.ranking}" if fit.ranking else ""
            lines += _wrap(f"for ranking only{ranking}", "    ", "    ")
    if missing:
        lines += ["", "No figure"]
        for one in missing:
            lines += _wrap(f"{OUTCOMES[one.outcome].label}: {one.reason}.", "  ", "    ")
    return lines


def _row(one: FitFigure) -> str:
    words = OUTCOMES[one.outcome]
    ends = [f"{(end or 0.0) * words.scale:.{words.decimals}f}" for end in (one.low, one.middle, one.high)]
    return f"{words.label:40}" + "".join(f"{end:>8}" for end in ends) + (f" {words.unit}" if words.unit else "")


def rests_said(figures: Sequence[FitFigure]) -> str:
    """What figures rest on, by where each input comes from."""
    told = []
    for basis in Basis:
        names = list(dict.fromkeys(name for one in figures for name in one.resting_on(basis)))
        if names:
            told.append(f"{basis.value}: {', '.join(names)}")
    return "; ".join(told)


def _several(fits: Sequence[GroundFit]) -> list[str]:
    lines = ["low to high    pressure kPa  sinkage mm   pull %    bearing used %  going"]
    columns = ((Outcome.PRESSURE, 12), (Outcome.SINKAGE, 12), (Outcome.PULL, 10), (Outcome.BEARING, 15))
    for fit in fits:
        cells = "".join(f"{_range(fit.figure(outcome)):>{wide}}" for outcome, wide in columns)
        lines += _wrap(f"{fit.ground.name}: {fit.because}", "", "  ")
        lines.append(f"{'':13}{cells}  {fit.going.label}")
    lines.append("")
    for outcome, _ in columns:
        rests = rests_said([fit.figure(outcome) for fit in fits])
        lines += _wrap(f"{OUTCOMES[outcome].label} rests on {rests}", "", "  ")
    return lines


def _range(one: FitFigure) -> str:
    words = OUTCOMES[one.outcome]
    if one.low is None or one.high is None:
        return "unknown"
    low, high = (f"{end * words.scale:.{words.decimals}f}" for end in (one.low, one.high))
    return low if low == high else f"{low} to {high}"


def _shoes(comparison: ShoeComparison) -> list[str]:
    mix = ", ".join(f"{part.ground.name} {100 * part.share:.0f} %" for part in comparison.mix)
    lines = [*_wrap(f"Shoes over a year of {mix}"), ""]
    lines.append(
        f"{'share of the year, %':24}{'suits':>7}{'uncertain':>10}{'not':>5}{'unknown':>8}{'turn %':>11}{'over all m':>13}"
    )
    for choice in comparison.choices:
        shares = (choice.suits, choice.uncertain, choice.does_not, choice.unknown)
        cells = "".join(f"{100 * s:>{w}.0f}" for s, w in zip(shares, (7, 10, 5, 8), strict=True))
        turn = turning_effort(choice)
        turned = "unknown" if turn is None else f"{100 * turn[0]:.0f} to {100 * turn[1]:.0f}"
        wide = choice.overall_width_m
        over = "unknown" if wide is None else f"{wide[0]:.2f}-{wide[1]:.2f}"
        lines.append(f"{choice.offer.label:24}{cells}{turned:>11}{over:>13}")
        lines += [line for remark in choice.remarks for line in _wrap(remark + " (common practice)", "    ")]
    turns = [fit.figure(Outcome.TURN) for choice in comparison.choices for fit in choice.fits]
    lines += _wrap(f"turn % is {OUTCOMES[Outcome.TURN].label}; it rests on {rests_said(turns)}", "", "  ")
    wear = comparison.choices[0].wear
    said = "unknown" if wear is None else f"{wear:.2f} times that on middling ground"
    lines += [
        "",
        *_wrap(
            f"Wear an hour over this year, from the outlook's ground effects: {said}. The same for every width: "
            "no published figure says how width changes it."
        ),
    ]
    best = comparison.suggested
    lines += _wrap(
        f"Suggested, by the rule of practice that the narrowest that floats is the one: "
        f"{best.label if best else 'none known'}. {comparison.because}"
    )
    return lines


def _inputs(fits: Sequence[GroundFit]) -> list[str]:
    lines = ["Inputs"]
    seen: list[tuple[str, Span]] = []
    for fit in fits:
        for figure in fit.figures:
            for one in figure.inputs:
                if (one.name, one.span) not in seen:
                    seen.append((one.name, one.span))
                    lines += _wrap(_input(one), "  ", "      ")
    return lines


def _input(one: Input) -> str:
    said = span_said(one.name, one.span)
    shown = f" {said}" if said else ""
    source = f" ({one.span.source})" if one.span.source else ""
    return f"{one.label}{shown}: {one.span.basis.value}{source}"


def ground_json(fits: Sequence[GroundFit], comparison: ShoeComparison | None, machine_id: str) -> dict[str, Any]:
    """Everything as plain values; SI, slopes in degrees."""
    return {
        "format": "pitchline-ground/1",
        "machine": machine_id,
        "grounds": [_fit_json(fit) for fit in fits],
        "shoes": None if comparison is None else _shoes_json(comparison),
        "cautions": list(fits[0].cautions),
    }


def _fit_json(fit: GroundFit) -> dict[str, Any]:
    return {
        "ground": fit.ground.name,
        "told": list(fit.ground.told),
        "shoe_width_m": fit.shoe_width_m,
        "load_kg": fit.task.load_kg,
        "reach_m": fit.task.reach_m,
        "slope_deg": fit.task.slope_deg,
        "going": fit.going.value,
        "because": fit.because,
        "share_that_goes": fit.share,
        "share_fifty_passes": fit.often_share,
        "ranking": fit.ranking,
        "figures": [_figure_json(one) for one in fit.figures],
    }


def _figure_json(one: FitFigure) -> dict[str, Any]:
    return {
        "outcome": one.outcome.value,
        "method": OUTCOMES[one.outcome].method,
        "low": one.low,
        "middle": one.middle,
        "high": one.high,
        "share_without": one.without,
        "reason": one.reason,
        "inputs": [
            {
                "name": each.name,
                "low": None if each.name == "terrains" else each.span.low,
                "high": None if each.name == "terrains" else each.span.high,
                "basis": each.span.basis.value,
                "source": each.span.source,
            }
            for each in one.inputs
        ],
    }


def _shoes_json(comparison: ShoeComparison) -> dict[str, Any]:
    best = comparison.suggested
    return {
        "mix": [{"ground": part.ground.name, "share": part.share} for part in comparison.mix],
        "suggested": None if best is None else {"width_m": best.width_m, "kind": best.kind.value},
        "because": comparison.because,
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
                "remarks": list(choice.remarks),
                "going": [{"ground": fit.ground.name, "going": fit.going.value} for fit in choice.fits],
            }
            for choice in comparison.choices
        ],
    }
