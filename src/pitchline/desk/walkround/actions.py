"""Writing on a sheet, line by line. Saving twice changes nothing; an older writing never overwrites somebody else's newer one."""

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.db import IntegrityError, transaction
from django.http import Http404
from django.utils import timezone

from pitchline.desk.bridge.machines import known_dossier, whole_dossier
from pitchline.desk.bridge.sheets import (
    line_number,
    problem_said,
    set_head,
    set_value,
    walk_round_of,
)
from pitchline.desk.machine.actions import mark_for_judging
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import rows_on, sheets_of
from pitchline.desk.people.who import Actor
from pitchline.desk.thousands import length_text, number_text
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.walkround.form_lines import HEAD, Typed, check
from pitchline.desk.walkround.models import (
    LOOKED,
    NOTHING_SEEN,
    Aside,
    FormerReading,
    ReadingRow,
    SeenRow,
    Sheet,
)
from pitchline.exchange.words import severity_of
from pitchline.trade.bolts import asks_on_one
from pitchline.trade.consequences import Severity
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import NotAllowedError, Problem, phrase
from pitchline.trade.findings import CONSEQUENCES, COUNTED, FindingKind, severity_of_bolts
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import Place
from pitchline.trade.readings import WalkRound
from pitchline.trade.units import show_length
from pitchline.words import in_english, translated, worded
from pitchline.words.catalogue import seen_said
from pitchline.words.names import named

_ON_ONE = {"yes": True, "no": False, "": None}
_READING = {
    "joints": "over_joints",
    "tool": "tool",
    "keep": "kept_because",
    "unit": "unit",
    "out": "not_read_because",
}
_HEAD = {"date": "date_text", "hours": "hours_text", "by": "by", "unit": "unit"}


@dataclass(frozen=True, slots=True)
class Saved:
    """What became of one line.

    Parameters
    ----------
    key : str
        Its key.
    version : int
        Its version now.
    words : str
        "saved", or what happened instead; empty where there is nothing to say, or `problem` says it.
    problem : str
        Why what was typed cannot be used; empty where it can.
    aside : bool
        Whether somebody else's newer writing stands, and this one was kept aside.
    """

    key: str
    version: int
    words: str
    problem: str = ""
    aside: bool = False


def start_sheet(actor: Actor, *, machine_id: uuid.UUID, sheet_id: uuid.UUID, day: dt.date | None) -> Sheet:
    """A new sheet, its day still to be typed where None; or the same one where this start was sent before.

    Raises
    ------
    Http404
        Another business's machine or sheet.
    """
    known = _begun_before(actor, sheet_id)
    if known is not None:
        return known
    machine = Machine.objects.filter(business=actor.business, pk=machine_id).first()
    if machine is None or not machine.file_text:
        raise Http404("No such machine in this yard, or its running gear is not entered yet.")
    unit = "in" if actor.business.units == "imperial" else "mm"
    try:
        with transaction.atomic():
            sheet = Sheet.objects.create(
                pk=sheet_id,
                business=actor.business,
                machine=machine,
                date_text=day.isoformat() if day is not None else "",
                date=day,
                unit=unit,
                by=actor.signature,
            )
            note(actor, machine.pk, [Told(phrase("walk-round begun"), "", sheet.date_text)])
    except IntegrityError:  # sent twice, and the other was faster by a hair
        known = _begun_before(actor, sheet_id)
        if known is None:
            raise
        return known
    return sheet


def _begun_before(actor: Actor, sheet_id: uuid.UUID) -> Sheet | None:
    known = Sheet.objects.filter(pk=sheet_id).first()
    if known is not None and known.business_id != actor.business.pk:
        raise Http404("No such walk-round in this yard.")
    return known


def save_lines(
    actor: Actor, *, sheet_id: uuid.UUID, writer: str, lines: Sequence[Typed], why: str = ""
) -> list[Saved]:
    """What became of each line.

    Raises
    ------
    Http404
        Another business's sheet.
    NotAllowedError
        What was typed is no such thing or too long, the sheet was put away, or it is finished and no reason was given.
    """
    with transaction.atomic():
        sheet = locked(actor, sheet_id)
        dossier = known_dossier(sheet.machine)
        if dossier is None:
            raise Http404("This machine has no running gear entered.")
        told: list[Told] = []
        for line in lines:
            check(line)
        saved = []
        for line in lines:
            before = len(told)
            saved.append(_save(actor, sheet, dossier, writer, line, told, why))
            if len(told) > before:  # where one left off: day and hours are no part
                sheet.touched_at, sheet.left_at = timezone.now(), line.place_key if line.what else sheet.left_at
        if told:
            sheet.save(update_fields=["touched_at", "left_at"])
        if told and sheet.state == Sheet.PUT_AWAY:
            raise NotAllowedError(
                "walk-round", translated("put away"), "one that is in use", "Bring it back first."
            )
        if told and sheet.state == Sheet.FINISHED:
            if not why.strip():
                raise NotAllowedError(
                    "why", translated("nothing"), "a reason for the correction", "Say why it is changed."
                )
            check_whole(sheet, dossier)
            mark_for_judging(sheet.machine_id)
        note(actor, sheet.machine_id, [replace(one, why=why) for one in told])
    return saved


