"""Dimensions of a side elevation: between wheel centres, over all, height, and the sag from its straightedge."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pitchline.picture.gear_drawing import Sight, outer_m, reach_m
from pitchline.picture.ink import SMALL_PX, Board
from pitchline.picture.letters import width_px
from pitchline.picture.part_words import big_length_said, length_said
from pitchline.shape.gear import Laid
from pitchline.shape.span import tangent_leans_rad
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.units import UnitSystem
from pitchline.verdict import PartVerdict
from pitchline.words import translated, worded

Leader = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Measures:
    """What is measured on one side elevation."""

    board: Board
    laid: Laid
    units: UnitSystem
    parts: dict[Place, PartVerdict]

    def sag(self, sight: Sight, leaders: list[Leader]) -> None:
        """The straightedge over the longest upper span, and how far down the chain hangs."""
        part = PartKind.CHAIN if self.laid.gear.has_chain else PartKind.RUBBER_TRACK
        hung = self.parts.get(Place(part, self.laid.side))
        if hung is None or all(one.measurand is not Measurand.SAG or one.value_m is None for one in hung.judged):
            return
        numbers = [0, *(n for n, p in enumerate(self.laid.places) if p.part is PartKind.UPPER_ROLLER)]
        drive = self.laid.places.index(Place(PartKind.SPROCKET, self.laid.side))
        wheels = [self.laid.wheels[number] for number in (*numbers, drive)]
        front, rear = max(pairwise(wheels), key=lambda pair: pair[0].x_m - pair[1].x_m)
        lean, out = tangent_leans_rad(front, rear), outer_m(self.laid)
        ends = [
            (wheel.x_m - (wheel.radius_m + out) * np.sin(lean), wheel.y_m + (wheel.radius_m + out) * np.cos(lean))
            for wheel in (front, rear)
        ]
        (x1, y1), (x2, y2) = [(sight.x(float(x)), sight.y(float(y))) for x, y in ends]
        self.board.line(x1, y1, x2, y2, "fine")
        for x, y in ((x1, y1), (x2, y2)):
            self.board.line(x, y - 4, x, y + 4, "fine")
        at = self._depth(sight, (x1, y1), (x2, y2))
        said = worded("sag {sag}", sag=length_said(self.laid.sizes.sag_m, self.units))
        half = width_px(said, SMALL_PX) / 2
        rise = half * abs((y2 - y1) / (x2 - x1)) + 5
        beside = (at + half + 9 - x1) / (x2 - x1)
        shares = sorted(np.linspace(0.1, 0.9, 33), key=lambda share: abs(share - beside))
        spots = [(x1 + share * (x2 - x1), y1 + share * (y2 - y1) - rise) for share in shares]
        clear = (spot for spot in spots if not any(_crosses(leader, *spot, half + 3) for leader in leaders))
        self.board.text(*next(clear, spots[0]), said, "s m g")

    def _depth(self, sight: Sight, one: tuple[float, float], two: tuple[float, float]) -> float:
        """Down from the straightedge to the chain where it hangs lowest: the distance that a rule reads. Returns where."""
        x_m, y_m, way = self.laid.line.at(np.linspace(0, self.laid.line.length_m, 721))
        out = outer_m(self.laid)
        x, y = sight.spots(x_m + out * np.sin(way), y_m - out * np.cos(way))
        (x1, y1), (x2, y2) = sorted((one, two))
        level = y1 + (y2 - y1) * (x - x1) / (x2 - x1)
        inside = (x > x1) & (x < x2) & (np.abs(y - level) < 0.25 * (x2 - x1))
        if not inside.any():
            return (x1 + x2) / 2
        deepest = int(np.argmax(np.where(inside, y - level, -np.inf)))
        at, high, low = float(x[deepest]), float(level[deepest]), float(y[deepest])
        self.board.line(at, high, at, low, "halo")
        self.board.line(at, high, at, low, "line")
        for end in (high, low):
            self.board.line(at - 4, end, at + 4, end, "line")
        return at

    def over_all(self, sight: Sight, top: float) -> float:
        """Between the end wheels, and over all; a scale bar beside; the height at the side."""
        board, laid = self.board, self.laid
        ends, unit = (laid.wheels[1].x_m, laid.wheels[0].x_m), self.units
        low, high, tall = reach_m(laid)
        self.level(
            sight.x(ends[0]),
            sight.x(ends[1]),
            top + 14,
            worded("wheel centres {centres}", centres=big_length_said(laid.centres_m, unit)),
        )
        self.level(
            sight.x(low), sight.x(high), top + 38, worded("over all {low}", low=big_length_said(high - low, unit))
        )
        edge = max(sight.x(low), sight.x(high)) + 12
        board.arrow(edge, sight.y(tall), edge, sight.ground)
        board.line(edge - 6, sight.y(tall), edge + 4, sight.y(tall), "fine")
        middle = sight.y(tall / 2)
        board.text(edge + 10, middle - 3, translated("height"), "s g")
        board.text(edge + 10, middle + 13, big_length_said(tall, unit), "s")
        return top + 52

    def level(self, x1: float, x2: float, y: float, said: str) -> None:
        """A level dimension line with its figure in the middle."""
        left, right = min(x1, x2), max(x1, x2)
        middle, half = (left + right) / 2, width_px(said, SMALL_PX) / 2 + 6
        for x in (left, right):
            self.board.line(x, y - 6, x, y + 6, "fine")
        self.board.line(left, y, middle - half, y, "fine")
        self.board.line(middle + half, y, right, y, "fine")
        for x, way in ((left, 1), (right, -1)):
            self.board.path(f"M{x:.1f} {y:.1f}l{7 * way} -2.2v4.4Z", "full")
        self.board.text(middle, y + 4, said, "s m")


def _crosses(leader: Leader, middle: float, y: float, half: float) -> bool:
    """Whether a leader runs through text of this half width."""
    x1, y1, x2, y2 = leader
    steps = np.linspace(0, 1, 40)
    x, at = x1 + steps * (x2 - x1), y1 + steps * (y2 - y1)
    return bool(np.any((np.abs(x - middle) < half) & (at > y - SMALL_PX) & (at < y + 4)))
