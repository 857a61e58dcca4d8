"""From true wear to what somebody reads off a tool and types on a sheet."""

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

import numpy as np

from pitchline.demo.limits import Quantity
from pitchline.demo.simulate import TrueWear
from pitchline.trade.findings import Finding
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import Reading, Tool, WalkRound
from pitchline.trade.units import INCH_M, parse_length
from pitchline.wear.line import WearLine

TOOL_OF: dict[Measurand, str] = {
    Measurand.PITCH: "tape",
    Measurand.BUSH_OD_FORWARD: "calliper",
    Measurand.BUSH_OD_REVERSE: "calliper",
    Measurand.RAIL_HEIGHT: "depth_gauge",
    Measurand.GROUSER_HEIGHT: "depth_gauge",
    Measurand.PAD_HEIGHT: "rule",
    Measurand.TREAD_DIAMETER: "outside_calliper",
    Measurand.FLANGE_THICKNESS: "calliper",
    Measurand.TREAD_DEPTH: "depth_gauge",
    Measurand.ROOT_DIAMETER: "outside_calliper",
    Measurand.TOOTH_THICKNESS: "calliper",
    Measurand.SAG: "rule",
    Measurand.ADJUSTER_EXTENSION: "rule",
    Measurand.LUG_HEIGHT: "depth_gauge",
    Measurand.RUBBER_PITCH: "tape",
    Measurand.GUIDE_LUG_WIDTH: "calliper",
    Measurand.SLEW_RING_ROCK: "dial_gauge",
}
JOINTS_SPANNED = 4


