"""Part drawing: one part left and right side by side, as it was new, as it may be at the limit, and as it is today."""

from functools import partial

import numpy as np

from pitchline.judge.called import apart, counted_due
from pitchline.picture.heading import heading
from pitchline.picture.ink import SMALL_PX, TEXT_PX, Board, Tone, tone_of
from pitchline.picture.letters import shortened, width_px, wrapped
from pitchline.picture.part_words import (
    GAP,
    call_said,
    day_of,
    day_said,
    first_up,
    hours_said,
    invented,
    length_said,
    machine_said,
    part_name,
    range_said,
    sided,
    unbroken,
)
from pitchline.picture.sections import States, states_of
from pitchline.picture.worn import draw_key, draw_section, needed_tall
from pitchline.trade.calls import Call
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import MEASURANDS, Role
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Judged, PartVerdict, Verdict
from pitchline.words import say, translated, worded
from pitchline.words.called import limit_called
from pitchline.words.labels import label, plural, quantity
from pitchline.words.readings import reading_said

LEAST_WIDTH, MOST_WIDTH, BESIDE_FROM = 320, 2400, 640
_TALL, _BRIEF_TALL, _LINE = 230, 120, 18
_BRIEF_FROM = 380


def part_svg(
    verdict: Verdict,
    kind: PartKind,
    position: int = 0,
    width: int = 1000,
    units: UnitSystem = UnitSystem.METRIC,
    tone: Tone = Tone.SYSTEM,
    prefix: str = "part",
) -> str:
    """A part drawn as an SVG drawing.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    kind : PartKind
        The part.
    position : int
        Number of a roller or idler; 0 takes on each side the one due first.
    width : int
        Width [CSS pixels], 320 to 2400; from 640 on the sides stand beside each other.
    units : UnitSystem
        Metric or imperial.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    prefix : str
        Beginning of every id and class.

    Raises
    ------
    NotAllowedError
        This running gear has no such part.
    """
    board, height, told = part_board(verdict, kind, position, width, units, prefix)
    return board.svg(height, f"{machine_said(verdict)}: {plural(kind)}", told, tone)


def part_board(
    verdict: Verdict,
    kind: PartKind,
    position: int,
    width: int,
    units: UnitSystem,
    prefix: str,
    brief: bool = False,
) -> tuple[Board, float, str]:
    """The same before it becomes text: the board, its height, and the drawing told in words; brief as part of a paper."""
    parts = _chosen(verdict, kind, position)
    board = Board(min(max(width, LEAST_WIDTH), MOST_WIDTH), prefix)
    edge = 16 if board.width >= BESIDE_FROM else 10
    room = board.width - 2 * edge
    name = plural(kind) if brief else f"{plural(kind)}: {machine_said(verdict)}"
    down = heading(board, edge, first_up(name), "" if brief else f"{day_said(verdict)}. {invented(verdict)}")
    beside = board.width >= (_BRIEF_FROM if brief else BESIDE_FROM) and len(parts) > 1
    gap = 16 if brief else 32
    wide = (room - gap) / 2 if beside else room
    first = below = 64 + down
    drawn = _alike(parts, verdict.gear)
    most = _BRIEF_TALL if brief else _TALL
    high = max(
        (needed_tall(one, wide, most, partial(length_said, units=units)) for one in drawn if one), default=0.0
    )
    end = 0.0
    for number, (part, states) in enumerate(zip(parts, drawn, strict=True)):
        left = edge + (wide + gap) * number if beside else edge
        top = first if beside else below
        end = _panel(board, verdict, part, states, (left, top, wide, high), units, brief)
        below = max(below, end + 12) if beside else end + 24
    if brief:
        return board, below, _told(parts, verdict, units)
    shown = next((states for states in drawn if states is not None), None)
    height = draw_key(board, edge, below + 8, shown) if shown is not None else below + 8
    return board, height, _told(parts, verdict, units)


def _alike(parts: list[PartVerdict], gear: RunningGear) -> list[States | None]:
    """Both sides with their losses drawn as many times as large as each other, so that they can be compared."""
    drawn = [states_of(part, gear) for part in parts]
    most = min((states.times for states in drawn if states is not None), default=1)
    return [states_of(part, gear, most) for part in parts]


def _chosen(verdict: Verdict, kind: PartKind, position: int) -> list[PartVerdict]:
    """One part of each side that has any."""
    sides = {part.place.side for part in verdict.parts if part.place.part is kind} or {Side.NONE}
    return [part_first(verdict, kind, side, position) for side in Side if side in sides]


