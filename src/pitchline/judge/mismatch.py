"""New beside old: a chain and its sprocket of unlike wear, two chains of unlike wear, and what that does to hours and money."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from pitchline.judge.machine_by_day import Known
from pitchline.money.amount import Money
from pitchline.money.cost import job_cost
from pitchline.money.prices import PriceList
from pitchline.outlook.lives import events_at
from pitchline.shape.pitch_match import pitch_match
from pitchline.stops.jobs import pieces_at
from pitchline.stops.work import Work
from pitchline.trade.dossier import Event
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import Saying, saying
from pitchline.verdict import Judged, Mismatch, PartVerdict, Unlike

FRESH, OLDER, WORN = 0.2, 0.3, 0.5
"""Life used up to which a part counts as new, by how much more its partner has to be used, and from which that one counts as worn
whatever its pitch [1]: assumptions."""
TELL, BOTH, NEVER_ALONE = 0.005, 0.015, 0.025
"""Pitch apart from which it is told, both are advised, and the one alone is never fitted [1]: assumptions."""
LITTLE, MUCH = (1.0, 1.5), (1.5, 4.0)
"""Times as fast the newer part wears below and from `BOTH`: assumptions; no published figure was found."""


@dataclass(frozen=True, slots=True)
class _Pair:
    """One side's chain on its sprocket: wear as lengths [m] and as life used [1]."""

    pitch_m: float
    stretch_m: float
    bush_m: float
    root_m: float
    chain_used: float
    pitch_used: float
    sprocket_used: float


def mismatches(
    known: Known, parts: tuple[PartVerdict, ...], work: list[Work], prices: PriceList | None
) -> tuple[Mismatch, ...]:
    """Pairs of unlike wear, as they run now and as the booked work would make them.

    Parameters
    ----------
    known : Known
        The dossier as it stood.
    parts : tuple of PartVerdict
        With their readings and hours.
    work : list of Work
        What stands: each job once at each place.
    prices : PriceList or None
        The yard's list.

    Returns
    -------
    tuple of Mismatch
        Each kind once, for one side or both; nothing where the new pitch is not known. No hours of the verdict are changed by it.

    References
    ----------
    The pitch each brings: geometry (`shape.pitch_match`). That the newer part pays for it is published for other chains: a poorly
    fitting connector ruins a new sprocket in short order (TB 43-PS-675). How many times as fast: our own assumption.
    """
    if not known.dossier.gear.has_chain or known.dossier.gear.pitch_measured:
        return ()
    return _Finder(known, parts, work, prices).found()


