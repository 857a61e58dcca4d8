"""What a form of work done begins with: a job of a verdict, the jobs of a lay-up, or a part somebody chose."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import Http404

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.clock import today
from pitchline.desk.machine.models import Machine
from pitchline.desk.posts import Question, switch, words
from pitchline.desk.prices import judged_prices
from pitchline.desk.spoken import later
from pitchline.desk.workdone.sources import of_lay_up, of_verdict, source_said
from pitchline.desk.workplan.queries import decided_plan, plan_of
from pitchline.desk.workplan.stored import planned
from pitchline.papers import names
from pitchline.papers.stop import planned_stops
from pitchline.papers.words import first_up
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.findings import Finding
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import MEASURANDS, Measurand, Role, measurands_of
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.work_done import COMES_WITH, USUAL, Did, Reckoned, closed_by
from pitchline.verdict import Job
from pitchline.wear.history import standing
from pitchline.words.labels import plural, singular

_MOST_NUMBER = 10_000


@dataclass(frozen=True, slots=True)
class Row:
    """One job to be written down.

    Parameters
    ----------
    title : str
        What it is.
    part : PartKind
        To what.
    places : tuple of Place
        Where it can have been done.
    ticked : frozenset of Place
        Where it is taken to have been done until somebody says otherwise.
    did : Did or None
        What is usually done; None where nobody can take it for granted.
    seen : tuple of Finding
        What still stands there.
    asked : frozenset of Finding
        What of it the job is done for.
    reckoned : Reckoned or None
        What it was reckoned to cost at every ticked place together.
    """

    title: str
    part: PartKind
    places: tuple[Place, ...]
    ticked: frozenset[Place]
    did: Did | None
    seen: tuple[Finding, ...]
    asked: frozenset[Finding]
    reckoned: Reckoned | None = None

    @property
    def reckoned_in(self) -> str:
        """Where it was reckoned, in words."""
        return source_said(self.reckoned.source) if self.reckoned is not None else ""


class WorkAsked(Question):
    """Which job, lay-up or part an address asks for."""

    verdict = forms.UUIDField(required=False, label=later("verdict"))
    job = forms.IntegerField(required=False, min_value=1, max_value=_MOST_NUMBER, label=later("job"))
    plan = forms.UUIDField(required=False, label=later("plan"))
    layup = forms.IntegerField(required=False, min_value=0, max_value=_MOST_NUMBER, label=later("lay-up"))
    kept = switch(later("of a plan that is kept"))
    part = words(later("part"), 60)


@dataclass(frozen=True, slots=True)
class Begun:
    """What a form begins with.

    Parameters
    ----------
    rows : tuple of Row
        One or more; none where somebody has still to say which part.
    told : str
        What it is about, in words.
    source : dict
        What its address asked, to be sent along.
    """

    rows: tuple[Row, ...]
    told: str
    source: dict[str, str]


def begun(machine: Machine, dossier: Dossier, sent: dict[str, str]) -> Begun:
    """What the address, or the form that was made from it, asks for.

    Raises
    ------
    InputError
        An id or a number that is none.
    Http404
        No such job, lay-up or part.
    """
    asked = WorkAsked({name: sent.get(name, "") for name in WorkAsked.base_fields})
    what = asked.read()
    source = {name: text for name in WorkAsked.base_fields if (text := sent.get(name, ""))}
    if what["verdict"] is not None:
        return Begun((_of_verdict(machine, dossier, what),), "", source)
    if what["plan"] is not None:
        return _of_layup(machine, dossier, what, source)
    return Begun((row_of_part(dossier, what["part"]),) if what["part"] else (), "", source)


def _of_verdict(machine: Machine, dossier: Dossier, what: dict[str, Any]) -> Row:
    judgement = machine.judgements.filter(pk=what["verdict"]).first()
    jobs = verdict_of(judgement).jobs if judgement is not None else ()
    number = what["job"] or 0
    if judgement is None or not 1 <= number <= len(jobs) or jobs[number - 1].kind is JobKind.MEASURE:
        raise Http404("No such job in a verdict of this machine.")
    row = row_of(jobs[number - 1], dossier, of_verdict(judgement.as_of))
    if row is None:
        raise Http404("This machine has no such part now.")
    return row


def _of_layup(machine: Machine, dossier: Dossier, what: dict[str, Any], source: dict[str, str]) -> Begun:
    row = plan_of(machine.business, machine.pk, what["plan"])
    kept = decided_plan(machine) if what["kept"] else None
    if what["kept"] and (kept is None or kept.plan_id != row.pk):
        raise Http404("This plan is not kept.")
    verdict, _ = planned(kept or row)
    prices = judged_prices(row.judgement)
    stop = next((one for one in planned_stops(verdict, prices, today()) if one.number == what["layup"]), None)
    if stop is None:
        raise Http404("No such lay-up in this plan.")
    kept_as = of_lay_up(stop.number, row.judgement.as_of)
    rows = (row_of(job, dossier, kept_as) for job in stop.jobs if job.kind is not JobKind.MEASURE)
    return Begun(tuple(one for one in rows if one is not None), first_up(source_said(kept_as)), source)


def row_of(job: Job, dossier: Dossier, source: str) -> Row | None:
    """A job as a form begins with it; None where this machine no longer has its parts."""
    there = set(dossier.gear.places())
    places = tuple(place for place in job.places if place in there)
    if not places:
        return None
    did = USUAL.get(job.kind)
    seen = standing_at(dossier, places)
    asked = frozenset(
        one for one in seen if one.job is job.kind or (did is not None and closed_by(did, places, one))
    )
    price = job.price
    reckoned = Reckoned(price.usual, price.currency, source) if price is not None else None
    title = first_up(names.job_said(job.kind, names.places_said(places, dossier.gear)))
    return Row(title, job.part, places, frozenset(places), did, seen, asked, reckoned)


def row_of_part(dossier: Dossier, key: str) -> Row:
    """A part somebody chose: a whole kind, or one place of it.

    Raises
    ------
    Http404
        This machine has no such part.
    """
    try:
        place = Place.from_key(key)
    except NotAllowedError:
        raise Http404("No such part.") from None
    alike = tuple(one for one in dossier.gear.places() if one.part is place.part)
    ticked = frozenset(alike if len(alike) == 1 else {place} & set(alike))
    if not alike:
        raise Http404("This machine has no such part.")
    title = first_up(plural(place.part) if len(alike) > 1 else singular(place.part))
    return Row(title, place.part, alike, ticked, None, standing_at(dossier, alike), frozenset())


def standing_at(dossier: Dossier, places: Iterable[Place]) -> tuple[Finding, ...]:
    """What was seen on the last walk-round and still stands, at some places and what comes with them."""
    if not dossier.walk_rounds:
        return ()
    at = {
        (part, place.side, place.position if part is place.part else 0)
        for place in places
        for part in _with(place)
    }
    found = standing(dossier, dossier.walk_rounds[-1])
    return tuple(one for one in found if (one.place.part, one.place.side, one.place.position) in at)


def _with(place: Place) -> tuple[PartKind, ...]:
    return COMES_WITH.get(place.part, (place.part,))


def sizes_of(dossier: Dossier, row: Row) -> tuple[tuple[Place, Measurand], ...]:
    """Sizes that count when a used part is fitted, and settings that can be written down as they were left."""
    entered = {(one.part, one.measurand) for one in dossier.limits}
    there = set(dossier.gear.places())
    places = dict.fromkeys(
        Place(part, place.side, place.position if part is place.part else 0)
        for place in row.places
        for part in _with(place)
    )
    return tuple(
        (place, measurand)
        for place in places
        for measurand in measurands_of(place.part)
        if place in there and ((place.part, measurand) in entered or MEASURANDS[measurand].role is Role.SETTING)
    )
