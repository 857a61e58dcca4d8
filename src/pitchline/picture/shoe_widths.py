"""A narrow and a wide shoe with one end on a stone: the wider, the longer the lever that bends it and twists its chain."""

import numpy as np

from pitchline.picture.ink import Board, Tone, points
from pitchline.shape.sizes import PROPORTIONS
from pitchline.words import in_english, translated

WIDE, TALL = 300.0, 130.0
_PITCH_PX = 74.0
STAGES: tuple[tuple[str, float], ...] = (
    (in_english("Narrow: the stone pushes near the link, on a short lever."), 1.6),
    (in_english("Wide: the same stone pushes on a long lever. Shoe, bolts and joint take it."), 3.2),
)
"""What each drawing shows, and how wide its shoe is, in pitches: our own proportions."""


def shoe_width_svgs(tone: Tone = Tone.SYSTEM) -> tuple[tuple[str, str], ...]:
    """Each drawing as SVG text, with what it shows.

    Parameters
    ----------
    tone : Tone
        Light, dark, or what the reader's system prefers.
    """
    return tuple((_svg(number, tone), translated(stage[0])) for number, stage in enumerate(STAGES, 1))


def _svg(number: int, tone: Tone) -> str:
    told, width = STAGES[number - 1]
    board, middle, level = Board(WIDE, f"widths{number}"), WIDE / 2, 84.0
    half, thick = width / 2 * _PITCH_PX, PROPORTIONS["shoe thickness"] * _PITCH_PX
    high = PROPORTIONS["link rail height"] * _PITCH_PX
    board.box(middle - half, level, 2 * half, max(thick, 5.0), "solid strong")
    for side in (-1, 1):
        board.box(middle + side * 0.3 * _PITCH_PX - 5, level - high, 10, high, "fan")
        board.box(middle + side * 0.3 * _PITCH_PX - 10, level - 6, 20, 6, "solid")
    board.line(middle, level - high - 8, middle, level + 22, "fine dash")
    foot = level + max(thick, 5.0)
    stone = np.add([(-16, 26), (-11, 8), (-3, 0), (6, 1), (13, 10), (16, 26)], (middle + half - 10, foot))
    board.path(points(stone[:, 0], stone[:, 1]), "fan")
    board.line(8, foot + 26, WIDE - 8, foot + 26, "fine")
    board.arrow(middle, level - high - 12, middle + half - 10, level - high - 12)
    board.line(middle + half - 10, level - high - 16, middle + half - 10, foot, "fine")
    return board.svg(TALL, translated("Shoe on a stone, seen from the front"), translated(told), tone, bare=True)
