"""A worn part's section on the paper: new dashed, limit dash-dotted, today solid, what is worn away dotted; and their key."""

from collections.abc import Callable, Iterable

import numpy as np

from pitchline.picture.ink import SMALL_PX, Board, points
from pitchline.picture.letters import width_px
from pitchline.picture.sections import Dim, States
from pitchline.shape.numbers import Floats
from pitchline.trade.calls import Call
from pitchline.words import translated
from pitchline.words.called import key_of

_BESIDE_ROWS = 36.0
_MARGIN, _LARGE, _OFF = 40.0, 105.0, 0.12
_Place = tuple[float, float, float, float]


def needed_tall(states: States, wide: float, most: float, length: Callable[[float], str]) -> float:
    """Height that a section takes when it is drawn as large as the width allows.

    Parameters
    ----------
    states : States
        Outlines of the part.
    wide : float
        Room across [CSS pixels].
    most : float
        Greatest height [CSS pixels].
    length : callable
        A length [m] in words.

    Returns
    -------
    float
        Height [CSS pixels], margins and all.
    """
    low, high = _box(states)
    return float(min(most, (high - low)[1] * _scale(states, wide, most, length) + 30))


def draw_section(board: Board, states: States, place: _Place, length: Callable[[float], str]) -> None:
    """Draw the states of a part on each other.

    Parameters
    ----------
    board : Board
        Where to.
    states : States
        Outlines of the part.
    place : tuple of float
        Left, top, width and height [CSS pixels].
    length : callable
        A length [m] in words.

    References
    ----------
    Our own; kinds of line as in docs/howto/draw-pictures.md.
    """
    left, top, wide, tall = place
    low, high = _box(states)
    scale = _scale(states, wide, tall, length)
    right = _right(states, length)
    middle_x, middle_y = left + (wide + _beside(states) - right) / 2, top + tall / 2
    centre = (low + high) / 2

    def x(x_m: float) -> float:
        return float(middle_x + (x_m - centre[0]) * scale)

    def y(y_m: float) -> float:
        return float(middle_y - (y_m - centre[1]) * scale)

    def path(outline: Floats) -> str:
        return points(*few_corners(outline * (scale, -scale)).T + np.array([[x(0.0)], [y(0.0)]]))

    layers = (
        (() if states.in_rows else states.new, "lost"),
        (states.now, "paper"),
        (states.limit, "limit"),
        (states.body, "solid"),
        (states.new, "new"),
        (states.now, "line thick" if tall > _LARGE else "line strong"),
    )
    written: dict[int, str] = {}  # new and today are each drawn twice
    for outlines, kind in layers:
        for outline in outlines:
            if id(outline) not in written:
                written[id(outline)] = path(outline)
            board.path(written[id(outline)], kind)
    for said, at_x, at_y in states.notes:
        board.text(x(at_x), y(at_y), said, "s g" if at_x > 0 else "s g e")
    for dim in states.dims:
        _dim(board, dim, (x(dim.x_m), y(dim.low_m), y(dim.high_m)), length)


def few_corners(outline_px: Floats) -> Floats:
    """The corners of an outline that matter to a tenth of a pixel or so.

    Parameters
    ----------
    outline_px : ndarray, shape (n, 2)
        Corners on the paper [CSS pixels].

    Returns
    -------
    ndarray, shape (m, 2)
        Corners, the first and the last kept [CSS pixels].

    Examples
    --------
    >>> few_corners(np.array([(0.0, 0.0), (1.0, 0.02), (2.0, 0.0), (2.0, 5.0)])).tolist()
    [[0.0, 0.0], [2.0, 0.0], [2.0, 5.0]]
    """
    kept = outline_px
    for _ in range(3):
        before, here, after = kept[:-2], kept[1:-1], kept[2:]
        (dx, dy), (ax, ay) = (after - before).T, (here - before).T
        on = np.abs(dx * ay - dy * ax) < _OFF * np.hypot(dx, dy)
        on[1::2] = False
        kept = np.vstack([kept[:1], here[~on], kept[-1:]])
    return kept


