"""Scales to read for practice: a calliper, a depth gauge, a steel rule and a tape, each set to a size, cut to what matters."""

from collections.abc import Callable

import numpy as np

from pitchline.picture.ink import Board, Tone, points
from pitchline.trade.writing import as_figure
from pitchline.words import in_english, translated

SCALES: dict[str, str] = {
    "calliper": in_english("Calliper, its scales from near"),
    "depth_gauge": in_english("Depth gauge, its scales from near"),
    "rule": in_english("Steel rule held at a part, from near"),
    "tape": in_english("Steel tape along a chain, from near"),
}
"""Each scale that is drawn, and what its drawing is called."""
SLIDING = frozenset(("calliper", "depth_gauge"))
"""Those with a second scale beside the first, ten lines over nine millimetres: each is good for a tenth."""
TALL = 190.0
_TOP, _LONG, _MIDDLE, _SHORT = 92.0, 34.0, 26.0, 18.0
_EDGE = 14.0


def scale_svg(
    scale: str, size_mm: float, width: int, prefix: str, marked: bool = False, tone: Tone = Tone.SYSTEM
) -> str:
    """A scale set to a size.

    Parameters
    ----------
    scale : str
        One of `SCALES`.
    size_mm : float
        What it is set to [mm]: a tenth, or half a millimetre on rule and tape.
    width : int
        Width [CSS pixels].
    prefix : str
        Beginning of every id and class.
    marked : bool
        Whether the lines that are read are marked.
    tone : Tone
        Light, dark, or what the reader's system prefers.

    References
    ----------
    A second scale of n lines over n - 1 of the first tells an nth part: ISO 13385-1 (number from memory).
    """
    board = Board(width, prefix)
    px_per_mm = 15.5
    shown_mm = (width - 2 * _EDGE) / px_per_mm
    slides = scale in SLIDING
    first = float(np.floor(size_mm - (0.28 if slides else 0.5) * shown_mm))

    def x(mm: float) -> float:
        return _EDGE + (mm - first) * px_per_mm

    last = first + np.floor(shown_mm)
    board.box(_EDGE - 8, _TOP - 58, width - 2 * _EDGE + 16, 58, "solid")
    for step in np.arange(first, last + 0.25, 1.0 if slides else 0.5):
        whole, ten, five = step % 1 == 0, step % 10 == 0, step % 5 == 0
        long = _LONG if ten else _MIDDLE if five else _SHORT if whole else 0.6 * _SHORT
        board.line(x(step), _TOP, x(step), _TOP - long, "line" if whole else "fine")
        if five:
            board.text(x(step), _TOP - long - 6, as_figure(step, ".0f"), "m b" if ten else "s m")
    board.text(width - _EDGE, _TOP - 64, translated("mm"), "s g e")
    if slides:
        _second(board, x, size_mm)
    else:
        _pointed_at(board, x, size_mm, scale)
    if marked:
        _marks(board, x, size_mm, slides)
    return board.svg(TALL, translated(SCALES[scale]), translated("Read it from the lines."), tone, bare=True)


def _second(board: Board, x: Callable[[float], float], size_mm: float) -> None:
    """The sliding scale: its nought at the size, ten lines over nine millimetres."""
    left, right = x(size_mm) - 10, x(size_mm + 9) + 10
    board.path(points([left, right, right, left], [_TOP, _TOP, _TOP + 54, _TOP + 54]), "fan")
    for line in range(11):
        at = x(size_mm + 0.9 * line)
        long = _LONG if line % 10 == 0 else _MIDDLE if line == 5 else _SHORT
        board.line(at, _TOP, at, _TOP + long, "line")
        if line % 5 == 0:
            board.text(at, _TOP + long + 15, str(line), "s m")


def _pointed_at(board: Board, x: Callable[[float], float], size_mm: float, scale: str) -> None:
    """What is read against a rule: the part's edge, or the last bush's edge on a tape."""
    at = x(size_mm)
    if scale == "rule":
        board.path(points([_EDGE - 8, at, at, _EDGE - 8], [_TOP + 4, _TOP + 4, _TOP + 60, _TOP + 60]), "fan")
    else:
        board.circle(at + 30, _TOP + 38, 30, "fan")
        board.circle(at + 30, _TOP + 38, 17, "solid")
        board.line(at, _TOP + 4, at, _TOP + 38, "fine dash")


def _marks(board: Board, x: Callable[[float], float], size_mm: float, slides: bool) -> None:
    """A small wedge at each line that is read."""
    tenth = round(10 * (size_mm - np.floor(size_mm + 1e-9)))
    spots = [(x(np.floor(size_mm + 1e-9)), _TOP - 58, 1)] if slides else [(x(size_mm), _TOP - 58, 1)]
    if slides:
        spots.append((x(size_mm + 0.9 * tenth), _TOP + 62, -1))
    for at, y, way in spots:
        board.path(points([at - 6, at + 6, at], [y - 10 * way, y - 10 * way, y]), "full")
