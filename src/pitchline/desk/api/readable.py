"""What a walk-round of one machine can read and see, with limits and tools; and lines that name none of it."""

import json
import tempfile
import uuid
from collections.abc import Iterable, Sequence
from itertools import groupby
from pathlib import Path as FilePath

from ninja import Path, Query, Router

from pitchline.desk.api import shapes, showing
from pitchline.desk.api.base import machine_here, octets, told, too_late
from pitchline.desk.api.bodies import LimitsFile, Line
from pitchline.desk.api.near import did_you_mean
from pitchline.desk.api.refused import RefusedError, unusable
from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.bridge.sheets import tools_of
from pitchline.desk.machine.actions import OldVersionError, change_file
from pitchline.desk.machine.limit_forms import brought_in, with_limits
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.uploads import upload
from pitchline.desk.walkround.form_lines import HEAD
from pitchline.desk.walkround.models import NOTHING_SEEN
from pitchline.exchange.limits_file import read_limits
from pitchline.exchange.sheet import SheetRow, sheet_rows
from pitchline.papers.names import place_said
from pitchline.trade.bolts import asks_on_one
from pitchline.trade.consequences import CONSEQUENCES
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.findings import FindingKind, asks_how_many
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import Place
from pitchline.words import label, translated

router = Router(tags=["walk-rounds"])


def dossier_here(machine: Machine) -> Dossier:
    """A machine with its running gear.

    Raises
    ------
    RefusedError
        409 where none is entered yet.
    """
    try:
        dossier = known_dossier(machine)
    except (InputError, NotAllowedError) as error:
        raise unusable(error, 409) from None
    if dossier is None:
        step = translated("Send its machine file first.")
        allowed = "a machine whose running gear is entered"
        raise RefusedError(409, Problem("running gear", translated("not entered yet"), allowed, step))
    return dossier


@router.get("/machines/{machine_id}/readable", response=shapes.Readable, openapi_extra=told(404, 409, 422))
def readable(request: DeskRequest, machine_id: Path[uuid.UUID]) -> shapes.Readable:
    """What a walk-round of this machine can read and see: each place in walking order, its quantities with sizes, its findings.

    The keys are those of the lines of a walk-round.
    """
    machine = machine_of(request.actor.business, machine_id)
    dossier = dossier_here(machine)
    rows = groupby(sheet_rows(dossier), lambda row: row.place)
    return shapes.Readable(
        machine_id=machine.pk,
        places=[_place(dossier, place, list(lines)) for place, lines in rows],
        tools=[
            shapes.ToolThere(
                name=tool.name,
                label=translated(tool.label),
                resolution_m=tool.resolution_m,
                permitted_error_m=tool.permitted_error_m,
                repeatability_m=tool.repeatability_m,
            )
            for tool in tools_of(dossier)
        ],
    )


def _place(dossier: Dossier, place: Place, rows: Sequence[SheetRow]) -> shapes.PlaceThere:
    kinds = [kind for kind in FindingKind if place.part in CONSEQUENCES[kind].parts]
    return shapes.PlaceThere(
        key=place.key,
        part=place.part.value,
        side=place.side.value,
        number=place.position,
        name=place_said(place, dossier.gear),
        quantities=[_quantity(dossier, row, row.measurand) for row in rows if row.measurand is not None],
        findings=[
            shapes.FindingThere(
                key=f"{place.key}:{kind.value}",
                finding=kind.value,
                name=label(kind),
                counted=asks_how_many(kind, place.part),
                on_one=asks_on_one(kind, place.part),
            )
            for kind in kinds
        ],
        looked_over=f"{place.key}:{NOTHING_SEEN}",
    )


def _quantity(dossier: Dossier, row: SheetRow, measurand: Measurand) -> shapes.QuantityThere:
    limit = dossier.limit_of(row.place.part, measurand)
    return shapes.QuantityThere(
        key=f"{row.place.key}:{measurand.value}",
        measurand=measurand.value,
        name=label(measurand),
        how=row.how,
        worn=MEASURANDS[measurand].direction.value,
        previous=row.previous,
        new_m=limit.new_m if limit else None,
        limit_m=limit.limit_m if limit else None,
        limit_assumed=limit.assumed if limit else False,
        source=limit.source if limit else "",
    )


def check_keys(dossier: Dossier, lines: Iterable[Line]) -> None:
    """Nothing comes out; afterwards every line is about something of this machine.

    Raises
    ------
    RefusedError
        Each that is not, at its own field, with the nearest key there is.
    """
    places = {place.key: place for place in dossier.gear.places()}
    problems = []
    for number, line in enumerate(lines):
        where, _, what = line.key.partition(":")
        place = places.get(where)
        known = _names_at(place) if place is not None else set()
        if line.key == HEAD or what in known:
            continue
        near = {f"{where}:{name}" for name in known} if place is not None else {*places, HEAD}
        typed = line.key if place is not None else where
        step = did_you_mean(typed, near, "GET /machines/{machine_id}/readable lists them.")
        allowed = (
            translated("something read or seen at {place}").format(place=where)
            if place is not None
            else translated("a place this machine has, or head")
        )
        problems.append(Problem(f"body.lines.{number}.key", line.key, allowed, step))
    if problems:
        raise RefusedError(422, *problems[:50])


def _names_at(place: Place) -> set[str]:
    wear = {one.value for one, words in MEASURANDS.items() if place.part in words.parts}
    return wear | {kind.value for kind in FindingKind if place.part in CONSEQUENCES[kind].parts} | {NOTHING_SEEN}


@router.post(
    "/machines/{machine_id}/limits",
    response=shapes.Machine,
    tags=["machines"],
    openapi_extra=told(404, 409, 422, body=octets()),
)
def bring_limits(request: DeskRequest, machine_id: Path[uuid.UUID], asked: Query[LimitsFile]) -> shapes.Machine:
    """New sizes and wear limits from a table, CSV or XLSX, into the machine; what it does not name stays. It is judged anew."""
    actor = request.actor
    one = machine_of(actor.business, machine_id)
    dossier = dossier_here(one)
    try:
        sent = upload(asked.filename, request.body)
        with tempfile.TemporaryDirectory() as folder:
            path = FilePath(folder) / sent.name
            path.write_bytes(sent.content)
            typed = brought_in(dossier, one.file_text, read_limits(path))
        text = with_limits(dossier, one.file_text, typed, actor.business.numbers)
        if json.loads(text) != json.loads(one.file_text):
            why = asked.why or translated("from {tried}").format(tried=sent.name)
            change_file(actor, machine_id=one.pk, seen_version=asked.seen_version, text=text, why=why)
    except OldVersionError as error:
        raise too_late(error, asked.seen_version) from None
    except (InputError, NotAllowedError) as error:
        raise unusable(error) from None
    judge_soon()
    return showing.machine(machine_here(request, one.pk))
