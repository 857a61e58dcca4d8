"""Point at the part: letters on a drawing, clicked there or chosen below; a drawing's parts tell no name."""

import re

from django.utils.safestring import SafeString, mark_safe

from pitchline.desk.drawing import SMALL, inline
from pitchline.desk.primer import drawings, pages
from pitchline.desk.primer.pieces import Asked, Drawn, Piece, PieceKind
from pitchline.picture.gear_side import gear_svg
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.writing import way_in_force
from pitchline.words import worded
from pitchline.words.labels import plural

_P = PartKind
_ON_EACH = (_P.IDLER, _P.SPROCKET, _P.BOTTOM_ROLLER, _P.UPPER_ROLLER, _P.TRACK_ADJUSTER)
POINTED = tuple(Piece(PieceKind.POINT, part.value) for part in (*_ON_EACH, _P.SHOE, _P.PAD, _P.RUBBER_TRACK))
_MOST = 20
"""Rollers of a side that are looked for in the drawing."""


def ask_point(piece: Piece, number: int) -> Asked:
    """Where a part is, among those of a running gear that has it."""
    part = PartKind(piece.name)
    gear = drawings.made_up_for(part)
    belt = next(one for one in (_P.RUBBER_TRACK, _P.PAD, _P.SHOE) if gear.count(one))
    parts, chance = [*_ON_EACH, belt], piece.chance(number)
    chance.shuffle(parts)
    letters = {one: chr(ord("A") + n) for n, one in enumerate(parts)}
    return Asked(
        worded("Where are the {part:parts}? Click on one, or choose its letter below.", part=part),
        letters[part],
        tuple((letter, letter) for letter in sorted(letters.values())),
        _drawn(gear, letters, number),
        drawings.drawn(gear, part, linked=False),
        told=(
            "; ".join(
                f"{letter}: {plural(one)}" for one, letter in sorted(letters.items(), key=lambda one: one[1])
            ),
            pages.part_told(part, "sits"),
        ),
        more=(pages.to_part(part),),
        spots=True,
    )


def _drawn(gear: RunningGear, letters: dict[PartKind, str], number: int) -> Drawn:
    links = {
        f"{part.value}/{Side.LEFT.value}{n}": (f"?number={number}&spot={letter}#say", worded("Spot {letter}", letter=letter))
        for part, letter in letters.items()
        for n in ("", *(f"/{one}" for one in range(1, _MOST + 1)))
    }  # fmt: skip
    try:
        wide, small = (
            _few_stops(
                inline(gear_svg(gear, width, way_in_force().units, prefix=name, letters=letters), name, links)
            )
            for width, name in ((drawings.WIDE, "point"), (SMALL, "pointsmall"))
        )
    except NotAllowedError:
        return None
    return wide, small


def _few_stops(svg: SafeString) -> SafeString:
    """One stop of the Tab key for each letter: a running gear has seven rollers and one letter for them."""
    seen: set[str] = set()

    def one(found: re.Match[str]) -> str:
        first = found[1] not in seen
        seen.add(found[1])
        return found[0] if first else f'{found[0]} tabindex="-1" aria-hidden="true"'

    return mark_safe(re.sub(r'<a href="([^"]*)"', one, svg))  # noqa: S308  our own drawing
