"""What a plan, the work done and a price list say, row by row, in the order of the columns of their tables."""

from collections.abc import Iterator
from dataclasses import fields

from pitchline.desk.prices import judged_prices
from pitchline.desk.workplan.models import DecidedPlan, Plan
from pitchline.desk.workplan.stored import planned
from pitchline.exchange.machine_list import Cell
from pitchline.exchange.yard_tables import price_cells
from pitchline.money.machine_class import EVERY, MachineClass
from pitchline.money.prices import FIGURE_WORDS, PriceList
from pitchline.papers.stop import PlannedStop, planned_stops
from pitchline.trade.dossier import Dossier
from pitchline.trade.jobs import RENEWS

Row = tuple[Cell, ...]


def lay_up_rows(row: Plan | DecidedPlan) -> list[Row]:
    """The jobs and charges of a plan's lay-ups, a row each; what is planned for a past day keeps it."""
    plan = row.plan if isinstance(row, DecidedPlan) else row
    state = "kept" if isinstance(row, DecidedPlan) else "worked_out"
    verdict, _ = planned(row)
    stops = planned_stops(verdict, judged_prices(plan.judgement))
    found: list[Row] = []
    for stop in stops:
        head = (
            state, verdict.as_of, stop.number, round(stop.at_h, 1), round(verdict.from_service_h + stop.at_h, 1),
            stop.day if stop.dated else None,
        )  # fmt: skip
        found += [(*head, *cells) for cells in _of_stop(stop)]
    return found


def _of_stop(stop: PlannedStop) -> Iterator[Row]:
    for job in stop.jobs:
        places = "; ".join(place.key for place in job.places)
        yield (
            job.kind.value, job.part.value, places, job.pieces or len(job.places), int(job.kind in RENEWS), "", job.labour_h,
            *price_cells(job.price),
        )  # fmt: skip
    for charge in stop.charges:
        said = charge.words.code.removeprefix("charge.")
        yield ("", "", "", None, None, said, None, charge.amount, charge.amount, charge.amount, stop.currency)


def work_rows(dossier: Dossier) -> list[Row]:
    """The work done on a machine, a row for each record, oldest first."""
    found: list[Row] = []
    for one in sorted(dossier.work, key=lambda each: (each.date, each.service_h, each.key)):
        spent, reckoned = one.spent, one.reckoned
        found.append((
            one.key, one.date, one.service_h, one.did.value, one.places[0].part.value,
            "; ".join(place.key for place in one.places), len(one.places), one.seen_on,
            "; ".join(f"{place.key} {kind.value}" for place, kind in one.put_right),
            "; ".join(
                f"{each.place.key} {each.measurand.value} {round(1e3 * repeat_m, 3):g}"
                for each in one.readings for repeat_m in each.repeats_m
            ),
            one.by, one.note, *((spent.labour, spent.parts, spent.currency) if spent else (None, None, "")),
            *((reckoned.amount, reckoned.currency, reckoned.source) if reckoned else (None, "", "")),
        ))  # fmt: skip
    return found


def price_rows(prices: PriceList) -> list[Row]:
    """The lines of a price list, then the figures beside them: from job to labour, without number and moment."""
    found: list[Row] = [
        (
            one.job.value, one.part.value, one.per, "", None, *_for(one.which), one.price_low, one.price_usual, one.price_high,
            prices.currency, one.labour_h,
        )
        for one in prices.lines
    ]  # fmt: skip
    stop = prices.stop
    figures = [("labour_per_h", prices.labour_per_h, EVERY), ("tax_rate", prices.tax_rate, EVERY)]
    figures += [(name, getattr(stop, name, None), EVERY) for name in FIGURE_WORDS if name != "labour_per_h"]
    figures += [("busy_month", float(month), EVERY) for month in (stop.busy_months if stop is not None else ())]
    figures += [(one.name, one.amount, one.which) for one in prices.figures]
    figures += [
        (f"owning_{each.name}", getattr(one.owning, each.name), one.which)
        for one in prices.owning
        for each in fields(one.owning)
    ]
    found += [
        ("", "", "", name, amount, *_for(which), None, None, None, prices.currency, None)
        for name, amount, which in figures
        if amount is not None
    ]
    return found


def _for(which: MachineClass) -> tuple[Cell, ...]:
    return (
        which.kind.value if which.kind is not None else "",
        which.mass_from_kg,
        which.mass_under_kg,
        which.gear,
    )
