"""Every size a drawing of running gear needs: as read or entered where known, else a proportion of our own, marked as assumed.

The proportions are made up so that a drawing hangs together. They are nobody's dimensions and never enter a judgement.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from pitchline.shape.sprocket import pitch_diameter_m
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import Layout, RunningGear
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.writing import as_figure

Known = Mapping[tuple[Place, Measurand], float]
"""Sizes read or entered, by place and quantity [m]."""

PROPORTIONS: dict[str, float] = {
    "bush diameter": 0.32,
    "pin diameter": 0.19,
    "link rail height": 0.56,
    "joint above shoe": 0.26,
    "shoe thickness": 0.06,
    "grouser height": 0.14,
    "rubber pad height": 0.32,
    "roller tread": 0.84,
    "upper roller tread": 0.66,
    "roller flange height": 0.09,
    "roller flange thickness": 0.13,
    "roller tread width": 0.36,
    "idler tread depth": 0.10,
    "sag": 0.18,
    "belt thickness": 0.18,
    "rubber lug height": 0.18,
    "drive lug": 0.32,
    "guide lug width": 0.25,
    "guide lug height": 0.30,
    "track gauge": 11.0,
}
"""Each as a share of the chain's pitch, or of the loop's fortieth part under rubber. Our own, assumed."""
IDLER_TO_SPROCKET = {Layout.LEVEL: 0.94, Layout.RAISED_SPROCKET: 0.84}
"""Radius of joints on the idler over that on the sprocket. Our own, assumed."""
_LINKS_OF_A_SCALE = 40


@dataclass(frozen=True, slots=True)
class Sizes:
    """Sizes of one side's running gear.

    Parameters
    ----------
    scale_m : float
        What assumed sizes are shares of [m].
    pitch_m, bush_m, pin_m : float
        Pitch, bush outside diameter where thinnest (a drive lug under rubber), and pin diameter [m].
    rail_m, joint_above_shoe_m, shoe_m : float
        Rail height over the shoe's face, joint centre over it, and shoe thickness [m]; under rubber the inner face over the
        outer one, the cord over the outer one, and 0.
    tread_out_m : float
        Grouser, pad or lug height [m].
    bottom_tread_m, upper_tread_m : tuple of float
        Tread diameters from the front [m].
    flange_m : float
        Height of a roller's flange above its tread when new [m].
    idler_joint_m, sprocket_joint_m : float
        Radius of joint centres on idler and sprocket [m].
    sag_m : float
        Sag of the longest upper span [m].
    assumed : tuple of str
        What is a proportion of our own, in words.
    """

    scale_m: float
    pitch_m: float
    bush_m: float
    pin_m: float
    rail_m: float
    joint_above_shoe_m: float
    shoe_m: float
    tread_out_m: float
    bottom_tread_m: tuple[float, ...]
    upper_tread_m: tuple[float, ...]
    flange_m: float
    idler_joint_m: float
    sprocket_joint_m: float
    sag_m: float
    assumed: tuple[str, ...]

    @property
    def joint_below_rail_m(self) -> float:
        """From a joint's centre to the face that rollers run on [m]."""
        return self.rail_m - self.joint_above_shoe_m

    @property
    def joint_above_ground_m(self) -> float:
        """From the ground to joint centres on the lower run, grousers or lugs standing on it [m]."""
        return self.joint_above_shoe_m + self.shoe_m + self.tread_out_m


class _Chooser:
    """Takes what is known, else a proportion; remembers which it was."""

    def __init__(self, side: Side, known: Known, scale_m: float) -> None:
        self.side, self.known, self.scale_m = side, known, scale_m
        self.assumed: list[str] = []

    def read(self, part: PartKind, measurand: Measurand, position: int = 0) -> float | None:
        found = self.known.get((Place(part, self.side, position), measurand))
        if found is not None and not 0 <= found < 10:
            raise NotAllowedError(
                measurand.value.replace("_", " "), f"{as_figure(found, 'g')} m", "0 to 10 m", "Measure again."
            )
        return found

    def share(self, name: str) -> float:
        if name not in self.assumed:
            self.assumed.append(name)
        return PROPORTIONS[name] * self.scale_m

    def size(self, name: str, part: PartKind, *measurands: Measurand) -> float:
        found = [size for one in measurands if (size := self.read(part, one)) is not None]
        return min(found) if found else self.share(name)

    def treads(self, name: str, part: PartKind, count: int) -> tuple[float, ...]:
        """Each roller as known; the rest as the mean of those known, or assumed."""
        found = [self.read(part, Measurand.TREAD_DIAMETER, number) for number in range(1, count + 1)]
        seen = [size for size in found if size is not None]
        if len(seen) < count:
            rest = sum(seen) / len(seen) if seen else self.share(name)
            return tuple(rest if size is None else size for size in found)
        return tuple(seen)


def scale_of(gear: RunningGear) -> float:
    """What assumed sizes of a running gear are shares of.

    Returns
    -------
    float
        The pitch of its chain, or a fortieth of a rubber track's length [m].
    """
    return gear.pitch_m if gear.has_chain else gear.pitch_m * gear.joints_per_side / _LINKS_OF_A_SCALE


