"""Going by ground as a strip: a word and a line for each, and the spare pull as a range."""

from collections.abc import Sequence

from pitchline.ground.going import Going
from pitchline.ground.outcomes import Outcome
from pitchline.picture.chart import Chart
from pitchline.picture.footnote import with_note
from pitchline.picture.ground_told import ToldGround
from pitchline.picture.heading import one_line
from pitchline.picture.ink import SMALL_PX, TEXT_PX, Board, Tone
from pitchline.picture.letters import shortened, width_px, wrapped
from pitchline.picture.strip import LEAST_WIDTH, MOST_WIDTH
from pitchline.trade.errors import NotAllowedError
from pitchline.words import label, say, translated

_ROW, _TOP = 26, 74
_BESIDE = 560
"""From this width the bar stands beside the words, else below them [CSS pixels]."""
_LINES = {
    Going.SUITS: "line",
    Going.UNCERTAIN: "line dash thick",
    Going.DOES_NOT: "line heavy",
    Going.UNKNOWN: "fine dots",
}
"""The line before each answer: by weight and dash, as hatches are for calls."""


def going_svg(
    fits: Sequence[ToldGround],
    title: str,
    width: int = 900,
    tone: Tone = Tone.SYSTEM,
    prefix: str = "going",
    note: str = "",
) -> str:
    """Going on several grounds as an SVG drawing.

    Parameters
    ----------
    fits : sequence of ToldGround
        One or more, of one machine.
    title : str
        The machine, in words.
    width : int
        Width [CSS pixels], 320 to 2400.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    prefix : str
        Beginning of every id and class.
    note : str
        What stands below the drawing, such as what it rests on; empty for nothing.

    Raises
    ------
    NotAllowedError
        No fit.
    """
    if not fits:
        raise NotAllowedError("grounds", "none", "at least one ground")
    board = Board(min(max(width, LEAST_WIDTH), MOST_WIDTH), prefix)
    one_line(board, title)
    said = translated(
        "Bars: spare pull, share of weight, at 20 % slip, 1 in 10 to 9 in 10 of the cases; line: the middle."
    )
    lines = wrapped(said, SMALL_PX, board.width - 32)
    for number, line in enumerate(lines):
        board.text(16, 46 + 16 * number, line, "s g")
    start = _TOP + 16.0 * (len(lines) - 1)
    beside = board.width >= _BESIDE
    names = min(max(width_px(translated(fit.name), TEXT_PX) for fit in fits), 0.3 * board.width)
    words = max(width_px(label(going), TEXT_PX) for going in Going) + 36
    tall = _ROW if beside else 2 * _ROW
    bottom = start + tall * len(fits)
    left = 16 + names + words + 24 if beside else 16
    chart = Chart(board, left, start, board.width - 26, bottom, (0.0, 0.9), (0.0, 1.0))
    for number, fit in enumerate(fits):
        top = start + tall * number
        board.line(16, top, chart.right, top, "hair")
        _words(board, fit, top + _ROW / 2, names if beside else board.width - 32 - words - 14)
        _bar(board, chart, fit, top + tall - _ROW / 2)
    chart.frame([(one, f"{100 * one:.0f} %") for one in (0.0, 0.2, 0.4, 0.6, 0.8)], [])
    return board.svg(with_note(board, bottom + 34, note), title, _told(fits), tone)


def _words(board: Board, fit: ToldGround, middle: float, names: float) -> None:
    """The ground, and what is said of it behind its line."""
    board.text(16, middle + 5, shortened(translated(fit.name), TEXT_PX, names))
    at = 16 + names + 14
    board.line(at, middle, at + 22, middle, _LINES[fit.going])
    board.text(at + 28, middle + 5, label(fit.going), "b" if fit.going is Going.DOES_NOT else "")


def _bar(board: Board, chart: Chart, fit: ToldGround, middle: float) -> None:
    """The spare pull as a range, or why there is none."""
    pull = fit.figure(Outcome.PULL)
    if pull.low is None or pull.middle is None or pull.high is None:
        board.text(chart.left, middle + 4, shortened(say(pull.reason), SMALL_PX, chart.right - chart.left), "s g")
        return
    low, half, high = (
        chart.x(max(one, 0.0)) for one in (pull.low, pull.middle, pull.high)
    )  # none left is drawn as 0
    board.box(low, middle - 6, max(high - low, 2.0), 12, "fan")
    board.line(half, middle - 9, half, middle + 9, "line thick")


def _told(fits: Sequence[ToldGround]) -> str:
    return " ".join(f"{translated(fit.name)}: {label(fit.going)}. {say(fit.because)}" for fit in fits)
