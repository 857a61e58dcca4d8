"""The head of a drawing: what it shows, and a smaller line on when and how; both run on to further lines on narrow paper."""

from pitchline.picture.ink import HEAD_PX, SMALL_PX, TEXT_PX, Board
from pitchline.picture.letters import shortened, width_px, wrapped

_NAME_LINES, _SAID_LINES = 3, 3
_NAME_STEP, _SAID_STEP = 21, 16
_LAST = 46


def heading(board: Board, edge: float, name: str, said: str = "") -> float:
    """Set the head of a drawing.

    Parameters
    ----------
    board : Board
        Where to.
    edge : float
        Margin at either side [CSS pixels].
    name : str
        What it shows.
    said : str
        When and how; nothing leaves the line out.

    Returns
    -------
    float
        How much lower the head ends than one of two plain lines [CSS pixels].
    """
    room = board.width - 2 * edge
    y = 26.0 - _NAME_STEP
    for line in _few(name, HEAD_PX, room, _NAME_LINES):
        y += _NAME_STEP
        board.text(edge, y, line, "h b")
    y += 4
    for line in _few(said, SMALL_PX, room, _SAID_LINES) if said else ():
        y += _SAID_STEP
        board.text(edge, y, line, "s g")
    return y - _LAST


def one_line(board: Board, title: str) -> None:
    """A head of one line, in smaller letters where it would not fit: what is cut at its end are the shoes it is about."""
    room = board.width - 32
    large = width_px(title, HEAD_PX) <= room
    board.text(16, 26, title if large else shortened(title, TEXT_PX, room), "h b" if large else "b")


def _few(text: str, size: int, room: float, most: int) -> list[str]:
    """Lines that fit; what is over after the last one is cut."""
    lines = wrapped(text, size, room)
    return (
        lines if len(lines) <= most else [*lines[: most - 1], shortened(" ".join(lines[most - 1 :]), size, room)]
    )
