"""Every write to the gear list. An entry is never overwritten: each change is a new version, and fittings can be undone."""

import uuid
from collections.abc import Mapping
from dataclasses import dataclass

from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils import timezone

from pitchline.desk.gearbook.models import BookEntry, BookVersion, Fitting
from pitchline.desk.gearbook.parts import (
    dossier_of_part,
    fitted_text,
    gear_text,
    loaded_object,
    without_walk_rounds,
)
from pitchline.desk.gearbook.queries import entry_of
from pitchline.desk.machine.actions import OldVersionError, change_file, mark_for_judging
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, note
from pitchline.trade.errors import InputError, NotAllowedError, phrase
from pitchline.words import translated
from pitchline.words.catalogue import refused, seen_said


class OldEntryError(Exception):
    """Somebody else changed the entry meanwhile; what they wrote stands."""

    def __init__(self, now: BookEntry) -> None:
        self.now = now
        super().__init__("changed meanwhile")


@dataclass(frozen=True, slots=True)
class Written:
    """What an entry is to say."""

    name: str
    note: str
    text: str


@dataclass(frozen=True, slots=True)
class Done:
    """What a fitting did.

    Parameters
    ----------
    fitted, unchanged : list of str
        Names of machines.
    refused : list of (str, str)
        Names of machines that were left as they are, and why.
    """

    fitted: list[str]
    unchanged: list[str]
    refused: list[tuple[str, str]]


def add_entry(actor: Actor, *, entry_id: uuid.UUID, written: Written, why: str = "") -> BookEntry:
    """The entry, new; or as it is where the same form was sent before.

    Raises
    ------
    InputError
        What it says cannot be used.
    NotAllowedError
        The name is taken.
    """
    known = BookEntry.objects.filter(business=actor.business, pk=entry_id).first()
    if known is not None:
        return known
    dossier_of_part(written.text)
    try:
        with transaction.atomic():
            entry = BookEntry.objects.create(
                pk=entry_id,
                business=actor.business,
                name=written.name,
                note=written.note,
                text=written.text,
            )
            _keep_version(actor, entry, why)
            note(
                actor,
                None,
                [
                    Told(
                        phrase("running gear in the gear list, {entry}", entry=entry.name),
                        "",
                        phrase("version {seen_version}", seen_version=1),
                        why,
                    )
                ],
            )
    except IntegrityError:
        raise NotAllowedError("name", written.name, "one no other running gear has", "Choose another.") from None
    return entry


def change_entry(actor: Actor, *, entry_id: uuid.UUID, seen_version: int, written: Written, why: str) -> bool:
    """Whether anything was changed; then it is a new version. No machine changes by it.

    Raises
    ------
    InputError
        What it says cannot be used.
    NotAllowedError
        The name is taken.
    OldEntryError
        The entry is no longer as it was when the form was opened.
    """
    entry = entry_of(actor.business, entry_id)
    if (entry.name, entry.note, entry.text) == (written.name, written.note, written.text):
        return False
    dossier_of_part(written.text)
    try:
        with transaction.atomic():
            changed = BookEntry.objects.filter(pk=entry.pk, version=seen_version).update(
                name=written.name, note=written.note, text=written.text, version=F("version") + 1
            )
            if changed != 1:
                raise OldEntryError(BookEntry.objects.get(pk=entry.pk))
            entry.refresh_from_db()
            _keep_version(actor, entry, why)
            told = Told(
                phrase("running gear in the gear list, {entry}", entry=entry.name),
                phrase("version {seen_version}", seen_version=seen_version),
                "",
                why,
            )
            note(actor, None, [told])
    except IntegrityError:
        raise NotAllowedError("name", written.name, "one no other running gear has", "Choose another.") from None
    return True


def _keep_version(actor: Actor, entry: BookEntry, why: str) -> None:
    BookVersion.objects.create(
        entry=entry,
        version=entry.version,
        name=entry.name,
        note=entry.note,
        text=entry.text,
        who=actor.name,
        why=seen_said(why),
    )


def set_put_away(actor: Actor, *, entry_id: uuid.UUID, away: bool) -> None:
    """Nothing comes out; afterwards the entry is out of the gear list, or back. Machines keep what they have."""
    entry = entry_of(actor.business, entry_id)
    if (entry.put_away_at is not None) is away:
        return
    with transaction.atomic():
        BookEntry.objects.filter(pk=entry.pk).update(put_away_at=timezone.now() if away else None)
        what = (
            phrase("running gear put away in the gear list")
            if away
            else phrase("running gear brought back in the gear list")
        )
        note(actor, None, [Told(what, "", entry.name)])


