"""The drawing board: a few elements of our own that become SVG text, the same text for the same drawing.

Own elements rather than a library: half a dozen kinds are needed, each view measures its text before it is set, and no library
we know keeps attribute order and rounding fixed across its versions, which pinned drawings need.
"""

import math
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache
from xml.sax.saxutils import escape, quoteattr

from pitchline.picture.letters import width_px
from pitchline.trade.calls import HATCHES, Call

TEXT_PX, SMALL_PX, HEAD_PX = 14, 12, 17
_SIZES = {"s": SMALL_PX, "h": HEAD_PX}
_UP, _DOWN = 0.78, 0.24


class Tone(StrEnum):
    """Paper of a drawing: what the reader's system prefers, or one for certain; paper is light without a tint."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"
    PAPER = "paper"


_LIGHT = {
    "ink": "#16191c", "paper": "#fbfaf6", "grey": "#565b60", "hair": "#b9bcbd", "range": "#c9cbca", "accent": "#85200b",
}  # fmt: skip
_DARK = {
    "ink": "#e3eaee", "paper": "#12283a", "grey": "#a3b3bf", "hair": "#4a647a", "range": "#3d5871", "accent": "#f0a36b",
}  # fmt: skip
_PAPER = _LIGHT | {"paper": "#fff"}
_PRINT = {"ink": "#000", "paper": "#fff", "grey": "#444", "hair": "#999", "range": "#ccc", "accent": "#000"}
_RULES = (
    "text{fill:@ink}",
    ".g{fill:@grey}",
    ".a{fill:@accent}",
    ".paper{fill:@paper;stroke:none}",
    ".solid{fill:@paper;stroke:@ink}",
    ".unjudged{fill:@paper;stroke:@grey;stroke-dasharray:1.5 2}",
    ".line{stroke:@ink}",
    ".fine{stroke:@grey}",
    ".hair{stroke:@hair}",
    ".new,.other{stroke:@grey}",
    ".limit{stroke:@accent}",
    ".turn{stroke:@ink}",
    ".lost{fill:url(#@-lost);stroke:none}",
    ".fan{fill:@range;stroke:@grey}",
    ".book{fill:url(#@-book);stroke:@ink}",
    ".stop{fill:url(#@-stop);stroke:@accent}",
    ".full{fill:@ink;stroke:none}",
    ".hb{stroke:@ink}",
    ".hs{stroke:@accent}",
    ".hl{fill:@grey;stroke:none}",
    ".back{fill:@paper}",
    ".halo{stroke:@paper}",
    ".o{stroke:@paper}",
)
_FIXED = (
    f".s{{font-size:{SMALL_PX}px}}",
    f".h{{font-size:{HEAD_PX}px}}",
    ".b{font-weight:600}",
    ".o{paint-order:stroke;stroke-width:4px;stroke-linejoin:round}",
    ".e{text-anchor:end}",
    ".m{text-anchor:middle}",
    ".line,.fine,.hair,.new,.limit,.turn,.other,.halo{fill:none}",
    "path,circle,rect{stroke-width:1.1;stroke-linejoin:round}",
    ".fine,.hair{stroke-width:.8}",
    ".new{stroke-dasharray:5 4}",
    ".turn{stroke-dasharray:1.5 3}",
    ".limit{stroke-width:1.4;stroke-dasharray:10 3 2 3}",
    ".other{stroke-dasharray:11 2 2 2 2 2}",
    ".halo{stroke-width:3.2}",
    ".stop{stroke-width:2}",
    ".thin path,.thin circle{stroke-width:.6}",
    ".thin .stop{stroke-width:1.1}",
    ".hb,.hs{fill:none;stroke-width:.85}",
    ".thick{stroke-width:2.2}",
    ".strong{stroke-width:1.6}",
    ".dash{stroke-dasharray:9 4}",
    ".dots{stroke-dasharray:1.5 3}",
    ".heavy{stroke-width:4}",
)
_TYPE = (
    'font-family:"Pitchline Sans","Inter","Source Sans 3",system-ui,sans-serif;'
    f"font-size:{TEXT_PX}px;font-variant-numeric:tabular-nums"
)
_GAP = 4
"""Between the lines of a hatch: a swatch has two or three each way, or one would see a cross [CSS pixels]."""


def _lines(call: Call, kind: str) -> str:
    """A call's hatch as one tile, which is turned by 45 degrees: what is upright in it rises at 45, what is level at 135."""
    half = _GAP // 2  # at the tile's edge a line would lose half its width
    ways = "".join({45: f"M{half} 0V{_GAP}", 135: f"M0 {half}H{_GAP}"}[rise] for rise in HATCHES[call])
    return f'<rect class="back" width="{_GAP}" height="{_GAP}"/><path class="{kind}" d="{ways}"/>'


_TILES = (
    ("book", _GAP, _lines(Call.BOOK, "hb")),
    ("stop", _GAP, _lines(Call.STOP, "hs")),
    ("lost", 4, '<circle class="hl" cx="2" cy="2" r=".8"/>'),
)


