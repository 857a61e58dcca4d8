"""Whether turning a side's bushes gains hours worth its price.

See docs/explanation/calls.md.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from pitchline.money.amount import Money
from pitchline.money.cost import job_cost
from pitchline.money.prices import PriceList
from pitchline.outlook.machine import LifeOutlook, MachineOutlook, is_turned_next
from pitchline.outlook.paths import FloatArray
from pitchline.outlook.renewed import as_new, on_other_face
from pitchline.stops.along import near
from pitchline.stops.jobs import pieces_at
from pitchline.stops.work import Work, by_rule
from pitchline.trade.calls import Call, Stake
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import Saying, saying, then

LEAST_GAIN_H = 250.0
"""Hours a turn has to gain where it cannot be priced [h]: our own assumption."""
_WITH_OTHER = 0.5
"""Share of its own price a turn has to be worth to go with the other side's, where both together pay: our own choice."""
_AS_GOOD_AS = 0.8
"""Share of its price from which a turn is as good as worth it: the hours gained are known no better. Our own choice."""
_HALF = np.array([0.5])
_STEPS, _TIMES = 121, 3.0
"""Hours looked at, and how far: times the longest middle hours left."""
_PAST = 0.5
"""Chance of being past the limit now from which nothing is said of a turn any more."""


@dataclass(frozen=True, slots=True)
class TurnGain:
    """What turning one side's bushes gains.

    Parameters
    ----------
    side : Side
        Left or right.
    at_h : float
        When it is due: at the turn point, or before where the pitch may be at its limit by then [h].
    without_h : float
        Expected hours until the chain is renewed without the turn [h]: the first of its rails, the bearing face and its pitch.
    with_h : float
        The same with the turn, done when it is due [h].
    price : Money or None
        What the turn costs; None where it or the chain is not priced.
    per_h : float or None
        What an hour of the chain costs: its price and that of the sprocket that goes with it, over its life [currency/h]; None
        where it is not priced.
    other : TurnGain or None
        The other side's, where it pays together with that alone.

    References
    ----------
    Our own rule, by expected hours; see docs/explanation/calls.md.
    """

    side: Side
    at_h: float
    without_h: float
    with_h: float
    price: Money | None = None
    per_h: float | None = None
    other: "TurnGain | None" = None

    @property
    def gain_h(self) -> float:
        """Hours of chain gained [h], zero or more."""
        return max(0.0, self.with_h - self.without_h)

    @property
    def worth(self) -> float:
        """What the hours gained are worth [currency]; without prices, the hours themselves [h]."""
        return self.gain_h if self.price is None or self.per_h is None else self.gain_h * self.per_h

    @property
    def cost(self) -> Money:
        """What they have to be worth: the turn's price; without prices, the fewest hours worth a turn."""
        return self.price or Money(LEAST_GAIN_H, LEAST_GAIN_H, LEAST_GAIN_H, "")

    @property
    def times_price(self) -> float:
        """What the hours gained are worth over the turn's price; without prices, the hours over the fewest worth a turn [1]."""
        return self.worth / max(self.cost.usual, 1e-9)

    @property
    def pays(self) -> bool:
        """Whether the hours gained are worth what the turn costs, or not plainly less."""
        both = self._with_other
        least = sum(min(one.cost.low, _AS_GOOD_AS * one.cost.usual) for one in both)
        return sum(one.worth for one in both) >= least

    @property
    def is_close(self) -> bool:
        """Whether it pays, and not plainly: the hours gained are worth about what it costs, as far as either is known."""
        both = self._with_other
        most = sum(max(one.cost.high, one.cost.usual / _AS_GOOD_AS) for one in both)
        return self.pays and sum(one.worth for one in both) <= most

    @property
    def _with_other(self) -> tuple["TurnGain", ...]:
        return (self,) if self.other is None else (self, self.other)

    @property
    def said(self) -> Saying:
        """The same in a sentence."""
        if not self.pays:
            return saying("turn.run_to_limit", why=self.not_worth_it)
        if self.gain_h < 1:
            return saying("turn.gains_nothing")
        return self.undecided or saying("turn.gains_with_both" if self.other else "turn.gains", gain_h=self.gain_h)

    @property
    def undecided(self) -> Saying | None:
        """That it is about worth its price, with both amounts where there are any; None where it is plainly more or less."""
        return then(self._about, saying("turn.measure_before_deciding")) if self.is_close else None

    @property
    def _about(self) -> Saying:
        if self.price is None or self.per_h is None:
            return saying("turn.gains_about_enough", gain_h=self.gain_h)
        worth, price = (
            sum(one) for one in zip(*((it.worth, it.cost.usual) for it in self._with_other), strict=True)
        )
        code = "turn.gains_about_its_price_with_both" if self.other else "turn.gains_about_its_price"
        return saying(code, gain_h=self.gain_h, worth=worth, price=price, currency=self.price.currency)

    @property
    def not_worth_it(self) -> Saying:
        """What speaks against a turn that does not pay; a clause."""
        if self.gain_h < 1:
            return saying("turn.would_gain_nothing")
        if self.price is None or self.per_h is None:
            return saying("turn.would_gain_little", gain_h=self.gain_h)
        return saying(
            "turn.would_gain_less_than_it_costs",
            gain_h=self.gain_h,
            worth=self.worth,
            price=self.price.usual,
            currency=self.price.currency,
        )


