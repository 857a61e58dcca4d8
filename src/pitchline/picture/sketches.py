"""What the small pictures of what is measured show, in pitches: a part in outline, and the two places measured between.

Nobody's part: proportions of our own (`shape/sizes.py`), worn a little where that says at which place to measure.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from pitchline.shape.numbers import Floats
from pitchline.shape.outlines import bar_outline, bush_outline, idler_outline, rail_outline, tread_outline
from pitchline.shape.sizes import PROPORTIONS
from pitchline.shape.tooth import ToothSizes, sprocket_outline, tooth_gap
from pitchline.trade.measurands import Measurand
from pitchline.words import in_english

JOINTS = 4
"""Joints a pitch is measured over in a picture, as its `how` asks."""

Spot = tuple[float, float]


@dataclass(slots=True)
class Sketch:
    """What one picture shows, in pitches, before it is put on paper: shapes with their kind of line, and what is measured."""

    shapes: list[tuple[Floats, str, bool]] = field(default_factory=list)
    ends: tuple[Spot, Spot] = ((0.0, 0.0), (0.0, 0.0))
    away: Spot = (0.0, 0.0)
    counted: int = 0

    def draw(self, outline: Floats | Sequence[Spot], kind: str = "fan", closed: bool = True) -> None:
        """One shape in a kind of line or fill; grey is metal or rubber cut through or seen."""
        self.shapes.append((np.asarray(outline, dtype=np.float64), kind, closed))

    def open(self, outline: Floats | Sequence[Spot], kind: str = "line") -> None:
        """A line that does not close."""
        self.draw(outline, kind, closed=False)

    def ring(self, at: Spot, across: float, kind: str = "fan") -> None:
        """A circle."""
        turn = np.linspace(0, 2 * np.pi, 33)[:-1]
        self.draw(np.add(np.column_stack([np.cos(turn), np.sin(turn)]) * across / 2, at), kind)

    def measure(self, one: Spot, other: Spot, away: Spot = (0.0, 0.0)) -> None:
        """From one place to the other; the dimension line stands so far away from them."""
        self.ends, self.away = (one, other), away


_P = PROPORTIONS


def _block(left: float, low: float, right: float, high: float) -> Floats:
    return np.array([(left, low), (left, high), (right, high), (right, low)])


def _over(sketch: Sketch, of_one: bool, y: float, up: float) -> None:
    """Measured over joints, which are counted beside the line; over one where a size of one joint is entered."""
    sketch.measure((0.0, y), (1.0 if of_one else float(JOINTS), y), (0.0, up))
    sketch.counted = 0 if of_one else JOINTS


def _pitch(sketch: Sketch, of_one: bool) -> None:
    rail, face = _P["link rail height"] - _P["joint above shoe"], -_P["joint above shoe"]
    link = [(-0.2, 0.1), (-0.08, rail), (0.98, rail), (1.12, 0.13), (1.12, 0.55 * face), (0.96, face), (0.1, face)]
    many = 2 if of_one else JOINTS
    for joint in range(many):
        sketch.draw(np.add([*link, (-0.18, 0.55 * face)], (joint, 0.0)), "solid")
        sketch.draw(_block(joint + 0.0, face - _P["shoe thickness"], joint + 0.96, face))
    for joint in range(many + 1):
        sketch.ring((joint, 0.0), _P["bush diameter"], "solid")
        sketch.ring((joint, 0.0), _P["pin diameter"])
        sketch.open([(joint, -0.06), (joint, 0.06)], "fine")
    _over(sketch, of_one, 0.0, rail + 0.3)


def _bush(way_deg: float) -> Callable[[Sketch, bool], None]:
    def draw(sketch: Sketch, of_one: bool) -> None:
        new, worn = _P["bush diameter"], 0.86 * _P["bush diameter"]
        faces = (worn, new) if way_deg < 90 else (new, worn)
        sketch.ring((0.0, 0.0), new, "new")
        sketch.draw(bush_outline(new, *faces))
        sketch.ring((0.0, 0.0), 0.62 * new, "solid")
        along = np.array([np.cos(np.radians(way_deg)), np.sin(np.radians(way_deg))])
        one, other = along * (worn - new / 2), -along * new / 2
        off = 0.62 * new * np.array([along[1], -along[0]]) * (1 if way_deg < 90 else -1)
        sketch.measure(_spot(one), _spot(other), _spot(off))

    return draw


def _spot(pair: Floats) -> Spot:
    return float(pair[0]), float(pair[1])


def _rail(sketch: Sketch, of_one: bool) -> None:
    new, worn = _P["link rail height"], 0.88 * _P["link rail height"]
    sizes = (0.24, 0.13, 0.16)
    sketch.draw(rail_outline(new, *sizes, new), "new")
    sketch.draw(rail_outline(worn, *sizes, new))
    sketch.draw(_block(-0.5, -_P["shoe thickness"], 0.5, 0.0))
    sketch.measure((0.0, 0.0), (0.0, worn), (0.36, 0.0))


def _grouser(sketch: Sketch, of_one: bool) -> None:
    new, worn, thick = _P["grouser height"], 0.7 * _P["grouser height"], _P["shoe thickness"]
    sketch.draw(bar_outline(new, 0.05, 0.1, new), "new")
    sketch.draw(bar_outline(worn, 0.05, 0.1, new, 0.02))
    sketch.draw(_block(-0.24, -thick, 0.24, 0.0))
    sketch.measure((0.0, 0.0), (0.0, worn), (0.17, 0.0))


def _pad(sketch: Sketch, of_one: bool) -> None:
    new, worn = _P["rubber pad height"], 0.72 * _P["rubber pad height"]
    sketch.draw(bar_outline(new, 0.78, 0.84, new), "new")
    sketch.draw(bar_outline(worn, 0.78, 0.84, new, 0.03))
    sketch.draw(_block(-0.5, -_P["shoe thickness"], 0.5, 0.0), "solid")
    sketch.measure((0.36, 0.0), (0.36, worn), (0.24, 0.0))


def _roller_half(tread: float, flange: float) -> Floats:
    """Half a roller, its flange worn on the inner face as rails wear it: the outer face stays where it is."""
    width = _P["roller tread width"] + (_P["roller flange thickness"] - flange) / 1.55
    high = 1.6 * _P["roller flange height"]
    return tread_outline(_P["roller tread"], tread, width, high, flange, False, round_from_m=0.0)


def _roller(sketch: Sketch, of_one: bool) -> None:
    new, worn, flange = _P["roller tread"], 0.86 * _P["roller tread"], _P["roller flange thickness"]
    for size, kind in ((new, "new"), (worn, "fan")):
        upper = _roller_half(size, flange)
        sketch.draw(np.vstack([upper, upper[::-1] * (1, -1)]), kind)
    sketch.open([(-0.9, 0.0), (0.9, 0.0)], "dash fine")
    middle = (0.55 + 0.5) * _P["roller tread width"]
    sketch.measure((middle, -worn / 2), (middle, worn / 2))


def _flange(sketch: Sketch, of_one: bool) -> None:
    new, worn = _P["roller flange thickness"], 0.75 * _P["roller flange thickness"]
    for size, kind in ((new, "new"), (worn, "fan")):
        half = _roller_half(_P["roller tread"], size)
        cut = half[half[:, 0] > 0.25]
        sketch.draw(np.vstack([cut, (0.25, 0.0), (0.25, _P["roller tread"] / 2)]), kind)
    outer = 1.55 * _P["roller tread width"] + new
    high = _P["roller tread"] / 2 + 0.8 * _P["roller flange height"]
    sketch.measure((outer - worn, high), (outer, high))


def _idler(sketch: Sketch, of_one: bool) -> None:
    new, worn, half = _P["idler tread depth"], 2 * _P["idler tread depth"], 0.17
    for size, kind in ((new, "new"), (worn, "fan")):
        sketch.draw(np.subtract(idler_outline(1.0, size, 2 * half, 0.34, 0.55), (0.0, 1.0)), kind)
    sketch.draw(_block(-half, 0.0, 0.56, 0.05), "solid")
    sketch.measure((half + 0.17, 0.0), (half + 0.17, -worn))


_TEETH = 14


def _sprocket_sizes(lost: float, thin: float) -> ToothSizes:
    return ToothSizes(_TEETH, 0.5 / np.sin(np.pi / _TEETH), 0.46, lost, thin)


def _root(sketch: Sketch, of_one: bool) -> None:
    sizes = _sprocket_sizes(0.12, 0.0)
    sketch.draw(sprocket_outline(sizes, np.pi / 2))
    root = sizes.circle_m - sizes.bush_m / 2 - sizes.root_lost_m / 2
    for way in (1, -1):
        sketch.ring((0.0, way * (root + sizes.bush_m / 2)), sizes.bush_m, "line")
    sketch.measure((0.0, -root), (0.0, root))


def _tooth(sketch: Sketch, of_one: bool) -> None:
    new, worn = _sprocket_sizes(0.0, 0.0), _sprocket_sizes(0.0, 0.1)
    half, rim = np.pi / _TEETH, new.circle_m - 0.6
    ends = [(rim * np.sin(turn), rim * np.cos(turn)) for turn in (-2 * half, 2 * half)]
    for sizes, kind in ((new, "new"), (worn, "fan")):
        sketch.draw(np.vstack([_two_gaps(sizes), ends]), kind)
    turns = np.linspace(-2.2 * half, 2.2 * half, 25)
    sketch.open(np.column_stack([np.sin(turns), np.cos(turns)]) * worn.circle_m, "dash fine")
    sketch.measure(*_at_bearing_line(_two_gaps(worn), worn.circle_m))


def _two_gaps(sizes: ToothSizes) -> Floats:
    """From one tooth's tip on the right over the tooth in the middle to the next on the left."""
    gap, half = tooth_gap(sizes), np.pi / sizes.teeth
    turned = [gap @ np.array([[np.cos(t), np.sin(t)], [-np.sin(t), np.cos(t)]]) for t in (-half, half)]
    return np.vstack([turned[0], turned[1][1:]])