@dataclass(frozen=True, slots=True)
class Box:
    """Where a line of text stands.

    Parameters
    ----------
    left, top, right, bottom : float
        Its edges [CSS pixels].
    words : str
        What it says.
    """

    left: float
    top: float
    right: float
    bottom: float
    words: str

    def meets(self, other: "Box") -> bool:
        """Whether two lines of text lie on each other."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


@dataclass(slots=True)
class Board:
    """A drawing in the making.

    Parameters
    ----------
    width : float
        Width [CSS pixels].
    prefix : str
        Beginning of every id and class, so that several drawings can share a page.
    body : list of str
        What is drawn so far.
    defs : list of str
        Shapes to be used again and again.
    texts : list of Box
        Where text stands.
    """

    width: float
    prefix: str
    body: list[str] = field(default_factory=list)
    defs: list[str] = field(default_factory=list)
    texts: list[Box] = field(default_factory=list)

    def text(self, x: float, y: float, said: str, kind: str = "") -> None:
        """One line of text; kinds: s small, h head, b bold, g grey, a accent, m middle, e end, o on paper of its own."""
        kinds = kind.split()
        size = next((_SIZES[one] for one in kinds if one in _SIZES), TEXT_PX)
        wide = width_px(said, size)
        left = x - wide if "e" in kinds else x - wide / 2 if "m" in kinds else x
        self.texts.append(Box(left, y - _UP * size, left + wide, y + _DOWN * size, said))
        self.body.append(f"<text{_where(x=x, y=y)}{_class(kind)}>{escape(said)}</text>")

    def path(self, d: str, kind: str) -> None:
        """A path from its commands."""
        self.body.append(f'<path{_class(kind)} d="{d}"/>')

    def line(self, x1: float, y1: float, x2: float, y2: float, kind: str = "line") -> None:
        """A straight."""
        self.path(f"M{px(x1)} {px(y1)}L{px(x2)} {px(y2)}", kind)

    def circle(self, x: float, y: float, radius: float, kind: str) -> None:
        """A circle."""
        self.body.append(f"<circle{_where(cx=x, cy=y, r=radius)}{_class(kind)}/>")

    def box(self, x: float, y: float, wide: float, tall: float, kind: str) -> None:
        """An upright rectangle."""
        self.body.append(f"<rect{_where(x=x, y=y, width=wide, height=tall)}{_class(kind)}/>")

    def shape(self, name: str, drawn: str) -> None:
        """Keep a shape under a name, to be set by `use`; with the drawing's class, as browsers style each copy by itself."""
        self.defs.append(f'<g id="{self.prefix}-{name}" class="{self.prefix}">{drawn}</g>')

    def leader(self, x1: float, y1: float, x2: float, y2: float) -> None:
        """A thin line from words to a spot on a part, on paper of its own so that it is seen across other lines."""
        self.line(x1, y1, x2, y2, "halo")
        self.line(x1, y1, x2, y2, "fine")
        self.circle(x2, y2, 2.2, "full")

    def use(self, name: str, x: float, y: float, turn_deg: float = 0.0) -> None:
        """Set a kept shape."""
        turned = f"rotate({px(turn_deg)})" if abs(turn_deg) >= 0.05 else ""
        self.body.append(f'<use href="#{self.prefix}-{name}" transform="translate({px(x)} {px(y)}){turned}"/>')

    @contextmanager
    def group(self, name: str, title: str, kind: str = "") -> Iterator[None]:
        """Everything drawn inside is one part with an id and a title."""
        self.body.append(
            f'<g id="{self.prefix}-{name}"{_class(kind)} role="img" aria-label={quoteattr(title)}>'
            f"<title>{escape(title)}</title>"
        )
        yield
        self.body.append("</g>")

    def arrow(self, x1: float, y1: float, x2: float, y2: float) -> None:
        """A dimension line with a slim arrowhead at each end, level or upright."""
        along = (1, 0) if abs(x2 - x1) >= abs(y2 - y1) else (0, 1)
        self.line(x1, y1, x2, y2, "fine")
        way = 1 if (x2 - x1) + (y2 - y1) > 0 else -1
        for x, y, side in ((x1, y1, way), (x2, y2, -way)):
            ux, uy = along[0] * side * 7, along[1] * side * 7
            vx, vy = along[1] * 2.2, along[0] * 2.2
            d = f"M{px(x)} {px(y)}L{px(x + ux + vx)} {px(y + uy + vy)}L{px(x + ux - vx)} {px(y + uy - vy)}Z"
            self.path(d, "full")

    def swatch(self, x: float, y: float, call: Call) -> None:
        """The hatch of a call in a small square, its lower left corner on the text's line."""
        self.box(x, y - 10, 11, 11, hatch_of(call))

    def svg(self, height: float, title: str, told: str, tone: Tone = Tone.SYSTEM, bare: bool = False) -> str:
        """The whole drawing as SVG text; bare on the page's own paper, without what it does not use."""
        p = self.prefix
        rules = style_rules(p, tone)
        if bare:
            used = set(re.findall(r"[\w-]+", " ".join(re.findall('class="([^"]*)"', "".join(self.body)))))
            rules = re.sub(
                r"[^{}@]+{[^{}]*}", lambda rule: rule[0] if _is_used(rule[0], used | {p}) else "", rules
            )
        hatches = "".join(
            f'<pattern id="{p}-{name}" width="{gap}" height="{gap}" patternUnits="userSpaceOnUse" '
            f'patternTransform="rotate(45)">{drawn}</pattern>'
            for name, gap, drawn in _TILES
            if not bare or name in used
        )
        wide, tall = px(self.width), px(math.ceil(height))
        return "\n".join(
            (
                f'<svg xmlns="http://www.w3.org/2000/svg" class="{p}" role="img" aria-labelledby="{p}-title {p}-desc" '
                f'width="{wide}" height="{tall}" viewBox="0 0 {wide} {tall}">',
                f'<title id="{p}-title">{escape(title)}</title>',
                f'<desc id="{p}-desc">{escape(told)}</desc>',
                f"<style>{rules}</style><defs>{hatches}{''.join(self.defs)}</defs>",
                *(() if bare else (f'<rect class="paper" width="{wide}" height="{tall}"/>',)),
                *self.body,
                "</svg>\n",
            )
        )


