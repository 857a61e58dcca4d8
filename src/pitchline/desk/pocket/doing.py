"""What each kind of record does: the same actions as on the desk's pages, so that offline and online mean one thing."""

import datetime as dt
import uuid
from dataclasses import asdict
from typing import Any

from django.db import IntegrityError, transaction
from django.http import Http404

from pitchline.desk.bridge.machines import WHICH_ONE
from pitchline.desk.clock import today
from pitchline.desk.machine.actions import About as MachineIs
from pitchline.desk.machine.actions import add_machine, change_file
from pitchline.desk.machine.gear_form import GearForm
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of, drafts_of, rows_on, sheets_of
from pitchline.desk.people.who import Actor
from pitchline.desk.photos.actions import About as PhotoIs
from pitchline.desk.photos.actions import keep
from pitchline.desk.pocket.intake import GONE, WAYS, Became, LookError, Taking, waiting_sheet, why_of
from pitchline.desk.pocket.models import Brought
from pitchline.desk.pocket.records import BeginAbout, LineAbout, MachineAbout, NotTakenError, PhotoAbout
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.walkround.actions import Saved, save_lines, start_sheet
from pitchline.desk.walkround.day_and_hours import head_of, is_asked_about
from pitchline.desk.walkround.field_hints import Warned
from pitchline.desk.walkround.finishing import finish_sheet
from pitchline.desk.walkround.form_lines import HEAD, Typed
from pitchline.desk.walkround.models import Sheet
from pitchline.desk.walkround.pages import warned_of
from pitchline.desk.walkround.queries import page_of, sheet_of
from pitchline.desk.yard.forms import AddMachineForm
from pitchline.trade.errors import InputError, NotAllowedError, phrase
from pitchline.trade.machine import MachineKind
from pitchline.trade.measurands import Measurand
from pitchline.words import translated, worded


def machine(taking: Taking) -> Became:
    """A machine nobody entered yet; and its running gear, where what was counted is enough for one."""
    about: MachineAbout = taking.record.about
    typed = {"machine_id": str(about.machine), "kind": about.kind, "name": about.name, "hours": about.hours}
    form = AddMachineForm(
        typed | {"customer": about.customer, "place": about.site}, business=taking.actor.business
    )
    if not form.is_valid():
        raise LookError(worded("It cannot be entered as it was typed: {what}.", what=_wrong(form)))
    said = form.cleaned_data
    row = add_machine(
        taking.actor,
        machine_id=about.machine,
        short_name=f"m-{about.machine.hex[:8]}",
        about=MachineIs(
            *(said[each] for each in ("name", "kind", "customer", "place", "asking_price", *WHICH_ONE))
        ),
        hours_text=said["hours"],
        hours_h=form.hours_h,
    )
    _told_who(taking, row.pk)
    try:
        if not row.file_text and about.counts:
            with transaction.atomic():
                _gear(taking.actor, row, about)
    except (
        InputError,
        NotAllowedError,
        LookError,
    ) as error:  # the machine stands; its gear is entered at the desk
        return Became("look", why_of(error), is_kept=True)
    return Became("done", worded("{machine} is in the yard.", machine=row.name))


def _gear(actor: Actor, row: Machine, about: MachineAbout) -> None:
    """Enter a running gear as it was counted, by the form that asks for one at the desk."""
    counted = {name: str(each) for name, each in about.counts.items()}
    start = {"slew_ring": "on"} if row.kind == MachineKind.EXCAVATOR.value else {}
    first = {name: _as_shown(each) for name, each in GearForm.base_fields.items() if each.required}
    typed = first | start | ({"track": about.track} if about.track else {}) | counted
    form = GearForm(typed | {"seen_version": row.version}, numbers=actor.business.numbers)
    if not form.is_valid():
        said = "Its running gear needs more than was counted: {what}. Enter it at the desk, and take this in then."
        raise LookError(worded(said, what=_wrong(form)))
    text = form.file_text(row.short_name, row.name, row.kind)
    why = translated("running gear entered")
    change_file(actor, machine_id=row.pk, seen_version=row.version, text=text, why=why)


