"""Running gear in its place on the paper: chain, wheels, frame, each part a group of its own."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pitchline.picture.ink import Board, hatch_of, points, px
from pitchline.picture.part_words import call_said, part_name, sided
from pitchline.shape.gear import Laid
from pitchline.shape.numbers import Floats
from pitchline.shape.sizes import Sizes
from pitchline.shape.span import Wheel
from pitchline.shape.tooth import ToothSizes, sprocket_outline
from pitchline.trade.calls import Call
from pitchline.trade.machine import SprocketGaps
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place
from pitchline.verdict import PartVerdict
from pitchline.words import translated

Parts = dict[Place, PartVerdict]
_THIN_PX = 22.0
_GROUSERS = {1: (0.86,), 2: (0.12, 0.90), 3: (0.10, 0.46, 0.90)}


@dataclass(frozen=True, slots=True)
class Sight:
    """From metres on the machine to places on the paper; the left side is seen with its front to the left.

    Parameters
    ----------
    scale : float
        Pixels to a metre.
    left, ground : float
        Where the rearmost (or foremost) metre and the ground lie on the paper [CSS pixels].
    low_m, high_m : float
        First and last metre along the machine that is drawn [m].
    flip : bool
        Whether front is to the left.
    """

    scale: float
    left: float
    ground: float
    low_m: float
    high_m: float
    flip: bool

    def x(self, x_m: float) -> float:
        """Across the paper."""
        along = self.high_m - x_m if self.flip else x_m - self.low_m
        return self.left + along * self.scale

    def y(self, y_m: float) -> float:
        """Down the paper."""
        return self.ground - y_m * self.scale

    def spots(self, x_m: Floats, y_m: Floats) -> tuple[Floats, Floats]:
        """Many places at once."""
        along = self.high_m - x_m if self.flip else x_m - self.low_m
        return self.left + along * self.scale, self.ground - y_m * self.scale


@dataclass(frozen=True, slots=True)
class Drawn:
    """What a drawing of running gear needs.

    Parameters
    ----------
    board : Board
        The paper.
    laid : Laid
        Running gear in metres.
    sight : Sight
        From metres to paper.
    parts : dict of Place to PartVerdict
        Calls of this side.
    fine : bool
        Whether there is room for the finer lines.
    fresh : Sizes
        Sizes when new [m].
    marked : PartKind or None
        A part filled in, where a drawing shows which it is.
    """

    board: Board
    laid: Laid
    sight: Sight
    parts: Parts
    fine: bool
    fresh: Sizes
    marked: PartKind | None = None

    @property
    def thin(self) -> bool:
        """Whether links are so small on the paper that their lines must be thin."""
        return self.sight.scale * self.laid.sizes.pitch_m < _THIN_PX

    def keep(self, name: str, drawn: str) -> None:
        """Keep a shape, its lines as thin as the rest."""
        self.board.shape(name, f'<g class="thin">{drawn}</g>' if self.thin else drawn)

    def call(self, *kinds: PartKind) -> Call:
        """The worst call on any of these parts of this side."""
        found = [part.call for place, part in self.parts.items() if place.part in kinds]
        return max(found, key=lambda call: call.rank, default=Call.RUN)

    def fill(self, kind: PartKind, call: Call) -> str:
        """The kind of fill of a part: its call's, or ink where it is the one marked; a chain is its links and bushes."""
        of_chain = self.marked is PartKind.CHAIN and kind in (PartKind.LINK, PartKind.BUSH)
        return "full" if of_chain or (kind is self.marked is not PartKind.CHAIN) else hatch_of(call)

    def lost_m(self, kind: PartKind, what: Measurand) -> float:
        """How much of one size is gone, where both new and today's are known [m]."""
        part = self.parts.get(Place(kind, self.laid.side))
        for judged in part.judged if part is not None else ():
            if judged.measurand is what and judged.new_m is not None and judged.believed_m is not None:
                return max(judged.new_m - judged.believed_m, 0.0)
        return 0.0

    def title(self, place: Place) -> str:
        """Name and call of one part, for the reader who cannot see it."""
        name = sided(part_name(place, self.laid.gear), place.side)
        part = self.parts.get(place)
        return f"{name}: {call_said(part)}" if part is not None else name


def outer_m(laid: Laid) -> float:
    """How far shoes and grousers, or lugs, stand out beyond the line of joints [m]."""
    return laid.sizes.joint_above_ground_m


