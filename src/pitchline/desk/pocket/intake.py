"""Taking in what a phone brings: each record once, in one transaction with what it does; nothing a phone sent is ever lost.

A record's id is its key. Whoever comes second with the same one, a moment or a month later, gets the answer of the first.
What cannot be written as it is, is kept whole until somebody looks at it; what needs something that has not come yet stays
on the phone.
"""

import datetime as dt
import uuid
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from django.db import IntegrityError, transaction
from django.http import Http404
from django.utils import timezone

from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.who import Actor
from pitchline.desk.phones.models import Phone
from pitchline.desk.photos import store
from pitchline.desk.photos.pictures import redrawn
from pitchline.desk.pocket.models import Brought
from pitchline.desk.pocket.records import NotTakenError, PhotoRecord, Record, digest_of, plain
from pitchline.desk.problems import problems_of
from pitchline.desk.uploads import Upload
from pitchline.desk.walkround.models import Sheet
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.words import in_english, translated
from pitchline.words.catalogue import refused

PHOTO_NAME = "photo.jpg"
"""What a phone's photo is called, whatever the phone called it."""
GONE = in_english("What it belongs to is not in this yard. Take it in to another machine, or let it go.")
KEPT = dt.timedelta(days=400)
"""How long it is known what was done already: longer than a phone may go on without the desk (its cookie: 180 days)."""


@dataclass(frozen=True, slots=True)
class Sender:
    """Who brings something.

    Parameters
    ----------
    actor : Actor
        In whose name it is written.
    phone : Phone or None
        The phone that was let in; None at the desk itself.
    recorder : str
        Who recorded it, where the record does not say; empty where that is the sender.
    """

    actor: Actor
    phone: Phone | None = None
    recorder: str = ""

    @property
    def name(self) -> str:
        """What the trail calls them."""
        return self.actor.name


class LookError(Exception):
    """A record that cannot be written as it is, and why, for the person who looks at it."""


@dataclass(frozen=True, slots=True)
class Became:
    """What became of a record.

    Parameters
    ----------
    what : str
        "done", "aside", "questioned" or "look".
    said : str
        For the person.
    more : dict
        What the answer tells beside it: the line, the walk-round.
    is_kept : bool
        Whether somebody has to look at it.
    judges : bool
        Whether the machine is to be judged anew.
    """

    what: str
    said: str = ""
    more: dict[str, Any] = field(default_factory=dict)
    is_kept: bool = False
    judges: bool = False


@dataclass(frozen=True, slots=True)
class Taking:
    """One record on its way in.

    Parameters
    ----------
    sender : Sender
        Who brings it.
    record : Record
        What it says.
    photo : Upload or None
        The file beside it.
    anyway : bool
        Whether somebody at the desk looked at it, and takes it in as it is.
    """

    sender: Sender
    record: Any
    photo: Upload | None = None
    anyway: bool = False

    @property
    def actor(self) -> Actor:
        """In whose name it is written."""
        return self.sender.actor

    @property
    def recorder(self) -> str:
        """Who recorded it, if that is known; it need not be who sends it."""
        return str(self.record.person or self.sender.recorder)


Way = Callable[[Taking], Became]
WAYS: dict[str, Way] = {}
"""What each kind of record does; `doing.py` has them."""


def take(sender: Sender, record: Record, photo: Upload | None = None) -> dict[str, Any]:
    """The answer to a record, done now or before.

    Raises
    ------
    NotTakenError
        The id was used for something else, what it needs has not come yet, or its photo is none.
    """
    digest = digest_of(record, photo.content if photo is not None else None)
    known = Brought.objects.filter(business=sender.actor.business, record_id=record.id).first()
    if known is not None:
        return _again(known, digest)
    taking = Taking(sender, record, photo)
    became, file = (
        _kept_photo(taking) if isinstance(record, PhotoRecord) else (None, "")
    )  # drawn before anybody waits
    with transaction.atomic():
        row = _row(sender, record, digest)
        try:
            with transaction.atomic():
                row.save(force_insert=True)
        except IntegrityError:  # sent twice, and the other was faster by a hair
            return _again(Brought.objects.get(business=sender.actor.business, record_id=record.id), digest)
        became = became or attempt(taking)
        settle(row, became)
        row.file = file
        if became.is_kept and row.machine_id is None and row.sheet_id is not None:
            row.machine_id = _machine_of(sender.actor, row.sheet_id)
        row.save(update_fields=("answer", "state", "file", "machine_id"))
    if became.judges:
        judge_soon()
    return dict(row.answer)


