"""Ground fit of a verdict in words and pictures: a page of the paper, lines of the screen."""

from collections.abc import Collection, Iterable, Sequence

import numpy as np

from pitchline.ground.going import Going
from pitchline.ground.outcomes import OUTCOMES, Outcome
from pitchline.ground.section import GroundFigure, GroundOutcome, GroundSection, ShoeOutcome, SlewPoint
from pitchline.ground.spans import Basis
from pitchline.ground.sweeps import SlewSweep
from pitchline.papers.ground_answer import answer_said
from pitchline.picture.ground_going import going_svg
from pitchline.picture.ground_slew import slew_svg
from pitchline.picture.ground_slope import slope_svg
from pitchline.picture.ink import Tone
from pitchline.trade.writing import as_figure, marked
from pitchline.verdict import Verdict
from pitchline.words import label, say, translated, worded
from pitchline.words.labels import input_said, method_said
from pitchline.words.speaking import listed

MOST_GROUNDS = 4
"""Grounds that the page has columns for; the picture and the file have all."""
_WIDE, _HALF, _CLOSE = 900, 560, 1250
_FEW, _DRAWN = 5, 10
"""Up to so many grounds are drawn at the usual size; more are drawn closer, and so many at most."""
_SCREEN = (Outcome.PRESSURE, Outcome.SINKAGE, Outcome.PULL, Outcome.BEARING)


def figure_said(one: GroundFigure) -> str:
    """A figure as its range, with its middle.

    Returns
    -------
    str
        Such as "46 to 52 (49)"; "no figure" where there is none.
    """
    if one.low is None or one.middle is None or one.high is None:
        return translated("no figure")
    words = OUTCOMES[one.outcome]
    ends = (f"{end * words.scale:.{words.decimals}f}" for end in (one.low, one.middle, one.high))
    low, middle, high = (
        marked(end.replace("-0", "0") if float(end) == 0 else end.replace("-", "−")) for end in ends
    )
    return low if low == high else worded("{low} to {high} ({middle})", low=low, high=high, middle=middle)


def label_said(outcome: Outcome) -> str:
    """An outcome's name with its unit.

    Returns
    -------
    str
        Such as "sinkage, mm".
    """
    unit = OUTCOMES[outcome].unit
    return f"{label(outcome)}, {translated(unit)}" if unit else label(outcome)


def rests_said(figures: Iterable[GroundFigure]) -> str:
    """What figures rest on, by where each input comes from.

    Returns
    -------
    str
        Such as "listed: mass, shoe width; assumed: contact length".
    """
    kept = list(figures)
    told = []
    for basis in Basis:
        names = dict.fromkeys(input_said(code) for one in kept for code in getattr(one, basis.value))
        if names:
            told.append(f"{label(basis)}: {', '.join(names)}")
    return "; ".join(told)


def slew_of(section: GroundSection) -> SlewSweep | None:
    """The stored sweep as the drawing takes it.

    Returns
    -------
    SlewSweep or None
        None for a machine that does not slew, or without a mass.
    """
    if not section.slew or section.mean_pressure_pa is None:
        return None
    angles = np.array([one.slew_deg for one in section.slew])
    left = np.array([_row(one, one.left_pa) for one in section.slew])
    right = np.array([_row(one, one.right_pa) for one in section.slew])
    return SlewSweep(angles, left, right, section.mean_pressure_pa)


def _row(point: SlewPoint, figures: Sequence[float | None]) -> list[float]:
    return [*(np.nan if one is None else one for one in figures), point.tips]


def told_ground(verdict: Verdict) -> dict[str, object] | None:
    """What the page on the ground says and shows.

    Returns
    -------
    dict or None
        Text, lists and drawings, as the template expects them; None for a verdict without such a section.
    """
    section = verdict.ground_fit
    if section is None:
        return None
    return told_section(section, MOST_GROUNDS) | {"pictures": _pictures(verdict, section)}