def _as_shown(asked: Any) -> Any:
    """What a field of the form shows at first: what nobody counted is as whoever fills it in leaves it."""
    if asked.initial is None and hasattr(asked, "choices"):
        return next(iter(asked.choices))[0]
    return asked.initial


def _wrong(form: Any) -> str:
    """The fields of a form that cannot be used, as they are called there."""
    return ", ".join(str(form.fields[name].label) for name in form.errors if name in form.fields)


def begin(taking: Taking) -> Became:
    """A walk-round begun, with its day, hours and who goes round."""
    about: BeginAbout = taking.record.about
    row = Machine.objects.filter(business=taking.actor.business, pk=about.machine).first()
    if row is None:
        raise LookError(translated(GONE))
    if row.archived_at is not None and not taking.anyway:
        raise LookError(translated("This machine was archived meanwhile. Take it in all the same, or let it go."))
    if not row.file_text:
        raise LookError(translated("Its running gear is not entered yet. Enter it, and take this in then."))
    others = [one for one in drafts_of(row) if one.pk != about.sheet]
    sheet = start_sheet(taking.actor, machine_id=row.pk, sheet_id=about.sheet, day=_day(about.date))
    if sheet.machine_id != row.pk:
        raise LookError(translated("A walk-round of another machine stands under its number. Look at both."))
    head = {"date": about.date, "hours": about.hours, "by": about.by or taking.recorder or sheet.by}
    save_lines(
        taking.actor, sheet_id=sheet.pk, writer=taking.record.writer, lines=[Typed(HEAD, head, sheet.version)]
    )
    _told_who(taking, row.pk)
    if not others:
        return Became("done")
    who = others[0].by or translated("somebody")
    said = "Another walk-round of this machine is not finished, begun by {who}. Both are kept; look at both before finishing."
    return Became("done", worded(said, who=who))


