"""A running gear by itself, before anything was read on it: one side to scale, with what was counted on it."""

from collections.abc import Mapping

import numpy as np

from pitchline.picture.footnote import assumed_said, with_note
from pitchline.picture.gear_drawing import Drawn, Sight, draw_gear, reach_m
from pitchline.picture.ink import SMALL_PX, TEXT_PX, Board, Tone
from pitchline.picture.letters import width_px
from pitchline.picture.measures import Measures
from pitchline.picture.part_words import first_up, length_said
from pitchline.shape.gear import Laid, lay_out
from pitchline.shape.sizes import Known, sizes_of
from pitchline.shape.span import Wheel
from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.units import UnitSystem
from pitchline.words import counted, translated, worded
from pitchline.words.labels import plural

_EDGE, _HEAD, _HEIGHT_BESIDE = 14.0, 58.0, 72.0
LEAST_WIDTH, MOST_WIDTH, DIMENSIONS_FROM = 320, 2400, 560


def gear_svg(
    gear: RunningGear,
    width: int = 720,
    units: UnitSystem = UnitSystem.METRIC,
    tone: Tone = Tone.SYSTEM,
    prefix: str = "gear",
    new: Known | None = None,
    marked: PartKind | None = None,
    named: bool = True,
    letters: Mapping[PartKind, str] | None = None,
) -> str:
    """The left side of a running gear as an SVG drawing.

    Parameters
    ----------
    gear : RunningGear
        The running gear; sizes it does not say are proportions of our own.
    width : int
        Width [CSS pixels], 320 to 2400; from 560 on it carries its dimensions.
    units : UnitSystem
        Metric or imperial.
    tone : Tone
        Light, dark, or what the reader's system prefers.
    prefix : str
        Beginning of every id and class; a letter, then letters, digits or dashes.
    new : mapping of (Place, Measurand) to float, or None
        New sizes entered [m], drawn as they are; what is still assumed is then said below the drawing.
    marked : PartKind or None
        A part filled in, to show where it sits; what was counted is then left out.
    named : bool
        Whether the part marked is called by its name.
    letters : mapping of PartKind to str, or None
        A letter for each of some parts, with a line to it, in the place of what was counted.

    Raises
    ------
    NotAllowedError
        Counts that cannot go together.

    References
    ----------
    Our own drawing; geometry as in docs/explanation/shape.md.
    """
    entered = new or {}
    laid, fresh = lay_out(gear, Side.LEFT, {}, entered), sizes_of(gear, Side.LEFT, entered)
    board = Board(min(max(width, LEAST_WIDTH), MOST_WIDTH), prefix)
    low, high, tall = reach_m(laid)
    dims = board.width >= DIMENSIONS_FROM and marked is None and letters is None
    scale = (board.width - 2 * _EDGE - _HEIGHT_BESIDE * dims) / (high - low)
    sight = Sight(scale, _EDGE, _HEAD + tall * scale, low, high, True)
    draw_gear(Drawn(board, laid, sight, {}, scale > 120, fresh, marked))
    board.line(_EDGE, sight.ground, board.width - _EDGE, sight.ground, "fine")
    for place, wheel in zip(laid.places, laid.wheels, strict=True):
        if place.part is PartKind.BOTTOM_ROLLER:
            two = "\u2016" if place.position in gear.two_flange_rollers else ""
            board.text(sight.x(wheel.x_m), sight.ground + 15, f"{place.position}{two}", "s m")
        elif place.part is PartKind.UPPER_ROLLER:
            board.text(sight.x(wheel.x_m), sight.y(wheel.y_m - wheel.radius_m) + 16, str(place.position), "s m o")
    if letters is not None:
        _letters(board, sight, laid, letters, tall)
    elif marked is None:
        _counted(board, sight, laid.wheel(PartKind.SPROCKET), gear, units)
    else:
        _mark(board, sight, laid, marked, tall, named)
    board.text(_EDGE, sight.ground + 15, translated("front"), "s g")
    foot = sight.ground + 26
    if dims:
        foot = Measures(board, laid, units, {}).over_all(sight, sight.ground + 16)
    told = ". ".join(_said(gear, units))
    foot = with_note(board, foot + 12, assumed_said(laid.sizes), _EDGE) if new is not None else foot + 6
    title = translated("Running gear, left side")
    if marked is not None and named:
        title = worded("{part} on a running gear, left side", part=first_up(plural(marked)))
    return board.svg(foot, title, told, tone)