def reach_m(laid: Laid) -> tuple[float, float, float]:
    """First and last metre along the machine, and height over all, grousers or lugs and all [m]."""
    ends = [
        wheel
        for place, wheel in zip(laid.places, laid.wheels, strict=True)
        if place.part in (PartKind.IDLER, PartKind.SPROCKET)
    ]
    out = outer_m(laid)
    low = min(wheel.x_m - wheel.radius_m for wheel in ends) - out
    high = max(wheel.x_m + wheel.radius_m for wheel in ends) + out
    _, y, way = laid.line.at(np.linspace(0, laid.line.length_m, 241))
    top = max(wheel.y_m + wheel.radius_m for wheel in ends) + out
    return low, high, max(top, float((y - out * np.cos(way)).max()))


def draw_gear(drawn: Drawn) -> None:
    """All running gear of one side, from the back of the drawing to its front."""
    if drawn.thin:
        drawn.board.body.append('<g class="thin">')
        _gear(drawn)
        drawn.board.body.append("</g>")
    else:
        _gear(drawn)


def _gear(drawn: Drawn) -> None:
    _frame(drawn)
    if drawn.laid.gear.has_chain:
        _chain(drawn)
    else:
        _rubber(drawn)
    for place, wheel in zip(drawn.laid.places, drawn.laid.wheels, strict=True):
        with drawn.board.group(_name(place), drawn.title(place)):
            _wheel(drawn, place, wheel)
    if drawn.laid.gear.has_chain:
        _bushes(drawn)


def _name(place: Place) -> str:
    return place.key.replace("/", "-").replace("_", "-")


def _frame(drawn: Drawn) -> None:
    """Track frame and adjuster, our own plain beam, thin: it is there to hang the rest on."""
    laid, see, board = drawn.laid, drawn.sight, drawn.board
    idler = laid.wheel(PartKind.IDLER, 1)
    rear = laid.wheels[1]
    roller = laid.sizes.bottom_tread_m[0] if laid.sizes.bottom_tread_m else laid.sizes.scale_m
    low = laid.sizes.joint_above_ground_m + laid.sizes.joint_below_rail_m + 0.75 * roller
    high = idler.y_m + 0.2 * laid.sizes.scale_m
    back, fore = rear.x_m, idler.x_m - 1.15 * idler.radius_m
    place = Place(PartKind.TRACK_ADJUSTER, laid.side)
    with board.group("frame", translated("track frame, drawn plain")):
        corner = points(map(see.x, (back, fore, fore, back)), map(see.y, (low, low, high, high)))
        board.path(corner, "fine")
    with board.group(_name(place), drawn.title(place)):
        middle, half = idler.y_m, 0.07 * laid.sizes.scale_m
        rod = map(see.x, (fore - 0.3 * idler.radius_m, idler.x_m, idler.x_m, fore - 0.3 * idler.radius_m))
        call = drawn.parts[place].call if place in drawn.parts else Call.RUN
        kind = drawn.fill(PartKind.TRACK_ADJUSTER, call)
        board.path(
            points(rod, map(see.y, (middle - half, idler.y_m - half, idler.y_m + half, middle + half))), kind
        )
        barrel = (fore - 1.5 * idler.radius_m, fore - 0.3 * idler.radius_m)
        board.path(
            points(
                map(see.x, (barrel[0], barrel[1], barrel[1], barrel[0])),
                map(see.y, (middle - 2 * half, middle - 2 * half, middle + 2 * half, middle + 2 * half)),
            ),
            kind,
        )


def _chain(drawn: Drawn) -> None:
    """Shoes or pads behind, link plates before them; one shape set at every link."""
    laid, side = drawn.laid, drawn.laid.side
    under = PartKind.PAD if laid.gear.has_pads else PartKind.SHOE
    shoe_call, link_call = drawn.call(under, PartKind.SHOE), drawn.call(PartKind.LINK)
    drawn.keep("shoe", _shoe(drawn, drawn.fill(under, shoe_call)))
    drawn.keep("link", _link(drawn, drawn.fill(PartKind.LINK, link_call)))
    for place, shape in ((Place(under, side), "shoe"), (Place(PartKind.LINK, side), "link")):
        with drawn.board.group(_name(place), drawn.title(place)):
            _at_every_link(drawn, shape)


