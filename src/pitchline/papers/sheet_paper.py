"""A blank walk-round sheet to print, for exactly one machine's parts."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from pitchline.papers import names, words
from pitchline.papers.press import press
from pitchline.picture.ink import Tone
from pitchline.picture.measured import measured
from pitchline.picture.square import square_svg
from pitchline.trade.dossier import Dossier
from pitchline.trade.findings import FindingKind, Severity, seen_on
from pitchline.trade.jobs import Caution
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS
from pitchline.trade.units import UnitSystem
from pitchline.words import cautions, in_english, translated, worded
from pitchline.words.labels import label, quantity, quantity_asked

_SIDES = {
    Side.LEFT: in_english("Left side"),
    Side.RIGHT: in_english("Right side"),
    Side.NONE: in_english("Middle of the machine"),
}


class SheetLine(Protocol):
    """One line of a sheet, as `pitchline.exchange.sheet` makes them."""

    @property
    def place(self) -> Place:
        """Where to look."""

    @property
    def measurand(self) -> Measurand | None:
        """What to read; None for a part that is only looked at."""

    @property
    def how(self) -> str:
        """How it is read on this machine."""

    @property
    def previous(self) -> str:
        """The newest earlier reading in words; empty when there is none."""


@dataclass(frozen=True, slots=True)
class SheetCode:
    """What the square at the corner of a sheet says.

    Parameters
    ----------
    letters : str
        As a person reads and types them.
    text : str
        What is in the square: an address that ends with the letters, or the letters alone.
    """

    letters: str
    text: str


def sheet_pdf(
    rows: Sequence[SheetLine],
    dossier: Dossier,
    units: UnitSystem = UnitSystem.METRIC,
    by: str = "",
    code: SheetCode | None = None,
) -> bytes:
    """A blank walk-round sheet, big enough to write in with gloves, in black and white; with a code at the corner of each page.

    Returns
    -------
    bytes
        A PDF after PDF/UA-1, A4; as many pages as the machine needs, how each quantity is read at the end.

    References
    ----------
    ISO 14289-1 (PDF/UA-1) for the tags; the layout is our own.
    """
    last = dossier.last_walk_round
    pdf, _ = press("sheet.typ", sheet_story(rows, dossier, units, code), last.date if last else None, by)
    return pdf


def sheet_story(
    rows: Sequence[SheetLine], dossier: Dossier, units: UnitSystem, code: SheetCode | None = None
) -> dict[str, object]:
    """Everything the sheet says.

    Returns
    -------
    dict
        Text, lists and dicts, as the template expects them.
    """
    machine, caution = dossier.machine, Caution.MOVING_TRACK
    numbers = _numbers(rows)
    return {
        "title": worded("Walk-round sheet for {machine}", machine=machine.name),
        "author": "pitchline",
        "name": machine.name,
        "name_short": names.shortened(machine.name),
        "code": {"letters": code.letters, "svg": square_svg(code.text)} if code is not None else None,
        "machine_id": machine.machine_id,
        "kind": names.machine_known(machine, units),
        "gear": list(names.gear_said(dossier.gear, units)),
        "note": machine.note,
        "last": _last(dossier),
        "unit": "mm" if units is UnitSystem.METRIC else "in",
        "sections": _sections(rows, dossier, numbers),
        "how": _how(rows, numbers),
        "tools": list(dict.fromkeys([*(tool.name for tool in dossier.tools), *DEFAULT_TOOLS])),
        "seen": _seen(rows, dossier),
        "how_bad": [label(severity) for severity in Severity],
        "caution": {"title": cautions.title(caution), "text": cautions.caution_text(caution)},
        "aid": words.working_aid(),
        "made": translated("pitchline walk-round sheet"),
    }


def _last(dossier: Dossier) -> str:
    last = dossier.last_walk_round
    if last is None:
        return translated("none yet")
    return worded("{day} at {hours}", day=words.day(last.date), hours=words.service_hours(last.service_h))


def _numbers(rows: Iterable[SheetLine]) -> dict[Measurand, int]:
    asked = dict.fromkeys(row.measurand for row in rows)
    return {measurand: number for number, measurand in enumerate((m for m in asked if m is not None), 1)}


def _how(rows: Iterable[SheetLine], numbers: dict[Measurand, int]) -> list[dict[str, object]]:
    how = {row.measurand: row.how for row in rows}
    return [
        {
            "number": number,
            "label": words.first_up(quantity_asked(asked)),
            "text": how[asked],
            "svg": measured(asked).svg(Tone.PAPER),
            "alt": measured(asked).told,
        }
        for asked, number in numbers.items()
    ]


def _sections(
    rows: Sequence[SheetLine], dossier: Dossier, numbers: dict[Measurand, int]
) -> list[dict[str, object]]:
    told: list[dict[str, object]] = []
    for side, title in _SIDES.items():
        lines = [_line(row, dossier, numbers) for row in rows if row.place.side is side]
        if lines:
            told.append({"title": translated(title), "rows": lines})
    return told


def _line(row: SheetLine, dossier: Dossier, numbers: dict[Measurand, int]) -> dict[str, object]:
    part = names.row_name(row.place.part, row.place.position, dossier.gear)
    if row.measurand is None:
        look = [label(kind) for kind in seen_on(row.place.part, dossier.gear)]
        said = ", ".join(look)
        return {"part": part, "quantity": "", "number": None, "joints": False, "previous": "", "look": said}
    return {
        "part": "" if names.says_part(quantity(row.measurand), row.place.part) else part,
        "quantity": quantity_asked(row.measurand),
        "number": numbers[row.measurand],
        "joints": MEASURANDS[row.measurand].spans_joints,
        "previous": row.previous,
        "look": None,
    }


def _seen(rows: Iterable[SheetLine], dossier: Dossier) -> list[dict[str, str]]:
    there = tuple(dict.fromkeys(row.place.part for row in rows))
    told = []
    for kind in FindingKind:
        parts = [names.plural(part) for part in there if kind in seen_on(part, dossier.gear)]
        if parts:
            told.append({"kind": label(kind), "parts": words.listed(parts)})
    return told
