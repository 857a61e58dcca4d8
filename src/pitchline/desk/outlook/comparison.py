"""What moves: every part before and after, put together for the page; no figure is computed here."""

from dataclasses import dataclass

from pitchline.desk.machine.pages import BAND_WIDE
from pitchline.judge.called import counted_due
from pitchline.papers import words
from pitchline.papers.names import hours_cell, place_said
from pitchline.papers.rows import HoursAxis, hours_axis
from pitchline.papers.story import Headline, boxes
from pitchline.trade.calls import Call
from pitchline.verdict import HoursLeft, PartVerdict, Verdict
from pitchline.words import counted, say, translated
from pitchline.words.called import part_called
from pitchline.words.labels import label


@dataclass(frozen=True, slots=True)
class HoursBand:
    """Three figures as a bar.

    Parameters
    ----------
    low, middle, wide : int
        Where it begins, its upright, its width, of 300.
    """

    low: int
    middle: int
    wide: int


@dataclass(frozen=True, slots=True)
class Side:
    """A part before, or after.

    Parameters
    ----------
    call, called, said, range, days : str
        Its call, the same with what it is about, its middle hours or what stands in their place, the range in words, the days
        in words.
    figures : tuple of str
        Cautious, middle and hopeful; none without an outlook.
    band : HoursBand or None
        The same as a bar.
    """

    call: str
    called: str
    said: str
    range: str
    days: str
    figures: tuple[str, ...]
    band: HoursBand | None


@dataclass(frozen=True, slots=True)
class MovedPart:
    """A part before and after."""

    key: str
    name: str
    before: Side
    after: Side
    call_moves: bool

    @property
    def tells(self) -> bool:
        """Whether there is a figure or a call to show."""
        asks = Call(self.before.call).asks or Call(self.after.call).asks
        return bool(self.before.figures or self.after.figures) or asks


@dataclass(frozen=True, slots=True)
class MovedPage:
    """The whole machine before and after.

    Parameters
    ----------
    parts : tuple of MovedPart
        Those with hours left or a call to run no more, most pressing after first.
    still : str
        The others in words: looked at by eye, or only set.
    axis : HoursAxis
        The hours axis both share.
    boxes : tuple of (Headline, Headline)
        Headline figures before and after.
    said : str
        How many calls move.
    headline : str
        The verdict as it would be, in one sentence.
    remarks : tuple of str
        What to know about the figures as they would be.
    """

    parts: tuple[MovedPart, ...]
    still: str
    axis: HoursAxis
    boxes: tuple[tuple[Headline, Headline], ...]
    said: str
    headline: str
    remarks: tuple[str, ...]


def moved_page(before: Verdict, after: Verdict) -> MovedPage:
    """Two verdicts of one machine beside each other."""
    axis = max(hours_axis(before), hours_axis(after), key=lambda one: one.end_h)
    pairs = sorted(zip(before.parts, after.parts, strict=True), key=lambda pair: _urgency(pair[1]))
    parts = tuple(
        MovedPart(
            old.place.key,
            place_said(old.place, after.gear),
            _side(old, axis),
            _side(new, axis),
            old.call is not new.call,
        )
        for old, new in pairs
    )
    calls = sum(part.call_moves for part in parts)
    hours = sum(part.before.figures != part.after.figures for part in parts)
    told_calls = counted("{n} call of {all} moves", "{n} calls of {all} move", calls)
    told_hours = counted("hours move on {n} part", "hours move on {n} parts", hours)
    none = translated("no")
    said = f"{told_calls.format(n=calls or none, all=len(parts))}; {told_hours.format(n=hours or none)}."
    headlines = tuple(zip(boxes(before), boxes(after), strict=True))
    told = tuple(part for part in parts if part.tells)
    still = "; ".join(part.name for part in parts if not part.tells)
    return MovedPage(
        told, still, axis, headlines, said, say(after.headline), tuple(say(one) for one in after.remarks)
    )


def _urgency(part: PartVerdict) -> tuple[int, float]:
    due = counted_due(part)
    return -part.call.rank, due.middle if due is not None else float("inf")


def _side(part: PartVerdict, axis: HoursAxis) -> Side:
    due, called = counted_due(part), part_called(part, brief=not part.assumed_limit)
    if part.call is Call.STOP:
        return Side(part.call.value, called, translated("now"), "", translated("before it works again"), (), None)
    if due is None:
        said = label(part.findings[0].kind) if part.findings and part.call.rank else hours_cell(part)
        return Side(part.call.value, called, said, "", "", (), None)
    days = words.dates_said(part.dates)
    figures = tuple(words.hours(hours) for hours in (due.cautious, due.middle, due.hopeful))
    return Side(part.call.value, called, figures[1], words.range_said(due), days, figures, _band(due, axis))


def _band(due: HoursLeft, axis: HoursAxis) -> HoursBand:
    band = axis.band(due)
    low, middle, high = (round(BAND_WIDE * share) for share in (band.low, band.middle, band.high))
    return HoursBand(low, min(middle, BAND_WIDE - 3), max(high - low, 2))
