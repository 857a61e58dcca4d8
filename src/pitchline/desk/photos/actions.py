"""Every write to photos and documents; what is removed can come back for a day, and is then gone for good."""

import datetime as dt
import uuid
from dataclasses import asdict, dataclass
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import F, Q
from django.http import Http404
from django.utils import timezone

from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.who import Actor
from pitchline.desk.photos import store
from pitchline.desk.photos.documents import KINDS, document_kind
from pitchline.desk.photos.models import Attachment, PartName
from pitchline.desk.photos.pictures import MEDIA_TYPE, redrawn
from pitchline.desk.photos.queries import attachment_of
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.undo.actions import LASTS, remember
from pitchline.desk.undo.models import Undoable
from pitchline.desk.uploads import Upload
from pitchline.desk.walkround.models import Sheet
from pitchline.exchange.figures import text_of
from pitchline.trade.errors import NotAllowedError, Phrase, phrase
from pitchline.trade.findings import CONSEQUENCES, FindingKind
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.writing import as_figure
from pitchline.words import in_english, translated, worded
from pitchline.words.catalogue import seen_said

MOST_ON_A_MACHINE, MOST_NAMES = 1_000, 20


@dataclass(frozen=True, slots=True)
class About:
    """What a photo or document is of.

    Parameters
    ----------
    caption : str
        As typed.
    part : str
        Place key, such as "bush/left"; empty for the machine as a whole.
    sheet_id : UUID or None
        The walk-round it was taken on.
    finding : str
        Line key of what was seen, such as "bush/left:cracked".
    keep_place : bool
        Whether a photo may go on telling where it was taken.
    """

    caption: str = ""
    part: str = ""
    sheet_id: uuid.UUID | None = None
    finding: str = ""
    keep_place: bool = False


def keep(
    actor: Actor, *, machine_id: uuid.UUID, attachment_id: uuid.UUID, sent: Upload, about: About
) -> Attachment:
    """The photo or document, kept; or as it is where the same id was sent before.

    Raises
    ------
    Http404
        Another business's machine, sheet or id.
    InputError
        The file is not what it should be.
    NotAllowedError
        No such part or finding, a caption that cannot be shown, or too many on one machine.
    """
    known = Attachment.objects.filter(pk=attachment_id).first()
    if known is not None:
        return _own(known, actor, machine_id)
    machine = machine_of(actor.business, machine_id)
    row = _row(actor, machine, about)
    row.pk, row.name = attachment_id, sent.name
    _fill(row, sent, about.keep_place)
    try:
        with transaction.atomic():
            row.save(force_insert=True)
            note(actor, machine.pk, [Told(_told(row, "added"), "", _said(row))])
    except IntegrityError:
        return _own(Attachment.objects.get(pk=attachment_id), actor, machine_id)
    forget_removed()
    return row


def _own(known: Attachment, actor: Actor, machine_id: uuid.UUID) -> Attachment:
    if known.business_id != actor.business.pk or known.machine_id != machine_id:
        raise Http404("No such photo in this yard.")
    return known


def _said(row: Attachment) -> str:
    """What it is called, and of which part it is."""
    called = row.caption or row.name
    return phrase("{called}, {place:place}", called=called, place=row.part) if row.part else called


def _row(actor: Actor, machine: Machine, about: About) -> Attachment:
    """An unsaved row, everything about it but its file checked."""
    if Attachment.objects.filter(machine=machine).count() >= MOST_ON_A_MACHINE:
        allowed = translated("up to {most} on one machine").format(most=as_figure(MOST_ON_A_MACHINE, ","))
        raise NotAllowedError("photos", translated("too many"), allowed, "Remove old ones first.")
    part = about.part or about.finding.partition(":")[0]
    if part:
        Place.from_key(part)
    sheet = None
    if about.sheet_id is not None:
        sheet = Sheet.objects.filter(business=actor.business, machine=machine, pk=about.sheet_id).first()
        if sheet is None:
            raise Http404("No such walk-round of this machine.")
    return Attachment(
        business=actor.business,
        machine=machine,
        sheet=sheet,
        part=part,
        finding=_finding(about.finding),
        caption=caption_of(about.caption),
        who=actor.name,
    )


