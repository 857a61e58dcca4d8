"""Writing down work that was done, taking it out again, and undoing both; the machine's file holds the record."""

import json
import uuid
from collections.abc import Sequence
from functools import reduce
from typing import Any

from django.db import transaction

from pitchline.desk.bridge.machines import entered_dossier
from pitchline.desk.machine.actions import change_file
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.exchange.figures import text_of
from pitchline.exchange.machine_out import work_entry
from pitchline.papers.names import places_said
from pitchline.papers.words import GAP
from pitchline.trade.errors import NotAllowedError, Phrase, phrase
from pitchline.trade.machine import RunningGear
from pitchline.trade.work_done import WorkDone
from pitchline.words import translated, worded

Entry = dict[str, Any]


def said_of(work: WorkDone, gear: RunningGear) -> Phrase:
    """Some work in one line, such as "bottom roller 3, left: fitted new at 6,210 h on 28 Nov 2026"."""
    where = places_said(work.places, gear).replace(GAP, " ")
    return phrase(
        "{where}: {did:did} at {service_h:,.0f} h on {day:day}",
        where=where, did=work.did.value, service_h=work.service_h, day=work.date.isoformat(),
    )  # fmt: skip


def write_down(
    actor: Actor, *, machine_id: uuid.UUID, seen_version: int, work: Sequence[WorkDone]
) -> Undoable | None:
    """What was done, to be undone for a day; None where the same was sent before. The machine is to be judged anew then.

    Raises
    ------
    NotAllowedError
        Its running gear is not entered.
    OldVersionError
        The machine is no longer as it was when the form was opened.
    """
    machine = machine_of(actor.business, machine_id)
    dossier = entered_dossier(machine)
    if dossier is None:
        raise NotAllowedError("machine", translated("no running gear"), "a machine with its running gear entered")
    known = {one.key for one in dossier.work}
    new = [one for one in work if one.key not in known]
    if not new:
        return None
    entries = _entries(machine)
    lines = [said_of(one, dossier.gear) for one in new]
    why = reduce(lambda first, then: phrase("{first}; {then}", first=first, then=then), lines)
    told = translated(why)
    said = f"{machine.name}: {told}."
    with transaction.atomic():
        written = [*entries, *(work_entry(one, dossier) for one in new)]
        _write(actor, machine, seen_version, written, phrase("{machine}: {told}.", machine=machine.name, told=why))
        note(
            actor,
            machine.pk,
            [Told(phrase("work done"), "", line, one.note) for line, one in zip(lines, new, strict=True)],
        )
        before = {"machine": str(machine.pk), "written": [one.key for one in new], "told": told}
        return remember(actor, way="work done", said=said, before=before)


def take_out(actor: Actor, *, machine_id: uuid.UUID, seen_version: int, key: str, why: str) -> Undoable:
    """What was taken out, to be put back for a day: a record that is wrong, with a reason.

    Raises
    ------
    NotAllowedError
        No reason was given, or there is no such record.
    OldVersionError
        The machine is no longer as it was when the page was opened.
    """
    if not text_of(why, "why").strip():
        raise NotAllowedError("why", translated("nothing"), "a few words", "Say why this record is wrong.")
    machine = machine_of(actor.business, machine_id)
    dossier = entered_dossier(machine)
    found = next((one for one in dossier.work if one.key == key), None) if dossier is not None else None
    if dossier is None or found is None:
        raise NotAllowedError("record", key, "one that stands", "Open the page again: it was taken out already.")
    entries = _entries(machine)
    told = said_of(found, dossier.gear)
    said = worded(
        "{machine}: taken out of what was done: {said_of}.", machine=machine.name, said_of=translated(told)
    )
    with transaction.atomic():
        _write(actor, machine, seen_version, [one for one in entries if one["id"] != key], why)
        note(actor, machine.pk, [Told(phrase("work done"), told, "", why)])
        taken = [one for one in entries if one["id"] == key]
        before = {"machine": str(machine.pk), "taken": taken, "told": translated(told)}
        return remember(actor, way="work done", said=said, before=before)


def undo_work(actor: Actor, before: Entry) -> str:
    """What was taken back, in words.

    Raises
    ------
    NotAllowedError
        The record was taken out since, or written down again.
    """
    machine = machine_of(actor.business, uuid.UUID(before["machine"]))
    entries, written = _entries(machine), before.get("written", [])
    there = {one["id"] for one in entries}
    if not there.issuperset(written) or there.intersection(one["id"] for one in before.get("taken", [])):
        step = translated("Look at the machine's work done: it can be written down or taken out there.")
        raise NotAllowedError(
            "undo",
            translated("the work of {machine} was changed since").format(machine=machine.name),
            "work as it was left",
            step,
        )
    now = [one for one in entries if one["id"] not in written] + before.get("taken", [])
    _write(actor, machine, machine.version, now, phrase("undone"))
    return translated("Undone: the work done on {machine} is as it was.").format(machine=machine.name)


def _entries(machine: Machine) -> list[Entry]:
    return list(json.loads(machine.file_text).get("work_done", []))


def _write(actor: Actor, machine: Machine, seen_version: int, entries: list[Entry], why: str) -> None:
    """Nothing comes out; afterwards the machine's file has these records, in order of day, and is to be judged anew."""
    whole = json.loads(machine.file_text)
    whole.pop("walk_rounds", None)
    whole["work_done"] = sorted(entries, key=lambda one: str(one["date"]))
    if not entries:
        del whole["work_done"]
    text = json.dumps(whole, indent=2, ensure_ascii=False) + "\n"
    change_file(
        actor,
        machine_id=machine.pk,
        seen_version=seen_version,
        text=text,
        why=why,
    )
