"""The audit of a fleet as a drawing: what ranges promised against what they held, and how evenly readings fell.

Plain SVG text, the same for the same audit. Ink on paper, no colour and no hatch; shapes tell marks apart.
"""

from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from pitchline.outlook.audit import BINS, PROMISED, Audit, AuditRow, Width
from pitchline.papers.audit_words import kind_said, of_100, verdict_said, width_said
from pitchline.papers.words import GAP
from pitchline.trade.writing import as_figure
from pitchline.words import translated, worded

BY_CHANCE = 2.58
"""Bands reach this many standard deviations either way: 99 in 100 honest shares lie inside (normal quantile)."""
LEAST_WIDTH, BESIDE_WIDTH, MOST_WIDTH = 320, 760, 1600
_EDGE, _GAP = 16, 40
_ROW, _LEVEL, _HEAD, _FOOT = 42, 11, 74, 44
_TEXT, _SMALL, _LETTERS = 14, 12, 16
_BARS, _UNDER = 210, 96
_STYLE = """
.{p}{{--ink:#16191c;--paper:#fbfaf6;--grey:#5a5f64;--hair:#b9bcbd;--range:#c9cbca;background:var(--paper);
font:{text}px "Pitchline Sans","Source Sans 3",system-ui,sans-serif;font-variant-numeric:tabular-nums;max-width:100%;height:auto}}
@media(prefers-color-scheme:dark){{.{p}{{--ink:#e3eaee;--paper:#12283a;--grey:#a3b3bf;--hair:#4a647a;--range:#3d5871}}}}
@media print{{.{p}{{--ink:#000;--paper:#fff;--grey:#444;--hair:#999;--range:#ccc}}}}
.{p} text{{fill:var(--ink)}}.{p} .g{{fill:var(--grey)}}.{p} .s{{font-size:{small}px}}.{p} .b{{font-weight:600}}
.{p} .e{{text-anchor:end}}.{p} .m{{text-anchor:middle}}
.{p} .paper{{fill:var(--paper)}}.{p} .ink{{stroke:var(--ink);fill:none}}.{p} .hair{{stroke:var(--hair);fill:none}}
.{p} .dash{{stroke:var(--ink);stroke-dasharray:5 4;fill:none}}
.{p} .band{{fill:var(--range);stroke:var(--grey);stroke-width:.7}}
.{p} .bar{{fill:var(--range);stroke:var(--ink)}}.{p} .even{{stroke:var(--ink);stroke-width:1.8;stroke-dasharray:5 4}}
.{p} .upright{{fill:var(--ink)}}.{p} .off{{fill:var(--paper);stroke:var(--ink);stroke-width:2.4}}
"""


@dataclass(frozen=True, slots=True)
class _Axis:
    """From shares in a hundred to places across."""

    left: float
    right: float
    least: int

    def at(self, share: float) -> float:
        within = min(max(100 * share, self.least), 100)
        return self.left + (within - self.least) / (100 - self.least) * (self.right - self.left)


def audit_svg(audit: Audit, width: int = 900, prefix: str = "audit") -> str:
    """The audit as one SVG drawing.

    Parameters
    ----------
    audit : Audit
        The audit.
    width : int
        Width [CSS pixels], 320 to 1600; from 760 on the two drawings stand side by side, below that one above the other.
    prefix : str
        Beginning of every id and class, so that several drawings can share a page; a letter, then letters, digits or dashes.

    Returns
    -------
    str
        SVG text, to be written as UTF-8 or set into a page.

    References
    ----------
    Our own drawing; probability integral transform after Dawid, J. R. Stat. Soc. A 147 (1984) 278 (from memory).
    """
    wide = min(max(width, LEAST_WIDTH), MOST_WIDTH)
    rows = () if audit.overall is None else (audit.overall, *audit.kinds)
    if audit.overall is None:
        body, height = _nothing(), 90.0
    else:
        body, height = _panels(rows, wide, prefix)
    return _sheet(body, wide, height, prefix, _told(audit))


def _panels(rows: tuple[AuditRow, ...], wide: int, prefix: str) -> tuple[list[str], float]:
    beside = wide >= BESIDE_WIDTH
    split = round(wide * 0.58) if beside else wide - _EDGE
    promised, below = _promised(rows, _EDGE, split, prefix)
    left, top = (split + _GAP, 0.0) if beside else (_EDGE, below + 20)
    tall = max(_BARS, below - _HEAD - _UNDER) if beside else _BARS
    spread, bottom = _spread(rows[0], left, wide - _EDGE, top, tall)
    return [*promised, *spread], max(below, bottom) + _EDGE


