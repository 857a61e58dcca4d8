"""What a stage of a part's life costs on this machine: chances from the outlook, losses and prices from the yard's list.

See docs/explanation/plan-of-a-machine.md.
"""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from pitchline.judge.machine_by_day import Known
from pitchline.money.cost import Cost, job_cost
from pitchline.money.prices import PriceList
from pitchline.outlook.crossing import Crossing
from pitchline.outlook.dates import day_when
from pitchline.outlook.expected import LifeLeft, life_left
from pitchline.outlook.machine import MachineOutlook
from pitchline.outlook.paths import FloatArray
from pitchline.outlook.renewed import share_left
from pitchline.stops.instance import Stage
from pitchline.stops.jobs import pieces_at
from pitchline.stops.order import opens_track
from pitchline.stops.settings import PlanSettings
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import Place, Side

USUAL_HOURS_PER_YEAR = 1500.0
"""Hours a year where none are entered [h]: only the interest leans on it."""
WEEKS_PER_YEAR = 365.25 / 7


@dataclass(frozen=True, slots=True)
class Risk:
    """One limit of a part in one stage: when it is reached, and what passing it costs.

    Parameters
    ----------
    reached : Crossing
        When, as a distribution.
    at_once : float
        Loss when it is passed [currency].
    per_h : float
        Loss for each hour past it [currency/h].
    until : Crossing or None
        Where the hourly loss ends, because nothing more can be lost then.
    """

    reached: Crossing
    at_once: float
    per_h: float
    until: Crossing | None = None


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
        return job_cost(self.prices, kind, place.part, 1, pieces_at(kind, place.part, self.gear))

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

    def early_per_h(self, cost: Cost, member: int) -> float:
        """What an hour of life thrown away costs.

        Returns
        -------
        float
            By expectation [currency/h].
        """
        price = cost.price.usual if cost.price is not None else 0.0
        return price / max(self.lives[member].as_new_h, 1.0)

    def passing(self, cost: Cost, member: int) -> tuple[float, float]:
        """Loss when a limit is passed, at once and for each hour past it.

        Returns
        -------
        (float, float)
            At once [currency], and an hour [currency/h].
        """
        price = cost.price.usual if cost.price is not None else 0.0
        standing = self.settings.unplanned_h * sum(self.rates) / len(self.rates)
        unplanned = self.stop_cost() + standing + self.settings.damage_share * price
        return unplanned, self.settings.overrun_times * self.early_per_h(cost, member)

    def stage(self, name: str, risks: list[Risk], credit: Callable[[FloatArray], FloatArray]) -> Stage:
        """One stage: parts already past their limit have it passed in the first step.

        Parameters
        ----------
        name : str
            Its word.
        risks : list of Risk
            Its limits.
        credit : callable
            What it is worth after hours of shape (t,) [currency], of the same shape.
        """
        chances = np.array([risk.reached.chance(self.hours_h[None])[0] for risk in risks])
        chances = np.maximum.accumulate(np.clip(chances, 0.0, 1.0), axis=1)
        chances[:, 0] = 0.0
        at_once = np.array([risk.at_once for risk in risks])[:, None]
        penalty = (at_once * np.diff(chances, axis=1)).sum(axis=0) + sum(
            self.lost_by_the_hour(risk) for risk in risks
        )
        worth = self.settings.end_share * credit(self.hours_h)
        real = [number for number, risk in enumerate(risks) if risk.reached.level[0] == 1.0]
        either = chances[real].max(axis=0)
        return Stage(name, *(tuple(row.tolist()) for row in (either, penalty, np.maximum(worth, 0.0))))

    def lost_by_the_hour(self, risk: Risk) -> FloatArray:
        """What is lost in each step by hours past a limit, as expected.

        Returns
        -------
        ndarray, shape (steps,)
            Loss [currency].
        """
        chance = np.maximum.accumulate(np.clip(risk.reached.chance(self.hours_h[None])[0], 0.0, 1.0))
        chance[0] = 0.0
        running = chance - self._ended(risk)
        return np.asarray(risk.per_h * self.step_h * (running[1:] + running[:-1]) / 2)

    def _ended(self, risk: Risk) -> FloatArray:
        """Chance that an hourly loss has come to its end by each step."""
        if risk.until is None:
            return np.zeros(self.steps + 1)
        ended = np.clip(risk.until.chance(self.hours_h[None])[0], 0.0, 1.0)
        ended[0] = 0.0
        return np.asarray(np.minimum(ended, np.clip(risk.reached.chance(self.hours_h[None])[0], 0.0, 1.0)))

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
