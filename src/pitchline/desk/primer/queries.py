"""The yard's own examples, always inside one business: where a part was last read, where a thing was last seen."""

from dataclasses import dataclass

from django.db.models import QuerySet
from django.urls import reverse

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.bridge.sheet_rows import ReadingRow, SeenRow, Sheet
from pitchline.desk.bridge.sheets import place_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.trade.consequences import FindingKind
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import PartKind
from pitchline.words import label


@dataclass(frozen=True, slots=True)
class Example:
    """A part on a machine of the yard.

    Parameters
    ----------
    part : PartKind
        Which part.
    machine, place, href : str
        The machine's name, the part's, and the address of the part's page.
    gear : RunningGear or None
        The machine's running gear; None where its file cannot be read.
    """

    part: PartKind
    machine: str
    place: str
    href: str
    gear: RunningGear | None


def example_of(business: Business, part: PartKind) -> Example | None:
    """Where a part was read last, or else seen, looked over or on the sheet; None where it never was."""
    for rows in (ReadingRow.objects.exclude(typed=[]), SeenRow.objects.all(), ReadingRow.objects.all()):
        found = _newest(rows.filter(part=part.value), business)
        if found is not None:
            return found
    return None


def seen_at(business: Business, kind: FindingKind) -> Example | None:
    """Where a thing was seen last; None where it never was."""
    return _newest(SeenRow.objects.filter(kind=kind.value).exclude(how_bad=""), business)


def _newest(rows: QuerySet[ReadingRow] | QuerySet[SeenRow], business: Business) -> Example | None:
    judged = rows.filter(
        sheet__business=business, sheet__state=Sheet.FINISHED,
        sheet__machine__archived_at=None, sheet__machine__judgement__isnull=False,
    )  # fmt: skip
    row = (
        judged.order_by("-sheet__date", "sheet__machine__name", "position", "side").select_related("sheet").first()
    )
    if row is None:
        return None
    machine = Machine.objects.select_related("business").get(pk=row.sheet.machine_id)
    place = place_of(row)
    try:
        dossier = known_dossier(machine)
    except (InputError, NotAllowedError):
        return None
    gear = dossier.gear if dossier is not None else None
    return Example(place.part, machine.name, label(place), reverse("part", args=[machine.pk, place.key]), gear)
