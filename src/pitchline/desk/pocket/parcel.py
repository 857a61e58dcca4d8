"""Everything a phone needs to walk round one machine without the desk: written here, so that the app glues no sentence together.

What rests on stored things alone is made once and kept (`piece_cache.py`); the unfinished walk-round is added as it stands.
"""

import json
import uuid
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from django.utils.html import format_html, format_html_join

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.bridge.sheets import Rows, place_of
from pitchline.desk.bridge.unpriced import unpriced
from pitchline.desk.clock import today
from pitchline.desk.drawing import SMALL, inline, measured_address
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.pages import PartLine, part_lines, pressing_side
from pitchline.desk.machine.queries import dossier_of, rows_on, sheets_of
from pitchline.desk.people.models import Business
from pitchline.desk.piece_cache import cached
from pitchline.desk.pocket.marks import moment_said, parcel_mark, sheet_marks, way_of
from pitchline.desk.pocket.told import Line, told_book, told_of
from pitchline.desk.problems import problems_of
from pitchline.desk.walkround.fields import PlaceFields, ReadingField
from pitchline.desk.walkround.models import NOTHING_SEEN, ReadingRow, SeenRow, Sheet
from pitchline.desk.walkround.pages import sheet_page
from pitchline.desk.walkround.sketch import WIDE, Route, route_of
from pitchline.exchange.figures import meter_h_of
from pitchline.papers import words
from pitchline.papers.rows import hours_axis
from pitchline.picture.side import side_svg
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.findings import Severity
from pitchline.trade.jobs import Caution
from pitchline.trade.machine import MachineKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import Place
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure, writing
from pitchline.verdict import Verdict
from pitchline.words import label, say
from pitchline.words.called import looked_said, machine_called
from pitchline.words.catalogue import refused
from pitchline.words.cautions import caution_text, title

SHAPE = 1
_ON_ONE = {True: "yes", False: "no", None: ""}


def parcel_of(machine: Machine) -> tuple[str, bytes]:
    """The mark of a machine's parcel, and the parcel as JSON."""
    way = way_of(machine.business)
    mark = mark_of(machine, way)
    sheets = sheets_of(machine)
    finished = [(one.pk, one.version, one.touched_at) for one in sheets if one.state == Sheet.FINISHED]
    key = ("pocket", parcel_mark(machine, finished, way))
    kept = cached(
        key, lambda: {"parcel": as_json(_parcel(machine, sheets))}, str(machine.judgement_id or machine.pk)
    )
    draft = _draft(machine, sheets)
    return mark, f'{{"etag":"{mark}","draft":{as_json(draft)},{kept["parcel"][1:]}'.encode()


def mark_of(machine: Machine, way: str) -> str:
    """The mark of a machine's parcel, without the parcel."""
    return parcel_mark(machine, sheet_marks(machine.business, machine.pk).get(machine.pk, ()), way)


def as_json(told: object) -> str:
    """JSON without a space it does not need."""
    return json.dumps(told, ensure_ascii=False, separators=(",", ":"))


def _parcel(machine: Machine, sheets: list[Sheet]) -> dict[str, Any]:
    dossier, wrong = _known(machine, sheets)
    parcel: dict[str, Any] = {
        "shape": SHAPE,
        "id": str(machine.pk),
        **which(machine),
        "unit": unit_of(machine.business),
        "day": today().isoformat(),
        "hours": machine.hours_text,
        "hours_on": "",
        "cautions": [*cautions(), *wrong],
        "verdict": None,
        "drawing": "",
        "route": None,
        "hows": {},
        "tools": [],
        "severities": severities(),
        "places": [],
        "told": None,
    }
    if machine.judgement is not None:
        verdict = unpriced(verdict_of(machine.judgement))
        with writing(replace(verdict.writing, language=machine.business.language)):
            parcel["verdict"], parcel["drawing"] = _verdict(verdict), _drawing(verdict, machine)
    if dossier is not None:
        parcel |= _hours(dossier) | round_told(machine, dossier)
    return parcel


