"""Price lists over the API: entered byte for byte, the newest in force."""

import uuid

from django.http import HttpResponse
from django.utils.http import content_disposition_header
from ninja import Path, Query, Router
from ninja.responses import Status

from pitchline.desk.api import shapes, showing
from pitchline.desk.api.base import OCTETS, octets, told
from pitchline.desk.api.bodies import Paged, PricesFile
from pitchline.desk.api.refused import not_found, unusable
from pitchline.desk.machine.papers import XLSX
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.prices import enter_prices, newest_prices, prices_of
from pitchline.desk.uploads import upload
from pitchline.desk.yard.models import PriceFile
from pitchline.money.machine_class import MachineClass
from pitchline.trade.errors import InputError, NotAllowedError

router = Router(tags=["price lists"])
CSV = "text/csv"
NAMES = {CSV: "prices.csv", XLSX: "prices.xlsx"}


@router.get("/price-lists", response=shapes.PriceLists, openapi_extra=told(422))
def price_lists(request: DeskRequest, asked: Query[Paged]) -> dict[str, object]:
    """Every price list entered, the newest first: it is the one in force."""
    business = request.actor.business
    newest = newest_prices(business)
    rows = PriceFile.objects.filter(business=business).defer("content").order_by("-entered_at", "pk")
    return showing.page_of(rows, asked, lambda row: showing.price_row(row, newest is not None and row == newest))


@router.post(
    "/price-lists",
    response={201: shapes.PriceList},
    openapi_extra=told(422, body=octets()),
)
def enter_a_price_list(request: DeskRequest, asked: Query[PricesFile]) -> Status[shapes.PriceList]:
    """A price list as CSV or workbook, in force at once; every machine is priced anew.

    The one in force sent again changes nothing. Sent as text/csv or as a workbook's own kind of content it needs no name.
    """
    actor = request.actor
    try:
        sent = upload(NAMES.get((request.content_type or "").lower(), asked.filename), request.body)
        enter_prices(actor, name=sent.name, content=sent.content)
    except (InputError, NotAllowedError) as error:
        raise unusable(error) from None
    judge_soon()
    newest = newest_prices(actor.business)
    if newest is None:
        raise not_found()
    return Status(201, _whole(newest, True))


@router.get("/price-lists/in-force", response=shapes.PriceList, openapi_extra=told(404))
def price_list_in_force(request: DeskRequest) -> shapes.PriceList:
    """The price list in force, with its lines."""
    newest = newest_prices(request.actor.business)
    if newest is None:
        raise not_found("no price list is entered")
    return _whole(newest, True)


@router.get("/price-lists/{price_list_id}", response=shapes.PriceList, openapi_extra=told(404, 422))
def price_list(request: DeskRequest, price_list_id: Path[uuid.UUID]) -> shapes.PriceList:
    """One price list with its lines."""
    business = request.actor.business
    row = _one(business, price_list_id)
    return _whole(row, row == newest_prices(business))


@router.get(
    "/price-lists/{price_list_id}/content",
    response={200: None},
    openapi_extra=told(404, 422, ok={200: {"description": "The file.", "content": octets()["content"]}}),
)
def price_list_content(request: DeskRequest, price_list_id: Path[uuid.UUID]) -> HttpResponse:
    """The file as it was entered, byte for byte; its name stands in Content-Disposition."""
    row = _one(request.actor.business, price_list_id)
    response = HttpResponse(bytes(row.content), content_type=OCTETS)
    response.headers["Content-Disposition"] = content_disposition_header(True, row.name) or "attachment"
    return response


def _one(business: Business, price_list_id: uuid.UUID) -> PriceFile:
    row = PriceFile.objects.filter(business=business, pk=price_list_id).first()
    if row is None:
        raise not_found()
    return row


def _whole(row: PriceFile, in_force: bool) -> shapes.PriceList:
    try:
        prices = prices_of(row)
    except InputError as error:
        raise unusable(error) from None
    lines = [
        shapes.PriceLine(
            job=line.job.value,
            part=line.part.value,
            per=line.per,
            low=line.price_low,
            usual=line.price_usual,
            high=line.price_high,
            labour_h=line.labour_h,
            machines=_machines(line.which),
        )
        for line in prices.lines
    ]
    return shapes.PriceList(
        **showing.price_row(row, in_force).model_dump(),
        currency=prices.currency,
        labour_per_h=prices.labour_per_h,
        tax_rate=prices.tax_rate,
        source=prices.source,
        lines=lines,
        figures=[
            shapes.PriceFigure(name=one.name, amount=one.amount, machines=_machines(one.which))
            for one in prices.figures
        ],
    )


def _machines(which: MachineClass) -> shapes.PricedMachines:
    return shapes.PricedMachines(
        family=which.kind or "",
        mass_from_kg=which.mass_from_kg,
        mass_under_kg=which.mass_under_kg,
        gear_list=which.gear,
    )