def sizes_of(gear: RunningGear, side: Side, known: Known, new: Known | None = None) -> Sizes:
    """Sizes of one side, from what is known of it.

    Parameters
    ----------
    gear : RunningGear
        The running gear.
    side : Side
        Left or right.
    known : mapping of (Place, Measurand) to float
        Sizes read, or new sizes entered [m].
    new : mapping of (Place, Measurand) to float, or None
        New sizes [m], to tell how far the idler's tread is worn; None where `known` is the new state itself.

    Returns
    -------
    Sizes
        Every size [m], and which of them are assumed.

    Raises
    ------
    NotAllowedError
        A size below zero or far too large.

    References
    ----------
    Our own proportions where nothing is known; pitch circles as in `pitch_diameter_m`.

    Examples
    --------
    >>> from pitchline.trade.machine import SprocketGaps, TrackKind
    >>> gear = RunningGear(TrackKind.STEEL, 49, 0.2, 0.6, 25, SprocketGaps.EVERY_SECOND, 8, 2)
    >>> sizes = sizes_of(gear, Side.LEFT, {(Place(PartKind.BUSH, Side.LEFT), Measurand.BUSH_OD_FORWARD): 0.06})
    >>> sizes.bush_m, "bush diameter" in sizes.assumed, "roller tread" in sizes.assumed
    (0.06, False, True)
    """
    before = known if new is None else new
    choose = _Chooser(side, {**before, **known}, scale_of(gear))
    scale = choose.scale_m
    pitch = choose.read(*_PITCH[gear.has_chain]) or gear.pitch_m
    rail, above, shoe, out = _under(choose, gear)
    worn_m = _idler_worn_m(choose, before)
    joint = float(pitch_diameter_m(pitch, gear.sprocket_teeth, gear.sprocket_gaps)) / 2
    new_joint = float(pitch_diameter_m(gear.pitch_m, gear.sprocket_teeth, gear.sprocket_gaps)) / 2
    new_below = _new_rail_m(choose, before, gear, rail) - above
    choose.assumed.append("idler diameter")
    idler_tread = IDLER_TO_SPROCKET[gear.layout] * new_joint - new_below - worn_m
    return Sizes(
        scale_m=scale,
        pitch_m=pitch,
        bush_m=_bush_m(choose, gear),
        pin_m=choose.share("pin diameter") if gear.has_chain else 0.0,
        rail_m=rail,
        joint_above_shoe_m=above,
        shoe_m=shoe,
        tread_out_m=out,
        bottom_tread_m=choose.treads("roller tread", PartKind.BOTTOM_ROLLER, gear.bottom_rollers_per_side),
        upper_tread_m=choose.treads("upper roller tread", PartKind.UPPER_ROLLER, gear.upper_rollers_per_side),
        flange_m=choose.share("roller flange height"),
        idler_joint_m=idler_tread + rail - above,
        sprocket_joint_m=joint,
        sag_m=choose.size("sag", PartKind.CHAIN if gear.has_chain else PartKind.RUBBER_TRACK, Measurand.SAG),
        assumed=tuple(choose.assumed),
    )


def _bush_m(choose: _Chooser, gear: RunningGear) -> float:
    """Bush where thinnest; under rubber the drive lug, as a share of the pitch."""
    if gear.has_chain:
        return choose.size("bush diameter", PartKind.BUSH, Measurand.BUSH_OD_FORWARD, Measurand.BUSH_OD_REVERSE)
    choose.assumed.append("drive lug")
    return PROPORTIONS["drive lug"] * gear.pitch_m


_PITCH = {True: (PartKind.CHAIN, Measurand.PITCH), False: (PartKind.RUBBER_TRACK, Measurand.RUBBER_PITCH)}


def _under(choose: _Chooser, gear: RunningGear) -> tuple[float, float, float, float]:
    """Rail height, joint above shoe, shoe thickness, and what stands out below it."""
    if not gear.has_chain:
        thick = choose.share("belt thickness")
        return thick, thick / 2, 0.0, choose.size("rubber lug height", PartKind.RUBBER_TRACK, Measurand.LUG_HEIGHT)
    rail = choose.size("link rail height", PartKind.LINK, Measurand.RAIL_HEIGHT)
    above, shoe = choose.share("joint above shoe"), choose.share("shoe thickness")
    if gear.has_pads:
        return rail, above, shoe, choose.size("rubber pad height", PartKind.PAD, Measurand.PAD_HEIGHT)
    return rail, above, shoe, choose.size("grouser height", PartKind.SHOE, Measurand.GROUSER_HEIGHT)


def _new_rail_m(choose: _Chooser, before: Known, gear: RunningGear, rail_m: float) -> float:
    entered = before.get((Place(PartKind.LINK, choose.side), Measurand.RAIL_HEIGHT)) if gear.has_chain else None
    return rail_m if entered is None else entered


def _idler_worn_m(choose: _Chooser, before: Known) -> float:
    """How far the front idler's tread has sunk below its new depth."""
    now = choose.read(PartKind.IDLER, Measurand.TREAD_DEPTH, 1)
    entered = before.get((Place(PartKind.IDLER, choose.side, 1), Measurand.TREAD_DEPTH))
    return 0.0 if now is None or entered is None else now - entered
