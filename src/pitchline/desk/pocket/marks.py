"""What a phone asks by whether it carries the newest: one short text for all that a machine's parcel is made from."""

import datetime as dt
import hashlib
import uuid
from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseNotModified
from django.utils.http import parse_etags, quote_etag

from pitchline.desk.clock import today
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.piece_cache import code_digest
from pitchline.desk.walkround.models import Sheet


def digest(*told: object) -> str:
    """One short text for several things."""
    return hashlib.sha256(repr(told).encode()).hexdigest()[:32]


def way_of(business: Business) -> str:
    """What of a business's settings a parcel is written by, with the day and the code that writes it."""
    entered = (business.booking_window_weeks, business.tools)
    return digest(business.writing, entered, today(), code_digest())


def sheet_marks(business: Business, machine_id: uuid.UUID | None = None) -> Mapping[uuid.UUID, list[Any]]:
    """How the walk-rounds of each machine stand, or of one: one query of narrow rows."""
    sheets = Sheet.objects.filter(business=business).exclude(state=Sheet.PUT_AWAY)
    if machine_id is not None:
        sheets = sheets.filter(machine=machine_id)
    found: dict[uuid.UUID, list[Any]] = defaultdict(list)
    wanted = ("machine_id", "pk", "state", "version", "touched_at", "finished_at")
    for pk, *mark in sheets.order_by("pk").values_list(*wanted):
        found[pk].append(mark)
    return found


def parcel_mark(machine: Machine, sheets: Iterable[Any], way: str) -> str:
    """The mark of one machine's parcel."""
    return digest(machine.pk, machine.judgement_id, machine.version, list(sheets), way)


def answer_with(request: HttpRequest, mark: str, content: bytes) -> HttpResponse:
    """The content under its mark; nothing where the phone carries it already. No cache but the phone's own keeps it."""
    response = HttpResponse(content, content_type="application/json")
    if quote_etag(mark) in parse_etags(request.headers.get("If-None-Match", "")):
        response = HttpResponseNotModified()
    response.headers["ETag"], response.headers["Cache-Control"] = quote_etag(mark), "private, no-cache"
    return response


def moment_said(moment: dt.datetime | None) -> str:
    """A moment as JSON has it; empty where there is none."""
    return moment.isoformat(timespec="seconds") if moment is not None else ""