def _finding(key: str) -> str:
    place, _, kind = key.partition(":")
    found = next((each for each in FindingKind if each.value == kind), None)
    if key and (found is None or Place.from_key(place).part not in CONSEQUENCES[found].parts):
        raise NotAllowedError("finding", key[:60], "something that is seen on that part", "Open the page again.")
    return key


def caption_of(text: str) -> str:
    """A caption that can be shown.

    Raises
    ------
    NotAllowedError
        Control characters.
    """
    return " ".join(text_of(text, "caption").split())


def _fill(row: Attachment, sent: Upload, keep_place: bool) -> None:
    if sent.ending in KINDS:
        row.what, row.kind = Attachment.DOCUMENT, document_kind(sent)
        row.file, row.size_bytes = store.put(row.business, sent.content), len(sent.content)
        return
    photo = redrawn(sent.content, sent.name, keep_place)
    row.what, row.kind = Attachment.PHOTO, MEDIA_TYPE
    row.file, row.file_small = store.put(row.business, photo.page), store.put(row.business, photo.small)
    row.size_bytes, row.width, row.height = len(photo.page), photo.width, photo.height
    row.has_place = photo.has_place


def change_caption(actor: Actor, *, attachment_id: uuid.UUID, seen_version: int, caption: str) -> bool:
    """Whether the caption was changed.

    Raises
    ------
    NotAllowedError
        It cannot be shown, or somebody else changed it meanwhile.
    """
    row, shown = attachment_of(actor.business, attachment_id), caption_of(caption)
    if row.caption == shown:
        return False
    with transaction.atomic():
        written = Attachment.objects.filter(pk=row.pk, version=seen_version).update(
            caption=shown, version=F("version") + 1
        )
        if written != 1:
            step = translated("It now says “{caption}”. Compare, and save again if yours is right.").format(
                caption=row.caption
            )
            raise NotAllowedError(
                "caption", translated("changed by somebody else meanwhile"), "the newest one", step
            )
        note(
            actor,
            row.machine_id,
            [Told(_told(row, "caption"), row.caption, shown)],
        )
    return True


_TOLD = {
    Attachment.PHOTO: {
        "added": in_english("photo added"),
        "caption": in_english("caption of a photo"),
        "removed": in_english("photo removed"),
        "back": in_english("photo brought back"),
        "gone": in_english("Photo removed: {said}. Its file goes for good after a day."),
    },
    Attachment.DOCUMENT: {
        "added": in_english("document added"),
        "caption": in_english("caption of a document"),
        "removed": in_english("document removed"),
        "back": in_english("document brought back"),
        "gone": in_english("Document removed: {said}. Its file goes for good after a day."),
    },
}


def _told(row: Attachment, done: str) -> Phrase:
    return phrase(_TOLD[row.what][done])


def remove(actor: Actor, *, attachment_id: uuid.UUID) -> Undoable | None:
    """What was done, to be undone for a day; None where it was removed already."""
    row = attachment_of(actor.business, attachment_id, removed_too=True)
    with transaction.atomic():
        if Attachment.objects.filter(pk=row.pk, removed_at=None).update(removed_at=timezone.now()) != 1:
            return None
        note(actor, row.machine_id, [Told(_told(row, "removed"), _said(row))])
        said = worded(_TOLD[row.what]["gone"], said=seen_said(_said(row)))
        done = remember(actor, way="photo", said=said, before={"kept": str(row.pk)})
    forget_removed()
    return done


