"""Names of parts over a photo: an arrow from each name to its part, drawn over a picture that itself stays untouched."""

import base64
from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from xml.sax.saxutils import escape

from pitchline.picture.ink import px
from pitchline.picture.letters import width_px

ACROSS = 1000.0
"""Width of every photo in its drawing's own measure: letters come out alike, however many pixels a photo has."""
LETTERS = 44.0
"""Size of the letters there: on a phone, and on a paper of three photos a row, they can still be read."""
_EDGE, _HEAD = 8.0, 30.0
_INK, _PAPER = "#16191c", "#fff"


@dataclass(frozen=True, slots=True)
class NamedSpot:
    """A name on a photo.

    Parameters
    ----------
    said : str
        What stands there.
    tip, at : tuple of (float, float)
        Where the arrow ends and where the name stands: shares of the photo's width, and of its height from above.
    """

    said: str
    tip: tuple[float, float]
    at: tuple[float, float]


def names_over(width: float, height: float, spots: Sequence[NamedSpot], kind: str = "") -> str:
    """The names as SVG text, to lie over the photo.

    Parameters
    ----------
    width, height : float
        The photo's size [pixels], above 0.
    spots : sequence of NamedSpot
        The names.
    kind : str
        Class of the drawing, for a page's style sheet.

    Returns
    -------
    str
        Light lines round dark ones, so that they are seen on any photo, in daylight and on grey print.
    """
    tall = ACROSS * height / width
    body = "".join(_drawn(spot, tall) for spot in spots)
    named = f' class="{kind}"' if kind else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg"{named} viewBox="0 0 {px(ACROSS)} {px(tall)}" aria-hidden="true" '
        f'font-family="Pitchline Sans,Inter,system-ui,sans-serif" font-size="{px(LETTERS)}" font-weight="600">{body}</svg>'
    )


def _drawn(spot: NamedSpot, tall: float) -> str:
    half = width_px(spot.said, LETTERS) / 2 + _EDGE
    x = min(max(spot.at[0] * ACROSS, half), max(ACROSS - half, half))
    y = min(max(spot.at[1] * tall, 0.6 * LETTERS + _EDGE), tall - 0.6 * LETTERS - _EDGE)
    to_x, to_y = spot.tip[0] * ACROSS, spot.tip[1] * tall
    way_x, way_y = to_x - x, to_y - y
    inside = abs(way_x) < half and abs(way_y) < 0.7 * LETTERS
    arrow = "" if inside else _arrow(x, y, way_x, way_y, half)
    said = (
        f'<text x="{px(x)}" y="{px(y + 0.35 * LETTERS)}" text-anchor="middle" fill="{_INK}" stroke="{_PAPER}" '
        f'stroke-width="10" stroke-linejoin="round" paint-order="stroke">{escape(spot.said)}</text>'
    )
    return arrow + said


def _arrow(x: float, y: float, way_x: float, way_y: float, half: float) -> str:
    """From the edge of the name's room to the tip."""
    out = min(half / abs(way_x) if way_x else 1.0, 0.75 * LETTERS / abs(way_y) if way_y else 1.0, 1.0)
    long = hypot(way_x, way_y)
    along_x, along_y = way_x / long, way_y / long
    tip_x, tip_y, base_x, base_y = (
        x + way_x, y + way_y, x + way_x - _HEAD * along_x, y + way_y - _HEAD * along_y,
    )  # fmt: skip
    side_x, side_y = -along_y * _HEAD / 3, along_x * _HEAD / 3
    line = f"M{px(x + out * way_x)} {px(y + out * way_y)}L{px(tip_x)} {px(tip_y)}"
    head = f"M{px(tip_x)} {px(tip_y)}L{px(base_x + side_x)} {px(base_y + side_y)}L{px(base_x - side_x)} {px(base_y - side_y)}Z"
    return (
        f'<path d="{line}{head}" fill="none" stroke="{_PAPER}" stroke-width="12" stroke-linejoin="round"/>'
        f'<path d="{line}" fill="none" stroke="{_INK}" stroke-width="5"/><path d="{head}" fill="{_INK}"/>'
    )


def photo_svg(jpeg: bytes, width: int, height: int, spots: Sequence[NamedSpot] = ()) -> str:
    """A photo as a drawing of its own, names over it: the JPEG goes in as it is.

    Parameters
    ----------
    jpeg : bytes
        The photo.
    width, height : int
        Its size [pixels], above 0.
    spots : sequence of NamedSpot
        The names.

    Returns
    -------
    str
        SVG text that needs no other file.
    """
    data = base64.b64encode(jpeg).decode()
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}">'
        f'<image href="data:image/jpeg;base64,{data}" width="{width}" height="{height}"/>'
        f"{names_over(width, height, spots) if spots else ''}</svg>"
    )
