"""The hours of one machine; the hours of the yard: brought in, matched, fetched."""

import datetime as dt
import tempfile
import uuid
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.bridge.sheet_rows import Sheet
from pitchline.desk.clock import day_for, today
from pitchline.desk.downloads import sent_file
from pitchline.desk.machine.actions import OldVersionError
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of, machine_of, machines_of
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.meter import actions, feeds, queries
from pitchline.desk.meter.forms import ChangedForm, FeedForm, LeaveOut, MeterForm, Whose
from pitchline.desk.meter.models import Feed, MeterHours
from pitchline.desk.meter.worker import WORKER
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import as_sent
from pitchline.desk.problems import problems_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.uploads import Upload, sent_files
from pitchline.exchange.figures import exact_number
from pitchline.exchange.grid_csv import csv_bytes
from pitchline.exchange.hours_rows import HOURS_TABLE, HoursFile, read_hours_table
from pitchline.exchange.iso_15143 import looks_like_feed, read_feed
from pitchline.judge.week import Week, week_of
from pitchline.papers import words
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.meter import MeterChange
from pitchline.words import worded

_SHOWN = 120


@require_http_methods(["GET", "HEAD", "POST"])
def machine_hours(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """What the meter of a machine showed, and what somebody reads off it today."""
    machine = machine_of(request.actor.business, machine_id)
    if request.method != "POST":
        return _machine(request, machine)
    form = MeterForm(as_sent(request), numbers=machine.business.numbers)
    if not form.is_valid():
        return _machine(request, machine, form=form, status=400)
    day = form.cleaned_data["day"]
    at = (
        timezone.now()
        if day == today()
        else dt.datetime.combine(day, dt.time(23, 59, 59), timezone.get_current_timezone())
    )
    done = actions.type_hours(
        request.actor, machine_id=machine.pk, at=at.replace(microsecond=0), meter_h=form.cleaned_data["hours"]
    )
    judge_soon()
    if done is not None:
        tell_undo(request, done.said, done)
    return redirect("machine-hours", machine.pk)


def _machine(
    request: DeskRequest,
    machine: Machine,
    *,
    form: MeterForm | None = None,
    changed: ChangedForm | None = None,
    problems: tuple[Problem, ...] = (),
    now: Machine | None = None,
    status: int = 200,
) -> HttpResponse:
    numbers = machine.business.numbers
    rows = list(machine.meterhours.order_by("-at")[:_SHOWN])
    asked = list(machine.meterhours.filter(state=MeterHours.ASKED).order_by("at")[:_SHOWN])
    newest = machine.meterhours.filter(state=MeterHours.TAKEN).order_by("-at").first()
    first = next((row for row in asked if row.why == "falls"), None)
    start = {
        "seen_version": machine.version,
        "day": (first.day if first else today()).isoformat(),
        "old_h": _bare(newest.meter_h if newest else machine.hours_h),
        "new_h": "0",
    }
    week, seen = Week(None), None
    try:
        dossier = dossier_of(machine)
        if dossier is not None:
            seen = _last_seen(dossier)
            week = week_of(dossier, day_for(dossier))
    except (InputError, NotAllowedError) as error:
        problems = problems or problems_of(error)
    context = {
        "machine": machine, "rows": rows, "asked": [(row, _beside(machine, row)) for row in asked],
        "may_be_changed": changed is not None or first is not None, "newest": newest,
        "seen": seen if newest is None or (seen and seen.day > newest.day) else None, "week": week,
        "problems": problems, "now": now,
        "form": form or MeterForm(initial={"day": today().isoformat()}, numbers=numbers),
        "changed": changed or ChangedForm(initial=start, numbers=numbers, auto_id="changed_%s"),
        "idle": _idle_share(rows),
    }  # fmt: skip
    return render(request, "meter/machine.html", context, status=status)


@dataclass(frozen=True, slots=True)
class _Seen:
    """Service hours the meter showed somebody who was at the machine: on a walk-round, or at work."""

    hours_h: float
    day: dt.date
    at_work: bool


def _last_seen(dossier: Dossier) -> _Seen | None:
    walked = [_Seen(one.service_h, one.date, False) for one in dossier.walk_rounds]
    worked = [_Seen(one.service_h, one.date, True) for one in dossier.work]
    return max([*walked, *worked], key=lambda one: (one.day, one.hours_h), default=None)


def _bare(hours_h: float | None) -> str:
    """Hours as a field takes them."""
    return "" if hours_h is None else exact_number(round(hours_h, 1))


def _beside(machine: Machine, row: MeterHours) -> list[str]:
    """The hours taken in next before and next after, or the walk-round before."""
    taken = machine.meterhours.filter(state=MeterHours.TAKEN)
    before, after = (
        taken.filter(at__lt=row.at).order_by("-at").first(),
        taken.filter(at__gt=row.at).order_by("at").first(),
    )
    said = [
        worded("{day}: {hours}", day=words.day(one.day), hours=words.service_hours(one.meter_h))
        for one in (before, after)
        if one
    ]
    walked = (
        machine.sheets.filter(state=Sheet.FINISHED, date__lte=row.day, service_h__isnull=False)
        .order_by("-date")
        .first()
    )
    if before is None and walked is not None and walked.date is not None and walked.service_h is not None:
        told = worded(
            "walk-round of {day}: {hours}", day=words.day(walked.date), hours=words.service_hours(walked.service_h)
        )
        said.insert(0, told)
    return said


def _idle_share(rows: list[MeterHours]) -> float | None:
    """Share of the hours shown here in which it idled [1]; None where the sender does not say."""
    told = [row for row in rows if row.state == MeterHours.TAKEN and row.idle_h is not None]
    if len(told) < 2:
        return None
    worked_h, idle_h = (getattr(told[0], name) - getattr(told[-1], name) for name in ("meter_h", "idle_h"))
    return idle_h / worked_h if 0 <= idle_h <= worked_h and worked_h > 0 else None


@require_POST
def leave_out(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Hours that are wrong, out; or looked at again."""
    said = LeaveOut.of(request)
    machine = machine_of(request.actor.business, machine_id)
    try:
        if said["row"] is None:
            actions.leave_all_asked(request.actor, machine_id=machine.pk, why=said["why"])
        else:
            actions.leave_out(
                request.actor, machine_id=machine.pk, row_id=said["row"], left=said["left"], why=said["why"]
            )
    except NotAllowedError as error:
        return _machine(request, machine, problems=problems_of(error), status=400)
    judge_soon()
    return redirect("machine-hours", machine.pk)


@require_POST
def meter_changed(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """The meter was changed: hours that were asked about are looked at again."""
    machine = machine_of(request.actor.business, machine_id)
    form = ChangedForm(as_sent(request), numbers=machine.business.numbers, auto_id="changed_%s")
    if not form.is_valid():
        return _machine(request, machine, changed=form, status=400)
    typed = form.cleaned_data
    try:
        actions.meter_changed(
            request.actor, machine_id=machine.pk, seen_version=typed["seen_version"],
            change=MeterChange(typed["day"], typed["old_h"], typed["new_h"]), why=typed["why"],
        )  # fmt: skip
    except OldVersionError as error:
        return _machine(request, error.now, changed=form, now=error.now, status=409)
    except (InputError, NotAllowedError) as error:
        return _machine(request, machine, changed=form, problems=problems_of(error), status=400)
    judge_soon()
    return redirect("machine-hours", machine.pk)


@require_http_methods(["GET", "HEAD", "POST"])
def hours(request: DeskRequest) -> HttpResponse:
    """Hours of many machines: a file brought in, names nobody matched, where hours are fetched from."""
    if request.method != "POST":
        return _hours(request)
    problems: list[Problem] = []
    for sent in _sent(request, problems):
        try:
            found = _read(sent)
            with transaction.atomic():
                came = actions.take_hours(request.actor, found.rows, sent.name)
                done = actions.undoable(request.actor, came, sent.name)
            problems += found.left_out
            tell_undo(request, f"{sent.name}: {feeds.counts_said(came.told)}.", done)
        except InputError as error:
            problems += error.problems
    judge_soon()
    return _hours(request, tuple(problems), 400 if problems else 200) if problems else redirect("hours")


def _sent(request: DeskRequest, problems: list[Problem]) -> list[Upload]:
    try:
        return sent_files(request)
    except InputError as error:
        problems += error.problems
        return []


def _read(sent: Upload) -> HoursFile:
    if looks_like_feed(sent.content):
        return read_feed(sent.content, sent.name)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / sent.name
        path.write_bytes(sent.content)
        return read_hours_table(path, timezone.get_current_timezone(), timezone.localtime().replace(microsecond=0))


def _hours(request: DeskRequest, problems: tuple[Problem, ...] = (), status: int = 200) -> HttpResponse:
    business = request.actor.business
    context: dict[str, Any] = {
        "problems": problems,
        "unmatched": [(one, one.waiting[-1] if one.waiting else None) for one in queries.unmatched(business)],
        "matched": list(queries.matched(business)),
        "asked": queries.machines_asked(business),
        "new_feed": uuid.uuid4(),
        "feeds": [feeds.shown(feed) for feed in queries.feeds_of(business)],
    }
    if context["unmatched"]:
        context["machines"] = list(
            machines_of(business).filter(archived_at=None).order_by("name").only("name", "short_name")
        )
    return render(request, "meter/yard.html", context, status=status)


@require_POST
def whose(request: DeskRequest) -> HttpResponse:
    """Whose hours come under a name; with neither a machine nor none of this yard, it is asked again."""
    said = Whose.of(request)
    try:
        actions.match(request.actor, name=said["name"], machine_id=said["machine"], ignored=said["ignored"])
    except NotAllowedError as error:
        return _hours(request, problems_of(error), 400)
    judge_soon()
    return redirect("hours")


@require_safe
def blank_hours(request: DeskRequest) -> HttpResponse:
    """An empty table with our columns."""
    return sent_file(csv_bytes([list(HOURS_TABLE.columns)]), "text/csv; charset=utf-8", "hours blank.csv")


@require_http_methods(["GET", "HEAD", "POST"])
def feed(request: DeskRequest, feed_id: uuid.UUID) -> HttpResponse:
    """Where hours are fetched from: entered or changed. An id nobody used yet is a new one."""
    business = request.actor.business
    known = Feed.objects.filter(pk=feed_id).first()
    if known is not None:
        known = queries.feed_by(business, feed_id)
    start = (
        {name: getattr(known, name) for name in feeds.COLUMNS} if known else {"every_h": 24, "sign_in": Feed.NONE}
    )
    start["seen_version"] = known.version if known else 0
    sent = as_sent(request) if request.method == "POST" else None
    form = FeedForm(sent, initial=start, has_secret=bool(known and known.secret_sealed))
    status = 200
    if sent is not None:
        if form.is_valid():
            if feeds.keep_feed(request.actor, feed_id=feed_id, typed=form.cleaned_data):
                WORKER.wake()
                return redirect("hours")
            status = 409
        else:
            status = 400
    now = queries.feed_by(business, feed_id) if status == 409 else None
    return render(
        request, "meter/feed.html", {"form": form, "feed": known, "now": now, "feed_id": feed_id}, status=status
    )


@require_POST
def fetch_now(request: DeskRequest, feed_id: uuid.UUID) -> HttpResponse:
    """Fetched as soon as somebody has time."""
    feeds.fetch_soon(queries.feed_by(request.actor.business, feed_id))
    WORKER.wake()
    return redirect("hours")


@require_POST
def feed_off(request: DeskRequest, feed_id: uuid.UUID) -> HttpResponse:
    """No longer fetched, or fetched again; what it brought stays."""
    feeds.switch_feed(
        request.actor, queries.feed_by(request.actor.business, feed_id), is_off=feeds.Off.of(request)["stopped"]
    )
    WORKER.wake()
    return redirect("hours")
