"""Everything out in open formats: one zip to read without pitchline, a folder for each business and each machine."""

import json
import re
import zipfile
import zlib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from django.db import models
from django.utils import timezone

from pitchline.desk.bridge.constant_rows import Constants
from pitchline.desk.bridge.figures import verdict_text
from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.buyer.models import BuyerLink
from pitchline.desk.freequote.models import FreeQuoteRow
from pitchline.desk.gearbook.models import BookEntry
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of
from pitchline.desk.meter.models import Feed, MeterHours, SenderName
from pitchline.desk.partfit.models import PartsTable
from pitchline.desk.people.models import Business, Member
from pitchline.desk.photos.models import Attachment
from pitchline.desk.photos.store import path_of
from pitchline.desk.shelf.queries import as_table
from pitchline.desk.telling.models import Hook
from pitchline.desk.trail.models import Change
from pitchline.desk.walkround.models import ReadingRow, SeenRow
from pitchline.desk.workplan.models import DecidedPlan
from pitchline.desk.yard.list_views import list_csv
from pitchline.exchange.grid_csv import csv_bytes
from pitchline.exchange.machine_file import machine_json
from pitchline.exchange.safe_write import not_writable, open_whole
from pitchline.exchange.shelf_file import shelf_file

_CHANGES = ("at", "who", "machine_id", "what", "before", "after", "why")
_LISTS: tuple[tuple[str, type[models.Model], tuple[str, ...]], ...] = (
    (
        "readings-as-typed.csv",
        ReadingRow,
        (
            "sheet__machine_id",
            "sheet__date_text",
            "sheet__state",
            "sheet__by",
            "part",
            "side",
            "position",
            "measurand",
            "typed",
            "unit",
            "tool",
            "kept_because",
        ),
    ),
    (
        "findings-as-typed.csv",
        SeenRow,
        (
            "sheet__machine_id",
            "sheet__date_text",
            "sheet__state",
            "sheet__by",
            "part",
            "side",
            "position",
            "kind",
            "how_bad",
            "note",
        ),
    ),
    ("people.csv", Member, ("user__username", "user__email", "role", "depots__name")),
    (
        "hours.csv",
        MeterHours,
        ("machine_id", "at", "meter_h", "idle_h", "latitude", "longitude", "state", "source", "who"),
    ),
    ("names-of-senders.csv", SenderName, ("name", "machine_id", "ignored", "source", "first_at")),
    (
        "hours-fetched-from.csv",
        Feed,
        ("name", "address", "sign_in", "user", "token_address", "every_h", "is_off", "who"),
    ),
    ("hooks.csv", Hook, ("address", "off_why", "who", "made_at")),
    ("links-for-buyers.csv", BuyerLink, ("machine_id", "called", "made_by", "made_at", "ends_at", "openings")),
)
"""Lists of a business, walk-rounds that are not finished too, with no secret in them; none where there is no row."""


def write_all(path: Path) -> int:
    """How many files are in it: machine files with their walk-rounds, verdicts, photos, lists, prices, quotes, changes.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    many = 0
    with open_whole(path) as stream:
        try:
            with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
                for business in Business.objects.all():
                    at = f"{_safe(business.name)}-{str(business.pk)[:8]}"
                    for name, content in _of_business(business):
                        archive.writestr(f"{at}/{name}", content)
                        many += 1
        except OSError as error:
            raise not_writable(path, error) from None
    path.chmod(0o600)
    return many


def _safe(name: str) -> str:
    return re.sub(r"[^\w.\- ]", "_", name).strip(". ")[:80] or "unnamed"


def _of_business(business: Business) -> Iterator[tuple[str, bytes]]:
    machines = Machine.objects.filter(business=business).order_by("created_at")
    yield "machines.csv", list_csv(list(machines))
    for machine in machines.select_related("judgement").iterator(50):
        at = f"machines/{_safe(machine.short_name)}-{str(machine.pk)[:8]}"
        dossier = dossier_of(machine)
        if dossier is not None:
            yield f"{at}/machine.json", machine_json(dossier).encode()
        if machine.judgement is not None:
            yield f"{at}/verdict.json", verdict_text(machine.judgement).encode()
        for plan in DecidedPlan.objects.filter(machine=machine, put_away_at=None):
            yield f"{at}/plan-{_day(plan.at)}-{str(plan.pk)[:8]}.json", zlib.decompress(bytes(plan.verdict_packed))
        for kept in Attachment.objects.filter(machine=machine, removed_at=None):
            if path_of(kept.file).is_file():
                yield f"{at}/files/{str(kept.pk)[:8]}-{_safe(kept.name)}", path_of(kept.file).read_bytes()
    for prices in PriceFile.objects.filter(business=business):
        yield f"prices/{_day(prices.entered_at)}-{str(prices.pk)[:8]}.csv", bytes(prices.content)
    for entry in BookEntry.objects.filter(business=business):
        yield f"gear-list/{_safe(entry.name)}-{str(entry.pk)[:8]}.json", entry.text.encode()
    for learned in Constants.objects.filter(business=business):
        yield f"learned/{_day(learned.at)}-{learned.pk}.json", learned.text.encode()
    for table in PartsTable.objects.filter(business=business):
        yield f"parts/{_safe(table.name)}-{str(table.pk)[:8]}.csv", csv_bytes(table.rows)
    if shelf := as_table(business):
        yield "shelf.csv", shelf_file(shelf, "csv", with_cost=True)
    for quote in FreeQuoteRow.objects.filter(business=business):
        whole = {"number": quote.number, "customer": quote.customer, "asked": quote.asked, "told": quote.told}
        yield (
            f"quotes/{_safe(quote.number)}-{str(quote.pk)[:8]}.json",
            json.dumps(whole, indent=1, ensure_ascii=False).encode(),
        )
    for name, model, columns in _LISTS:
        whose = "sheet__business" if model in (ReadingRow, SeenRow) else "business"
        if rows := _cells(model._base_manager.filter(**{whose: business}).order_by("pk"), columns):
            yield name, csv_bytes([[one.rpartition("__")[2] for one in columns], *rows])
    changes = Change.objects.filter(business=business).order_by("pk")
    yield "changes.csv", csv_bytes([_CHANGES, *_cells(changes, _CHANGES)])


def _cells(found: models.QuerySet[Any], columns: Sequence[str]) -> list[list[str]]:
    return [[_cell(one) for one in row] for row in found.values_list(*columns).iterator(500)]


def _cell(value: object) -> str:
    return "; ".join(map(str, value)) if isinstance(value, list) else "" if value is None else str(value)


def _day(moment: object) -> str:
    return f"{timezone.localtime(moment):%Y-%m-%d}"  # type: ignore[arg-type]