def _day(text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        return today()  # what was typed stands in the head all the same, and is told there


def line(taking: Taking) -> Became:
    """One line; where somebody else wrote there meanwhile theirs stands, and this one is kept beside it."""
    about: LineAbout = taking.record.about
    sheet = _begun(taking, about.sheet)
    if _is_passed(taking):
        return Became(
            "done", translated("This phone sent a newer entry of the same line before: that one stands.")
        )
    why = translated("entered on a phone without a signal, taken in later") if taking.anyway else ""
    one = Typed(about.key, about.fields, about.seen)
    saved = save_lines(taking.actor, sheet_id=sheet.pk, writer=taking.record.writer, lines=[one], why=why)[0]
    return _line_became(sheet_of(taking.actor.business, sheet.pk), saved)


def _is_passed(taking: Taking) -> bool:
    """Whether the same phone recorded the same line anew, and that came in first: as where a file was taken in late."""
    about = taking.record.about
    later = Brought.objects.filter(
        business=taking.actor.business, writer=taking.record.writer, nth__gt=taking.record.nth, kind="line"
    )
    same = later.filter(sheet_id=about.sheet, state=Brought.DONE).only("record")
    return any(one.record["about"]["key"] == about.key for one in same)


def _line_became(sheet: Sheet, saved: Saved) -> Became:
    warned, problem = [], saved.problem
    try:
        if saved.key == HEAD:
            dossier = dossier_of(sheet.machine)
            if dossier is not None:
                head = head_of(sheet, dossier)
                warned, problem = (
                    [Warned(one, held=False) for one in head.asks],
                    " ".join(said for _, said in head.wrong),
                )
        elif not saved.aside and Typed(saved.key).what in {each.value for each in Measurand}:
            warned = _asked_of(sheet, saved.key)
    except (
        InputError,
        NotAllowedError,
    ):  # something else of the machine does not go together; what was typed is written
        warned = []
    told = {"v": saved.version, "problem": problem, "warned": list(map(asdict, warned)), "aside": saved.aside}
    what = "aside" if saved.aside else "questioned" if problem or warned else "done"
    return Became(what, problem or saved.words, {"line": told}, judges=sheet.state == Sheet.FINISHED)


def _asked_of(sheet: Sheet, key: str) -> list[Warned]:
    """What looks wrong about a line, as its page asks."""
    sheets = sheets_of(sheet.machine)
    dossier = dossier_of(sheet.machine, sheets)
    here = next((one for one in sheets if one.pk == sheet.pk), None)
    return (
        list(warned_of(here, rows_on(here), dossier).get(key, ()))
        if here is not None and dossier is not None
        else []
    )


def finish(taking: Taking) -> Became:
    """A walk-round finished; asked about first where its day is to come or its first hours are unlike the machine's."""
    sheet = _begun(taking, taking.record.about.sheet)
    if sheet.state == Sheet.FINISHED:
        return Became("done", translated("It was finished already."), {"sheet": {"state": sheet.state}})
    asked = is_asked_about(sheet)
    if asked and not (taking.record.about.right or taking.anyway):
        dossier = dossier_of(sheet.machine)
        asks = head_of(sheet, dossier).asks if dossier is not None else ()
        return Became("questioned", " ".join(asks), _told_of(sheet), is_kept=True)
    try:
        with transaction.atomic():
            finish_sheet(taking.actor, sheet_id=sheet.pk)
    except IntegrityError:  # two finished it for one day, and the other was faster by a hair
        said = translated("Another walk-round of that day was finished at the same moment. Look at both.")
        raise LookError(said) from None
    sheet.refresh_from_db()
    earlier = Brought.objects.filter(business=taking.actor.business, sheet_id=sheet.pk, kind="finish")
    earlier.filter(state=Brought.LOOK).update(state=Brought.DONE)  # what was asked then is answered
    return Became(
        "done", translated("Walk-round finished; the machine is judged next."), _told_of(sheet), judges=True
    )


def _told_of(sheet: Sheet) -> dict[str, Any]:
    shown, _ = page_of(sheet_of(sheet.business, sheet.pk))
    counts = {"missing": len(shown.missing), "unread": shown.unread_count}
    return {"sheet": {"state": sheet.state, "told": shown.told} | counts}


def photo(taking: Taking) -> Became:
    """A photo kept, written anew as every photo is."""
    about: PhotoAbout = taking.record.about
    if about.sheet is not None:
        _begun(taking, about.sheet)
    if taking.photo is None:
        raise Http404("Its file is gone.")
    keep(
        taking.actor,
        machine_id=about.machine,
        attachment_id=about.photo,
        sent=taking.photo,
        about=PhotoIs(about.caption, about.place, about.sheet),
    )
    return Became("done", translated("Photo kept."))


def _begun(taking: Taking, sheet_id: uuid.UUID) -> Sheet:
    """The walk-round a record belongs to.

    Raises
    ------
    NotAllowedError
        Its beginning waits for a look, and so does all that belongs to it.
    NotTakenError
        It has not begun here: its beginning is still to come.
    """
    business = taking.actor.business
    sheet = Sheet.objects.select_related("machine", "business").filter(business=business, pk=sheet_id).first()
    if sheet is not None:
        sheet.machine.business = sheet.business
        return sheet
    if waiting_sheet(taking.actor, sheet_id):
        raise LookError(translated("Its walk-round waits for a look, and this waits with it."))
    raise NotTakenError(
        409, "wait", translated("Its walk-round has not come yet. It stays on the phone until it has.")
    )


def _told_who(taking: Taking, machine_id: uuid.UUID) -> None:
    """The trail says who recorded it and when, where that is not who sends it now."""
    if taking.recorder and taking.recorder != taking.sender.name:
        said = worded("{who}, {when} by the phone's clock", who=taking.recorder, when=taking.record.at)
        note(taking.actor, machine_id, [Told(phrase("recorded on a phone by somebody else"), "", said)])


WAYS |= {"machine": machine, "begin": begin, "line": line, "finish": finish, "photo": photo}