def turn_gains(outlook: MachineOutlook, gear: RunningGear, prices: PriceList | None) -> dict[Side, TurnGain]:
    """What a turn gains on each side whose bushes are still on their first face.

    Parameters
    ----------
    outlook : MachineOutlook
        Hours left of each part.
    gear : RunningGear
        Counts the joints to be paid for.
    prices : PriceList or None
        The yard's list.

    Returns
    -------
    dict of Side to TurnGain
        Empty where nothing is turned.

    References
    ----------
    Our own rule; see docs/explanation/calls.md. That bushes are turned once and that it brings the pitch back: common practice,
    no source.
    """
    found = {}
    for member, part in enumerate(outlook.parts):
        if part.to_turn is not None and part.after_turn is not None:
            found[part.life.place.side] = _gain(outlook, member, part, gear, prices)
    return _both_at_once(found)


def _both_at_once(gains: dict[Side, TurnGain]) -> dict[Side, TurnGain]:
    """A side whose turn alone does not pay goes with the other's, where both together do and they are due together."""
    one, other = sorted(gains.values(), key=lambda gain: gain.times_price)[:2] if len(gains) == 2 else (None, None)
    if one is None or other is None or one.pays or one.times_price < _WITH_OTHER or not near(one.at_h, other.at_h):
        return gains
    together = replace(one, other=other)
    return gains | {one.side: together} if together.pays else gains


def _gain(
    outlook: MachineOutlook, member: int, bush: LifeOutlook, gear: RunningGear, prices: PriceList | None
) -> TurnGain:
    side = bush.life.place.side
    link, pitch = (_member(outlook, side, measurand) for measurand in (Measurand.RAIL_HEIGHT, Measurand.PITCH))
    lives = [(1 + bush.life.line.limit.turn_at) * _as_new_h(outlook, member)]
    lives += [_as_new_h(outlook, link)] if link is not None else []
    lives += [2 * _as_new_h(outlook, pitch)] if pitch is not None else []
    due = [bush.to_turn.middle] if bush.to_turn is not None else []
    due += [outlook.parts[pitch].to_limit.cautious] if pitch is not None else []
    without_h, with_h = _hours_of_chain(outlook, member, link, pitch, min(due))
    turn = job_cost(prices, JobKind.TURN, PartKind.BUSH, 1, pieces_at(JobKind.TURN, PartKind.BUSH, gear, side))
    chain = job_cost(prices, JobKind.REPLACE, PartKind.CHAIN, 1, pieces_at(JobKind.REPLACE, PartKind.CHAIN, gear))
    if turn.price is None or chain.price is None:
        return TurnGain(side, min(due), without_h, with_h)
    sprocket = job_cost(prices, JobKind.REPLACE, PartKind.SPROCKET, 1, 1)
    renewed = chain.price.usual + (sprocket.price.usual if sprocket.price is not None else 0.0)
    per_h = renewed / max(min(lives), 1.0)
    return TurnGain(side, min(due), without_h, with_h, turn.price, per_h)


