"""Every write to a machine: keyword arguments, the actor first, each change in the trail."""

import json
import uuid
from dataclasses import dataclass, fields, replace
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import F

from pitchline.desk.bridge.machines import WHICH_ONE, entered_dossier, machine_row, text_without_walk_rounds
from pitchline.desk.bridge.sheet_rows import Sheet
from pitchline.desk.bridge.sheets import walk_round_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of, rows_on, sheets_of
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.exchange.machine_file import machine_from_json
from pitchline.trade.asking import AskingPrice
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.words import translated, worded


class OldVersionError(Exception):
    """Somebody else changed the machine meanwhile; what they wrote stands, what was typed is still in the form."""

    def __init__(self, now: Machine) -> None:
        self.now = now
        super().__init__("changed meanwhile")


CALLED = {"place": "site", "owner_number": "owner's number"}
"""What a column is called where people read it, if otherwise: a place is where a part sits."""


@dataclass(frozen=True, slots=True)
class About:
    """What can be changed about a machine without its file."""

    name: str
    kind: str
    customer: str = ""
    place: str = ""
    asking_price: AskingPrice | None = None
    serial_number: str = ""
    year_built: int | None = None
    owner_number: str = ""
    short_name: str = ""
    """Empty where it stays as it is."""

    @property
    def columns(self) -> dict[str, object]:
        """What the machine's row holds of it."""
        asked = self.asking_price
        named = {"short_name": self.short_name} if self.short_name else {}
        apart = ("asking_price", "short_name")
        return (
            {each.name: getattr(self, each.name) for each in fields(self) if each.name not in apart}
            | named
            | {
                "asking_amount": asked.amount if asked else None,
                "asking_currency": asked.currency if asked else "",
            }
        )


def add_machine(
    actor: Actor, *, machine_id: uuid.UUID, short_name: str, about: About, hours_text: str, hours_h: float
) -> Machine:
    """The machine, new; or as it is where the same form was sent before.

    Raises
    ------
    NotAllowedError
        The short name is taken.
    """
    known = Machine.objects.filter(business=actor.business, pk=machine_id).first()
    if known is not None:
        return known
    try:
        with transaction.atomic():
            machine = Machine.objects.create(
                pk=machine_id,
                business=actor.business,
                short_name=short_name,
                **about.columns,
                hours_text=hours_text,
                hours_h=hours_h,
                to_judge=True,
            )
            note(actor, machine.pk, [Told(phrase("machine added"), "", machine.name)])
    except IntegrityError:
        known = Machine.objects.filter(business=actor.business, pk=machine_id).first()
        if known is not None:  # sent twice, and the other was faster by a hair
            return known
        raise NotAllowedError("short name", short_name, "one no other machine has", "Choose another.") from None
    return machine


def _update(machine: Machine, seen_version: int, **changes: object) -> None:
    """Write these columns, or say that somebody else was faster."""
    written = Machine.objects.filter(pk=machine.pk, version=seen_version).update(
        version=F("version") + 1, **changes
    )
    if written != 1:
        raise OldVersionError(Machine.objects.get(pk=machine.pk))


def keep_about(actor: Actor, *, machine_id: uuid.UUID, seen_version: int, about: About) -> Undoable | None:
    """What was done, to be undone for a day; None where nothing changed.

    Raises
    ------
    NotAllowedError
        Another machine has that short name.
    OldVersionError
        The machine is no longer as it was when the form was opened.
    """
    was = machine_of(actor.business, machine_id)
    with transaction.atomic():
        if not change_about(actor, machine_id=machine_id, seen_version=seen_version, about=about):
            return None
        columns = {name: getattr(was, name) for name in (*about.columns, "file_text")}
        said = worded("{machine}: what is said about it.", machine=was.name)
        before = {"machine": str(was.pk), "version": seen_version + 1, "columns": columns}
        return remember(actor, way="about", said=said, before=before)


def change_about(actor: Actor, *, machine_id: uuid.UUID, seen_version: int, about: About) -> bool:
    """Whether anything was changed.

    Raises
    ------
    NotAllowedError
        Another machine has that short name.
    OldVersionError
        The machine is no longer as it was when the form was opened.
    """
    machine = machine_of(actor.business, machine_id)
    about = replace(about, short_name=about.short_name or machine.short_name)
    changed = [each.name for each in fields(about) if getattr(machine, each.name) != getattr(about, each.name)]
    if not changed:
        return False
    columns = about.columns
    if "short_name" in changed and machine.file_text:
        columns["file_text"] = _named(machine.file_text, about.short_name)
    told = [
        Told(
            phrase(CALLED.get(name, name).replace("_", " ")),
            *(_said(getattr(one, name)) for one in (machine, about)),
        )
        for name in changed
    ]
    with transaction.atomic():
        try:
            with transaction.atomic():
                _update(machine, seen_version, **columns)
        except IntegrityError:
            raise NotAllowedError(
                "short name", about.short_name, "one no other machine has", "Choose another."
            ) from None
        if {"name", "kind", "short_name", "asking_price", *WHICH_ONE}.intersection(changed):
            mark_for_judging(machine.pk)
        note(actor, machine.pk, told)
    return True


