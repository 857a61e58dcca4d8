"""What the paper's page on the plan of stops shows."""

from pitchline.papers import plan_words as told
from pitchline.picture.ink import Tone
from pitchline.picture.plan_strip import plan_strip, plan_strip_svg
from pitchline.trade.writing import as_figure
from pitchline.verdict import Verdict
from pitchline.words import say, worded

_WIDTH = 900


def told_plan(verdict: Verdict) -> dict[str, object] | None:
    """The page on the plan of stops.

    Returns
    -------
    dict or None
        Text, tables and a drawing, as the template expects them; None where no plan was asked for.
    """
    plan = verdict.plan
    if plan is None:
        return None
    before = "" if told.joined(verdict, plan) else "; ".join(told.jobs_said(verdict, plan.also))
    return {
        "head": told.plan_head(plan),
        "before": worded("Before its first lay-up: {before}.", before=before) if before else "",
        "strip": {"svg": plan_strip_svg(verdict, _WIDTH, Tone.PAPER), "alt": _alt(verdict)},
        "stops": [
            {"number": stop.number, "when": stop.when, "moves": stop.moves, "jobs": list(stop.jobs)}
            for stop in told.stops_said(verdict, plan)
        ],
        "beside_head": told.beside_head(),
        "beside": [list(told.beside_cells(plan, row)) for row in plan.beside],
        "money_head": [worded("paid for, in {currency}", currency=plan.currency), *told.money_head()],
        "money": [[say(row.name), *cells] for row in plan.beside if (cells := told.money_cells(row))],
        "notes": list(told.plan_notes(plan)),
    }


def _alt(verdict: Verdict) -> str:
    """The strip in words."""
    stops = verdict.plan.stops if verdict.plan is not None else ()
    said = [
        plan_strip(verdict).title,
        *(worded("lay-up {n} in {at} h", n=n, at=as_figure(stop.at_h)) for n, stop in enumerate(stops, 1)),
    ]
    return "; ".join(said)
