"""Pages of the gear list."""

import uuid
from itertools import pairwise
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.html import format_html
from django.utils.http import content_disposition_header
from django.utils.safestring import SafeString
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.gearbook import actions, queries
from pitchline.desk.gearbook.actions import Done, OldEntryError, Written
from pitchline.desk.gearbook.forms import BookForm, LookFor, ToBook
from pitchline.desk.gearbook.machine_limits import limits_page
from pitchline.desk.gearbook.models import BookEntry
from pitchline.desk.gearbook.parts import (
    changes_between,
    dossier_of_part,
    gear_text,
    loaded_object,
    part_from_file,
    whole_text,
)
from pitchline.desk.machine.gear_form import start_of
from pitchline.desk.machine.limit_forms import limits_shown, replaced, with_limits
from pitchline.desk.machine.lines import lines_of
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import PutAway, Reason, as_sent, ids_sent, lines_sent, why_typed
from pitchline.desk.problems import problems_of
from pitchline.desk.uploads import sent_files
from pitchline.desk.versions import version_of
from pitchline.papers.names import gear_said
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.units import UnitSystem
from pitchline.words import counted, translated


@require_safe
def book(request: DeskRequest) -> HttpResponse:
    """Every running gear in the gear list, or the ways to a first one."""
    return _book(request)


