"""The page of free quotes of one machine: how many of what, what it comes to, keeping it, and those kept before."""

import uuid
from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.downloads import sent_file
from pitchline.desk.freequote.actions import keep_quote, set_put_away
from pitchline.desk.freequote.forms import FreeQuoteForm
from pitchline.desk.freequote.making import Ground, first_until, ground_of, paper_of
from pitchline.desk.freequote.models import FreeQuoteRow
from pitchline.desk.freequote.queries import quote_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.papers import PDF
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.machine.shelved import BESIDES, shelved
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import Post, PutAway, Question, as_sent, choice, figure, sent_id, switch, words
from pitchline.desk.spoken import later
from pitchline.desk.undo.messages import tell_undo
from pitchline.money.free_quote import FreeQuote
from pitchline.papers.free_quote import line_said
from pitchline.papers.order_told import order_lines
from pitchline.papers.quote import exact_amount, quote_sums
from pitchline.stops.order import order_of_counts
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind
from pitchline.words import say, translated
from pitchline.words.names import named

MOST_SHOWN = 50


class Begin(Question):
    """A quote to begin another one from, or a part to begin one with: how many, and which of a list it is."""

    begin = sent_id()
    part = choice(later("Part"), ((part.value, later(named(part))) for part in PartKind))
    many, listed_as = figure(later("How many")), words(later("Which one"))


class Keep(Post):
    """Whether what was typed is kept, or only looked at."""

    save = switch(later("save it"))


@require_http_methods(["GET", "HEAD", "POST"])
def quote(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """A free quote: first what it comes to, then kept."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    ground = ground_of(machine)
    if ground is None:
        return render(request, "freequote/quote.html", {"machine": machine})
    if request.method != "POST":
        return _page(request, ground, _begun(request, ground))
    form = ground.form(as_sent(request))
    if not form.is_valid() or form.quote is None:
        return _page(request, ground, form, status=400)
    if not Keep.of(request)["save"]:
        return _page(request, ground, form)
    typed = form.cleaned_data
    row, done = keep_quote(
        actor,
        machine=machine,
        quote_id=typed["quote_id"] or uuid.uuid4(),
        quote=form.quote,
        head=ground.head(typed["customer"], typed["valid_until"], typed["notes"].strip()),
        prices=ground.file,
        asked={name: str(text) for name, text in typed.items() if text and name != "quote_id"},
    )
    tell_undo(request, translated("Quote {number} is kept.").format(number=row.number), done)
    return redirect("free-quote", machine.pk)


def _begun(request: DeskRequest, ground: Ground) -> FreeQuoteForm:
    """The form with nothing in it, or what another quote asked for."""
    first: dict[str, Any] = {
        "quote_id": uuid.uuid4(),
        "customer": ground.machine.customer,
        "valid_until": first_until(),
    }
    said = Begin(as_sent(request)).read()
    if said["part"]:
        first |= {f"count-{JobKind.REPLACE.value}-{said['part']}": said["many"], "notes": said["listed_as"]}
    if said["begin"] is not None:
        asked = quote_of(request.actor.business, said["begin"]).asked
        first |= {name: text for name, text in asked.items() if name != "valid_until"}
    return ground.form(initial=first)


def _page(request: DeskRequest, ground: Ground, form: FreeQuoteForm, status: int = 200) -> HttpResponse:
    lines = [
        (row, form[f"count-{row.key}"], form[f"price-{row.key}"], form[f"why-{row.key}"]) for row in ground.rows
    ]
    context: dict[str, Any] = {
        "machine": ground.machine,
        "form": form,
        "big": [each for each in lines if not each[0].small],
        "small": [each for each in lines if each[0].small],
        "small_open": any(field.value() for row, *fields in lines if row.small for field in fields),
        "currency": ground.own.currency,
        "labour": ground.own.labour_per_h,
        "opening": ground.own.stop.opening_per_side if ground.own.stop else None,
        "no_mass": ground.known.mass_kg is None and ground.by_mass,
        "quotes": ground.machine.free_quotes.filter(put_away_at=None)[:MOST_SHOWN],
        "away": ground.machine.free_quotes.exclude(put_away_at=None)[:MOST_SHOWN],
    }
    if form.quote is not None and form.quote.net is not None:
        context |= {
            "quote": form.quote,
            "lines": [
                (line_said(line, form.quote.with_labour), line.price and exact_amount(line.price.usual))
                for line in form.quote.lines
            ],
            "charges": [(say(charge.words), exact_amount(charge.amount)) for charge in form.quote.charges],
            "sums": quote_sums(form.quote.net, form.quote.tax_rate),
            "order": _order(form.quote, ground),
        }
    return render(request, "freequote/quote.html", context, status=status)


def _order(quote: FreeQuote, ground: Ground) -> list[tuple[str, str, str]]:
    """What is ordered for a quote's lines: how many, what, and what to know of it."""
    asked = [(line.asked, line.per) for line in quote.lines]
    counts = [(one.job, one.part, one.count, per == "piece") for one, per in asked if one.job and one.part]
    if ground.gear is None:
        return []
    (order,) = shelved(ground.machine, [order_of_counts(counts, ground.gear)], BESIDES)
    return order_lines(order)


def _kept(business: Business, machine_id: uuid.UUID, quote_id: uuid.UUID) -> tuple[Machine, FreeQuoteRow]:
    machine, row = machine_of(business, machine_id), quote_of(business, quote_id)
    if row.machine_id != machine.pk:
        raise Http404("No such quote of this machine.")
    return machine, row


@require_safe
def paper(request: DeskRequest, machine_id: uuid.UUID, quote_id: uuid.UUID) -> HttpResponse:
    """The paper of a quote that was kept."""
    _, row = _kept(request.actor.business, machine_id, quote_id)
    return sent_file(paper_of(row), PDF, f"{row.number}.pdf")


@require_POST
def away(request: DeskRequest, machine_id: uuid.UUID, quote_id: uuid.UUID) -> HttpResponse:
    """A quote out of the way, or back."""
    machine, row = _kept(request.actor.business, machine_id, quote_id)
    done = set_put_away(request.actor, quote_id=row.pk, away=PutAway.of(request)["away"])
    if done is not None:
        tell_undo(request, done.said, done)
    return redirect("free-quote", machine.pk)
