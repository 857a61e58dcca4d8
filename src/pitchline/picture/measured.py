"""Small pictures of what is measured: a part in outline, and a dimension line from where to where.

What it is called stands beside it: a picture has no words, so that every language shares one file.
"""

from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np

from pitchline.picture.ink import Board, Tone, points
from pitchline.picture.sketches import DRAWN, OF_ONE, Sketch, Spot
from pitchline.shape.numbers import Floats
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.words import names, translated

WIDE, TALL = 160.0, 92.0
"""Paper of one picture [CSS pixels]."""
_EDGE = 5.0
_UNSEEN_PX = 0.15
"""A corner that lies no further off the straight is left out."""
_INSIDE_PX = 20.0
"""A shorter dimension has its arrows outside, pointing at each other."""


@dataclass(frozen=True, slots=True)
class Measured:
    """One small picture.

    Parameters
    ----------
    english : tuple of (str, str)
        What is measured, and from where to where.
    ends : tuple of Spot
        The two places that are measured between, in pitches of the chain drawn.
    outlines : tuple of ndarray, each shape (n, 2)
        What is drawn, in the same measure.
    board : Board
        What it is drawn on.
    """

    english: tuple[str, str]
    ends: tuple[Spot, Spot]
    outlines: tuple[Floats, ...]
    board: Board

    @property
    def label(self) -> str:
        """What is measured."""
        return translated(self.english[0])

    @property
    def told(self) -> str:
        """From where to where, for those who cannot see it."""
        return translated(self.english[1])

    def svg(self, tone: Tone = Tone.SYSTEM) -> str:
        """The drawing by itself, its title in English: a page tells it in its own language."""
        return self.board.svg(TALL, *self.english, tone, bare=True)


@cache
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
        The picture.
    """
    words, (draw, told), sketch = MEASURANDS[measurand], DRAWN[measurand], Sketch()
    one = of_one and words.spans_joints
    draw(sketch, one)
    board = Board(WIDE, "measured")
    _put(board, sketch)
    english = (names.of_one(measurand), OF_ONE[measurand]) if one else (names.asked_for(measurand), told)
    return Measured(english, sketch.ends, tuple(shape for shape, _, _ in sketch.shapes), board)


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
    """A path without the corners nobody would see: a phone loads a dozen of these pictures."""
    kept = [spots[0]]
    for spot, after in pairwise(spots[1:]):
        (along, up), (on_x, on_y) = spot - kept[-1], after - kept[-1]
        if abs(along * on_y - up * on_x) > _UNSEEN_PX * np.hypot(on_x, on_y):
            kept.append(spot)
    x, y = np.array([*kept, spots[-1]]).T
    return points(x, y, closed)


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
