"""Keeping a free quote, and taking it back."""

import datetime as dt
import uuid
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from django.db import transaction
from django.utils import timezone

from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.freequote.models import FreeQuoteRow
from pitchline.desk.freequote.queries import quote_of
from pitchline.desk.freequote.stored import packed
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.who import Actor
from pitchline.desk.spoken import later
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.money.free_quote import FreeQuote
from pitchline.papers.free_quote import QuoteHead
from pitchline.papers.quote import exact_amount
from pitchline.trade.errors import phrase
from pitchline.words import translated

UNDO = later("free quote")


def next_number(machine: Machine, on: dt.date) -> str:
    """The number of the machine's next free quote of a day, such as "EX-07-20261130-F2"; those put away keep theirs."""
    begins = f"{machine.short_name}-{on:%Y%m%d}-F"
    return f"{begins}{machine.free_quotes.filter(number__startswith=begins).count() + 1}"


def keep_quote(
    actor: Actor,
    *,
    machine: Machine,
    quote_id: uuid.UUID,
    quote: FreeQuote,
    head: QuoteHead,
    prices: PriceFile,
    asked: Mapping[str, Any],
) -> tuple[FreeQuoteRow, Undoable | None]:
    """The quote, kept, and what takes it back; nothing to take back where the same form was sent before."""
    known = FreeQuoteRow.objects.filter(business=actor.business, pk=quote_id).first()
    if known is not None:
        return known, None
    net = quote.net
    if net is None:
        raise AssertionError("a quote without a price is not kept")
    with transaction.atomic():
        Machine.objects.select_for_update().filter(pk=machine.pk).first()  # one number at a time
        head = replace(head, number=next_number(machine, head.on))
        row = FreeQuoteRow.objects.create(
            pk=quote_id,
            business=actor.business,
            machine=machine,
            prices=prices,
            number=head.number,
            on=head.on,
            valid_until=head.valid_until,
            customer=head.customer,
            notes=head.notes,
            asked=dict(asked),
            told=packed(quote, head, actor.business.writing),
            net=net.usual,
            currency=net.currency,
            who=actor.name,
        )
        told = [Told(phrase("quote"), "", f"{row.number}: {net.currency} {exact_amount(net.usual)}")]
        by_hand = phrase("quote {number}, price put by hand", number=row.number)
        told += [
            Told(by_hand, exact_amount(line.listed.usual), exact_amount(line.price.usual), line.asked.why)
            for line in quote.lines
            if line.listed is not None and line.price is not None and line.listed != line.price
        ]  # fmt: skip
        note(actor, machine.pk, told)
        done = remember(
            actor,
            way=UNDO,
            said=translated("Quote {number} kept.").format(number=row.number),
            before=_before(row, away=False),
        )
    return row, done


def set_put_away(actor: Actor, *, quote_id: uuid.UUID, away: bool) -> Undoable | None:
    """What was done, to be undone for a day; None where it is so already."""
    with transaction.atomic():
        row = quote_of(actor.business, quote_id)
        if (row.put_away_at is not None) is away:
            return None
        _put(actor, row, away, "")
        said = translated("Quote {number} put away." if away else "Quote {number} brought back.")
        said = said.format(number=row.number)
        return remember(actor, way=UNDO, said=said, before=_before(row, away=away))


def undo_quote(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words; inside the transaction of the caller."""
    row = quote_of(actor.business, uuid.UUID(before["quote"]))
    away = not before["away"]
    if (row.put_away_at is not None) is not away:
        _put(actor, row, away, phrase("undone"))
    said = translated("Undone: quote {number} is put away." if away else "Undone: quote {number} is back.")
    return said.format(number=row.number)


def _before(row: FreeQuoteRow, *, away: bool) -> dict[str, Any]:
    return {"quote": str(row.pk), "away": away}


def _put(actor: Actor, row: FreeQuoteRow, away: bool, why: str) -> None:
    FreeQuoteRow.objects.filter(pk=row.pk).update(put_away_at=timezone.now() if away else None)
    what = phrase("quote put away") if away else phrase("quote brought back")
    note(actor, row.machine_id, [Told(what, "", row.number, why)])
