"""Small words below a drawing that stands alone."""

import re
from xml.sax.saxutils import escape

from pitchline.picture.ink import SMALL_PX, Board
from pitchline.picture.letters import wrapped
from pitchline.shape.sizes import Sizes
from pitchline.words import translated, worded


def with_note(board: Board, height: float, note: str, edge: float = 16) -> float:
    """Height of the drawing once its note stands below it.

    Parameters
    ----------
    board : Board
        The drawing.
    height : float
        Its height so far [CSS pixels].
    note : str
        The words; empty for none.
    edge : float
        Margin at either side [CSS pixels].

    Returns
    -------
    float
        The new height [CSS pixels].
    """
    for line in wrapped(note, SMALL_PX, board.width - 2 * edge) if note else ():
        board.text(edge, height + 10, line, "s g")
        height += 16
    return height + (8 if note else 0)


def assumed_said(sizes: Sizes) -> str:
    """That a running gear is drawn to scale, and which of its sizes are proportions of our own."""
    return worded(
        "Drawn to scale. Assumed by a proportion of our own, not measured: where wheels stand, {assumed}. "
        "Do not order by this drawing.",
        assumed=", ".join(translated(one) for one in sizes.assumed),
    )


def noted(svg: str, note: str) -> str:
    """A finished drawing with a note below it, for a file that no page or paper stands around.

    Parameters
    ----------
    svg : str
        SVG text as `Board.svg` makes it.
    note : str
        The words, not empty; they are told to a screen reader too.
    """
    prefix, wide, tall = re.findall(r'class="(\S+)".*? width="(\d+)" height="(\d+)"', svg)[0]
    board = Board(float(wide), prefix)
    taller = int(with_note(board, int(tall), note, 16 if board.width >= 640 else 10))
    for sized in ('width="{}" height="{}"', 'viewBox="0 0 {} {}"'):
        svg = svg.replace(sized.format(wide, tall), sized.format(wide, taller))
    svg = svg.replace("</desc>", f" {escape(note)}</desc>", 1)
    return svg.replace("</svg>\n", "\n".join([*board.body, "</svg>\n"]))
