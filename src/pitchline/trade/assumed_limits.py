"""Wear limits by rule of thumb, for who has no manual at hand: always chosen by a person, always in wide doubt.

See docs/explanation/assumed-limits.md.
"""

from dataclasses import dataclass

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.measurands import MEASURANDS, Direction, Measurand
from pitchline.trade.parts import PartKind
from pitchline.trade.saying import Saying, saying

STEP_M = 1e-4
"""An assumed size is rounded to a tenth of a millimetre: anything finer would look like a manual's figure."""
GENEROUS = 2.0
"""Standard doubts of the allowance by which the most generous limit lies beyond the assumed one [1]: our own."""


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule of thumb: the wear allowance of one quantity as a share of its new size.

    Parameters
    ----------
    share : float
        Allowance over the new size [1], above 0; below 1 where the size falls with wear.
    doubt : float
        Standard doubt of the allowance, as a share of it [1]; 8 in 10 real limits are taken to lie within 1.28 of it.
    because : str
        Where it comes from and how it was thought of: a code, said by `pitchline.words`.
    """

    share: float
    doubt: float
    because: str

    @property
    def told(self) -> Saying:
        """Where it comes from."""
        return saying(self.because)

    def said_of(self, measurand: Measurand) -> Saying:
        """What it gives, and how sure that is."""
        grows = "_grows" if MEASURANDS[measurand].direction is Direction.RISES else ""
        return saying(f"assumed.rule{grows}", share=self.share, doubt=self.doubt)


_BUSH = Rule(0.08, 0.30, "assumed.bush_wall")
_ROLLER = Rule(0.08, 0.30, "assumed.tread_shell")
_FLANGE = Rule(0.35, 0.30, "assumed.flange_third")

RULES: dict[tuple[PartKind, Measurand], Rule] = {
    (PartKind.CHAIN, Measurand.PITCH): Rule(0.02, 0.30, "assumed.pitch_below_ceiling"),
    (PartKind.BUSH, Measurand.BUSH_OD_FORWARD): _BUSH,
    (PartKind.BUSH, Measurand.BUSH_OD_REVERSE): _BUSH,
    (PartKind.LINK, Measurand.RAIL_HEIGHT): Rule(0.08, 0.30, "assumed.rail_over_boss"),
    (PartKind.SHOE, Measurand.GROUSER_HEIGHT): Rule(0.60, 0.20, "assumed.grouser_bite"),
    (PartKind.PAD, Measurand.PAD_HEIGHT): Rule(0.50, 0.25, "assumed.pad_half"),
    (PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER): _ROLLER,
    (PartKind.BOTTOM_ROLLER, Measurand.FLANGE_THICKNESS): _FLANGE,
    (PartKind.UPPER_ROLLER, Measurand.TREAD_DIAMETER): _ROLLER,
    (PartKind.UPPER_ROLLER, Measurand.FLANGE_THICKNESS): _FLANGE,
    (PartKind.IDLER, Measurand.TREAD_DEPTH): Rule(0.40, 0.30, "assumed.idler_tread"),
    (PartKind.SPROCKET, Measurand.ROOT_DIAMETER): Rule(0.02, 0.35, "assumed.root_with_pitch"),
    (PartKind.SPROCKET, Measurand.TOOTH_THICKNESS): Rule(0.30, 0.30, "assumed.tooth_third"),
    (PartKind.RUBBER_TRACK, Measurand.LUG_HEIGHT): Rule(0.60, 0.20, "assumed.lug_left"),
}
"""All of them assumptions of this project: no public source gives such a share for tracks in general, and a single machine's
figure is no rule. The pitch lies below what is common practice for roller chain."""

NEVER: dict[tuple[PartKind, Measurand], str] = {
    (PartKind.SLEW_RING, Measurand.SLEW_RING_ROCK): "assumed.never_ring",
    (PartKind.RUBBER_TRACK, Measurand.RUBBER_PITCH): "assumed.never_cords",
    (PartKind.RUBBER_TRACK, Measurand.GUIDE_LUG_WIDTH): "assumed.never_guide_lugs",
}
"""What is unsafe past its limit and shows nothing before, and why no limit is assumed for it."""


def assumed_limit_m(part: PartKind, measurand: Measurand, new_m: float) -> float:
    """The wear limit a rule of thumb gives.

    Parameters
    ----------
    part : PartKind
        The part.
    measurand : Measurand
        The quantity.
    new_m : float
        Its new size [m], above zero.

    Returns
    -------
    float
        Rounded to a tenth of a millimetre, but never to the new size itself [m].

    Raises
    ------
    NotAllowedError
        No limit is ever assumed for this quantity.

    References
    ----------
    Assumptions of this project, see docs/explanation/assumed-limits.md.

    Examples
    --------
    >>> assumed_limit_m(PartKind.LINK, Measurand.RAIL_HEIGHT, 0.110)
    0.1012
    """
    rule = rule_of(part, measurand)
    allowance_m = max(round(rule.share * new_m / STEP_M), 1) * STEP_M
    falls = MEASURANDS[measurand].direction is Direction.FALLS
    return round(new_m + (-allowance_m if falls else allowance_m), 6)


def rule_of(part: PartKind, measurand: Measurand) -> Rule:
    """The rule of thumb of one quantity.

    Raises
    ------
    NotAllowedError
        No limit is ever assumed for it.
    """
    rule = RULES.get((part, measurand))
    if rule is None:
        raise NotAllowedError(
            "assumed limit",
            phrase("{quantity:quantity} of {part:part}", quantity=measurand, part=part),
            "a quantity with a rule of thumb: none is ever assumed where passing the limit is unsafe",
            "Type the limit from the manual, or leave it empty.",
        )
    return rule
