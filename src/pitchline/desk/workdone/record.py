"""A form that was filled in, as work: held against the machine, each refusal at its field."""

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import replace

from pitchline.desk.machine.forms import refused
from pitchline.desk.workdone.forms import DoneForm, WorkRowForm
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.meter import service_hours
from pitchline.trade.part_events import Because
from pitchline.trade.work_done import Did, Reckoned, Spent, WorkDone
from pitchline.words import translated

_FIELDS = {"day": "day", "hours": "hours"}
_IN_ROW = {
    "what was done": "did",
    "what was put right": "did",
    "why the old one came off": "because",
    "cost of labour": "labour",
    "cost of parts": "parts",
}


def work_of(head: DoneForm, rows: Sequence[WorkRowForm], dossier: Dossier) -> tuple[WorkDone, ...]:
    """The work a form tells; where something cannot be, none, and the form says at its field what and what to do next."""
    done = [row for row in rows if row.is_valid() and row.cleaned_data.get("done")]
    sound = all(row.is_valid() for row in rows)
    if not head.is_valid():
        return ()
    if not done:
        if sound:
            head.add_error(None, translated("Nothing is ticked as done. Tick each job that was done."))
        return ()
    day, key = head.cleaned_data["day"], head.cleaned_data["work_id"] or uuid.uuid4()
    hours_h = service_hours(head.cleaned_data["hours"], day, dossier.meter_changes)
    made: list[WorkDone] = []
    for number, row in enumerate(done):
        try:
            one = _work(head, row, dossier, f"{key}" if len(rows) == 1 else f"{key}-{number + 1}", day, hours_h)
            replace(dossier, work=(*dossier.work, *made, one))
        except NotAllowedError as error:
            _refuse(head, row, error)
        else:
            made.append(one)
    return tuple(made) if sound and len(made) == len(done) and head.is_valid() else ()


def written_before(head: DoneForm, dossier: Dossier) -> bool:
    """Whether this very form was sent before: twice by one hand is once."""
    key = head.cleaned_data.get("work_id") if head.is_valid() else None
    return key is not None and any(one.key.startswith(str(key)) for one in dossier.work)


def _work(head: DoneForm, row: WorkRowForm, dossier: Dossier, key: str, day: dt.date, hours_h: float) -> WorkDone:
    did = Did(row.cleaned_data["did"])
    walked = [walk.date for walk in dossier.walk_rounds if walk.date <= day]
    return WorkDone(
        key=key,
        did=did,
        places=row.places,
        date=day,
        service_h=hours_h,
        seen_on=walked[-1] if walked else None,
        put_right=row.put_right,
        readings=row.readings,
        by=head.cleaned_data["by"],
        spent=_spent(head, row),
        reckoned=_in_proportion(row),
        note=head.cleaned_data["note"],
        because=Because(row.cleaned_data["because"] or Because.UNKNOWN),
    )


def _spent(head: DoneForm, row: WorkRowForm) -> Spent | None:
    labour, parts = row.amount("labour"), row.amount("parts")
    if labour is None and parts is None:
        return None
    if not head.code:
        raise NotAllowedError(
            "currency",
            translated("nothing"),
            "three capital letters, such as EUR",
            "Type the currency of the cost.",
        )
    return Spent(labour or 0.0, parts or 0.0, head.code)


def _in_proportion(row: WorkRowForm) -> Reckoned | None:
    """What the places it was done at were reckoned to cost: their share of all of them."""
    whole, of = row.row.reckoned, len(row.row.ticked)
    if whole is None or not of:
        return None
    return replace(whole, amount=round(whole.amount * len(row.places) / of, 2))


def _refuse(head: DoneForm, row: WorkRowForm, error: NotAllowedError) -> None:
    """The refusal at its field, once: a day or hours that cannot be stand above all jobs."""
    field = error.problem.field
    if field in _FIELDS or field in head.fields:
        if field not in head.errors:
            head.add_error(_FIELDS.get(field, field), refused(error))
    else:
        row.add_error(_IN_ROW.get(field), refused(error))
