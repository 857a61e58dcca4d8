"""Yard strip: one row a machine, what falls due first at the top, every part a mark along the hours to come."""

from collections.abc import Sequence

from pitchline.judge.called import counted_due, next_hours, stakes_of
from pitchline.picture.heading import heading
from pitchline.picture.ink import SMALL_PX, TEXT_PX, Board, Tone, hatch_of, tone_of
from pitchline.picture.letters import shortened, width_px, wrapped
from pitchline.picture.part_words import day_of, first_up, hours_said, part_name, state_said
from pitchline.trade.calls import Call
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.verdict import PartVerdict, Verdict
from pitchline.words import in_english, translated, worded
from pitchline.words.called import looked_said, part_called
from pitchline.words.labels import label

LEAST_WIDTH, MOST_WIDTH, BESIDE_FROM = 320, 2400, 760
_LINE, _TOP = 17, 68
_KEY = in_english(
    "Grey: first work due, 8 in 10. Boxes: middle hours of a part; plain is run, hatched one way book, both ways stop."
)
_BOXES = {Call.RUN: (5, 10), Call.BOOK: (9, 18), Call.STOP: (13, 13)}
"""Width and height of a part's box by its call [CSS pixels]."""


def yard_svg(
    verdicts: Sequence[Verdict],
    width: int = 1200,
    units: UnitSystem = UnitSystem.METRIC,
    tone: Tone = Tone.SYSTEM,
    prefix: str = "yard",
) -> str:
    """A whole yard as an SVG drawing.

    Parameters
    ----------
    verdicts : sequence of Verdict
        One for each machine, at least one.
    width : int
        Width [CSS pixels], 320 to 2400.
    units : UnitSystem
        Metric or imperial; hours are the same in both.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    prefix : str
        Beginning of every id and class.

    Raises
    ------
    NotAllowedError
        No machine.
    """
    del units
    board, height, told = yard_board(verdicts, width, prefix)
    return board.svg(
        height, worded("Yard: {verdicts} machines by what falls due first", verdicts=len(verdicts)), told, tone
    )


def yard_board(verdicts: Sequence[Verdict], width: int, prefix: str) -> tuple[Board, float, str]:
    """The same before it becomes text: the board, its height, and the drawing told in words."""
    if not verdicts:
        raise NotAllowedError("machines", "none", "one or more", "Judge one first.")
    board = Board(min(max(width, LEAST_WIDTH), MOST_WIDTH), prefix)
    rows = due_first(verdicts)
    edge = 16 if board.width >= 640 else 10
    beside = board.width >= BESIDE_FROM
    many = (
        translated("1 machine")
        if len(rows) == 1
        else worded("{rows} machines, what falls due first on top", rows=len(rows))
    )
    top = _TOP + heading(
        board, edge, worded("Yard: {many}", many=many), f"{_judged_for(verdicts)} {translated(_KEY)}"
    )
    left = edge + (min(max(0.34 * board.width, 300.0), 440.0) if beside else 0.0)
    right = board.width - edge - 8
    last = _last_h(rows)
    room = (left if beside else right) - edge - 34
    said = [_words(verdict, room) for verdict in rows]
    ends = [top]
    for names, firsts in said:
        ends.append(ends[-1] + 10 + _LINE * (len(names) + len(firsts)) + (0 if beside else 24))
    bottom = ends[-1]
    _scale(board, edge, left, right, last, (top, bottom))
    for number, verdict in enumerate(rows):
        place = (ends[number], ends[number + 1])
        _machine_row(board, verdict, number, said[number], edge, left, right, last, place, beside)
    return board, bottom + 46, " ".join(f"{_row_told(verdict)}." for verdict in rows)


def _judged_for(verdicts: Sequence[Verdict]) -> str:
    """The day all are judged for, or the first and the last."""
    days = sorted({verdict.as_of for verdict in verdicts})
    if days[0] == days[-1]:
        return worded("Judged for {day}.", day=day_of(days[0]))
    return worded("Judged for {first} to {last}.", first=day_of(days[0]), last=day_of(days[-1]))


def due_first(verdicts: Sequence[Verdict]) -> list[Verdict]:
    """Machines in the order of the rows: by call, then by what falls due first; row n has the id "machine-n"."""
    return sorted(verdicts, key=_order)


def _order(verdict: Verdict) -> tuple[int, float, str]:
    hours = next_hours(verdict)
    return -verdict.call.rank, hours[1] if hours is not None else float("inf"), verdict.machine.name


