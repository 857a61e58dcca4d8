"""Scales to read for practice: a calliper, a depth gauge, a steel rule and a tape, each set to a size, cut to what matters."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pitchline.picture.ink import Board, Tone, points
from pitchline.trade.units import INCH_M, UnitSystem
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


@dataclass(frozen=True, slots=True)
class Ruling:
    """How a scale is ruled.

    Parameters
    ----------
    unit : str
        Its unit.
    step : float
        From one line to the next [mm].
    longest, middle : int
        Lines from one longest to the next, and from one that is at least longer to the next.
    told : int
        Lines from one figure to the next.
    digits : int
        Decimals of a figure.
    lines : int
        Of the sliding scale, over one step fewer; 0 where none slides.
    halves : bool
        Whether half steps have lines too.
    before : float
        Share of the drawing that lies before what is read.
    px : float
        Pixels of a step.
    """

    unit: str
    step: float
    longest: int
    middle: int
    told: int
    digits: int = 0
    lines: int = 0
    halves: bool = False
    before: float = 0.5
    px: float = 15.5

    def figure(self, line: int) -> str:
        """What stands at a line."""
        of_unit = line * self.step / (INCH_M * 1000 if self.unit == "in" else 1.0)
        return as_figure(of_unit, f".{self.digits}f")


_INCH_MM = INCH_M * 1000
_MM, _IN = in_english("mm"), in_english("in")
SLIDES_MM, RULED_MM = Ruling(_MM, 1, 10, 5, 5, 0, 10, False, 0.28), Ruling(_MM, 1, 10, 5, 5, halves=True)
SLIDES_IN = Ruling(_IN, 0.025 * _INCH_MM, 40, 4, 4, 1, 25, False, 0.08, 12.0)
RULED_IN = Ruling(_IN, _INCH_MM / 16, 16, 4, 16)
"""Millimetres with tenths beside; inches in fortieths with thousandths beside, or in sixteenths: common practice, no source."""


def ruling_of(scale: str, units: UnitSystem) -> Ruling:
    """How a scale is ruled for somebody.

    Parameters
    ----------
    scale : str
        One of `SCALES`.
    units : UnitSystem
        Metric or imperial.
    """
    inches = units is UnitSystem.IMPERIAL
    if scale in SLIDING:
        return SLIDES_IN if inches else SLIDES_MM
    return RULED_IN if inches else RULED_MM


def scale_svg(
    scale: str,
    size_mm: float,
    width: int,
    prefix: str,
    marked: bool = False,
    tone: Tone = Tone.SYSTEM,
    units: UnitSystem = UnitSystem.METRIC,
) -> str:
    """A scale set to a size.

    Parameters
    ----------
    scale : str
        One of `SCALES`.
    size_mm : float
        What it is set to [mm]: a tenth, or half a millimetre on rule and tape; in inches a thousandth, or a sixteenth.
    width : int
        Width [CSS pixels].
    prefix : str
        Beginning of every id and class.
    marked : bool
        Whether the lines that are read are marked.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    units : UnitSystem
        Whether it is ruled in millimetres or inches.

    References
    ----------
    A second scale of n lines over n - 1 of the first tells an nth part: ISO 13385-1 (number from memory).
    """
    board, ruled = Board(width, prefix), ruling_of(scale, units)
    size = size_mm / ruled.step
    shown = (width - 2 * _EDGE) / ruled.px
    first = float(np.floor(size - ruled.before * shown))

    def x(steps: float) -> float:
        return _EDGE + (steps - first) * ruled.px

    last = first + np.floor(shown)
    board.box(_EDGE - 8, _TOP - 58, width - 2 * _EDGE + 16, 58, "solid")
    for line in np.arange(first, last + 0.25, 0.5 if ruled.halves else 1.0):
        whole, ten, five = line % 1 == 0, line % ruled.longest == 0, line % ruled.middle == 0
        long = _LONG if ten else _MIDDLE if five else _SHORT if whole else 0.6 * _SHORT
        board.line(x(line), _TOP, x(line), _TOP - long, "line" if whole else "fine")
        if line % ruled.told == 0 and _EDGE + 6 < x(line) < width - _EDGE - 6:
            board.text(x(line), _TOP - long - 6, ruled.figure(int(line)), "m b" if ten else "s m")
    board.text(width - _EDGE, _TOP - 64, translated(ruled.unit), "s g e")
    if ruled.lines:
        _second(board, x, size, ruled.lines)
    else:
        _pointed_at(board, x, size, scale)
    if marked:
        _marks(board, x, size, ruled.lines)
    return board.svg(TALL, translated(SCALES[scale]), translated("Read it from the lines."), tone, bare=True)


def _second(board: Board, x: Callable[[float], float], size: float, lines: int) -> None:
    """The sliding scale: its nought at the size, n lines over n - 1 steps."""
    apart = (lines - 1) / lines
    left, right = x(size) - 10, x(size + lines - 1) + 10
    board.path(points([left, right, right, left], [_TOP, _TOP, _TOP + 54, _TOP + 54]), "fan")
    for line in range(lines + 1):
        at = x(size + apart * line)
        long = _LONG if line in (0, lines) else _MIDDLE if line % 5 == 0 else _SHORT
        board.line(at, _TOP, at, _TOP + long, "line")
        if line % 5 == 0:
            board.text(at, _TOP + long + 15, str(line), "s m")


def _pointed_at(board: Board, x: Callable[[float], float], size: float, scale: str) -> None:
    """What is read against a rule: the part's edge, or the last bush's edge on a tape."""
    at = x(size)
    if scale == "rule":
        board.path(points([_EDGE - 8, at, at, _EDGE - 8], [_TOP + 4, _TOP + 4, _TOP + 60, _TOP + 60]), "fan")
    else:
        board.circle(at + 30, _TOP + 38, 30, "fan")
        board.circle(at + 30, _TOP + 38, 17, "solid")
        board.line(at, _TOP + 4, at, _TOP + 38, "fine dash")


def _marks(board: Board, x: Callable[[float], float], size: float, lines: int) -> None:
    """A small wedge at each line that is read."""
    whole = np.floor(size + 1e-6)
    spots = [(x(whole if lines else size), _TOP - 58, 1)]
    if lines:
        part = round(lines * (size - whole))
        spots.append((x(size + (lines - 1) / lines * part), _TOP + 62, -1))
    for at, y, way in spots:
        board.path(points([at - 6, at + 6, at], [y - 10 * way, y - 10 * way, y]), "full")
