"""A span of chain that hangs between two wheels and meets both smoothly."""

import math
from dataclasses import dataclass

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_figure


@dataclass(frozen=True, slots=True)
class Wheel:
    """A circle on which joint centres ride.

    Parameters
    ----------
    x_m, y_m : float
        Centre [m]; x forward, y up.
    radius_m : float
        Radius of the joint centres [m], above zero.
    """

    x_m: float
    y_m: float
    radius_m: float


@dataclass(frozen=True, slots=True)
class HangingSpan:
    """A catenary from a front wheel back to a rear one.

    Parameters
    ----------
    scale_m : float
        Pull over weight [m].
    x_m, y_m : float
        Where the whole curve would be level [m].
    front_rad, rear_rad : float
        Direction from each wheel's centre to where the chain touches it [rad], from level forward, anticlockwise.
    front_s_m, rear_s_m : float
        Length along the curve from its level point to each end [m], signed with x.
    """

    scale_m: float
    x_m: float
    y_m: float
    front_rad: float
    rear_rad: float
    front_s_m: float
    rear_s_m: float

    @property
    def length_m(self) -> float:
        """Length of the hanging chain [m]."""
        return self.front_s_m - self.rear_s_m


def tangent_leans_rad(front: Wheel, rear: Wheel) -> float:
    """How far the straight over two wheels leans: its fall from front to rear.

    Parameters
    ----------
    front, rear : Wheel
        The wheels, the front one further forward.

    Returns
    -------
    float
        Angle [rad] between level and the common upper tangent; above zero where it falls towards the rear.

    Raises
    ------
    NotAllowedError
        One wheel inside the other, or not in front of the other.

    References
    ----------
    Common outer tangent of two circles.

    Examples
    --------
    >>> tangent_leans_rad(Wheel(1.0, 0.0, 0.3), Wheel(0.0, 0.0, 0.3))
    0.0
    """
    dx, dy = front.x_m - rear.x_m, front.y_m - rear.y_m
    apart, step = math.hypot(dx, dy), front.radius_m - rear.radius_m
    if dx <= 0 or apart <= abs(step):
        raise NotAllowedError(
            "wheels",
            phrase("{dx} m apart", dx=as_figure(dx, "g")),
            "one in front of the other, neither inside",
            "Measure again.",
        )
    return math.atan2(dy, dx) + math.asin(step / apart)


def hanging_span(front: Wheel, rear: Wheel, scale_m: float) -> HangingSpan:
    """The catenary of given pull over weight that meets both wheels smoothly on top.

    Parameters
    ----------
    front, rear : Wheel
        The wheels, the front one further forward.
    scale_m : float
        Pull over weight [m], above zero.

    Returns
    -------
    HangingSpan
        Where it touches, and how long it is.

    Raises
    ------
    NotAllowedError
        Wheels not one in front of the other, or a chain so slack that no such curve was found.

    References
    ----------
    Derived: at a touching point the slope t of the chain is the wheel's; on a catenary x = a asinh t, y = a (sqrt(1 + t^2) - 1)
    from its level point. Newton's rule on the two slopes.

    Examples
    --------
    >>> span = hanging_span(Wheel(2.0, 0.0, 0.3), Wheel(0.0, 0.0, 0.3), 10.0)
    >>> round(span.x_m, 9)
    1.0
    """
    if not scale_m > 0:
        raise NotAllowedError("pull over weight", f"{as_figure(scale_m, 'g')} m", "above 0 m")
    lean = math.tan(tangent_leans_rad(front, rear))
    half = (front.x_m - rear.x_m) / (2 * scale_m)
    slopes = _meeting_slopes(front, rear, scale_m, lean + half, lean - half)
    if slopes is not None:
        fore, aft = slopes
        x0, y0 = _end(front, fore, scale_m)[0]
        return HangingSpan(
            scale_m, x0, y0, math.pi / 2 + math.atan(fore), math.pi / 2 + math.atan(aft), scale_m * fore, scale_m * aft
        )  # fmt: skip
    raise NotAllowedError(
        "sag",
        phrase("pull over weight {scale_m} m", scale_m=as_figure(scale_m, "g")),
        "a chain less slack",
        "Measure the sag again.",
    )


def _meeting_slopes(
    front: Wheel, rear: Wheel, scale_m: float, fore: float, aft: float
) -> tuple[float, float] | None:
    """Slopes at the two ends from which both tell of one level point: Newton's rule, each step cut until it helps."""

    def gap(one: float, other: float) -> tuple[float, float]:
        (ax, ay), (bx, by) = _end(front, one, scale_m)[0], _end(rear, other, scale_m)[0]
        return ax - bx, ay - by

    off_x, off_y = gap(fore, aft)
    for _ in range(100):
        (_, dxf, dyf), (_, dxr, dyr) = _end(front, fore, scale_m), _end(rear, aft, scale_m)
        det = -dxf * dyr + dyf * dxr
        if det == 0:
            return None
        step_f, step_r = (off_x * dyr - off_y * dxr) / det, (dyf * off_x - dxf * off_y) / det
        if abs(step_f) + abs(step_r) < 1e-11 * (1 + abs(fore) + abs(aft)):
            return fore + step_f, aft + step_r
        cut = 1.0
        while math.hypot(*gap(fore + cut * step_f, aft + cut * step_r)) >= math.hypot(off_x, off_y):
            cut /= 2
            if cut < 1e-6:
                return None
        fore, aft = fore + cut * step_f, aft + cut * step_r
        off_x, off_y = gap(fore, aft)
    return None


