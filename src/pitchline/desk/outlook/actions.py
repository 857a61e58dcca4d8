"""Keeping other hours a week and another ground: into the machine's file, with a reason, then judged anew."""

import json
import uuid
from typing import Any

from django.db import transaction

from pitchline.desk.bridge.machines import entered_dossier, says_window
from pitchline.desk.machine.actions import change_file, without_walk_rounds
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.who import Actor
from pitchline.desk.spoken import later
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.exchange.figures import text_of
from pitchline.exchange.machine_out import file_of
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.words import translated

SAID = later("hours a week, share travelling, grounds and booking window")


def keep(actor: Actor, *, machine_id: uuid.UUID, seen_version: int, wanted: Dossier, why: str) -> Undoable | None:
    """What was done, to be undone for a day; None where nothing changed. The machine's file has these hours and grounds then.

    Raises
    ------
    NotAllowedError
        No reason was given, or the machine's running gear is not entered.
    OldVersionError
        The machine is no longer as it was when the page was opened.
    """
    if not text_of(why, "why").strip():
        raise NotAllowedError(
            "why", translated("nothing"), "a few words", "Say why these hours and grounds are kept."
        )
    machine = machine_of(actor.business, machine_id)
    entered = entered_dossier(machine)
    if entered is None:
        raise NotAllowedError("machine", translated("no running gear"), "a machine with its running gear entered")
    window = wanted.call_rule.booking_window_weeks
    own = says_window(machine.file_text) or window != _standing_window(actor, entered)
    stood = without_walk_rounds(machine.file_text)
    text = _text(stood, wanted, window if own else None)
    with transaction.atomic():
        if not change_file(actor, machine_id=machine.pk, seen_version=seen_version, text=text, why=why):
            return None
        before = {"machine": str(machine.pk), "file_text": stood, "version": seen_version + 1}
        return remember(actor, way="hours and ground", said=f"{machine.name}: {SAID}.", before=before)


def undo_keeping(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words.

    Raises
    ------
    NotAllowedError
        The machine was changed since.
    """
    machine = machine_of(actor.business, uuid.UUID(before["machine"]))
    if machine.version != before["version"]:
        step = translated("Hours and grounds can be changed by hand on its page What if.")
        raise NotAllowedError(
            "undo",
            translated("{machine} was changed since").format(machine=machine.name),
            "a machine as it was left",
            step,
        )
    text, why = before["file_text"], phrase("undone")
    change_file(actor, machine_id=machine.pk, seen_version=machine.version, text=text, why=why)
    return translated("Undone: {most} of {machine} are as they were.").format(most=SAID, machine=machine.name)


def _standing_window(actor: Actor, entered: Dossier) -> float:
    """The window a machine without one of its own is judged with."""
    house = actor.business.booking_window_weeks
    return entered.call_rule.booking_window_weeks if house is None else house


def _text(file_text: str, wanted: Dossier, window: float | None) -> str:
    """The file as entered but for hours a week, share travelling, ground so far and to come, and booking window."""
    whole: dict[str, Any] = json.loads(file_text)
    whole.pop("walk_rounds", None)
    told = file_of(wanted)
    _put(whole, "hours", "per_week", told.get("hours", {}).get("per_week"))
    _put(whole, "hours", "own_week", told.get("hours", {}).get("own_week"))
    _put(whole, "hours", "travelling", told.get("hours", {}).get("travelling"))
    _put(whole, "ground", "usual", told.get("ground", {}).get("usual"))
    _put(whole, "ground", "to_come", told.get("ground", {}).get("to_come"))
    if window is not None:
        _put(whole, "calls", "booking_window_weeks", window)
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def _put(whole: dict[str, Any], section: str, key: str, value: object) -> None:
    holder = dict(whole.get(section) or {})
    if value is not None:
        holder[key] = value
    else:
        holder.pop(key, None)
    if holder:
        whole[section] = holder
    else:
        whole.pop(section, None)
