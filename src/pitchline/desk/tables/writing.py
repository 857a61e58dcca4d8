"""Writing rows whenever a machine is judged, or a plan or a price list comes into force; taking out what no longer holds."""

from collections.abc import Callable, Sequence
from typing import Any

from django.db import transaction
from django.utils import timezone

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.bridge.machines import entered_dossier
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.people.models import Business
from pitchline.desk.prices import newest_prices, number_of_list, prices_of
from pitchline.desk.tables.facts import lay_up_rows, price_rows, work_rows
from pitchline.desk.tables.models import JobRow, LayUpRow, PartRow, PriceRow, WorkRow
from pitchline.desk.workplan.models import DecidedPlan, Plan
from pitchline.desk.workplan.queries import decided_plan
from pitchline.exchange.yard_columns import (
    JOB_COLUMNS,
    LAY_UP_COLUMNS,
    PART_COLUMNS,
    PRICE_COLUMNS,
    WORK_COLUMNS,
    Column,
)
from pitchline.exchange.yard_tables import Row, job_rows, part_rows
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.verdict import Verdict

_OF: tuple[tuple[Any, tuple[Column, ...], Callable[[Verdict], list[Row]]], ...] = (
    (PartRow, PART_COLUMNS, part_rows),
    (JobRow, JOB_COLUMNS, job_rows),
)


def write_rows(sender: object, *, machine: Machine, judgement: Judgement | None, **_: Any) -> None:
    """Nothing comes out; inside the transaction that writes the judgement, where another one is in force now."""
    if judgement is not None and judgement.pk == machine.judgement_id:
        return
    verdict = verdict_of(judgement) if judgement is not None else None
    moment, of = timezone.now(), {"business_id": machine.business_id, "machine": machine}
    for model, columns, rows in _OF:
        model.objects.filter(machine=machine).delete()
        if verdict is not None:
            names = [column.name for column in columns]
            model.objects.bulk_create(
                model(**of, number=number, changed_at=moment, **dict(zip(names, cells, strict=True)))
                for number, cells in enumerate(rows(verdict), 1)
            )
    try:
        dossier = entered_dossier(machine)
    except (InputError, NotAllowedError):  # the machine's page says so
        dossier = None
    _renew(WorkRow, WORK_COLUMNS, of, work_rows(dossier) if dossier is not None else [])
    write_lay_ups(None, machine=machine, judgement=judgement)
    if judgement is not None and not _has_prices(judgement):
        write_prices(None, business=machine.business)


def _has_prices(judgement: Judgement) -> bool:
    """Whether the prices of a judgement are written; after an upgrade they are not yet."""
    return judgement.prices_id is None or PriceRow.objects.filter(source=judgement.prices_id).exists()


def write_lay_ups(sender: object, *, machine: Machine, judgement: Judgement | None, **_: Any) -> None:
    """Nothing comes out; afterwards the lay-ups are those of the plan that is kept, else of the newest for this verdict."""
    plan: Plan | DecidedPlan | None = decided_plan(machine)
    if plan is None and judgement is not None:
        done = Plan.objects.filter(machine=machine, state=Plan.DONE, judgement__footing=judgement.footing)
        plan = done.select_related("judgement__prices").first()
    if plan is not None and LayUpRow.objects.filter(machine=machine, source=plan.pk).exists():
        return
    more = {"business_id": machine.business_id, "machine": machine}
    more |= {"source": plan.pk} if plan is not None else {}
    _renew(LayUpRow, LAY_UP_COLUMNS, more, lay_up_rows(plan) if plan is not None else [])


def write_prices(sender: object, *, business: Business, **_: Any) -> None:
    """Nothing comes out; afterwards the prices are those of the list in force."""
    file = newest_prices(business)
    rows = price_rows(prices_of(file)) if file is not None else []
    more: dict[str, Any] = {"business": business}
    more |= {"source": file.pk, "list_number": number_of_list(file)} if file is not None else {}
    _renew(PriceRow, PRICE_COLUMNS[2:], more, rows)


def _renew(model: Any, columns: Sequence[Column], more: dict[str, Any], rows: Sequence[Row]) -> None:
    """Nothing comes out; a row that says the same as before keeps the moment at which it was written."""
    names = [column.name for column in columns]
    own = {name: more[name] for name in ("machine", "business") if name in more}
    with transaction.atomic():
        before = {tuple(cells): at for at, *cells in model.objects.filter(**own).values_list("changed_at", *names)}
        if not before and not rows:
            return
        moment = timezone.now()
        model.objects.filter(**own).delete()
        model.objects.bulk_create(
            model(
                **more, number=number, changed_at=before.get(tuple(cells), moment), **dict(zip(names, cells, strict=True))
            )
            for number, cells in enumerate(rows, 1)
        )  # fmt: skip