def _at_bearing_line(outline: Floats, circle: float) -> tuple[Spot, Spot]:
    """Where the tooth in the middle crosses the circle that the middles of the bushes lie on, left and right."""
    out = np.hypot(*outline.T) - circle
    at = np.flatnonzero(out[:-1] * out[1:] < 0)
    share = (out[at] / (out[at] - out[at + 1]))[:, None]
    crossed = sorted(
        (_spot(one) for one in outline[at] + share * (outline[at + 1] - outline[at])), key=lambda one: abs(one[0])
    )
    left, right = sorted(crossed[:2])
    return left, right


def _sag(sketch: Sketch, of_one: bool) -> None:
    span, wheel, deep = 4.2, 0.8, 1.0
    x = np.linspace(0.0, span, 33)
    hung = -4 * deep * x * (span - x) / span**2
    run = np.column_stack([x, hung])
    sketch.ring((-0.25, -wheel), 1.6 * wheel, "solid")
    sketch.ring((span + 0.25, -wheel), 1.6 * wheel, "solid")
    sketch.draw(np.vstack([run, (run - (0.0, 0.24))[::-1]]))
    sketch.draw(_block(-0.1, 0.0, span + 0.1, 0.14), "solid")
    sketch.measure((span / 2, 0.0), (span / 2, -deep))


