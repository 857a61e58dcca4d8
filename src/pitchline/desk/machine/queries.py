"""Reading machines, always inside one business."""

import uuid

from django.db.models import Prefetch, QuerySet
from django.http import Http404

from pitchline.desk.bridge.machines import known_dossier, whole_dossier, with_hours_seen
from pitchline.desk.bridge.sheet_rows import ReadingRow, SeenRow, Sheet
from pitchline.desk.bridge.sheets import Rows, walk_round_of
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.people.models import Business
from pitchline.trade.dossier import Dossier
from pitchline.trade.parts import Place


def machines_of(business: Business) -> QuerySet[Machine]:
    """Every machine of a business, the archived ones too."""
    return Machine.objects.filter(business=business)


def machine_of(business: Business, machine_id: uuid.UUID) -> Machine:
    """One machine with its newest judgement; not found where it is another business's."""
    whole = machines_of(business).select_related("judgement", "business", "depot")
    found = whole.defer("judgement__inputs_packed", "judgement__verdict_packed").filter(pk=machine_id).first()
    if found is None:
        raise Http404("No such machine in this yard.")
    return found


def sheets_of(machine: Machine) -> list[Sheet]:
    """Every sheet of a machine that was not put away, its lines fetched along: three queries."""
    lines = (Prefetch("readingrows"), Prefetch("seenrows"))
    return list(machine.sheets.exclude(state=Sheet.PUT_AWAY).prefetch_related(*lines))


def drafts_of(machine: Machine) -> list[Sheet]:
    """Its unfinished walk-rounds, the one last written on first."""
    return sorted(machine.sheets.filter(state=Sheet.DRAFT), key=lambda one: one.last_written, reverse=True)


def sheets_at(machine: Machine, place: Place) -> list[Sheet]:
    """The finished sheets of a machine with their lines at one place, fetched along: three queries."""
    where = {"part": place.part.value, "side": place.side.value, "position": place.position}
    read = Prefetch("readingrows", queryset=ReadingRow.objects.filter(**where))
    seen = Prefetch("seenrows", queryset=SeenRow.objects.filter(**where))
    return list(machine.sheets.filter(state=Sheet.FINISHED).prefetch_related(read, seen))


def rows_on(sheet: Sheet) -> Rows:
    """The lines of a sheet, from what was fetched along where it was."""
    return Rows(tuple(sheet.readingrows.all()), tuple(sheet.seenrows.all()))


def dossier_of(machine: Machine, sheets: list[Sheet] | None = None) -> Dossier | None:
    """Everything known of a machine, its finished walk-rounds included; None before its running gear is entered.

    Raises
    ------
    InputError
        A line of a sheet that does not go with what is entered now.
    NotAllowedError
        Walk-rounds that cannot follow each other.
    """
    known = known_dossier(machine)
    if known is None:
        return None
    finished = [one for one in (sheets_of(machine) if sheets is None else sheets) if one.state == Sheet.FINISHED]
    known = with_hours_seen(known, machine)
    return whole_dossier(known, [walk_round_of(one, rows_on(one), known) for one in finished])


def judgements_of(machine: Machine) -> QuerySet[Judgement]:
    """Every judgement of a machine, newest first, without the packed texts."""
    return machine.judgements.defer("inputs_packed", "verdict_packed")