def _mark(board: Board, sight: Sight, laid: Laid, part: PartKind, tall: float, named: bool) -> None:
    """The name of the part filled in and a line to it; what no other drawing has, guard and slew ring, drawn plain."""
    spot = _spot(board, sight, laid, part, tall)
    name = first_up(plural(part)) if named else "?"
    half = width_px(name, TEXT_PX) / 2
    x = min(max(spot[0] + (30 if spot[0] < board.width / 2 else -30), _EDGE + half), board.width - _EDGE - half)
    board.text(x, 20, name, "b m")
    board.leader(x, 26, *spot)


def _letters(board: Board, sight: Sight, laid: Laid, letters: Mapping[PartKind, str], tall: float) -> None:
    """Letters in a row over the drawing, in the order of what they lead to, so that no two lines cross more than they must."""
    spots = sorted((_spot(board, sight, laid, part, tall), letter) for part, letter in letters.items())
    apart = (board.width - 4 * _EDGE) / max(len(spots) - 1, 1)
    for n, (spot, letter) in enumerate(spots):
        x = 2 * _EDGE + n * apart
        board.text(x, 20, letter, "b m")
        board.leader(x, 26, *spot)


def _spot(board: Board, sight: Sight, laid: Laid, part: PartKind, tall: float) -> tuple[float, float]:
    sizes = laid.sizes
    rollers = [
        wheel
        for place, wheel in zip(laid.places, laid.wheels, strict=True)
        if place.part is PartKind.BOTTOM_ROLLER
    ]
    if part in (
        PartKind.BOTTOM_ROLLER,
        PartKind.UPPER_ROLLER,
        PartKind.IDLER,
        PartKind.SPROCKET,
        PartKind.FINAL_DRIVE,
    ):
        drive = part in (PartKind.SPROCKET, PartKind.FINAL_DRIVE)
        wheel = laid.wheel(PartKind.SPROCKET) if drive else laid.wheel(part, 1)
        up = 0.68 * wheel.radius_m if part is PartKind.SPROCKET else 0.0
        return sight.x(wheel.x_m), sight.y(wheel.y_m + up)
    idler, middle_m = laid.wheel(PartKind.IDLER, 1), (laid.wheel(PartKind.IDLER, 1).x_m + laid.wheels[1].x_m) / 2
    if part is PartKind.TRACK_ADJUSTER:
        return sight.x(idler.x_m - 2.0 * idler.radius_m), sight.y(idler.y_m)
    if part is PartKind.GUARD:
        front, back = (sight.x(pick(wheel.x_m for wheel in rollers)) for pick in (max, min))
        high = 0.4 * 2 * rollers[0].radius_m * sight.scale
        top = sight.y(rollers[0].y_m) - high / 2
        board.box(min(front, back), top, abs(back - front), high, "full")
        return (front + back) / 2, top + high / 2
    if part is PartKind.SLEW_RING:
        wide, high = 1.5 * rollers[0].radius_m * 8 * sight.scale, 9.0
        top = sight.y(tall) - high - 4
        board.box(sight.x(middle_m) - wide / 2, top, wide, high, "full")
        return sight.x(middle_m), top + high / 2
    x, y = laid.joints
    above = np.where(y > idler.y_m, np.abs(x - middle_m), np.inf)
    one = int(np.argmin(above))
    out = sizes.joint_above_shoe_m + sizes.shoe_m / 2 if part in (PartKind.SHOE, PartKind.PAD) else 0.0
    return sight.x(float(x[one])), sight.y(float(y[one]) + out)


def _counted(board: Board, sight: Sight, sprocket: Wheel, gear: RunningGear, units: UnitSystem) -> None:
    """What was counted, over the drawing: the chain at its front, the sprocket over itself."""
    chain, teeth = _said(gear, units)[:2]
    board.text(_EDGE, 24, chain, "s b")
    board.text(board.width - _EDGE, 44, teeth, "s b e")
    half = width_px(teeth, SMALL_PX) / 2
    board.leader(
        board.width - _EDGE - half, 49, sight.x(sprocket.x_m), sight.y(sprocket.y_m + 0.7 * sprocket.radius_m)
    )


def _said(gear: RunningGear, units: UnitSystem) -> list[str]:
    pitch = length_said(gear.pitch_m, units)
    if gear.has_chain:
        chain = worded("{n} joints, pitch {pitch}", n=gear.joints_per_side, pitch=pitch)
    else:
        chain = worded("{n} links, pitch {pitch}", n=gear.joints_per_side, pitch=pitch)
    teeth = worded("{n} teeth", n=gear.sprocket_teeth)
    low = counted("{n} bottom roller", "{n} bottom rollers", gear.bottom_rollers_per_side)
    high = counted("{n} upper roller", "{n} upper rollers", gear.upper_rollers_per_side)
    return [chain, teeth, low.format(n=gear.bottom_rollers_per_side), high.format(n=gear.upper_rollers_per_side)]
