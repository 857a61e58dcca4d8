"""Why there is no figure, why a machine suits or does not, and the cautions."""

from collections.abc import Sequence

from pitchline.ground.bearing import SAFETY_FACTOR
from pitchline.ground.going import CLEAR_OF_TIPPING_DEG, STANDS, SUITS_SHARE, Against, Going, Near, Unknown
from pitchline.ground.outcomes import Outcome
from pitchline.ground.soils import Ground, Surface
from pitchline.ground.standing import Standing
from pitchline.trade.machine import TrackKind
from pitchline.trade.saying import Saying, saying

CAUTIONS: tuple[Saying, ...] = (
    saying("caution.not_a_permit"),
    saying("caution.off_slopes"),
    saying("caution.edge_of_excavation"),
)
"""Told with every ground fit. Sources: Temporary Works Forum TW16.093, *Tracked plant on slopes*; CPA, *Ground conditions for
construction plant*; EFFC/DFI, *Guide to Working Platforms* (titles)."""

_MISSING: dict[Outcome, str] = {
    Outcome.PRESSURE: "no_figure.mass_unknown",
    Outcome.PEAKS: "no_figure.mass_unknown",
    Outcome.INDEX_NEEDED: "no_figure.mass_unknown",
    Outcome.PEAK_PRESSURE: "no_figure.load_outside_tracks",
    Outcome.TIP: "no_figure.tips_on_level",
    Outcome.SINKAGE: "no_figure.no_tested_soil",
    Outcome.PULL: "no_figure.nothing_to_push_on",
    Outcome.CLIMB: "no_figure.nothing_to_push_on",
    Outcome.TURN: "no_figure.no_turning_coefficient",
    Outcome.SLIDE: "no_figure.nothing_to_hold_on",
    Outcome.FRICTION: "no_figure.as_for_slide",
    Outcome.SPARE_ONCE: "no_figure.no_rating_index",
    Outcome.SPARE_OFTEN: "no_figure.no_rating_index",
    Outcome.BEARING: "no_figure.no_strength",
}
_PARTLY: dict[Outcome, str] = {
    Outcome.SINKAGE: "no_figure.sinks_too_deep",
    Outcome.BEARING: "no_figure.outside_or_shears",
}


def no_figure_because(
    outcome: Outcome,
    ground: Ground,
    machine: Standing,
    some: bool,
    without: float = 1.0,
    carried: float | None = None,
) -> Saying:
    """Why an outcome has no figure, or none for part of the draws.

    Parameters
    ----------
    outcome : Outcome
        The outcome.
    ground : Ground
        The ground.
    machine : Standing
        The machine.
    some : bool
        Whether what the outcome rests on is known, so that a method's own end is the reason.
    without : float
        Share of the draws without a number [1].
    carried : float or None
        Share of the draws in which it does not lie on its belly [1]; None where nothing tells.

    References
    ----------
    The methods' own ranges.
    """
    if machine.mass_kg is None and outcome is not Outcome.TIP:
        return saying("no_figure.mass_unknown")
    if outcome is Outcome.PEAKS and machine.track is TrackKind.RUBBER:
        return saying("no_figure.not_for_rubber")
    if outcome is Outcome.BEARING and ground.surface is Surface.LOOSE_FILL:
        return saying("no_figure.uncontrolled_fill")
    if outcome is Outcome.BEARING and ground.surface is Surface.HARD:
        return saying("no_figure.hard_unchecked")
    if some and outcome in (Outcome.PULL, Outcome.CLIMB, Outcome.SLIDE):
        return saying(_along_because(outcome, ground, without, carried))
    return saying(_PARTLY.get(outcome, _MISSING[outcome]) if some else _MISSING[outcome])


def _along_because(outcome: Outcome, ground: Ground, without: float, carried: float | None) -> str:
    """Why a pull or a slope has no figure where its inputs are known: the code."""
    if ground.winter is None and not ground.terrains:
        return "no_figure.index_too_low"
    more = "presses_too_hard"
    if ground.winter is None:
        more = "ground_not_the_limit" if outcome is Outcome.PULL else "cohesion_alone"
    bellied = 0.0 if carried is None else 1.0 - carried
    if bellied <= 0:
        return f"no_figure.{more}"
    return "no_figure.bellied" if without <= bellied + 1e-9 else f"no_figure.{more}_or_bellied"


def going_because(
    going: Going,
    ground: Ground,
    machine: Standing,
    shares: dict[Against, float | None],
    slope_deg: float,
    close: Sequence[Near] = (),
    missing: Sequence[Unknown] = (),
) -> Saying:
    """Why the going is what it is.

    Parameters
    ----------
    going : Going
        What is said.
    ground : Ground
        The ground.
    machine : Standing
        The machine.
    shares : dict of Against to float or None
        Share of the draws in which each test lets the machine go [1]; None where it says nothing.
    slope_deg : float
        Slope it is told for [deg].
    close : sequence of Near
        What it stands within reach of.
    missing : sequence of Unknown
        What nobody knows of the slope.
    """
    where = saying("ground.on_slope", slope_deg=slope_deg) if slope_deg else saying("ground.on_level")
    known = {
        test: share for test, share in shares.items() if share is not None and (test not in STANDS or share < 1)
    }
    if going is Going.UNKNOWN:
        return _unknown(ground, machine, where, missing if known else ())
    near = [_near(one, ground, where) for one in close]
    test, share = min(known.items(), key=lambda item: (item[1], item[0] not in STANDS))
    if going is not Going.SUITS and (going is not Going.UNCERTAIN or share < SUITS_SHARE):
        against = saying("ground.against", where=where, test=_called(test), cases=_cases(share))
        return together(against, *near)
    hard = [saying("ground.hard_carries")] if ground.surface is Surface.HARD else []
    if hard and not slope_deg:
        return together(*hard, *near)
    tests = [_called(one) for one in known]
    return together(*hard, saying("ground.goes", where=where, cases=_cases(share), tests=tests), *near)


def together(*said: Saying) -> Saying:
    """Sentences one after the other."""
    return said[0] if len(said) == 1 else saying("ground.all", said=said)


def _called(test: Against) -> Saying:
    if test is Against.BEARING:
        return saying("ground.test_bearing", factor=SAFETY_FACTOR)
    return saying(f"ground.test_{test}")


def _unknown(ground: Ground, machine: Standing, where: Saying, missing: Sequence[Unknown]) -> Saying:
    if machine.mass_kg is None:
        return saying("ground.mass_unknown")
    said = saying("ground.nothing_known")
    if missing:
        said = saying(f"ground.unknown_{'_'.join(missing)}", where=where)
    return together(said, saying("ground.hides_voids")) if ground.surface is Surface.LOOSE_FILL else said


def _near(near: Near, ground: Ground, where: Saying) -> Saying:
    """Why it is not called suitable though the tests let it go."""
    if near is Near.TIPPING:
        return saying("ground.near_tipping", where=where, clear_deg=CLEAR_OF_TIPPING_DEG)
    has_cohesion = ground.terrains and ground.winter is None
    return saying(f"ground.near_sliding_{'with_cohesion' if has_cohesion else 'by_friction'}", where=where)


def _cases(share: float) -> Saying:
    """In how many of the cases, rounded down so that nothing is promised."""
    tens = 10 if share >= 0.95 else int(share * 10 + 1e-9)
    named = {10: "nearly_all", 0: "hardly_any"}.get(tens)
    return saying(f"ground.cases_{named}") if named else saying("ground.cases", tens=tens)
