"""Slope limits round a drawn machine: where it tips, slides and no longer climbs, each as a sector of a dial."""

import math

import numpy as np

from pitchline.ground.outcomes import Outcome
from pitchline.ground.outline import Outline
from pitchline.picture.footnote import with_note
from pitchline.picture.ground_told import ToldGround
from pitchline.picture.heading import one_line
from pitchline.picture.ink import SMALL_PX, Board, Tone, points, px
from pitchline.picture.letters import wrapped
from pitchline.picture.strip import LEAST_WIDTH, MOST_WIDTH
from pitchline.words import in_english, say, translated, worded

_BESIDE = 560
"""From this width the words stand beside the dial, else below it [CSS pixels]."""
_SECTORS = (
    (Outcome.CLIMB, "fan", in_english("climbs up to")),
    (Outcome.SLIDE, "fan dash", in_english("slides, at rest, at")),
    (Outcome.TIP, "fan thick", in_english("tips, at rest, at")),
)
_END_DEG = 60.0
_WARNING = in_english(
    "Static figures of a rigid machine on an even slope. Swing, travel, load, water and a soft edge bring it over, or let it "
    "slide, long before. Not a permit: the maker's manual, local codes and a competent person come first."
)


def slope_svg(
    fit: ToldGround,
    outline: Outline,
    slope_deg: float,
    title: str,
    width: int = 900,
    tone: Tone = Tone.SYSTEM,
    prefix: str = "slope",
    note: str = "",
) -> str:
    """Slope limits as an SVG drawing.

    Parameters
    ----------
    fit : ToldGround
        One machine on one ground.
    outline : Outline
        Sizes it is drawn by.
    slope_deg : float
        Slope it is drawn on [deg].
    title : str
        Machine and ground, in words.
    width : int
        Width [CSS pixels], 320 to 2400.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    prefix : str
        Beginning of every id and class.
    note : str
        What stands below the drawing, such as what it rests on; empty for nothing.

    References
    ----------
    Our own drawing; the machine is drawn to the sizes the fit was made with.
    """
    board = Board(min(max(width, LEAST_WIDTH), MOST_WIDTH), prefix)
    one_line(board, title)
    beside = board.width >= _BESIDE
    reach = min(board.width - 240, 560.0) if beside else board.width - 76
    x0, y0 = 40.0, 60.0 + reach * math.sin(math.radians(_END_DEG))
    board.line(x0, y0, x0 + reach, y0)
    for angle in (10, 20, 30, 40, 50, 60):
        x, y = _at(x0, y0, reach, angle)
        board.line(x0, y0, x, y, "hair")
        board.text(x + 6, y + 4, f"{angle}°", "s g")
    for number, (outcome, kind, english) in enumerate(_SECTORS):
        said = translated(english)
        _sector(
            board, fit, outcome, kind, said, (x0, y0), (reach * (0.68 + 0.11 * number), min(26.0, 0.085 * reach))
        )
        at = (board.width - 210, 62.0 + 72 * number) if beside else (16.0, y0 + 32 + 68 * number)
        _words(board, fit, outcome, kind, said, at)
    _machine(board, outline, slope_deg, x0, y0, reach * 0.6)
    top = y0 + (30 if beside else 32 + 68 * len(_SECTORS))
    lines = wrapped(translated(_WARNING), SMALL_PX, 0.94 * (board.width - 42))  # bold runs a little wider
    board.line(17, top - 13, 17, top + 17 * len(lines) - 12, "line thick")
    for line in lines:
        board.text(26, top, line, "s b")
        top += 17
    return board.svg(with_note(board, top + 6, note), title, _told(fit), tone)


def _at(x0: float, y0: float, radius: float, angle_deg: float) -> tuple[float, float]:
    turned = math.radians(angle_deg)
    return x0 + radius * math.cos(turned), y0 - radius * math.sin(turned)


def _words(board: Board, fit: ToldGround, outcome: Outcome, kind: str, said: str, at: tuple[float, float]) -> None:
    """One limit in words, with its range or the reason why there is none."""
    found, (left, top) = fit.figure(outcome), at
    board.box(left - 8, top - 10, 22, 12, kind)
    if found.low is None or found.middle is None or found.high is None:
        board.text(left + 20, top, worded("{said}: no figure", said=said))
        lines = wrapped(say(found.reason), SMALL_PX, board.width - left - 24)[: 3 if left > 16 else 2]
    else:
        board.text(left + 20, top, f"{said} {found.middle:.0f}°")
        lines = [
            worded("{low} to {high}°", low=f"{found.low:.0f}", high=f"{found.high:.0f}") + _without(found.without)
        ]
    more = _more(fit, outcome)
    for number, line in enumerate([*lines, *more]):
        board.text(left + 20, top + 17 + 15 * number, line, "s g")


