"""Rows of the desk as the API shows them; nothing is worked out here."""

from collections.abc import Callable, Sequence
from typing import Any, Protocol, TypeVar

from django.core.paginator import Paginator
from django.db.models import QuerySet

from pitchline.desk.api import shapes
from pitchline.desk.bridge.figures import verdict_seen
from pitchline.desk.bridge.sheets import place_of
from pitchline.desk.freequote.models import FreeQuoteRow
from pitchline.desk.freequote.stored import unpacked
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.meter.models import MeterHours
from pitchline.desk.people.who import prices_seen
from pitchline.desk.walkround.models import NOTHING_SEEN, ReadingRow, SeenRow, Sheet
from pitchline.desk.yard.models import PriceFile
from pitchline.money.tax import with_tax
from pitchline.papers.free_quote import line_said
from pitchline.papers.words import GAP
from pitchline.trade.calls import Call, Stake
from pitchline.trade.work_done import WorkDone
from pitchline.words import say
from pitchline.words.called import called

Row = TypeVar("Row", bound=Any)


class Asks(Protocol):
    """Which page of a list, and how long its pages are."""

    page: int
    page_size: int


def page_of(rows: "QuerySet[Row] | Sequence[Row]", asked: Asks, show: Callable[[Row], Any]) -> dict[str, Any]:
    """One page of a list; beyond the last there is nothing."""
    pages, number = Paginator(rows, asked.page_size), asked.page
    here = pages.page(number).object_list if number <= pages.num_pages else []
    items = [show(row) for row in here]
    return {"items": items, "page": number, "pages": pages.num_pages, "count": pages.count}


def machine(row: Machine) -> shapes.Machine:
    """A machine."""
    due = None
    if row.call and row.due_said:
        due = shapes.Due(
            said=row.due_said,
            cautious_h=row.due_cautious_h,
            middle_h=row.due_middle_h,
            hopeful_h=row.due_hopeful_h,
            day=row.due_on,
        )
    money, seen = None, prices_seen()
    if (
        seen
        and row.call
        and row.money_usual is not None
        and row.money_low is not None
        and row.money_high is not None
    ):
        money = shapes.MoneyDue(
            low=row.money_low, usual=row.money_usual, high=row.money_high, currency=row.currency
        )
    worth, asked = None, row.asking_price if seen else None
    if seen and row.worth_usual is not None and row.worth_low is not None and row.worth_high is not None:
        worth = shapes.GearWorth(
            cautious=row.worth_low, middle=row.worth_usual, hopeful=row.worth_high, currency=row.currency
        )
    has_gear = getattr(row, "has_gear", None)
    return shapes.Machine(
        id=row.pk,
        short_name=row.short_name,
        name=row.name,
        kind=row.kind,
        customer=row.customer,
        site=row.place,
        place=row.place,
        serial_number=row.serial_number,
        year_built=row.year_built,
        owner_number=row.owner_number,
        asking_price=shapes.Asked(amount=asked.amount, currency=asked.currency) if asked else None,
        hours_text=row.hours_text,
        hours_h=row.hours_h,
        version=row.version,
        archived=row.archived_at is not None,
        invented=row.invented,
        gear_entered=bool(row.file_text) if has_gear is None else has_gear,
        last_walk_on=row.last_walk_on,
        judged_for=row.judged_for,
        carried_h=row.carried_h,
        readings=row.readings_age,
        call=row.call or None,  # type: ignore[arg-type]  # one of the three words, or empty
        stake=row.stake or None,  # type: ignore[arg-type]  # one of the words, or empty
        called=called(Call(row.call or Call.UNJUDGED), Stake(row.stake) if row.stake else None),
        looked_at=row.looked_at,
        looked_of=row.looked_of,
        due=due,
        money=money,
        running_gear_worth=worth,
        waiting=row.to_judge,
        not_judged_because=row.not_judged_because,
        verdict_id=row.judgement_id,
    )


def hours_row(row: MeterHours) -> shapes.HoursShown:
    """Hours of one moment."""
    names = ("at", "idle_h", "latitude", "longitude", "source", "state")
    return shapes.HoursShown(hours=row.meter_h, **{name: getattr(row, name) for name in names})


def walk_round_row(row: Sheet) -> shapes.WalkRoundRow:
    """A walk-round in a list."""
    return shapes.WalkRoundRow(**_head(row))


def _head(row: Sheet) -> dict[str, Any]:
    names = ("machine_id", "state", "date", "service_h", "by", "source")
    return {"id": row.pk} | {name: getattr(row, name) for name in names}


