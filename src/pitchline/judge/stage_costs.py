"""What a stage of a part's life costs on this machine: chances from the outlook, losses and prices from the yard's list.

See docs/explanation/plan-of-a-machine.md.
"""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from pitchline.judge.bridged import Passing
from pitchline.judge.machine_by_day import Known
from pitchline.money.cost import Cost, bolting_over_h, job_cost
from pitchline.money.prices import PriceList
from pitchline.outlook.crossing import Crossing
from pitchline.outlook.dates import day_when
from pitchline.outlook.expected import LifeLeft, life_left
from pitchline.outlook.machine import MachineOutlook
from pitchline.outlook.paths import FloatArray
from pitchline.outlook.renewed import share_left
from pitchline.stops.instance import Group, Stage
from pitchline.stops.jobs import pieces_at
from pitchline.stops.order import opens_track
from pitchline.stops.settings import PlanSettings
from pitchline.trade.calls import Call
from pitchline.trade.jobs import RENEWS, JobKind
from pitchline.trade.machine import TrackKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.past_limit import FAR_PAST, past_limit

USUAL_HOURS_PER_YEAR = 1500.0
"""Hours a year where none are entered [h]: only the interest leans on it."""
BOLTED = "{} shoes bolted on"
"""Name of the group that bolts one side's shoes to a chain."""
WEEKS_PER_YEAR = 365.25 / 7


@dataclass(frozen=True, slots=True)
class TurnLate:
    """A turn made late: from the turn point to the limit the worth of the other face is lost.

    Parameters
    ----------
    from_turn, to_limit : Crossing
        When each is reached, as a distribution.
    per_h : float
        Loss for each hour in between [currency/h].
    """

    from_turn: Crossing
    to_limit: Crossing
    per_h: float


