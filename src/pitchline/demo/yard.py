"""The demo yard: seventeen invented machines with their history, their newest sheets and invented prices."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from pitchline.demo.limits import Quantity, by_rule, kind_lives, limits_for, ranges_for, shaped, without
from pitchline.demo.machines import MAIN_NUMBER, RECIPES
from pitchline.demo.prices import invented_prices
from pitchline.demo.recipe import Recipe
from pitchline.demo.sheets import Reader, walk_round
from pitchline.demo.simulate import TrueWear, simulate_wear
from pitchline.money.prices import PriceList
from pitchline.trade.asking import AskingPrice
from pitchline.trade.dossier import Dossier, Event, Limit, PartEvent
from pitchline.trade.ground import GroundClass
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import MEASURANDS, Measurand, Role, measurands_of
from pitchline.trade.meter import MeterChange
from pitchline.trade.parts import Place
from pitchline.trade.readings import DEFAULT_TOOLS, Tool, WalkRound
from pitchline.wear.line import WearLine, wear_line

SLIP_WORDS = "the pitch of the left chain was read over 3 joints and entered as 4"


@dataclass(frozen=True, slots=True)
class DemoMachine:
    """One machine of the demo yard.

    Parameters
    ----------
    number : int
        Its number in the yard.
    dossier : Dossier
        Everything known before the newest walk-round.
    sheet : WalkRound
        The newest walk-round.
    truth : tuple of TrueWear
        How worn it truly is at each walk-round, the newest included; no yard ever knows this.
    slip : str
        A deliberate slip on the newest sheet, in words; empty where there is none.
    as_workbook : bool
        Whether its sheet is written as a workbook too.
    """

    number: int
    dossier: Dossier
    sheet: WalkRound
    truth: tuple[TrueWear, ...]
    slip: str = ""
    as_workbook: bool = False

    @property
    def folder(self) -> str:
        """Name of its folder, such as "07-gorse"."""
        return self.dossier.machine.machine_id

    @property
    def with_sheet(self) -> Dossier:
        """The dossier with the newest walk-round in it."""
        return replace(self.dossier, walk_rounds=(*self.dossier.walk_rounds, self.sheet))


@dataclass(frozen=True, slots=True)
class Yard:
    """A yard full of invented machines."""

    seed: int
    machines: tuple[DemoMachine, ...]
    prices: PriceList

    @property
    def main(self) -> DemoMachine:
        """The machine to begin with."""
        return self.machine(MAIN_NUMBER)

    def machine(self, number: int) -> DemoMachine:
        """One machine by its number.

        Raises
        ------
        KeyError
            The yard has no such number.
        """
        for machine in self.machines:
            if machine.number == number:
                return machine
        raise KeyError(number)


def weeks_to(day: dt.date) -> int:
    """How far the demo yard's days are laid on, so that its newest walk-round is of the week before a day.

    Returns
    -------
    int
        Whole weeks [weeks], so that working days stay working days; below 0 where the day is before the yard's own.

    Examples
    --------
    >>> weeks_to(dt.date(2026, 11, 20)), weeks_to(dt.date(2026, 11, 27))
    (0, 1)
    """
    newest = max(recipe.days[-1] for recipe in RECIPES)
    return ((day - newest).days - 1) // 7


def _laid_on(recipe: Recipe, weeks: int) -> Recipe:
    later, changed_on = dt.timedelta(weeks=weeks), recipe.meter_changed_on
    return replace(
        recipe,
        days=tuple(day + later for day in recipe.days),
        meter_changed_on=changed_on + later if changed_on is not None else None,
    )


def build_yard(seed: int = 1, weeks_on: int = 0) -> Yard:
    """The demo yard, the same for the same seed and the same weeks.

    Parameters
    ----------
    seed : int
        Where chance starts, zero or more; each machine has a stream of its own.
    weeks_on : int
        How many weeks later than its own days, which are of 2026, everything is laid [weeks].

    Examples
    --------
    >>> build_yard().main.dossier.machine.name
    'Gorse, 20 t excavator'
    """
    return Yard(seed, tuple(_build(_laid_on(recipe, weeks_on), seed) for recipe in RECIPES), invented_prices())


def _visit_hours(rng: np.random.Generator, recipe: Recipe) -> tuple[float, ...]:
    """Service hours at each walk-round, back from the newest one by the weeks between."""
    hours = [recipe.sheet_h]
    for day, next_day in zip(recipe.days[-2::-1], recipe.days[:0:-1], strict=True):
        worked_h = (next_day - day).days / 7 * recipe.week_h[1] * rng.uniform(0.88, 1.12)
        hours.append(float(round(hours[-1] - worked_h)))
    return tuple(reversed(hours))


def _meter_changes(recipe: Recipe, visits_h: tuple[float, ...]) -> tuple[MeterChange, ...]:
    if recipe.meter_changed_on is None:
        return ()
    days = [day.toordinal() for day in recipe.days]
    old_h = float(round(np.interp(recipe.meter_changed_on.toordinal(), days, visits_h)))
    return (MeterChange(recipe.meter_changed_on, old_h),)


def _limits(recipe: Recipe) -> dict[Quantity, Limit]:
    """Whole limits, true for the drawing of wear."""
    limits = {}
    for plain in limits_for(recipe.gear, recipe.size_m, recipe.grain_m):
        quantity = (plain.part, plain.measurand)
        limit = replace(plain, at_limit=recipe.at_limit.get(plain.part))
        limits[quantity] = shaped(limit, recipe.shapes[quantity]) if quantity in recipe.shapes else limit
    return limits


def _wearing(gear: RunningGear, limits: Mapping[Quantity, Limit]) -> list[tuple[Place, Measurand]]:
    return [
        (place, measurand)
        for place in gear.places()
        for measurand in measurands_of(place.part)
        if MEASURANDS[measurand].role is Role.WEAR and (place.part, measurand) in limits
    ]


def _tool_of(recipe: Recipe, name: str) -> Tool:
    return next((tool for tool in recipe.tools if tool.name == name), DEFAULT_TOOLS[name])


def _build(recipe: Recipe, seed: int) -> DemoMachine:
    rng = np.random.default_rng([seed, recipe.number])
    visits_h = _visit_hours(rng, recipe)
    limits = _limits(recipe)
    quantities = _wearing(recipe.gear, limits)
    history = tuple(sorted((*recipe.history, *recipe.forgotten), key=lambda event: event.service_h))
    truth, renewed = simulate_wear(rng, quantities, visits_h, recipe.ground_at, recipe.habits, history)
    lines = {quantity: wear_line(limit) for quantity, limit in limits.items()}
    rounds = tuple(_walk_round(rng, recipe, lines, truth, visit) for visit in range(len(visits_h)))
    written = (*recipe.history, *(renewed if recipe.habits.writes_down else ()))
    dossier = _dossier(recipe, limits, written, rounds[:-1], _meter_changes(recipe, visits_h))
    slip = SLIP_WORDS if recipe.slip_at else ""
    return DemoMachine(recipe.number, dossier, rounds[-1], truth, slip, recipe.as_workbook)


def _walk_round(
    rng: np.random.Generator,
    recipe: Recipe,
    lines: Mapping[Quantity, WearLine],
    truth: tuple[TrueWear, ...],
    visit: int,
) -> WalkRound:
    reader = Reader(rng, recipe.hand, lambda name: _tool_of(recipe, name))
    newest = visit == len(recipe.days) - 1
    done = walk_round(
        rng,
        reader,
        recipe.gear,
        lines,
        truth,
        visit,
        recipe.days[visit],
        recipe.size_m,
        recipe.seen.get(visit, ()),
        recipe.by,
        recipe.slip_at if newest else None,
        recipe.passed_by if newest else (),
    )
    return _turned_bushes_by_depth(recipe, done)


def _turned_bushes_by_depth(recipe: Recipe, done: WalkRound) -> WalkRound:
    """Turned bushes are read on the new face alone, as the sheet asks: with a depth gauge from their unworn ends."""
    turned = {
        event.place.side
        for event in recipe.history
        if event.event is Event.TURNED and event.service_h < done.service_h
    }
    readings = (
        replace(one, tool=_tool_of(recipe, "depth_gauge"))
        if one.measurand is Measurand.BUSH_OD_FORWARD and one.place.side in turned
        else one
        for one in done.readings
    )
    return replace(done, readings=tuple(readings))


def _dossier(
    recipe: Recipe,
    limits: Mapping[Quantity, Limit],
    events: tuple[PartEvent, ...],
    rounds: tuple[WalkRound, ...],
    meter_changes: tuple[MeterChange, ...],
) -> Dossier:
    """What the yard has written down before the newest walk-round."""
    return Dossier(
        machine=recipe.machine,
        gear=recipe.gear,
        limits=by_rule(without(limits.values(), recipe.no_limit), recipe.by_rule),
        ranges=ranges_for(recipe.gear, recipe.size_m),
        kind_lives=kind_lives(recipe.lives_h),
        events=tuple(sorted(events, key=lambda event: (event.service_h, event.place))),
        ground_spans=recipe.spans,
        usual_ground=recipe.ground if recipe.ground_entered else GroundClass.MIDDLING,
        walk_rounds=rounds,
        utilisation=recipe.utilisation,
        call_rule=recipe.call_rule,
        meter_from_new=recipe.meter_from_new,
        meter_changes=meter_changes,
        tools=recipe.tools,
        ground_entered=recipe.ground_entered,
        ground_mix=recipe.goes_to,
        travel_share=recipe.travel_share,
        asking=AskingPrice(recipe.asked, "EUR") if recipe.asked is not None else None,
    )
