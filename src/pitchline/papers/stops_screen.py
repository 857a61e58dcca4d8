"""A plan of stops as one terminal screen, safe as plain text."""

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from pitchline.stops.instance import StopInstance
from pitchline.stops.plan import StopPlan, StopRange
from pitchline.stops.thumb import Compared
from pitchline.trade.writing import as_figure
from pitchline.words import say

_UNNAMED = "nothing opened"


def plan_screen(instance: StopInstance, plan: StopPlan, rows: tuple[Compared, ...]) -> RenderableType:
    """A plan for a terminal: its stops with jobs and hours, what it costs, and the rules of thumb beside it."""
    return Group(_head(instance, plan), _stops(plan), _idle(plan), _beside(rows))


def _head(instance: StopInstance, plan: StopPlan) -> Text:
    stops = "no stop" if not plan.stops else f"{len(plan.stops)} stop{'s' if len(plan.stops) > 1 else ''}"
    proof = "Proven: nothing costs less."
    if not plan.proven:
        proof = (
            f"Not proven in the time given: something up to {as_figure(100 * plan.gap, '.2g')} % cheaper may exist; "
            f"nothing costs less than {as_figure(plan.lower_bound)}."
        )
    lines = (
        f"{instance.name}: {stops} in {as_figure(instance.horizon_h)} h, expected cost {as_figure(plan.expected_cost)} as of "
        "today.",
        proof,
    )
    return Text("\n".join(lines))


def _stops(plan: StopPlan) -> RenderableType:
    if not plan.stops:
        return Text("Nothing pays before the sale.")
    table = Table("stop in", "may move between", "opened", "jobs", title="Stops")
    for stop in plan.stops:
        fast = stop.earliest_h == stop.latest_h
        moves = "stays" if fast else f"{as_figure(stop.earliest_h)} and {as_figure(stop.latest_h)} h"
        opened = ", ".join(stop.opened) or _UNNAMED
        table.add_row(*(Text(cell) for cell in (f"{as_figure(stop.hour)} h", moves, opened, _jobs(plan, stop))))
    note = Text("May move: with all its jobs, the other stops kept, for at most 1 % of the whole cost.")
    return Group(table, note)


def _jobs(plan: StopPlan, stop: StopRange) -> str:
    jobs: dict[str, list[str]] = {}
    for row in plan.plan:
        if row.step == stop.step:
            jobs.setdefault(row.job, []).append(row.component)
    return "\n".join(f"{job}: {', '.join(parts)}" for job, parts in jobs.items())


def _idle(plan: StopPlan) -> Text:
    busy = {row.component for row in plan.plan}
    idle = [part for part in plan.components if part not in busy]
    return Text(f"No job pays on: {', '.join(idle)}." if idle else "Every part has a job.")


def _beside(rows: tuple[Compared, ...]) -> Table:
    table = Table("way of planning", "cost", "more than the plan", "stops", "limits passed", title="Beside it")
    for column in table.columns[1:]:
        column.justify = "right"
    best = rows[0].expected_cost
    for row in rows:
        more = as_figure(row.expected_cost - best) if row is not rows[0] else ""
        cells = (
            say(row.name),
            as_figure(row.expected_cost),
            more,
            str(row.stops),
            as_figure(row.limits_passed, ".1f"),
        )
        table.add_row(*(Text(cell) for cell in cells))
    table.caption = "Limits passed: how many parts pass their limit in service, on average."
    return table