def fit_machines(
    actor: Actor, *, entry_id: uuid.UUID, version: int, batch: uuid.UUID, seen: Mapping[uuid.UUID, int]
) -> Done:
    """What became of each machine; each is fitted whole or left as it is.

    Raises
    ------
    OldEntryError
        The entry is no longer the version that was shown.
    """
    entry = entry_of(actor.business, entry_id)
    if entry.version != version:
        raise OldEntryError(entry)
    done = Done([], [], [])
    if Fitting.objects.filter(batch=batch).exists():
        return done
    for machine in Machine.objects.filter(business=actor.business, pk__in=list(seen)).order_by("name", "pk"):
        try:
            with transaction.atomic():
                changed = _fit_one(actor, entry, machine, seen[machine.pk], batch)
            (done.fitted if changed else done.unchanged).append(machine.name)
        except (InputError, NotAllowedError) as error:
            problems = error.problems if isinstance(error, InputError) else (error.problem,)
            done.refused.append((machine.name, " ".join(refused(problem) for problem in problems)))
        except OldVersionError:
            done.refused.append((machine.name, translated("somebody else changed it meanwhile; look at it again")))
    return done


def _fit_one(actor: Actor, entry: BookEntry, machine: Machine, seen_version: int, batch: uuid.UUID) -> bool:
    why = phrase("from the gear list: {entry}, version {version}", entry=entry.name, version=entry.version)
    before, text = without_walk_rounds(machine.file_text), fitted_text(machine, entry.text)
    same = loaded_object(before) == loaded_object(text)
    changed = not same and change_file(actor, machine_id=machine.pk, seen_version=seen_version, text=text, why=why)
    now = machine_of(actor.business, machine.pk)
    Fitting.objects.create(
        machine=machine,
        entry=entry,
        version=entry.version,
        batch=batch,
        before=before,
        machine_version=now.version,
        who=actor.name,
    )
    if not changed:
        mark_for_judging(machine.pk)  # the entry may have prices of its own
    return changed


def undo_fitting(actor: Actor, *, batch: uuid.UUID) -> Done:
    """Which machines have again what they had before; one that was changed since is left as it is."""
    done = Done([], [], [])
    fittings = Fitting.objects.filter(batch=batch, undone_at=None, machine__business=actor.business)
    for fitting in fittings.select_related("machine", "entry"):
        machine = fitting.machine
        if machine.version != fitting.machine_version:
            done.refused.append((machine.name, translated("it was changed since; change it on its own page")))
            continue
        try:
            with transaction.atomic():
                _undo_one(actor, fitting, machine)
            done.fitted.append(machine.name)
        except (InputError, NotAllowedError) as error:
            problems = error.problems if isinstance(error, InputError) else (error.problem,)
            done.refused.append((machine.name, " ".join(refused(problem) for problem in problems)))
        except OldVersionError:
            done.refused.append((machine.name, translated("somebody else changed it meanwhile")))
    return done


def _undo_one(actor: Actor, fitting: Fitting, machine: Machine) -> None:
    why = phrase("undone: {entry}, version {version}", entry=fitting.entry.name, version=fitting.version)
    if fitting.before:
        seen = fitting.machine_version
        change_file(actor, machine_id=machine.pk, seen_version=seen, text=fitting.before, why=why)
    else:
        cleared = Machine.objects.filter(pk=machine.pk, version=fitting.machine_version)
        if machine.sheets.exists():
            raise NotAllowedError("machine", translated("walk-rounds on it"), "none", "Change it on its own page.")
        if cleared.update(file_text="", version=F("version") + 1) != 1:
            raise OldVersionError(machine)
        mark_for_judging(machine.pk)
        note(actor, machine.pk, [Told(phrase("machine file"), machine.file_text, "", why)])
    _link_before(fitting, machine_of(actor.business, machine.pk).version)
    fitting.undone_at = timezone.now()
    fitting.save(update_fields=["undone_at"])


def _link_before(fitting: Fitting, version: int) -> None:
    """The fitting before this one can be undone in its turn, where nothing else happened between the two."""
    before = Fitting.objects.filter(machine=fitting.machine, undone_at=None, pk__lt=fitting.pk).first()
    if before is not None and fitting.machine_version - before.machine_version <= 1:
        Fitting.objects.filter(pk=before.pk).update(machine_version=version)


def take_from_machine(actor: Actor, *, machine_id: uuid.UUID, entry_id: uuid.UUID, name: str) -> BookEntry:
    """A machine's running gear and limits as a new entry; the machine is linked to it and stays as it is.

    Raises
    ------
    NotAllowedError
        Nothing is entered on the machine, or the name is taken.
    """
    machine = machine_of(actor.business, machine_id)
    if not machine.file_text:
        raise NotAllowedError(
            "machine", translated("no running gear"), "one with its running gear", "Enter it first."
        )
    text = gear_text(loaded_object(machine.file_text))
    said = translated("Invented example.") if machine.invented else ""
    why = phrase("taken from {machine}", machine=machine.name)
    entry = add_entry(actor, entry_id=entry_id, written=Written(name, said, text), why=why)
    if not Fitting.objects.filter(machine=machine, entry=entry).exists():
        Fitting.objects.create(
            machine=machine,
            entry=entry,
            version=entry.version,
            batch=uuid.uuid4(),
            before=without_walk_rounds(machine.file_text),
            machine_version=machine.version,
            who=actor.name,
        )
        mark_for_judging(machine.pk)
    return entry
