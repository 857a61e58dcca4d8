"""Reading a list of machines, showing what it would change, and then changing exactly that."""

import datetime as dt
import tempfile
import uuid
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from typing import Any

from django.db import transaction
from django.db.models import F
from django.http import Http404
from django.utils import timezone

from pitchline.desk.bridge.machines import NO_GEAR, WHICH_ONE
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor
from pitchline.desk.trail import actions as trail
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.desk.uploads import Upload
from pitchline.desk.yard.listing import CHANGED, KNOWN_FIELDS, NEW, Step, lines_from, steps_of
from pitchline.desk.yard.models import MachineList
from pitchline.desk.yard.taking_out import newest_change
from pitchline.exchange.machine_list import read_machine_list
from pitchline.trade.errors import InputError, phrase
from pitchline.trade.writing import as_figure
from pitchline.words import counted, translated

Told = Callable[[int, int], None]
FORGOTTEN_AFTER = dt.timedelta(days=30)
_LABELS = {"place": "site", "hours_text": "hours"}


class ChangedMeanwhileError(Exception):
    """The yard is no longer as it was when the list was shown; nothing was written."""


def list_of(business: Business, list_id: uuid.UUID) -> MachineList:
    """One list; not found where it is another business's."""
    found = MachineList.objects.filter(business=business, pk=list_id).first()
    if found is None:
        raise Http404("No such list in this yard.")
    return found


def begin_list(actor: Actor, sent: Upload) -> MachineList:
    """A list that waits to be read; those of more than a month ago are forgotten."""
    old = timezone.now() - FORGOTTEN_AFTER
    MachineList.objects.filter(business=actor.business, at__lt=old).delete()
    return MachineList.objects.create(
        business=actor.business, name=sent.name, ending=sent.ending, content=sent.content, who=actor.name
    )


def read_list(one: MachineList) -> None:
    """Nothing comes out; afterwards the list is shown, or refused with every problem of the file."""
    waits = MachineList.objects.filter(pk=one.pk, state=MachineList.READING)
    try:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / f"list{one.ending}"
            path.write_bytes(bytes(one.content or b""))
            lines = read_machine_list(path)
    except InputError as error:
        problems = [{**asdict(problem), "file": one.name} for problem in error.problems]
        waits.update(state=MachineList.REFUSED, problems=problems, content=None)
        return
    steps = [asdict(step) for step in steps_of(one.pk, lines, _machines(one.business))]
    waits.update(state=MachineList.SHOWN, lines=[asdict(line) for line in lines], steps=steps, content=None)


def order_list(actor: Actor, one: MachineList) -> None:
    """Nothing comes out; a list that is shown now waits to be applied. Asked twice it is one."""
    MachineList.objects.filter(business=actor.business, pk=one.pk, state=MachineList.SHOWN).update(
        state=MachineList.APPLYING, who_applied=actor.name, failed=False
    )


def _machines(business: Business) -> list[Machine]:
    return list(Machine.objects.filter(business=business).only(*KNOWN_FIELDS).order_by())


def apply_list(actor: Actor, *, list_id: uuid.UUID, told: Told = lambda done, of: None) -> Undoable | None:
    """What was done, to be undone for a day; None where it was applied before or changes nothing.

    Raises
    ------
    ChangedMeanwhileError
        The same list would now do something else. What it would do now is shown instead; nothing is written.
    """
    with transaction.atomic():
        one = MachineList.objects.select_for_update().filter(business=actor.business, pk=list_id).first()
        if one is None or one.state != MachineList.APPLYING:
            return None
        steps = [Step(**step) for step in one.steps]
        now = steps_of(list_id, lines_from(one.lines), _machines(actor.business))
        if now == steps:
            done = _write(actor, one, steps, told)
            one.state, one.changed_meanwhile = MachineList.APPLIED, False
            one.undo_id = done.pk if done is not None else None
            one.save(update_fields=["state", "changed_meanwhile", "undo_id"])
            return done
        one.state, one.steps, one.changed_meanwhile = MachineList.SHOWN, [asdict(step) for step in now], True
        one.save(update_fields=["state", "steps", "changed_meanwhile"])
    raise ChangedMeanwhileError


def _write(actor: Actor, one: MachineList, steps: list[Step], told: Told) -> Undoable | None:
    new = [step for step in steps if step.what == NEW]
    changed = [step for step in steps if step.what == CHANGED]
    whole = len(new) + len(changed)
    if not whole:
        return None
    Machine.objects.bulk_create([_row(actor, step) for step in new], batch_size=400)
    told(len(new), whole)
    for number, step in enumerate(changed, start=1):
        _change(actor, step)
        if number % 50 == 0:
            told(len(new) + number, whole)
    why = phrase("from the list {one}", one=one.name)
    moved = [(step, trail.Told(phrase("machine added"), after=step.name, why=why)) for step in new]
    moved += [
        (step, trail.Told(phrase(_LABELS.get(name, name).replace("_", " ")), pair[0], pair[1], why))
        for step in changed
        for name, pair in step.fields.items()
        if name != "hours_h"
    ]
    lines = [trail.change_of(actor, uuid.UUID(step.machine_id), line) for step, line in moved]
    Change.objects.bulk_create(lines, batch_size=400)
    said = ", ".join(
        [counted("{n} machine added", "{n} machines added", len(new)).format(n=as_figure(len(new), ","))]
        * bool(new)
        + [translated("{n} changed").format(n=as_figure(len(changed), ","))] * bool(changed)
    )
    before = {
        "change": newest_change(actor),
        "added": [step.machine_id for step in new],
        "changed": {step.machine_id: step.fields for step in changed},
    }
    return remember(
        actor, way="import", said=translated("List {one}: {said}.").format(one=one.name, said=said), before=before
    )


def _row(actor: Actor, step: Step) -> Machine:
    columns: dict[str, Any] = {name: pair[1] for name, pair in step.fields.items()}
    return Machine(
        pk=uuid.UUID(step.machine_id),
        business=actor.business,
        short_name=step.short_name,
        name=step.name,
        not_judged_because=NO_GEAR,
        **columns,
    )


def _change(actor: Actor, step: Step) -> None:
    """Write one row's changes, held to the version that was shown."""
    columns: dict[str, Any] = {name: pair[1] for name, pair in step.fields.items()}
    if {"name", "kind", *WHICH_ONE} & columns.keys():
        columns |= {"to_judge": True, "marked": F("marked") + 1}
    found = Machine.objects.filter(business=actor.business, pk=step.machine_id, version=step.version)
    if found.update(version=F("version") + 1, **columns) != 1:
        raise ChangedMeanwhileError