class StageCosts:
    """Chances, losses, prices and credits of one machine's parts, step by step."""

    def __init__(self, known: Known, outlook: MachineOutlook, prices: PriceList, settings: PlanSettings) -> None:
        self.known, self.outlook, self.prices, self.settings = known, outlook, prices, settings
        self.gear = known.dossier.gear
        self.steps, self.step_h = settings.steps, settings.step_h
        self.hours_h: FloatArray = self.step_h * np.arange(self.steps + 1, dtype=np.float64)
        self.months = [day.month for day in self._days()]
        self.lives: tuple[LifeLeft, ...] = life_left(outlook)
        self.rates = [self._rate(month) for month in self.months]

    def _days(self) -> list[dt.date]:
        weekly = self.known.dossier.utilisation
        if weekly is None:
            return [self.known.as_of] * self.steps
        days = [day_when(self.known.as_of, float(hours), weekly.usual) for hours in self.hours_h[:-1]]
        return [day or self.known.as_of for day in days]

    def _rate(self, month: int) -> float:
        """What an hour of the machine standing costs in a month."""
        stop = self.prices.stop
        return (stop.standing_rate(month) if stop is not None else None) or 0.0

    def hours_per_year(self) -> float:
        """Hours a year by the usual week [h].

        Returns
        -------
        float
            Or a usual figure where none are entered [h].
        """
        weekly = self.known.dossier.utilisation
        return USUAL_HOURS_PER_YEAR if weekly is None else weekly.usual * WEEKS_PER_YEAR

    def stop_cost(self) -> float:
        """Cost of a stop before any job [currency].

        Returns
        -------
        float
            Asked for, else lorry, call-out and fitter's day [currency].
        """
        if self.settings.stop_cost is not None:
            return self.settings.stop_cost
        costs = self.prices.stop
        if costs is None:
            return 0.0
        return sum(figure or 0.0 for figure in (costs.lorry, costs.call_out, costs.fitter_day))

    def cost(self, kind: JobKind, place: Place) -> Cost:
        """What a job costs at one place."""
        return job_cost(self.prices, kind, place.part, 1, pieces_at(kind, place.part, self.gear, place.side))

    def cost_by_step(self, cost: Cost) -> tuple[float, ...]:
        """Usual price, and the machine standing for its labour by the month.

        Returns
        -------
        tuple of float
            Usual price, and the machine standing for its labour by the month [currency].
        """
        price = cost.price.usual if cost.price is not None else 0.0
        return tuple(price + rate * (cost.labour_h or 0.0) for rate in self.rates)

    def opened(self, kind: JobKind, place: Place) -> tuple[str, ...]:
        """What a job opens.

        Returns
        -------
        tuple of str
            Names of groups; none where opening costs nothing.
        """
        costs = self.prices.stop
        free = costs is None or not costs.opening_per_side
        if free or place.side is Side.NONE or not opens_track(kind, place.part, self.gear):
            return ()
        return (f"{place.side.value} track opened",)

    def bolted_over(self, side: Side) -> Group | None:
        """Bolting one side's shoes to a chain, paid once whether they are old ones on a new chain or new ones on either.

        Returns
        -------
        Group or None
            None where the price list does not say what that takes.
        """
        hours = bolting_over_h(self.prices, self.gear)
        if not hours:
            return None
        return Group(
            BOLTED.format(side.value), tuple(hours * (self.prices.labour_per_h + rate) for rate in self.rates)
        )

    def bolts_shoes(self, kind: JobKind, place: Place) -> bool:
        """Whether a job bolts a whole side's shoes, or the pads in their place, to its chain."""
        pads = place.part is PartKind.PAD and self.gear.track is TrackKind.STEEL_PAD_SHOES
        return kind in RENEWS and (place.part is PartKind.SHOE or pads)

    def early_per_h(self, cost: Cost, member: int) -> float:
        """What an hour of life thrown away costs.

        Returns
        -------
        float
            By expectation [currency/h].
        """
        price = cost.price.usual if cost.price is not None else 0.0
        return price / max(self.lives[member].as_new_h, 1.0)

    def passing(self, cost: Cost, member: int, with_it: float = 0.0, life_h: float | None = None) -> Passing:
        """Loss when a limit is passed: damage, to the part and what it runs on, comes to the price of the part at most.

        Parameters
        ----------
        cost : Cost
            What renewing it costs.
        member : int
            Place among the outlook's parts.
        with_it : float
            What else is paid when it is renewed, such as the sprocket that goes with a chain [currency].
        life_h : float or None
            How long a new one runs until it breaks, where that is not its own life, as of a chain's rails [h].
        """
        price = cost.price.usual if cost.price is not None else 0.0
        rate = sum(self.rates) / len(self.rates)
        stop = self.stop_cost() + self.settings.unplanned_h * rate
        renewed = price + rate * (cost.labour_h or 0.0) + with_it
        as_new_h = max(self.lives[member].as_new_h if life_h is None else life_h, 1.0)
        per_h = self.settings.overrun_times * price / as_new_h
        life = self.outlook.parts[member].life
        stops = past_limit(life.place.part, life.measurand).call is Call.STOP
        return Passing(
            stop, self.settings.damage_share * price, per_h, price, stop / as_new_h, renewed / as_new_h, stops
        )

    def stage(
        self,
        name: str,
        limits: list[Crossing],
        passing: Passing,
        credit: Callable[[FloatArray], FloatArray],
        late: TurnLate | None = None,
        beside: tuple[Crossing, Passing] | None = None,
    ) -> tuple[Stage, tuple[float, ...]]:
        """One stage: parts already past their limit have it passed in the first step.

        Parameters
        ----------
        name : str
            Its word.
        limits : list of Crossing
            When each of its limits is reached; whichever comes first is passed.
        passing : Passing
            What that costs.
        credit : callable
            What it is worth after hours of shape (t,) [currency], of the same shape.
        late : TurnLate or None
            For bushes that have a face to be turned to.
        beside : tuple of (Crossing, Passing) or None
            Limit of the rails of the same chain, and what passing it costs: once they broke the chain is paid for there.

        Returns
        -------
        stage : Stage
            With all losses.
        renewals : tuple of float
            How much of each step's loss is for new parts after the first broke [currency].
        """
        passed = self._passed(limits)
        broken = self._passed(limits, passing.breaks_h)
        penalty = passing.at_once * np.diff(passed) + passing.on_breaking * np.diff(broken)
        rails = np.zeros_like(broken) if beside is None else self._passed([beside[0]], beside[1].breaks_h)
        alone_h = self._hours(np.maximum(broken - rails, 0.0))
        penalty = penalty + passing.per_h * self._hours(passed - broken) + passing.broken_per_h * alone_h
        if late is not None:
            between = self._passed([late.from_turn]) - self._passed([late.to_limit])
            penalty = penalty + late.per_h * self._hours(np.maximum(between, 0.0))
        worth = self.settings.end_share * credit(self.hours_h)
        stage = Stage(name, *(tuple(row.tolist()) for row in (passed, penalty, np.maximum(worth, 0.0))))
        return stage, tuple((passing.renewed_per_h * alone_h).tolist())

    def _passed(self, limits: list[Crossing], after_h: float = 0.0) -> FloatArray:
        """Chance, at each step, that one of some limits was passed so many hours ago."""
        ago_h = self.hours_h - after_h
        chances = np.array([one.chance(np.maximum(ago_h, 0.0)[None])[0] for one in limits]).max(axis=0)
        chances = np.where((ago_h < 0) | (self.hours_h == 0), 0.0, np.clip(chances, 0.0, 1.0))
        return np.asarray(np.maximum.accumulate(chances))

    def _hours(self, chance: FloatArray) -> FloatArray:
        """Hours of each step spent in a state, by its chance at the steps' edges [h]."""
        return np.asarray(self.step_h * (chance[1:] + chance[:-1]) / 2)

    def first_step(self, reached: Crossing) -> int:
        """The first step at which a level is reached as likely as not."""
        return int(np.ceil(float(reached.hours(np.array([0.5]))[0, 0]) / self.step_h - 1e-9))

    def stop_step(self, limits: Mapping[int, Crossing]) -> int | None:
        """The last step before a part is called stop as likely as not.

        Parameters
        ----------
        limits : mapping of int to Crossing
            By place among the outlook's parts, when each limit is reached.

        Returns
        -------
        int or None
            None where past its limits, and far past them, it is worn out and no more.
        """
        steps = []
        for member, reached in limits.items():
            life = self.outlook.parts[member].life
            for used in (life.line.limit.generous, FAR_PAST):
                if past_limit(life.place.part, life.measurand, used).call is Call.STOP:
                    hours = replace(reached, level=np.array([used])).hours(np.array([0.5]))
                    steps.append(int(float(hours[0, 0]) / self.step_h + 1e-9))
                    break
        return min(steps, default=None)

    def credit(self, price: float, part: Crossing) -> Callable[[FloatArray], FloatArray]:
        """What life left is worth after some hours.

        Parameters
        ----------
        price : float
            As new [currency].
        part : Crossing
            When its limit is reached.

        Returns
        -------
        callable
            Hours [h], shape (t,), to worth [currency], shape (t,).
        """
        return lambda hours_h: price * share_left(part, hours_h)

    def todays(self, member: int, level: float | None = None) -> Crossing:
        """Today's part up to its limit or to another level.

        Parameters
        ----------
        member : int
            Place among the outlook's parts.
        level : float or None
            Life used that counts as reached [1]; None takes the limit.
        """
        one = self.outlook.limits.of([self.outlook.rows[member]])
        return one if level is None else replace(one, level=np.array([level]))
