"""What phones brought that needs a look: told together where it belongs together, taken in, put with another round, or let go."""

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import Count, Q
from django.http import Http404
from django.utils import timezone

from pitchline.desk.bridge.machine_rows import Machine
from pitchline.desk.bridge.sheet_rows import Sheet
from pitchline.desk.machine.queries import sheets_of
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor
from pitchline.desk.photos import store
from pitchline.desk.photos.models import Attachment
from pitchline.desk.pocket.intake import PHOTO_NAME, Became, Sender, Taking, attempt, forget_old, settle
from pitchline.desk.pocket.models import Brought
from pitchline.desk.pocket.parcel import lines_of
from pitchline.desk.pocket.records import NotTakenError, Record, record_kept
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.desk.uploads import Upload
from pitchline.desk.walkround.actions import save_lines
from pitchline.desk.walkround.asides import line_said
from pitchline.desk.walkround.finishing import set_put_away
from pitchline.desk.walkround.form_lines import Typed
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_day
from pitchline.words import counted, in_english, translated, worded

SHOWN = 200
"""Walk-rounds, machines and photos on the page at once."""
_KINDS = {
    "machine": in_english("a machine nobody had entered"),
    "begin": in_english("a walk-round, from its beginning"),
    "line": in_english("entries of a walk-round"),
    "finish": in_english("a walk-round's finish"),
    "photo": in_english("a photo"),
}


@dataclass(frozen=True, slots=True)
class Waiting:
    """What belongs together of what waits.

    Parameters
    ----------
    rows : tuple of Brought
        In the order they were recorded.
    machine : Machine or None
        The machine they are of; None where there is none in this yard.
    sheet : Sheet or None
        The walk-round they belong to, if it stands here.
    other : Sheet or None
        The finished walk-round of the same day, where that is what keeps this one from being finished.
    """

    rows: tuple[Brought, ...]
    machine: Machine | None = None
    sheet: Sheet | None = None
    other: Sheet | None = None

    @property
    def first(self) -> Brought:
        """The record the others came after."""
        return self.rows[0]

    @property
    def what(self) -> str:
        """What it is, in a few words."""
        said = translated(_KINDS[self.first.kind])
        return said if len(self.rows) == 1 else f"{said} ({self.many})"

    @property
    def many(self) -> str:
        """How many records wait."""
        return counted("{n} entry", "{n} entries", len(self.rows)).format(n=len(self.rows))

    @property
    def name(self) -> str:
        """What the machine is called: as it is here, or as the phone said."""
        told = self.first.record["about"].get("name", "")
        return self.machine.name if self.machine is not None else told

    @property
    def why(self) -> tuple[str, ...]:
        """Why it was not written, each reason once."""
        return tuple(dict.fromkeys(row.answer["said"] for row in self.rows))

    @property
    def told(self) -> str:
        """Who recorded it and when, by the phone's clock, and who sent it, by the desk's."""
        first = self.first
        names = {"who": first.recorded_by, "sender": first.sent_by, "here": _moment(first.at)}
        if first.recorded_at is None:
            return worded("Recorded by {who}; sent by {sender}, here since {here}.", **names)
        return worded(
            "Recorded by {who} on {when} by the phone's clock; sent by {sender}, here since {here}.",
            **names,
            when=_moment(first.recorded_at),
        )

    @property
    def says(self) -> tuple[tuple[str, str], ...]:
        """What each record says: what it is about, and what was typed."""
        return tuple(_says(row) for row in self.rows)

    @property
    def photos(self) -> tuple[Brought, ...]:
        """What of it is a photo."""
        return tuple(row for row in self.rows if row.file)

    @property
    def has_no_machine(self) -> bool:
        """Whether it can be taken in to a machine somebody chooses."""
        return self.machine is None and self.first.kind in ("begin", "photo")


def _moment(moment: dt.datetime) -> str:
    here = timezone.localtime(moment)
    return f"{as_day(here)}, {here:%H:%M}"


def _says(row: Brought) -> tuple[str, str]:
    about = row.record["about"]
    if row.kind == "line":
        return _line_called(about["key"]), ", ".join(text for text in about["fields"].values() if text.strip())
    counts = ", ".join(f"{name.replace('_', ' ')} {each}" for name, each in about.get("counts", {}).items())
    told = (
        about.get(name, "") for name in ("name", "date", "hours", "by", "customer", "site", "place", "caption")
    )
    return translated(_KINDS[row.kind]), ", ".join(filter(None, (*told, counts)))


