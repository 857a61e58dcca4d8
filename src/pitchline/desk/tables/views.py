"""The tables of the yard as files, and a page that says what is needed by when."""

import datetime as dt
from dataclasses import dataclass

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from pitchline.desk.clock import today
from pitchline.desk.downloads import sent_file
from pitchline.desk.machine.queries import machines_of
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import as_sent
from pitchline.desk.problems import problems_of
from pitchline.desk.tables.forms import TableQuestion
from pitchline.desk.tables.needed import Needed, month_ends, needed_by_month
from pitchline.desk.tables.queries import Wanted, cells_of, rows_of, table_seen, tables_seen
from pitchline.exchange.yard_tables import ENDINGS, table_file
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import MachineKind
from pitchline.trade.parts import PartKind
from pitchline.words.labels import label, plural

_KINDS = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "parquet": "application/vnd.apache.parquet",
}
_ENDINGS = (("csv", "CSV"), ("xlsx", "XLSX"), ("parquet", "Parquet"))
_HEIGHT = 40
_TOLD = (0, 1, 2, 3, 5, 8, 11)
"""Months told in figures; the drawing has all."""


@require_safe
def tables(request: DeskRequest) -> HttpResponse:
    """What is needed by when, and every table as a file."""
    business = request.actor.business
    form = TableQuestion(as_sent(request))
    wanted, problems = Wanted(), form.problems
    try:
        wanted = form.wanted() if not problems else wanted
    except NotAllowedError as error:
        problems = problems_of(error)
    ends, found = month_ends(today()), needed_by_month(business, wanted, today())
    mine = machines_of(business).filter(archived_at=None)
    context = {
        "problems": problems,
        "asked": wanted,
        "query": request.GET.urlencode(),
        "tables": [(one, _ENDINGS) for one in tables_seen()],
        "months": [ends[at] for at in _TOLD],
        "needed": [_shown(one, ends) for one in found],
        "depots": sorted({name for name in mine.values_list("depot__name", flat=True).distinct() if name}),
        "customers": sorted({name for name in mine.values_list("customer", flat=True).distinct() if name}),
        "kinds": [(kind, label(MachineKind(kind))) for kind in sorted(set(mine.values_list("kind", flat=True)))],
    }
    return render(request, "tables/tables.html", context, status=400 if problems else 200)


@dataclass(frozen=True, slots=True)
class Bar:
    """One month: its end, where its bar begins, how high its three figures are in a drawing 40 high, and the figures."""

    end: dt.date
    x: int
    heights: tuple[float, float, float]
    least: int
    middle: int
    most: int


@dataclass(frozen=True, slots=True)
class ShownNeed:
    """A kind of part: its bars of twelve months, and those that are told in figures."""

    said: str
    bars: list[Bar]
    shown: list[Bar]
    undated: int


def _shown(one: Needed, ends: list[dt.date]) -> ShownNeed:
    top = max(one.most[-1], 1)
    bars = [
        Bar(
            end,
            10 * at,
            (_HEIGHT * least / top, _HEIGHT * middle / top, _HEIGHT * most / top),
            least,
            middle,
            most,
        )
        for at, (end, least, middle, most) in enumerate(zip(ends, one.least, one.middle, one.most, strict=True))
    ]
    return ShownNeed(plural(PartKind(one.part)), bars, [bars[at] for at in _TOLD], one.undated)


@require_safe
def table(request: DeskRequest, name: str, ending: str) -> HttpResponse:
    """One table as a file."""
    known = table_seen(name)
    if ending not in ENDINGS:
        raise Http404("No such table.")
    wanted = TableQuestion(as_sent(request)).wanted()
    rows = list(cells_of(known, rows_of(request.actor.business, known, wanted).iterator()))
    return sent_file(
        table_file(known.name, known.seen, rows, ending, known.sums), _KINDS[ending], f"{name}.{ending}"
    )
