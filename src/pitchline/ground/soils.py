"""Grounds by name, each with the ranges that published figures give it. What no source gives stays unknown."""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.ground.peaks import SoftGround
from pitchline.ground.snow import Winter
from pitchline.ground.spans import Basis, Span
from pitchline.ground.terrain import SHEAR_MODULUS_M
from pitchline.trade.ground import GroundClass
from pitchline.trade.saying import Saying, saying


class Surface(StrEnum):
    """What the top is to a track: soft enough to take grousers, winter, or hard."""

    SOIL = "soil"
    WINTER = "winter"
    HARD = "hard"
    LOOSE_FILL = "loose_fill"


@dataclass(frozen=True, slots=True)
class Ground:
    """One ground with what is known of it; None is unknown and stays so.

    Parameters
    ----------
    name : str
        Name for reading.
    surface : Surface
        What its top is to a track.
    terrains : tuple of str
        Tested soils that bracket it (`terrain.TERRAINS`); empty where none does.
    shear_m : Span or None
        Shear displacement [m].
    rating_index : Span or None
        Rating cone index [1].
    strength_pa : Span or None
        Undrained shear strength [Pa].
    friction_deg, cohesion_pa, weight_n_m3 : Span or None
        Effective angle of friction [deg], cohesion [Pa] and unit weight [N/m3], for soil that drains.
    sliding : Span or None
        Coefficient of friction of a hard surface [1].
    turning_steel, turning_rubber : Span or None
        Coefficient of lateral resistance under steel and under rubber tracks [1].
    winter : Winter or None
        Traction curve of a winter surface.
    traction : Span or None
        Traction as a share of that curve [1], never above it: doubt counts on the bad side.
    peak_ground : SoftGround or None
        Row of the published limits of mean maximum pressure.
    wears : GroundClass or None
        How hard it wears steel.
    told : tuple of Saying
        How it was described: tests and readings.
    finished : bool
        A surface that somebody minds: paving, lawn.

    References
    ----------
    Our own gathering; the source stands in each range.
    """

    name: str
    surface: Surface
    terrains: tuple[str, ...] = ()
    shear_m: Span | None = None
    rating_index: Span | None = None
    strength_pa: Span | None = None
    friction_deg: Span | None = None
    cohesion_pa: Span | None = None
    weight_n_m3: Span | None = None
    sliding: Span | None = None
    turning_steel: Span | None = None
    turning_rubber: Span | None = None
    winter: Winter | None = None
    traction: Span | None = None
    peak_ground: SoftGround | None = None
    wears: GroundClass | None = None
    told: tuple[Saying, ...] = ()
    finished: bool = False

    @property
    def strength_known(self) -> bool:
        """Whether anything tells what it bears."""
        return self.strength_pa is not None or self.friction_deg is not None


_RCI = saying("source.wet_season_index")
_SU = saying("source.strength_table")
_SAND = saying("source.handbooks")
_TURN = saying("source.turning_table")
_HARD = saying("source.hard_ground")
STRENGTH_CLASSES_PA: dict[str, tuple[float, float]] = {
    "very soft": (3e3, 12e3),
    "soft": (12e3, 24e3),
    "medium": (24e3, 48e3),
    "stiff": (48e3, 96e3),
    "very stiff": (96e3, 192e3),
    "hard": (192e3, 400e3),
}
"""Undrained shear strength [Pa]: Caltrans Table 3-3 halved and converted. The outer ends, 3 and 400 kPa, are ours."""


def listed(low: float, high: float, source: Saying) -> Span:
    """A range from a table.

    Parameters
    ----------
    low, high : float
        Its ends [as its name says].
    source : Saying
        The table.
    """
    return Span(low, high, Basis.LISTED, source)


def _assumed(low: float, high: float, source: Saying) -> Span:
    return Span(low, high, Basis.ASSUMED, source)


def _shear(kind: str) -> Span:
    return _assumed(*SHEAR_MODULUS_M[kind], saying("source.shear_from_memory"))


def _index(middle: float) -> Span:
    return listed(0.7 * middle, 1.3 * middle, _RCI)


_SOIL_TURN = _assumed(0.55, 1.11, saying("source.turning_table_steel"))
_SOIL_TURN_RUBBER = _assumed(0.65, 1.14, saying("source.turning_table_rubber"))
_EARTH = (_assumed(0.55, 0.58, _TURN), _assumed(0.63, 0.67, _TURN))
_CURVE = _assumed(0.6, 1.0, saying("source.winter_curve"))
_GRASS = (_assumed(0.87, 1.11, _TURN), _assumed(0.67, 1.14, _TURN))


def _sand(
    name: str, terrains: tuple[str, ...], shear: str, friction: tuple[float, float], weight: float
) -> Ground:
    return Ground(
        name,
        Surface.SOIL,
        terrains,
        _shear(shear),
        friction_deg=_assumed(*friction, _SAND),
        cohesion_pa=_assumed(0.0, 0.0, saying("source.no_cohesion")),
        weight_n_m3=_assumed(weight - 1.5e3, weight + 1.5e3, _SAND),
        turning_steel=_SOIL_TURN,
        turning_rubber=_SOIL_TURN_RUBBER,
        wears=GroundClass.SHARP,
    )


