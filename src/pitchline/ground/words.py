"""Why there is no figure, why a machine suits or does not, and the cautions, in sentences."""

from collections.abc import Sequence

from pitchline.ground.going import CLEAR_OF_TIPPING_DEG, STANDS, SUITS_SHARE, Going, Near, Unknown
from pitchline.ground.outcomes import Outcome
from pitchline.ground.sinkage import BELLIED
from pitchline.ground.soils import Ground, Surface
from pitchline.ground.standing import Standing
from pitchline.trade.machine import TrackKind
from pitchline.trade.writing import as_figure

CAUTIONS: tuple[str, ...] = (
    "Figures to compare by, not a permit to work. Ground bearing, working platforms, edges and slopes are for a "
    "competent person, the maker's manual and local codes.",
    "Keep off slopes where you can: tracked plant has slid, overturned and broken through. Swing, travel, load, "
    "water and a soft edge bring a machine over, or let it slide, long before the slopes told here.",
    "No machine near the edge of an excavation unless the edge is proved.",
)
"""Told with every ground fit. Sources: Temporary Works Forum TW16.093, *Tracked plant on slopes*; CPA, *Ground conditions for
construction plant*; EFFC/DFI, *Guide to Working Platforms* (titles)."""

_NO_SOIL = "no tested soil brackets this ground"
_PUSH = "no tested soil, cone index or friction is known for it"
_MISSING: dict[Outcome, str] = {
    Outcome.PRESSURE: "nobody knows the machine's mass",
    Outcome.PEAKS: "nobody knows the machine's mass",
    Outcome.INDEX_NEEDED: "nobody knows the machine's mass",
    Outcome.PEAK_PRESSURE: "the load stands outside the tracks: it tips",
    Outcome.TIP: "it tips on the level",
    Outcome.SINKAGE: _NO_SOIL,
    Outcome.PULL: _PUSH,
    Outcome.CLIMB: _PUSH,
    Outcome.TURN: "no turning coefficient with a tested soil or friction",
    Outcome.SLIDE: "no tested soil or friction is known for it",
    Outcome.FRICTION: "as for the slide",
    Outcome.SPARE_ONCE: "no rating cone index: it takes a penetrometer and the remould test",
    Outcome.SPARE_OFTEN: "no rating cone index: it takes a penetrometer and the remould test",
    Outcome.BEARING: "no strength is known: press a thumb into it, or use a hand vane",
}
_PARTLY: dict[Outcome, str] = {
    Outcome.SINKAGE: BELLIED,
    Outcome.BEARING: "the load stands outside the tracks, or its pull downhill shears the soil",
}


def no_figure_because(
    outcome: Outcome,
    ground: Ground,
    machine: Standing,
    some: bool,
    without: float = 1.0,
    carried: float | None = None,
) -> str:
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
        return "nobody knows the machine's mass"
    if outcome is Outcome.PEAKS and machine.track is TrackKind.RUBBER:
        return "the method is not for one-piece rubber tracks on steel rollers"
    if outcome is Outcome.BEARING and ground.surface is Surface.LOOSE_FILL:
        return "uncontrolled fill: nobody presumes what it bears (UFC 3-220-20, 5-2.5)"
    if outcome is Outcome.BEARING and ground.surface is Surface.HARD:
        return "hard ground is not checked here; slabs and voids are another matter"
    if some and outcome in (Outcome.PULL, Outcome.CLIMB, Outcome.SLIDE):
        return _along_because(outcome, ground, without, carried)
    return _PARTLY.get(outcome, _MISSING[outcome]) if some else _MISSING[outcome]


def _along_because(outcome: Outcome, ground: Ground, without: float, carried: float | None) -> str:
    """Why a pull or a slope has no figure where its inputs are known."""
    if ground.winter is None and not ground.terrains:
        return "its cone index is too low for one pass"
    bellied = 0.0 if carried is None else 1.0 - carried
    more = "the machine presses harder than the curve was fitted for"
    if ground.winter is None:
        cohesion = "cohesion alone holds it: never count on that"
        more = "the ground is not what limits the pull" if outcome is Outcome.PULL else cohesion
    if bellied <= 0:
        return more
    return "it lies on its belly" if without <= bellied + 1e-9 else f"{more}; or it lies on its belly"


