"""The machine and its running gear, as the trade describes them."""

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.trade.writing import as_figure


class MachineKind(StrEnum):
    """Families of tracked machine; words after ISO 6165 and trade use."""

    EXCAVATOR = "excavator"
    DOZER = "dozer"
    TRACK_LOADING_SHOVEL = "track_loading_shovel"
    PAVER = "paver"
    OTHER_TRACKED = "other_tracked"


class TrackKind(StrEnum):
    """What touches the ground."""

    STEEL = "steel"
    STEEL_BOLTED_PADS = "steel_bolted_pads"
    STEEL_PAD_SHOES = "steel_pad_shoes"
    RUBBER = "rubber"


class Layout(StrEnum):
    """Where the sprocket sits."""

    LEVEL = "level"
    RAISED_SPROCKET = "raised_sprocket"


class ShoeClass(StrEnum):
    """Shoe width class."""

    STANDARD = "standard"
    LOW_GROUND_PRESSURE = "low_ground_pressure"


class ChainType(StrEnum):
    """What is inside a chain's joints, between pin and bush."""

    DRY = "dry"
    SEALED = "sealed"
    SEALED_AND_OILED = "sealed_and_oiled"


class SprocketGaps(StrEnum):
    """Which tooth gaps the joints land in."""

    EACH = "each"
    EVERY_SECOND = "every_second"


@dataclass(frozen=True, slots=True)
class Machine:
    """One machine.

    Parameters
    ----------
    machine_id : str
        The yard's own short name for it, not empty.
    name : str
        Name for reading.
    kind : MachineKind
        Family.
    mass_kg : float or None
        Operating mass [kg], above zero; None when not known.
    note : str
        Free text; says so where the machine is invented.
    serial_number : str
        Its maker's number; empty when not known.
    year_built : int or None
        1900 to 2100; None when not known.
    owner_number : str
        The number its owner's fleet knows it by; empty when not known.

    Raises
    ------
    NotAllowedError
        No short name, a mass that is not above zero, or a year that cannot be.

    References
    ----------
    Definition; families after ISO 6165.
    """

    machine_id: str
    name: str
    kind: MachineKind
    mass_kg: float | None = None
    note: str = ""
    serial_number: str = ""
    year_built: int | None = None
    owner_number: str = ""

    def __post_init__(self) -> None:
        if self.year_built is not None and not 1900 <= self.year_built <= 2100:
            raise NotAllowedError(
                "year built", self.year_built, "a year from 1900 to 2100", "Type all four digits of the year."
            )
        if not self.machine_id.strip():
            raise NotAllowedError("machine's short name", self.machine_id, "a name that is not empty")
        if self.mass_kg is not None and not 0 < self.mass_kg < math.inf:
            raise NotAllowedError("operating mass", f"{as_figure(self.mass_kg, 'g')} kg", "above 0 kg")


