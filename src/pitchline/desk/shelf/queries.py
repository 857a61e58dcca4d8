"""Reading the shelf, always inside one business: what lies there, what is promised, what is free for whom."""

import datetime as dt
import uuid
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.db.models import QuerySet
from django.http import Http404

from pitchline.desk.clock import today
from pitchline.desk.gearbook.queries import entries_of, fit_of, machines_with_fit
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of
from pitchline.desk.machine.shelved import KEPT, PLANNED
from pitchline.desk.people.models import Business
from pitchline.desk.shelf.actions import Counted
from pitchline.desk.shelf.models import LayUpNeeds, ShelfItem
from pitchline.desk.workplan.models import DecidedPlan
from pitchline.desk.workplan.stored import planned
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.machine_list import Cell
from pitchline.exchange.shelf_file import ShelfRow
from pitchline.papers.stop import planned_stops
from pitchline.stops.order import OrderList
from pitchline.stops.shelf import Stock, Want, allot, wants_of, with_shelf
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.work_done import RENEWING


@dataclass(frozen=True, slots=True)
class Promise:
    """Pieces of one entry of the shelf that a kept lay-up takes.

    Parameters
    ----------
    machine : Machine
        Whose.
    number : int
        Which lay-up.
    day : datetime.date
        When.
    count : int
        How many.
    """

    machine: Machine
    number: int
    day: dt.date
    count: int


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What one kept lay-up takes of one kind."""

    machine: Machine
    number: int
    day: dt.date
    want: Want


def items_of(business: Business) -> QuerySet[ShelfItem]:
    """Everything on the shelf, of the depots whoever asks may see; what was put away too."""
    return ShelfItem.objects.filter(business=business).select_related("entry", "depot")


def in_use(business: Business) -> QuerySet[ShelfItem]:
    """What is on the shelf now."""
    return items_of(business).filter(put_away_at=None)


def item_of(business: Business, item_id: uuid.UUID) -> ShelfItem:
    """One entry; not found where it is another business's, or another depot's."""
    found = items_of(business).filter(pk=item_id).first()
    if found is None:
        raise Http404("Nothing of that on this shelf.")
    return found


def stock_of(items: Sequence[ShelfItem]) -> list[Stock]:
    """Entries of the shelf as the core takes them."""
    return [
        Stock(str(one.pk), one.what, one.count, str(one.entry_id or ""), str(one.depot_id or "")) for one in items
    ]


def promises(business: Business, items: Sequence[ShelfItem]) -> dict[str, list[Promise]]:
    """What of each entry is promised to which kept lay-up, by its id; the soonest first."""
    wanted = _kept_wants(business)
    found: dict[str, list[Promise]] = defaultdict(list)
    for one, taken in zip(wanted, allot(stock_of(items), [one.want for one in wanted]), strict=True):
        for item, count in taken.items():
            found[item].append(Promise(one.machine, one.number, one.day, count))
    return found


def on_shelf(machine: Machine, orders: Sequence[OrderList], way: str) -> list[OrderList]:
    """Orders of one machine with what lies on the shelf for each; as they were where the yard keeps no shelf.

    Parameters
    ----------
    machine : Machine
        Whose.
    orders : sequence of OrderList
        One after the other: what one takes the next does not find.
    way : str
        `KEPT`: the lay-ups of its kept plan, in their turn among those of the yard. `PLANNED`: a plan in the place of the one
        it may have. Otherwise something besides all that is kept.
    """
    items = list(in_use(machine.business))
    if not items or not orders:
        return list(orders)
    stock, wanted = stock_of(items), _kept_wants(machine.business)
    gear, depot = _of(machine)
    mine = [[Want(what, count, gear, depot) for what, count in wants_of(order).items()] for order in orders]
    if way == KEPT:
        by_stop: dict[int, Counter[str]] = defaultdict(Counter)
        for one, taken in zip(wanted, allot(stock, [one.want for one in wanted]), strict=True):
            if one.machine.pk == machine.pk:
                by_stop[one.number][one.want.what] += sum(taken.values())
        return [with_shelf(order, by_stop[n]) for n, order in enumerate(orders, 1)]
    before = [one.want for one in wanted if way != PLANNED or one.machine.pk != machine.pk]
    found = iter(allot(stock, [*before, *(want for wants in mine for want in wants)])[len(before) :])
    return [
        with_shelf(order, {want.what: sum(next(found).values()) for want in wants})
        for order, wants in zip(orders, mine, strict=True)
    ]


def as_table(business: Business) -> list[tuple[Cell, ...]]:
    """The shelf as its file has it."""
    items = list(in_use(business))
    promised = promises(business, items)
    return [
        (
            one.number, one.what.replace("_", " "), one.entry.name if one.entry else "", float(one.count), one.place,
            one.depot.name if one.depot else "", "used" if one.used else "new", one.reading, one.cost, one.note,
            float(sum(each.count for each in promised.get(str(one.pk), []))),
        )
        for one in items
    ]  # fmt: skip


def for_machine(machine: Machine) -> list[ShelfItem]:
    """What lies on the shelf for a machine: of its running gear, where it stands."""
    gear, depot = _of(machine)
    return [
        one
        for one in in_use(machine.business).filter(count__gt=0)
        if stock_of([one])[0].suits(Want(one.what, 1, gear, depot))
    ]


def _of(machine: Machine) -> tuple[str, str]:
    fitting = fit_of(machine)
    return str(fitting.entry_id) if fitting is not None else "", str(machine.depot_id or "")


def _kept_wants(business: Business) -> list[_Wanted]:
    """What every kept lay-up of the yard still takes, the soonest first."""
    machines = {one.pk: one for one in machines_with_fit(business)}
    plans = DecidedPlan.objects.filter(business=business, put_away_at=None).defer("verdict_packed", "steps")
    known = {one.pk: one for one in LayUpNeeds.objects.filter(plan__business=business)}
    found = []
    for plan in plans:
        machine = machines.get(plan.machine_id)
        if machine is None:
            continue
        needs = known.get(plan.pk)
        if needs is None or needs.machine_version != machine.version:
            needs = _worked_out(plan, machine)
        gear, depot = str(getattr(machine, "book_entry", None) or ""), str(machine.depot_id or "")
        for n, (day, wants) in enumerate(needs.stops, 1):
            on = dt.date.fromisoformat(day)
            found += [
                _Wanted(machine, n, on, Want(what, count, gear, depot)) for what, count in _counts(wants).items()
            ]
    return sorted(found, key=lambda one: (one.day, str(one.machine.pk), one.number))


def _counts(wants: Mapping[str, int]) -> dict[str, int]:
    return {what: count for what, count in sorted(wants.items()) if count}


def _worked_out(plan: DecidedPlan, machine: Machine) -> LayUpNeeds:
    """Unpacked and counted once; what was renewed since the plan was kept is no longer wanted."""
    verdict, _ = planned(DecidedPlan.objects.get(pk=plan.pk))
    try:
        dossier = dossier_of(Machine.objects.get(pk=machine.pk))
    except (InputError, NotAllowedError):  # its page says what is wrong with the file
        dossier = None
    work = dossier.work if dossier is not None else ()
    since = [one for one in work if one.did in RENEWING and one.date >= plan.at.date()]
    done = frozenset(place for one in since for place in one.places)
    stops = [[one.day.isoformat(), wants_of(one.order, done)] for one in planned_stops(verdict, None, today())]
    needs, _ = LayUpNeeds.objects.update_or_create(
        plan=plan, defaults={"machine_version": machine.version, "stops": stops}
    )
    return needs


def counted_of(business: Business, rows: Sequence[ShelfRow], depots: object, *, held: bool) -> list[Counted]:
    """Rows of a table with the running gears and depots they name.

    Raises
    ------
    InputError
        A name that is none of the yard's, or another depot's number.
    """
    entries = {one.name: one for one in entries_of(business).filter(put_away_at=None).only("name")}
    places = {one.name: one for one in depots} if isinstance(depots, list) else {}
    mine = set(items_of(business).values_list("number", flat=True))
    others = set(ShelfItem._base_manager.filter(business=business).values_list("number", flat=True)) - mine
    gathering, found = Gathering("shelf"), []
    for one in rows:
        if one.gear and one.gear not in entries:
            step = "Enter it in the gear list first, or leave the cell empty."
            gathering.add("running gear", one.gear, "a name of the gear list, or nothing", step, one.row)
        if (one.depot or held) and one.depot not in places:
            gathering.add("depot", one.depot or "nothing", ", ".join(places) or "nothing", "Name it so.", one.row)
        if one.number in others:
            gathering.add(
                "number", one.number, "one that no other entry of the shelf has", "Take another.", one.row
            )
        found.append(
            Counted(
                one.number, one.what, one.count, entries.get(one.gear), places.get(one.depot), one.place, one.used,
                one.reading, one.cost, one.note,
            )
        )  # fmt: skip
    gathering.raise_if_any()
    return found