def told_section(section: GroundSection, most: int) -> dict[str, object]:
    """What a section says, as text and lists."""
    shown = section.grounds[:most]
    rest = [one.name for one in section.grounds[most:]]
    return {
        "answer": answer_said(section),
        "said": say(section.said),
        "how": say(section.how),
        "task": say(section.task),
        "care": [say(caution) for caution in section.cautions],
        "left_out": worded("Without columns here: {rest}; the file has their figures.", rest=listed(rest))
        if rest
        else "",
        "grounds": [_head(one) for one in shown],
        "figures": [_line(outcome, shown) for outcome in Outcome],
        "shoes": [_shoe(one, section, most) for one in section.shoes],
        "shoe_remarks": _shoe_remarks(section),
        "fitted": worded(
            "{width_m:bare_mm} mm shoes, {kind}",
            width_m=section.shoe_width_m,
            kind=label(section.shoe_kind),
        ),
        "advice": say(section.advice),
        "wear": _wear(section),
        "inputs": [_input(section, basis, {one.name for one in shown}) for basis in Basis],
    }


def _head(one: GroundOutcome) -> dict[str, str]:
    share = "" if one.percent is None else worded("{percent:g} % of its hours", percent=one.percent)
    goes = "" if one.share is None else worded("goes in {share:percent} of the cases", share=one.share)
    return {
        "name": translated(one.name),
        "going": label(one.going),
        "mark": one.going.value,
        "share": share,
        "goes": goes,
        "because": say(one.because),
    }


def _line(outcome: Outcome, grounds: Sequence[GroundOutcome]) -> dict[str, object]:
    figures = [one.figure(outcome) for one in grounds]
    reasons: dict[tuple[str, str], list[str]] = {}
    for ground, one in zip(grounds, figures, strict=True):
        if one.reason:
            part = "" if one.middle is None else _part_said(one.without)
            reasons.setdefault((part, say(one.reason)), []).append(ground.name)
    said = [
        worded(
            "none in {part} of the cases on {grounds}: {reason}", part=part, grounds=listed(names), reason=reason
        )
        if part
        else worded("no figure on {grounds}: {reason}", grounds=listed(names), reason=reason)
        for (part, reason), names in reasons.items()
    ]
    return {
        "label": label_said(outcome),
        "method": method_said(outcome),
        "cells": [
            {"ground": translated(ground.name), "said": figure_said(one)}
            for ground, one in zip(grounds, figures, strict=True)
        ],
        "rests": rests_said(figures),
        "reasons": said,
    }


def _part_said(share: float) -> str:
    return translated("less than 1 %") if share < 0.01 else f"{100 * share:.0f} %"


def _shoe(one: ShoeOutcome, section: GroundSection, most: int) -> dict[str, object]:
    turn, shares = one.turning, (one.shares or (None,) * len(one.going))[:most]
    return {
        "width": _width_said(one, section),
        "mark": ", ".join(
            word
            for word, told in ((translated("fitted now"), one.fitted), (translated("suggested"), one.suggested))
            if told
        ),
        "going": [
            {"ground": translated(ground.name), "said": _going_said(going, share), "mark": going.value}
            for ground, going, share in zip(section.grounds[:most], one.going[:most], shares, strict=True)
        ],
        "pressure": translated("no figure")
        if one.pressure_pa is None
        else worded("{pressure_pa} kPa", pressure_pa=f"{one.pressure_pa / 1e3:.0f}"),
        "turning": translated("no figure")
        if turn is None
        else worded("{low} to {high} %", low=f"{100 * turn[0]:.0f}", high=f"{100 * turn[1]:.0f}"),
        "overall": ""
        if one.overall_m is None
        else worded("{low:.2f} to {high:.2f} m", low=one.overall_m[0], high=one.overall_m[1]),
    }


def _going_said(going: Going, share: float | None) -> str:
    """Between yes and no, in how many of the cases it goes."""
    if going is not Going.UNCERTAIN or share is None:
        return label(going)
    return worded("{going}, {tenths} of 10", going=label(going), tenths=max(int(10 * share), 1))


def _width_said(one: ShoeOutcome, section: GroundSection) -> str:
    alike = {each.kind for each in section.shoes} == {one.kind}
    return f"{one.width_m * 1e3:.0f} mm" + ("" if alike else f", {label(one.kind)}")


def _shoe_remarks(section: GroundSection) -> list[str]:
    """Each remark once, with the shoes it is about."""
    about: dict[str, list[str]] = {}
    for one in section.shoes:
        for remark in one.remarks:
            about.setdefault(say(remark), []).append(_width_said(one, section))
    every = len(section.shoes)
    return [
        f"{translated('All of these shoes') if len(widths) == every > 1 else listed(widths)}: {remark}"
        for remark, widths in about.items()
    ]


