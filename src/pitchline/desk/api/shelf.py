"""The shelf over the API: what lies there, a count corrected, and what the lay-ups of a plan take of it."""

import uuid

from ninja import Path, Router

from pitchline.desk.api.base import told
from pitchline.desk.api.bodies import ShelfCount
from pitchline.desk.api.refused import RefusedError
from pitchline.desk.api.shapes import LayUpOrder, LayUpOrders, OnShelf, OrderedLine, Shelf
from pitchline.desk.clock import today
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.machine.shelved import KEPT, PLANNED, stops_shelved
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import DeskRequest, prices_seen
from pitchline.desk.shelf import actions, queries
from pitchline.desk.shelf.models import ShelfItem
from pitchline.desk.workplan.models import DecidedPlan, Plan
from pitchline.desk.workplan.queries import decided_plan, newest_plan
from pitchline.desk.workplan.stored import planned
from pitchline.papers.stop import PlannedStop, planned_stops
from pitchline.stops.order import OrderLine
from pitchline.trade.errors import NotAllowedError, Problem
from pitchline.words import say

router = Router(tags=["shelf"])


@router.get("/shelf", response=Shelf, openapi_extra=told())
def shelf(request: DeskRequest) -> Shelf:
    """What lies on the shelf, and how much of it is promised to kept lay-ups."""
    return Shelf(items=_items(request.actor.business))


@router.post("/shelf/{item_id}/count", response=OnShelf, openapi_extra=told(404, 409, 422))
def count_on_shelf(request: DeskRequest, item_id: Path[uuid.UUID], asked: ShelfCount) -> OnShelf:
    """A count corrected, with its reason. 409 where somebody else was faster."""
    row = queries.item_of(request.actor.business, item_id)
    said = actions.Counted(
        row.number,
        row.what,
        asked.count,
        row.entry,
        row.depot,
        row.place,
        row.used,
        row.reading,
        row.cost,
        row.note,
    )
    try:
        actions.keep_item(request.actor, said, asked.why, item_id=item_id, seen_version=asked.seen_version)
    except actions.OldItemError as error:
        seen, now = str(asked.seen_version), str(error.now.version)
        raise RefusedError(409, Problem("seen_version", seen, now, "Look at the shelf again.")) from None
    except NotAllowedError as error:
        raise RefusedError(422, error.problem) from None
    return next(one for one in _items(request.actor.business, item_id) if one.id == item_id)


def _items(business: Business, item_id: uuid.UUID | None = None) -> list[OnShelf]:
    rows = list(queries.in_use(business))
    promised = queries.promises(business, rows)
    many = {row.pk: sum(one.count for one in promised.get(str(row.pk), [])) for row in rows}
    return [_item(row, many[row.pk]) for row in rows if item_id in (None, row.pk)]


def _item(row: ShelfItem, promised: int) -> OnShelf:
    return OnShelf(
        id=row.pk,
        number=row.number,
        what=row.what,
        gear_id=row.entry_id,
        count=row.count,
        promised=promised,
        depot=row.depot.name if row.depot else "",
        place=row.place,
        used=row.used,
        reading=row.reading,
        cost=row.cost if prices_seen() else None,
        note=row.note,
        version=row.version,
    )


@router.get("/machines/{machine_id}/orders", response=LayUpOrders, openapi_extra=told(404, 409, 422))
def orders(request: DeskRequest, machine_id: Path[uuid.UUID]) -> LayUpOrders:
    """What each lay-up of a machine's kept plan takes, or of the newest one, and what of it is on the shelf.

    409 where there is no plan.
    """
    machine = machine_of(request.actor.business, machine_id)
    plan: DecidedPlan | Plan | None = decided_plan(machine) or newest_plan(machine)
    if plan is None or (isinstance(plan, Plan) and plan.state != Plan.DONE):
        raise RefusedError(409, Problem("plan", "nothing", "a plan that was worked out", "Ask for a plan first."))
    kept = isinstance(plan, DecidedPlan)
    verdict, _ = planned(plan)
    stops = stops_shelved(machine, planned_stops(verdict, None, today()), KEPT if kept else PLANNED)
    return LayUpOrders(lay_ups=[_lay_up(stop, kept) for stop in stops])


def _lay_up(stop: PlannedStop, kept: bool) -> LayUpOrder:
    lines = [_line(one) for one in (*stop.order.parts, *stop.order.consumables, *stop.order.ask)]
    return LayUpOrder(number=stop.number, day=stop.day, kept=kept, lines=lines)


def _line(one: OrderLine) -> OrderedLine:
    to_order = None if one.count is None else one.count - (one.on_shelf or 0)
    return OrderedLine(
        what=say(one.words), count=one.count, on_shelf=one.on_shelf, to_order=to_order, note=say(one.note)
    )