def cautions() -> list[str]:
    """What stands beside every walk-round."""
    return [f"{title(Caution.MOVING_TRACK)}. {caution_text(Caution.MOVING_TRACK)}", words.working_aid()]


def severities() -> list[list[str]]:
    """How bad something is, to choose from."""
    return [[each.value, label(each)] for each in Severity]


def which(machine: Machine) -> dict[str, str]:
    """Which machine it is, as a list and its parcel say it."""
    return {
        "name": machine.name,
        "kind": machine.kind,
        "kind_said": label(MachineKind(machine.kind)),
        "customer": machine.customer,
        "site": machine.place,
        "serial_number": machine.serial_number,
        "owner_number": machine.owner_number,
    }


def unit_of(business: Business) -> str:
    """The unit of a figure that has none."""
    return "in" if business.units == UnitSystem.IMPERIAL.value else "mm"


def _known(machine: Machine, sheets: list[Sheet]) -> tuple[Dossier | None, list[str]]:
    """What is known of a machine; where something of it no longer goes together, what is wrong, and its running gear alone."""
    try:
        return dossier_of(machine, sheets), []
    except (InputError, NotAllowedError) as error:
        wrong = [refused(problem) for problem in problems_of(error)]
    try:
        return known_dossier(machine), wrong
    except (InputError, NotAllowedError):
        return None, wrong


def _hours(dossier: Dossier) -> dict[str, str]:
    """What the meter showed last time, and on which day."""
    last = dossier.last_walk_round
    if last is None:
        return {}
    shown_h = meter_h_of(last.service_h, last.date, dossier.meter_changes)
    hours_h = last.service_h if shown_h is None else shown_h
    return {"hours": as_figure(hours_h, ",.10g"), "hours_on": words.day(last.date)}


def _verdict(verdict: Verdict) -> dict[str, Any]:
    return {
        "call": verdict.call.value,
        "call_said": machine_called(verdict),
        "headline": say(verdict.headline),
        "of": words.judged_for(verdict),
        "looked": looked_said(verdict.looked_at),
        "parts": [_part(one) for one in part_lines(verdict, hours_axis(verdict))],
    }


def _part(one: PartLine) -> dict[str, str]:
    return {
        "place": one.key,
        "name": one.name,
        "call": one.call,
        "call_said": one.label,
        "stake": one.about,
        "used": one.used,
        "hours": one.said,
        "why": one.reason,
    }


def _drawing(verdict: Verdict, machine: Machine) -> str:
    units = UnitSystem(machine.business.units)
    try:
        svg = side_svg(verdict, pressing_side(verdict), SMALL, units, prefix="sidesmall")
    except NotAllowedError:
        return ""
    return str(inline(svg, "sidesmall", {}))


def round_told(machine: Machine, dossier: Dossier) -> dict[str, Any]:
    """What a walk-round asks, as a sheet begun today would."""
    unit, day = unit_of(machine.business), today()
    book, last = told_book(dossier, unit), dossier.last_walk_round
    hours_h = last.service_h if last is not None else 0.0

    def told(place: str, what: str) -> Line:
        return told_of(dossier, Place.from_key(place), Measurand(what), day, hours_h, book)

    sheet = Sheet(machine=machine, business=machine.business, date=day, date_text=day.isoformat(), unit=unit)
    shown, route = sheet_page(sheet, Rows(), dossier), route_of(dossier.gear)
    return {
        "route": _route(route) if route is not None else None,
        "hows": {
            quantity: {"how": how, "picture": measured_address(Measurand(quantity))}
            for quantity, how in shown.hows
        },
        "tools": [list(each) for each in shown.tools],
        "places": [_place(each, told) for each in shown.places],
        "told": book,
    }