def _promised(rows: tuple[AuditRow, ...], left: float, right: float, prefix: str) -> tuple[list[str], float]:
    """Left drawing: one row a kind, three levels a row."""
    names = max(len(kind_said(row.kind)) for row in rows) * 7.2 + 12
    axis = _Axis(left + min(names, 130), right - 74, _least(rows))
    bottom = _HEAD + _ROW * len(rows)
    drawn = [
        _text(left, 24, translated("Promised and found"), "b"),
        _text(left, 42, translated("readings of 100 inside their range"), "g s"),
        *_guides(axis, bottom),
        _text(right, _HEAD - 10, worded("{share}{gap}% range", share=of_100(PROMISED[1]), gap=GAP), "g s e"),
    ]
    for number, row in enumerate(rows):
        drawn += _kind_row(row, axis, left, right, _HEAD + _ROW * number, f"{prefix}-row-{number}")
    return [*drawn, *_key(left, right, bottom + 22)], bottom + 22 + (_FOOT if right - left < 430 else 24)


def _least(rows: tuple[AuditRow, ...]) -> int:
    """Lower end of the axis: 30 of 100, lower by tens where a share found lies there."""
    lowest = min(min(row.inside) for row in rows)
    return max(0, min(30, int(10 * (10 * lowest // 1) - 10)))


def _guides(axis: _Axis, bottom: float) -> list[str]:
    drawn = []
    for share in PROMISED:
        x = axis.at(share)
        drawn.append(_line(x, _HEAD - 4, x, bottom, "dash"))
        aside, anchor = {0.8: (4, "s e"), 0.9: (-4, "s")}.get(share, (0, "s m"))
        drawn.append(_text(x + aside, _HEAD - 10, str(of_100(share)), anchor))
    return drawn


def _kind_row(row: AuditRow, axis: _Axis, left: float, right: float, top: float, name: str) -> list[str]:
    middle = top + _ROW / 2
    off = row.width in (Width.TOO_NARROW, Width.TOO_WIDE)
    drawn = [f'<g id="{name}"><title>{escape(_row_told(row))}</title>', _line(left, top, right, top, "hair")]
    drawn += _lines_of(kind_said(row.kind), left, middle, "" if row.kind else "b")
    for place, (share, found, u) in enumerate(zip(PROMISED, row.inside, row.inside_u, strict=True)):
        y = middle + (place - 1) * _LEVEL
        start, end = axis.at(share - BY_CHANCE * u), axis.at(share + BY_CHANCE * u)
        drawn.append(_box(start, y - 3.5, end - start, 7, "band"))
        drawn.append(_mark(axis.at(found), y, abs(found - share) > BY_CHANCE * u, place == 1))
    drawn.append(
        _text(
            right,
            middle + (-2 if off else 5),
            worded("{n} of 100", n=of_100(row.inside[1])),
            "b e" if off else "e",
        )
    )
    if off:
        drawn.append(_text(right, middle + 13, width_said(row), "b s e"))
    elif row.width is Width.TOO_FEW:
        drawn[-1] = _text(right, middle + 5, translated("too few"), "g e")
    return [*drawn, "</g>"]


def _lines_of(name: str, left: float, middle: float, kind: str) -> list[str]:
    """A name on one line, or on two where it is long; what does not fit there is left to the row's title."""
    cut = name.rfind(" ", 0, _LETTERS + 1)
    if len(name) <= _LETTERS or cut <= 0:
        return [_text(left, middle + 5, _short(name), kind)]
    return [_text(left, middle - 3, name[:cut], kind), _text(left, middle + 13, _short(name[cut + 1 :]), kind)]


def _short(words: str) -> str:
    return words if len(words) <= _LETTERS else words[: _LETTERS - 1] + "…"


def _mark(x: float, y: float, off: bool, main: bool) -> str:
    """An upright inside the band, a hollow diamond outside it."""
    if off:
        r = 6.0
        return f'<path class="off" d="M{x - r:.1f} {y:.1f}L{x:.1f} {y - r:.1f}L{x + r:.1f} {y:.1f}L{x:.1f} {y + r:.1f}Z"/>'
    wide, tall = (4, 13) if main else (3, 10)
    return _box(x - wide / 2, y - tall / 2, wide, tall, "upright")


def _key(left: float, right: float, y: float) -> list[str]:
    """What band, upright and diamond mean, on one line or two."""
    narrow = right - left < 430
    second = (left, y + 20) if narrow else (left + 215, y)
    return [
        _box(left, y - 8, 26, 7, "band"),
        _text(left + 34, y, translated("where chance may put it"), "g s"),
        _mark(second[0] + 6, second[1] - 4, False, True),
        _text(second[0] + 18, second[1], translated("found"), "g s"),
        _mark(second[0] + 74, second[1] - 4, True, False),
        _text(second[0] + 86, second[1], translated("found, beyond chance"), "g s"),
    ]


def _spread(row: AuditRow, left: float, right: float, top: float, tall: float) -> tuple[list[str], float]:
    """Right drawing: readings by tenth of the forecast, with the level they should stand at."""
    even = row.readings / BINS
    chance = BY_CHANCE * (even * (1 - 1 / BINS)) ** 0.5
    highest = max(*row.histogram, even + chance)
    base, step = top + _HEAD + tall, (right - left) / BINS
    scale = (tall - 8) / highest
    drawn = [
        _text(left, top + 24, translated("Where readings fell in their forecast"), "b"),
        _text(
            left,
            top + 42,
            worded("{readings} readings; level is as promised", readings=as_figure(row.readings, ",")),
            "g s",
        ),
    ]
    for number, count in enumerate(row.histogram):
        told = worded(
            "Tenth {n} of the forecast: {readings} readings, {even} if even",
            n=number + 1,
            readings=as_figure(count, ","),
            even=as_figure(even),
        )
        bar = _box(left + number * step, base - count * scale, step, count * scale, "bar")
        drawn.append(f"<g><title>{escape(told)}</title>{bar}</g>")
    for level, kind in ((even - chance, "ink"), (even, "even"), (even + chance, "ink")):
        y = base - max(level, 0) * scale
        drawn.append(_line(left, y, right, y, kind))
    return [*drawn, _line(left, base, right, base, "ink"), *_feet(left, right, base)], base + _UNDER


def _feet(left: float, right: float, base: float) -> list[str]:
    return [
        _text(left, base + 18, translated("less wear than forecast"), "s"),
        _text(right, base + 18, translated("more wear"), "s e"),
        _text(left, base + 40, translated("Both ends high: ranges too narrow."), "g s"),
        _text(left, base + 56, translated("Middle high: ranges too wide."), "g s"),
        _text(left, base + 72, translated("Dashed: level bars."), "g s"),
        _text(left, base + 88, translated("Between the lines: what chance does."), "g s"),
    ]


def _nothing() -> list[str]:
    return [
        _text(_EDGE, 34, translated("Nothing could be checked"), "b"),
        _text(_EDGE, 56, translated("It takes a second walk-round."), "g"),
    ]


def _told(audit: Audit) -> str:
    """The drawing in one sentence a row, for those who cannot see it."""
    if audit.overall is None:
        return translated("Nothing could be checked: it takes a second walk-round.")
    return " ".join(f"{_row_told(row)}." for row in (audit.overall, *audit.kinds))


def _row_told(row: AuditRow) -> str:
    half, eight, nine = (of_100(share) for share in row.inside)
    return worded(
        "{kind}: of 100 readings {half}, {eight} and {nine} inside the 50, 80 and 90 % range; {said}",
        kind=kind_said(row.kind),
        half=half,
        eight=eight,
        nine=nine,
        said=verdict_said(row),
    )


def _text(x: float, y: float, said: str, kind: str = "") -> str:
    named = f' class="{kind}"' if kind else ""
    return f'<text x="{x:.1f}" y="{y:.1f}"{named}>{escape(said)}</text>'


def _line(x1: float, y1: float, x2: float, y2: float, kind: str) -> str:
    return f'<path class="{kind}" d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"/>'


def _box(x: float, y: float, width: float, height: float, kind: str) -> str:
    return f'<rect class="{kind}" x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}"/>'


def _sheet(body: list[str], wide: int, height: float, prefix: str, told: str) -> str:
    title = translated("How the outlook kept its promises")
    style = _STYLE.format(p=prefix, text=_TEXT, small=_SMALL)
    names = f'aria-labelledby="{prefix}-title {prefix}-desc"'
    return "\n".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" class={quoteattr(prefix)} role="img" {names} width="{wide}" '
            f'height="{height:.0f}" viewBox="0 0 {wide} {height:.0f}">',
            f'<title id="{prefix}-title">{escape(title)}</title>',
            f'<desc id="{prefix}-desc">{escape(told)}</desc>',
            f"<style>{style}</style>",
            f'<rect class="paper" width="{wide}" height="{height:.0f}"/>',
            *body,
            "</svg>\n",
        )
    )
