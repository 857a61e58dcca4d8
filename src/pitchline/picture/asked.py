"""Small pictures beside the fields of a running gear: what is counted, and what is measured from where to where.

Plain strokes in the colour of the text around them, on 160 by 72, without ids, so that many can stand on one page.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from itertools import pairwise
from xml.sax.saxutils import escape

from pitchline.picture.ink import px

_WIDE, _TALL = 160, 72
_THIN, _THICK = 'stroke-width=".9"', 'stroke-width="1.6"'


def _line(x1: float, y1: float, x2: float, y2: float, how: str = _THICK) -> str:
    return f'<path d="M{px(x1)} {px(y1)}L{px(x2)} {px(y2)}" {how}/>'


def _circle(x: float, y: float, radius: float, how: str = _THICK) -> str:
    return f'<circle cx="{px(x)}" cy="{px(y)}" r="{px(radius)}" {how}/>'


def _box(x: float, y: float, wide: float, tall: float, how: str = _THICK) -> str:
    return f'<rect x="{px(x)}" y="{px(y)}" width="{px(wide)}" height="{px(tall)}" {how}/>'


def _way(points: Sequence[tuple[float, float]], how: str = _THICK, closed: bool = False) -> str:
    return f'<path d="M{"L".join(f"{px(x)} {px(y)}" for x, y in points)}{"Z" * closed}" {how}/>'


def _word(x: float, y: float, said: str) -> str:
    how = 'text-anchor="middle" stroke="none" fill="currentColor" font-size="12"'
    return f'<text x="{px(x)}" y="{px(y)}" {how}>{escape(said)}</text>'


def _full(x: float, y: float, radius: float) -> str:
    return _circle(x, y, radius, 'fill="currentColor" stroke="none"')


def _measure(x1: float, x2: float, y: float, up: float) -> str:
    """A level dimension line at y, with its thin uprights to where it is measured, at `up`."""
    ends = "".join(_line(x, up, x, y + (4 if y > up else -4), _THIN) for x in (x1, x2))
    heads = "".join(
        _way([(x, y), (x + way * 7, y - 2.4), (x + way * 7, y + 2.4)], 'fill="currentColor" stroke="none"', True)
        for x, way in ((x1, 1), (x2, -1))
    )
    return ends + _line(x1, y, x2, y, _THIN) + heads


def _links(pins: Iterable[float], y: float) -> str:
    """Links of a chain from pin to pin, seen from the side."""
    pins = list(pins)
    plates = "".join(_box(a - 5, y - 8, b - a + 10, 16, _THIN) for a, b in pairwise(pins))
    return plates + "".join(_circle(x, y, 4) for x in pins)


def _outline(raised: bool = False) -> str:
    if raised:
        return _way([(22, 62), (138, 62), (146, 50), (118, 12), (102, 8), (14, 46), (14, 54)], _THICK, True)
    return _box(10, 20, 140, 42, f'rx="21" {_THICK}')


def _wheels(low: int = 0, high: int = 0, raised: bool = False) -> str:
    drive = (108, 22, 11) if raised else (134, 41, 15)
    ends = (
        _circle(26, 46 if raised else 42, 13, _THIN)
        + _circle(*drive, _THIN)
        + _circle(drive[0], drive[1], 3, _THIN)
    )
    ends += _circle(132, 48, 11, _THIN) if raised else ""
    lows = "".join(_full(50 + 62 * n / max(low - 1, 1), 55, 5.5) for n in range(low))
    highs = "".join(_full(64 + 36 * n / max(high - 1, 1), 26, 4.5) for n in range(high))
    return ends + lows + highs


def _teeth(segments: int = 0) -> str:
    points = []
    for tooth in range(14):
        for turn, radius in ((0.0, 25), (0.3, 30), (0.5, 30), (0.8, 25)):
            angle = 2 * math.pi * (tooth + turn) / 14
            points.append((80 + radius * math.cos(angle), 36 + radius * math.sin(angle)))
    cuts = ""
    for cut in range(segments):
        x, y = math.cos(2 * math.pi * cut / segments), math.sin(2 * math.pi * cut / segments)
        cuts += _line(80 + 13 * x, 36 + 13 * y, 80 + 25 * x, 36 + 25 * y)
    return _way(points, _THICK, True) + _circle(80, 36, 13, _THIN) + cuts


def _shoe(bars: int = 0, holes: int = 0, pads: int = 0, pad_holes: int = 0) -> str:
    """A shoe from above, or with bars from its end."""
    if bars:
        at = {1: (120,), 2: (42, 118), 3: (40, 80, 120)}[bars]
        tall = "".join(_way([(x - 6, 46), (x - 3, 22), (x + 3, 22), (x + 6, 46)]) for x in at)
        return (
            _line(30, 46, 130, 46)
            + _line(30, 54, 130, 54)
            + _line(30, 46, 30, 54)
            + _line(130, 46, 130, 54)
            + tall
        )
    drawn = _box(20, 14, 120, 44, _THIN if pads else _THICK)
    wide = 108 / max(pads, 1)
    drawn += "".join(_box(28 + n * wide, 20, wide - 5, 32) for n in range(pads))
    drawn += "".join(_full(60 + 40 * (n % 2), 26 + 20 * (n // 2), 3) for n in range(holes))
    return drawn + "".join(_full(46 + 68 * (n % 2), 26 + 20 * (n // 2), 3) for n in range(pad_holes))


def _track(kind: str) -> str:
    """A piece of track from the side: links, and what is under them."""
    if kind == "rubber":
        lugs = "".join(_box(x, 44, 14, 12, _THICK) for x in range(14, 140, 24))
        teeth = "".join(_box(x, 16, 8, 14, _THIN) for x in range(17, 140, 24))
        return _box(6, 30, 148, 14, _THICK) + lugs + teeth
    chain = _links((20, 60, 100, 140), 22)
    if kind == "steel":
        return chain + "".join(_way([(x, 36), (x + 36, 36), (x + 36, 41), (x + 32, 41), (x + 32, 54), (x + 28, 54), (x + 28, 41),
                                     (x, 41)], _THICK, True) for x in (2, 42, 82, 122))  # fmt: skip
    pads = "".join(
        _box(x + 3, 41 if kind == "steel_bolted_pads" else 34, 30, 20, _THICK) for x in (2, 42, 82, 122)
    )
    if kind == "steel_pad_shoes":
        return chain + pads
    return chain + "".join(_box(x, 34, 36, 5, _THIN) for x in (2, 42, 82, 122)) + pads


def _stroke(at: float) -> str:
    rod = _box(18, 26, 62, 22) + _line(80, 37, at, 37) + _line(at, 26, at, 48)
    return rod + _circle(at + 24, 37, 20, _THIN)


def _sag() -> str:
    hung = '<path d="M22 28Q80 62 138 28" ' + _THICK + "/>"
    ends = _circle(22, 42, 13, _THIN) + _circle(138, 42, 13, _THIN)
    level = _line(14, 28, 146, 28, _THIN)
    return hung + ends + level + _line(80, 28, 80, 45) + _line(76, 28, 84, 28) + _line(76, 45, 84, 45)


def _ring() -> str:
    return _outline() + _box(52, 12, 56, 5, 'fill="currentColor"') + _box(40, 2, 92, 10, _THIN)


def _flanges() -> str:
    """A roller with a flange at each end, and one with two on either side of each rail, seen from the front."""

    def roller(x: float, flanges: tuple[int, ...]) -> str:
        return _box(x - 30, 24, 60, 24) + "".join(_box(x + at, 14, 5, 44) for at in flanges)

    return roller(40, (-32, 27)) + roller(120, (-32, -11, 6, 27))


_DRAWN: dict[str, Callable[[], str]] = {
    "joints_per_side": lambda: _links(range(16, 150, 26), 44) + "".join(_word(16 + 26 * n, 26, str(n + 1)) for n in range(6)),
    "pitch": lambda: _links((48, 112), 26) + _measure(48, 112, 54, 26),
    "pitch_over": lambda: _links((20, 50, 80, 110, 140), 26) + _measure(20, 140, 54, 26),
    "shoe_width": lambda: _box(24, 30, 112, 8)
    + _box(64, 12, 10, 18, _THIN) + _box(86, 12, 10, 18, _THIN) + _measure(24, 136, 56, 38),
    "joints_per_side rubber": lambda: _track("rubber") + "".join(_word(21 + 24 * n, 12, str(n + 1)) for n in range(6)),
    "pitch rubber": lambda: _track("rubber") + _measure(45, 69, 68, 50),
    "size rubber": lambda: _box(14, 12, 132, 48) + _word(80, 42, "400x86x52"),
    "shoe_width rubber": lambda: _box(24, 24, 112, 14) + _box(76, 12, 8, 12, _THIN) + _measure(24, 136, 58, 38),
    "sprocket_teeth": _teeth,
    "sprocket_segments": lambda: _teeth(7),
    "bottom_rollers_per_side": lambda: _outline() + _wheels(low=5),
    "upper_rollers_per_side": lambda: _outline() + _wheels(high=2),
    "two_flange_rollers": _flanges,
    "grousers_per_shoe": lambda: _shoe(bars=3),
    "bolts_per_shoe": lambda: _shoe(holes=4),
    "pads_per_shoe": lambda: _shoe(pads=2),
    "bolts_per_pad": lambda: _shoe(pads=1, pad_holes=4),
    "adjuster_stroke": lambda: _stroke(112) + _measure(80, 112, 62, 44),
    "slew_ring": _ring,
    "guards": lambda: _outline() + _wheels(low=5) + _box(44, 50, 74, 8, 'fill="currentColor" fill-opacity=".35"'),
    "sag": _sag,
    "adjuster_extension": lambda: _stroke(112) + _measure(80, 112, 62, 44),
    **{f"track {kind}": partial(_track, kind) for kind in ("steel", "steel_bolted_pads", "steel_pad_shoes", "rubber")},
    "layout level": lambda: _outline() + _wheels(),
    "layout raised_sprocket": lambda: _outline(raised=True) + _wheels(raised=True),
}  # fmt: skip


def asked_svg(name: str) -> str:
    """The small picture of one field; empty where it has none.

    Parameters
    ----------
    name : str
        A field of a running gear, a quantity that is set, or "track" or "layout" with the word of one of their choices.

    Returns
    -------
    str
        An svg element with nothing to read in it: the field says what it is.

    References
    ----------
    Our own drawings.
    """
    draw = _DRAWN.get(name)
    if draw is None:
        return ""
    head = f'viewBox="0 0 {_WIDE} {_TALL}" fill="none" stroke="currentColor" stroke-linejoin="round"'
    return f'<svg {head} aria-hidden="true" focusable="false">{draw()}</svg>'


ASKED = tuple(_DRAWN)
"""Every name there is a picture of."""
