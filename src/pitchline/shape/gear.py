"""One side's running gear laid out: wheels in their places, the chain closed round them, the idler where that puts it.

The places of wheels are proportions of our own; how far apart sprocket and idler stand follows from the count of joints.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from pitchline.shape.line import ClosedLine, closed_line, joints_on_line
from pitchline.shape.numbers import Floats
from pitchline.shape.sizes import Known, Sizes, sizes_of
from pitchline.shape.span import Wheel, scale_for_depth_m
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.machine import Layout, RunningGear
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.writing import as_figure

CLOSED_M = 1e-8
"""A loop counts as closed within this."""
_SPROCKET_UP, _IDLER_UP, _UPPER_UP = 0.12, 0.06, 0.04
_RAISED_BACK, _RAISED_HIGH = 0.20, 0.82
_CLEAR = 1.06
_TAUT_M = 1e-4


@dataclass(frozen=True, slots=True)
class Laid:
    """One side's running gear, to scale.

    x runs forward from the sprocket, or from the rear idler under a raised one; y up from the ground.

    Parameters
    ----------
    gear : RunningGear
        The running gear.
    side : Side
        Left or right.
    sizes : Sizes
        Its sizes today.
    places : tuple of Place
        What each wheel is.
    wheels : tuple of Wheel
        Each wheel, with the radius on which joint centres ride [m].
    line : ClosedLine
        The line of joint centres, or of a rubber track's cord.
    joint_along_m : ndarray, shape (joints,)
        Where along the line each joint lies [m].
    centres_m : float
        Between the end wheels' centres: sprocket and idler, or the two idlers [m].
    take_up_m : float
        How far the front idler stands further out than with everything new [m].
    take_up_rate : float
        Chain length taken up for each length the idler moves [1].
    closure_m : float
        What the loop lacks of closing [m].
    """

    gear: RunningGear
    side: Side
    sizes: Sizes
    places: tuple[Place, ...]
    wheels: tuple[Wheel, ...]
    line: ClosedLine
    joint_along_m: Floats
    centres_m: float
    take_up_m: float
    take_up_rate: float
    closure_m: float

    def wheel(self, part: PartKind, position: int = 0) -> Wheel:
        """One wheel by what it is.

        Parameters
        ----------
        part : PartKind
            Sprocket, idler or roller.
        position : int
            Its number; 0 for the sprocket.
        """
        return self.wheels[self.places.index(Place(part, self.side, position))]

    @property
    def joints(self) -> tuple[Floats, Floats]:
        """Joint centres, x and y, each shape (joints,) [m]."""
        x, y, _ = self.line.at(self.joint_along_m)
        return x, y


@dataclass(frozen=True, slots=True)
class _Frame:
    """Wheels as the frame holds them; only the front idler moves."""

    places: tuple[Place, ...]
    wheels: tuple[Wheel, ...]
    idler: int
    drive: int
    upper: tuple[int, ...]


def lay_out(gear: RunningGear, side: Side, now: Known, new: Known) -> Laid:
    """One side's running gear as it stands today.

    Parameters
    ----------
    gear : RunningGear
        The running gear.
    side : Side
        Left or right.
    now : mapping of (Place, Measurand) to float
        Sizes as read [m]; what is missing is taken as new.
    new : mapping of (Place, Measurand) to float
        New sizes as entered [m]; what is missing is a proportion of our own.

    Returns
    -------
    Laid
        Everything in its place [m].

    Raises
    ------
    NotAllowedError
        Sizes that cannot go together: a chain too short for its wheels, or a sag no chain can have.

    References
    ----------
    Derived: the frame is what lets the new chain close round new wheels; today's idler is where today's chain closes.

    Examples
    --------
    >>> from pitchline.trade.machine import SprocketGaps, TrackKind
    >>> gear = RunningGear(TrackKind.STEEL, 49, 0.2, 0.6, 25, SprocketGaps.EVERY_SECOND, 8, 2)
    >>> laid = lay_out(gear, Side.LEFT, {}, {})
    >>> laid.joint_along_m.size, abs(laid.closure_m) < 1e-5, round(laid.take_up_m, 9)
    (49, True, 0.0)
    """
    fresh = sizes_of(gear, side, new)
    today, left = sizes_of(gear, side, now, new), gear.on(side)
    start_m = _guess_m(gear, fresh)
    built_m = _closing(lambda centres_m: _overshoot(gear, fresh, _placed(gear, side, fresh, centres_m)), start_m)
    frame = _placed(gear, side, fresh, built_m)

    def overshoot(idler_m: float) -> float:
        return _overshoot(left, today, _today(frame, today, fresh, idler_m))

    idler_m = _closing(overshoot, built_m)
    standing = _today(frame, today, fresh, idler_m)
    line = _line(left, today, standing)
    along, over = _joints(left, today, line, standing.drive)
    rate = (overshoot(idler_m - 1e-4) - overshoot(idler_m + 1e-4)) / 2e-4
    return Laid(
        gear, side, today, standing.places, standing.wheels, line, along, idler_m, idler_m - built_m, min(rate, 2.0), over
    )  # fmt: skip


def _guess_m(gear: RunningGear, sizes: Sizes) -> float:
    girth = math.pi * (sizes.idler_joint_m + sizes.sprocket_joint_m)
    return max((sizes.pitch_m * gear.joints_per_side - girth) / 2, sizes.idler_joint_m + sizes.sprocket_joint_m)


def _closing(overshoot: Callable[[float], float], start_m: float) -> float:
    """Where the loop closes, by the secant rule; half the overshoot is the first step."""
    last, here = start_m, start_m
    left = overshoot(start_m)
    slope = -2.0
    for _ in range(40):
        if abs(left) < CLOSED_M:
            return here
        last, here = here, here - left / slope
        was, left = left, overshoot(here)
        if here != last and (left - was) / (here - last) < -0.2:
            slope = (left - was) / (here - last)
    raise NotAllowedError(
        "joints per side",
        phrase("{here} m between wheels", here=as_figure(here, "g")),
        "a chain that closes round its wheels",
        "Count.",
    )


def _overshoot(gear: RunningGear, sizes: Sizes, frame: _Frame) -> float:
    line = _line(gear, sizes, frame)
    return _joints(gear, sizes, line, frame.drive)[1]


def _joints(gear: RunningGear, sizes: Sizes, line: ClosedLine, drive: int) -> tuple[Floats, float]:
    """Joints from the middle of the sprocket's arc on; a rubber track's cord goes along the line itself."""
    arc = int(np.flatnonzero(line.wheel == drive)[0])
    start = float(line.ends_m[arc] + line.ends_m[arc + 1]) / 2
    if gear.has_chain:
        return joints_on_line(line, sizes.pitch_m, gear.joints_per_side, start)
    along: Floats = start + sizes.pitch_m * np.arange(gear.joints_per_side, dtype=np.float64)
    return along, sizes.pitch_m * gear.joints_per_side - line.length_m


def _line(gear: RunningGear, sizes: Sizes, frame: _Frame) -> ClosedLine:
    """The line, its longest upper span hanging as far as read; the other spans have the same pull."""
    order = [frame.idler, *frame.upper, frame.drive]
    spans = [(frame.wheels[one], frame.wheels[two]) for one, two in pairwise(order)]
    longest = max(spans, key=lambda span: span[0].x_m - span[1].x_m)
    scale = scale_for_depth_m(*longest, sizes.sag_m) if sizes.sag_m > _TAUT_M else None
    return closed_line(frame.wheels, frame.idler, frame.drive, frame.upper, scale)


def _placed(gear: RunningGear, side: Side, sizes: Sizes, centres_m: float) -> _Frame:
    """All wheels of a frame whose end wheels stand this far apart."""
    low, scale = sizes.joint_above_ground_m, sizes.scale_m
    raised = gear.layout is Layout.RAISED_SPROCKET
    idler = Wheel(centres_m, low + _IDLER_UP * scale + sizes.idler_joint_m, sizes.idler_joint_m)
    if raised:
        up = _RAISED_HIGH * (sizes.idler_joint_m + sizes.sprocket_joint_m)
        drive = Wheel(_RAISED_BACK * centres_m, idler.y_m + up, sizes.sprocket_joint_m)
        rear = replace(idler, x_m=0.0)
    else:
        drive = Wheel(0.0, low + _SPROCKET_UP * scale + sizes.sprocket_joint_m, sizes.sprocket_joint_m)
        rear = drive
    wheels, places = [idler], [Place(PartKind.IDLER, side, 1)]
    if raised:
        wheels.append(rear)
        places.append(Place(PartKind.IDLER, side, 2))
    wheels.append(drive)
    places.append(Place(PartKind.SPROCKET, side))
    for number, wheel in enumerate(_bottom(sizes, idler, rear, raised), 1):
        wheels.append(wheel)
        places.append(Place(PartKind.BOTTOM_ROLLER, side, number))
    first_upper = len(wheels)
    for number, wheel in enumerate(_upper(sizes, idler, drive), 1):
        wheels.append(wheel)
        places.append(Place(PartKind.UPPER_ROLLER, side, number))
    return _Frame(tuple(places), tuple(wheels), 0, 2 if raised else 1, tuple(range(first_upper, len(wheels))))


def _bottom(sizes: Sizes, idler: Wheel, rear: Wheel, raised: bool) -> list[Wheel]:
    """Bottom rollers, evenly from clear of the idler to clear of the rear wheel, their axles on one level."""
    treads = sizes.bottom_tread_m
    if not treads:
        return []
    below = sizes.joint_below_rail_m
    y = sizes.joint_above_ground_m + below + max(treads) / 2
    flange = max(treads) / 2 + sizes.flange_m
    front = idler.x_m - _apart(idler, y, idler.radius_m - below, flange)
    reach = rear.radius_m - below if raised else rear.radius_m + 0.1 * sizes.scale_m
    last = rear.x_m + _apart(rear, y, reach, flange)
    if len(treads) == 1:
        front = last = (front + last) / 2
    xs = np.linspace(front, last, len(treads))
    return [Wheel(float(x), y, tread / 2 + below) for x, tread in zip(xs, treads, strict=True)]


def _apart(wheel: Wheel, y: float, reach: float, flange: float) -> float:
    """How far along two wheels of these sizes clear each other."""
    return _CLEAR * math.sqrt(max((reach + flange) ** 2 - (wheel.y_m - y) ** 2, flange**2))


def _upper(sizes: Sizes, idler: Wheel, drive: Wheel) -> list[Wheel]:
    """Upper rollers evenly under the straight from idler to sprocket, a little into it."""
    dx, dy = drive.x_m - idler.x_m, drive.y_m - idler.y_m
    angle = math.atan2(dy, dx) - math.acos((idler.radius_m - drive.radius_m) / math.hypot(dx, dy))
    up = np.array([math.cos(angle), math.sin(angle)])
    start = np.array([idler.x_m, idler.y_m]) + idler.radius_m * up
    end = np.array([drive.x_m, drive.y_m]) + drive.radius_m * up
    wheels = []
    for number, tread in enumerate(sizes.upper_tread_m, 1):
        joint = tread / 2 + sizes.joint_below_rail_m
        x, y = (
            start
            + (end - start) * number / (len(sizes.upper_tread_m) + 1)
            - (joint - _UPPER_UP * sizes.scale_m) * up
        )
        wheels.append(Wheel(float(x), float(y), joint))
    return wheels


def _today(frame: _Frame, today: Sizes, fresh: Sizes, idler_m: float) -> _Frame:
    """The same frame with today's wheels, its front idler moved; the ground comes up as grousers wear and treads shrink."""
    sunk = max(fresh.bottom_tread_m, default=0.0) / 2 + fresh.joint_below_rail_m + fresh.joint_above_ground_m
    sunk -= max(today.bottom_tread_m, default=0.0) / 2 + today.joint_below_rail_m + today.joint_above_ground_m
    radii = {
        PartKind.SPROCKET: (today.sprocket_joint_m,),
        PartKind.IDLER: (today.idler_joint_m,) * 2,
        PartKind.BOTTOM_ROLLER: tuple(tread / 2 + today.joint_below_rail_m for tread in today.bottom_tread_m),
        PartKind.UPPER_ROLLER: tuple(tread / 2 + today.joint_below_rail_m for tread in today.upper_tread_m),
    }
    wheels = [
        Wheel(
            idler_m if number == frame.idler else wheel.x_m,
            wheel.y_m - sunk,
            radii[place.part][max(place.position - 1, 0)],
        )
        for number, (wheel, place) in enumerate(zip(frame.wheels, frame.places, strict=True))
    ]
    return replace(frame, wheels=tuple(wheels))
