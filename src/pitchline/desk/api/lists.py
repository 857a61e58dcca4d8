"""Lists of machines over the API: a table of the whole yard in, what it would change row by row, and then changing it."""

import uuid
from typing import Any

from ninja import Path, Query, Router
from ninja.responses import Status

from pitchline.desk.api import showing
from pitchline.desk.api.base import octets, told
from pitchline.desk.api.bodies import FileAsked, ListAsked, Nothing
from pitchline.desk.api.refused import told as problem_told
from pitchline.desk.api.refused import unusable
from pitchline.desk.api.shapes import MachineListSent
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.uploads import upload
from pitchline.desk.yard.listing import CHANGED, NEW, REFUSED, UNCHANGED
from pitchline.desk.yard.lists import begin_list, list_of, order_list
from pitchline.desk.yard.models import MachineList
from pitchline.desk.yard.worker import Progress, at_work
from pitchline.trade.errors import InputError, Problem

router = Router(tags=["machines"])


@router.post("/machine-lists", response={201: MachineListSent}, openapi_extra=told(422, body=octets()))
def send_machine_list(request: DeskRequest, asked: Query[FileAsked]) -> Status[dict[str, object]]:
    """A table of machines, CSV or XLSX, is read; nothing is changed before it is applied. Its address says how far it is."""
    try:
        one = begin_list(request.actor, upload(asked.filename, request.body))
    except InputError as error:
        raise unusable(error) from None
    at_work(one)
    return Status(201, _shown(list_of(request.actor.business, one.pk), ListAsked.model_validate({})))


@router.get("/machine-lists/{list_id}", response=MachineListSent, openapi_extra=told(404, 422))
def machine_list(request: DeskRequest, list_id: Path[uuid.UUID], asked: Query[ListAsked]) -> dict[str, object]:
    """How far a list is, how many rows it changes, and its rows, each refused one with its own reasons."""
    return _shown(list_of(request.actor.business, list_id), asked)


@router.post("/machine-lists/{list_id}/apply", response=MachineListSent, openapi_extra=told(404, 422))
def apply_machine_list(request: DeskRequest, list_id: Path[uuid.UUID], asked: Nothing) -> dict[str, object]:
    """Change exactly what was shown. `changed_meanwhile` where the yard is no longer so; then nothing was changed."""
    one = list_of(request.actor.business, list_id)
    order_list(request.actor, one)
    at_work(one)
    return _shown(list_of(request.actor.business, one.pk), ListAsked.model_validate({}))


def _shown(one: MachineList, asked: ListAsked) -> dict[str, object]:
    done, of = Progress(one.pk).look() if one.state in MachineList.AT_WORK else (0, 0)
    many = {what: sum(step["what"] == what for step in one.steps) for what in (NEW, CHANGED, UNCHANGED, REFUSED)}
    steps = [step for step in one.steps if asked.what in (None, step["what"])]
    names = ("id", "name", "state", "failed", "changed_meanwhile", "undo_id")
    return {name: getattr(one, name) for name in names} | {
        "done": done,
        "of": of,
        **{f"rows_{what}": number for what, number in many.items()},
        "problems": [problem_told(Problem(**each)) for each in one.problems][:200],
        "rows": showing.page_of(steps, asked, _row),
    }


def _row(step: dict[str, Any]) -> dict[str, object]:
    return {name: step[name] for name in ("row", "what", "name")} | {
        "machine_id": step["machine_id"] or None,
        "problems": [problem_told(Problem(**each)) for each in step.get("problems", ())],
    }
