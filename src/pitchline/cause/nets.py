"""What is taken of causes and signs before anybody looks: how common, how strongly a cause shows, how often a sign shows without.

No published, maker-free figure was found for any of it: every number here is an assumption of ours, to be replaced by a
yard's own records. Published sources name causes and their signs in words (docs/explanation/causes.md has them).
"""

from collections.abc import Mapping
from dataclasses import dataclass

from pitchline.trade.causes import Cause, Sign

C, S = Cause, Sign


@dataclass(frozen=True, slots=True)
class Net:
    """Causes that are at work or not, independent before looking, and the signs each brings by itself.

    Parameters
    ----------
    priors : mapping of Cause to float
        Chance of each before looking [1], inside (0, 1).
    leaks : mapping of Sign to float
        Chance that a sign shows though none of the causes is at work [1], inside (0, 1).
    strengths : mapping of Cause to mapping of Sign to float
        Chance that a cause alone brings a sign [1], inside (0, 1); left out means it does not.

    References
    ----------
    Noisy-or with leak: Pearl, Probabilistic Reasoning in Intelligent Systems (1988) 184, as others quote it.
    """

    priors: Mapping[Cause, float]
    leaks: Mapping[Sign, float]
    strengths: Mapping[Cause, Mapping[Sign, float]]


STEEL = Net(
    priors={
        C.TIGHT: 0.20, C.SLACK: 0.15, C.PACKING: 0.15, C.REVERSE: 0.20, C.ONE_WAY: 0.10, C.SIDE_HILL: 0.08,
        C.OUT_OF_LINE: 0.06, C.DRY_JOINTS: 0.12, C.WORN_ROLLERS: 0.12, C.SEIZED: 0.05, C.WIDE_SHOES: 0.12,
        C.UNLIKE_PITCH: 0.06, C.WORN_IDLER: 0.08, C.LOOSE_BOLTS: 0.10, C.FRAME_OR_SPRING: 0.04,
    },
    leaks={
        S.FACES: 0.10, S.SIDES: 0.12, S.FLANGES: 0.10, S.ENDS: 0.12, S.ONE_ROLLER: 0.06, S.PITCH_AHEAD: 0.12,
        S.BUSH_AHEAD: 0.12, S.JOINTS_UNLIKE: 0.06, S.ROOT_AHEAD: 0.10, S.RAIL_AHEAD: 0.12, S.ROLLERS_AHEAD: 0.12,
        S.SHOES_AHEAD: 0.12, S.TEETH: 0.06, S.SAG_LOW: 0.08, S.SAG_HIGH: 0.12, S.PACKED: 0.10, S.BOSSES: 0.08,
        S.CAME_OFF: 0.03, S.HOLLOW_RAIL: 0.06, S.HOT: 0.03, S.PIN_RUST: 0.05, S.LEAKING: 0.08,
        S.BENT_SHOES: 0.06, S.BOLT_RINGS: 0.04,
    },
    strengths={
        C.TIGHT: {S.SAG_LOW: 0.75, S.BUSH_AHEAD: 0.45, S.ROOT_AHEAD: 0.50, S.FACES: 0.20, S.HOLLOW_RAIL: 0.40,
                  S.HOT: 0.15, S.ROLLERS_AHEAD: 0.15, S.ENDS: 0.20},
        C.SLACK: {S.SAG_HIGH: 0.75, S.TEETH: 0.40, S.CAME_OFF: 0.45, S.FLANGES: 0.25, S.BOSSES: 0.15, S.FACES: 0.20},
        C.PACKING: {S.PACKED: 0.80, S.TEETH: 0.55, S.ROOT_AHEAD: 0.45, S.BUSH_AHEAD: 0.40, S.SAG_LOW: 0.35,
                    S.CAME_OFF: 0.20, S.ONE_ROLLER: 0.15},
        C.REVERSE: {S.FACES: 0.75, S.BUSH_AHEAD: 0.40, S.HOLLOW_RAIL: 0.30, S.TEETH: 0.10},
        C.ONE_WAY: {S.SIDES: 0.70, S.FLANGES: 0.45, S.SHOES_AHEAD: 0.25},
        C.SIDE_HILL: {S.SIDES: 0.45, S.FLANGES: 0.65, S.SHOES_AHEAD: 0.30, S.BOSSES: 0.10, S.CAME_OFF: 0.10},
        C.OUT_OF_LINE: {S.FLANGES: 0.75, S.SIDES: 0.40, S.ENDS: 0.35, S.CAME_OFF: 0.30, S.TEETH: 0.15, S.BOSSES: 0.20},
        C.DRY_JOINTS: {S.JOINTS_UNLIKE: 0.70, S.PITCH_AHEAD: 0.80, S.SAG_HIGH: 0.35, S.HOT: 0.35, S.PIN_RUST: 0.40,
                       S.TEETH: 0.20, S.ROOT_AHEAD: 0.30},
        C.WORN_ROLLERS: {S.RAIL_AHEAD: 0.45, S.ROLLERS_AHEAD: 0.45, S.BOSSES: 0.55, S.FLANGES: 0.30,
                         S.ONE_ROLLER: 0.25, S.ENDS: 0.25},
        C.SEIZED: {S.ONE_ROLLER: 0.80, S.HOT: 0.45, S.LEAKING: 0.45, S.RAIL_AHEAD: 0.30, S.BOSSES: 0.15},
        C.WIDE_SHOES: {S.BENT_SHOES: 0.55, S.BOLT_RINGS: 0.40, S.SHOES_AHEAD: 0.45, S.PITCH_AHEAD: 0.35,
                       S.FLANGES: 0.25, S.BOSSES: 0.10},
        C.UNLIKE_PITCH: {S.TEETH: 0.60, S.ROOT_AHEAD: 0.60, S.CAME_OFF: 0.20, S.FACES: 0.20, S.BUSH_AHEAD: 0.35},
        C.WORN_IDLER: {S.HOLLOW_RAIL: 0.35, S.BOSSES: 0.35, S.ENDS: 0.30, S.CAME_OFF: 0.25, S.FLANGES: 0.35},
        C.LOOSE_BOLTS: {S.BOLT_RINGS: 0.85, S.BENT_SHOES: 0.30, S.ONE_ROLLER: 0.15, S.TEETH: 0.10},
        C.FRAME_OR_SPRING: {S.SIDES: 0.35, S.FLANGES: 0.40, S.ENDS: 0.40, S.SAG_LOW: 0.30, S.SAG_HIGH: 0.30,
                            S.CAME_OFF: 0.40},
    },
)  # fmt: skip
"""Chains of steel, with or without pads. All of it assumed."""