def _last_h(rows: Sequence[Verdict]) -> float:
    """Hours at the right end: where nine in ten of the machines' first jobs are due, at least 1,000."""
    firsts = sorted(hours[2] for verdict in rows if (hours := next_hours(verdict)) is not None)
    wanted = firsts[int(0.9 * (len(firsts) - 1))] if firsts else 0.0
    return next((step for step in (1000.0, 2000.0, 3000.0, 5000.0, 8000.0) if step >= 1.3 * wanted), 10_000.0)


def _scale(board: Board, edge: float, left: float, right: float, last: float, rows: tuple[float, float]) -> None:
    """Hours along, in round steps."""
    top, bottom = rows
    parts = 3 if last == 3000 else 5 if last in (5000, 10_000) else 4
    for share in (number / parts for number in range(parts + 1)):
        x = left + share * (right - left)
        board.line(x, top, x, bottom, "hair")
        said = translated("now") if share == 0 else as_figure(share * last)
        half = width_px(said, SMALL_PX) / 2
        board.text(min(max(x, edge + half), right + 8 - half), bottom + 16, said, "s m g")
    board.text(right + 8, bottom + 34, translated("hours left; beyond the right end: more"), "s e g")


def _machine_row(
    board: Board,
    verdict: Verdict,
    number: int,
    said: tuple[list[str], list[str]],
    edge: float,
    left: float,
    right: float,
    last: float,
    place: tuple[float, float],
    beside: bool,
) -> None:
    top, bottom = place
    with board.group(f"machine-{number + 1}", _row_told(verdict)):
        board.line(edge, top, right + 8, top, "hair")
        board.swatch(edge, top + 19, verdict.call)
        tone = f"s {tone_of(verdict.call)}".strip()
        lines = [(line, "") for line in said[0]] + [(line, tone) for line in said[1]]
        for at, (line, kind) in enumerate(lines):
            board.text(edge + 18, top + 18 + _LINE * at, line, kind)
        middle = (top + bottom) / 2 if beside else bottom - 14
        board.line(left, middle, right, middle, "fine")
        first = next_hours(verdict)
        if first is not None and first[2] > 0:
            x1, x2 = (left + min(hours / last, 1) * (right - left) for hours in (first[0], first[2]))
            board.box(x1, middle - 7, max(x2 - x1, 1.5), 14, "fan")
        for part in sorted(verdict.parts, key=lambda part: part.call.rank):
            _mark(board, part, left, right, last, middle)


def _words(verdict: Verdict, room: float) -> tuple[list[str], list[str]]:
    """Name and what falls due first, each in at most two lines."""
    names, firsts = (
        [*lines[:1], *([shortened(" ".join(lines[1:]), size, room)] if lines[1:] else [])]
        for lines, size in (
            (wrapped(verdict.machine.name, TEXT_PX, room), TEXT_PX),
            (wrapped(f"{_first_said(verdict)}{_looked(verdict)}", SMALL_PX, room), SMALL_PX),
        )
    )
    return names, firsts


def _mark(board: Board, part: PartVerdict, left: float, right: float, last: float, middle: float) -> None:
    """A small box with the hatch of its call; nothing for what nobody read."""
    due = counted_due(part)
    hours = 0.0 if part.call is Call.STOP else due.middle if due is not None else None
    if hours is None or hours > last or part.call not in _BOXES:
        return
    wide, tall = _BOXES[part.call]
    x = left + hours / last * (right - left)
    board.box(x - wide / 2, middle - tall / 2, wide, tall, hatch_of(part.call))


def _first_said(verdict: Verdict) -> str:
    worst = [part for part in verdict.parts if part.call is verdict.call]
    if verdict.call is Call.UNJUDGED or not worst:
        return label(verdict.call)
    unknown = 0.0 if verdict.call.asks else float("inf")
    stakes = stakes_of(verdict)
    gravest = [part for part in worst if stakes and part.stake is stakes[0]] or worst
    first = min(gravest, key=lambda part: part.due.middle if part.due is not None else unknown)
    others = worded(", {worst} more", worst=len(worst) - 1) if len(worst) > 1 and verdict.call.asks else ""
    side = f" {label(first.place.side)}" if first.place.side.value else ""
    state = state_said(first)
    told = f"{part_name(first.place, verdict.gear)}{side}{f', {state}' if state else ''}{others}"
    return f"{part_called(first, brief=True)} · {told}"


def _row_told(verdict: Verdict) -> str:
    hours = next_hours(verdict)
    due = (
        worded("; first due in about {hours}", hours=hours_said(hours[1]))
        if hours is not None and hours[1] > 0
        else ""
    )
    return f"{verdict.machine.name}: {first_up(_first_said(verdict))}{_looked(verdict)}{due}"


def _looked(verdict: Verdict) -> str:
    """How much was looked at, where that was not all of it."""
    known = verdict.looked_at
    return f"; {looked_said(known)}" if known is not None and known[0] < known[1] else ""