def _at_every_link(drawn: Drawn, shape: str) -> None:
    x, y = _joints_px(drawn)
    turn = np.degrees(np.arctan2(np.roll(y, -1) - y, np.roll(x, -1) - x))
    for at_x, at_y, degrees in zip(x, y, turn, strict=True):
        drawn.board.use(shape, at_x, at_y, degrees)


def _joints_px(drawn: Drawn) -> tuple[Floats, Floats]:
    return drawn.sight.spots(*drawn.laid.joints)


def _local(drawn: Drawn) -> Callable[[list[tuple[float, float]]], str]:
    """Corners along a link (share of pitch) and inwards [m] to a path; inwards turns over with the side seen."""
    scale, pitch = drawn.sight.scale, drawn.laid.sizes.pitch_m
    inwards = 1 if drawn.sight.flip else -1

    def path(corners: list[tuple[float, float]]) -> str:
        return points((u * pitch * scale for u, _ in corners), (inwards * v * scale for _, v in corners))

    return path


def _shoe(drawn: Drawn, kind: str) -> str:
    sizes, gear, path = drawn.laid.sizes, drawn.laid.gear, _local(drawn)
    face, plate = -sizes.joint_above_shoe_m, -sizes.joint_above_shoe_m - sizes.shoe_m
    tip = plate - sizes.tread_out_m
    if gear.has_pads:
        pad = [(0.06, plate), (0.10, tip), (0.94, tip), (0.98, plate)]
        return f'<path class="{kind}" d="{path([(0.02, face), (1.02, face), (1.02, plate), (0.02, plate)])}{path(pad)}"/>'
    corners = [(1.05, face), (-0.02, face), (-0.02, plate)]
    for middle in _GROUSERS.get(gear.grousers_per_shoe, _GROUSERS[1]):
        root, top = 0.062, 0.032
        corners += [(middle - root, plate), (middle - top, tip), (middle + top, tip), (middle + root, plate)]
    return f'<path class="{kind}" d="{path([*corners, (1.05, plate)])}"/>'


def _link(drawn: Drawn, kind: str) -> str:
    sizes, path = drawn.laid.sizes, _local(drawn)
    rail, face = sizes.joint_below_rail_m, -sizes.joint_above_shoe_m
    waist = 0.55 * face
    plate = [(-0.20, 0.35 * rail), (-0.08, rail), (0.98, rail), (1.12, 0.45 * rail), (1.12, waist), (0.96, face)]
    plate += [(0.10, face), (-0.18, waist)]
    return f'<path class="{kind}" d="{path(plate)}"/>'


def _bushes(drawn: Drawn) -> None:
    """Bushes on top of all, so that they are seen to lie in the sprocket's gaps; pins only where there is room."""
    laid, scale = drawn.laid, drawn.sight.scale
    bush, chain = Place(PartKind.BUSH, laid.side), Place(PartKind.CHAIN, laid.side)
    radius = laid.sizes.bush_m / 2 * scale
    drawn.keep(
        "bush", f'<circle class="{drawn.fill(PartKind.BUSH, drawn.call(PartKind.BUSH))}" r="{px(radius)}"/>'
    )
    x, y = _joints_px(drawn)
    with drawn.board.group(_name(bush), drawn.title(bush)):
        for at_x, at_y in zip(x, y, strict=True):
            drawn.board.use("bush", at_x, at_y)
    pin = laid.sizes.pin_m / 2 * scale
    with drawn.board.group(_name(chain), drawn.title(chain)):
        if drawn.fine and pin > 2:
            drawn.keep("pin", f'<circle class="{hatch_of(drawn.call(PartKind.CHAIN))}" r="{px(0.8 * pin)}"/>')
            for at_x, at_y in zip(x, y, strict=True):
                drawn.board.use("pin", at_x, at_y)


