"""What was learned of a yard, as constants beside those used before, and as a list of what the tables left unsaid."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pitchline.outlook.learned import Learned
from pitchline.papers.audit_words import kind_said
from pitchline.papers.words import GAP, first_up, percent
from pitchline.trade.ground import GroundClass
from pitchline.trade.writing import as_figure
from pitchline.words import counted, in_english, translated, worded
from pitchline.words.labels import label

TENTH = 1.2815515655446004
"""Standard deviations from the middle of a bell beyond which one in ten lies (normal quantile)."""
_SPREADS = (
    (in_english("how far machines differ in pace"), "%"),
    (in_english("how far like parts of one machine differ in pace"), "%"),
    (in_english("how unevenly a part wears: variance over mean, in lives"), ""),
    (in_english("how much the pace changes between readings"), "%"),
)
_UNTOLD = {
    "no_limit": (
        in_english("{n} reading of what has no limit entered teaches nothing."),
        in_english("{n} readings of what has no limit entered teach nothing."),
    ),
    "no_side": (
        in_english("{n} reading is of a part there is one of; the tables know left and right alone."),
        in_english("{n} readings are of parts there is one of; the tables know left and right alone."),
    ),
    "copied": (
        in_english("{n} reading looks copied from another and still counts in full."),
        in_english("{n} readings look copied from others and still count in full."),
    ),
    "used_fitted": (
        in_english("{n} used part was fitted: how worn the one before it was, is not learned from."),
        in_english("{n} used parts were fitted: how worn those before them were, is not learned from."),
    ),
    "meter": (
        in_english("{n} machine has a meter that does not count from new; the tables take it as if it did."),
        in_english("{n} machines have meters that do not count from new; the tables take them as if they did."),
    ),
    "assumed": (
        in_english("{n} limit is assumed, and what is learned by it is no better than that."),
        in_english("{n} limits are assumed, and what is learned by them is no better than that."),
    ),
    "unusable": (
        in_english("{n} machine is left out: what is entered of it does not go together."),
        in_english("{n} machines are left out: what is entered of them does not go together."),
    ),
    "invented": (
        in_english("{n} invented machine is left out."),
        in_english("{n} invented machines are left out."),
    ),
}


@dataclass(frozen=True, slots=True)
class Range:
    """A constant with its 80 % range.

    Parameters
    ----------
    low, middle, high : float
        In rising order, in the constant's unit.
    """

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True)
class Moved:
    """A constant before and now.

    Parameters
    ----------
    what : str
        What it is, for reading.
    unit : str
        "h" for hours, "%" for a share, "times" for a pace beside middling ground, empty for a spread [1].
    before : Range or None
        As it was used; None where nothing was.
    now : Range
        As learned.
    """

    what: str
    unit: str
    before: Range | None
    now: Range

    @property
    def before_said(self) -> str:
        """In figures."""
        return _said(self.before, self.unit) if self.before is not None else translated("not known")

    @property
    def now_said(self) -> str:
        """In figures."""
        return _said(self.now, self.unit)

    @property
    def moved_said(self) -> str:
        """By how much the middle moved."""
        if self.before is None or self.before.middle == 0:
            return translated("new")
        share = self.now.middle / self.before.middle - 1
        if abs(share) < 0.005:
            return translated("as before")
        return f"{'+' if share > 0 else '−'}{percent(abs(share))}"


def moved(before: Learned, now: Learned) -> tuple[Moved, ...]:
    """Every constant that was learned, beside what was used before.

    Parameters
    ----------
    before, now : Learned
        The constants used, and those learned.

    Returns
    -------
    tuple of Moved
        Lives by kind, grounds, spreads, the pace late in life, and what parts are run down to.
    """
    known, found = _lives(before), list[Moved]()
    for kind, life in _lives(now).items():
        what = worded("life of {kind} on middling ground", kind=kind_said(kind))
        found.append(Moved(what, "h", known.get(kind), life))
    for ground in GroundClass:
        if ground is not GroundClass.MIDDLING:
            pair = (_bell(each.priors.ground[ground], each.priors.ground_u[ground]) for each in (before, now))
            found.append(Moved(worded("wear on {ground} ground", ground=label(ground)), "times", *pair))
    for (said, unit), was, here in zip(_SPREADS, before.priors.spreads, now.priors.spreads, strict=True):
        found.append(Moved(translated(said), unit, _bell(*was), _bell(*here)))
    return (*found, *_late(before, now), *_taken_off(before, now))


def _lives(learned: Learned) -> dict[str, Range]:
    priors = learned.priors
    rates = zip(learned.kinds, priors.log_rate.tolist(), priors.log_rate_u.tolist(), strict=True)
    return {kind: _bell(-rate, rate_u) for kind, rate, rate_u in rates}


def _bell(middle: float, doubt: float) -> Range:
    """Of a figure whose logarithm is a bell."""
    low, here, high = np.exp([middle - TENTH * doubt, middle, middle + TENTH * doubt]).tolist()
    return Range(low, here, high)


def _late(before: Learned, now: Learned) -> list[Moved]:
    known = dict(zip(before.kinds, before.late.times.tolist(), strict=True))
    return [
        Moved(
            worded(
                "pace of {kind} from {share} of their life on",
                kind=kind_said(kind),
                share=percent(now.late.begins),
            ),
            "times",
            _sharp(known.get(kind, 1.0)),
            _sharp(times),
        )
        for kind, times in zip(now.kinds, now.late.times.tolist(), strict=True)
        if abs(times - 1) > 0.005 or abs(known.get(kind, 1.0) - 1) > 0.005
    ]


def _sharp(figure: float) -> Range:
    return Range(figure, figure, figure)


def _taken_off(before: Learned, now: Learned) -> list[Moved]:
    found = []
    for kind, limit in now.limits.items():
        if limit.typical is not None and limit.low is not None and limit.high is not None:
            known = before.limits.get(kind)
            was = None
            if (
                known is not None
                and known.typical is not None
                and known.low is not None
                and known.high is not None
            ):
                was = Range(known.low, known.typical, known.high)
            what = worded("life used at which {kind} are taken off", kind=kind_said(kind))
            found.append(Moved(what, "%", was, Range(limit.low, limit.typical, limit.high)))
    return found


def _said(one: Range, unit: str) -> str:
    low, middle, high = (_figure(each, unit) for each in (one.low, one.middle, one.high))
    whole = _with_unit(middle, unit)
    return whole if low == high else worded("{middle} ({low} to {high})", middle=whole, low=low, high=high)


def _figure(figure: float, unit: str) -> str:
    """Two figures that count, three of hours."""
    if unit == "h":
        return as_figure(_rounded(figure, 3), ",.0f")
    if unit == "%":
        return percent(figure)
    return as_figure(_rounded(figure, 2), "g")


def _rounded(figure: float, count: int) -> float:
    if not figure or not math.isfinite(figure):
        return figure
    return round(figure, count - 1 - math.floor(math.log10(abs(figure))))


def _with_unit(figure: str, unit: str) -> str:
    if unit == "h":
        return f"{figure}{GAP}h"
    return worded("{said} times", said=figure) if unit == "times" else figure


def untold_said(untold: Mapping[str, int]) -> tuple[str, ...]:
    """What the tables could not say, a sentence each."""
    return tuple(
        counted(*_UNTOLD[what], n).format(n=as_figure(n, ","))
        for what, n in untold.items()
        if n and what in _UNTOLD
    )


def rests_said(learned: Learned) -> str:
    """From how much it was learned."""
    return first_up(
        worded(
            "{machines} machines, {parts} parts, {readings} readings",
            machines=as_figure(learned.machines, ","),
            parts=as_figure(learned.parts, ","),
            readings=as_figure(learned.readings, ","),
        )
    )