@dataclass(frozen=True, slots=True)
class RunningGear:
    """One machine's running gear; both sides are alike but for joints taken out.

    Parameters
    ----------
    track : TrackKind
        What touches the ground.
    joints_per_side : int
        Chain joints on one side, or links of a rubber track; 20 to 120.
    pitch_m : float
        New pitch of one joint [m], above zero; where nobody knows it, as measured on the machine.
    shoe_width_m : float
        Shoe or rubber track width [m], above zero.
    sprocket_teeth : int
        Counted teeth, 5 to 60.
    sprocket_gaps : SprocketGaps
        Whether each gap takes a joint or every second one.
    bottom_rollers_per_side, upper_rollers_per_side : int
        Counts, 0 to 20.
    two_flange_rollers : tuple of int
        Bottom rollers with two flanges, by number from the front.
    layout : Layout
        Level, or sprocket raised with an idler at each end.
    shoe_class : ShoeClass
        Standard, or wide for low ground pressure.
    grousers_per_shoe, bolts_per_shoe, pads_per_shoe, bolts_per_pad : int
        Counts, 0 to 60; 0 bolts where nobody has counted them.
    sprocket_segments : int
        Bolted segments of one sprocket, 0 to 60; 0 when in one piece.
    adjuster_stroke_m : float or None
        Whole stroke of the track adjuster [m], above zero; None when not known.
    guards : tuple of str
        Words for the guards fitted.
    slew_ring : bool
        Whether there is one.
    pitch_measured : bool
        Whether the pitch was measured on the machine: a worn chain measures longer than new, so no limit is taken from it.
    chain_type : ChainType or None
        What is inside the joints; None when nobody said.
    joints_out : tuple of (int, int)
        Joints taken out of the left and the right chain since each was fitted, each 0 or more: as the work done says.

    Raises
    ------
    NotAllowedError
        A count or size outside what is allowed, or a chain type where there is no chain.

    References
    ----------
    Trade words; the bounds are our own and wide.
    """

    track: TrackKind
    joints_per_side: int
    pitch_m: float
    shoe_width_m: float
    sprocket_teeth: int
    sprocket_gaps: SprocketGaps
    bottom_rollers_per_side: int
    upper_rollers_per_side: int
    two_flange_rollers: tuple[int, ...] = ()
    layout: Layout = Layout.LEVEL
    shoe_class: ShoeClass = ShoeClass.STANDARD
    grousers_per_shoe: int = 0
    bolts_per_shoe: int = 0
    pads_per_shoe: int = 1
    bolts_per_pad: int = 0
    sprocket_segments: int = 0
    adjuster_stroke_m: float | None = None
    guards: tuple[str, ...] = ()
    slew_ring: bool = False
    pitch_measured: bool = False
    chain_type: ChainType | None = None
    joints_out: tuple[int, int] = (0, 0)

    def __post_init__(self) -> None:
        if self.chain_type is not None and not self.has_chain:
            raise NotAllowedError(
                "chain type",
                phrase("{chain:chain_type}", chain=self.chain_type),
                "nothing: a rubber track has no joints",
                "Leave it out.",
            )
        bounds = (
            ("joints per side", self.joints_per_side, 20, 120),
            ("pitch [m]", self.pitch_m, 0.03, 0.6),
            ("shoe width [m]", self.shoe_width_m, 0.1, 2.5),
            ("sprocket teeth", self.sprocket_teeth, 5, 60),
            ("bottom rollers per side", self.bottom_rollers_per_side, 0, 20),
            ("upper rollers per side", self.upper_rollers_per_side, 0, 20),
            ("grousers per shoe", self.grousers_per_shoe, 0, 60),
            ("bolts per shoe", self.bolts_per_shoe, 0, 60),
            ("pads per shoe", self.pads_per_shoe, 0, 60),
            ("bolts per pad", self.bolts_per_pad, 0, 60),
            ("sprocket segments", self.sprocket_segments, 0, 60),
        )
        for field, value, least, most in bounds:
            if not least <= value <= most:
                raise NotAllowedError(
                    field, value, phrase("{least} to {most}", least=least, most=most), "Count or measure again."
                )
        if self.adjuster_stroke_m is not None and not 0 < self.adjuster_stroke_m < math.inf:
            raise NotAllowedError("adjuster stroke [m]", self.adjuster_stroke_m, "above 0", "Measure again.")
        for number in self.two_flange_rollers:
            if not 1 <= number <= self.bottom_rollers_per_side:
                raise NotAllowedError(
                    "two-flange rollers",
                    number,
                    phrase("1 to {bottom_rollers_per_side}", bottom_rollers_per_side=self.bottom_rollers_per_side),
                    "Count from the front idler backwards.",
                )

    def joints(self, side: Side) -> int:
        """Joints of the chain that is on one side now; where no side is named, of a whole one."""
        out = {Side.LEFT: self.joints_out[0], Side.RIGHT: self.joints_out[1]}
        return self.joints_per_side - out.get(side, 0)

    def on(self, side: Side) -> "RunningGear":
        """The running gear as if both sides had the joints that this one has now."""
        return (
            replace(self, joints_per_side=self.joints(side), joints_out=(0, 0)) if any(self.joints_out) else self
        )

    @property
    def idlers_per_side(self) -> int:
        """Two where the sprocket is raised, else one."""
        return 2 if self.layout is Layout.RAISED_SPROCKET else 1

    @property
    def has_chain(self) -> bool:
        """Whether a steel chain carries the shoes."""
        return self.track is not TrackKind.RUBBER

    @property
    def has_grousers(self) -> bool:
        """Whether steel grousers bear on the ground: not under rubber."""
        return self.track is TrackKind.STEEL

    @property
    def has_pads(self) -> bool:
        """Whether rubber pads are fitted to a steel chain."""
        return self.track in (TrackKind.STEEL_BOLTED_PADS, TrackKind.STEEL_PAD_SHOES)

    def count(self, part: PartKind) -> int:
        """How many places of a part there are on one side.

        Returns
        -------
        int
            0 where this running gear has none.
        """
        rubber = self.track is TrackKind.RUBBER
        counts = {
            PartKind.CHAIN: int(not rubber),
            PartKind.BUSH: int(not rubber),
            PartKind.LINK: int(not rubber),
            PartKind.SHOE: int(self.track in (TrackKind.STEEL, TrackKind.STEEL_BOLTED_PADS)),
            PartKind.PAD: int(self.has_pads),
            PartKind.RUBBER_TRACK: int(rubber),
            PartKind.BOTTOM_ROLLER: self.bottom_rollers_per_side,
            PartKind.UPPER_ROLLER: self.upper_rollers_per_side,
            PartKind.IDLER: self.idlers_per_side,
            PartKind.GUARD: int(bool(self.guards)),
            PartKind.SLEW_RING: int(self.slew_ring),
        }
        return counts.get(part, 1)

    def places(self) -> tuple[Place, ...]:
        """Every place on the machine, left side first.

        Returns
        -------
        tuple of Place
            Each part of this running gear once.
        """
        found = []
        for side in (Side.LEFT, Side.RIGHT):
            for part, words in PARTS.items():
                if words.sided:
                    numbers = range(1, self.count(part) + 1) if words.numbered else [0] * self.count(part)
                    found += [Place(part, side, number) for number in numbers]
        if self.slew_ring:
            found.append(Place(PartKind.SLEW_RING, Side.NONE))
        return tuple(found)

    def walked(self) -> tuple[Place, ...]:
        """Every place in walking order: of a side on a rubber track that track is looked at first.

        Returns
        -------
        tuple of Place
            The same as `places`.
        """
        sides = list(Side)
        return tuple(
            sorted(self.places(), key=lambda one: (sides.index(one.side), one.part is not PartKind.RUBBER_TRACK))
        )
