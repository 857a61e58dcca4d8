"""A blank walk-round sheet to print, for exactly one machine's parts."""

from collections.abc import Iterable, Sequence
from typing import Protocol

from pitchline.papers import words
from pitchline.papers.press import press
from pitchline.trade.dossier import Dossier
from pitchline.trade.findings import CONSEQUENCES, FindingKind, Severity
from pitchline.trade.jobs import CAUTIONS, Caution
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS
from pitchline.trade.units import UnitSystem

_SIDES = {Side.LEFT: "Left side", Side.RIGHT: "Right side", Side.NONE: "Middle of the machine"}


class SheetLine(Protocol):
    """One line of a sheet, as `pitchline.exchange.sheet` makes them."""

    @property
    def place(self) -> Place:
        """Where to look."""

    @property
    def measurand(self) -> Measurand | None:
        """What to read; None for a part that is only looked at."""

    @property
    def previous(self) -> str:
        """The newest earlier reading in words; empty when there is none."""


def sheet_pdf(rows: Sequence[SheetLine], dossier: Dossier, units: UnitSystem = UnitSystem.METRIC) -> bytes:
    """A blank walk-round sheet, big enough to write in with gloves, in black and white.

    Parameters
    ----------
    rows : sequence of SheetLine
        The lines, in walking order.
    dossier : Dossier
        The machine.
    units : UnitSystem
        Whether readings are written in mm or inches.

    Returns
    -------
    bytes
        A PDF after PDF/UA-1, A4; as many pages as the machine needs, the last with how each quantity is read.

    References
    ----------
    ISO 14289-1 (PDF/UA-1) for the tags; the layout is our own.
    """
    last = dossier.last_walk_round
    pdf, _ = press("sheet.typ", sheet_story(rows, dossier, units), last.date if last else None)
    return pdf


def sheet_story(rows: Sequence[SheetLine], dossier: Dossier, units: UnitSystem) -> dict[str, object]:
    """Everything the sheet says.

    Parameters
    ----------
    rows : sequence of SheetLine
        The lines.
    dossier : Dossier
        The machine.
    units : UnitSystem
        Metric or imperial.

    Returns
    -------
    dict
        Text, lists and dicts, as the template expects them.

    References
    ----------
    Definition.
    """
    numbers = _numbers(rows)
    machine, last = dossier.machine, dossier.last_walk_round
    return {
        "title": f"Walk-round sheet for {machine.name}",
        "author": "pitchline",
        "name": machine.name,
        "name_short": words.shortened(machine.name),
        "machine_id": machine.machine_id,
        "kind": words.machine_said(machine, units),
        "gear": list(words.gear_said(dossier.gear, units)),
        "note": machine.note,
        "last": f"{words.day(last.date)} at {words.service_hours(last.service_h)}" if last else "none yet",
        "unit": "mm" if units is UnitSystem.METRIC else "in",
        "sections": [
            {"title": title, "rows": [_line(row, dossier, numbers) for row in rows if row.place.side is side]}
            for side, title in _SIDES.items()
            if any(row.place.side is side for row in rows)
        ],
        "how": [
            {
                "number": number,
                "label": words.first_up(MEASURANDS[measurand].label),
                "text": MEASURANDS[measurand].how,
            }
            for measurand, number in numbers.items()
        ],
        "tools": list(dict.fromkeys([*(tool.name for tool in dossier.tools), *DEFAULT_TOOLS])),
        "seen": [
            {"kind": kind.label, "parts": words.listed(_part_names(kind, rows))}
            for kind in FindingKind
            if _part_names(kind, rows)
        ],
        "how_bad": [severity.value for severity in Severity],
        "caution": {"title": CAUTIONS[Caution.MOVING_TRACK].title, "text": CAUTIONS[Caution.MOVING_TRACK].text},
        "aid": words.WORKING_AID,
        "made": "pitchline walk-round sheet",
    }


def _numbers(rows: Iterable[SheetLine]) -> dict[Measurand, int]:
    asked = dict.fromkeys(row.measurand for row in rows)
    return {measurand: number for number, measurand in enumerate((m for m in asked if m is not None), 1)}


def _line(row: SheetLine, dossier: Dossier, numbers: dict[Measurand, int]) -> dict[str, object]:
    part = words.row_name(row.place.part, row.place.position, dossier.gear)
    if row.measurand is None:
        look = [kind.label for kind in FindingKind if row.place.part in CONSEQUENCES[kind].parts]
        return {"part": part, "quantity": "", "number": None, "joints": False, "previous": "", "look": ", ".join(look)}
    quantity = MEASURANDS[row.measurand]
    return {
        "part": "" if words.says_part(quantity.label, row.place.part) else part,
        "quantity": quantity.label,
        "number": numbers[row.measurand],
        "joints": quantity.spans_joints,
        "previous": row.previous,
        "look": None,
    }


def _part_names(kind: FindingKind, rows: Iterable[SheetLine]) -> list[str]:
    there = dict.fromkeys(row.place.part for row in rows)
    return [words.plural(part) for part in there if part in CONSEQUENCES[kind].parts]