def _line_called(key: str) -> str:
    try:
        return translated(line_said(key))
    except NotAllowedError:  # a place no machine has
        return key


def waiting_of(business: Business) -> list[Waiting]:
    """What waits for a look, the newest first: as many queries however much it is."""
    rows = list(Brought.objects.filter(business=business, state=Brought.LOOK).order_by("-at")[: 50 * SHOWN])
    together: dict[object, list[Brought]] = {}
    for row in rows:
        together.setdefault(row.sheet_id or row.pk, []).append(row)
    groups = [sorted(group, key=lambda one: (one.nth, one.pk)) for group in list(together.values())[:SHOWN]]
    return _with_their_own(business, groups)


def _with_their_own(business: Business, groups: Sequence[Sequence[Brought]]) -> list[Waiting]:
    """Each with its machine and walk-round."""
    sheets = Sheet.objects.filter(business=business).select_related("machine").defer("machine__file_text")
    own = sheets.in_bulk([group[0].sheet_id for group in groups if group[0].sheet_id is not None])
    told = {row.machine_id for group in groups for row in group if row.machine_id is not None}
    machines = Machine.objects.filter(business=business).defer("file_text").in_bulk(told)
    days = [
        (one.machine_id, one.date) for one in own.values() if one.state == Sheet.DRAFT and one.date is not None
    ]
    others = {
        (one.machine_id, one.date): one
        for one in Sheet.objects.filter(
            business=business,
            state=Sheet.FINISHED,
            machine__in={pk for pk, _ in days},
            date__in={day for _, day in days},
        )
    }
    found = []
    for group in groups:
        sheet = own.get(group[0].sheet_id) if group[0].sheet_id is not None else None
        named = next((machines[row.machine_id] for row in group if row.machine_id in machines), None)
        other = (
            others.get((sheet.machine_id, sheet.date)) if sheet is not None and sheet.date is not None else None
        )
        kept_back = other if any(row.kind == "finish" for row in group) else None
        found.append(Waiting(tuple(group), sheet.machine if sheet is not None else named, sheet, kept_back))
    return found


def many_waiting(business: Business, machine_id: uuid.UUID | None = None) -> int:
    """How many things wait for a look, of one machine or of the whole yard: what belongs to one walk-round is one."""
    rows = Brought.objects.filter(business=business, state=Brought.LOOK)
    rows = rows if machine_id is None else rows.filter(machine_id=machine_id)
    found = rows.aggregate(rounds=Count("sheet_id", distinct=True), single=Count("pk", filter=Q(sheet_id=None)))
    return int(found["rounds"] + found["single"])


def waiting_with(actor: Actor, brought_id: int) -> Waiting:
    """A record that waits, with all that waits with it.

    Raises
    ------
    Http404
        Another business's, or nothing that waits.
    """
    rows = Brought.objects.filter(business=actor.business, state=Brought.LOOK)
    first = rows.filter(pk=brought_id).first()
    if first is None:
        raise Http404("Nothing of this yard that waits for a look.")
    group = rows.filter(sheet_id=first.sheet_id) if first.sheet_id is not None else rows.filter(pk=first.pk)
    return _with_their_own(actor.business, [list(group.order_by("nth", "pk"))])[0]


def take_in(actor: Actor, waiting: Waiting, *, to: uuid.UUID | None, why: str) -> list[Brought]:
    """What still waits; afterwards the rest is written as it was recorded, in that order.

    Parameters
    ----------
    actor : Actor
        Who looked at it.
    waiting : Waiting
        What they looked at.
    to : UUID or None
        The machine it is taken in to, where its own is gone.
    why : str
        Their reason, for the trail.
    """
    left, done, judges = [], 0, False
    for row in waiting.rows:
        with transaction.atomic():
            if not Brought.objects.select_for_update().filter(pk=row.pk, state=Brought.LOOK).exists():
                continue  # somebody else did
            became = _taken_in(actor, row, to)
            settle(row, became)
            row.settled_by, row.settled_at = actor.name, timezone.now()
            row.save(update_fields=("answer", "state", "settled_by", "settled_at"))
        judges = judges or became.judges
        left += [row] if became.is_kept else []
        done += not became.is_kept
    if done:
        of = waiting.machine.pk if waiting.machine is not None else waiting.first.machine_id
        _note(actor, to or of, in_english("taken in, what a phone brought"), waiting, done, why)
    if judges:
        judge_soon()
    return left