def part_first(verdict: Verdict, kind: PartKind, side: Side, position: int = 0) -> PartVerdict:
    """One part of one side: as numbered, or with number 0 the one due first.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    kind : PartKind
        The part.
    side : Side
        Left or right; none for the slew ring.
    position : int
        Its number, or 0.

    Raises
    ------
    NotAllowedError
        This running gear has no such part.
    """
    found = [part for part in verdict.parts if part.place.part is kind and part.place.side is side]
    found = [part for part in found if position in (0, part.place.position)]
    if not found:
        asked = f"{kind.value.replace('_', ' ')}{f' {position}' if position else ''}"
        raise NotAllowedError("part", asked, "a part of this running gear", "Choose another part or number.")
    return min(found, key=_first)


def _first(part: PartVerdict) -> tuple[int, float]:
    due = counted_due(part)
    return -part.call.rank, due.middle if due is not None else np.inf


def _panel(
    board: Board,
    verdict: Verdict,
    part: PartVerdict,
    states: States | None,
    place: tuple[float, float, float, float],
    units: UnitSystem,
    brief: bool,
) -> float:
    """One part: name and call, its section, its figures. Place: left, top, width, section's height. Returns where it ends."""
    left, top, wide, tall = place
    name = sided(part_name(part.place, verdict.gear), part.place.side)
    short = label(part.place.side) if part.place.side.value else name
    if brief and part.place.position and verdict.gear.count(part.place.part) > 1:
        short = f"{label(part.place.side)}{GAP}{part.place.position}"
    called = call_said(part)
    with board.group(part.place.key.replace("/", "-").replace("_", "-"), f"{name}: {called}"):
        board.line(left, top, left + wide, top, "line")
        y = top + 14 + _named(board, part.call, short if brief else name, called, (left, top + 22, wide))
        if states is not None:
            draw_section(board, states, (left, y, wide, tall), partial(length_said, units=units))
            y += tall
            larger = worded("Loss and limit drawn {times} times as large.", times=states.times)
            for line in wrapped(
                larger if states.times > 1 else translated("Drawn at true scale."), SMALL_PX, wide
            ):
                y += 16
                board.text(left, y, line, "s g")
        for line, kind in _brief_figures(part, units, wide) if brief else _figures(part, units, wide):
            y += (_LINE if not brief else 16) + (5 if kind == "b" else 0)
            board.text(left, y, line, kind)
    return y + 10


def _named(board: Board, call: Call, name: str, called: str, place: tuple[float, float, float]) -> float:
    """Name and call on one line, or the call under the name where there is no room. Returns how far down it went."""
    left, y, wide = place
    tone = f"e {tone_of(call)}".strip()
    board.swatch(left, y, call)
    board.text(left + 18, y, shortened(name, TEXT_PX, wide - 18), "b")
    if width_px(name, TEXT_PX) + width_px(called, TEXT_PX) + 30 <= wide:
        board.text(left + wide, y, called, tone)
        return 22
    lines = [called] if width_px(called, TEXT_PX) <= wide else called.split(" · ")
    for number, line in enumerate(lines, 1):
        board.text(left + wide, y + 19 * number, shortened(line, TEXT_PX, wide), tone)
    return 22 + 19 * len(lines)


def _figures(part: PartVerdict, units: UnitSystem, wide: float) -> list[tuple[str, str]]:
    """What was read, with what and when; new and limit; hours."""
    lines: list[tuple[str, str]] = []
    for judged in part.judged:
        if judged.value_m is None and judged.new_m is None:
            continue
        head = f"{quantity(judged.measurand)}: {_read(judged, units)}"
        first, *more = wrapped(head, TEXT_PX, wide)
        lines += [(first, "b"), *((line, "b ") for line in more)]
        for sentence in _sentences(judged, units, part.call is Call.UNJUDGED):
            lines += [(line, "s g") for line in wrapped(sentence, SMALL_PX, wide)]
    if not lines:
        lines = [(line, "s g") for line in wrapped(say(part.reason), SMALL_PX, wide)]
    return lines


