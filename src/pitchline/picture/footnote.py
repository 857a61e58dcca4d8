"""Small words below a drawing that stands alone."""

from pitchline.picture.ink import SMALL_PX, Board
from pitchline.picture.letters import wrapped


def with_note(board: Board, height: float, note: str) -> float:
    """Height of the drawing once its note stands below it.

    Parameters
    ----------
    board : Board
        The drawing.
    height : float
        Its height so far [CSS pixels].
    note : str
        The words; empty for none.

    Returns
    -------
    float
        The new height [CSS pixels].
    """
    for line in wrapped(note, SMALL_PX, board.width - 32) if note else ():
        board.text(16, height + 10, line, "s g")
        height += 16
    return height + (8 if note else 0)
