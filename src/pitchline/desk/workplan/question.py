"""What a plan is asked for, from an address's parameters: text in, the core's settings out."""

import datetime as dt
import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace

from pitchline.desk.clock import day_for
from pitchline.desk.posts import Question, figure
from pitchline.desk.spoken import later
from pitchline.desk.thousands import number_text
from pitchline.exchange.figures import hours_of
from pitchline.judge.week import week_of
from pitchline.papers import words
from pitchline.stops.settings import PlanSettings
from pitchline.trade.dossier import Dossier, Utilisation
from pitchline.trade.errors import NotAllowedError, Problem
from pitchline.words import translated

USUAL_HORIZON_H = 6000
"""How far ahead stops are planned where nothing is asked [h]: our own choice."""


class PlanForm(Question):
    """The figures a plan is asked for, as typed."""

    horizon, sell, stop_cost = (
        figure(later("horizon")),
        figure(later("sell at")),
        figure(later("cost of a lay-up")),
    )
    week = figure(later("hours a week"))


FIELDS = tuple(PlanForm.base_fields)


def _hours_said(hours_h: float | None, typed: str) -> str:
    return words.service_hours(hours_h) if hours_h is not None else f"{typed} h"


@dataclass(frozen=True, slots=True)
class PlanQuestion:
    """What a plan is asked for.

    Parameters
    ----------
    typed : dict of str to str
        The form's fields as typed.
    settings : PlanSettings or None
        The same for the core; None where a field cannot be used.
    week_h : float or None
        Usual hours a week [h]; None takes the machine's own.
    problems : tuple of Problem
        Every field that cannot be used.
    """

    typed: dict[str, str]
    settings: PlanSettings | None
    week_h: float | None
    problems: tuple[Problem, ...]

    @property
    def horizon_said(self) -> str:
        """How far ahead, as hours are written; as typed where it cannot be used."""
        return _hours_said(self.settings.horizon_h if self.settings else None, self.typed["horizon"])

    @property
    def sell_said(self) -> str:
        """When it is sold, likewise."""
        return _hours_said(self.settings.sell_at_h if self.settings else None, self.typed["sell"])

    def digest(self, footing: str, day: dt.date) -> str:
        """One short text for the question, what the judgement rests on, its method included, and its day."""
        figures = None if self.settings is None else [
            self.settings.horizon_h, self.settings.sell_at_h, self.settings.stop_cost, self.week_h
        ]  # fmt: skip
        return hashlib.sha256(json.dumps([footing, day.isoformat(), figures]).encode()).hexdigest()


def asked_of(typed: Mapping[str, str], numbers: str) -> PlanQuestion:
    """What is asked, numbers as the business writes them; a field left empty takes what is usual."""
    form = PlanForm(typed)
    problems = list(form.problems)
    kept = {name: typed.get(name, "") for name in FIELDS}
    kept |= {
        name: number_text(text, numbers, "" if name == "stop_cost" else "h")
        for name, text in form.cleaned_data.items()
    }
    kept["horizon"] = kept["horizon"] or str(USUAL_HORIZON_H)
    figures: dict[str, float | None] = {}
    for name in form.cleaned_data:
        try:
            figures[name] = hours_of(kept[name], str(form.fields[name].label)) if kept[name] else None
        except NotAllowedError as error:
            problems.append(error.problem)
    settings = None
    if not problems:
        try:
            settings = PlanSettings(figures["horizon"] or 0.0, figures["sell"], figures["stop_cost"])
            if figures["week"] is not None:
                Utilisation(figures["week"], figures["week"], figures["week"])
        except NotAllowedError as error:
            step = (
                translated("Correct the figure.") if "--" in error.problem.next_step else error.problem.next_step
            )
            problems.append(replace(error.problem, next_step=step))
            settings = None
    return PlanQuestion(kept, settings, figures.get("week"), tuple(problems))


def with_week(dossier: Dossier, week_h: float | None) -> Dossier:
    """The machine working so many hours in a usual week, quiet and busy weeks in proportion."""
    if week_h is None:
        return dossier
    use = week_of(dossier, day_for(dossier)).utilisation
    share = (use.low / use.usual, use.high / use.usual) if use is not None else (1.0, 1.0)
    week = Utilisation(week_h * share[0], week_h, min(week_h * share[1], 168.0))
    return replace(dossier, utilisation=week, own_week=True)
