"""Which part is it: on a drawing, or on a photo of the yard's that somebody marked."""

import uuid
from dataclasses import replace

from django.urls import reverse
from django.utils.safestring import mark_safe

from pitchline.desk.photos.models import PartName
from pitchline.desk.primer import drawings, pages
from pitchline.desk.primer.pieces import Asked, Piece, PieceKind, chosen_from
from pitchline.picture.named_photo import names_over
from pitchline.trade.parts import PartKind
from pitchline.words import translated
from pitchline.words.labels import plural
from pitchline.words.speaking import capital

NAMES = tuple(Piece(PieceKind.NAME, part.value) for part in pages.PARTS_IN_ORDER)


def _choices(right: PartKind, piece: Piece, number: int) -> tuple[tuple[str, str], ...]:
    chance = piece.chance(number)
    others = chance.sample([one.value for one in pages.PARTS_IN_ORDER if one is not right], 3)
    return tuple((key, capital(plural(PartKind(key)))) for key in chosen_from(right.value, others, chance))


def _told(part: PartKind) -> tuple[str, ...]:
    return pages.part_told(part, "sits"), pages.part_told(part, "does")


def ask_name(piece: Piece, number: int) -> Asked:
    """A part filled in on a drawing."""
    part = PartKind(piece.name)
    gear = drawings.made_up_for(part)
    return Asked(
        translated("Which part is filled in, at the line with the question mark?"),
        part.value,
        _choices(part, piece, number),
        drawings.drawn(gear, part, named=False, linked=False),
        drawings.drawn(gear, part, linked=False),
        told=_told(part),
        more=(pages.to_part(part),),
    )


def ask_photo(piece: Piece, number: int, names: list[PartName]) -> Asked | None:
    """A part that was named on a photo; None where the name or the photo is gone."""
    name = next((one for one in names if one.pk == uuid.UUID(piece.name)), None)
    if name is None:
        return None
    photo, part = name.photo, PartKind(name.part)
    over = [
        mark_safe(names_over(photo.width, photo.height, [spot], "names"))  # noqa: S308  our own drawing, its text escaped
        for spot in (replace(name.spot, said="?"), name.spot)
    ]
    return Asked(
        translated("Which part does the arrow lead to?"),
        part.value,
        _choices(part, piece, number),
        (over[0], over[0]),
        (over[1], over[1]),
        told=_told(part),
        more=(pages.to_part(part), (photo.machine.name, reverse("attachment", args=[photo.pk]))),
        photo=reverse("attachment-file", args=[photo.pk, "page"]),
    )