def _hours_of_chain(
    outlook: MachineOutlook, bush: int, link: int | None, pitch: int | None, at_h: float
) -> tuple[float, float]:
    """Expected hours until rails, bearing face or pitch end the chain: without the turn, and with it when it is due."""
    faces = [bush, *([pitch] if pitch is not None else [])]
    rails = [link] if link is not None else []
    last_h = _TIMES * max(outlook.parts[one].to_limit.middle for one in (*faces, *rails)) + at_h
    hours = np.linspace(0.0, max(last_h, 1.0), _STEPS)
    worn = _alive(outlook, rails, hours)
    unturned = _alive(outlook, faces, hours)
    after = hours >= at_h
    since = (hours[after] - at_h)[None]
    anew = 1 - on_other_face(outlook, bush).chance(since)[0]
    if pitch is not None:
        anew = anew * (1 - as_new(outlook, pitch).chance(since)[0])
    turned = unturned.copy()
    turned[after] = float(np.interp(at_h, hours, unturned)) * anew
    return float(np.trapezoid(worn * unturned, hours)), float(np.trapezoid(worn * turned, hours))


def _alive(outlook: MachineOutlook, members: list[int], hours: FloatArray) -> FloatArray:
    """Chance that none of some parts has reached its limit by each hour."""
    if not members:
        return np.ones(hours.size)
    some = outlook.limits.of([outlook.rows[member] for member in members])
    return np.asarray(np.prod(1 - some.chance(np.broadcast_to(hours, (len(members), hours.size))), axis=0))


def _member(outlook: MachineOutlook, side: Side, measurand: Measurand) -> int | None:
    return next(
        (
            member
            for member, part in enumerate(outlook.parts)
            if part.life.place.side is side and part.life.measurand is measurand
        ),
        None,
    )


def _as_new_h(outlook: MachineOutlook, member: int) -> float:
    """Middle hours of a new one here, to its limit, on the ground to come."""
    return float(as_new(outlook, member).hours(_HALF)[0, 0])


def with_turns_that_pay(
    outlook: MachineOutlook | None, gear: RunningGear, prices: PriceList | None
) -> tuple[MachineOutlook | None, dict[Side, TurnGain]]:
    """The outlook to plan by, with bushes run to their limit where a turn does not pay, and what each turn gains.

    Parameters
    ----------
    outlook : MachineOutlook or None
        Hours left of each part.
    gear : RunningGear
        Counts the joints to be paid for.
    prices : PriceList or None
        The yard's list.

    Returns
    -------
    outlook : MachineOutlook or None
        The other face stays in it, for whoever plans or values by it.
    gains : dict of Side to TurnGain
        On sides whose bushes are on their first face.
    """
    if outlook is None:
        return None, {}
    gains = turn_gains(outlook, gear, prices)
    left = {side for side, gain in gains.items() if not gain.pays}
    if not left:
        return outlook, gains
    parts, level = list(outlook.parts), outlook.dues.level.copy()
    for member, part in enumerate(outlook.parts):
        if part.life.place.side in left and is_turned_next(part.life):
            parts[member] = replace(part, to_turn=None, after_turn=None)
            level[outlook.rows[member]] = 1.0
    return replace(outlook, parts=tuple(parts), dues=replace(outlook.dues, level=level)), gains


