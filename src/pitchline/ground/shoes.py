"""Which shoes: widths and kinds on offer compared over the grounds of a year."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pitchline.ground.fit import fits_of
from pitchline.ground.going import DRAWS, SEED, Going, Task, ground_table
from pitchline.ground.outcomes import Outcome
from pitchline.ground.results import GroundFit
from pitchline.ground.shoe_kinds import ShoeKind as ShoeKind
from pitchline.ground.soils import Ground, Surface
from pitchline.ground.standing import Standing
from pitchline.ground.why import together
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.ground import GroundClass
from pitchline.trade.machine import RunningGear, TrackKind
from pitchline.trade.saying import Saying, saying
from pitchline.trade.writing import as_figure


def fitted_kind(gear: RunningGear) -> ShoeKind:
    """The kind of shoe a machine has fitted now."""
    if gear.track is TrackKind.RUBBER:
        return ShoeKind.RUBBER_TRACK
    if gear.has_pads:
        return ShoeKind.RUBBER_PADS
    return {0: ShoeKind.FLAT, 1: ShoeKind.ONE_GROUSER, 2: ShoeKind.TWO_GROUSERS}.get(
        gear.grousers_per_shoe, ShoeKind.THREE_GROUSERS
    )


RUBBER_BELOW_KG, PADS_BELOW_KG = 8_000.0, 13_000.0
"""Machines up to these masses usually run on one-piece rubber, and on rubber pads. Common practice, no source; a remark only."""


@dataclass(frozen=True, slots=True)
class ShoeOffer:
    """One shoe on offer.

    Parameters
    ----------
    width_m : float
        Width [m], 0.1 to 2.5.
    kind : ShoeKind
        Kind.

    Raises
    ------
    NotAllowedError
        A width outside its range.
    """

    width_m: float
    kind: ShoeKind = ShoeKind.THREE_GROUSERS

    def __post_init__(self) -> None:
        if not 0.1 <= self.width_m <= 2.5:
            raise NotAllowedError("shoe width", f"{as_figure(self.width_m * 1e3, 'g')} mm", "100 to 2500 mm")

    @property
    def called(self) -> Saying:
        """Its name, such as "600 mm, triple grouser"."""
        return saying("shoe.width_and_kind", width_m=self.width_m, kind=self.kind)


@dataclass(frozen=True, slots=True)
class MixPart:
    """One ground of the year.

    Parameters
    ----------
    ground : Ground
        The ground.
    share : float
        Share of the hours [1], above 0 up to 1.

    Raises
    ------
    NotAllowedError
        A share outside its range.
    """

    ground: Ground
    share: float

    def __post_init__(self) -> None:
        if not 0 < self.share <= 1:
            raise NotAllowedError("share of the year", as_figure(self.share, "g"), "above 0, at most 1")


@dataclass(frozen=True, slots=True)
class ShoeChoice:
    """One shoe over the grounds of a year.

    Parameters
    ----------
    offer : ShoeOffer
        The shoe.
    fits : tuple of GroundFit
        One for each ground.
    suits, uncertain, does_not, unknown : float
        Shares of the year by what is said of the going [1].
    wear : float or None
        Wear an hour over that on middling ground [1], from the ground effects handed in; None where a ground's wear is unknown.
    overall_width_m : tuple of (float, float) or None
        Width over both tracks [m], low and high.
    remarks : tuple of Saying
        What else to weigh.
    """

    offer: ShoeOffer
    fits: tuple[GroundFit, ...]
    suits: float
    uncertain: float
    does_not: float
    unknown: float
    wear: float | None
    overall_width_m: tuple[float, float] | None
    remarks: tuple[Saying, ...]


@dataclass(frozen=True, slots=True)
class ShoeComparison:
    """Shoes on offer, compared.

    Parameters
    ----------
    mix : tuple of MixPart
        Grounds of the year.
    choices : tuple of ShoeChoice
        As offered, narrow first.
    suggested : ShoeOffer or None
        By the rule of practice; None where nothing tells.
    because : Saying
        Why.

    References
    ----------
    Rule of practice, no source: the narrowest shoe that floats.
    """

    mix: tuple[MixPart, ...]
    choices: tuple[ShoeChoice, ...]
    suggested: ShoeOffer | None
    because: Saying


def compare_shoes(
    machine: Standing,
    offers: Sequence[ShoeOffer],
    mix: Sequence[MixPart],
    ground_log_effects: Sequence[float],
    task: Task | None = None,
    draws: int = DRAWS,
    seed: int = SEED,
) -> ShoeComparison:
    """Shoes on offer compared over the grounds of a year.

    Parameters
    ----------
    machine : Standing
        The machine.
    offers : sequence of ShoeOffer
        At least one.
    mix : sequence of MixPart
        Grounds with their shares of the hours; they add up to 1.
    ground_log_effects : sequence of float
        Log of the wear rate in each ground class over that in middling ground [1], five of them.
    task : Task or None
        Load and slope.
    draws : int
        Draws, 1 or more.
    seed : int
        Where chance starts, zero or more.

    Returns
    -------
    ShoeComparison
        Every offer, and the narrowest that floats.

    Raises
    ------
    NotAllowedError
        No offer, shares that do not add up to 1, or not one effect for each ground class.

    References
    ----------
    Rule of practice, no source: the narrowest shoe that floats. Wear: the outlook's ground effects, handed in.
    """
    if not offers:
        raise NotAllowedError("shoes on offer", "none", "at least one")
    if abs(sum(part.share for part in mix) - 1) > 1e-6:
        told = f"{as_figure(100 * sum(part.share for part in mix), 'g')} %"
        raise NotAllowedError("shares of the year", told, "100 % together")
    if len(ground_log_effects) != len(GroundClass):
        raise NotAllowedError(
            "ground effects",
            len(ground_log_effects),
            phrase("{groundclass}, one for each class", groundclass=len(GroundClass)),
        )
    asked, grounds = task or Task(), tuple(part.ground for part in mix)
    ordered = sorted(offers, key=lambda offer: offer.width_m)
    found: dict[ShoeOffer, tuple[GroundFit, ...]] = {}
    for track in dict.fromkeys(offer.kind.track for offer in ordered):
        alike = [offer for offer in ordered if offer.kind.track is track]
        widths = tuple(offer.width_m for offer in alike)
        shod = replace(machine, track=track)
        rows = fits_of(shod, grounds, widths, asked, ground_table(shod, grounds, widths, asked, draws, seed))
        found |= {offer: tuple(row[place] for row in rows) for place, offer in enumerate(alike)}
    choices = tuple(
        _choice(machine, offer, tuple(mix), tuple(ground_log_effects), found[offer]) for offer in ordered
    )
    best = _narrowest(choices)
    return ShoeComparison(tuple(mix), choices, best.offer if best else None, _why(best, choices))


def _choice(
    machine: Standing,
    offer: ShoeOffer,
    mix: tuple[MixPart, ...],
    effects: tuple[float, ...],
    fits: tuple[GroundFit, ...],
) -> ShoeChoice:
    shares = {
        going: sum(part.share for part, fit in zip(mix, fits, strict=True) if fit.going is going)
        for going in Going
    }
    centres = machine.centres_m
    return ShoeChoice(
        offer,
        fits,
        shares[Going.SUITS],
        shares[Going.UNCERTAIN],
        shares[Going.DOES_NOT],
        shares[Going.UNKNOWN],
        expected_wear(mix, effects),
        (centres.low + offer.width_m, centres.high + offer.width_m),
        _remarks(machine, offer, mix),
    )


def expected_wear(mix: Sequence[MixPart], ground_log_effects: Sequence[float]) -> float | None:
    """Wear an hour over the year's grounds, as a multiple of that on middling ground.

    Parameters
    ----------
    mix : sequence of MixPart
        Grounds with their shares of the hours.
    ground_log_effects : sequence of float
        Log of the wear rate in each ground class over that in middling ground [1].

    Returns
    -------
    float or None
        Multiple [1]; None where a ground's class is unknown.

    References
    ----------
    Our own; the same for every width, because no published figure says how width changes wear.
    """
    if any(part.ground.wears is None for part in mix):
        return None
    rates = [part.share * float(np.exp(ground_log_effects[part.ground.wears or 0])) for part in mix]
    return sum(rates)


def _narrowest(choices: Sequence[ShoeChoice]) -> ShoeChoice | None:
    """The narrowest among those that suit the most of the year, of those that fail least."""
    if all(choice.suits == 0 for choice in choices):
        return None
    least = min(choice.does_not for choice in choices)
    able = [choice for choice in choices if choice.does_not <= least + 1e-9]
    most = max(choice.suits for choice in able)
    if most == 0:
        return None
    return next(choice for choice in able if choice.suits >= most - 1e-9)


def _why(best: ShoeChoice | None, choices: Sequence[ShoeChoice]) -> Saying:
    """Where it floats, what a narrower one loses, and what no width on offer mends."""
    if best is None:
        return saying("shoe.none_floats")
    soft = [fit for fit in best.fits if fit.ground.surface is not Surface.HARD]
    if not soft:
        return saying("shoe.hard_ground")
    floats = [fit.ground.name for fit in soft if fit.going is Going.SUITS]
    said = [saying("shoe.floats_on", grounds=floats) if floats else saying("shoe.floats_on_none")]
    narrower = [choice for choice in choices if choice.offer.width_m < best.offer.width_m]
    if narrower:
        said += _lost(best, narrower[-1])
    helpless = [
        fit.ground.name
        for place, fit in enumerate(best.fits)
        if all(choice.fits[place].going is not Going.SUITS for choice in choices)
    ]
    if helpless:
        said.append(saying("shoe.no_width_floats", grounds=helpless))
    return together(*said)


def _lost(best: ShoeChoice, other: ShoeChoice) -> list[Saying]:
    """Grounds on which the next narrower shoe is told to do worse."""
    lost = [
        saying("ground.going_on", going=there.going, grounds=[here.ground.name])
        for here, there in zip(best.fits, other.fits, strict=True)
        if here.going is not there.going
    ]
    return [saying("shoe.next_narrower", width_m=other.offer.width_m, lost=lost)] if lost else []


def _remarks(machine: Standing, offer: ShoeOffer, mix: Sequence[MixPart]) -> tuple[Saying, ...]:
    """What no formula tells. Common practice, no source."""
    found = []
    if any(part.ground.finished for part in mix):
        found.append(f"shoe.on_finished_{offer.kind}")
    rough = [part for part in mix if part.ground.wears is GroundClass.HARSH]
    if rough and offer.kind is ShoeKind.RUBBER_TRACK:
        found.append("shoe.rubber_cut")
    if rough and machine.level_length_m.high and offer.width_m > 0.2 * machine.level_length_m.high:
        found.append("shoe.wide_on_rough")
    if any(part.ground.surface is Surface.HARD for part in mix) and offer.kind.track is not TrackKind.STEEL:
        found.append("shoe.rubber_grips")
    return tuple([saying(code) for code in (*found, *_by_mass(machine, offer))])


def _by_mass(machine: Standing, offer: ShoeOffer) -> tuple[str, ...]:
    if machine.mass_kg is None:
        return ()
    mass = (machine.mass_kg.low + machine.mass_kg.high) / 2
    if offer.kind is ShoeKind.RUBBER_TRACK and mass > RUBBER_BELOW_KG:
        return ("shoe.unusual_rubber_track",)
    if offer.kind is ShoeKind.RUBBER_PADS and mass > PADS_BELOW_KG:
        return ("shoe.unusual_rubber_pads",)
    return ()


def turning_effort(choice: ShoeChoice) -> tuple[float, float] | None:
    """Least and most turning pull needed over given, over the grounds that tell.

    Returns
    -------
    tuple of float, or None
        Low and high [1]; None where no ground tells.

    References
    ----------
    `turning`.
    """
    found = [fit.figure(Outcome.TURN) for fit in choice.fits]
    lows = [one.low for one in found if one.low is not None]
    highs = [one.high for one in found if one.high is not None]
    return (min(lows), max(highs)) if lows else None