def _end(wheel: Wheel, slope: float, scale_m: float) -> tuple[tuple[float, float], float, float]:
    """Level point of the catenary that leaves a wheel's top at this slope, and how it moves with the slope."""
    root = math.sqrt(1 + slope * slope)
    x = wheel.x_m - wheel.radius_m * slope / root - scale_m * math.asinh(slope)
    y = wheel.y_m + wheel.radius_m / root - scale_m * slope * slope / (root + 1)
    dx = -wheel.radius_m / root**3 - scale_m / root
    dy = -wheel.radius_m * slope / root**3 - scale_m * slope / root
    return (x, y), dx, dy


def depth_m(span: HangingSpan, front: Wheel, rear: Wheel) -> float:
    """Sag as it is read: from a straightedge over both wheels straight down to the chain, at its deepest.

    Returns
    -------
    float
        Sag [m].

    Raises
    ------
    NotAllowedError
        Wheels not one in front of the other.

    References
    ----------
    Derived: deepest where the curve runs along the straightedge.

    Examples
    --------
    >>> front, rear = Wheel(2.0, 0.0, 0.3), Wheel(0.0, 0.0, 0.3)
    >>> 0.048 < depth_m(hanging_span(front, rear, 10.0), front, rear) < 2.0**2 / (8 * 10.0)
    True
    """
    lean = tangent_leans_rad(front, rear)
    slope = math.tan(lean)
    edge_x, edge_y = rear.x_m - rear.radius_m * math.sin(lean), rear.y_m + rear.radius_m * math.cos(lean)
    x = span.x_m + span.scale_m * math.asinh(slope)
    y = span.y_m + span.scale_m * slope * slope / (math.sqrt(1 + slope * slope) + 1)
    return edge_y + (x - edge_x) * slope - y


def scale_for_depth_m(front: Wheel, rear: Wheel, sag_m: float) -> float:
    """Pull over weight at which a span hangs down as far as read.

    Parameters
    ----------
    front, rear : Wheel
        The wheels it hangs between.
    sag_m : float
        Sag from a straightedge over both wheels [m], above zero.

    Returns
    -------
    float
        Scale H / w [m].

    Raises
    ------
    NotAllowedError
        A sag not above zero, or one too deep for these wheels.

    References
    ----------
    Secant rule on one over the scale, of which the sag is nearly a straight line, held between what sags too little and too much.

    Examples
    --------
    >>> front, rear = Wheel(2.0, 0.0, 0.3), Wheel(0.0, 0.0, 0.3)
    >>> round(depth_m(hanging_span(front, rear, scale_for_depth_m(front, rear, 0.03)), front, rear), 9)
    0.03
    """
    if not sag_m > 0:
        raise NotAllowedError("sag", f"{as_figure(sag_m, 'g')} m", "above 0 m")
    inverse = 8 * sag_m / (front.x_m - rear.x_m) ** 2
    last, last_depth = 0.0, 0.0
    tight, slack = 0.0, math.inf  # inverses known to sag too little, and too much
    for _ in range(80):
        depth = _depth_or_endless(front, rear, inverse)
        if abs(depth - sag_m) < 1e-12:
            return 1 / inverse
        tight, slack = (inverse, slack) if depth < sag_m else (tight, inverse)
        following = math.nan
        if math.isfinite(depth):
            if depth != last_depth:
                following = inverse + (sag_m - depth) * (inverse - last) / (depth - last_depth)
            last, last_depth = inverse, depth
        if not tight < following < slack:
            following = 4 * inverse if math.isinf(slack) else (tight + slack) / 2
        if abs(following - inverse) < 1e-15 * inverse:
            break
        inverse = following
    if abs(_depth_or_endless(front, rear, inverse) - sag_m) < 1e-9:
        return 1 / inverse
    raise NotAllowedError("sag", f"{as_figure(sag_m, 'g')} m", "a chain less slack", "Measure the sag again.")


def _depth_or_endless(front: Wheel, rear: Wheel, inverse_per_m: float) -> float:
    """The sag at one over the scale, or no end of it where no such chain hangs between the wheels."""
    try:
        return depth_m(hanging_span(front, rear, 1 / inverse_per_m), front, rear)
    except NotAllowedError:
        return math.inf
