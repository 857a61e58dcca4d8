"""Plan strip: hours along, stops as uprights, jobs as marks per part, the range of each limit as shading."""

from dataclasses import dataclass

from pitchline.picture.heading import heading
from pitchline.picture.ink import SMALL_PX, TEXT_PX, Board, Tone
from pitchline.picture.letters import shortened, width_px, wrapped
from pitchline.picture.part_words import first_up, hours_said
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.verdict import HoursLeft
from pitchline.words import in_english, translated, worded

LEAST_WIDTH, MOST_WIDTH = 320, 2400
_ROW, _TOP, _BAR = 40, 104, 26
_KEY = in_english(
    "Uprights: lay-ups; squares: jobs at them. Grey: due (turn or limit), cautious to hopeful hours, the bar the middle."
)


@dataclass(frozen=True, slots=True)
class StripStop:
    """One stop of a plan.

    Parameters
    ----------
    hours : float
        Hours from now [h], zero or more.
    says : str
        A word on it, such as its day or price; may be empty.
    """

    hours: float
    says: str = ""


@dataclass(frozen=True, slots=True)
class StripRow:
    """One part of a plan.

    Parameters
    ----------
    name : str
        Its name.
    due : HoursLeft or None
        Hours to its limit.
    jobs : tuple of (int, str)
        Stops, by number from 0, at which something is done to it, and what.
    """

    name: str
    due: HoursLeft | None
    jobs: tuple[tuple[int, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Strip:
    """A plan to be drawn.

    Parameters
    ----------
    title : str
        What it is the plan of.
    last_h : float
        Hours at the right end [h], above zero.
    stops : tuple of StripStop
        Stops in the order of their hours.
    rows : tuple of StripRow
        Parts.
    """

    title: str
    last_h: float
    stops: tuple[StripStop, ...]
    rows: tuple[StripRow, ...]


def strip_svg(strip: Strip, width: int = 1000, tone: Tone = Tone.SYSTEM, prefix: str = "strip") -> str:
    """A plan as an SVG drawing.

    Parameters
    ----------
    strip : Strip
        The plan.
    width : int
        Width [CSS pixels], 320 to 2400.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    prefix : str
        Beginning of every id and class.

    Raises
    ------
    NotAllowedError
        No hours, or a job at a stop that is not there.
    """
    board, height, told = strip_board(strip, width, prefix)
    return board.svg(height, strip.title, told, tone)


def strip_board(strip: Strip, width: int, prefix: str) -> tuple[Board, float, str]:
    """The same before it becomes text: the board, its height, and the drawing told in words."""
    if not strip.last_h > 0:
        raise NotAllowedError("hours of the plan", strip.last_h, "above 0")
    for row in strip.rows:
        for stop, _ in row.jobs:
            if not 0 <= stop < len(strip.stops):
                raise NotAllowedError("lay-up", stop, phrase("0 to {stops}", stops=len(strip.stops) - 1))
    board = Board(min(max(width, LEAST_WIDTH), MOST_WIDTH), prefix)
    edge = 16 if board.width >= 640 else 10
    names = min(max([width_px(row.name, TEXT_PX) for row in strip.rows], default=0.0), 0.34 * board.width)
    left, right = edge + names + 14, board.width - edge - 6
    top = _TOP + heading(board, edge, strip.title, translated(_KEY))
    bottom = top + _ROW * len(strip.rows)
    xs = [left + min(stop.hours / strip.last_h, 1.0) * (right - left) for stop in strip.stops]
    for number, row in enumerate(strip.rows):
        _row(board, strip, row, top + _ROW * number, edge, left, right)
    _stops(board, strip, xs, left, right, (top, bottom))
    for number, row in enumerate(strip.rows):
        y = top + _ROW * number + _BAR
        for stop, what in row.jobs:
            with board.group(
                f"job-{number + 1}-{stop + 1}",
                worded("{row}: {what} at lay-up {stop}", row=row.name, what=what, stop=stop + 1),
            ):
                board.box(xs[stop] - 5, y - 5, 10, 10, "full")
                nexts = [xs[other] for other, _ in row.jobs if xs[other] > xs[stop] + 5]
                if xs[stop] + 5 + width_px(what, SMALL_PX) <= min(nexts, default=right + 6):
                    board.text(xs[stop] + 5, y - 12, what, "s o")
    _scale(board, strip, left, right, bottom)
    return board, bottom + 46, _told(strip)


def _row(board: Board, strip: Strip, row: StripRow, top: float, edge: float, left: float, right: float) -> None:
    middle, room = top + _BAR, left - edge - 10
    board.line(edge, top, right, top, "hair")
    first, *more = wrapped(row.name, TEXT_PX, room)
    board.text(edge, top + (17 if more else 25), first)
    if more:
        board.text(edge, top + 34, shortened(" ".join(more), TEXT_PX, room))
    if row.due is None:
        return
    cautious, usual, hopeful = (
        left + min(hours / strip.last_h, 1.0) * (right - left)
        for hours in (row.due.cautious, row.due.middle, row.due.hopeful)
    )
    if row.due.cautious < strip.last_h:
        board.box(cautious, middle - 7, max(hopeful - cautious, 1.5), 14, "fan")
    if row.due.middle < strip.last_h:
        board.line(usual, middle - 9, usual, middle + 9, "line thick")


def _stops(
    board: Board, strip: Strip, xs: list[float], left: float, right: float, rows: tuple[float, float]
) -> None:
    """Uprights with numbers; a word beside the number where it fits."""
    free = left
    for number, (stop, x) in enumerate(zip(strip.stops, xs, strict=True), 1):
        board.line(x, rows[0] - 3, x, rows[1], "line strong")
        for said in (
            worded("lay-up {number}: {says}", number=number, says=stop.says)
            if stop.says
            else worded("lay-up {number}", number=number),
            str(number),
        ):
            wide = width_px(said, SMALL_PX)
            start = min(max(x - wide / 2, free), right + 6 - wide)
            if start >= free:
                board.text(start, rows[0] - 18, said, "s b")
                board.line(min(max(x, start + 4), start + wide - 4), rows[0] - 13, x, rows[0] - 3, "fine")
                free = start + wide + 10
                break


def _scale(board: Board, strip: Strip, left: float, right: float, bottom: float) -> None:
    board.line(left, bottom, right, bottom, "line")
    for share in (0.0, 0.5, 1.0):
        x = left + share * (right - left)
        said = translated("now") if share == 0 else hours_said(share * strip.last_h)
        half = width_px(said, SMALL_PX) / 2
        board.line(x, bottom, x, bottom + 5, "line")
        board.text(min(max(x, left + half), right + 6 - half), bottom + 20, said, "s m g")


def _told(strip: Strip) -> str:
    told = [
        worded(
            "Lay-up {number} in {hours}. {says}", number=number, hours=hours_said(stop.hours), says=stop.says
        ).strip()
        for number, stop in enumerate(strip.stops, 1)
    ]
    for row in strip.rows:
        jobs = ", ".join(worded("{what} at lay-up {stop}", what=what, stop=stop + 1) for stop, what in row.jobs)
        due = (
            worded("due, turn or limit, in about {middle}", middle=hours_said(row.due.middle))
            if row.due is not None
            else translated("no figure")
        )
        told.append(f"{first_up(row.name)}: {due}{f'; {jobs}' if jobs else ''}.")
    return " ".join(told)