def locked(actor: Actor, sheet_id: uuid.UUID) -> Sheet:
    """A sheet of the asking business, nobody else's until the transaction ends."""
    found = Sheet.objects.select_for_update(of=("self",)).select_related("machine")
    sheet = found.filter(business=actor.business, pk=sheet_id).first()
    if sheet is None:
        raise Http404("No such walk-round in this yard.")
    return sheet


def _save(
    actor: Actor, sheet: Sheet, dossier: Dossier, writer: str, line: Typed, told: list[Told], why: str
) -> Saved:
    if line.key == HEAD:
        return _save_head(actor, sheet, dossier, writer, line, told)
    place = Place.from_key(line.place_key)
    if place not in dossier.gear.places():
        raise NotAllowedError("place", line.place_key, "a place this machine has", "Open the page again.")
    if line.what in {measurand.value for measurand in Measurand}:
        return _save_reading(actor, sheet, dossier, writer, line, place, told, why)
    return _save_seen(actor, sheet, writer, line, place, told)


def _is_older(version: int, last_writer: str, line: Typed, writer: str) -> bool:
    """Whether somebody else has written since this line was shown."""
    return version != line.seen_version and (not writer or last_writer != writer)


def _keep_aside(actor: Actor, sheet: Sheet, line: Typed, version: int, said: str, stands: str) -> Saved:
    fields = dict(line.fields)
    known = sheet.asides.filter(key=line.key, who=actor.name, settled=False)
    if not any(one.fields == fields for one in known):
        Aside.objects.create(sheet=sheet, key=line.key, fields=fields, said=said, who=actor.name)
    words = worded(
        "Somebody else wrote {theirs} here meanwhile. Theirs stands; yours ({yours}) is kept below.",
        theirs=seen_said(stands) or translated("nothing"),
        yours=said,
    )
    return Saved(line.key, version, words, aside=True)


def _severity_said(text: str) -> str:
    """How bad, as its label; "no" and nothing as they are."""
    return phrase(named(Severity(text)) if text not in ("", "no", "not seen") else text)


def _save_head(actor: Actor, sheet: Sheet, dossier: Dossier, writer: str, line: Typed, told: list[Told]) -> Saved:
    changes = {_HEAD[name]: text.strip() for name, text in line.fields.items() if name in _HEAD}
    if changes.get("unit", "mm") not in ("mm", "in"):
        raise NotAllowedError("unit", changes["unit"], "mm or in", "Choose one.")
    if "hours_text" in changes:
        changes["hours_text"] = number_text(changes["hours_text"], actor.business.numbers, "h")
    changed = {name: text for name, text in changes.items() if getattr(sheet, name) != text}
    if not changed:
        return _head_saved(sheet, set_head(sheet, dossier))
    if _is_older(sheet.version, sheet.writer, line, writer):
        stands = ", ".join(getattr(sheet, name) for name in changed)
        return _keep_aside(actor, sheet, line, sheet.version, ", ".join(changed.values()), stands)
    told += [
        Told(phrase("walk-round, {field}", field=phrase(name.removesuffix("_text"))), getattr(sheet, name), text)
        for name, text in changed.items()
    ]
    if "hours_text" in changed:
        sheet.hours_are = "meter"
    for name, text in changed.items():
        setattr(sheet, name, text)
    problems = set_head(sheet, dossier)
    sheet.version, sheet.writer = sheet.version + 1, writer
    sheet.save(update_fields=[*changes, "hours_are", "date", "service_h", "version", "writer"])
    return _head_saved(sheet, problems)


def _head_saved(sheet: Sheet, problems: Sequence[Problem]) -> Saved:
    said = " ".join(map(problem_said, problems))
    return Saved(HEAD, sheet.version, "" if said else translated("saved"), said)


def _said(row: ReadingRow) -> str:
    if row.not_read_because:
        return row.not_read_because
    read = ", ".join(row.typed or [show_length(repeat_m) for repeat_m in row.repeats_m])
    return phrase("{read} over {n} joints", read=read, n=row.over_joints) if row.over_joints else read


