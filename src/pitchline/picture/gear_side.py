"""A running gear by itself, before anything was read on it: one side to scale, with what was counted on it."""

from pitchline.picture.footnote import assumed_said, with_note
from pitchline.picture.gear_drawing import Drawn, Sight, draw_gear, reach_m
from pitchline.picture.ink import SMALL_PX, Board, Tone
from pitchline.picture.letters import width_px
from pitchline.picture.measures import Measures
from pitchline.picture.part_words import length_said
from pitchline.shape.gear import lay_out
from pitchline.shape.sizes import Known, sizes_of
from pitchline.shape.span import Wheel
from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.units import UnitSystem
from pitchline.words import counted, translated, worded

_EDGE, _HEAD, _HEIGHT_BESIDE = 14.0, 58.0, 72.0
LEAST_WIDTH, MOST_WIDTH, DIMENSIONS_FROM = 320, 2400, 560


def gear_svg(
    gear: RunningGear,
    width: int = 720,
    units: UnitSystem = UnitSystem.METRIC,
    tone: Tone = Tone.SYSTEM,
    prefix: str = "gear",
    new: Known | None = None,
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
    dims = board.width >= DIMENSIONS_FROM
    scale = (board.width - 2 * _EDGE - _HEIGHT_BESIDE * dims) / (high - low)
    sight = Sight(scale, _EDGE, _HEAD + tall * scale, low, high, True)
    draw_gear(Drawn(board, laid, sight, {}, scale > 120, fresh))
    board.line(_EDGE, sight.ground, board.width - _EDGE, sight.ground, "fine")
    for place, wheel in zip(laid.places, laid.wheels, strict=True):
        if place.part is PartKind.BOTTOM_ROLLER:
            two = "\u2016" if place.position in gear.two_flange_rollers else ""
            board.text(sight.x(wheel.x_m), sight.ground + 15, f"{place.position}{two}", "s m")
        elif place.part is PartKind.UPPER_ROLLER:
            board.text(sight.x(wheel.x_m), sight.y(wheel.y_m - wheel.radius_m) + 16, str(place.position), "s m o")
    _counted(board, sight, laid.wheel(PartKind.SPROCKET), gear, units)
    board.text(_EDGE, sight.ground + 15, translated("front"), "s g")
    foot = sight.ground + 26
    if dims:
        foot = Measures(board, laid, units, {}).over_all(sight, sight.ground + 16)
    told = ". ".join(_said(gear, units))
    foot = with_note(board, foot + 12, assumed_said(laid.sizes), _EDGE) if new is not None else foot + 6
    return board.svg(foot, translated("Running gear, left side"), told, tone)


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