def attempt(taking: Taking) -> Became:
    """What becomes of a record, in a transaction of its own: what cannot be written leaves nothing behind but itself."""
    try:
        with transaction.atomic():
            return WAYS[taking.record.kind](taking)
    except (InputError, NotAllowedError, LookError, Http404) as error:
        return Became("look", why_of(error), is_kept=True)


def why_of(error: Exception) -> str:
    """Why a record waits for a look, in a sentence or two."""
    if isinstance(error, InputError | NotAllowedError):
        return " ".join(map(refused, problems_of(error)))
    return str(error) if isinstance(error, LookError) else translated(GONE)


def settle(row: Brought, became: Became) -> None:
    """Nothing comes out; afterwards the row says what became of it."""
    row.answer = {"id": str(row.record_id), "became": became.what, "said": became.said} | became.more
    row.state = Brought.LOOK if became.is_kept else Brought.DONE


def _row(sender: Sender, record: Record, digest: str) -> Brought:
    about = record.about
    return Brought(
        business=sender.actor.business,
        record_id=record.id,
        phone=sender.phone,
        writer=record.writer,
        nth=record.nth,
        kind=record.kind,
        recorded_by=record.person or sender.recorder or sender.name,
        recorded_at=record.moment,
        sent_by=sender.name,
        machine_id=getattr(about, "machine", None),
        sheet_id=getattr(about, "sheet", None),
        digest=digest,
        record=plain(record),
    )


def _machine_of(actor: Actor, sheet_id: uuid.UUID) -> uuid.UUID | None:
    """The machine a walk-round is of, begun here or waiting for a look; None where that is not known."""
    begun = Sheet.objects.filter(business=actor.business, pk=sheet_id).values_list("machine_id", flat=True).first()
    waits = Brought.objects.filter(business=actor.business, sheet_id=sheet_id, kind="begin")
    return begun or waits.values_list("machine_id", flat=True).first()


def _again(known: Brought, digest: str) -> dict[str, Any]:
    if known.digest != digest:
        raise NotTakenError(
            422, "other content", translated("This entry was sent before and said something else.")
        )
    return dict(known.answer)


def _kept_photo(taking: Taking) -> tuple[Became, str]:
    """What becomes of a photo, and the name its file waits under for a look.

    It is kept by its own id: where the desk is killed before the record is written, it is kept once all the same.
    """
    if taking.photo is None:
        raise NotTakenError(422, "not understood", translated("The photo's file is missing."))
    try:
        return WAYS["photo"](taking), ""
    except InputError as error:
        raise NotTakenError(422, "no photo", " ".join(map(refused, error.problems))) from None
    except (NotAllowedError, LookError, Http404) as error:
        said = why_of(error)
    try:
        page = redrawn(taking.photo.content, taking.photo.name).page
    except InputError as error:
        raise NotTakenError(422, "no photo", " ".join(map(refused, error.problems))) from None
    return Became("look", said, is_kept=True), store.put(taking.actor.business, page)


def forget_old() -> int:
    """How many records that were done long ago are forgotten; what waits for a look waits for ever."""
    old = Brought.objects.filter(at__lt=timezone.now() - KEPT).exclude(state=Brought.LOOK)
    return old.delete()[0]


def waiting_sheet(actor: Actor, sheet_id: uuid.UUID) -> bool:
    """Whether the beginning of a walk-round is kept for a look: then so is all that belongs to it."""
    rows = Brought.objects.filter(business=actor.business, sheet_id=sheet_id, kind="begin")
    return rows.exclude(state=Brought.DONE).exists()