def _more(fit: ToldGround, outcome: Outcome) -> list[str]:
    """What else to know of a limit: what is left of a slide without cohesion, and how near tipping is too near."""
    if outcome is Outcome.TIP:
        return [translated("from half of it on nothing suits")]
    alone, slide = fit.figure(Outcome.FRICTION), fit.figure(Outcome.SLIDE)
    if outcome is not Outcome.SLIDE or alone.low is None or alone.high is None or alone.low == slide.low:
        return []
    low, high = (f"{one:.0f}" for one in (alone.low, alone.high))
    if low == high:
        return [worded("by friction alone {low}°", low=low)]
    return [worded("by friction alone {low} to {high}°", low=low, high=high)]


def _without(share: float) -> str:
    """How much of what was looked at has no number, as a clause."""
    return "" if share < 0.005 else worded("; no figure in {share} %", share=f"{100 * share:.0f}")


def _sector(
    board: Board,
    fit: ToldGround,
    outcome: Outcome,
    kind: str,
    said: str,
    at: tuple[float, float],
    ring: tuple[float, float],
) -> None:
    """One range as a piece of a ring; figures past the dial's end are drawn at it."""
    found, (radius, thick) = fit.figure(outcome), ring
    if found.low is None or found.middle is None or found.high is None:
        return
    low, high = (min(one, _END_DEG) for one in (found.low, max(found.high, found.low + 0.6)))
    angles = np.linspace(low, high, 24)
    inner = [_at(*at, radius, float(one)) for one in angles]
    outer = [_at(*at, radius + thick, float(one)) for one in angles[::-1]]
    xs, ys = zip(*inner, *outer, strict=True)
    with board.group(
        outcome.value,
        worded("{said} {low} to {high} degrees", said=said, low=f"{found.low:.0f}", high=f"{found.high:.0f}"),
    ):
        board.path(points(xs, ys), kind)
    ends = [_at(*at, radius + by, min(found.middle, _END_DEG)) for by in (-4, thick + 4)]
    board.line(*ends[0], *ends[1], "line thick")


def _machine(board: Board, outline: Outline, slope_deg: float, x0: float, y0: float, room: float) -> None:
    """Track and upper structure as outlines on the asked slope, with the centre of gravity and its plumb line."""
    length, tall, height = outline.length_m, outline.loop_m, outline.gravity_m
    scale = room / (2.2 * length)
    ahead = -abs(outline.offset_m)  # the way it stands worst: downhill
    turned = math.radians(slope_deg)
    start = 0.55 * length

    def place(along: float, up: float) -> tuple[float, float]:
        x = (start + along) * math.cos(turned) - up * math.sin(turned)
        y = (start + along) * math.sin(turned) + up * math.cos(turned)
        return x0 + x * scale, y0 - y * scale

    ray = _at(x0, y0, room * 1.06, slope_deg)
    board.line(x0, y0, *ray, "line thick")
    half = tall / 2
    ends = [(length / 2, -1), (-length / 2, 1)]
    track = [
        (at + half * way * -math.sin(t), half + half * -math.cos(t) * 1.0)
        for at, way in ends
        for t in (np.linspace(0, math.pi, 13) if way == -1 else np.linspace(math.pi, 0, 13))
    ]
    board.path(_outline([place(*one) for one in track]), "solid")
    body = [
        (-0.42, 1.1),
        (0.42, 1.1),
        (0.42, 1.75),
        (0.1, 1.75),
        (0.1, 2.6),
        (-0.22, 2.6),
        (-0.22, 1.75),
        (-0.42, 1.75),
    ]
    board.path(_outline([place(along * length, up * tall) for along, up in body]), "solid")
    centre = place(ahead, height)
    board.circle(*centre, 5, "full")
    edge = y0 - (centre[0] - x0) * math.tan(turned)
    board.path(f"M{px(centre[0])} {px(centre[1])}V{px(edge)}", "line dash")


def _outline(places: list[tuple[float, float]]) -> str:
    xs, ys = zip(*places, strict=True)
    return points(xs, ys)


def _told(fit: ToldGround) -> str:
    told = []
    for outcome, _, english in _SECTORS:
        said = translated(english)
        found = fit.figure(outcome)
        figures = (
            worded("no figure: {reason}", reason=say(found.reason))
            if found.middle is None
            else worded(
                "{middle} degrees ({low} to {high}{without})",
                middle=f"{found.middle:.0f}",
                low=f"{found.low:.0f}",
                high=f"{found.high:.0f}",
                without=_without(found.without),
            )
        )
        more = "".join(f", {one}" for one in _more(fit, outcome))
        told.append(f"{said[0].upper()}{said[1:]} {figures}{more}.")
    return " ".join([*told, translated(_WARNING)])