def _fine(
    name: str,
    terrains: tuple[str, ...] = (),
    shear: str = "clay",
    index: float | None = None,
    strength: str | None = None,
    peaks: SoftGround | None = None,
    wears: GroundClass = GroundClass.GENTLE,
) -> Ground:
    return Ground(
        name,
        Surface.SOIL,
        terrains,
        _shear(shear) if terrains else None,
        _index(index) if index else None,
        listed(*STRENGTH_CLASSES_PA[strength], _SU) if strength else None,
        turning_steel=_SOIL_TURN,
        turning_rubber=_SOIL_TURN_RUBBER,
        peak_ground=peaks,
        wears=wears,
    )


_WET = SoftGround.WET_FINE_TEMPERATE
_LIGHT = GroundClass.MILD
_GROUNDS = (
    _sand("dry sand", ("dry sand", "fine sand, tested"), "loose sand", (27.0, 32.0), 16e3),
    _sand("firm sand", ("fine sand, tested",), "firm sand", (32.0, 38.0), 18e3),
    _sand("gravel", (), "firm sand", (34.0, 42.0), 19.5e3),
    _fine("moist sandy loam", ("sandy loam 11 %", "sandy loam 15 %", "sandy loam 23 %"), "loam", wears=_LIGHT),
    _fine("wet sandy loam", ("sandy loam 26 %", "sandy loam 32 %"), "loam", peaks=_WET, wears=_LIGHT),
    _fine("moist loam", ("loam 24 %", "clayey loam 46 %"), "loam", wears=_LIGHT),
    _fine("wet silt", index=32.0, peaks=_WET, wears=_LIGHT),
    _fine("wet elastic silt", index=16.0, peaks=_WET),
    _fine("moist lean clay", ("lean clay 22 %",), strength="stiff"),
    _fine("wet lean clay", ("lean clay 32 %",), index=28.0, strength="soft", peaks=_WET),
    _fine("moist heavy clay", ("heavy clay 25 %",), strength="stiff"),
    _fine("wet heavy clay", ("heavy clay 40 %",), index=15.0, strength="soft", peaks=_WET),
    _fine("moist clayey soil", ("clayey soil 38 %",)),
    _fine("wet clayey soil", ("clayey soil 55 %",), peaks=_WET),
    _fine("very soft clay", strength="very soft", peaks=_WET),
    _fine("soft clay", ("lean clay 32 %", "heavy clay 40 %"), strength="soft", peaks=_WET),
    _fine("medium clay", ("lean clay 22 %", "lean clay 32 %"), strength="medium"),
    _fine("stiff clay", ("lean clay 22 %", "heavy clay 25 %"), strength="stiff"),
    _fine("wet organic silt", index=14.0, peaks=_WET),
    _fine("wet organic clay", index=12.0, peaks=_WET),
    _fine("peat", index=8.0, peaks=SoftGround.MUSKEG),
    _fine("floating bog", peaks=SoftGround.FLOATING_BOG),
    Ground(
        "fresh snow",
        Surface.WINTER,
        ("snow, first test", "snow, second test"),
        _shear("snow"),
        winter=Winter.UNDISTURBED_SNOW,
        traction=_CURVE,
        peak_ground=SoftGround.SNOW,
        wears=GroundClass.GENTLE,
    ),
    Ground("packed snow", Surface.WINTER, winter=Winter.PACKED_SNOW, traction=_CURVE, wears=GroundClass.GENTLE),
    Ground("ice", Surface.WINTER, winter=Winter.ICE, traction=_CURVE, wears=GroundClass.GENTLE),
    Ground(
        "hard rock",
        Surface.HARD,
        sliding=_assumed(0.3, 0.7, _HARD),
        turning_steel=_assumed(0.45, 0.6, saying("source.turning_table_hard")),
        turning_rubber=_assumed(0.65, 0.95, saying("source.turning_table_hard")),
        wears=GroundClass.HARSH,
    ),
    Ground("demolition rubble", Surface.LOOSE_FILL, wears=GroundClass.HARSH),
    Ground(
        "concrete or paving",
        Surface.HARD,
        sliding=_assumed(0.3, 0.7, _HARD),
        turning_steel=_assumed(0.48, 0.52, _TURN),
        turning_rubber=_assumed(0.87, 0.93, _TURN),
        wears=GroundClass.MIDDLING,
        finished=True,
    ),
    Ground(
        "hard earth",
        Surface.HARD,
        sliding=_assumed(0.4, 0.8, _HARD),
        turning_steel=_EARTH[0],
        turning_rubber=_EARTH[1],
        wears=GroundClass.MIDDLING,
    ),
    Ground(
        "lawn or meadow",
        Surface.SOIL,
        ("loam 24 %", "clayey loam 46 %"),
        _shear("loam"),
        turning_steel=_GRASS[0],
        turning_rubber=_GRASS[1],
        wears=GroundClass.GENTLE,
        finished=True,
    ),
)
GROUNDS: dict[str, Ground] = {ground.name: ground for ground in _GROUNDS}
"""Grounds by name. Which tested soils bracket which name is our own pairing, by texture, moisture and strength."""
