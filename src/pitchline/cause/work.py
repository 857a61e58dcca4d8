"""What is known of a machine and its work before anybody looks for signs: it multiplies the odds of causes. All of it assumed."""

from collections.abc import Iterable
from dataclasses import dataclass

from pitchline.trade.causes import Cause
from pitchline.trade.findings import Finding, FindingKind
from pitchline.trade.ground import NamedGround
from pitchline.trade.machine import ChainType, MachineKind, RunningGear, ShoeClass
from pitchline.trade.parts import PartKind

STICKY = (
    "wet lean clay", "wet heavy clay", "wet clayey soil", "very soft clay", "soft clay", "wet organic clay", "wet silt",
)  # fmt: skip
DRY = ("dry sand", "firm sand", "gravel", "hard rock", "concrete or paving", "hard earth")
HARD = ("hard rock", "demolition rubble", "concrete or paving")
MOSTLY = 50.0
"""Percent of the hours from which a ground counts as the usual one."""
FOUND = 400.0
"""Odds where somebody saw the cause itself, such as a roller that does not turn."""


@dataclass(frozen=True, slots=True)
class Pairing:
    """How the chains and sprockets of a machine go together.

    Parameters
    ----------
    parted : bool or None
        Whether on a side one of them was renewed without the other; None where nobody knows their history.
    pitch_life : float or None
        Most life used of a pitch [1]; None where none was read.
    """

    parted: bool | None = None
    pitch_life: float | None = None


def odds_of(
    kind: MachineKind,
    gear: RunningGear,
    grounds: Iterable[NamedGround],
    findings: Iterable[Finding],
    pairing: Pairing,
) -> dict[Cause, float]:
    """What the odds of each cause are multiplied by.

    Parameters
    ----------
    kind : MachineKind
        Family of machine.
    gear : RunningGear
        Its running gear.
    grounds : iterable of NamedGround
        Where it works.
    findings : iterable of Finding
        What stands: some are the cause itself.
    pairing : Pairing
        Chains and sprockets.

    Returns
    -------
    dict of Cause to float
        Above 0; causes that nothing is known about are left out.
    """
    odds: dict[Cause, float] = {}

    def times(cause: Cause, factor: float) -> None:
        odds[cause] = odds.get(cause, 1.0) * factor

    named = list(grounds)
    share = {each: sum(one.percent for one in named if one.name in each) for each in (STICKY, DRY, HARD)}
    if kind is MachineKind.EXCAVATOR:
        times(Cause.REVERSE, 0.6)
        times(Cause.SIDE_HILL, 0.5)
    if share[STICKY] >= MOSTLY:
        times(Cause.PACKING, 3.0)
    elif share[DRY] >= MOSTLY:
        times(Cause.PACKING, 0.4)
    if gear.shoe_class is ShoeClass.STANDARD:
        times(Cause.WIDE_SHOES, 0.4)
    elif share[HARD] >= MOSTLY:
        times(Cause.WIDE_SHOES, 4.0)
    if pairing.parted is not None:
        times(Cause.UNLIKE_PITCH, 6.0 if pairing.parted else 0.3)
    if gear.chain_type is ChainType.DRY and (pairing.pitch_life or 0.0) > 0.5:
        times(Cause.DRY_JOINTS, 3.0)
    for one in findings:
        cause = _ITSELF.get((one.kind, one.place.part))
        if cause is not None:
            odds[cause] = max(odds.get(cause, 1.0), FOUND)
    return odds


_TURNS = (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER, PartKind.IDLER)
_ITSELF: dict[tuple[FindingKind, PartKind], Cause] = {
    **{(FindingKind.SEIZED, part): Cause.SEIZED for part in _TURNS},
    (FindingKind.LOOSE_BOLTS, PartKind.SHOE): Cause.LOOSE_BOLTS,
    (FindingKind.SHAFT_PLAY, PartKind.IDLER): Cause.WORN_IDLER,
    (FindingKind.DRY_JOINT, PartKind.CHAIN): Cause.DRY_JOINTS,
    (FindingKind.BROKEN_RECOIL_SPRING, PartKind.TRACK_ADJUSTER): Cause.FRAME_OR_SPRING,
    (FindingKind.LOSING_PRESSURE, PartKind.TRACK_ADJUSTER): Cause.FRAME_OR_SPRING,
}
