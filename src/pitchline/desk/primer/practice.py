"""Practice of one person: what is due, what comes next, what is known; a question by its piece, and an answer written down."""

import datetime as dt
import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db import IntegrityError, transaction
from django.db.models import QuerySet
from django.http import Http404
from django.utils import timezone

from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor
from pitchline.desk.photos.models import PartName
from pitchline.desk.photos.queries import named_photos
from pitchline.desk.primer.ask_calls import CALLED, FROM, ask_call
from pitchline.desk.primer.ask_names import NAMES, ask_name, ask_photo
from pitchline.desk.primer.ask_point import POINTED, ask_point
from pitchline.desk.primer.ask_scales import READ, ask_scale
from pitchline.desk.primer.ask_worn import WORN, ask_worn
from pitchline.desk.primer.models import Practised
from pitchline.desk.primer.pieces import Asked, Piece, PieceKind
from pitchline.desk.primer.schedule import Grade, after
from pitchline.picture.scale_read import SCALES
from pitchline.trade.parts import PartKind
from pitchline.words import in_english, label, translated, worded
from pitchline.words.called import called
from pitchline.words.labels import plural
from pitchline.words.speaking import capital

KINDS: dict[PieceKind, str] = {
    PieceKind.NAME: in_english("Name the part"),
    PieceKind.PHOTO: in_english("Name the part on a photo"),
    PieceKind.SCALE: in_english("Read a scale"),
    PieceKind.WORN: in_english("Judge a worn section"),
    PieceKind.CALL: in_english("Call run, book or stop"),
    PieceKind.POINT: in_english("Point at the part"),
}
_FIXED: dict[PieceKind, tuple[Piece, ...]] = {
    PieceKind.NAME: NAMES, PieceKind.SCALE: READ, PieceKind.WORN: WORN, PieceKind.CALL: CALLED,
    PieceKind.POINT: POINTED,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a person stands with the pieces of one kind.

    Parameters
    ----------
    kind : PieceKind
        The kind.
    known, begun, every : int
        How many are known, how many more were asked, how many there are.
    """

    kind: PieceKind
    known: int
    begun: int
    every: int

    @property
    def said(self) -> str:
        """What is practised."""
        return translated(KINDS[self.kind])


class Practice:
    """One person's practice, with what the yard has to ask."""

    def __init__(self, actor: Actor) -> None:
        self.names = named_photos(actor.business)
        self.rows = {row.piece: row for row in _rows(actor.business).filter(who=actor.name)}
        self.pieces = pieces_of(self.names)

    def piece(self, mark: str) -> Piece:
        """A piece by its address.

        Raises
        ------
        Http404
            There is none.
        """
        found = next((one for one in self.pieces if one.mark == mark), None)
        if found is None:
            raise Http404("No such piece of practice.")
        return found

    def number(self, piece: Piece) -> int:
        """Which question of a piece comes: as many as were answered."""
        row = self.rows.get(piece.key)
        return row.answered if row is not None else 0

    def asked(self, piece: Piece, number: int) -> Asked:
        """The question of a number.

        Raises
        ------
        Http404
            A name on a photo that is gone.
        """
        made = {
            PieceKind.NAME: ask_name,
            PieceKind.SCALE: ask_scale,
            PieceKind.WORN: ask_worn,
            PieceKind.CALL: ask_call,
            PieceKind.POINT: ask_point,
        }
        found = (
            ask_photo(piece, number, self.names)
            if piece.kind is PieceKind.PHOTO
            else made[piece.kind](piece, number)
        )
        if found is None:
            raise Http404("No such piece of practice.")
        return found

    def due(self, now: dt.datetime) -> list[Piece]:
        """What was asked before and comes again now, longest due first."""
        here = [one for one in self.pieces if one.key in self.rows and self.rows[one.key].due_at <= now]
        return sorted(here, key=lambda one: self.rows[one.key].due_at)

    def new(self) -> list[Piece]:
        """What was never asked, each kind in its turn."""
        fresh = {
            kind: [one for one in self.pieces if one.kind is kind and one.key not in self.rows] for kind in KINDS
        }
        turns = max(map(len, fresh.values()), default=0)
        return [many[turn] for turn in range(turns) for many in fresh.values() if turn < len(many)]

    def next(self, now: dt.datetime, but: str = "") -> Piece | None:
        """What comes next; None where nothing is due and nothing is new."""
        return next((one for one in (*self.due(now), *self.new()) if one.key != but), None)

    def next_of(self, kind: PieceKind, now: dt.datetime) -> Piece:
        """What of a kind comes next: due, new, or else what would be due first."""
        mine = [one for one in (*self.due(now), *self.new()) if one.kind is kind]
        later = [one for one in self.pieces if one.kind is kind and one.key in self.rows]
        return mine[0] if mine else min(later, key=lambda one: self.rows[one.key].due_at)

    def again_at(self) -> dt.datetime | None:
        """When the next piece is due."""
        keys = {one.key for one in self.pieces}
        return min((row.due_at for row in self.rows.values() if row.piece in keys), default=None)

    def standing(self) -> list[Standing]:
        """How much of each kind is known."""
        return standings(self.pieces, self.rows.values())


def _rows(business: Business) -> QuerySet[Practised]:
    return Practised.objects.filter(business=business)


def pieces_of(names: Sequence[PartName]) -> tuple[Piece, ...]:
    """Every piece there is to ask."""
    photos = tuple(Piece(PieceKind.PHOTO, str(one.pk)) for one in names)
    return tuple(one for kind in KINDS for one in (photos if kind is PieceKind.PHOTO else _FIXED[kind]))


def standings(pieces: Iterable[Piece], rows: Iterable[Practised]) -> list[Standing]:
    """How much of each kind is known."""
    by_key = {row.piece: row for row in rows}
    told = []
    for kind in KINDS:
        mine = [one for one in pieces if one.kind is kind]
        known = sum(1 for one in mine if one.key in by_key and by_key[one.key].is_known)
        begun = sum(1 for one in mine if one.key in by_key) - known
        told.append(Standing(kind, known, begun, len(mine)))
    return [one for one in told if one.every]


def title_of(key: str, names: Sequence[PartName]) -> str:
    """What a piece asks, in few words."""
    kind, _, name = key.partition("/")
    if kind == PieceKind.SCALE:
        return translated(SCALES[name]).split(",")[0]
    if kind == PieceKind.CALL:
        call, stake, _ = FROM[name]
        return capital(called(call, stake, brief=True))
    if kind == PieceKind.PHOTO:
        one = next((each for each in names if each.pk == uuid.UUID(name)), None)
        return (
            worded("{part} on a photo", part=capital(label(PartKind(one.part)))) if one else translated("a photo")
        )
    return capital(plural(PartKind(name)))


def answer(actor: Actor, *, piece: Piece, number: int, grade: Grade) -> bool:
    """Whether the answer was written down: not where the question of that number was answered already."""
    now = timezone.now()
    try:
        return _answered(actor, piece, number, grade, now)
    except IntegrityError:  # the first answer sent twice at once
        return False


def _answered(actor: Actor, piece: Piece, number: int, grade: Grade, now: dt.datetime) -> bool:
    with transaction.atomic():
        row = _rows(actor.business).select_for_update().filter(who=actor.name, piece=piece.key).first()
        if (row.answered if row is not None else 0) != number:
            return False
        if row is None:
            row = Practised(business=actor.business, who=actor.name, piece=piece.key, card=None)
        row.card, row.due_at, row.kept_days = after(row.card, grade, now)
        row.last_at, row.last_right = now, grade.is_right
        row.right, row.wrong = row.right + grade.is_right, row.wrong + (not grade.is_right)
        row.save()
    return True


@dataclass(frozen=True, slots=True)
class Learner:
    """How far a colleague is.

    Parameters
    ----------
    who : str
        Their name.
    last_at : datetime.datetime
        When they last practised.
    answered, right : int
        How many answers they gave, and how many were right.
    standing : list of Standing
        How much of each kind they know.
    hard : list of str
        What they were last wrong about, the most often wrong first.
    """

    who: str
    last_at: dt.datetime
    answered: int
    right: int
    standing: list[Standing]
    hard: list[str]


_MOST_HARD = 6


def learners(business: Business) -> list[Learner]:
    """Everybody of the yard who practised, by name."""
    names = named_photos(business)
    pieces = pieces_of(names)
    keys = {one.key for one in pieces}
    by_who: dict[str, list[Practised]] = {}
    for row in _rows(business).order_by("who", "piece"):
        by_who.setdefault(row.who, []).append(row)
    told = []
    for who, rows in by_who.items():
        hard = sorted(
            (row for row in rows if not row.last_right and row.piece in keys), key=lambda row: -row.wrong
        )
        told.append(
            Learner(
                who,
                max(row.last_at for row in rows),
                sum(row.answered for row in rows),
                sum(row.right for row in rows),
                standings(pieces, rows),
                [title_of(row.piece, names) for row in hard[:_MOST_HARD]],
            )
        )
    return told