def walk_round(row: Sheet) -> shapes.WalkRound:
    """A walk-round with everything on it."""
    names = ("date_text", "hours_text", "hours_are", "unit", "version")
    asides = row.asides.filter(settled=False)
    return shapes.WalkRound(
        **_head(row),
        **{name: getattr(row, name) for name in names},
        readings=[_reading(each) for each in row.readingrows.all()],
        seen=[_seen(each) for each in row.seenrows.all() if each.kind != NOTHING_SEEN],
        looked_over=[
            place_of(each).key for each in row.seenrows.all() if each.kind == NOTHING_SEEN and each.how_bad
        ],
        aside=[shapes.KeptAside(id=one.pk, key=one.key, said=one.said, who=one.who) for one in asides],
    )


def _reading(row: ReadingRow) -> shapes.Reading:
    return shapes.Reading(
        key=f"{place_of(row).key}:{row.measurand}",
        read=row.typed,
        unit=row.unit,
        joints=row.over_joints,
        tool=row.tool if isinstance(row.tool, str) else "",
        keep=row.kept_because,
        value_m=row.value_m,
        problem=row.problem,
        version=row.version,
    )


def _seen(row: SeenRow) -> shapes.Seen:
    key = f"{place_of(row).key}:{row.kind}"
    return shapes.Seen(
        key=key,
        severity=row.how_bad,
        count=row.count,
        bad=row.how_bad,
        many=row.count,
        on_one=row.on_one,
        note=row.note,
        last_seen_on=row.last_seen_on,
        version=row.version,
    )


def verdict_row(row: Judgement, papers: list[str] | None = None) -> shapes.VerdictRow:
    """A stored verdict, without its figures."""
    names = ("machine_id", "as_of", "from_service_h", "call", "headline", "made_at", "who", "method", "version")
    told = {name: getattr(row, name) for name in names}
    if not prices_seen():
        told["headline"] = say(verdict_seen(row).headline)
    return shapes.VerdictRow(id=row.pk, price_list_id=row.prices_id, papers=papers, **told)


def price_row(row: PriceFile, in_force: bool) -> shapes.PriceListRow:
    """A price list in a list."""
    names = ("name", "entered_at", "who", "why", "taken_back_at")
    return shapes.PriceListRow(id=row.pk, in_force=in_force, **{name: getattr(row, name) for name in names})


def quote(row: FreeQuoteRow) -> shapes.Quote:
    """A free quote as it was given."""
    found, _, _ = unpacked(row.told)
    net, rate = found.net, found.tax_rate
    names = (
        "machine_id",
        "number",
        "on",
        "valid_until",
        "customer",
        "notes",
        "who",
        "at",
        "currency",
        "net",
        "put_away_at",
    )
    lines = [
        shapes.QuotedLine(
            said=line_said(line, found.with_labour).replace(GAP, " "),
            job=line.asked.job or "",
            part=line.asked.part or "",
            count=line.asked.count,
            per=line.per,
            labour_h=line.labour_h,
            listed=line.listed.usual if line.listed is not None else None,
            price=line.price.usual if line.price is not None else None,
            why=line.asked.why,
        )
        for line in found.lines
    ]
    return shapes.Quote(
        id=row.pk,
        price_list_id=row.prices_id,
        lines=lines,
        charges=[shapes.QuotedCharge(said=say(charge.words), amount=charge.amount) for charge in found.charges],
        tax_rate=rate,
        gross=with_tax(net, rate).gross.usual if net is not None and rate is not None else None,
        **{name: getattr(row, name) for name in names},
    )


def work(one: WorkDone) -> shapes.Work:
    """One job that was done."""
    spent, reckoned = one.spent, one.reckoned
    return shapes.Work(
        id=one.key,
        what=one.did.value,
        places=[place.key for place in one.places],
        date=one.date,
        service_h=one.service_h,
        seen_on=one.seen_on,
        put_right=[shapes.WorkRight(place=place.key, seen=kind.value) for place, kind in one.put_right],
        sizes=[f"{read.place.key} {read.measurand.value}: {read.words}" for read in one.readings],
        by=one.by,
        cost=shapes.WorkCost(labour=spent.labour, parts=spent.parts, currency=spent.currency) if spent else None,
        reckoned=shapes.WorkReckoned(amount=reckoned.amount, currency=reckoned.currency, source=reckoned.source)
        if reckoned
        else None,
        note=one.note,
        removed_because=one.because.value,
    )