def _brief_figures(part: PartVerdict, units: UnitSystem, wide: float) -> list[tuple[str, str]]:
    """Each quantity in a few words: read, limit, hours."""
    lines: list[tuple[str, str]] = []
    for judged in part.judged:
        if judged.value_m is None or judged.new_m is None:
            continue
        limit = (
            f"; {limit_called(judged)} {length_said(judged.limit_m, units)}" if judged.limit_m is not None else ""
        )
        said = f"{quantity(judged.measurand)} {_read(judged, units)}{limit}."
        left = judged.to_turn or judged.to_limit
        if left is not None:
            text = translated(" Turn: {hours}.") if judged.to_turn else translated(" Limit: {hours}.")
            said += text.format(hours=range_said(left))
        first, *more = wrapped(said, SMALL_PX, wide)
        lines += [(first, "s g"), *((line, "s g") for line in more)]
    return lines or [(line, "s g") for line in wrapped(say(part.reason), SMALL_PX, wide)]


def _read(judged: Judged, units: UnitSystem) -> str:
    if judged.value_m is None:
        return translated("not read")
    doubt = (
        f" ±{GAP}{length_said(judged.expanded_u_m, units, 1 if units is UnitSystem.METRIC else 2)}"
        if judged.expanded_u_m
        else ""
    )
    held = translated(", held back") if judged.status == "held back" else ""
    return f"{length_said(judged.value_m, units)}{doubt}{held}"


def _sentences(judged: Judged, units: UnitSystem, unread: bool) -> list[str]:
    """New and limit, what was read, hours; of what was not read the hours are by age alone, and said to be."""
    sentences = []
    unread = unread or judged.reading is None
    if judged.new_m is not None:
        limit = (
            f", {limit_called(judged)} {length_said(judged.limit_m, units)}"
            if judged.limit_m is not None
            else translated(", no limit entered")
        )
        used = (
            worded("; {judged} of life used", judged=_used(judged))
            if judged.life_used is not None and not unread
            else ""
        )
        sentences.append(
            worded("New {new}{limit}{used}.", new=length_said(judged.new_m, units), limit=limit, used=used)
        )
    if judged.reading is not None and judged.read_on is not None:
        sentences.append(
            worded(
                "Read {read_on} with {tool}: {reading}.",
                read_on=day_of(judged.read_on),
                tool=translated(judged.reading.tool.label),
                reading=unbroken(reading_said(judged.reading)),
            )
        )
    if unread:
        if judged.to_limit is not None:
            sentences.append(
                worded("By age alone, to the limit: about {middle}.", middle=hours_said(judged.to_limit.middle))
            )
        return sentences
    if judged.to_turn is not None:
        sentences.append(worded("To the turn: {to_turn}.", to_turn=range_said(judged.to_turn)))
    if judged.to_limit is not None:
        ruler = (
            worded("; at the rate so far {ruler}", ruler=hours_said(judged.ruler_h))
            if judged.ruler_h is not None
            else ""
        )
        sentences.append(
            worded("To the limit: {to_limit}{ruler}.", to_limit=range_said(judged.to_limit), ruler=ruler)
        )
    if judged.either_way is not None:
        both = judged.either_way
        sentences.append(
            worded(
                "Measure again: if it is right, about {if_right}; if misread, about {if_misread}.",
                if_right=hours_said(both.if_right_h),
                if_misread=hours_said(both.if_misread_h),
            )
        )
    if MEASURANDS[judged.measurand].role is Role.SETTING and judged.value_m is not None and not sentences:
        sentences.append(translated("A setting: it is adjusted, not worn."))
    return sentences


def _used(judged: Judged) -> str:
    """Life used as judged, and as read where that is another figure."""
    figure = f"{round(100 * (judged.life_used or 0.0))}{GAP}%"
    if not apart(judged):
        return figure
    return worded(
        "{life_used_read}{gap}% as read, {figure} as judged",
        life_used_read=round(100 * (judged.life_used_read or 0.0)),
        gap=GAP,
        figure=figure,
    )


def _told(parts: list[PartVerdict], verdict: Verdict, units: UnitSystem) -> str:
    """The drawing in sentences, for those who cannot see it."""
    told = []
    for part in parts:
        unread = part.call is Call.UNJUDGED
        read = [
            f"{quantity(judged.measurand)} {_read(judged, units)}. {' '.join(_sentences(judged, units, unread))}"
            for judged in part.judged
            if judged.value_m is not None
        ]
        name = sided(part_name(part.place, verdict.gear), part.place.side)
        told.append(f"{name}: {call_said(part)}. {' '.join(read)}")
    return " ".join(told)
