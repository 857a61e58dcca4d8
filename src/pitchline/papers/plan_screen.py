"""A machine's plan of stops for a terminal, safe as plain text."""

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from pitchline.papers import plan_words as told
from pitchline.papers import words
from pitchline.verdict import MachinePlan, Verdict
from pitchline.words import say, translated, worded


def plan_lines(verdict: Verdict) -> RenderableType | None:
    """A verdict's plan for a terminal.

    Returns
    -------
    rich.console.RenderableType or None
        None where no plan was asked for.
    """
    plan = verdict.plan
    if plan is None:
        return None
    before = _before(verdict, plan)
    shown: list[RenderableType] = [_text(told.plan_head(plan)), *before, _stops(verdict, plan), _beside(plan)]
    return Group(*shown, *_paid(plan), *map(_text, told.plan_notes(plan)))


def _before(verdict: Verdict, plan: MachinePlan) -> list[Text]:
    """What falls due beside the plan and cannot wait for its first stop."""
    if not plan.also or told.joined(verdict, plan):
        return []
    return [
        _text(worded("Before its first lay-up: {verdict}.", verdict="; ".join(told.jobs_said(verdict, plan.also))))
    ]


def _text(line: str) -> Text:
    return Text(line.replace(words.GAP, " "))


def _stops(verdict: Verdict, plan: MachinePlan) -> RenderableType:
    if not plan.stops:
        return _text(translated("No lay-up pays up to the end."))
    table = Table(
        translated("lay-up"),
        translated("when"),
        translated("may move between"),
        translated("jobs"),
        box=None,
        padding=(0, 2, 0, 0),
        header_style="dim",
    )
    for stop in told.stops_said(verdict, plan):
        table.add_row(*(_text(cell) for cell in (stop.number, stop.when, stop.moves, "\n".join(stop.jobs))))
    return table


def _beside(plan: MachinePlan) -> Table:
    table = Table(*told.beside_head(), box=None, padding=(0, 2, 0, 0), header_style="dim")
    for row in plan.beside:
        table.add_row(*map(_text, told.beside_cells(plan, row)))
    return table


def _paid(plan: MachinePlan) -> list[RenderableType]:
    """What each way is paid for; life left at the end is taken off, so that a cost may fall below nothing."""
    rows = [(say(row.name), *cells) for row in plan.beside if (cells := told.money_cells(row))]
    if not rows:
        return []
    head = (worded("paid for, in {currency}", currency=plan.currency), *told.money_head())
    table = Table(*head, box=None, padding=(0, 2, 0, 0), header_style="dim")
    for row in rows:
        table.add_row(*map(_text, row))
    return [table]