RUBBER = Net(
    priors={
        C.SHARP_GROUND: 0.25, C.WET_CORD: 0.10, C.OVERLOADED_CORD: 0.06, C.SPIN: 0.20, C.TIGHT: 0.15,
        C.SLACK_OR_WORN_DRIVE: 0.15, C.LINE_OR_SLOPES: 0.12, C.CORE_LEAVING: 0.05,
    },
    leaks={
        S.CUTS: 0.10, S.LUGS_LOW: 0.10, S.LUGS_TORN: 0.08, S.CORD: 0.03, S.RUST: 0.02, S.BULGE: 0.03,
        S.GUIDES_WORN: 0.08, S.DRIVE_LUGS_TORN: 0.05, S.CORE_BARE: 0.03, S.SAG_LOW: 0.08, S.SAG_HIGH: 0.12,
        S.SKIPS: 0.04, S.SIDES: 0.12, S.EDGE_TORN: 0.08, S.LOOP_LONGER: 0.05,
        S.LUGS_ONE_SIDE: 0.06,
    },
    strengths={
        C.SHARP_GROUND: {S.CUTS: 0.90, S.LUGS_TORN: 0.50, S.EDGE_TORN: 0.40, S.CORD: 0.15},
        C.WET_CORD: {S.CORD: 0.70, S.RUST: 0.80, S.BULGE: 0.25, S.CUTS: 0.60},
        C.OVERLOADED_CORD: {S.LOOP_LONGER: 0.50, S.BULGE: 0.50, S.CORD: 0.35, S.SAG_HIGH: 0.40},
        C.SPIN: {S.LUGS_LOW: 0.70, S.LUGS_TORN: 0.40, S.SIDES: 0.15},
        C.TIGHT: {S.SAG_LOW: 0.75, S.CORE_BARE: 0.20, S.DRIVE_LUGS_TORN: 0.15},
        C.SLACK_OR_WORN_DRIVE: {S.SAG_HIGH: 0.75, S.SKIPS: 0.50, S.DRIVE_LUGS_TORN: 0.45, S.GUIDES_WORN: 0.30},
        C.LINE_OR_SLOPES: {S.GUIDES_WORN: 0.75, S.SIDES: 0.35, S.EDGE_TORN: 0.30, S.LUGS_ONE_SIDE: 0.50},
        C.CORE_LEAVING: {S.CORE_BARE: 0.75, S.BULGE: 0.40, S.SKIPS: 0.25, S.DRIVE_LUGS_TORN: 0.30},
    },
)  # fmt: skip
"""One-piece rubber tracks. All of it assumed."""