def _adjuster(sketch: Sketch, of_one: bool) -> None:
    face, mark = 1.5, 2.4
    sketch.draw(_block(0.0, -0.3, face, 0.3))
    sketch.draw(_block(face, -0.13, mark + 0.2, 0.13), "solid")
    sketch.draw([(mark, -0.34), (mark, 0.34), (mark + 0.9, 0.34), (mark + 0.9, 0.2), (mark + 0.25, 0.2),
                 (mark + 0.25, -0.2), (mark + 0.9, -0.2), (mark + 0.9, -0.34)])  # fmt: skip
    sketch.ring((mark + 0.95, 0.0), 1.1, "line")
    sketch.measure((face, 0.3), (mark, 0.3), (0.0, 0.34))


def _lug(sketch: Sketch, of_one: bool) -> None:
    new, worn, thick = _P["rubber lug height"], 0.66 * _P["rubber lug height"], _P["belt thickness"]
    sketch.draw(bar_outline(new, 0.55, 0.7, new), "new")
    sketch.draw(bar_outline(worn, 0.55, 0.7, new, 0.03))
    wide = _P["guide lug width"]
    sketch.draw(np.subtract(bar_outline(0.2, 0.6 * wide, wide, 0.2) * (1, -1), (0.0, thick)))
    sketch.draw(_block(-0.7, -thick, 0.7, 0.0))
    sketch.measure((0.2, 0.0), (0.2, worn), (0.34, 0.0))


def _guide(sketch: Sketch, of_one: bool) -> None:
    new, worn, high = _P["guide lug width"], 0.76 * _P["guide lug width"], _P["guide lug height"]
    sketch.draw(bar_outline(high, 0.6 * new, new, high), "new")
    sketch.draw(bar_outline(high, 0.6 * worn, worn, high))
    sketch.draw(_block(-0.45, -_P["belt thickness"], 0.45, 0.0))
    sketch.measure((-worn / 2, 0.0), (worn / 2, 0.0), (0.0, high + 0.1))


