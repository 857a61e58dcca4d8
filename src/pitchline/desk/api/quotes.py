"""Free quotes over the API: what was asked for on one machine, priced, kept, and their papers."""

import uuid
from collections.abc import Collection

from django.http import HttpResponse
from ninja import Path, Query, Router
from ninja.responses import Status

from pitchline.desk.api import showing
from pitchline.desk.api.base import told
from pitchline.desk.api.bodies import NewQuote, Paged, QuoteAway
from pitchline.desk.api.once import key_of
from pitchline.desk.api.refused import RefusedError, not_found, of_form
from pitchline.desk.api.shapes import Quote, QuoteList
from pitchline.desk.downloads import sent_file
from pitchline.desk.freequote.actions import keep_quote, set_put_away
from pitchline.desk.freequote.making import first_until, ground_of, paper_of
from pitchline.desk.freequote.models import FreeQuoteRow
from pitchline.desk.freequote.queries import quote_of
from pitchline.desk.machine.papers import PDF
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import DeskRequest
from pitchline.trade.errors import Problem, phrase

router = Router(tags=["quotes"])
_PAPER = {200: {"description": "The paper.", "content": {PDF: {"schema": {"type": "string", "format": "binary"}}}}}


@router.get("/machines/{machine_id}/quotes", response=QuoteList, openapi_extra=told(404, 422))
def quotes(request: DeskRequest, machine_id: Path[uuid.UUID], asked: Query[Paged]) -> dict[str, object]:
    """The free quotes of a machine, the newest first; none is ever changed."""
    machine = machine_of(request.actor.business, machine_id)
    return showing.page_of(machine.free_quotes.order_by("-at", "pk"), asked, showing.quote)


@router.post("/machines/{machine_id}/quotes", response={201: Quote}, openapi_extra=told(404, 409, 422))
def quote_freely(request: DeskRequest, machine_id: Path[uuid.UUID], asked: NewQuote) -> Status[Quote]:
    """A free quote for parts and jobs, priced by the machine's own prices and kept; its id is the Idempotency-Key.

    409 where there is no price list.
    """
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    ground = ground_of(machine)
    if ground is None:
        step = "Send a price list first."
        raise RefusedError(409, Problem("price list", "nothing", "a yard with a price list", step))
    typed = _typed(asked)
    form = ground.form(typed)
    _check(asked, {row.key for row in ground.rows}, form.offered)
    if not form.is_valid() or form.quote is None:
        raise of_form(form.errors.get_json_data(), typed)
    clean = form.cleaned_data
    row, _ = keep_quote(
        actor,
        machine=machine,
        quote_id=key_of(request),
        quote=form.quote,
        head=ground.head(clean["customer"], clean["valid_until"], clean["notes"].strip()),
        prices=ground.file,
        asked={name: str(text) for name, text in clean.items() if text},
    )
    return Status(201, showing.quote(row))


def _check(asked: NewQuote, known: Collection[str], offered: Collection[str]) -> None:
    """A form asks once for each line, and only for what there is; whoever sends a body may send anything."""
    keys = [f"{line.job}-{line.part}" for line in asked.lines]
    for key, line in zip(keys, asked.lines, strict=True):
        seen = f"{line.job} {line.part}"
        if key not in known:
            step = "Quote it as a line in your own words, or put it on the price list."
            raise RefusedError(422, Problem("lines", seen, "a job on the list, on a part this machine has", step))
        if keys.count(key) > 1:
            raise RefusedError(
                422, Problem("lines", phrase("{seen} again", seen=seen), "each job and part once", "Add them up.")
            )
    for name in asked.charges:
        if name not in offered:
            step = "Leave it out, or put it on the price list."
            raise RefusedError(422, Problem("charges", name, "one the price list has", step))


def _typed(asked: NewQuote) -> dict[str, str]:
    """The same as a form sends it."""
    until = asked.valid_until or first_until().isoformat()
    typed = {
        "customer": asked.customer,
        "notes": asked.notes,
        "valid_until": until,
        "labour": "1" if asked.with_labour else "0",
        "sides": str(asked.sides_opened),
    }
    for line in asked.lines:
        key = f"{line.job}-{line.part}"
        typed |= {f"count-{key}": str(line.count), f"price-{key}": line.price, f"why-{key}": line.why}
    for n, own in enumerate(asked.own_lines, start=1):
        typed |= {f"words-{n}": own.words, f"own-{n}": own.price}
    return typed | dict.fromkeys(asked.charges, "on")


def _one(business: Business, machine_id: uuid.UUID, quote_id: uuid.UUID) -> FreeQuoteRow:
    machine, row = machine_of(business, machine_id), quote_of(business, quote_id)
    if row.machine_id != machine.pk:
        raise not_found()
    return row


@router.get("/machines/{machine_id}/quotes/{quote_id}", response=Quote, openapi_extra=told(404, 422))
def free_quote(request: DeskRequest, machine_id: Path[uuid.UUID], quote_id: Path[uuid.UUID]) -> Quote:
    """One free quote with its lines."""
    return showing.quote(_one(request.actor.business, machine_id, quote_id))


@router.get(
    "/machines/{machine_id}/quotes/{quote_id}/quote.pdf",
    response={200: None},
    openapi_extra=told(404, 422, ok=_PAPER),
)
def free_quote_paper(request: DeskRequest, machine_id: Path[uuid.UUID], quote_id: Path[uuid.UUID]) -> HttpResponse:
    """Its paper, the same again whenever it is asked for."""
    row = _one(request.actor.business, machine_id, quote_id)
    return sent_file(paper_of(row), PDF, f"{row.number}.pdf")


@router.post("/machines/{machine_id}/quotes/{quote_id}/away", response=Quote, openapi_extra=told(404, 422))
def put_a_quote_away(
    request: DeskRequest, machine_id: Path[uuid.UUID], quote_id: Path[uuid.UUID], asked: QuoteAway
) -> Quote:
    """Out of the way, or back. Nothing is deleted, and its number stays taken."""
    business = request.actor.business
    row = _one(business, machine_id, quote_id)
    set_put_away(request.actor, quote_id=row.pk, away=asked.away)
    return showing.quote(_one(business, machine_id, quote_id))
