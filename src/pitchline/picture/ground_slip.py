"""Pull left over weight against slip, with its range; several machines or shoes as lines."""

import numpy as np

from pitchline.ground.going import MOST_PULL
from pitchline.ground.sweeps import SlipCurve
from pitchline.picture.chart import Chart
from pitchline.picture.footnote import with_note
from pitchline.picture.heading import one_line
from pitchline.picture.ink import Board, Tone
from pitchline.picture.letters import width_px
from pitchline.picture.strip import LEAST_WIDTH, MOST_WIDTH
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.words import translated, worded

_LINES = ("line thick", "line dash thick", "new thick", "fine")
_WORKING = 0.2


def slip_svg(
    curves: tuple[tuple[str, SlipCurve], ...],
    title: str,
    width: int = 900,
    tone: Tone = Tone.SYSTEM,
    prefix: str = "slip",
    note: str = "",
) -> str:
    """Slip curves as an SVG drawing.

    Parameters
    ----------
    curves : tuple of (str, SlipCurve)
        One to four, each with its name; the first is drawn with its range.
    title : str
        Machine and ground, in words.
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
        No curve, or more than four.
    """
    if not 1 <= len(curves) <= len(_LINES):
        raise NotAllowedError("slip curves", len(curves), phrase("1 to {lines}", lines=len(_LINES)))
    board = Board(min(max(width, LEAST_WIDTH), MOST_WIDTH), prefix)
    one_line(board, title)
    board.text(16, 46, translated("Pull left over weight, %, by how much the tracks slip."), "s g")
    room = max(width_px(name, 12) for name, _ in curves) + 20
    lowest = min(float(np.nanmin(np.append(curve.pull[:, :3], 0.0))) for _, curve in curves)
    highest = max(float(np.nanmax(np.append(curve.pull[:, :3], 0.1))) for _, curve in curves)
    low, high = np.floor(lowest * 5) / 5, min(np.ceil(highest * 5) / 5, 1.0)
    chart = Chart(board, 56, 66, board.width - room - 16, 330, (0.0, 1.0), (low, high))
    marks = [(one, f"{100 * one:.0f} %") for one in (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)]
    chart.frame(marks, [(one, f"{100 * one:.0f}") for one in np.arange(low, high + 0.05, 0.2)])
    board.line(chart.x(_WORKING), chart.top, chart.x(_WORKING), chart.bottom, "new")
    board.text(chart.x(_WORKING) + 6, chart.top + 12, translated("where pull is told"), "s g o")
    if highest > MOST_PULL:
        board.line(chart.left, chart.y(MOST_PULL), chart.right, chart.y(MOST_PULL), "new")
        said = translated("above: the ground is not the limit")
        board.text(chart.right - 4, chart.y(MOST_PULL) + 14, said, "s g e o")
    first = curves[0][1]
    chart.band(first.slip, first.pull[:, 0], first.pull[:, 2])
    free = chart.top
    drawn = [(name, curve, kind) for (name, curve), kind in zip(curves, _LINES, strict=False)]
    for name, curve, kind in sorted(drawn, key=lambda one: -_last(one[1])):
        chart.curve(curve.slip, curve.pull[:, 1], kind)
        free = max(chart.y(_last(curve)) + 4, free + 16)
        board.text(chart.right + 8, free, name, "s")
    return board.svg(with_note(board, 366, note), title, _told(curves), tone)


def _last(curve: SlipCurve) -> float:
    known = curve.pull[np.isfinite(curve.pull[:, 1]), 1]
    return float(known[-1]) if known.size else 0.0


def _told(curves: tuple[tuple[str, SlipCurve], ...]) -> str:
    told = []
    for name, curve in curves:
        low, middle, high = (float(np.interp(_WORKING, curve.slip, curve.pull[:, end])) for end in range(3))
        said = (
            translated("no figure")
            if np.isnan(middle)
            else worded(
                "{middle} % ({low} to {high})",
                middle=f"{100 * middle:.0f}",
                low=f"{100 * low:.0f}",
                high=f"{100 * high:.0f}",
            )
        )
        if middle > MOST_PULL:
            said = worded(
                "more than {most_pull} %, where the ground is not the limit,", most_pull=f"{100 * MOST_PULL:.0f}"
            )
        told.append(worded("{name}: {said} of its weight at 20 % slip.", name=name, said=said))
    return " ".join(told)
