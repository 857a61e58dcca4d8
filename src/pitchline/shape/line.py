"""The closed line on which joint centres lie: arcs on wheels, straights between them, hanging spans on top."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from pitchline.shape.hull import taut_loop
from pitchline.shape.numbers import Floats
from pitchline.shape.span import HangingSpan, Wheel, hanging_span
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_figure

_ARC, _STRAIGHT, _HANGING = 0, 1, 2
_TURN = 2 * math.pi


@dataclass(frozen=True, slots=True)
class ClosedLine:
    """A closed line, run through anticlockwise from the front wheel's foremost arc.

    Parameters
    ----------
    kind : ndarray of int, shape (k,)
        Of each piece: 0 arc, 1 straight, 2 hanging span.
    wheel : ndarray of int, shape (k,)
        Wheel an arc lies on, -1 for other pieces.
    ends_m : ndarray, shape (k + 1,)
        Distance along the line at which pieces begin, and the whole length at the end [m].
    figures : ndarray, shape (k, 4)
        Arc: centre x, y, radius [m], first direction [rad]. Straight: start x, y [m], direction x, y [1]. Hanging: level point
        x, y, scale, start along the curve [m].
    """

    kind: np.ndarray
    wheel: np.ndarray
    ends_m: Floats
    figures: Floats

    @property
    def length_m(self) -> float:
        """Length of the whole line [m]."""
        return float(self.ends_m[-1])

    def at(self, along_m: ArrayLike) -> tuple[Floats, Floats, Floats]:
        """Where points along the line lie, and which way it runs there.

        Parameters
        ----------
        along_m : array_like, shape (n,)
            Distance along the line [m]; whole turns are taken off.

        Returns
        -------
        tuple of ndarray, shape (n,)
            x and y [m], and direction [rad] from level forward, anticlockwise.
        """
        s = np.mod(np.asarray(along_m, dtype=np.float64), self.length_m)
        piece = np.clip(np.searchsorted(self.ends_m, s, side="right") - 1, 0, self.kind.size - 1)
        t, kind = s - self.ends_m[piece], self.kind[piece]
        a, b, c, d = self.figures[piece].T
        with np.errstate(divide="ignore", invalid="ignore"):
            turned = d + t / c
            hang = d - t
            arc = a + c * np.cos(turned), b + c * np.sin(turned), turned + np.pi / 2
            straight = a + c * t, b + d * t, np.arctan2(d, c)
            hung = a + c * np.arcsinh(hang / c), b + hang**2 / (np.hypot(c, hang) + c), np.pi + np.arctan(hang / c)
        on_arc, on_straight = kind == _ARC, kind == _STRAIGHT
        x, y, way = (
            np.where(on_arc, one, np.where(on_straight, two, three))
            for one, two, three in zip(arc, straight, hung, strict=True)
        )
        return x, y, way


@dataclass(frozen=True, slots=True)
class _Link:
    """How the line goes from one wheel to the next: straight, or hanging."""

    here: int
    there: int
    leaves_rad: float
    arrives_rad: float
    span: HangingSpan | None = None


def closed_line(
    wheels: Sequence[Wheel], front: int, drive: int, upper: Sequence[int], scale_m: float | None
) -> ClosedLine:
    """The line round wheels: taut below and at the ends, hanging over the upper rollers on top.

    Parameters
    ----------
    wheels : sequence of Wheel
        All wheels, each with the radius on which joint centres ride.
    front, drive : int
        Numbers of the wheels between which the upper run lies: front idler and sprocket.
    upper : sequence of int
        Numbers of the upper rollers, from the front; one that the chain hangs clear of is passed over.
    scale_m : float or None
        Pull over weight of the upper run [m], above zero; None draws it taut.

    Raises
    ------
    NotAllowedError
        No upper run between front idler and sprocket, or a chain too slack to reach from one to the other.

    References
    ----------
    Derived: the taut loop round all wheels but the upper rollers, its upper run put in place of the straight.
    """
    above = set(upper)
    lower = [number for number in range(len(wheels)) if number not in above]
    places = np.array([(wheels[n].x_m, wheels[n].y_m, wheels[n].radius_m) for n in lower])
    loop = taut_loop(*places.T)
    touched = [lower[number] for number in loop.touched]
    links: list[_Link] = []
    for place, here in enumerate(touched):
        there, angle = touched[(place + 1) % len(touched)], loop.leaves_rad[place]
        if (here, there) == (front, drive):
            links += _upper_run(wheels, [front, *upper, drive], scale_m)
        else:
            links.append(_Link(here, there, angle, angle))
    if not any(link.there == drive and link.arrives_rad < math.pi for link in links):
        raise NotAllowedError(
            "upper run", "none", "a run from front idler to sprocket", "Check the wheels' places."
        )
    return _joined(wheels, links)


def _upper_run(wheels: Sequence[Wheel], order: list[int], scale_m: float | None) -> list[_Link]:
    """Spans from front to rear; a roller the chain would lift off is left out, the worst first."""
    while True:
        links = [_one_span(wheels, here, there, scale_m) for here, there in pairwise(order)]
        lifts = [after.leaves_rad - before.arrives_rad for before, after in pairwise(links)]
        if not lifts or min(lifts) >= 0:
            return links
        del order[1 + lifts.index(min(lifts))]


def _one_span(wheels: Sequence[Wheel], here: int, there: int, scale_m: float | None) -> _Link:
    front, rear = wheels[here], wheels[there]
    if scale_m is None:
        apart = math.atan2(rear.y_m - front.y_m, rear.x_m - front.x_m) % _TURN
        step = (front.radius_m - rear.radius_m) / math.hypot(front.x_m - rear.x_m, front.y_m - rear.y_m)
        angle = apart - math.acos(step)
        return _Link(here, there, angle, angle)
    span = hanging_span(front, rear, scale_m)
    return _Link(here, there, span.front_rad, span.rear_rad, span)


def _joined(wheels: Sequence[Wheel], links: list[_Link]) -> ClosedLine:
    kinds, on, lengths, figures = [], [], [], []
    for number, link in enumerate(links):
        before = links[number - 1].arrives_rad - (_TURN if number == 0 else 0.0)
        wheel = wheels[link.here]
        kinds.append(_ARC)
        on.append(link.here)
        lengths.append(wheel.radius_m * _turned(before, link.leaves_rad))
        figures.append((wheel.x_m, wheel.y_m, wheel.radius_m, before))
        kinds.append(_STRAIGHT if link.span is None else _HANGING)
        on.append(-1)
        length, figure = _straight(wheels, link) if link.span is None else _hung(link.span)
        lengths.append(length)
        figures.append(figure)
    ends = np.concatenate([[0.0], np.cumsum(lengths)])
    return ClosedLine(np.array(kinds), np.array(on), ends, np.array(figures))


def _turned(before: float, after: float) -> float:
    """Anticlockwise turn from one direction to the other; a hair back counts as none."""
    turn = (after - before) % _TURN
    return 0.0 if turn > _TURN - 1e-9 else turn


def _straight(wheels: Sequence[Wheel], link: _Link) -> tuple[float, tuple[float, float, float, float]]:
    here, there, angle = wheels[link.here], wheels[link.there], link.leaves_rad
    x, y = here.x_m + here.radius_m * math.cos(angle), here.y_m + here.radius_m * math.sin(angle)
    to_x, to_y = there.x_m + there.radius_m * math.cos(angle), there.y_m + there.radius_m * math.sin(angle)
    length = math.hypot(to_x - x, to_y - y)
    return length, (x, y, -math.sin(angle), math.cos(angle))


def _hung(span: HangingSpan) -> tuple[float, tuple[float, float, float, float]]:
    return span.length_m, (span.x_m, span.y_m, span.scale_m, span.front_s_m)


def joints_on_line(line: ClosedLine, pitch_m: float, joints: int, start_m: float) -> tuple[Floats, float]:
    """Joint centres laid one after the other, a pitch apart as the crow flies.

    Parameters
    ----------
    line : ClosedLine
        The line.
    pitch_m : float
        Pitch of one joint [m], above zero.
    joints : int
        Joints to lay, 3 or more.
    start_m : float
        Where along the line the first one lies [m].

    Returns
    -------
    tuple of (ndarray, shape (joints,), float)
        Where along the line each joint lies [m], and how far the last link reaches past the first joint [m]: above zero where
        the chain is too long for the line.

    Raises
    ------
    NotAllowedError
        A pitch not above zero, or fewer than three joints.

    References
    ----------
    Newton's rule on all steps at once: a step is lengthened by what its chord lacks of the pitch.
    """
    if not pitch_m > 0 or joints < 3:
        raise NotAllowedError(
            "chain",
            phrase("{joints} joints of {pitch_m} m", joints=joints, pitch_m=as_figure(pitch_m, "g")),
            "3 or more joints, a pitch above 0",
        )
    steps = np.full(joints, pitch_m)
    for _ in range(60):
        along = start_m + np.concatenate([[0.0], np.cumsum(steps)])
        x, y, way = line.at(along)
        dx, dy = np.diff(x), np.diff(y)
        chord = np.hypot(dx, dy)
        gain = np.clip((dx * np.cos(way[1:]) + dy * np.sin(way[1:])) / chord, 0.3, 1.0)
        lack = (pitch_m - chord) / gain
        steps = steps + lack
        if np.max(np.abs(lack)) < 1e-12:
            break
    along = start_m + np.concatenate([[0.0], np.cumsum(steps)])
    return along[:-1], float(along[-1] - start_m - line.length_m)