def undo_removal(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words."""
    row = Attachment.objects.filter(business=actor.business, pk=before["kept"]).first()
    if row is None:
        raise NotAllowedError(
            "photo", translated("its file is gone"), "one removed within a day", "Send it again."
        )
    Attachment.objects.filter(pk=row.pk).update(removed_at=None)
    note(
        actor,
        row.machine_id,
        [Told(_told(row, "back"), "", _said(row), phrase("undone"))],
    )
    return worded("Undone: {said} is back.", said=seen_said(_said(row)))


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a part's name stands on a photo, in whole percent of its width and height, from the left and from above."""

    tip_x: int
    tip_y: int
    at_x: int
    at_y: int


def name_part(
    actor: Actor, *, photo_id: uuid.UUID, name_id: uuid.UUID, part: PartKind, spot: Spot
) -> tuple[PartName, Undoable | None]:
    """The name on the photo, and what can be undone; of an id that was sent before, the name as it is.

    Raises
    ------
    Http404
        Another business's photo or id.
    NotAllowedError
        A document, or too many names on one photo.
    """
    row = attachment_of(actor.business, photo_id)
    if not row.is_photo:
        step = translated("Open a photo.")
        raise NotAllowedError("photo", translated("a document"), translated("a photo"), step)
    if row.names.filter(removed_at=None).exclude(pk=name_id).count() >= MOST_NAMES:
        allowed = translated("up to {most} on one photo").format(most=MOST_NAMES)
        raise NotAllowedError("names", translated("too many"), allowed, translated("Take one off first."))
    with transaction.atomic():
        name, is_new = PartName.objects.get_or_create(
            pk=name_id,
            defaults={"photo": row, "part": part.value, "who": actor.name} | asdict(spot),
        )
        if name.photo_id != row.pk:
            raise Http404("No such photo in this yard.")
        if not is_new:
            return name, None
        note(actor, row.machine_id, [Told(phrase("part named on a photo"), "", _named(name))])
        said = worded("Named on the photo: {part:part}.", part=part)
        return name, remember(actor, way="photo name", said=said, before={"name": str(name.pk), "gone": False})


def take_name_off(actor: Actor, *, name_id: uuid.UUID) -> tuple[PartName, Undoable | None]:
    """The name, and what can be undone; nothing where it was off already.

    Raises
    ------
    Http404
        Another business's, or none.
    """
    name = PartName.objects.select_related("photo").filter(pk=name_id, photo__business=actor.business).first()
    if name is None:
        raise Http404("No such name in this yard.")
    with transaction.atomic():
        if not _off(name, timezone.now()):
            return name, None
        note(actor, name.photo.machine_id, [Told(phrase("part named on a photo"), _named(name))])
        said = worded("No longer named on the photo: {part:part}.", part=PartKind(name.part))
        return name, remember(actor, way="photo name", said=said, before={"name": str(name.pk), "gone": True})


def _off(name: PartName, at: dt.datetime | None) -> bool:
    """Whether it was taken off, or put back where `at` is None."""
    rows = PartName.objects.filter(pk=name.pk, removed_at__isnull=at is not None)
    return rows.update(removed_at=at) == 1


def _named(name: PartName) -> Phrase:
    photo = name.photo.caption or name.photo.name
    return phrase("{part:part}, on {called}", part=name.part, called=photo)


def undo_name(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words."""
    name = (
        PartName.objects.select_related("photo").filter(pk=before["name"], photo__business=actor.business).first()
    )
    if name is None:
        raise NotAllowedError(
            "photo", translated("its file is gone"), "one removed within a day", "Send it again."
        )
    was_gone, part = bool(before["gone"]), PartKind(name.part)
    if _off(name, None if was_gone else timezone.now()):
        before_it, after_it = ("", _named(name)) if was_gone else (_named(name), "")
        told = Told(phrase("part named on a photo"), before_it, after_it, phrase("undone"))
        note(actor, name.photo.machine_id, [told])
    if was_gone:
        return worded("Undone: {part:part} is named on the photo again.", part=part)
    return worded("Undone: {part:part} is no longer named on the photo.", part=part)


def forget_removed() -> int:
    """How many were forgotten, of any business: removed more than a day ago, with their files, unless a file is still kept."""
    old = list(Attachment.objects.filter(removed_at__lt=timezone.now() - LASTS)[:200])
    for row in old:
        row.delete()
        for name in filter(None, (row.file, row.file_small)):
            if not Attachment.objects.filter(Q(file=name) | Q(file_small=name)).exists():
                store.drop(name)
    return len(old)