def _wear(section: GroundSection) -> str:
    if section.wear is None:
        return translated("Wear on these grounds: no figure, because how hard one of them wears is not known.")
    return worded(
        "Wear an hour on these grounds: {times:.2f} times that on middling ground, the same for every width: no published "
        "figure says how width changes it.",
        times=section.wear,
    )


def _input(section: GroundSection, basis: Basis, shown: Collection[str]) -> dict[str, object]:
    """Inputs of one basis: the machine's, and those of the grounds shown."""
    told = []
    for one in section.inputs:
        names = [name for name in one.grounds if name in shown]
        if one.basis is basis and (names or not one.grounds):
            of = names and len(section.grounds) > 1
            called = input_said(one.name)
            if of:
                called = worded("{input} of {grounds}", input=called, grounds=listed(names))
            said = f" {say(one.said)}" if one.said else ""
            source = f" ({say(one.source)})" if one.source else ""
            told.append(f"{called}{said}{source}")
    return {"basis": label(basis), "said": "; ".join(told) if told else translated("nothing"), "items": told}


def _pictures(verdict: Verdict, section: GroundSection) -> dict[str, object]:
    """Going as a strip; below it the pressure under both tracks, and the slopes on the worst ground that has figures."""
    name = shod_said(verdict.machine.name, section.shoe_width_m)
    shown = section.grounds[:_DRAWN]
    drawn = [going_svg(shown, name, _WIDE if len(shown) <= _FEW else _CLOSE, Tone.PAPER, "going")]
    sweep = slew_of(section)
    if sweep is not None:
        drawn.append(slew_svg(sweep, translated("Empty, on the level"), _HALF, Tone.PAPER, "slew"))
    sloped = sloped_ground(section)
    on = worded("Slopes on {ground}", ground=translated(sloped.name))
    drawn.append(slope_svg(sloped, section.outline, 0.0, on, _HALF, Tone.PAPER, "slope"))
    alts = [
        worded("Going by ground: {said}", said=say(section.said)),
        *([translated("Highest pressure under each track as the boom turns round.")] if sweep else []),
        worded("Slope limits on {ground}.", ground=translated(sloped.name)),
    ]
    return {
        "wide": {"svg": drawn[0], "alt": alts[0]},
        "half": [{"svg": svg, "alt": alt} for svg, alt in zip(drawn[1:], alts[1:], strict=True)],
    }


def shod_said(name: str, shoe_width_m: float) -> str:
    """A machine with its shoes, such as "Rowan, 600 mm shoes"."""
    return worded("{name}, {width_m:bare_mm} mm shoes", name=name, width_m=shoe_width_m)


def sloped_ground(section: GroundSection) -> GroundOutcome:
    """The ground slopes are drawn for.

    Returns
    -------
    GroundOutcome
        With the most slope figures; of those the one that suits least.
    """
    return min(section.grounds, key=_slopes_first)


def _slopes_first(one: GroundOutcome) -> tuple[int, float]:
    """Most slope figures first, then the ground that suits least."""
    known = sum(one.figure(each).middle is not None for each in (Outcome.CLIMB, Outcome.SLIDE, Outcome.TIP))
    return -known, 0.0 if one.share is None else one.share


def ground_lines(verdict: Verdict) -> list[str]:
    """Ground fit in a few lines of plain text.

    Returns
    -------
    list of str
        The outcome, one line for each ground with its figures, what they rest on, shoes and the caution; empty for a
        verdict without such a section.
    """
    section = verdict.ground_fit
    if section is None:
        return []
    lines = [
        worded(
            "Ground fit, {width_m:bare_mm} mm shoes, {task}. {how}",
            width_m=section.shoe_width_m,
            task=say(section.task),
            how=say(section.how),
        ),
        answer_said(section),
    ]
    for one in section.grounds:
        share = "" if one.percent is None else f" ({as_figure(one.percent, 'g')} %)"
        figures = "; ".join(f"{label_said(each)} {figure_said(one.figure(each))}" for each in _SCREEN)
        lines.append(f"{translated(one.name)}{share}: {label(one.going)}. {figures}")
    figures_told = [one.figure(each) for one in section.grounds for each in _SCREEN]
    lines.append(worded("Low to high (middle). These rest on {inputs}.", inputs=rests_said(figures_told)))
    advice = worded("Shoes: {advice}", advice=say(section.advice))
    return [*lines, advice, *(say(caution) for caution in section.cautions)]
