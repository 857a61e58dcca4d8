"""Writing a machine's rows whenever it is judged, and taking them out where it no longer is."""

from collections.abc import Callable
from typing import Any

from django.utils import timezone

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.tables.models import JobRow, PartRow
from pitchline.exchange.yard_tables import JOB_COLUMNS, PART_COLUMNS, Column, Row, job_rows, part_rows
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
    moment = timezone.now()
    for model, columns, rows in _OF:
        model.objects.filter(machine=machine).delete()
        if verdict is not None:
            names = [column.name for column in columns]
            model.objects.bulk_create(
                model(
                    business_id=machine.business_id, machine=machine, number=number, changed_at=moment,
                    **dict(zip(names, cells, strict=True)),
                )
                for number, cells in enumerate(rows(verdict), 1)
            )  # fmt: skip