def _save_reading(
    actor: Actor,
    sheet: Sheet,
    dossier: Dossier,
    writer: str,
    line: Typed,
    place: Place,
    told: list[Told],
    why: str,
) -> Saved:
    where = {"part": place.part.value, "side": place.side.value, "position": place.position}
    row = sheet.readingrows.filter(measurand=line.what, **where).first()
    joints = line.fields.get("joints", row.over_joints if row is not None else "")
    unit = line.fields.get("unit", row.unit if row is not None else sheet.unit)
    line = _without_marks(line, actor.business.numbers, unit, _joints(joints, dossier))
    typed = _reading_fields(line)
    if row is None and not line.read and not typed.get("not_read_because"):
        return Saved(line.key, 0, "")
    if row is not None and all(getattr(row, name) == value for name, value in typed.items()):
        return Saved(line.key, row.version, "" if row.problem else translated("saved"), row.problem)
    if row is not None and _is_older(row.version, row.writer, line, writer):
        return _keep_aside(actor, sheet, line, row.version, ", ".join(line.read), _said(row))
    if row is not None and _was_judged(sheet, row):
        _keep_former(actor, row, seen_said(why) or in_english("changed while the walk-round was taken up again"))
    before = _said(row) if row is not None else ""
    if row is None:
        number = line_number(dossier.gear, place, Measurand(line.what))
        row = ReadingRow(sheet=sheet, measurand=line.what, number=number, version=0, unit=sheet.unit, **where)
    for name, value in typed.items():
        setattr(row, name, value)
    if "typed" in typed:
        row.beyond = {
            key: value for key, value in row.beyond.items() if key not in ("read_m", "typed", "tool_as_used")
        }
    set_value(row, dossier)
    row.version, row.writer = row.version + 1, writer
    row.save()
    told.append(
        Told(phrase("{what:quantity}, {place:place}", what=line.what, place=place.key), before, _said(row))
    )
    words = translated("saved") if line.read or row.not_read_because else translated("taken out")
    words = "" if row.problem else words
    return Saved(line.key, row.version, words, row.problem)


def _joints(text: str, dossier: Dossier) -> range:
    """Over how many joints a length may have been read: as said, or any number of them."""
    said = int(text) if text.strip().isdecimal() and len(text) < 4 else 0
    return range(said, said + 1) if said else range(1, dossier.gear.joints_per_side + 1)


def _without_marks(line: Typed, numbers: str, unit: str, joints: range) -> Typed:
    """The line with its repeats as the desk keeps them: without thousands marks."""
    words = MEASURANDS[Measurand(line.what)]
    times = (joints[0], joints[-1]) if words.spans_joints else (1, 1)
    least_m, most_m = words.least_m * times[0], words.most_m * times[1]
    read = {
        name: length_text(line.fields[name], numbers, unit, least_m, most_m)
        for name in "123"
        if name in line.fields
    }
    return replace(line, fields={**line.fields, **read})


def _was_judged(sheet: Sheet, row: ReadingRow) -> bool:
    """Whether what stands on a line was in a judgement: a draft's first writing counts for nothing yet."""
    if sheet.state == Sheet.FINISHED or sheet.finished_at is None:
        return sheet.state == Sheet.FINISHED
    return row.version > 0 and not row.former.filter(at__gte=sheet.finished_at).exists()


def _keep_former(actor: Actor, row: ReadingRow, why: str) -> None:
    """What stands before a correction is kept beside the line, with who changed it and why."""
    stands = {
        name: getattr(row, name) for name in ("typed", "unit", "over_joints", "tool", "kept_because", "value_m")
    }
    if not row.typed and row.repeats_m:
        stands["typed"] = [show_length(repeat_m) for repeat_m in row.repeats_m]
    FormerReading.objects.create(row=row, who=actor.name, why=why, **stands)


def _reading_fields(line: Typed) -> dict[str, object]:
    typed: dict[str, object] = {
        column: line.fields[name].strip() for name, column in _READING.items() if name in line.fields
    }
    if {"1", "2", "3"} & line.fields.keys():
        typed["typed"] = line.read
    if line.read:
        typed["not_read_because"] = ""
    return typed