def page_rules(prefixes: Iterable[str], kind: str) -> str:
    """The style rules of all drawings on a page, told once for elements of a class; what differs are the ids of the hatches."""
    rules = style_rules(kind, Tone.SYSTEM)
    names = [name for name, _, _ in _TILES]
    for name in names:
        rules = rules.replace(f"url(#{kind}-{name})", f"var(--{name})")
    own = ";".join(f"--{name}:url(#@-{name})" for name in names)
    return "\n".join([rules, *(f".{prefix}{{{own.replace('@', prefix)}}}" for prefix in prefixes)])


@lru_cache(maxsize=64)
def style_rules(prefix: str, tone: Tone) -> str:
    """The style rules of one drawing alone; colours are written out, because not every reader of SVG knows variables.

    Parameters
    ----------
    prefix : str
        Beginning of every id and class, as the drawing was given it.
    tone : Tone
        Light, dark, or what the reader's system prefers.

    Returns
    -------
    str
        CSS, for the drawing's own style element or for a page's style sheet.
    """
    fixed = f".{prefix}{{{_TYPE}}}" + "".join(_scoped(rule, prefix) for rule in _FIXED)
    light, dark, printed = (_coloured(palette, prefix) for palette in (_LIGHT, _DARK, _PRINT))
    if tone is Tone.SYSTEM:
        return f"{light}{fixed}@media(prefers-color-scheme:dark){{{dark}}}@media print{{{printed}}}"
    chosen = {Tone.DARK: dark, Tone.PAPER: _coloured(_PAPER, prefix)}.get(tone, light)
    return chosen + fixed


def _coloured(palette: dict[str, str], prefix: str) -> str:
    rules = "".join(_scoped(rule, prefix) for rule in _RULES).replace("#@-", f"#{prefix}-")
    for name, colour in palette.items():
        rules = rules.replace(f"@{name}", colour)
    return rules


def _scoped(rule: str, prefix: str) -> str:
    kinds, rest = rule.split("{", 1)
    return ",".join(f".{prefix} {kind}" for kind in kinds.split(",")) + "{" + rest


def hatch_of(call: Call) -> str:
    """The kind of fill that tells a call: plain for run, one way for book, crossed for stop; a dotted edge for none."""
    return {Call.UNJUDGED: "unjudged", Call.RUN: "solid", Call.BOOK: "book", Call.STOP: "stop"}[call]


def tone_of(call: Call) -> str:
    """The kind of text that tells a call: bold where it asks for work, with the accent for stop alone, grey for none."""
    return {Call.UNJUDGED: "g", Call.RUN: "", Call.BOOK: "b", Call.STOP: "b a"}[call]


def px(figure: float) -> str:
    """A figure to the tenth of a pixel, in as few letters as it takes."""
    text = f"{figure:.1f}"
    text = text[:-2] if text.endswith(".0") else text
    return "0" if text == "-0" else text


def points(xs: Iterable[float], ys: Iterable[float], closed: bool = True) -> str:
    """A path through points."""
    pairs = zip(map(float, xs), map(float, ys), strict=True)
    way = "L".join([f"{x:.1f} {y:.1f}" for x, y in pairs]) + "L"
    for long, short in ((".0 ", " "), (".0L", "L"), ("-0 ", "0 "), ("-0L", "0L")):  # as px writes, all at once
        way = way.replace(long, short)
    return f"M{way[:-1]}{'Z' if closed else ''}"


def _is_used(rule: str, used: set[str]) -> bool:
    """Whether every class of one of a rule's selectors is there."""
    return any(used.issuperset(re.findall(r"\.([\w-]+)", one)) for one in rule.split("{")[0].split(","))


def _where(**figures: float) -> str:
    return "".join(f' {name}="{px(figure)}"' for name, figure in figures.items())


def _class(kind: str) -> str:
    return f' class="{kind.strip()}"' if kind else ""
