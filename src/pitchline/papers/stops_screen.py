"""A plan of lay-ups as one terminal screen, safe as plain text."""

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from pitchline.stops.instance import StopInstance
from pitchline.stops.plan import StopPlan, StopRange
from pitchline.stops.thumb import Compared
from pitchline.trade.writing import as_figure
from pitchline.words import counted, in_english, say, translated, worded

_UNNAMED = in_english("nothing opened")


def plan_screen(instance: StopInstance, plan: StopPlan, rows: tuple[Compared, ...]) -> RenderableType:
    """A plan for a terminal: its lay-ups with jobs and hours, what it costs, and the rules of thumb beside it."""
    return Group(_head(instance, plan), _stops(plan), _idle(plan), _beside(rows))


def _head(instance: StopInstance, plan: StopPlan) -> Text:
    layups = (
        counted("{n} lay-up", "{n} lay-ups", len(plan.stops)).format(n=len(plan.stops))
        if plan.stops
        else translated("no lay-up")
    )
    proof = translated("Proven: nothing costs less.")
    if not plan.proven:
        proof = worded(
            "Not proven in the time given: something up to {gap} % cheaper may exist; nothing costs less than {lower_bound}.",
            gap=as_figure(100 * plan.gap, ".2g"),
            lower_bound=as_figure(plan.lower_bound),
        )
    lines = (
        worded(
            "{instance}: {layups} in {horizon} h, expected cost {expected_cost} as of today.",
            instance=instance.name,
            layups=layups,
            horizon=as_figure(instance.horizon_h),
            expected_cost=as_figure(plan.expected_cost),
        ),
        proof,
    )
    return Text("\n".join(lines))


def _stops(plan: StopPlan) -> RenderableType:
    if not plan.stops:
        return Text(translated("Nothing pays before the sale."))
    table = Table(
        translated("lay-up in"),
        translated("may move between"),
        translated("opened"),
        translated("jobs"),
        title=translated("Lay-ups"),
    )
    for stop in plan.stops:
        fast = stop.earliest_h == stop.latest_h
        moves = (
            translated("stays")
            if fast
            else worded(
                "{earliest} and {latest} h", earliest=as_figure(stop.earliest_h), latest=as_figure(stop.latest_h)
            )
        )
        opened = ", ".join(stop.opened) or translated(_UNNAMED)
        table.add_row(*(Text(cell) for cell in (f"{as_figure(stop.hour)} h", moves, opened, _jobs(plan, stop))))
    note = Text(
        translated("May move: with all its jobs, the other lay-ups kept, for at most 1 % of the whole cost.")
    )
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
    return Text(
        worded("No job pays on: {idle}.", idle=", ".join(idle)) if idle else translated("Every part has a job.")
    )


def _beside(rows: tuple[Compared, ...]) -> Table:
    table = Table(
        translated("way of planning"),
        translated("cost"),
        translated("more than the plan"),
        translated("lay-ups"),
        translated("limits passed"),
        title=translated("Beside it"),
    )
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
    table.caption = translated("Limits passed: how many parts pass their limit in service, on average.")
    return table