@dataclass(frozen=True, slots=True)
class Hand:
    """How one machine's sheets are filled in.

    Parameters
    ----------
    unit : str
        Unit typed: mm or in.
    decimal_mark : str
        Point or comma.
    repeats : dict of Measurand to int
        Quantities read more than once.
    skips : tuple of (PartKind, Measurand)
        Quantities nobody reads on this machine.
    every_roller : bool
        Whether each roller is read, or the first, the middle one and the last.
    missed : float
        Chance that a reading is left out [1], 0 or more and below 1.
    flange_too : bool
        Whether roller flanges and the bushes' reverse face are read.
    """

    unit: str = "mm"
    decimal_mark: str = "."
    repeats: Mapping[Measurand, int] | None = None
    skips: tuple[Quantity, ...] = ()
    every_roller: bool = True
    missed: float = 0.03
    flange_too: bool = False

    def reads(self, place: Place, measurand: Measurand, gear: RunningGear) -> bool:
        """Whether this quantity is on the sheets at all."""
        seldom = (Measurand.FLANGE_THICKNESS, Measurand.BUSH_OD_REVERSE)
        if (place.part, measurand) in self.skips or (measurand in seldom and not self.flange_too):
            return False
        if place.part is not PartKind.BOTTOM_ROLLER or self.every_roller:
            return True
        rollers = gear.bottom_rollers_per_side
        return place.position in (1, (rollers + 1) // 2, rollers)


def typed_text(length_m: float, tool: Tool, unit: str, decimal_mark: str) -> str:
    """A length as a person would type it from this tool.

    Parameters
    ----------
    length_m : float
        What the tool shows [m], zero or more.
    tool : Tool
        Its resolution decides how fine it is read.
    unit : str
        mm or in.
    decimal_mark : str
        Point or comma.

    Returns
    -------
    str
        Millimetres as decimals; inches as thousandths from a calliper, as thirty-seconds from tape and rule.

    Examples
    --------
    >>> from pitchline.trade.readings import DEFAULT_TOOLS
    >>> typed_text(0.76217, DEFAULT_TOOLS["tape"], "mm", ".")
    '762'
    >>> typed_text(0.76217, DEFAULT_TOOLS["tape"], "in", ".")
    '30'
    >>> typed_text(0.0587, DEFAULT_TOOLS["calliper"], "in", ".")
    '2.311'
    """
    if unit == "mm":
        step_mm = max(tool.resolution_m, 1e-5) * 1e3
        digits = 0 if step_mm >= 1 else 1 if step_mm >= 0.1 else 2
        text = f"{round(length_m * 1e3 / step_mm) * step_mm:.{digits}f}"
        return text.removesuffix(".0").replace(".", decimal_mark)
    if tool.resolution_m < 0.0004:
        return f"{length_m / INCH_M:.3f}".replace(".000", ".00")  # 1.000 could be a thousand
    whole, rest = divmod(round(length_m / INCH_M * 32), 32)
    return " ".join(
        bit for bit in (str(whole) if whole or not rest else "", str(Fraction(rest, 32)) if rest else "") if bit
    )


class Reader:
    """One person on one visit: the same tools, with the same small fault, at every place."""

    def __init__(self, rng: np.random.Generator, hand: Hand, tool_of: Callable[[str], Tool]) -> None:
        self.rng, self.hand, self.tool_of = rng, hand, tool_of
        self.fault_m: dict[str, float] = {}

    def read(self, place: Place, measurand: Measurand, true_m: float, joints_typed: int = 0) -> Reading:
        """One quantity read at one place.

        Parameters
        ----------
        place : Place
            Where.
        measurand : Measurand
            What.
        true_m : float
            True size [m], for a pitch that of one joint.
        joints_typed : int
            Joints written down where that is not how many were spanned: a slip.
        """
        tool = self.tool_of(TOOL_OF[measurand])
        joints = JOINTS_SPANNED if MEASURANDS[measurand].spans_joints else 1
        spanned = joints - 1 if joints_typed else joints
        fault_m = self.fault_m.setdefault(
            tool.name, self.rng.uniform(-tool.permitted_error_m, tool.permitted_error_m)
        )
        times = (self.hand.repeats or {}).get(measurand, 1)
        shown_m = true_m * spanned + fault_m + self.rng.normal(0.0, tool.repeatability_m, times)
        to_text = partial(typed_text, tool=tool, unit=self.hand.unit, decimal_mark=self.hand.decimal_mark)
        texts = [to_text(max(float(length_m), 0.0)) for length_m in shown_m]
        typed = tuple(parse_length(text, self.hand.unit) for text in texts)
        return Reading(place, measurand, tuple(one.si for one in typed), tool, joints_typed or joints, typed)


def _settings(
    rng: np.random.Generator, gear: RunningGear, scale_m: float, stretch: Mapping[Side, float]
) -> Iterable[tuple[Place, Measurand, float]]:
    """Sag and adjuster extension, the second growing with the chain's stretch."""
    track = PartKind.CHAIN if gear.has_chain else PartKind.RUBBER_TRACK
    low, high = (0.14, 0.27) if gear.has_chain else (0.09, 0.22)
    for side in (Side.LEFT, Side.RIGHT):
        yield Place(track, side), Measurand.SAG, rng.uniform(low, high) * scale_m
        if gear.adjuster_stroke_m:
            share = min(0.1 + 0.5 * max(stretch.get(side, 0.0), 0.0) + rng.uniform(-0.03, 0.03), 0.95)
            adjuster = Place(PartKind.TRACK_ADJUSTER, side)
            yield adjuster, Measurand.ADJUSTER_EXTENSION, share * gear.adjuster_stroke_m


def walk_round(
    rng: np.random.Generator,
    reader: Reader,
    gear: RunningGear,
    lines: Mapping[Quantity, WearLine],
    truth: Iterable[TrueWear],
    visit: int,
    day: dt.date,
    scale_m: float,
    findings: tuple[Finding, ...],
    by: str,
    slip_at: Place | None = None,
    passed_by: tuple[PartKind, ...] = (),
) -> WalkRound:
    """One walk-round: every quantity on the sheet read once, in walking order, and whatever was not read looked over.

    Parameters
    ----------
    rng : numpy.random.Generator
        Where chance comes from.
    reader : Reader
        Who reads, and how.
    gear : RunningGear
        The running gear.
    lines : dict of (PartKind, Measurand) to WearLine
        From true wear to size.
    truth : iterable of TrueWear
        True wear at each visit.
    visit : int
        Which visit, from 0.
    day : datetime.date
        Its day.
    scale_m : float
        Size of the machine [m].
    findings : tuple of Finding
        What was seen.
    by : str
        Who went round.
    slip_at : Place or None
        Chain whose pitch was read over one joint fewer than was written down.
    passed_by : tuple of PartKind
        Parts nobody looked over where they were not read.
    """
    sizes = [
        (path.place, path.measurand, float(lines[path.place.part, path.measurand].size_m(path.life_used[visit])))
        for path in truth
    ]
    pitches = (Measurand.PITCH, Measurand.RUBBER_PITCH)
    stretch = {path.place.side: path.life_used[visit] for path in truth if path.measurand in pitches}
    sizes += _settings(rng, gear, scale_m, stretch)
    order = {place: number for number, place in enumerate(gear.places())}
    sizes.sort(key=lambda one: (order[one[0]], list(Measurand).index(one[1])))
    readings = tuple(
        reader.read(place, what, true_m, JOINTS_SPANNED if place == slip_at and what in pitches else 0)
        for place, what, true_m in sizes
        if reader.hand.reads(place, what, gear) and (rng.random() >= reader.hand.missed or place == slip_at)
    )
    service_h = next(iter(truth)).at_h[visit]
    in_order = tuple(sorted(findings, key=lambda finding: order[finding.place]))
    there = {reading.place for reading in readings} | {finding.place for finding in findings}
    looked = tuple(place for place in gear.places() if place not in there and place.part not in passed_by)
    return WalkRound(day, service_h, readings, in_order, by, looked_over=looked)
