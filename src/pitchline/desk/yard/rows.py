"""A line of the yard's list with its span of hours, drawn as plain SVG numbers."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.desk.clock import today
from pitchline.desk.machine.models import Machine
from pitchline.desk.method import method_digest
from pitchline.papers import words
from pitchline.words import worded

WIDE = 200
_A_YEAR = dt.timedelta(days=365)
_STEPS_H = (500.0, 1000.0, 2000.0, 4000.0, 8000.0, 16000.0, 32000.0)


@dataclass(frozen=True, slots=True)
class YardLine:
    """One machine in the list.

    Parameters
    ----------
    machine : Machine
        Its row.
    low, middle, high : int or None
        Where band and upright stand, of 200; None without an outlook.
    runs_on : bool
        Whether the band runs past the end of the axis.
    is_past, is_by_another : bool
        Whether its figures are for a past day, or by an earlier method.
    """

    machine: Machine
    low: int | None = None
    middle: int | None = None
    high: int | None = None
    runs_on: bool = False
    is_past: bool = False
    is_by_another: bool = False

    @property
    def key(self) -> tuple[object, ...]:
        """Every value the line shows: what was read of the machine, and where its band stands."""
        read = (value for name, value in vars(self.machine).items() if name != "_state")
        return (*read, self.low, self.middle, self.high, self.is_past, self.is_by_another)

    @property
    def when(self) -> str:
        """When its next job is due, no closer than the machine's page says it: by the year where that may be over a year off."""
        due_on, on, middle_h = self.machine.due_on, self.machine.judged_for, self.machine.due_middle_h
        if due_on is None or on is None or not middle_h:
            return words.about_day(due_on)
        ahead = due_on - on
        spread_h = (self.machine.due_hopeful_h or 0.0) - (self.machine.due_cautious_h or 0.0)
        is_far = max(ahead, ahead * (spread_h / middle_h)) > _A_YEAR
        return worded("about {day}", day=str(due_on.year)) if is_far else words.about_day(due_on)

    @property
    def wide(self) -> int:
        """Width of the band, at least a hair."""
        return max((self.high or 0) - (self.low or 0), 2)


def lines_of(machines: Sequence[Machine]) -> tuple[list[YardLine], float]:
    """The lines of one page on one axis, and where that axis ends [h]."""
    middles = [one.due_middle_h for one in machines if one.due_middle_h is not None]
    highest = max(middles, default=0.0)
    end_h = next((step for step in _STEPS_H if highest <= step), _STEPS_H[-1])
    return [_line(one, end_h) for one in machines], end_h


def _line(machine: Machine, end_h: float) -> YardLine:
    on = machine.judged_for
    old = (on is not None and on < today(), on is not None and machine.judged_by != method_digest())
    figures = (machine.due_cautious_h, machine.due_middle_h, machine.due_hopeful_h)
    if any(figure is None for figure in figures):
        return YardLine(machine, is_past=old[0], is_by_another=old[1])
    low, middle, high = (round(WIDE * min((figure or 0.0) / end_h, 1.0)) for figure in figures)
    return YardLine(machine, low, middle, high, (figures[2] or 0.0) > end_h, *old)
