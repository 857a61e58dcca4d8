"""The tables of the yard over the API: pages of rows, those changed since a moment alone where that is asked."""

import datetime as dt
from typing import Any

from ninja import Path, Query, Router

from pitchline.desk.api.base import told
from pitchline.desk.api.bodies import TableAsked, TableName
from pitchline.desk.api.refused import unusable
from pitchline.desk.api.shapes import TablePage
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.tables.forms import TableQuestion
from pitchline.desk.tables.queries import PAGE, cells_of, rows_of, table_seen
from pitchline.trade.errors import InputError, NotAllowedError

router = Router(tags=["tables"])


@router.get("/tables/{table}", response=TablePage, openapi_extra=told(404, 422))
def table_rows(request: DeskRequest, table: Path[TableName], asked: Query[TableAsked]) -> dict[str, Any]:
    """Rows of one table of the yard, 500 a page, by the names of its columns: verdicts, what was read, plans, prices, work."""
    typed = {key: str(value) for key, value in asked.model_dump().items() if key != "page" and value is not None}
    try:
        wanted = TableQuestion(typed).wanted()
    except (InputError, NotAllowedError) as error:
        raise unusable(error) from None
    known = table_seen(table)
    rows = rows_of(request.actor.business, known, wanted)
    count, names = rows.count(), [column.name for column in known.seen]
    here = rows[PAGE * (asked.page - 1) : PAGE * asked.page]
    items = [dict(zip(names, map(_plain, cells), strict=True)) for cells in cells_of(known, here)]
    return {"items": items, "page": asked.page, "pages": max(1, -(-count // PAGE)), "count": count}


def _plain(cell: Any) -> str | float | None:
    """A day or a moment as ISO 8601 writes it."""
    return cell.isoformat() if isinstance(cell, dt.date) else cell
