"""Left and right beside each other, and the one hours axis they share."""

import math
from dataclasses import dataclass
from statistics import median

from pitchline.judge.called import counted_due
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Side
from pitchline.verdict import HoursLeft, Judged, PartVerdict, Verdict

_NICE = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class PartRow:
    """One part of both sides; a part there is one of stands on the left.

    Parameters
    ----------
    part : PartKind
        The part.
    position : int
        Its number from the front, 0 where it has none.
    left, right : PartVerdict or None
        The call on each side.
    """

    part: PartKind
    position: int
    left: PartVerdict | None
    right: PartVerdict | None

    @property
    def both(self) -> tuple[PartVerdict, ...]:
        """Those there are."""
        return tuple(side for side in (self.left, self.right) if side is not None)


@dataclass(frozen=True, slots=True)
class ReadRow:
    """One quantity of one kind of part, read on both sides.

    Parameters
    ----------
    part : PartKind
        The kind of part.
    measurand : Measurand
        The quantity.
    left, right : tuple of Judged
        What was read on each side, in order of the positions; a part there is one of stands on the left.
    """

    part: PartKind
    measurand: Measurand
    left: tuple[Judged, ...]
    right: tuple[Judged, ...]

    @property
    def both(self) -> tuple[Judged, ...]:
        """Both sides, left first."""
        return (*self.left, *self.right)


def part_rows(verdict: Verdict) -> tuple[PartRow, ...]:
    """Every part of a verdict, left and right beside each other."""
    kept: dict[tuple[PartKind, int], dict[bool, PartVerdict]] = {}
    for part in verdict.parts:
        place = part.place
        kept.setdefault((place.part, place.position), {})[place.side is Side.RIGHT] = part
    return tuple(PartRow(*key, sides.get(False), sides.get(True)) for key, sides in kept.items())


def read_rows(verdict: Verdict) -> tuple[ReadRow, ...]:
    """Every quantity with a reading, left and right beside each other, numbered parts of one kind together."""
    kept: dict[tuple[PartKind, Measurand], tuple[list[Judged], list[Judged]]] = {}
    for judged in (judged for part in verdict.parts for judged in part.judged):
        if judged.reading is not None:
            sides = kept.setdefault((judged.place.part, judged.measurand), ([], []))
            sides[judged.place.side is Side.RIGHT].append(judged)
    return tuple(ReadRow(*key, tuple(left), tuple(right)) for key, (left, right) in kept.items())


@dataclass(frozen=True, slots=True)
class SpanBar:
    """An outlook as shares of the hours axis.

    Parameters
    ----------
    low, middle, high : float
        Cautious, middle and hopeful figure [1], 0 to 1.
    runs_on : bool
        The hopeful figure lies beyond the axis.
    off : bool
        The middle figure does too.
    """

    low: float
    middle: float
    high: float
    runs_on: bool
    off: bool


@dataclass(frozen=True, slots=True)
class HoursAxis:
    """The hours axis all parts of one machine share.

    Parameters
    ----------
    end_h : float
        Hours at its right end [h], above zero.
    step_h : float
        Hours between two marks [h].
    """

    end_h: float
    step_h: float

    @property
    def marks_h(self) -> tuple[float, ...]:
        """Hours at each mark, from 0 to the end [h]."""
        return tuple(self.step_h * n for n in range(round(self.end_h / self.step_h) + 1))

    def share(self, hours_h: float) -> float:
        """Where some hours lie.

        Parameters
        ----------
        hours_h : float
            Hours [h], zero or more.

        Returns
        -------
        float
            Share of the axis [1], 0 to 1; what lies beyond is 1.
        """
        return min(max(hours_h / self.end_h, 0.0), 1.0)

    def band(self, left: HoursLeft) -> SpanBar:
        """An outlook on this axis.

        Parameters
        ----------
        left : HoursLeft
            The outlook [h].
        """
        low, middle, high = (self.share(x) for x in (left.cautious, left.middle, left.hopeful))
        return SpanBar(low, middle, high, left.hopeful > self.end_h, left.middle > self.end_h)


def hours_axis(verdict: Verdict) -> HoursAxis:
    """One axis for every part: it ends where most bands end, and shows the booking window.

    Returns
    -------
    HoursAxis
        With two to five steps; its end is a whole number of steps.
    """
    due = [left for part in verdict.parts if (left := counted_due(part)) is not None]
    reach = 100.0
    if due:
        reach = min(max(left.hopeful for left in due), 2 * median(left.middle for left in due))
    reach = max(reach, 1.5 * (verdict.window_h or 0.0), 100.0)
    rough = reach / 4
    power = 10 ** math.floor(math.log10(rough))
    step = next(nice * power for nice in _NICE if nice * power >= rough * 0.999)
    return HoursAxis(step * math.ceil(reach / step), step)