def _rubber_pitch(sketch: Sketch, of_one: bool) -> None:
    lug, thick = _P["drive lug"], _P["belt thickness"]
    many = 2 if of_one else JOINTS
    for joint in range(many + 1):
        sketch.draw(np.add(bar_outline(0.3, 0.7 * lug, lug, 0.3), (joint, 0.0)))
        sketch.open([(joint, 0.08), (joint, 0.38)], "fine")
    sketch.draw(_block(-0.4, -thick, many + 0.4, 0.0))
    for joint in range(many):
        sketch.draw(np.add(bar_outline(0.22, 0.4, 0.5, 0.22) * (1, -1), (joint + 0.5, -thick)))
    _over(sketch, of_one, 0.3, 0.3)


def _slew(sketch: Sketch, of_one: bool) -> None:
    """The upper ring tilts about its middle; read is how far the same place of its lower edge moves."""
    tilt, edge, at, low = np.radians(5.0), 1.3, 1.24, -0.1
    sketch.draw(_block(-edge, -0.56, edge, -0.26))
    found: list[Spot] = []
    for way, kind in ((-tilt, "new"), (tilt, "solid")):
        turn = np.array([[np.cos(way), np.sin(way)], [-np.sin(way), np.cos(way)]])
        sketch.draw(_block(-edge, low, edge, 0.2) @ turn, kind)
        found.append((at, float((at + low * np.sin(way)) * np.tan(way) + low * np.cos(way))))
    for side in (-0.95, 0.95):
        sketch.ring((side, -0.19), 0.13, "solid")
    sketch.measure(found[0], found[1], (0.3, 0.0))


DRAWN: dict[Measurand, tuple[Callable[[Sketch, bool], None], str]] = {
    Measurand.PITCH: (
        _pitch,
        in_english(
            "Along the tight chain, from the middle of a pin to the middle of the same pin four joints on."
        ),
    ),
    Measurand.BUSH_OD_FORWARD: (
        _bush(30.0),
        in_english("Across the bush, from the worn forward-drive face to the round side opposite."),
    ),
    Measurand.BUSH_OD_REVERSE: (
        _bush(150.0),
        in_english("Across the bush, from the worn reverse-drive face to the round side opposite."),
    ),
    Measurand.RAIL_HEIGHT: (
        _rail,
        in_english("On the link cut across, from the shoe's face up to the rail's running face at its lowest."),
    ),
    Measurand.GROUSER_HEIGHT: (
        _grouser,
        in_english("On the shoe cut across, from the plate's face to the grouser's tip."),
    ),
    Measurand.PAD_HEIGHT: (_pad, in_english("On the pad, from the steel to the rubber's running face.")),
    Measurand.TREAD_DIAMETER: (
        _roller,
        in_english("On the roller seen from the side of its axle, across the tread where it is thinnest."),
    ),
    Measurand.FLANGE_THICKNESS: (
        _flange,
        in_english("On the roller's end, across the flange half way up, from its inner face to its outer."),
    ),
    Measurand.TREAD_DEPTH: (
        _idler,
        in_english("On the idler's rim cut across, from a straightedge on the centre flange down to the tread."),
    ),
    Measurand.ROOT_DIAMETER: (
        _root,
        in_english(
            "Across the whole sprocket, from the bottom of one tooth gap to the bottom of the gap opposite."
        ),
    ),
    Measurand.TOOTH_THICKNESS: (
        _tooth,
        in_english(
            "Across one tooth, from flank to flank, at the height where the middle of a bush comes to lie."
        ),
    ),
    Measurand.SAG: (
        _sag,
        in_english("From a straightedge over two wheels down to the top of the track in the middle of the span."),
    ),
    Measurand.ADJUSTER_EXTENSION: (
        _adjuster,
        in_english("Along the adjuster's rod, from the cylinder's face to the mark on the yoke."),
    ),
    Measurand.LUG_HEIGHT: (_lug, in_english("On the rubber track, from the belt's face to the top of a lug.")),
    Measurand.RUBBER_PITCH: (
        _rubber_pitch,
        in_english(
            "Along the rubber track, from the middle of one drive lug to the middle of the fourth after it."
        ),
    ),
    Measurand.GUIDE_LUG_WIDTH: (
        _guide,
        in_english("Across the guide lug at its base, where the rollers rub."),
    ),
    Measurand.SLEW_RING_ROCK: (
        _slew,
        in_english("At the edge of the slew ring, how far it rises from tilted one way to tilted the other."),
    ),
}
"""How each quantity is drawn, and the same in words. What is read where: `trade/measurands.py`, common practice, no source."""
OF_ONE = {
    Measurand.PITCH: in_english("Along the tight chain, from the middle of a pin to the middle of the next."),
    Measurand.RUBBER_PITCH: in_english(
        "Along the rubber track, from the middle of a drive lug to the middle of the next."
    ),
}