def _rubber(drawn: Drawn) -> None:
    """A belt of even thickness along the cord, a lug at every link."""
    laid, see, board = drawn.laid, drawn.sight, drawn.board
    place = Place(PartKind.RUBBER_TRACK, laid.side)
    kind = drawn.fill(PartKind.RUBBER_TRACK, drawn.call(PartKind.RUBBER_TRACK))
    half = laid.sizes.rail_m / 2
    x, y, way = laid.line.at(np.linspace(0, laid.line.length_m, 181)[:-1])
    rings = [points(map(see.x, x + off * np.sin(way)), map(see.y, y - off * np.cos(way))) for off in (half, -half)]
    path = _local(drawn)
    lug = [
        (0.14, -half),
        (0.24, -half - laid.sizes.tread_out_m),
        (0.66, -half - laid.sizes.tread_out_m),
        (0.76, -half),
    ]
    drawn.keep("lug", f'<path class="{kind}" d="{path(lug)}"/>')
    with board.group(_name(place), drawn.title(place)):
        _at_every_link(drawn, "lug")
        board.body.append(f'<path class="{kind}" fill-rule="evenodd" d="{"".join(rings)}"/>')


def _wheel(drawn: Drawn, place: Place, wheel: Wheel) -> None:
    call = drawn.parts[place].call if place in drawn.parts else Call.RUN
    kind, board, scale = drawn.fill(place.part, call), drawn.board, drawn.sight.scale
    x, y = drawn.sight.x(wheel.x_m), drawn.sight.y(wheel.y_m)
    sizes = drawn.laid.sizes
    tread = (wheel.radius_m - sizes.joint_below_rail_m) * scale
    if place.part is PartKind.SPROCKET:
        _sprocket(drawn, wheel, kind)
        return
    if place.part is PartKind.IDLER:
        flange = _idler_depth_m(drawn) * scale
        board.circle(x, y, tread + flange, kind)
        board.circle(x, y, tread, "fine")
        if drawn.fine:
            board.circle(x, y, 0.74 * tread, "fine")
        board.circle(x, y, 0.2 * tread, "solid")
        return
    new_tread = (sizes.bottom_tread_m if place.part is PartKind.BOTTOM_ROLLER else sizes.upper_tread_m)[
        place.position - 1
    ]
    flanged = place.part is PartKind.BOTTOM_ROLLER
    board.circle(x, y, new_tread / 2 * scale + (sizes.flange_m * scale if flanged else 0), kind)
    if flanged and drawn.fine:
        board.circle(x, y, tread, "fine")
    board.circle(x, y, 0.32 * tread, "solid")


def _idler_depth_m(drawn: Drawn) -> float:
    part = drawn.parts.get(Place(PartKind.IDLER, drawn.laid.side, 1))
    for judged in part.judged if part else ():
        if judged.measurand is Measurand.TREAD_DEPTH and judged.believed_m is not None:
            return judged.believed_m
    return 0.1 * drawn.laid.sizes.scale_m


def _sprocket(drawn: Drawn, wheel: Wheel, kind: str) -> None:
    """Teeth round the pitch circle, a gap under the first joint, the pushing flanks worn. Its hub is the final drive's."""
    laid, see, board = drawn.laid, drawn.sight, drawn.board
    gear = laid.gear
    gap = wheel.radius_m * 2 * math.sin(math.pi / gear.sprocket_teeth)
    worn = (drawn.lost_m(PartKind.SPROCKET, one) for one in (Measurand.ROOT_DIAMETER, Measurand.TOOTH_THICKNESS))
    sizes = ToothSizes(gear.sprocket_teeth, wheel.radius_m, min(drawn.fresh.bush_m, 0.8 * gap), *worn)
    x0, y0, _ = laid.line.at(laid.joint_along_m[0])
    towards = math.atan2(float(y0) - wheel.y_m, float(x0) - wheel.x_m)
    outline = sprocket_outline(sizes, math.pi - towards) * (-1, 1)
    board.path(points(map(see.x, wheel.x_m + outline[:, 0]), map(see.y, wheel.y_m + outline[:, 1])), kind)
    x, y, ring = see.x(wheel.x_m), see.y(wheel.y_m), wheel.radius_m * see.scale
    board.circle(x, y, 0.62 * ring, drawn.fill(PartKind.FINAL_DRIVE, drawn.call(PartKind.FINAL_DRIVE)))
    bolts = 3 * max(gear.sprocket_segments, 4) if gear.sprocket_gaps is SprocketGaps.EVERY_SECOND else 8
    for number in range(bolts if drawn.fine else 0):
        turn = 2 * math.pi * number / bolts
        board.circle(x + 0.72 * ring * math.cos(turn), y + 0.72 * ring * math.sin(turn), 0.028 * ring, "fine")
    board.circle(x, y, 0.36 * ring, "fine")