class _Finder:
    """Both sides of one machine."""

    def __init__(
        self, known: Known, parts: tuple[PartVerdict, ...], work: list[Work], prices: PriceList | None
    ) -> None:
        self.known, self.gear, self.prices = known, known.dossier.gear, prices
        self.judged = {(one.place, one.measurand): one for part in parts for one in part.judged}
        self.asked = {(item.job, item.place) for item in work if item.call.asks}

    def found(self) -> tuple[Mismatch, ...]:
        now = {side: pair for side in (Side.LEFT, Side.RIGHT) if (pair := self._pair(side)) is not None}
        then = {side: self._after(side, pair) for side, pair in now.items()}
        told = []
        for unlike in (Unlike.CHAIN_ON_WORN_SPROCKET, Unlike.SPROCKET_ON_WORN_CHAIN):
            here = {side: apart for side, pair in now.items() if (apart := self._apart(unlike, pair)) is not None}
            made = {side: apart for side, pair in then.items() if (apart := self._apart(unlike, pair)) is not None}
            if here:
                told.append(self._driven(unlike, now, here, fitted=True, cured=not set(here) & set(made)))
            elif made:
                told.append(self._driven(unlike, now, made, fitted=False, cured=False))
        beside = self._beside(now)
        return (*told, *([beside] if beside is not None else []))

    def _one(self, part: PartKind, side: Side, measurand: Measurand) -> tuple[float, float] | None:
        """Worn off [m] and life used [1], as read; of a part recorded as fitted new and not read since, as judged."""
        place = Place(part, side)
        judged = self.judged.get((place, measurand))
        if judged is None or judged.new_m is None or judged.limit_m is None:
            return None
        allowance_m = abs(judged.limit_m - judged.new_m)
        if judged.status == "judged" and judged.value_m is not None:
            falls = judged.limit_m < judged.new_m
            worn_m = max(0.0, judged.new_m - judged.value_m if falls else judged.value_m - judged.new_m)
            return worn_m, worn_m / allowance_m
        events = events_at(self.known.dossier, place)
        if judged.life_used is None or not events or events[-1].event is not Event.FITTED_NEW:
            return None
        return judged.life_used * allowance_m, judged.life_used

    def _pair(self, side: Side) -> _Pair | None:
        pitch = self._one(PartKind.CHAIN, side, Measurand.PITCH)
        bush = self._one(PartKind.BUSH, side, Measurand.BUSH_OD_FORWARD)
        root = self._one(PartKind.SPROCKET, side, Measurand.ROOT_DIAMETER)
        tooth = self._one(PartKind.SPROCKET, side, Measurand.TOOTH_THICKNESS)
        if pitch is None or (root is None and tooth is None):
            return None
        new_m = self.judged[Place(PartKind.CHAIN, side), Measurand.PITCH].new_m or self.gear.pitch_m
        turned = any(
            event.event is Event.TURNED for event in events_at(self.known.dossier, Place(PartKind.BUSH, side))[-1:]
        )
        bush_m, bush_used = bush or (0.0, 0.0)
        return _Pair(
            new_m,
            pitch[0],
            bush_m / 2 if turned else bush_m,
            root[0] / 2 if root is not None else 0.0,
            max(pitch[1], bush_used),
            pitch[1],
            max(one[1] for one in (root, tooth) if one is not None),
        )

    def _after(self, side: Side, pair: _Pair) -> _Pair:
        """The same once what is booked is done."""
        if (JobKind.REPLACE, Place(PartKind.CHAIN, side)) in self.asked:
            pair = replace(pair, stretch_m=0.0, bush_m=0.0, chain_used=0.0, pitch_used=0.0)
        elif (JobKind.TURN, Place(PartKind.BUSH, side)) in self.asked:
            pair = replace(pair, stretch_m=0.0, bush_m=0.0, chain_used=WORN, pitch_used=0.0)
        if (JobKind.REPLACE, Place(PartKind.SPROCKET, side)) in self.asked:
            pair = replace(pair, root_m=0.0, sprocket_used=0.0)
        return pair

    def _apart(self, unlike: Unlike, pair: _Pair) -> float | None:
        """How far the pitches lie apart, where one is new, the other worn, and it is enough to be told."""
        new, old = pair.chain_used, pair.sprocket_used
        if unlike is Unlike.SPROCKET_ON_WORN_CHAIN:
            new, old = pair.sprocket_used, pair.pitch_used
        match = pitch_match(
            pair.pitch_m,
            pair.pitch_m + pair.stretch_m,
            self.gear.sprocket_teeth,
            self.gear.sprocket_gaps,
            pair.root_m,
            pair.bush_m,
        )
        apart = float(match.apart)
        return apart if new <= FRESH and old - new >= OLDER and (old >= WORN or apart >= TELL) else None

    def _driven(
        self, unlike: Unlike, pairs: dict[Side, _Pair], sides: dict[Side, float], fitted: bool, cured: bool
    ) -> Mismatch:
        chain_new = unlike is Unlike.CHAIN_ON_WORN_SPROCKET
        newer_part, older_part = PartKind.SPROCKET, PartKind.CHAIN
        if chain_new:
            newer_part, older_part = older_part, newer_part
        newer, older = (tuple(Place(part, side) for side in sides) for part in (newer_part, older_part))
        apart = max(sides.values())
        faster = MUCH if apart >= BOTH else LITTLE
        used = max(pairs[side].sprocket_used if chain_new else pairs[side].pitch_used for side in sides)
        lost = self._lost(newer_part, len(sides), faster)
        hours_h = self._hours_h(newer, faster) if fitted else None
        said = [
            self._what(unlike, tuple(sides), used, apart, fitted),
            _pays(chain_new, faster, hours_h, lost),
            self._advice(unlike, apart, fitted, cured, len(sides)),
        ]
        return Mismatch(
            unlike, newer, older, apart, faster, hours_h, lost, fitted, saying("mismatch.all", said=said)
        )

    def _what(self, unlike: Unlike, sides: tuple[Side, ...], used: float, apart: float, fitted: bool) -> Saying:
        where = "both_sides" if len(sides) > 1 else "one_side"
        what = f"mismatch.{unlike.value}_{where}{'' if fitted else '_to_come'}"
        return saying(what, side=sides[0], used=used, apart=apart)

    def _hours_h(self, newer: Iterable[Place], faster: tuple[float, float]) -> tuple[float, float] | None:
        """Hours of the newer part at those rates, the fewer first: to the limit of a chain's bushes, or of the sprocket."""
        left = []
        for place in newer:
            names = [place]
            if place.part is PartKind.CHAIN:
                names = [Place(PartKind.BUSH, place.side)]
            for (where, _), judged in self.judged.items():
                due = judged.to_limit if where in names and self._bears(judged) else None
                left += [due.middle] if due is not None else []
        return (min(left) / faster[1], min(left) / faster[0]) if left else None

    def _bears(self, judged: Judged) -> bool:
        return judged.measurand is not Measurand.BUSH_OD_REVERSE

    def _lost(self, part: PartKind, places: int, faster: tuple[float, float]) -> Money | None:
        """The share of its price that goes with the share of its life."""
        price = self._price(part, places)
        if price is None:
            return None
        low, high = (price.usual * (1 - 1 / times) for times in faster)
        middle = price.usual * (1 - 1 / math.sqrt(faster[0] * faster[1]))
        return Money(low, middle, high, price.currency)

    def _price(self, part: PartKind, places: int) -> Money | None:
        pieces = places * pieces_at(JobKind.REPLACE, part, self.gear)
        return job_cost(self.prices, JobKind.REPLACE, part, places, pieces).price

    def _advice(self, unlike: Unlike, apart: float, fitted: bool, cured: bool, places: int) -> Saying:
        if cured:
            return saying("mismatch.booked_puts_right")
        sprockets = self._price(PartKind.SPROCKET, places)
        price = None
        if sprockets is not None:
            price = saying("mismatch.price", currency=sprockets.currency, amount=sprockets.usual)
        never = apart >= NEVER_ALONE
        if unlike is Unlike.CHAIN_ON_WORN_SPROCKET:
            if fitted:
                return saying("mismatch.new_sprockets_end_it", price=price)
            return saying(f"mismatch.{'never_chain_alone' if never else 'sprockets_too'}", price=price)
        if fitted:
            return saying("mismatch.turn_or_chain_ends_it")
        return saying(f"mismatch.{'never_sprocket_alone' if never else 'best_with_turn_or_chain'}")

    def _beside(self, pairs: dict[Side, _Pair]) -> Mismatch | None:
        """One side's chain new, the other's worn."""
        if len(pairs) < 2:
            return None
        fresh, worn = sorted(pairs, key=lambda side: pairs[side].chain_used)
        both = {(JobKind.REPLACE, Place(PartKind.CHAIN, side)) in self.asked for side in pairs} == {True}
        if both or pairs[fresh].chain_used > FRESH or pairs[worn].chain_used < WORN:
            return None
        longer = pairs[worn].stretch_m - pairs[fresh].stretch_m
        apart = longer / (pairs[fresh].pitch_m + pairs[fresh].stretch_m)
        limits = [
            judged.to_limit.middle
            for (place, _), judged in self.judged.items()
            if place.side is worn and place.part in (PartKind.BUSH, PartKind.LINK) and judged.to_limit is not None
        ]
        price = self._price(PartKind.CHAIN, 1)
        said = [saying("mismatch.one_new_chain", fresh=fresh, worn=worn, used=pairs[worn].chain_used)]
        if apart >= TELL:
            said.append(saying("mismatch.goes_further", fresh=fresh, apart=apart))
        cost = None if price is None else saying("mismatch.for_price", currency=price.currency, amount=price.usual)
        when = saying("mismatch.in_about", due_h=min(limits)) if limits else saying("mismatch.before_the_other")
        said.append(saying("mismatch.falls_due_first", worn=worn, fresh=fresh, when=when, cost=cost))
        newer, older = ((Place(PartKind.CHAIN, side),) for side in (fresh, worn))
        return Mismatch(
            Unlike.CHAIN_BESIDE_WORN_CHAIN,
            newer,
            older,
            apart,
            (1.0, 1.0),
            None,
            None,
            True,
            saying("mismatch.all", said=said),
        )


def _pays(
    chain_new: bool, faster: tuple[float, float], hours_h: tuple[float, float] | None, lost: Money | None
) -> Saying:
    who = "chain" if chain_new else "sprocket"
    left = None if hours_h is None else saying("mismatch.to_the_limit", few_h=hours_h[0], many_h=hours_h[1])
    money = None
    if lost is not None:
        how = "lost_from" if lost.low else "lost_up_to"
        money = saying(f"mismatch.{how}", currency=lost.currency, low=lost.low, high=lost.high)
    times = saying(f"mismatch.{'times_up_to' if faster[0] == 1 else 'times_from'}", low=faster[0], high=faster[1])
    return saying(f"mismatch.{who}_wears_faster", times=times, left=left, lost=money)
