"""Pressure under both tracks as the upper structure slews: two lines with their ranges, and the tracks from above."""

import math

import numpy as np

from pitchline.ground.sweeps import SlewSweep
from pitchline.picture.chart import Chart, round_top
from pitchline.picture.footnote import with_note
from pitchline.picture.heading import one_line
from pitchline.picture.ink import SMALL_PX, Board, Tone
from pitchline.picture.letters import shortened, width_px
from pitchline.picture.strip import LEAST_WIDTH, MOST_WIDTH
from pitchline.trade.writing import as_figure
from pitchline.words import in_english, translated, worded

_MARKS = (
    (0, in_english("ahead")),
    (90, in_english("right")),
    (180, in_english("behind")),
    (270, in_english("left")),
    (360, in_english("ahead")),
)


def slew_svg(
    sweep: SlewSweep, title: str, width: int = 900, tone: Tone = Tone.SYSTEM, prefix: str = "slew", note: str = ""
) -> str:
    """The sweep as an SVG drawing.

    Parameters
    ----------
    sweep : SlewSweep
        As `ground.sweeps.slew_sweep` makes it.
    title : str
        Machine, load and reach, in words.
    width : int
        Width [CSS pixels], 320 to 2400.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    prefix : str
        Beginning of every id and class.
    note : str
        What stands below the drawing, such as what it rests on; empty for nothing.
    """
    board = Board(min(max(width, LEAST_WIDTH), MOST_WIDTH), prefix)
    angle = np.append(sweep.slew_deg, 360.0)
    left, right = (np.vstack([one, one[:1]]) / 1e3 for one in (sweep.left_pa, sweep.right_pa))
    highest = np.nanmax([np.nanmax(left[:, 2], initial=0.0), np.nanmax(right[:, 2], initial=0.0), 1.0])
    end, step = round_top(float(highest))
    one_line(board, title)
    said = translated("Highest pressure under each track, kPa, by where the boom points.")
    board.text(
        16,
        46,
        said if width_px(said, SMALL_PX) < board.width - 32 else translated("Highest pressure under each, kPa"),
        "s g",
    )
    chart = Chart(board, 56, 66, board.width - 24, 306, (0.0, 360.0), (0.0, end))
    chart.frame(
        [(a, translated(said)) for a, said in _MARKS],
        [(at, as_figure(at, "g")) for at in np.arange(0.0, end + step / 2, step)],
    )
    with board.group("left", translated("left track")):
        chart.band(angle, left[:, 0], left[:, 2])
    with board.group("right", translated("right track")):
        chart.band(angle, right[:, 0], right[:, 2])
    chart.curve(angle, left[:, 1])
    chart.curve(angle, right[:, 1], "line dash thick")
    chart.curve(angle, np.full(angle.size, sweep.mean_pa / 1e3), "new")
    for at, _ in _MARKS:
        _from_above(board, chart.x(at), 356, at)
    _key(board, 412)
    return board.svg(with_note(board, 448, note), title, _told(sweep), tone)


def _from_above(board: Board, x: float, y: float, angle_deg: float) -> None:
    """Two tracks and the boom."""
    x = min(max(x, 34), board.width - 34)
    board.box(x - 15, y - 20, 8, 40, "solid")
    board.box(x + 7, y - 20, 8, 40, "solid dash")
    turned = math.radians(angle_deg)
    board.circle(x, y, 5, "full")
    board.line(x, y, x + 24 * math.sin(turned), y - 24 * math.cos(turned), "line thick")


def _key(board: Board, y: float) -> None:
    board.line(16, y - 4, 46, y - 4, "line thick")
    board.text(52, y, translated("left track"), "s")
    board.line(128, y - 4, 158, y - 4, "line dash thick")
    board.text(164, y, translated("right track"), "s")
    board.line(16, y + 15, 46, y + 15, "new")
    board.text(52, y + 19, translated("weight over area"), "s")
    board.box(164, y + 9, 11, 11, "fan")
    board.text(182, y + 19, shortened(translated("1 in 10 to 9 in 10"), SMALL_PX, board.width - 198), "s")


def _told(sweep: SlewSweep) -> str:
    told = []
    for side, figures in ((translated("Left"), sweep.left_pa), (translated("Right"), sweep.right_pa)):
        if np.isfinite(figures[:, 1]).any():
            worst = int(np.nanargmax(figures[:, 1]))
            low, middle, high = figures[worst, :3] / 1e3
            told.append(
                worded(
                    "{side} track: most with the boom at {slew_deg} degrees, {middle} kPa ({low} to {high}).",
                    side=side,
                    slew_deg=f"{sweep.slew_deg[worst]:.0f}",
                    middle=f"{middle:.0f}",
                    low=f"{low:.0f}",
                    high=f"{high:.0f}",
                )
            )
    gone = max(float(np.max(one[:, 3])) for one in (sweep.left_pa, sweep.right_pa))
    if gone > 0:
        told.append(worded("At the worst angle it tips in {gone} % of the cases.", gone=f"{100 * gone:.0f}"))
    return " ".join(
        [
            *told,
            worded(
                "Weight over area: {mean_pa} kPa. Figures to compare by.", mean_pa=f"{sweep.mean_pa / 1e3:.0f}"
            ),
        ]
    )
