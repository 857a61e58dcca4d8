"""Small pictures of what is measured: a part in outline, a dimension line from where to where, and what it is called."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from pitchline.picture.ink import SMALL_PX, Board, Tone, points
from pitchline.picture.letters import wrapped
from pitchline.picture.sketches import DRAWN, OF_ONE, Sketch, Spot
from pitchline.shape.numbers import Floats
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.writing import way_in_force
from pitchline.words import translated

WIDE, TALL = 160.0, 92.0
"""Paper of one picture, without its label [CSS pixels]."""
_EDGE, _LINE = 5.0, 14.0
_INSIDE_PX = 20.0
"""A shorter dimension has its arrows outside, pointing at each other."""


@dataclass(frozen=True, slots=True)
class Measured:
    """One small picture.

    Parameters
    ----------
    label : str
        What is measured.
    told : str
        The same in words: from where to where.
    height : float
        Of the drawing [CSS pixels]; its width is `WIDE`.
    ends : tuple of Spot
        The two places that are measured between, in pitches of the chain drawn.
    outlines : tuple of ndarray, each shape (n, 2)
        What is drawn, in the same measure.
    board : Board
        What it is drawn on.
    """

    label: str
    told: str
    height: float
    ends: tuple[Spot, Spot]
    outlines: tuple[Floats, ...]
    board: Board

    def svg(self, tone: Tone = Tone.SYSTEM) -> str:
        """The drawing by itself."""
        return self.board.svg(self.height, self.label, self.told, tone)


def measured(measurand: Measurand, of_one: bool = False) -> Measured:
    """The small picture of what is measured.

    Parameters
    ----------
    measurand : Measurand
        The quantity.
    of_one : bool
        A size of one joint, as limits are entered, where a reading spans several.

    Returns
    -------
    Measured
        In the language in force.
    """
    return _measured(measurand, of_one and MEASURANDS[measurand].spans_joints, way_in_force().language)


@lru_cache(maxsize=256)
def _measured(measurand: Measurand, of_one: bool, language: str) -> Measured:
    """By language too, as the words differ."""
    draw, told = DRAWN[measurand]
    words, sketch = MEASURANDS[measurand], Sketch()
    draw(sketch, of_one)
    label = translated(words.of_one if of_one else words.asked)
    board = Board(WIDE, f"measured-{measurand.value.replace('_', '-')}{'-one' if of_one else ''}")
    _put(board, sketch)
    y = TALL
    for line in wrapped(label, SMALL_PX, WIDE - 2):
        y += _LINE
        board.text(WIDE / 2, y, line, "s m")
    outlines = tuple(shape for shape, _, _ in sketch.shapes)
    return Measured(label, translated(OF_ONE[measurand] if of_one else told), y + 5, sketch.ends, outlines, board)


def _put(board: Board, sketch: Sketch) -> None:
    """The sketch as large as the paper allows, its dimension over it."""
    ends = np.array(sketch.ends)
    dimension = ends + sketch.away
    everything = np.vstack([*(shape for shape, _, _ in sketch.shapes), dimension])
    low, high = everything.min(axis=0), everything.max(axis=0)
    above = 13.0 if sketch.counted else 4.0
    scale = float(np.min((np.array([WIDE, TALL]) - (2 * _EDGE, above + 4)) / (high - low)))
    middle, centre = (low + high) / 2, np.array([WIDE / 2, (TALL + above - 4) / 2])

    def on_paper(spots: Floats) -> Floats:
        return np.asarray((spots - middle) * (scale, -scale) + centre, dtype=np.float64)

    for shape, kind, closed in sketch.shapes:
        board.path(_through(on_paper(shape), closed), kind)
    (one, other), (first, last) = on_paper(ends), on_paper(dimension)
    if any(sketch.away):
        for at, line in ((one, first), (other, last)):
            board.path(_through(np.array([at, line + 3 * (line - at) / np.hypot(*(line - at))]), False), "fine")
    _dimension(board, first, last)
    for number in range(sketch.counted):
        x, y = first + (last - first) * (number + 0.5) / sketch.counted
        board.text(float(x), float(y) - 4, str(number + 1), "s m")


def _through(spots: Floats, closed: bool = True) -> str:
    return points(spots[:, 0], spots[:, 1], closed)


def _dimension(board: Board, one: Floats, other: Floats) -> None:
    """A dimension line in any direction, on paper of its own; arrows from outside where it is short."""
    long = float(np.hypot(*(other - one)))
    along = (other - one) / long
    way, reach = (1, 0.0) if long >= _INSIDE_PX else (-1, 17.0)
    ends = _through(np.array([one - along * reach, other + along * reach]), False)
    for kind in ("halo", "line"):
        board.path(ends, kind)
    for at, into in ((one, along * way), (other, -along * way)):
        side = np.array([-into[1], into[0]]) * 2.6
        board.path(_through(np.array([at, at + into * 8 + side, at + into * 8 - side])), "full")
