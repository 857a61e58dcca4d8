"""Readings, the tools they were made with, and the walk-round they belong to."""

import datetime as dt
import math
from dataclasses import dataclass

from pitchline.trade.errors import NotAllowedError, Phrase, phrase
from pitchline.trade.findings import Finding
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import Place, at
from pitchline.trade.units import Typed, show_length
from pitchline.trade.writing import as_figure

FIRST_YEAR, LAST_YEAR = 1900, 2199
"""Years a walk-round may be of: twenty years of outlook after it are still days the calendar has."""
MOST_HOURS_H = 10_000_000.0
"""More than a thousand years without a stop: beyond it is a slip, and figures would no longer be finite."""


@dataclass(frozen=True, slots=True)
class Tool:
    """A measuring tool and what it can be trusted with.

    Parameters
    ----------
    name : str
        Short name used on sheets.
    label : str
        Name for reading.
    resolution_m : float
        Smallest step that is read [m], zero or more.
    permitted_error_m : float
        Half-width of its permitted error, taken as rectangular [m], zero or more.
    repeatability_m : float
        Standard deviation of one reading by one person on one part [m], zero or more; used when a reading was not repeated.

    Raises
    ------
    NotAllowedError
        A negative or non-finite figure.

    References
    ----------
    Definition; the default figures are assumptions of this project, from memory, to be replaced by the yard's own.
    """

    name: str
    label: str
    resolution_m: float
    permitted_error_m: float
    repeatability_m: float

    def __post_init__(self) -> None:
        for field in ("resolution_m", "permitted_error_m", "repeatability_m"):
            if not (math.isfinite(getattr(self, field)) and getattr(self, field) >= 0):
                raise NotAllowedError(
                    phrase("tool {name}, {field}", name=self.name, field=field),
                    getattr(self, field),
                    "a length of 0 or more",
                )


DEFAULT_TOOLS: dict[str, Tool] = {
    tool.name: tool
    for tool in (
        Tool("calliper", "calliper", 0.0001, 0.0001, 0.0003),
        Tool("outside_calliper", "outside calliper and rule", 0.0005, 0.0005, 0.0007),
        Tool("across_flats", "calliper across both flats", 0.0001, 0.0001, 0.0003),
        Tool("depth_gauge", "depth gauge", 0.0001, 0.0002, 0.0004),
        Tool("tape", "steel tape", 0.0005, 0.0005, 0.0007),
        Tool("rule", "steel rule", 0.0005, 0.0003, 0.0006),
        Tool("ultrasonic", "ultrasonic thickness gauge", 0.0001, 0.0002, 0.0003),
        Tool("dial_gauge", "dial gauge", 0.00001, 0.00002, 0.00005),
        Tool("unknown", "tool not noted", 0.001, 0.001, 0.001),
    )
}
"""Assumptions of this project, from memory; a machine file can override each."""
ACROSS_FLATS = "across_flats"
"""The tool that says how a turned bush was measured: one jaw on the new flat, one on the old flat opposite."""
ONE_FACE = frozenset({"depth_gauge", "rule", "ultrasonic", "dial_gauge"})
"""Tools that reach one face of a bush alone."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One quantity read at one place, with its repeats.

    Parameters
    ----------
    place : Place
        Where.
    measurand : Measurand
        What.
    repeats_m : tuple of float
        Each repeat as read [m], one or more, all finite; for a pitch the whole length over the joints.
    tool : Tool
        What it was read with.
    joints : int
        Joints the length spans, from 1; 1 for everything but pitches.
    typed : tuple of Typed
        The repeats as typed.
    kept_because : str
        Reason for keeping a reading that looked implausible; empty when nothing was said.
    extra_u_m : float
        Further standard uncertainty, such as mud or paint [m], zero or more.

    Raises
    ------
    NotAllowedError
        The part has no such measurand, there is no repeat or one is not a finite length of 0 or more, or the joint count is
        below 1.
    """

    place: Place
    measurand: Measurand
    repeats_m: tuple[float, ...]
    tool: Tool
    joints: int = 1
    typed: tuple[Typed, ...] = ()
    kept_because: str = ""
    extra_u_m: float = 0.0

    def __post_init__(self) -> None:
        words = MEASURANDS[self.measurand]
        if self.place.part not in words.parts:
            allowed = phrase("read on {parts:each_listed}", parts=words.parts)
            raise NotAllowedError(self._quantity, at(self.place), allowed)
        if not self.repeats_m:
            raise NotAllowedError(self._quantity, "nothing", "one reading or more")
        if self.joints < 1 or (self.joints > 1 and not words.spans_joints):
            raise NotAllowedError(
                "over joints",
                self.joints,
                "1 or more" if words.spans_joints else "empty or 1, for this quantity",
            )
        if not (math.isfinite(self.extra_u_m) and self.extra_u_m >= 0):
            raise NotAllowedError("extra doubt", self.extra_u_m, "a length of 0 or more")
        for repeat in self.repeats_m:
            if not (math.isfinite(repeat) and repeat >= 0):
                raise NotAllowedError(self._quantity, repeat, "a finite length of 0 or more")

    @property
    def _quantity(self) -> Phrase:
        return phrase("{quantity:quantity}", quantity=self.measurand)

    @property
    def value_m(self) -> float:
        """Mean of the repeats, for one joint where joints are spanned [m]."""
        return math.fsum(self.repeats_m) / len(self.repeats_m) / self.joints

    @property
    def figures(self) -> str:
        """What was read, as it was typed or in millimetres."""
        texts = [
            typed.text if typed.unit in typed.text.lower() else f"{typed.text} {typed.unit}"
            for typed in self.typed
        ]
        return ", ".join(texts or [show_length(repeat) for repeat in self.repeats_m])

    @property
    def words(self) -> str:
        """The same with the joints it was read over."""
        return f"{self.figures} over {self.joints} joints" if self.joints > 1 else self.figures


@dataclass(frozen=True, slots=True)
class WalkRound:
    """One visit to one machine.

    Parameters
    ----------
    date : datetime.date
        The day, in the years 1900 to 2199.
    service_h : float
        Service hours of the machine that day [h], 0 to 10,000,000; continuous across a change of the meter.
    readings : tuple of Reading
        What was read.
    findings : tuple of Finding
        What was seen.
    by : str
        Who went round, as typed.
    source : str
        Sheet or file it came from.
    looked_over : tuple of Place
        Places somebody looked at and saw nothing; those read, or on which something was seen, need not be in it.

    Raises
    ------
    NotAllowedError
        Hours or a day outside those ranges.
    """

    date: dt.date
    service_h: float
    readings: tuple[Reading, ...] = ()
    findings: tuple[Finding, ...] = ()
    by: str = ""
    source: str = ""
    looked_over: tuple[Place, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.service_h <= MOST_HOURS_H:
            raise NotAllowedError(
                "service hours",
                f"{as_figure(self.service_h, 'g')} h",
                phrase("0 to {most_hours_h} h", most_hours_h=as_figure(MOST_HOURS_H)),
            )
        if not FIRST_YEAR <= self.date.year <= LAST_YEAR:
            allowed = phrase(
                "a day in the years {first_year} to {last_year}", first_year=FIRST_YEAR, last_year=LAST_YEAR
            )
            raise NotAllowedError("date", self.date.isoformat(), allowed, "Check the year.")

    @property
    def looked_at(self) -> frozenset[Place]:
        """Every place somebody was at: read, looked over, or with something seen there that day."""
        read = (reading.place for reading in self.readings)
        seen = (finding.place for finding in self.findings if finding.last_seen_on is None)
        return frozenset((*read, *seen, *self.looked_over))
