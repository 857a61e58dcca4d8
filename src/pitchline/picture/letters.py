"""How wide text will be, without a browser: letter widths of our typeface, with room for the one a reader may have instead."""

_FIRST = 32
_REGULAR = (
    28, 28, 40, 66, 65, 84, 66, 22, 39, 39, 54, 67, 30, 47, 29, 38, 66, 66, 66, 66, 66, 66, 66, 66, 66, 66, 29, 30,
    67, 67, 67, 54, 100, 72, 66, 74, 72, 61, 59, 75, 74, 27, 56, 68, 57, 91, 76, 77, 64, 78, 65, 65, 66, 74, 72, 101,
    69, 70, 65, 39, 38, 39, 48, 47, 50, 57, 63, 58, 63, 59, 38, 63, 61, 26, 26, 57, 26, 90, 61, 61, 62, 62, 40, 55,
    38, 61, 58, 84, 56, 58, 56, 39, 36, 39, 67,
)  # fmt: skip
"""Hundredths of the letter size, from the space to the tilde: the wider of both weights; digits all alike."""
_OTHER = 66


class _Widths(dict[str, int]):
    """By letter; one that is not in the table takes what most take."""

    def __missing__(self, letter: str) -> int:
        return _OTHER


_WIDTHS = _Widths({chr(_FIRST + place): wide for place, wide in enumerate(_REGULAR)} | {"\u00a0": _REGULAR[0]})
_ROOM, _HEAD_ROOM, _HEAD_PX = 1.14, 1.24, 16
"""Room for a wider typeface, more for heads in bold: measured against DejaVu Sans, the widest a reader is likely to have."""


def width_px(text: str, size_px: float) -> float:
    """Room that a line of text takes.

    Parameters
    ----------
    text : str
        One line.
    size_px : float
        Letter size [CSS pixels], above zero.

    Returns
    -------
    float
        Width [CSS pixels].

    References
    ----------
    Advance widths of the fonts in papers/fonts.
    """
    hundredths = sum(map(_WIDTHS.__getitem__, text))
    return hundredths / 100 * size_px * (_HEAD_ROOM if size_px > _HEAD_PX else _ROOM)


def wrapped(text: str, size_px: float, room_px: float) -> list[str]:
    """Text broken into lines that fit.

    Parameters
    ----------
    text : str
        Words parted by spaces; a no-break space holds words together.
    size_px : float
        Letter size [CSS pixels], above zero.
    room_px : float
        Width of a line [CSS pixels].

    Returns
    -------
    list of str
        Lines; a word longer than a line is cut and ends in dots.
    """
    lines: list[str] = []
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_px(longer, size_px) <= room_px:
            lines[-1] = longer
        else:
            lines.append(shortened(word, size_px, room_px))
    return lines


def shortened(text: str, size_px: float, room_px: float) -> str:
    """Text cut so that it fits, with dots at the cut."""
    if width_px(text, size_px) <= room_px:
        return text
    while text and width_px(text + "…", size_px) > room_px:
        text = text[:-1]
    return text.rstrip() + "…"
