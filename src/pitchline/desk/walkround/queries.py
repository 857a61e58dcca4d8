"""Reading walk-rounds, always inside one business."""

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import dataclass

from django.http import Http404

from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of, rows_on, sheets_of
from pitchline.desk.people.models import Business
from pitchline.desk.walkround.actions import Saved
from pitchline.desk.walkround.form_lines import HEAD
from pitchline.desk.walkround.models import Sheet
from pitchline.desk.walkround.pages import SheetPage, sheet_page
from pitchline.trade.dossier import Dossier


def sheet_of(business: Business, sheet_id: uuid.UUID) -> Sheet:
    """One sheet with its machine; not found where it is another business's."""
    found = Sheet.objects.select_related("machine").filter(business=business, pk=sheet_id).first()
    if found is None:
        raise Http404("No such walk-round in this yard.")
    found.machine.business = business
    return found


@dataclass(frozen=True, slots=True)
class Begun:
    """An unfinished walk-round, and how many lines stand on it."""

    sheet: Sheet
    lines: int


def begun_of(machine: Machine, drafts: Sequence[Sheet]) -> list[Begun]:
    """The unfinished walk-rounds of a machine with the lines that stand on them, in the order given."""
    many = {
        one.pk: len(rows.readings) + sum(bool(row.how_bad) for row in rows.seen)
        for one in sheets_of(machine)
        for rows in [rows_on(one)]
    }
    return [Begun(one, many.get(one.pk, 0)) for one in drafts]


def finished_on(machine: Machine, day: dt.date) -> Sheet | None:
    """The finished walk-round of a day; a machine has one a day at most."""
    return machine.sheets.filter(state=Sheet.FINISHED, date=day).first()


def page_of(sheet: Sheet) -> tuple[SheetPage, Dossier]:
    """The sheet as its pages show it, and the machine it is for.

    Raises
    ------
    InputError
        Something entered before no longer goes with the machine.
    """
    sheets = sheets_of(sheet.machine)
    dossier = dossier_of(sheet.machine, sheets)
    if dossier is None:
        raise Http404("This machine has no running gear entered.")
    read = next(
        (one for one in sheets if one.pk == sheet.pk), sheet
    )  # its lines are fetched along, unless it is put away
    return sheet_page(sheet, rows_on(read), dossier), dossier


def what_became_of(sheet: Sheet, saved: Sequence[Saved]) -> dict[str, object]:
    """What became of each line that was saved, what looks wrong or cannot be used on the whole sheet, and how far it is."""
    shown, _ = page_of(sheet)
    fields = {field.key: field for place in shown.places for field in place.readings}
    warned = {
        key: [
            {"said": each.said, "held": each.held, "put": each.put, "put_said": each.put_said}
            for each in field.warned
        ]
        for key, field in fields.items()
        if field.warned
    }
    lines = []
    for one in saved:
        field = fields.get(one.key)
        wrong = dict(shown.head.wrong) if one.key == HEAD else {}
        if field is not None and one.problem:
            wrong = {field.wrong: one.problem}
        problem = " ".join(wrong.values())
        lines.append(
            {
                "key": one.key,
                "version": one.version,
                "words": "" if problem else one.words,
                "problem": problem,
                "wrong": wrong,
                "aside": one.aside,
                "spread": field.spread if field is not None else "",
                "warned": warned.get(one.key, []),
            }
        )
    return {
        "lines": lines,
        "warned": warned,
        "refused": [{"key": one.key, "name": one.name, "place": one.place} for one in shown.refused],
        "told": shown.told,
        "day_asked": shown.head.day_asked,
        "hours_asked": shown.head.hours_asked,
        "last": shown.head.last,
        "likely": shown.head.offered if shown.head.last else None,
        "missing": len(shown.missing),
        "unread": shown.unread_count,
    }
