"""Why bushes are turned, in five small drawings: a bush in its tooth gap, new, worn, turned half round, worn again."""

import numpy as np

from pitchline.picture.ink import Board, Tone, points
from pitchline.shape.numbers import Floats
from pitchline.shape.outlines import bush_outline
from pitchline.shape.tooth import ToothSizes, tooth_gap
from pitchline.words import in_english, translated

WIDE, TALL = 200.0, 150.0
STAGES: tuple[tuple[str, float, float, bool], ...] = (
    (in_english("New: round all over."), 0.0, 0.0, False),
    (in_english("The tooth pushes one side, and it wears flat."), 0.08, 0.0, False),
    (in_english("About half is gone: now it is turned."), 0.14, 0.0, False),
    (in_english("Turned half round: the old flat looks away from the tooth."), 0.14, 0.0, True),
    (in_english("The fresh side works, nearly as long again."), 0.14, 0.10, True),
)
"""What each drawing shows, how much of the diameter the first and the second face has lost, and whether it was turned. Loss is
drawn larger than life, by our own choice."""
_TEETH, _BUSH_M = 15, 0.06
_CIRCLE_M = _BUSH_M / 0.45 / 2 / np.sin(np.pi / _TEETH)
_SCALE, _LEVEL = 1300.0, 68.0
_FACE_DEG = 30.0
"""Where `bush_outline` has its forward face."""
_TOOTH_DEG = -35.0
"""Where the tooth on the right meets the bush: our own drawing."""


def turning_svgs(tone: Tone = Tone.SYSTEM) -> tuple[tuple[str, str], ...]:
    """Each drawing as SVG text, with what it shows; the bush of the one that is turned is a group `turns`, for a page to move.

    Parameters
    ----------
    tone : Tone
        Light, dark, or what the reader's system prefers.
    """
    return tuple((_svg(number, tone), translated(stage[0])) for number, stage in enumerate(STAGES, 1))


def _svg(number: int, tone: Tone) -> str:
    told, first, second, turned = STAGES[number - 1]
    board = Board(WIDE, f"turning{number}")
    draw_gap(board)
    with board.group("bush", translated("bush"), "turns" if number == 4 else ""):
        draw_bush(board, first, second, 180.0 if turned else 0.0)
    board.text(10, 20, str(number), "b")
    return board.svg(TALL, translated("Turning a bush"), translated(told), tone, bare=True)


def _path(board: Board, outline: Floats, kind: str) -> None:
    board.path(points(WIDE / 2 + _SCALE * outline[:, 0], _LEVEL - _SCALE * outline[:, 1]), kind)


def draw_gap(board: Board) -> None:
    """The gap of a sprocket between two teeth, below where the bush sits."""
    gap = tooth_gap(ToothSizes(_TEETH, _CIRCLE_M, _BUSH_M, 0.0, 0.0)) - (0.0, _CIRCLE_M)
    low = (_LEVEL - TALL + 4) / _SCALE
    _path(board, np.vstack([gap, (gap[-1, 0], low), (gap[0, 0], low)]), "fan")


def draw_bush(board: Board, first: float, second: float, turned_deg: float) -> None:
    """A bush in its gap.

    Parameters
    ----------
    board : Board
        Where to.
    first, second : float
        Shares of the diameter that its first and its second face have lost.
    turned_deg : float
        How far it is turned from where its first face meets the tooth [deg].
    """
    worn = [_BUSH_M * (1 - loss) for loss in (first, second)]
    shape = bush_outline(_BUSH_M, worn[0], _BUSH_M)
    other = bush_outline(_BUSH_M, worn[1], _BUSH_M) @ _turn(180.0)
    angles = np.arctan2(shape[:, 1], shape[:, 0])
    reach = np.minimum(np.hypot(*shape.T), np.interp(angles, *_by_angle(other), period=2 * np.pi))
    body = np.column_stack([reach * np.cos(angles), reach * np.sin(angles)])
    body = body @ _turn(_TOOTH_DEG - _FACE_DEG + turned_deg)
    ring = bush_outline(_BUSH_M, _BUSH_M, _BUSH_M)
    _path(board, ring, "new")
    _path(board, body, "solid strong")
    _path(board, ring * 0.62, "solid")
    way = np.radians(_TOOTH_DEG + turned_deg)
    reach_px = 0.4 * _BUSH_M * _SCALE
    board.circle(WIDE / 2 + reach_px * float(np.cos(way)), _LEVEL - reach_px * float(np.sin(way)), 2.6, "full")


def _turn(degrees: float) -> Floats:
    cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return np.array([[cos, sin], [-sin, cos]])


def _by_angle(outline: Floats) -> tuple[Floats, Floats]:
    angle = np.arctan2(outline[:, 1], outline[:, 0])
    order = np.argsort(angle)
    return angle[order], np.hypot(*outline.T)[order]
