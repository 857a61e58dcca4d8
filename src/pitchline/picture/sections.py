"""One part in three states, new, at its limit and today: outlines to draw, with losses made larger by a stated factor.

See docs/explanation/shape.md.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from pitchline.shape.numbers import Floats
from pitchline.shape.outlines import (
    bar_outline,
    bush_outline,
    enlarged_m,
    idler_outline,
    rail_outline,
    tread_outline,
)
from pitchline.shape.sizes import PROPORTIONS, scale_of
from pitchline.shape.sprocket import pitch_diameter_m
from pitchline.shape.tooth import ToothSizes, tooth_gap
from pitchline.trade.findings import FindingKind
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Side
from pitchline.verdict import Judged, PartVerdict
from pitchline.words import translated

FACTORS = (1, 2, 3, 4, 5, 8, 10)
SEEN = 0.1
"""Loss to the limit should come to this share of what is drawn, where nothing else is asked for."""
_MOST = 0.75
"""No size is drawn smaller than this share less than new."""
_MOST_OF_A_BUSH = 0.17
"""The same for a bush: nothing is drawn down into its bore."""
_HEIGHTS = {
    PartKind.LINK: Measurand.RAIL_HEIGHT,
    PartKind.SHOE: Measurand.GROUSER_HEIGHT,
    PartKind.PAD: Measurand.PAD_HEIGHT,
    PartKind.RUBBER_TRACK: Measurand.LUG_HEIGHT,
    PartKind.IDLER: Measurand.TREAD_DEPTH,
}
_BARS = {1: (0.3,), 2: (-0.3, 0.3), 3: (-0.36, 0.0, 0.36)}

Sizes = Mapping[Measurand, float]
_Draw = Callable[[Sizes], tuple[Floats, ...]]


@dataclass(frozen=True, slots=True)
class Dim:
    """A height marked beside an outline, or words with a reading beside it where both ends are the same.

    Parameters
    ----------
    said : str
        A word before the reading; empty for none.
    size_m : float
        The reading [m]; what is drawn may be larger.
    x_m, low_m, high_m : float
        Where it stands on the outline [m].
    """

    said: str
    size_m: float
    x_m: float
    low_m: float
    high_m: float


@dataclass(frozen=True, slots=True)
class States:
    """Outlines of one part; each state may have several closed pieces.

    Parameters
    ----------
    new, now : tuple of ndarray, each shape (n, 2)
        Outlines new and today [m].
    limit : tuple of ndarray, each shape (n, 2)
        Outlines at the limit [m]; empty where none is entered.
    body : tuple of ndarray, each shape (n, 2)
        Metal that does not wear [m].
    times : int
        How many times as large the loss is drawn.
    in_rows : bool
        Whether the states stand under each other instead of on each other.
    notes : tuple of (str, float, float)
        Words beside the outline, and where [m].
    dims : tuple of Dim
        Heights as read today, to be marked beside the outline.
    """

    new: tuple[Floats, ...]
    now: tuple[Floats, ...]
    limit: tuple[Floats, ...]
    body: tuple[Floats, ...]
    times: int
    in_rows: bool = False
    notes: tuple[tuple[str, float, float], ...] = ()
    dims: tuple[Dim, ...] = ()


def states_of(part: PartVerdict, gear: RunningGear, most: int = FACTORS[-1], seen: float = SEEN) -> States | None:
    """The three states of a part from its readings; None where nothing was read that has a new size.

    Parameters
    ----------
    part : PartVerdict
        The part.
    gear : RunningGear
        The running gear it belongs to.
    most : int
        The loss is drawn at most this many times as large.
    seen : float
        Share of the drawing that the loss to the limit should come to.

    Returns
    -------
    States or None
        Outlines [m].
    """
    read = [judged for judged in part.judged if judged.new_m is not None]
    if not any(judged.believed_m is not None for judged in read) or part.place.part not in _DRAWN:
        return None
    new = {judged.measurand: judged.new_m for judged in read if judged.new_m is not None}
    now = {judged.measurand: judged.believed_m for judged in read if judged.believed_m is not None}
    limit = {judged.measurand: judged.limit_m for judged in read if judged.limit_m is not None}
    draw, body = _DRAWN[part.place.part](part, gear, new)
    times = (
        1 if part.place.part is PartKind.SPROCKET else min(most, _times(draw(new), read, part.place.part, seen))
    )
    worn, end = _larger(new, now, times), _larger(new, limit, times)
    states = States(draw(new), draw(worn), draw(end) if limit else (), body, times)
    if part.place.part is PartKind.CHAIN:
        return _in_rows(states, 1.7 * _share(gear, "bush diameter"))
    return replace(states, dims=tuple(_dims(part.place.part, states, now)))


def _dims(kind: PartKind, states: States, now: Sizes) -> Iterator[Dim]:
    """What was read today, marked where it is read; a roller's and a sprocket's figures stand under the drawing alone."""
    if kind is PartKind.BUSH:
        reach = 0.42 * float(np.ptp(states.new[0][:, 0]))
        for said, way, face in (
            (translated("forward"), 1, Measurand.BUSH_OD_FORWARD),
            (translated("reverse"), -1, Measurand.BUSH_OD_REVERSE),
        ):
            yield Dim(said, now.get(face, np.nan), 1.35 * way * reach, 1.1 * reach, 1.1 * reach)
        return
    what = _HEIGHTS.get(kind)
    if what is None or what not in now:
        return
    everything = np.vstack([*states.new, *states.now, *states.body])
    today = np.vstack(states.now) if kind is not PartKind.RUBBER_TRACK else states.now[0]
    right, top = float(everything[:, 0].max()), float(today[:, 1].max())
    low = float(today[today[:, 0] > 0.99 * right][:, 1].max()) if kind is PartKind.IDLER else 0.0
    yield Dim("", now[what], right + 0.05 * float(np.ptp(everything[:, 0])), low, top)


def _in_rows(states: States, apart_m: float) -> States:
    """New above, today in the middle, the limit below."""

    def moved(outlines: tuple[Floats, ...], up_m: float) -> tuple[Floats, ...]:
        return tuple(np.add(outline, (0.0, up_m)) for outline in outlines)

    left = -0.55 * apart_m
    rows = (
        (translated("new"), apart_m),
        (translated("today"), 0.0),
        (translated("limit"), -apart_m if states.limit else None),
    )
    notes = tuple((said, left, y - 0.12 * apart_m) for said, y in rows if y is not None)
    return replace(
        states, new=moved(states.new, apart_m), limit=moved(states.limit, -apart_m), in_rows=True, notes=notes
    )


def _larger(new: Sizes, worn: Sizes, times: int) -> dict[Measurand, float]:
    return {what: enlarged_m(size, worn.get(what, size), times) for what, size in new.items()}


def _times(outline: tuple[Floats, ...], read: list[Judged], kind: PartKind, seen: float) -> int:
    """The smallest factor that lets the loss be seen and leaves something of every size."""
    corners = np.vstack(outline)
    extent = float(np.max(np.ptp(corners, axis=0)))
    losses = [
        (abs(end - one.new_m), one.new_m)
        for one in read
        for end in (one.limit_m, one.believed_m)
        if end and one.new_m
    ]
    largest = max(loss for loss, _ in losses)
    most = _MOST_OF_A_BUSH if kind is PartKind.BUSH else _MOST
    room = min(most * new / loss for loss, new in losses if loss > 0) if largest > 0 else 1
    wanted = next((one for one in FACTORS if one * largest >= seen * extent), FACTORS[-1])
    return max((one for one in FACTORS if one <= min(wanted, room)), default=1)


def _share(gear: RunningGear, name: str) -> float:
    return PROPORTIONS[name] * scale_of(gear)


_Made = tuple[_Draw, tuple[Floats, ...]]


def _bush(part: PartVerdict, gear: RunningGear, new: Sizes) -> _Made:
    fresh = max(new.values())

    def draw(sizes: Sizes) -> tuple[Floats, ...]:
        faces = (sizes.get(one, fresh) for one in (Measurand.BUSH_OD_FORWARD, Measurand.BUSH_OD_REVERSE))
        return (bush_outline(fresh, *(min(face, fresh) for face in faces)),)

    bore = 0.62 * fresh
    return draw, (bush_outline(bore, bore, bore),)


def _link(part: PartVerdict, gear: RunningGear, new: Sizes) -> _Made:
    fresh, scale = new[Measurand.RAIL_HEIGHT], scale_of(gear)

    def draw(sizes: Sizes) -> tuple[Floats, ...]:
        return (rail_outline(sizes[Measurand.RAIL_HEIGHT], 0.24 * scale, 0.13 * scale, 0.16 * scale, fresh),)

    return draw, (_block(-0.3 * scale, -_share(gear, "shoe thickness"), 0.3 * scale, 0.0),)


def _shoe(part: PartVerdict, gear: RunningGear, new: Sizes) -> _Made:
    fresh, scale = new[Measurand.GROUSER_HEIGHT], scale_of(gear)
    places = _BARS.get(gear.grousers_per_shoe, _BARS[1])
    plate = _share(gear, "shoe thickness")

    def draw(sizes: Sizes) -> tuple[Floats, ...]:
        height = sizes[Measurand.GROUSER_HEIGHT]
        soft = min(0.3 * max(fresh - height, 0.0), 0.02 * scale)
        bar = bar_outline(max(height, 0.0), 0.06 * scale, 0.12 * scale, fresh, soft)
        return tuple(np.add(bar, (place * scale, 0.0)) for place in places)

    return draw, (_block(-0.5 * scale, -plate, 0.55 * scale, 0.0),)


def _pad(part: PartVerdict, gear: RunningGear, new: Sizes) -> _Made:
    fresh, scale = new[Measurand.PAD_HEIGHT], scale_of(gear)

    def draw(sizes: Sizes) -> tuple[Floats, ...]:
        height = max(sizes[Measurand.PAD_HEIGHT], 0.0)
        return (
            bar_outline(height, 0.84 * scale, 0.9 * scale, fresh, min(0.4 * abs(fresh - height), 0.05 * scale)),
        )

    return draw, (_block(-0.5 * scale, -_share(gear, "shoe thickness"), 0.5 * scale, 0.0),)


def _roller(part: PartVerdict, gear: RunningGear, new: Sizes) -> _Made:
    fresh = new.get(Measurand.TREAD_DIAMETER, _share(gear, "roller tread"))
    flange = new.get(Measurand.FLANGE_THICKNESS, _share(gear, "roller flange thickness"))
    bottom = part.place.part is PartKind.BOTTOM_ROLLER
    two = bottom and part.place.position in gear.two_flange_rollers
    coned = any(finding.kind is FindingKind.UNEVEN_TREAD for finding in part.findings)
    width, high = _share(gear, "roller tread width"), _share(gear, "roller flange height")

    def draw(sizes: Sizes) -> tuple[Floats, ...]:
        tread = sizes.get(Measurand.TREAD_DIAMETER, fresh)
        thick = max(sizes.get(Measurand.FLANGE_THICKNESS, flange), 0.1 * flange)
        return (
            tread_outline(fresh, tread, width, high if bottom else 0.5 * high, thick, two, coned, 0.16 * fresh),
        )

    return draw, ()


def _idler(part: PartVerdict, gear: RunningGear, new: Sizes) -> _Made:
    fresh, scale = new[Measurand.TREAD_DEPTH], scale_of(gear)
    rim = 0.6 * scale

    def draw(sizes: Sizes) -> tuple[Floats, ...]:
        depth = min(max(sizes[Measurand.TREAD_DEPTH], 0.0), 0.9 * rim)
        return (idler_outline(scale + fresh, depth, 0.34 * scale, 0.32 * scale, scale + fresh - rim),)

    return draw, ()


def _sprocket(part: PartVerdict, gear: RunningGear, new: Sizes) -> _Made:
    circle = float(pitch_diameter_m(gear.pitch_m, gear.sprocket_teeth, gear.sprocket_gaps)) / 2
    bush = _share(gear, "bush diameter") if gear.has_chain else PROPORTIONS["drive lug"] * gear.pitch_m
    root, tooth = new.get(Measurand.ROOT_DIAMETER), new.get(Measurand.TOOTH_THICKNESS)
    step, way = 2 * np.pi / gear.sprocket_teeth, -1 if part.place.side is Side.RIGHT else 1

    def draw(sizes: Sizes) -> tuple[Floats, ...]:
        lost = root - sizes[Measurand.ROOT_DIAMETER] if root is not None else 0.0
        thin = tooth - sizes[Measurand.TOOTH_THICKNESS] if tooth is not None else 0.0
        gap = tooth_gap(ToothSizes(gear.sprocket_teeth, circle, bush, max(lost, 0.0), max(thin, 0.0)))
        lowest = int(np.argmin(np.abs(gap[:, 0])))
        turned = [_turned(gap, -step)[lowest:], gap, _turned(gap, step)[: lowest + 1]]
        rim = circle - 1.6 * bush
        ends = [_polar(rim, np.pi / 2 + step), _polar(rim, np.pi / 2 - step)]
        return (np.vstack([*turned, ends]) * (way, 1),)

    return draw, ()


def _rubber(part: PartVerdict, gear: RunningGear, new: Sizes) -> _Made:
    scale, thick = scale_of(gear), _share(gear, "belt thickness")
    lug = new.get(Measurand.LUG_HEIGHT, _share(gear, "rubber lug height"))
    guide = new.get(Measurand.GUIDE_LUG_WIDTH, _share(gear, "guide lug width"))
    high = _share(gear, "guide lug height")

    def draw(sizes: Sizes) -> tuple[Floats, ...]:
        height = max(sizes.get(Measurand.LUG_HEIGHT, lug), 0.0)
        wide = max(sizes.get(Measurand.GUIDE_LUG_WIDTH, guide), 0.1 * guide)
        outside = bar_outline(
            height, 0.55 * scale, 0.7 * scale, lug, min(0.4 * max(lug - height, 0), 0.04 * scale)
        )
        inside = bar_outline(high, 0.6 * wide, wide, high) * (1, -1) - (0, thick)
        return outside, inside

    return draw, (_block(-0.8 * scale, -thick, 0.8 * scale, 0.0),)


def _chain(part: PartVerdict, gear: RunningGear, new: Sizes) -> _Made:
    """Five joints, four pitches; the growth of all four together is what is drawn larger."""
    bush = _share(gear, "bush diameter")
    turn = np.linspace(0, 2 * np.pi, 48, endpoint=False)
    ring = np.column_stack([np.cos(turn), np.sin(turn)]) * bush / 2

    def draw(sizes: Sizes) -> tuple[Floats, ...]:
        return tuple(np.add(ring, (number * sizes[Measurand.PITCH], 0.0)) for number in range(5))

    return draw, ()


def _block(left: float, low: float, right: float, high: float) -> Floats:
    return np.array([(left, low), (left, high), (right, high), (right, low)])


def _turned(corners: Floats, angle: float) -> Floats:
    cos, sin = np.cos(angle), np.sin(angle)
    return np.asarray(corners @ np.array([[cos, sin], [-sin, cos]]), dtype=np.float64)


def _polar(radius: float, angle: float) -> tuple[float, float]:
    return radius * float(np.cos(angle)), radius * float(np.sin(angle))


_DRAWN: dict[PartKind, Callable[[PartVerdict, RunningGear, Sizes], _Made]] = {
    PartKind.BUSH: _bush,
    PartKind.LINK: _link,
    PartKind.SHOE: _shoe,
    PartKind.PAD: _pad,
    PartKind.BOTTOM_ROLLER: _roller,
    PartKind.UPPER_ROLLER: _roller,
    PartKind.IDLER: _idler,
    PartKind.SPROCKET: _sprocket,
    PartKind.RUBBER_TRACK: _rubber,
    PartKind.CHAIN: _chain,
}
