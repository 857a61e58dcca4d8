"""Pictures that move: eight drawings on each other, shown in turn by a page's style sheet; and some of them beside each other.

Without motion the drawings beside each other say the same. How far things move is drawn larger than life, by our own choice.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pitchline.picture.ink import Board, Tone, points
from pitchline.picture.turning import draw_bush, draw_gap
from pitchline.shape.outlines import tread_outline
from pitchline.words import in_english, translated

FRAMES = 8
WIDE, TALL = 200.0, 150.0
_Draw = Callable[[Board, int], None]


@dataclass(frozen=True, slots=True)
class Moving:
    """One picture that moves.

    Parameters
    ----------
    title : str
        What moves.
    draw : callable
        Draws the frame of a number, from 0.
    wide, tall : float
        Its paper [CSS pixels].
    stills : tuple of (int, str)
        Frames that stand beside each other, and what each shows.
    """

    title: str
    draw: _Draw
    wide: float
    tall: float
    stills: tuple[tuple[int, str], ...]


_BUSH = ((0.0, 0.0, 24.0), (0.04, 0.0, 12.0), (0.08, 0.0, 0.0), (0.14, 0.0, 0.0), (0.14, 0.0, 90.0), (0.14, 0.0, 204.0),
         (0.14, 0.05, 192.0), (0.14, 0.1, 180.0))  # fmt: skip
"""Loss of the first and the second face, and how far the bush is turned [deg]: it rolls as the joint bends, wears, is turned."""


def _rolls(board: Board, frame: int) -> None:
    draw_gap(board)
    draw_bush(board, *_BUSH[frame])


def _dishes(board: Board, frame: int) -> None:
    """A roller's tread along its axis, dished by the rails: the upper half of its section."""
    new, lost = 0.16, 0.024 * frame / (FRAMES - 1)
    scale, low = 1000.0, 128.0
    shapes = [
        tread_outline(new, size, 0.06, 0.016, 0.022, False, False, 0.16 * new)
        for size in (new, new - lost, new - 0.018)
    ]
    for shape, kind in zip(
        (shapes[1], shapes[2], shapes[0], shapes[1]), ("paper", "limit", "new", "line strong"), strict=True
    ):
        board.path(points(board.width / 2 + scale * shape[:, 0], low - scale * shape[:, 1]), kind)
    board.line(12, low, board.width - 12, low, "fine dash")


def _taken_up(board: Board, frame: int) -> None:
    """The upper run between two wheels of one chain length: the further apart they stand, the less it hangs.

    A flat parabola of span s and sag f is s + 8 f²/(3 s) long: Bronstein, length of arcs.
    """
    reel, level, right = 26.0, 62.0, 262.0
    apart, length = 200.0, 200.0 + 8 * 34.0**2 / (3 * 200.0)
    span = apart + (length - apart) * 0.94 * frame / (FRAMES - 1)
    left = right - span
    sag = float(np.sqrt(3 * span * (length - span) / 8))
    along = np.linspace(0, 1, 33)
    board.path(points(left + span * along, level - reel + 4 * sag * along * (1 - along), False), "line strong")
    for x in (left, right):
        board.circle(x, level, reel, "solid")
        board.circle(x, level, 4, "full")
    angle = np.pi * np.linspace(0.5, 1.5, 17)
    for x, way in ((left, 1), (right, -1)):
        board.path(points(x + way * reel * np.cos(angle), level - reel * np.sin(angle), False), "line strong")
    board.line(left, level + reel, right, level + reel, "line strong")
    board.line(left, level - reel, right, level - reel, "fine")
    if sag > 6:
        middle = (left + right) / 2
        board.arrow(middle, level - reel, middle, level - reel + sag)
    cylinder = right - apart + reel + 16
    board.line(left, level, cylinder, level, "line")
    board.box(cylinder, level - 6, 56, 12, "fan")


def _stretches(board: Board, frame: int) -> None:
    """Four joints in line: pin and bush rub hollow where they pull on each other, so each pitch grows."""
    pitch, worn = 62.0, 4.5 * frame / (FRAMES - 1)
    level, first = 52.0, 28.0
    for joint in range(4):
        x = first + joint * pitch
        board.line(x, level + 30, x, level + 44, "fine")
    for joint in range(4):
        x = first + joint * (pitch + worn)
        if joint < 3:
            board.line(x, level - 19, x + pitch + worn, level - 19, "line")
            board.line(x, level + 19, x + pitch + worn, level + 19, "line")
        board.circle(x, level, 17, "solid")
        board.circle(x, level, 11.5, "paper")
        board.circle(x, level, 11.5, "line")
        board.circle(x - worn / 2 if joint else x, level, 10.5 - worn / 3, "fan")
    end = first + 3 * (pitch + worn)
    board.line(end, level + 20, end, level + 44, "line")
    board.arrow(first, level + 38, end, level + 38)


MOVING: dict[str, Moving] = {
    "turning": Moving(in_english("A bush rolls on its tooth, wears, is turned and rolls again"), _rolls, WIDE, TALL, ()),
    "roller": Moving(
        in_english("A roller's tread goes from flat to hollow"), _dishes, 240.0, 140.0,
        ((0, in_english("New: straight treads.")), (4, in_english("The rails dish it; flanges stand higher.")),
         (7, in_english("Past its limit: flanges come down on the pin bosses."))),
    ),
    "slack": Moving(
        in_english("The idler moves out and takes up slack"), _taken_up, 300.0, 100.0,
        ((0, in_english("Slack: the upper run hangs far down.")), (4, in_english("A little out, and much less sag.")),
         (7, in_english("A little more, and it is tight. So it is set in small steps."))),
    ),
    "stretch": Moving(
        in_english("Joints wear inside, and the chain grows"), _stretches, 250.0, 104.0,
        ((0, in_english("New: pin and bush fit; lines mark the new pitch.")), (4, in_english("Each joint grows by a little.")),
         (7, in_english("Over several joints it shows; over the loop it uses up the adjuster."))),
    ),
}  # fmt: skip
"""Each by its name."""


def moving_svg(name: str, tone: Tone = Tone.SYSTEM) -> str:
    """All frames on each other, each a group of class `f` and `f1` to `f8`; a page shows one at a time.

    Parameters
    ----------
    name : str
        One of `MOVING`.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    """
    one = MOVING[name]
    board = Board(one.wide, f"moving{name}")
    for frame in range(FRAMES):
        board.body.append(f'<g class="f f{frame + 1}">')
        one.draw(board, frame)
        board.body.append("</g>")
    return board.svg(one.tall, translated(one.title), translated(one.title), tone, bare=True)


def still_svgs(name: str, tone: Tone = Tone.SYSTEM) -> tuple[tuple[str, str], ...]:
    """Frames that stand beside each other as SVG text, each with what it shows.

    Parameters
    ----------
    name : str
        One of `MOVING`.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    """
    one, drawn = MOVING[name], []
    for number, (frame, said) in enumerate(one.stills, 1):
        board = Board(one.wide, f"{name}{number}")
        one.draw(board, frame)
        board.text(6, 14, str(number), "s b")
        drawn.append(
            (board.svg(one.tall, translated(one.title), translated(said), tone, bare=True), translated(said))
        )
    return tuple(drawn)
