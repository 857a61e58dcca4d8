"""The small drawing of a walk-round: one side's track and wheels in outline, and where each part is on it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from django.utils.safestring import SafeString, mark_safe

from pitchline.shape.gear import Laid, lay_out
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.writing import way_in_force
from pitchline.words import translated

WIDE, EDGE, ABOVE = 330.0, 14.0, 22.0
"""Width, free edge and room for the mark above [CSS pixels]."""
_RING = 19
"""Height at which the slew ring is drawn, above the track and below its mark [CSS pixels]."""
_ON_TRACK = {
    PartKind.CHAIN: 0.15,
    PartKind.BUSH: 0.30,
    PartKind.LINK: 0.45,
    PartKind.SHOE: 0.60,
    PartKind.PAD: 0.75,
    PartKind.RUBBER_TRACK: 0.45,
}
"""Where along the upper run, from the front, the mark stands for parts that go all the way round. Our own."""
_LAYERS = {PartKind.BUSH: "bush", PartKind.LINK: "link", PartKind.SHOE: "shoe", PartKind.PAD: "shoe"}
"""What is drawn over the track for a part of it, each in its own way; the others are the whole track."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a part is on the small drawing.

    Parameters
    ----------
    side : str
        "left" or "right"; the left drawing for a part there is one of.
    name : str
        Class of what is drawn for it; empty where only the mark shows it.
    x, y : int
        The mark's tip [CSS pixels].
    """

    side: str
    name: str
    x: int
    y: int


@dataclass(frozen=True, slots=True)
class Route:
    """Both sides in outline.

    Parameters
    ----------
    height : int
        Of the drawing [CSS pixels].
    sides : tuple of (str, SafeString)
        Side, and what is drawn for it.
    spots : mapping of str to Spot
        By place key.
    """

    height: int
    sides: tuple[tuple[str, SafeString], ...]
    spots: Mapping[str, Spot] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Paper:
    """From metres to pixels; the left side is seen with its front to the left."""

    scale: float
    low_m: float
    high_m: float
    ground: float
    flip: bool

    def x(self, x_m: float) -> float:
        along = self.high_m - x_m if self.flip else x_m - self.low_m
        return EDGE + along * self.scale

    def y(self, y_m: float) -> float:
        return self.ground - y_m * self.scale


def route_of(gear: RunningGear) -> Route | None:
    """The small drawing of a running gear, wheels at proportions of our own; None where its counts cannot go together."""
    return _route(gear, way_in_force().language)


@lru_cache(maxsize=64)
def _route(gear: RunningGear, _language: str) -> Route | None:
    try:
        laid = lay_out(gear, Side.LEFT, {}, {})
    except NotAllowedError:
        return None
    x, y, _ = laid.line.at(np.linspace(0, laid.line.length_m, 97))
    scale = (WIDE - 2 * EDGE) / float(x.max() - x.min())
    ground = ABOVE + 6 + float(y.max()) * scale
    sides, spots = [], dict[str, Spot]()
    for side in (Side.LEFT, Side.RIGHT):
        paper = _Paper(scale, float(x.min()), float(x.max()), ground, side is Side.LEFT)
        sides.append((side.value, _drawn(laid, paper, side, gear.slew_ring)))
        for place in gear.places():
            if place.side in (side, Side.NONE):
                spots.setdefault(place.key, _spot(laid, paper, place, side))
    return Route(round(ground + 20), tuple(sides), spots)


def _drawn(laid: Laid, paper: _Paper, side: Side, ring: bool) -> SafeString:
    x, y, _ = laid.line.at(np.linspace(0, laid.line.length_m, 97)[:-1])
    run = "L".join(f"{paper.x(a):.0f} {paper.y(b):.0f}" for a, b in zip(x.tolist(), y.tolist(), strict=True))
    layers = "".join(
        f'<use class="layer {name}" data-spot="{name}" href="#run-{side.value}"/>'
        for name in ("bush", "link", "shoe")
    )
    shapes = [
        f'<defs><path id="run-{side.value}" d="M{run}Z"/></defs>',
        f'<use class="track" data-spot="track" href="#run-{side.value}"/>{layers}',
    ]
    if ring:
        middle = (paper.x(laid.wheel(PartKind.IDLER, 1).x_m) + paper.x(laid.wheel(PartKind.SPROCKET).x_m)) / 2
        shapes.append(f'<path class="layer ring" data-spot="slew-ring" d="M{middle - 32:.0f} {_RING}h64"/>')
    for place, wheel in zip(laid.places, laid.wheels, strict=True):
        at = f'cx="{paper.x(wheel.x_m):.0f}" cy="{paper.y(wheel.y_m):.0f}"'
        radius = max(wheel.radius_m * paper.scale * 0.8, 4)
        shapes.append(f'<circle class="wheel" data-spot="{_name(place)}" {at} r="{radius:.1f}"/>')
    front, anchor = (EDGE, "start") if side is Side.LEFT else (WIDE - EDGE, "end")
    shapes.append(
        f'<text x="{front:.0f}" y="{paper.ground + 17:.0f}" text-anchor="{anchor}">{translated("front")}</text>'
    )
    return mark_safe("".join(shapes))  # noqa: S308  numbers and our own words only


def _name(place: Place) -> str:
    return f"{place.part.value}-{place.position}".replace("_", "-")


def _spot(laid: Laid, paper: _Paper, place: Place, side: Side) -> Spot:
    here = Place(place.part, Side.LEFT, place.position)
    if here in laid.places:
        wheel = laid.wheels[laid.places.index(here)]
        top = paper.y(wheel.y_m + wheel.radius_m * 0.8)
        return Spot(side.value, _name(place), round(paper.x(wheel.x_m)), round(top))
    front, rear = laid.wheel(PartKind.IDLER, 1), laid.wheel(PartKind.SPROCKET)
    if place.part is PartKind.FINAL_DRIVE:
        return Spot(side.value, "sprocket-0", round(paper.x(rear.x_m)), round(paper.y(rear.y_m)))
    share = _ON_TRACK.get(place.part)
    if share is not None:
        x_m = front.x_m + share * (rear.x_m - front.x_m)
        return Spot(side.value, _LAYERS.get(place.part, "track"), round(paper.x(x_m)), round(ABOVE + 4))
    share = {PartKind.TRACK_ADJUSTER: 0.2, PartKind.GUARD: 0.5}.get(place.part, 0.5)
    x_m = front.x_m + share * (rear.x_m - front.x_m)
    if place.part is PartKind.SLEW_RING:
        return Spot(side.value, "slew-ring", round(paper.x(x_m)), _RING - 3)
    high = paper.y(front.y_m * (0.35 if share == 0.5 else 1.0))
    return Spot(side.value, "", round(paper.x(x_m)), round(high))