def going_because(
    going: Going,
    ground: Ground,
    machine: Standing,
    shares: dict[str, float | None],
    slope_deg: float,
    close: Sequence[Near] = (),
    missing: Sequence[Unknown] = (),
) -> str:
    """Why the going is what it is.

    Parameters
    ----------
    going : Going
        What is said.
    ground : Ground
        The ground.
    machine : Standing
        The machine.
    shares : dict of str to float or None
        Share of the draws in which each test lets the machine go [1], by the test's words; None where it says nothing.
    slope_deg : float
        Slope it is told for [deg].
    close : sequence of Near
        What it stands within reach of.
    missing : sequence of Unknown
        What nobody knows of the slope.
    """
    where = f"on {as_figure(slope_deg, 'g')} degrees" if slope_deg else "on the level"
    known = {
        words: share for words, share in shares.items() if share is not None and (words not in STANDS or share < 1)
    }
    if going is Going.UNKNOWN:
        return _unknown(ground, machine, where, missing if known else ())
    near = [_near(one, ground, where) for one in close]
    tight = sorted(known.items(), key=lambda item: (item[1], item[0] not in STANDS))
    words, share = tight[0]
    if going is Going.SUITS or (going is Going.UNCERTAIN and share >= SUITS_SHARE):
        said = f"It goes {where} in {_share(share)} of the cases looked at, by {listed_said(list(known))}."
        if ground.surface is Surface.HARD:
            hard = "Hard ground carries it on its grouser tips; width does not help here."
            said = f"{hard} {said}" if slope_deg else hard
        return " ".join([said, *near])
    return " ".join(
        [f"What is against it {where}: {words}; it passes in {_share(share)} of the cases looked at.", *near]
    )


def _unknown(ground: Ground, machine: Standing, where: str, missing: Sequence[Unknown]) -> str:
    if machine.mass_kg is None:
        return "Nobody knows the machine's mass, so nobody can say."
    told = {
        (Unknown.GRIP,): f"its grip is not known, so nobody can say whether the machine slides {where}",
        (Unknown.PULL,): f"the pull it gives is not known, so nobody can say whether the machine climbs {where}",
        (
            Unknown.GRIP,
            Unknown.PULL,
        ): f"neither grip nor pull is known, so nobody can say what the machine does {where}",
    }
    said = f"Of this ground {told[tuple(missing)]}." if missing else _NOTHING_KNOWN
    return f"{said} Loose fill hides voids." if ground.surface is Surface.LOOSE_FILL else said


_NOTHING_KNOWN = "Nothing known of this ground tells whether it carries the machine."


def _near(near: Near, ground: Ground, where: str) -> str:
    """Why it is not called suitable though the tests let it go."""
    if near is Near.TIPPING:
        return (
            f"It stands within reach of tipping {where}: nothing is called suitable past half of the slope it tips on at rest, "
            f"or nearer to it than {as_figure(CLEAR_OF_TIPPING_DEG, 'g')} degrees (our own margin for swing, travel, load "
            "and a soft edge)."
        )
    if ground.terrains and ground.winter is None:
        return (
            f"Friction alone does not hold it {where} with half as much to spare; what cohesion adds goes with water, "
            "a smeared surface or a crack."
        )
    return f"Friction does not hold it {where} with half as much to spare (our own margin)."


def _share(share: float) -> str:
    """In how many of the cases, rounded down so that nothing is promised."""
    tens = 10 if share >= 0.95 else int(share * 10 + 1e-9)
    return {10: "all or nearly all", 0: "hardly any"}.get(tens, f"about {tens} in 10")


def listed_said(words: Sequence[str]) -> str:
    """Words as a list for reading, such as "clay, peat and rock"."""
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