def _book(request: DeskRequest, problems: tuple[Problem, ...] = ()) -> HttpResponse:
    business = request.actor.business
    machines = queries.machines_on(business)
    units = UnitSystem(business.units)
    entries = [
        (one, " · ".join(gear_said(dossier_of_part(one.text).gear, units)), machines[one.pk])
        for one in queries.entries_of(business)
    ]
    context = {
        "entries": [each for each in entries if each[0].put_away_at is None],
        "away": [each[0] for each in entries if each[0].put_away_at is not None],
        "problems": problems,
    }
    return render(request, "gearbook/book.html", context, status=400 if problems else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def new(request: DeskRequest) -> HttpResponse:
    """A running gear, entered once."""
    start = {"entry_id": uuid.uuid4(), "seen_version": 1}
    numbers = request.actor.business.numbers
    form = BookForm(request.POST if request.method == "POST" else None, initial=start, numbers=numbers)
    form.fields.pop("why")
    problems: tuple[Problem, ...] = ()
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        written = Written(typed["name"], typed["note"], form.part_text({}))
        try:
            entry = actions.add_entry(request.actor, entry_id=typed["entry_id"] or uuid.uuid4(), written=written)
            return redirect("book-limits", entry.pk)
        except (InputError, NotAllowedError) as error:
            problems = problems_of(error)
    status = 400 if form.errors or problems else 200
    return render(request, "gearbook/form.html", {"form": form, "problems": problems}, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
def change(request: DeskRequest, entry_id: uuid.UUID) -> HttpResponse:
    """Name, note, counts and sizes of an entry; saving makes a new version."""
    actor = request.actor
    entry = queries.entry_of(actor.business, entry_id)
    part = loaded_object(entry.text)
    start = start_of(part["running_gear"]) | {
        "name": entry.name,
        "note": entry.note,
        "seen_version": entry.version,
    }
    numbers = actor.business.numbers
    form = BookForm(request.POST if request.method == "POST" else None, initial=start, numbers=numbers)
    form.fields["why"].required = True
    problems, now, status = tuple[Problem, ...](), None, 200
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        written = Written(typed["name"], typed["note"], form.part_text(part))
        try:
            changed = actions.change_entry(
                actor, entry_id=entry.pk, seen_version=typed["seen_version"], written=written, why=typed["why"]
            )
            return _changed(request, entry, changed)
        except (InputError, NotAllowedError) as error:
            problems = problems_of(error)
        except OldEntryError as error:
            now, status = error.now, 409
            form = BookForm(as_sent(request) | {"seen_version": str(now.version)}, numbers=numbers)
    status = 400 if problems or (form.errors and now is None) else status
    context = {"form": form, "entry": entry, "problems": problems, "now": now}
    return render(request, "gearbook/form.html", context, status=status)


def _changed(request: DeskRequest, entry: BookEntry, changed: bool) -> HttpResponse:
    said = translated(
        "Saved as a new version. No machine is changed by it; the page says which have an older one."
    )
    messages.success(request, said if changed else translated("Nothing was changed."))
    return redirect("book-entry", entry.pk)


@require_http_methods(["GET", "HEAD", "POST"])
def limits(request: DeskRequest, entry_id: uuid.UUID) -> HttpResponse:
    """New sizes and wear limits of an entry."""
    actor = request.actor
    entry = queries.entry_of(actor.business, entry_id)
    dossier, whole = dossier_of_part(entry.text), whole_text(entry.text)
    problems, now, status = tuple[Problem, ...](), None, 200
    typed = lines_sent(request) if request.method == "POST" else None
    if typed is not None:
        try:
            file_text = with_limits(dossier, whole, typed, actor.business.numbers)
            text = gear_text(loaded_object(file_text))
            written = Written(entry.name, entry.note, text)
            why = Reason.of(request)["why"]
            seen = version_of(request)
            changed = actions.change_entry(actor, entry_id=entry.pk, seen_version=seen, written=written, why=why)
            for moved in replaced(whole, file_text):
                messages.success(request, moved)
            return _changed(request, entry, changed)
        except (InputError, NotAllowedError) as error:
            problems, status = problems_of(error), 400
        except OldEntryError as error:
            now, status = error.now, 409
    context = {
        "entry": now or entry,
        **limits_shown(dossier, whole, typed, compare=now is not None),
        "problems": problems,
        "why": why_typed(request),
    }
    return render(request, "gearbook/limits.html", context | {"now": now}, status=status)


@require_safe
def entry(request: DeskRequest, entry_id: uuid.UUID) -> HttpResponse:
    """One entry: what it says, its wear lines, its versions, the machines that have it, and fitting it to more."""
    actor = request.actor
    one = queries.entry_of(actor.business, entry_id)
    units = UnitSystem(actor.business.units)
    dossier, learned = dossier_of_part(one.text), queries.learned_here(actor.business)
    versions = queries.versions_of(one)
    texts = [loaded_object(each.text) for each in versions]
    told = [changes_between(before, after) for after, before in pairwise(texts)]
    asked = LookFor(as_sent(request))
    wanted, machines = asked.usable("q"), queries.machines_with_fit(actor.business)
    found = machines.none() if asked.problems else machines.filter(name__icontains=wanted) if wanted else machines
    on = queries.on_machines(one)
    context = {
        "entry": one,
        "said": gear_said(dossier.gear, units),
        "pairs": [(each.what, each.after) for each in changes_between({}, loaded_object(one.text))],
        "lines": lines_of(dossier, learned[1] if learned else None, units),
        "learned": learned,
        "versions": list(zip(versions, [*told, ()], strict=False)),
        "on": on,
        "older": [each for each in on if each.book_version < one.version],  # type: ignore[attr-defined]
        "machines": found[: queries.MOST_SHOWN],
        "more": max(found.count() - queries.MOST_SHOWN, 0),
        "asked": asked,
        "problems": asked.problems,
        "last": queries.last_batch(actor.business, one),
        "has_limits": bool(dossier.limits),
    }
    return render(request, "gearbook/entry.html", context, status=400 if asked.problems else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def fit(request: DeskRequest, entry_id: uuid.UUID) -> HttpResponse:
    """What giving it would change, machine by machine; then doing it."""
    actor = request.actor
    one = queries.entry_of(actor.business, entry_id)
    if request.method == "POST":
        return _fit(request, one)
    fits = queries.fits_of(actor.business, one, ids_sent(request, "machine"))
    ready = [each for each in fits if not each.problems]
    context = {"entry": one, "fits": fits, "ready": ready, "batch": uuid.uuid4()}
    return render(request, "gearbook/fit.html", context)


def _fit(request: DeskRequest, one: BookEntry) -> HttpResponse:
    actor = request.actor
    seen = {each: version_of(request, f"seen~{each}") for each in ids_sent(request, "machine")}
    batch = next(iter(ids_sent(request, "batch")), uuid.uuid4())
    try:
        done = actions.fit_machines(actor, entry_id=one.pk, version=version_of(request), batch=batch, seen=seen)
    except OldEntryError:
        messages.error(
            request, translated("Somebody changed this running gear meanwhile; nothing was given. Look again.")
        )
        return redirect("book-entry", one.pk)
    judge_soon()
    _tell(request, done, translated("Given to {}."), batch)
    return redirect("book-entry", one.pk)


def _tell(request: DeskRequest, done: Done, pattern: str, batch: uuid.UUID | None = None) -> None:
    many = len(done.fitted)
    said: str | SafeString = pattern.format(counted("{n} machine", "{n} machines", many).format(n=many))
    if done.unchanged:
        said += translated(" {n} had all of it already and are linked now.").format(n=len(done.unchanged))
    if batch is not None and (done.fitted or done.unchanged):
        said = format_html('{} <a href="{}">{}</a>', said, reverse("book-undo", args=[batch]), translated("Undo"))
    messages.success(request, said)
    for name, why in done.refused[:10]:
        messages.error(request, translated("{name} was left as it is: {why}").format(name=name, why=why))


@require_http_methods(["GET", "HEAD", "POST"])
def undo(request: DeskRequest, batch: uuid.UUID) -> HttpResponse:
    """Machines get back what they had before they were given it."""
    actor = request.actor
    fittings = list(queries.batch_of(actor.business, batch))
    if request.method == "POST":
        done = actions.undo_fitting(actor, batch=batch)
        judge_soon()
        _tell(request, done, translated("{} as before."))
        return redirect("book-entry", fittings[0].entry_id)
    return render(
        request, "gearbook/undo.html", {"fittings": fittings, "batch": batch, "entry": fittings[0].entry}
    )


@require_POST
def away(request: DeskRequest, entry_id: uuid.UUID) -> HttpResponse:
    """Out of the gear list, or back."""
    gone = PutAway.of(request)["away"]
    actions.set_put_away(request.actor, entry_id=entry_id, away=gone)
    messages.success(
        request, translated("Put away; bring it back below.") if gone else translated("Back in the gear list.")
    )
    return redirect("book-entry", entry_id)


@require_safe
def download(request: DeskRequest, entry_id: uuid.UUID) -> HttpResponse:
    """The gear part of a machine file."""
    one = queries.entry_of(request.actor.business, entry_id)
    response = HttpResponse(one.text, content_type="application/json")
    name = content_disposition_header(True, f"{one.name}.json")
    response.headers["Content-Disposition"] = name or "attachment"
    return response


@require_POST
def bring(request: DeskRequest) -> HttpResponse:
    """Running gear from files: exported from a gear list, or whole machine files."""
    actor = request.actor
    try:
        sent = sent_files(request)
        parts = [(each.name.rsplit(".", 1)[0], part_from_file(each.name, each.content)) for each in sent]
        for name, text in parts:
            entry = actions.add_entry(
                actor, entry_id=uuid.uuid4(), written=Written(name, "", text), why=translated("from a file")
            )
    except (InputError, NotAllowedError) as error:
        return _book(request, problems_of(error))
    messages.success(
        request,
        translated("{n} in the gear list now.").format(n=len(parts))
        if len(parts) > 1
        else translated("In the gear list now."),
    )
    return redirect("book") if len(parts) > 1 else redirect("book-entry", entry.pk)


@require_safe
def from_book(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """The gear list's entries for one machine to choose from."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    units = UnitSystem(actor.business.units)
    entries = [
        (one, " · ".join(gear_said(dossier_of_part(one.text).gear, units)))
        for one in queries.entries_of(actor.business).filter(put_away_at=None)
    ]
    context: dict[str, Any] = {"machine": machine, "entries": entries, "now": queries.fit_of(machine)}
    return render(request, "gearbook/choose.html", context)


@require_POST
def to_book(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """A machine's running gear, into the gear list."""
    actor = request.actor
    entry_id = next(iter(ids_sent(request, "entry_id")), uuid.uuid4())
    machine = machine_of(actor.business, machine_id)
    try:
        name = ToBook.of(request)["name"] or machine.name
        entry = actions.take_from_machine(actor, machine_id=machine_id, entry_id=entry_id, name=name)
    except (InputError, NotAllowedError) as error:
        dossier, problems = known_dossier(machine), problems_of(error)
        if dossier is None:
            return _book(request, problems)
        return limits_page(
            request, machine, dossier, problems=problems, name=as_sent(request).get("name"), status=400
        )
    messages.success(request, translated("In the gear list now; the machine is linked to it."))
    return redirect("book-entry", entry.pk)