def _dim(board: Board, dim: Dim, at: tuple[float, float, float], length: Callable[[float], str]) -> None:
    """A reading beside the outline: words alone, or a height between two ticks."""
    x, low, high = at
    said = _figure(dim, length)
    if dim.said:
        end = "" if dim.x_m > 0 else " e"
        board.text(x, high, dim.said, f"s g{end}")
        board.text(x, high + 15, said, f"s{end}")
        return
    for y in (low, high):
        board.line(x - 6, y, x + 4, y, "fine")
    if low - high > 18:
        board.arrow(x, high, x, low)
    else:
        board.line(x, high, x, low, "fine")
    board.text(x + 7, (low + high) / 2 + 4, said, "s")


def _box(states: States) -> tuple[Floats, Floats]:
    corners = np.vstack([*states.new, *states.now, *states.limit, *states.body])
    return corners.min(axis=0), corners.max(axis=0)


def _beside(states: States) -> float:
    return _BESIDE_ROWS if states.in_rows else 0.0


def _scale(states: States, wide: float, tall: float, length: Callable[[float], str]) -> float:
    """Pixels to a metre: as large as outline and words beside it allow."""
    low, high = _box(states)
    room = wide - _MARGIN - _beside(states) - _right(states, length)
    scale = min(room / (high[0] - low[0]), (tall - 24) / (high[1] - low[1]))
    for dim in states.dims:
        if dim.said:
            scale = min(scale, (wide / 2 - _words_px(dim, length)) / abs(dim.x_m))
    return float(scale)


def _right(states: States, length: Callable[[float], str]) -> float:
    """Room for a height and its figure at the right."""
    return max((_words_px(dim, length) + 14 for dim in states.dims if not dim.said), default=0.0)


def _words_px(dim: Dim, length: Callable[[float], str]) -> float:
    return width_px(_figure(dim, length), SMALL_PX)


def _figure(dim: Dim, length: Callable[[float], str]) -> str:
    return length(dim.size_m) if np.isfinite(dim.size_m) else translated("not read")


def draw_key(board: Board, left: float, y: float, states: States) -> float:
    """What the kinds of line mean.

    Parameters
    ----------
    board : Board
        Where to.
    left, y : float
        Where it begins [CSS pixels].
    states : States
        What was drawn.

    Returns
    -------
    float
        Where it ends [CSS pixels].
    """
    kinds = {
        "new": translated("new"),
        "limit": translated("wear limit"),
        "line thick": translated("today"),
        "lost": translated("worn away"),
    }
    if states.in_rows:
        del kinds["lost"]

    def sample(kind: str, x: float, y: float) -> None:
        if kind == "lost":
            board.box(x, y - 10, 30, 11, kind)
        else:
            board.line(x, y - 4, x + 30, y - 4, kind)

    return _key(board, (left, y + 14), kinds.items(), 38, sample)


def draw_calls(board: Board, left: float, y: float, calls: Iterable[Call]) -> float:
    """What the hatches mean: the code of the calls, those of the drawing; where it ends, from where it begins [CSS pixels]."""
    return _key(
        board, (left, y + 8), key_of(calls).items(), 17, lambda call, x, at: board.swatch(x, at, Call(call))
    )


def _key(
    board: Board,
    at: tuple[float, float],
    kinds: Iterable[tuple[str, str]],
    wide: float,
    sample: Callable[[str, float, float], None],
) -> float:
    """Samples with their words in rows as wide as the drawing."""
    left, y = at
    x = left
    for kind, said in kinds:
        room = wide + width_px(said, SMALL_PX) + 22
        if x > left and x + room - 22 > board.width - left:
            x, y = left, y + 20
        sample(kind, x, y)
        board.text(x + wide, y, said, "s g")
        x += room
    return y + 16