def _save_seen(actor: Actor, sheet: Sheet, writer: str, line: Typed, place: Place, told: list[Told]) -> Saved:
    if line.what == NOTHING_SEEN:
        return _save_looked(actor, sheet, writer, line, place, told)
    kind = next((each for each in FindingKind if each.value == line.what), None)
    if kind is None or place.part not in CONSEQUENCES[kind].parts:
        raise NotAllowedError(
            "seen",
            line.what,
            phrase("something that is seen on {place:place}", place=place.key),
            "Choose from the list.",
        )
    bad = severity_of(line.fields["bad"]).value if line.fields.get("bad") else ""
    count = _how_many(line.fields.get("many", ""), kind)
    where = {"part": place.part.value, "side": place.side.value, "position": place.position}
    row = sheet.seenrows.filter(kind=kind.value, nth=0, **where).first()
    if kind in COUNTED and not bad and count and (row is None or row.count != count):
        bad = severity_of_bolts(count).value
    if row is None and not bad and "bad" not in line.fields:
        return Saved(line.key, 0, "")
    typed: dict[str, object] = {"how_bad": bad, "count": count or 1}
    if kind in COUNTED and not bad:
        typed["count"] = 0
    if "note" in line.fields:
        typed["note"] = line.fields["note"].strip()
    if "one" in line.fields and asks_on_one(kind, place.part):
        typed["on_one"] = _on_one(line.fields["one"])
    if row is not None and all(getattr(row, name) == value for name, value in typed.items()):
        return Saved(line.key, row.version, translated("saved"))
    if row is not None and _is_older(row.version, row.writer, line, writer):
        return _keep_aside(
            actor,
            sheet,
            line,
            row.version,
            *(seen_said(_severity_said(each or "not seen")) for each in (bad, row.how_bad)),
        )
    before = row.how_bad if row is not None else ""
    if row is None:
        number = dossier_order(sheet, place)
        row = SeenRow(sheet=sheet, kind=kind.value, number=number, version=0, **where)
    if typed.get("note", row.note) != row.note:
        typed["last_seen_on"] = None  # whoever writes another note has seen it; the carried one still says the day
    for name, value in typed.items():
        setattr(row, name, value)
    row.version, row.writer = row.version + 1, writer
    row.save()
    what = phrase("{kind:finding}, {place:place}", kind=kind.value, place=place.key)
    told.append(Told(what, *(_severity_said(each) for each in (before, bad or ("" if before else "no")))))
    return Saved(line.key, row.version, translated("taken back") if before and not bad else translated("saved"))


def _save_looked(actor: Actor, sheet: Sheet, writer: str, line: Typed, place: Place, told: list[Told]) -> Saved:
    """That somebody looked at a part and saw nothing; it is no finding, and a finding there counts whatever this says."""
    looked = LOOKED if line.fields.get("looked") else ""
    where = {"part": place.part.value, "side": place.side.value, "position": place.position}
    row = sheet.seenrows.filter(kind=NOTHING_SEEN, **where).first()
    if (row.how_bad if row is not None else "") == looked:
        return Saved(line.key, row.version if row is not None else 0, translated("saved") if looked else "")
    if row is not None and _is_older(row.version, row.writer, line, writer):
        return _keep_aside(actor, sheet, line, row.version, looked or translated("not looked over"), row.how_bad)
    if row is None:
        row = SeenRow(sheet=sheet, kind=NOTHING_SEEN, number=dossier_order(sheet, place), version=0, **where)
    row.how_bad, row.version, row.writer = looked, row.version + 1, writer
    row.save()
    words = ("", phrase("nothing seen")) if looked else (phrase("nothing seen"), "")
    told.append(Told(phrase("looked over, {place:place}", place=place.key), *words))
    return Saved(line.key, row.version, translated("saved") if looked else translated("taken back"))


def _on_one(text: str) -> bool | None:
    """Whether two or more sit on one piece, as chosen."""
    if text not in _ON_ONE:
        raise NotAllowedError("on one piece", text, "yes, no or nothing", "Choose from the list.")
    return _ON_ONE[text]


def _how_many(text: str, kind: FindingKind) -> int:
    """How many as typed; nothing typed is one, but no bolt."""
    count = text.strip() or ("0" if kind in COUNTED else "1")
    if kind in COUNTED and count == "0":
        return 0
    if not (count.isascii() and count.isdecimal() and 0 < int(count[:6]) < 10_000):
        raise NotAllowedError("how many", count[:60], "a whole number, 1 to 9999", "Type it again.")
    return int(count)


def dossier_order(sheet: Sheet, place: Place) -> int:
    """Where a line stands among those of its sheet: in walking order."""
    dossier = known_dossier(sheet.machine)
    return line_number(dossier.gear, place) if dossier is not None and place in dossier.gear.places() else 0


def check_whole(sheet: Sheet, dossier: Dossier) -> WalkRound:
    """The walk-round, when it goes with the machine and with its other walk-rounds; raises where it does not."""
    walk_round = walk_round_of(sheet, rows_on(sheet), dossier)
    others = [walk_round_of(one, rows_on(one), dossier) for one in other_finished(sheet)]
    whole_dossier(dossier, [*others, walk_round])
    return walk_round


def other_finished(sheet: Sheet) -> list[Sheet]:
    """The machine's other walk-rounds that count."""
    return [one for one in sheets_of(sheet.machine) if one.state == Sheet.FINISHED and one.pk != sheet.pk]
