"""What a plan of stops is asked for: how far ahead, when the machine is sold, what a stop and a passed limit cost.

See docs/explanation/plan-of-a-machine.md.
"""

import math
from dataclasses import dataclass

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_figure

MOST_STEPS = 60
LEAST_STEP_H, LONGEST_HORIZON_H = 10.0, 60_000.0
_NICE_H = (10.0, 20.0, 25.0, 50.0, 100.0, 150.0, 200.0, 250.0, 300.0, 400.0, 500.0, 1000.0)


@dataclass(frozen=True, slots=True)
class PlanSettings:
    """What a plan is asked for.

    Parameters
    ----------
    horizon_h : float
        How far ahead stops are planned [h], 10 to 60,000.
    sell_at_h : float or None
        Hours from now at which the machine is sold [h], up to the horizon; None plans without a sale: it works on.
    stop_cost : float or None
        What a stop costs before any job [currency], 0 or more; None takes lorry, call-out and fitter's day of the price list.
    discount_rate_per_year : float
        Yearly rate of interest [1], 0 or more.
    paid_share : float
        Share of the worth of the life left that a buyer pays at the sale [1], 0 to 1.
    damage_share : float
        Damage to other parts when a limit is passed, as a share of the job's price [1], 0 or more.
    overrun_times : float
        What an hour past the limit costs, in hours of a new part's life [1], 0 or more.
    unplanned_h : float
        Hours the machine stands when a limit is passed and nobody was ready for it [h], 0 or more.

    Raises
    ------
    NotAllowedError
        A figure outside its range.
    """

    horizon_h: float
    sell_at_h: float | None = None
    stop_cost: float | None = None
    discount_rate_per_year: float = 0.0
    paid_share: float = 0.5
    damage_share: float = 0.25
    overrun_times: float = 4.0
    unplanned_h: float = 8.0

    def __post_init__(self) -> None:
        if not LEAST_STEP_H <= self.horizon_h <= LONGEST_HORIZON_H:
            allowed = phrase(
                "{least_step_h} to {longest_horizon_h} h, one step at least",
                least_step_h=as_figure(LEAST_STEP_H, "g"),
                longest_horizon_h=as_figure(LONGEST_HORIZON_H),
            )
            raise NotAllowedError(
                "horizon", f"{as_figure(self.horizon_h, 'g')} h", allowed, "Give --horizon-hours in service hours."
            )
        if self.sell_at_h is not None and not LEAST_STEP_H <= self.sell_at_h <= self.horizon_h:
            allowed = phrase(
                "{least_step_h} h up to the horizon of {horizon_h} h",
                least_step_h=as_figure(LEAST_STEP_H, "g"),
                horizon_h=as_figure(self.horizon_h, "g"),
            )
            step = "Sell within the horizon, or lengthen it."
            raise NotAllowedError("sell at", f"{as_figure(self.sell_at_h, 'g')} h", allowed, step)
        figures = (
            ("stop cost", 0.0 if self.stop_cost is None else self.stop_cost),
            ("discount rate", self.discount_rate_per_year),
            ("damage share", self.damage_share),
            ("overrun times", self.overrun_times),
            ("unplanned hours", self.unplanned_h),
        )
        for words, figure in figures:
            if not (math.isfinite(figure) and figure >= 0):
                raise NotAllowedError(words, figure, "0 or more", "Correct the figure.")
        if not 0 <= self.paid_share <= 1:
            raise NotAllowedError("paid share", self.paid_share, "0 to 1", "Correct the figure.")

    @property
    def end_share(self) -> float:
        """Share of the worth of the life left that counts at the end [1]: all of it where the machine works on."""
        return 1.0 if self.sell_at_h is None else self.paid_share

    @property
    def last_h(self) -> float:
        """Hours the plan reaches: to the sale, else to the horizon [h]."""
        return self.horizon_h if self.sell_at_h is None else self.sell_at_h

    @property
    def step_h(self) -> float:
        """Length of a step [h]: the shortest round one with which sixty reach the end."""
        return next(step for step in _NICE_H if step * MOST_STEPS >= self.last_h * 0.999)

    @property
    def steps(self) -> int:
        """Steps to the end."""
        return max(1, round(self.last_h / self.step_h))