def turns_told(
    work: list[Work], gains: Mapping[Side, TurnGain], outlook: MachineOutlook, window_h: float, book_chance: float
) -> list[Work]:
    """Work with a sentence on what a turn gains, or that it was turned before; a turn that does not pay is not done.

    The turn point stays the day on which that is settled, whatever it comes to: a worse reading of the other face or of the
    rails, which takes the turn's worth away, brings neither more hours nor a milder call. Before the second half of a chain's
    life is given up, the sizes that speak against it are measured again.

    Parameters
    ----------
    work : list of Work
        What the machine asks for.
    gains : mapping of Side to TurnGain
        What a turn gains, where one was thought of.
    outlook : MachineOutlook
        Hours left of each part.
    window_h : float
        The booking window [h].
    book_chance : float
        Chance from which work is booked [1].

    Returns
    -------
    list of Work
        The same calls; a chain whose bushes may reach their limit inside the window is renewed.
    """
    chains = {
        item.place.side
        for item in work
        if item.job is JobKind.REPLACE and item.place.part is PartKind.CHAIN and item.call.asks
    }
    gone = {
        item.place.side
        for item in work
        if item.place.side in chains
        and item.place.part is PartKind.CHAIN
        and item.due
        and item.due.chance_now >= _PAST
    }
    told = [_told(item, gains, outlook, chains, gone) for item in work]
    return [_settled(item, gains, outlook, window_h, book_chance, chains) for item in told]


def _settled(
    item: Work,
    gains: Mapping[Side, TurnGain],
    outlook: MachineOutlook,
    window_h: float,
    book_chance: float,
    chains: set[Side],
) -> Work:
    """In place of a turn that does not pay: a new chain where the bushes may reach their limit soon, else measuring again."""
    gain = gains.get(item.place.side)
    if item.job is not JobKind.TURN or item.part_row is None or gain is None or gain.pays:
        return item
    at_limit = outlook.limits.of([outlook.rows[item.part_row]])
    chance = float(at_limit.chance(np.array([[window_h]]))[0, 0])
    if chance < book_chance:
        again = None if item.place.side in chains else saying("turn.measure_faces")
        because = then(item.because, saying("turn.not_worth_it", why=gain.not_worth_it), again)
        stake = Stake.MEASURE if item.call is Call.BOOK else item.stake
        return replace(item, job=JobKind.MEASURE, place=item.asked_by, because=because, pieces=1, stake=stake)
    limit = outlook.parts[item.part_row].life.line.limit
    because = then(saying("turn.past_turn_point", window_h=window_h, chance=chance), gain.said, by_rule(limit))
    return replace(
        item,
        job=JobKind.REPLACE,
        place=Place(PartKind.CHAIN, item.place.side),
        because=because,
        due=outlook.parts[item.part_row].to_limit,
        chance=chance,
    )


def _told(
    item: Work, gains: Mapping[Side, TurnGain], outlook: MachineOutlook, chains: set[Side], gone: set[Side]
) -> Work:
    gain = gains.get(item.place.side)
    because = then(item.because, _of_turning(item, gain, outlook, chains, gone))
    if gain is None or item.job is not JobKind.TURN or item.place.side in chains:
        return replace(item, because=because)
    return replace(item, because=because, undecided=gain.undecided)


def _of_turning(
    item: Work, gain: TurnGain | None, outlook: MachineOutlook, chains: set[Side], gone: set[Side]
) -> Saying | None:
    if item.part_row is None:
        return None
    life = outlook.parts[item.part_row].life
    if item.job is JobKind.TURN and gain is not None:
        return gain.said if gain.pays and item.place.side not in chains else None
    if item.job is not JobKind.REPLACE or item.place.part is not PartKind.CHAIN:
        return None
    if life.measurand is Measurand.BUSH_OD_FORWARD and life.turned:
        return saying("turn.turned_before")
    if gain is not None and gain.pays and life.measurand is Measurand.PITCH and item.place.side not in chains:
        return saying("turn.brings_pitch_back", at_h=gain.at_h)
    if (
        gain is not None
        and not gain.pays
        and item.place.side not in gone
        and life.measurand in (Measurand.BUSH_OD_FORWARD, Measurand.PITCH)
    ):
        return gain.said
    return None