def _taken_in(actor: Actor, row: Brought, to: uuid.UUID | None) -> Became:
    record, photo = record_kept(row.record), None
    if to is not None:
        record = to_machine(record, to)
    if row.file and store.path_of(row.file).is_file():
        photo = Upload("", PHOTO_NAME, store.path_of(row.file).read_bytes())
    try:
        return attempt(Taking(Sender(actor, recorder=row.recorded_by), record, photo, anyway=True))
    except NotTakenError as error:
        return Became("look", error.said, is_kept=True)


def to_machine(record: Record, machine_id: uuid.UUID) -> Record:
    """The same record, of another machine."""
    if not hasattr(record.about, "machine"):
        return record
    return record.model_copy(update={"about": record.about.model_copy(update={"machine": machine_id})})


def _note(actor: Actor, machine_id: uuid.UUID | None, what: str, waiting: Waiting, many: int, why: str) -> None:
    told = phrase(
        "entries: {n}, recorded by {who}, {day:day}",
        n=many,
        who=waiting.first.recorded_by,
        day=timezone.localdate(waiting.first.at).isoformat(),
    )
    note(actor, machine_id, [Told(phrase(what), "", told, why)])


def let_go(actor: Actor, waiting: Waiting, *, why: str) -> Undoable:
    """What was done, to be undone for a day: it waits no more, and nothing of it was written."""
    ids = [row.pk for row in waiting.rows]
    machine_id = waiting.machine.pk if waiting.machine is not None else None
    with transaction.atomic():
        _settled(actor, ids)
        _note(actor, machine_id, in_english("let go, what a phone brought"), waiting, len(ids), why)
        said = worded("Let go: {what}, recorded by {who}.", what=waiting.what, who=waiting.first.recorded_by)
        return remember(actor, way="brought", said=said, before={"brought": ids})


def _settled(actor: Actor, ids: Sequence[int]) -> None:
    rows = Brought.objects.filter(business=actor.business, pk__in=ids, state=Brought.LOOK)
    rows.update(state=Brought.SETTLED, settled_by=actor.name, settled_at=timezone.now())
    forget_files()
    forget_old()


def undo_let_go(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words."""
    rows = Brought.objects.filter(business=actor.business, pk__in=before["brought"], state=Brought.SETTLED)
    if not rows.update(state=Brought.LOOK, settled_by="", settled_at=None):
        raise NotAllowedError(
            "undo", translated("it is gone"), "what was let go within a day", "Nothing is left to do."
        )
    return translated("Undone: it waits for a look again.")


def put_together(actor: Actor, waiting: Waiting, *, why: str) -> int:
    """How many lines of a round were put into the finished one of the same day; the rest stays as it stands, to be looked at.

    Where both say something of one line, the finished one's stands and the other is kept beside it, as when two write at once.

    Raises
    ------
    NotAllowedError
        There is no finished one of that day any more, or a line cannot be used there.
    """
    sheet, other = waiting.sheet, waiting.other
    if sheet is None or other is None:
        step = translated("Look at both walk-rounds.")
        raise NotAllowedError("walk-round", translated("no other one of that day"), "two of one day", step)
    whole = next((one for one in sheets_of(other.machine) if one.pk == sheet.pk), sheet)
    who = sheet.by or waiting.first.recorded_by
    because = worded("put together with {who}'s walk-round of the same day", who=who)
    because = f"{because}: {why}" if why.strip() else because
    lines = [
        Typed(key, {name: text for name, text in fields.items() if text}) for key, fields, _ in lines_of(whole)
    ]
    with transaction.atomic():
        save_lines(actor, sheet_id=other.pk, writer=str(uuid.uuid4()), lines=lines, why=because)
        Attachment.objects.filter(business=actor.business, sheet=sheet).update(sheet=other)
        set_put_away(actor, sheet_id=sheet.pk, away=True, why=because)
        _settled(actor, [row.pk for row in waiting.rows])
    judge_soon()
    return len(lines)


def forget_files() -> int:
    """How many photos that were let go or taken in are forgotten: after a day, as long as that can be undone."""
    before = timezone.now() - dt.timedelta(days=1)
    old = list(Brought.objects.exclude(file="").exclude(state=Brought.LOOK).filter(settled_at__lt=before)[:200])
    for row in old:
        name, row.file = row.file, ""
        row.save(update_fields=("file",))
        kept = Attachment.objects.filter(file=name).exists() or Brought.objects.filter(file=name).exists()
        if not kept:
            store.drop(name)
    return len(old)