def _named(file_text: str, short_name: str) -> str:
    """The file under another short name; whoever changes it later is held to that."""
    whole = json.loads(file_text)
    whole["machine"] = {"short_name": short_name} | {
        key: each for key, each in whole["machine"].items() if key not in ("id", "short_name")
    }
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def undo_about(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words.

    Raises
    ------
    NotAllowedError
        The machine was changed since.
    """
    machine = unchanged_since(actor, before)
    with transaction.atomic():
        _update(machine, machine.version, **before["columns"])
        mark_for_judging(machine.pk)
        note(actor, machine.pk, [Told(phrase("taken back"), "", phrase("what was said about it"))])
    return worded("Undone: what is said about {machine} is as it was.", machine=machine.name)


def unchanged_since(actor: Actor, before: dict[str, Any]) -> Machine:
    """The machine, as whatever is to be undone left it.

    Raises
    ------
    NotAllowedError
        It was changed since.
    """
    machine = machine_of(actor.business, uuid.UUID(before["machine"]))
    if machine.version != before["version"]:
        seen = translated("{machine} was changed since").format(machine=machine.name)
        step = translated("It can be changed by hand on its own page.")
        raise NotAllowedError("undo", seen, "a machine as it was left", step)
    return machine


_IN_ROW = ("name", "kind", "asking_amount", "asking_currency", *WHICH_ONE)
"""What a machine file says too, and the machine's row decides."""


def _said(value: object) -> str:
    return value.said if isinstance(value, AskingPrice) else str(value or "")


def change_file(
    actor: Actor, *, machine_id: uuid.UUID, seen_version: int, text: str, why: str, whole: bool = False
) -> bool:
    """Whether anything was changed; every finished walk-round must still go with the new text.

    Name, kind, asking price and what tells it from others of its name stand in the machine's row. They are taken from the text
    only where the whole of it was looked at: whoever changes a part of a file works on the text as it came in, where they may
    be of before.

    Raises
    ------
    InputError
        The text cannot be used.
    NotAllowedError
        It is another machine's, or brings walk-rounds of its own.
    OldVersionError
        The machine is no longer as it was when the form was opened.
    """
    machine = machine_of(actor.business, machine_id)
    same = text.strip() == machine.file_text.strip()
    if same and not whole:
        return False
    dossier = machine_from_json(text, "machine file")
    if dossier.walk_rounds:
        step = translated("Take walk_rounds out; the desk keeps them as sheets.")
        raise NotAllowedError(
            "walk_rounds", translated("{n} in the file").format(n=len(dossier.walk_rounds)), "none here", step
        )
    if dossier.machine.machine_id != machine.short_name:
        step = translated("Give it this machine's id, or bring it in as a machine of its own.")
        raise NotAllowedError("machine id", dossier.machine.machine_id, machine.short_name, step)
    row = machine_row(dossier, text)
    head = {name: getattr(row, name) for name in _IN_ROW} if whole else {}
    if same and all(getattr(machine, name) == value for name, value in head.items()):
        return False
    machine_now = replace(dossier, walk_rounds=())
    for sheet in sheets_of(machine):
        if sheet.state == Sheet.FINISHED:
            walk_round_of(sheet, rows_on(sheet), machine_now)
    before = machine.file_text and text_without_walk_rounds(entered_dossier(machine) or machine_now)
    with transaction.atomic():
        _update(machine, seen_version, file_text=text, invented=row.invented, **head)
        mark_for_judging(machine.pk)
        note(actor, machine.pk, [Told(phrase("machine file"), before, text, why)])
    return True


def keep_file(
    actor: Actor, *, machine_id: uuid.UUID, seen_version: int, text: str, why: str, what: str
) -> Undoable | None:
    """What was done, to be undone for a day; None where nothing changed. `what` says which part of the file it is.

    Raises
    ------
    InputError, NotAllowedError, OldVersionError
        As `change_file`.
    """
    machine = machine_of(actor.business, machine_id)
    before = without_walk_rounds(machine.file_text)
    with transaction.atomic():
        if before == text or not change_file(
            actor, machine_id=machine_id, seen_version=seen_version, text=text, why=why
        ):
            return None
        said = worded("{machine}: {what}.", machine=machine.name, what=what)
        kept = {"machine": str(machine.pk), "version": seen_version + 1, "file_text": before, "what": what}
        return remember(actor, way="machine file", said=said, before=kept)


def without_walk_rounds(file_text: str) -> str:
    """A machine file as it stands, less the walk-rounds it was brought in with: the desk keeps those as sheets."""
    whole = json.loads(file_text)
    whole.pop("walk_rounds", None)
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def undo_file(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words.

    Raises
    ------
    NotAllowedError
        The machine was changed since.
    """
    machine, text = unchanged_since(actor, before), before["file_text"]
    change_file(actor, machine_id=machine.pk, seen_version=machine.version, text=text, why=phrase("undone"))
    return worded("Undone: {what} of {machine} as it was.", what=before["what"], machine=machine.name)


def mark_for_judging(machine_id: uuid.UUID) -> None:
    """Nothing comes out; inside the transaction of a change that moves the figures."""
    Machine.objects.filter(pk=machine_id).update(to_judge=True, marked=F("marked") + 1)