def _route(route: Route) -> dict[str, Any]:
    sides = format_html_join("", '<g data-side="{}">{}</g>', route.sides)
    svg = format_html(
        '<svg class="route" viewBox="0 0 {0} {1}" width="{0}" height="{1}" aria-hidden="true" focusable="false">{2}'
        '<path class="here" d="M0 0l-7-13h14Z" data-here></path></svg>',
        round(WIDE),
        route.height,
        sides,
    )
    spots = {
        key: {"side": spot.side, "name": spot.name, "x": spot.x, "y": spot.y} for key, spot in route.spots.items()
    }
    return {"svg": str(svg), "spots": spots}


def _place(place: PlaceFields, told: Callable[[str, str], Line]) -> dict[str, Any]:
    return {
        "key": place.key,
        "name": place.name,
        "side": place.side,
        "spot": place.key if place.spot is not None else "",
        "readings": [_reading(each, told(place.key, each.quantity)) for each in place.readings],
        "seen": [
            {
                "key": each.key,
                "label": each.label,
                "pattern": each.pattern,
                "piece": each.piece,
                "several": each.several,
            }
            for each in place.seen
        ],
        "before": [{"key": each.key, "said": each.said} for each in place.before],
        "last_seen": place.last_seen,
        "looked": place.nothing.key,
    }


def _reading(each: ReadingField, told: Line) -> dict[str, Any]:
    return {
        "key": each.key,
        "label": each.label,
        "what": each.quantity,
        "spans": each.spans,
        "joints": each.joints,
        "unit": each.unit,
        "over": each.over,
        "sizes": [
            {"name": size.name, "said": size.said, "after": size.after, "each": size.each} for size in each.sizes
        ],
        "unjudged": bool(each.enter_at),
        "told": told,
    }


def _draft(machine: Machine, sheets: Sequence[Sheet]) -> dict[str, Any] | None:
    """The unfinished walk-round last written on, with its lines."""
    drafts = [one for one in sheets if one.state == Sheet.DRAFT]
    if not drafts:
        return None
    sheet = max(drafts, key=lambda one: one.last_written)
    return {
        "id": str(sheet.pk),
        "by": sheet.by,
        "begun": moment_said(sheet.created_at),
        "version": sheet.version,
        "head": {"date": sheet.date_text, "hours": sheet.hours_text, "by": sheet.by, "unit": sheet.unit},
        "lines": {key: {"fields": fields, "v": version} for key, fields, version in lines_of(sheet)},
        "left_at": sheet.left_at,
    }


def lines_of(sheet: Sheet) -> list[tuple[str, dict[str, str], int]]:
    """Every line of a sheet as its fields were typed: key, fields by their short names, version."""
    rows = rows_on(sheet)
    read = [(f"{place_of(row).key}:{row.measurand}", _typed(row), row.version) for row in rows.readings]
    seen = [(f"{place_of(row).key}:{row.kind}", _seen(row), row.version) for row in rows.seen if row.nth == 0]
    return read + seen


def _typed(row: ReadingRow) -> dict[str, str]:
    texts = dict(zip("123", row.typed, strict=False))
    return texts | {
        "joints": row.over_joints,
        "tool": row.tool,
        "keep": row.kept_because,
        "unit": row.unit,
        "out": row.not_read_because,
    }


def _seen(row: SeenRow) -> dict[str, str]:
    if row.kind == NOTHING_SEEN:
        return {"looked": row.how_bad}
    return {"bad": row.how_bad, "many": str(row.count or ""), "note": row.note, "one": _ON_ONE[row.on_one]}


def machine_in_the_list(business: Business, machine_id: uuid.UUID) -> Machine | None:
    """A machine a phone may carry: not one that was archived."""
    whole = Machine.objects.select_related("judgement", "business").filter(business=business, archived_at=None)
    return whole.defer("judgement__inputs_packed", "judgement__verdict_packed").filter(pk=machine_id).first()
