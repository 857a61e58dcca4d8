"""Wear record of one quantity of one part: readings with their doubt over the hours, the limit, and the fan to come."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pitchline.picture.heading import heading
from pitchline.picture.ink import SMALL_PX, Board, Box, Tone, points, px
from pitchline.picture.letters import width_px, wrapped
from pitchline.picture.part_words import (
    call_said,
    day_of,
    day_said,
    first_up,
    invented,
    length_said,
    machine_said,
    part_name,
    range_said,
    sided,
)
from pitchline.shape.numbers import Floats
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.ground import GroundSpan
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import Place
from pitchline.trade.units import INCH_M, UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.verdict import HoursLeft, Judged, PartVerdict, Verdict
from pitchline.wear.doubt import reading_doubt
from pitchline.words import say, translated, worded
from pitchline.words.called import limit_called
from pitchline.words.labels import label, quantity

LEAST_WIDTH, MOST_WIDTH = 320, 2400
_TALL, _BRIEF_TALL, _TOP = 300, 190, 78
_STEPS = (1, 2, 5)


@dataclass(frozen=True, slots=True)
class _Point:
    """One reading: hours, day, size and doubt."""

    hours_h: float
    day: dt.date
    size_m: float
    half_m: float
    held: bool


@dataclass(frozen=True, slots=True)
class _Axes:
    """From hours and sizes to places; the larger size is above, so a pitch grows and a rail wears down."""

    left: float
    right: float
    top: float
    bottom: float
    first_h: float
    last_h: float
    high_m: float
    low_m: float

    def x(self, hours_h: float) -> float:
        share = (hours_h - self.first_h) / (self.last_h - self.first_h)
        return self.left + min(max(share, 0.0), 1.0) * (self.right - self.left)

    def y(self, size_m: float) -> float:
        share = (self.high_m - size_m) / (self.high_m - self.low_m)
        return self.top + min(max(share, 0.0), 1.0) * (self.bottom - self.top)


def record_svg(
    verdict: Verdict,
    place: Place,
    measurand: Measurand,
    spans: Sequence[GroundSpan] = (),
    width: int = 900,
    units: UnitSystem = UnitSystem.METRIC,
    tone: Tone = Tone.SYSTEM,
    prefix: str = "record",
) -> str:
    """The wear record of one quantity as an SVG drawing.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    place : Place
        The part.
    measurand : Measurand
        What is read on it.
    spans : sequence of GroundSpan
        Ground worked on so far, along the hours; none leaves it out.
    width : int
        Width [CSS pixels], 320 to 2400.
    units : UnitSystem
        Metric or imperial.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    prefix : str
        Beginning of every id and class.

    Raises
    ------
    NotAllowedError
        This running gear has no such part, or nothing of the kind is read on it.

    References
    ----------
    Our own drawing. Readings carry their 95 % range (JCGM 100:2008), the path and the fan 8 in 10.
    """
    board, height, told = record_board(verdict, place, measurand, spans, width, units, prefix)
    title = f"{machine_said(verdict)}: {quantity(measurand)}, {label(place)}"
    return board.svg(height, title, told, tone)


def record_board(
    verdict: Verdict,
    place: Place,
    measurand: Measurand,
    spans: Sequence[GroundSpan],
    width: int,
    units: UnitSystem,
    prefix: str,
    brief: bool = False,
) -> tuple[Board, float, str]:
    """The same before it becomes text: the board, its height, and the drawing told in words; brief as part of a paper."""
    part = next((one for one in verdict.parts if one.place == place), None)
    judged = next((one for one in part.judged if one.measurand is measurand), None) if part is not None else None
    if part is None or judged is None:
        raise NotAllowedError(
            "part and quantity", f"{label(place)}, {measurand.value}", "one that this machine has"
        )
    board = Board(min(max(width, LEAST_WIDTH), MOST_WIDTH), prefix)
    return _Record(board, verdict, part, judged, spans, units, brief).draw()


class _Record:
    """One record on its board."""

    def __init__(
        self,
        board: Board,
        verdict: Verdict,
        part: PartVerdict,
        judged: Judged,
        spans: Sequence[GroundSpan],
        units: UnitSystem,
        brief: bool,
    ) -> None:
        self.board, self.verdict, self.part, self.judged = board, verdict, part, judged
        self.spans, self.units = spans, units
        self.edge = 16 if board.width >= 640 else 10
        self.points = self._readings()
        self.brief = brief
        self.top = _TOP + self._head()
        self.tall = _BRIEF_TALL if brief else _TALL

    def draw(self) -> tuple[Board, float, str]:
        if self.judged.new_m is None and not self.points:
            self.board.text(self.edge, self.top + 20, translated("Nothing read and no size entered."))
            return self.board, self.top + 44.0, self.told()
        axes = self._axes()
        self._grid(axes)
        self._ground(axes)
        self._course(axes)
        self._lines(axes)
        self._marks(axes)
        y = axes.bottom + (66 if self.judged.to_turn is None else 86)
        for sentence in self._brief() if self.brief else self._sentences():
            for line in wrapped(sentence, SMALL_PX, self.board.width - 2 * self.edge):
                self.board.text(self.edge, y, line, "s g")
                y += 16
        return self.board, y + 2, self.told()

    def _head(self) -> float:
        label = quantity(self.judged.measurand)
        place = self.part.place
        name = f"{sided(part_name(place, self.verdict.gear), place.side)}: {label}"
        said = f"{machine_said(self.verdict)}; {day_said(self.verdict)}. {invented(self.verdict)}"
        return heading(self.board, self.edge, first_up(name), "" if self.brief else said)

    def _readings(self) -> list[_Point]:
        held = {(suspicion.date, suspicion.reading) for suspicion in self.verdict.suspicions if suspicion.held}
        points = []
        for visit in self.verdict.walk_rounds:
            for reading in visit.readings:
                if reading.place == self.part.place and reading.measurand is self.judged.measurand:
                    half = reading_doubt(reading).expanded_u_m
                    points.append(
                        _Point(visit.service_h, visit.date, reading.value_m, half, (visit.date, reading) in held)
                    )
        return points

    def _axes(self) -> _Axes:
        now = self.verdict.from_service_h
        left = [one.hopeful for one in (self.judged.to_limit, self.judged.to_turn) if one]
        first = min([point.hours_h for point in self.points] + [now])
        reach = max(left, default=0.0)
        past = self.judged.course.past if self.judged.course is not None else ()
        first = min([first, *(one.service_h for one in past)])
        first = max(0.0, first - 0.12 * (now - first + 0.4 * reach) - 1.0)
        ahead = reach * 1.06 if left else 0.15 * max(now - first, 100.0)
        sizes = [size for size in (self.judged.new_m, self.judged.limit_m) if size is not None]
        sizes += [point.size_m + way * point.half_m for point in self.points if not point.held for way in (-1, 1)]
        sizes += [size for one in past for size in (one.best_m, one.worst_m)]
        new = self.judged.new_m if self.judged.new_m is not None else sizes[0]
        room = 0.06 * (max(sizes) - min(sizes)) or 0.1 * abs(new) or 0.001
        at_limit = 1.7 * room  # its word may stand on the far side of its line
        falls = MEASURANDS[self.judged.measurand].direction.value == "falls"
        high = max(sizes) + (room if falls else at_limit)
        low = min(sizes) - (at_limit if falls else room)
        ticks = [
            *self._ticks_said(low, high),
            *([translated("turn")] if self.judged.to_turn is not None else []),
        ]
        margin = self.edge + 8 + max(width_px(said, SMALL_PX) for said in ticks)
        return _Axes(
            margin,
            self.board.width - self.edge - 4,
            self.top,
            self.top + self.tall,
            first,
            now + max(ahead, 50.0),
            high,
            low,
        )

    def _unit(self) -> tuple[float, str, int]:
        return (INCH_M, "in", 2) if self.units is UnitSystem.IMPERIAL else (1e-3, "mm", 1)

    def _ticks(self, low_m: float, high_m: float) -> list[float]:
        unit, _, _ = self._unit()
        low, high = low_m / unit, high_m / unit
        step = _round_step((high - low) / 5)
        first = -(-low // step) * step
        return [(first + number * step) * unit for number in range(int((high - first) / step) + 1)]

    def _ticks_said(self, low_m: float, high_m: float) -> list[str]:
        unit, _, _ = self._unit()
        ticks = self._ticks(low_m, high_m)
        step = abs(ticks[1] - ticks[0]) / unit if len(ticks) > 1 else 1.0
        digits = 0 if step >= 1 else 1 if step >= 0.1 else 2 if step >= 0.01 else 3
        return [as_figure(tick / unit, f".{digits}f") for tick in ticks] or ["0"]

    def _grid(self, axes: _Axes) -> None:
        board = self.board
        board.text(self.edge, axes.top - 10, self._unit()[1], "s g")
        for tick, said in zip(
            self._ticks(axes.low_m, axes.high_m), self._ticks_said(axes.low_m, axes.high_m), strict=True
        ):
            y = axes.y(tick)
            board.line(axes.left, y, axes.right, y, "hair")
            board.text(axes.left - 8, y + 4, said, "s e g")
        board.line(axes.left, axes.bottom, axes.right, axes.bottom, "line")
        step = _round_step((axes.last_h - axes.first_h) / max(2.0, (axes.right - axes.left) / 84))
        hours = -(-axes.first_h // step) * step
        while hours <= axes.last_h:
            x = axes.x(hours)
            said = as_figure(hours)
            half = width_px(said, SMALL_PX) / 2
            if axes.left - 6 <= x - half and x + half <= axes.right + 4:
                board.line(x, axes.bottom, x, axes.bottom + 5, "line")
                board.text(x, axes.bottom + 19, said, "s m g")
            hours += step
        board.text(axes.right, axes.bottom + 42, translated("service hours"), "s e g")

    def _ground(self, axes: _Axes) -> None:
        """Ground worked on, as a strip of words under the axis; only where the words fit."""
        now = self.verdict.from_service_h
        for span in self.spans:
            x1, x2 = axes.x(span.from_h), axes.x(min(span.to_h, now))
            if x2 <= x1:
                continue
            self.board.line(x1, axes.bottom + 28, x2, axes.bottom + 28, "line thick")
            said = worded("{ground} ground", ground=label(span.ground))
            half = width_px(said, SMALL_PX) / 2
            if 2 * half < x2 - x1 and (x1 + x2) / 2 + half < axes.right - 100:
                self.board.text((x1 + x2) / 2, axes.bottom + 42, said, "s m g")

    def _course(self, axes: _Axes) -> None:
        """The way so far with its range, and on to the hours at which the limit is reached, along the wear line."""
        course = self.judged.course
        if course is None:
            return
        past, left = course.past, self.judged.to_limit
        if len(past) > 1:
            with self.board.group("past", translated("So far, 8 in 10, by all readings together")):
                best = [(one.service_h, one.best_m) for one in past]
                worst = [(one.service_h, one.worst_m) for one in past]
                self.board.path(f"{_way(axes, [*best, *reversed(worst)])}Z", "fan")
                self.board.path(_way(axes, [(one.service_h, one.middle_m) for one in past]), "line thick")
        if left is None or left.hopeful <= 0:
            return
        with self.board.group("fan", worded("8 in 10: limit reached in {left}", left=range_said(left))):
            self.board.path(f"{_way(axes, [*course.hopeful, *reversed(course.cautious)])}Z", "fan")
            self.board.path(_way(axes, course.middle), "line thick")
            for edge in (course.cautious, course.middle, course.hopeful):
                x, end = axes.x(edge[-1][0]), axes.y(edge[-1][1])
                self.board.line(x, end - 5, x, end + 5, "line")

    def _lines(self, axes: _Axes) -> None:
        """New, turn and limit, each with its word; and today's upright."""
        judged, board = self.judged, self.board
        lines: list[tuple[float, str, str]] = []
        if judged.new_m is not None:
            lines.append((judged.new_m, worded("new {new}", new=length_said(judged.new_m, self.units)), "new"))
        if judged.limit_m is not None:
            lines.append(
                (judged.limit_m, f"{limit_called(judged)} {length_said(judged.limit_m, self.units)}", "limit")
            )
        if judged.course is not None and judged.course.turn_m is not None:
            lines.append(
                (
                    judged.course.turn_m,
                    worded("turn {turn}", turn=length_said(judged.course.turn_m, self.units)),
                    "turn",
                )
            )
        x = axes.x(self.verdict.from_service_h)
        for size, _, kind in lines:
            board.line(axes.left, axes.y(size), axes.right, axes.y(size), kind)
        board.line(x, axes.top - 4, x, axes.bottom, "fine")
        ways = self._ways(axes)
        for size, said, kind in lines:
            self._line_said(axes, axes.y(size), said, ways, first_left=kind == "limit")
        board.text(min(max(x, axes.left + 30), axes.right - 20), axes.top - 10, translated("today"), "s m g")
        if judged.to_turn is not None:
            self._turn(axes, judged.to_turn)

    def _line_said(self, axes: _Axes, y: float, said: str, ways: Floats, first_left: bool) -> None:
        """The word of a line over or under it, at the end where no reading, path or other word stands in the way."""
        wide = width_px(said, SMALL_PX)
        ends = (axes.left + 6, axes.right - 6 - wide)
        spots = [(x, at) for at in (y - 5, y + 14) for x in (ends if first_left else ends[::-1])]
        blocked = self._blocked(axes)

        def is_clear(place: Box) -> bool:
            return not any(place.meets(other) for other in blocked) and not _runs_through(ways, place)

        clear = (spot for spot in spots if is_clear(Box(spot[0], spot[1] - 11, spot[0] + wide, spot[1] + 4, said)))
        x, at = next(clear, spots[0])
        self.board.text(x, at, said, "s o")

    def _blocked(self, axes: _Axes) -> list[Box]:
        """Where readings, today's upright, the path so far and words stand."""
        today = axes.x(self.verdict.from_service_h)
        boxes = [Box(today - 2, axes.top, today + 2, axes.bottom, ""), *self.board.texts]
        for point in self.points:
            x, ys = axes.x(point.hours_h), [axes.y(point.size_m + way * point.half_m) for way in (-1, 1)]
            boxes.append(Box(x - 6, min(ys), x + 6, max(ys), ""))
        course = self.judged.course
        for band in course.past if course is not None else ():
            ys = [axes.y(band.best_m), axes.y(band.worst_m)]
            x = axes.x(band.service_h)
            boxes.append(Box(x - 1, min(ys), x + 1, max(ys), ""))
        return boxes

    def _ways(self, axes: _Axes) -> Floats:
        """Spots along the paths to come, shape (2, n): x and y."""
        course, steps = self.judged.course, np.linspace(0, 1, 33)
        edges = (course.cautious, course.middle, course.hopeful) if course is not None else ()
        pairs = np.array([pair for edge in edges for pair in pairwise(edge)]).reshape(-1, 2, 2, 1)
        hours_h, sizes_m = (pairs[:, 0] + steps * (pairs[:, 1] - pairs[:, 0])).transpose(1, 0, 2).reshape(2, -1)
        across = np.clip((hours_h - axes.first_h) / (axes.last_h - axes.first_h), 0, 1)
        down = np.clip((axes.high_m - sizes_m) / (axes.high_m - axes.low_m), 0, 1)
        x = axes.left + across * (axes.right - axes.left)
        return np.array([x, axes.top + down * (axes.bottom - axes.top)])

    def _turn(self, axes: _Axes, left: HoursLeft) -> None:
        """Hours to the turn as a bar under the axis: cautious to hopeful, the middle as an upright."""
        now, y = self.verdict.from_service_h, axes.bottom + 58
        xs = [axes.x(now + hours) for hours in (left.cautious, left.middle, left.hopeful)]
        self.board.line(xs[0], y, xs[2], y, "line thick")
        self.board.line(xs[1], y - 6, xs[1], y + 6, "line thick")
        self.board.text(axes.left - 8, y + 4, translated("turn"), "s e")
        self.board.line(axes.left, y, xs[0], y, "hair")

    def _marks(self, axes: _Axes) -> None:
        """Readings with their 95 % range; a hollow diamond for one that is held back."""
        for number, point in enumerate(self.points, 1):
            x, y = axes.x(point.hours_h), axes.y(point.size_m)
            half = length_said(point.half_m, self.units, self._unit()[2])
            said = f"{day_of(point.day)}, {as_figure(point.hours_h)} h: {length_said(point.size_m, self.units)} ± {half}"
            with self.board.group(f"reading-{number}", said + (translated(", held back") if point.held else "")):
                y1, y2 = axes.y(point.size_m - point.half_m), axes.y(point.size_m + point.half_m)
                self.board.line(x, y1, x, y2, "line")
                self.board.line(x - 4, y1, x + 4, y1, "line")
                self.board.line(x - 4, y2, x + 4, y2, "line")
                if point.held:
                    d = f"M{px(x - 5)} {px(y)}L{px(x)} {px(y - 5)}L{px(x + 5)} {px(y)}L{px(x)} {px(y + 5)}Z"
                    self.board.path(d, "solid")
                else:
                    self.board.circle(x, y, 3.2, "full")

    def _sentences(self, with_key: bool = True) -> list[str]:
        judged = self.judged
        told = [f"{first_up(call_said(self.part))}. {say(self.part.reason)}"]
        if judged.to_turn is not None:
            told.append(worded("To the turn: {to_turn}.", to_turn=range_said(judged.to_turn)))
        if judged.to_limit is not None:
            told.append(worded("To the limit: {to_limit}.", to_limit=range_said(judged.to_limit)))
        if with_key:
            told.append(
                translated(
                    "Uprights: readings with their 95 % range. Grey: 8 in 10 by all readings together, so far and on to the "
                    "limit."
                )
            )
        if self.spans:
            spans = (
                worded(
                    "{ground} from {from_told} to {to} h",
                    ground=label(span.ground),
                    from_told=as_figure(span.from_h),
                    to=as_figure(span.to_h),
                )
                for span in self.spans
            )
            told.append(worded("Ground entered for part of the hours: {spans}.", spans=", ".join(spans)))
        if any(point.held for point in self.points):
            told.append(
                translated("Hollow diamond: a reading held back; at the edge where it lies outside the drawing.")
            )
        return told

    def _brief(self) -> list[str]:
        turn, limit = self.judged.to_turn, self.judged.to_limit
        told = [worded("To the turn: {to_turn}.", to_turn=range_said(turn))] if turn is not None else []
        told += [worded("To the limit: {to_limit}.", to_limit=range_said(limit))] if limit is not None else []
        return [*told, translated("Uprights: readings, 95 %. Grey: 8 in 10.")]

    def told(self) -> str:
        """The record in sentences, for those who cannot see it."""
        read = "; ".join(
            worded(
                "{day} at {hours} h {size}",
                day=day_of(point.day),
                hours=as_figure(point.hours_h),
                size=length_said(point.size_m, self.units),
            )
            for point in self.points
        )
        told = " ".join(self._sentences(with_key=False))
        return worded("Readings: {read}. {told}", read=read or translated("none"), told=told)


def _way(axes: _Axes, spots: Sequence[tuple[float, float]]) -> str:
    """A path through hours and sizes."""
    return points([axes.x(hours) for hours, _ in spots], [axes.y(size) for _, size in spots], closed=False)


def _runs_through(ways: Floats, place: Box) -> bool:
    """Whether a path comes within a pixel of words."""
    x, y = ways
    inside = (x > place.left - 1) & (x < place.right + 1) & (y > place.top - 1) & (y < place.bottom + 1)
    return bool(inside.any())


def _round_step(least: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that is no less."""
    power = 10.0**-12
    while 10 * power <= least:
        power *= 10
    power = float(f"{power:.0e}")
    return next((one * power for one in _STEPS if one * power >= least * (1 - 1e-9)), 10 * power)
