"""Which kind of machine a running gear is made for, by what is counted on it, and whether that is what is said of it.

What nobody counted says nothing. All figures here are assumptions, from how the trade builds such machines (common practice, no
source).
"""

from collections.abc import Mapping
from dataclasses import dataclass

from pitchline.trade.machine import ChainType, Machine, MachineKind, RunningGear, ShoeClass
from pitchline.trade.saying import Saying, saying

LIKELY, UNLIKELY = 0.9, 0.05
"""Chance from which one kind is called likely, and up to which the kind that is said is doubted [1]: assumptions."""
STANDARD_TO, LOW_PRESSURE_FROM = 0.0235, 0.0285
"""Shoe width over the cube root of mass up to which shoes are of standard width, and from which they are wide [m/kg^(1/3)].

Machines of one build, scaled, keep that figure. Between the two it cannot be told. Assumptions."""
PITCH_BY_MASS = (0.0045, 0.0105)
"""Pitch over the cube root of mass that tracked machines keep to [m/kg^(1/3)]: an assumption, wide on purpose."""

_KINDS = tuple(MachineKind)
_SHOWS: dict[str, tuple[float, ...]] = {
    "rubber": (0.25, 0.03, 0.25, 0.50, 0.40),
    "pads": (0.15, 0.03, 0.03, 0.45, 0.20),
    "steel": (0.60, 0.94, 0.72, 0.05, 0.40),
    "grousers_1": (0.05, 0.80, 0.20, 0.20, 0.40),
    "grousers_2": (0.12, 0.10, 0.60, 0.20, 0.20),
    "grousers_3": (0.80, 0.04, 0.15, 0.20, 0.30),
    "slews": (0.98, 0.005, 0.005, 0.005, 0.30),
    "raised": (0.005, 0.30, 0.02, 0.02, 0.10),
    "segments": (0.05, 0.80, 0.60, 0.10, 0.30),
    "flanges_mixed": (0.25, 0.75, 0.60, 0.05, 0.30),
    "chain_sealed_and_oiled": (0.10, 0.70, 0.60, 0.20, 0.30),
    "chain_sealed": (0.75, 0.20, 0.25, 0.50, 0.40),
    "chain_dry": (0.15, 0.10, 0.15, 0.30, 0.30),
}
"""Chance of each thing counted on each kind of machine, in the order of `MachineKind`."""


@dataclass(frozen=True, slots=True)
class GearKind:
    """What a running gear by itself says of its machine.

    Parameters
    ----------
    chances : mapping of MachineKind to float
        Chance of each kind [1], equally likely before looking; empty where nothing counted tells them apart.
    clues : tuple of Saying
        What was counted.
    width : ShoeClass or None
        Of the shoes, by their width and the machine's mass; None where that cannot be told.
    """

    chances: Mapping[MachineKind, float]
    clues: tuple[Saying, ...]
    width: ShoeClass | None

    @property
    def first(self) -> MachineKind | None:
        """The kind that is likely; None where none is."""
        return next((kind for kind, chance in self.chances.items() if chance >= LIKELY), None)


def gear_kind(machine: Machine, gear: RunningGear) -> GearKind:
    """What a running gear by itself says of its machine.

    Parameters
    ----------
    machine : Machine
        Its mass counts; its kind does not.
    gear : RunningGear
        What was counted.
    """
    clues = _clues(gear)
    chances = dict.fromkeys(_KINDS, 1.0)
    for clue in clues:
        chances = {kind: chances[kind] * chance for kind, chance in zip(_KINDS, _SHOWS[clue], strict=True)}
    whole = sum(chances.values())
    told = {kind: chance / whole for kind, chance in chances.items()} if len(clues) > 1 else {}
    return GearKind(told, tuple(saying(f"whose.clue_{clue}") for clue in clues), _width(machine, gear))


def _clues(gear: RunningGear) -> tuple[str, ...]:
    mixed = 0 < len(gear.two_flange_rollers) < gear.bottom_rollers_per_side
    grousers = gear.grousers_per_shoe if gear.has_grousers else 0
    counted = {
        "rubber" if not gear.has_chain else "pads" if gear.has_pads else "steel": True,
        f"grousers_{grousers}": 1 <= grousers <= 3,
        "slews": gear.slew_ring,
        "raised": gear.idlers_per_side > 1,
        "segments": gear.sprocket_segments > 0,
        "flanges_mixed": mixed,
        f"chain_{(gear.chain_type or ChainType.DRY).value}": gear.chain_type is not None,
    }
    return tuple(clue for clue, there in counted.items() if there)


def _width(machine: Machine, gear: RunningGear) -> ShoeClass | None:
    if machine.mass_kg is None or not gear.has_chain:
        return None
    width = gear.shoe_width_m / machine.mass_kg ** (1 / 3)
    if STANDARD_TO < width < LOW_PRESSURE_FROM:
        return None
    return ShoeClass.STANDARD if width <= STANDARD_TO else ShoeClass.LOW_GROUND_PRESSURE


def against_papers(machine: Machine, gear: RunningGear, found: GearKind) -> tuple[Saying, ...]:
    """What is said of a machine and its running gear does not bear out.

    Parameters
    ----------
    machine : Machine
        Kind and mass as said.
    gear : RunningGear
        Shoe class as said, and what was counted and measured.
    found : GearKind
        What that tells.

    Returns
    -------
    tuple of Saying
        Empty where nothing speaks against what is said.
    """
    told = []
    first = found.first
    if first is not None and found.chances[machine.kind] <= UNLIKELY:
        told.append(saying("whose.other_kind", said=machine.kind, kind=first, clues=found.clues))
    if found.width is not None and found.width is not gear.shoe_class:
        told.append(saying(f"whose.shoes_{found.width.value}", width_m=gear.shoe_width_m, mass_kg=machine.mass_kg))
    if machine.mass_kg is not None and gear.has_chain:
        share = gear.pitch_m / machine.mass_kg ** (1 / 3)
        if not PITCH_BY_MASS[0] <= share <= PITCH_BY_MASS[1]:
            code = "whose.pitch_small" if share < PITCH_BY_MASS[0] else "whose.pitch_large"
            told.append(saying(code, pitch_m=gear.pitch_m, mass_kg=machine.mass_kg))
    return tuple(told)
