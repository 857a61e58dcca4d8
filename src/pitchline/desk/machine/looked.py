"""What a workshop found that looked for a cause or a sign of wear: asked, and put into the machine's file."""

import datetime as dt
import json
from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.cause.nets import RUBBER, STEEL
from pitchline.cause.next_look import MINUTES
from pitchline.cause.signs import READ
from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.clock import today
from pitchline.desk.machine.actions import keep_file, without_walk_rounds
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of
from pitchline.desk.people.who import Actor
from pitchline.desk.posts import Post, choice, words
from pitchline.desk.spoken import later
from pitchline.desk.undo.models import Undoable
from pitchline.exchange.machine_out import looked_for_entry
from pitchline.trade.causes import Cause, LookedFor, Sign
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.saying import saying
from pitchline.words import label, say, translated
from pitchline.words.names import named
from pitchline.words.speaking import capital

YES, NO = "yes", "no"


@dataclass(frozen=True, slots=True)
class Asked:
    """A cause or a sign to answer for."""

    key: str
    name: str
    how: str
    answered: LookedFor | None


def asked_of(dossier: Dossier) -> tuple[list[Asked], list[Asked]]:
    """Signs that are looked for by eye and hand, and causes, of a machine's track, with what was answered last."""
    net = STEEL if dossier.gear.has_chain else RUBBER
    newest = {one.about: one for one in sorted(dossier.looked_for, key=lambda one: one.date)}
    signs = [sign for sign in net.leaks if sign not in READ and sign in MINUTES]
    return (
        [
            Asked(f"sign:{one.value}", capital(label(one)), say(saying(f"look.{one.value}")), newest.get(one))
            for one in signs
        ],
        [Asked(f"cause:{one.value}", capital(label(one)), "", newest.get(one)) for one in net.priors],
    )


def looks_of(machine: Machine, signs: Sequence[Asked]) -> list[Asked]:
    """Those of some signs that the newest verdict proposes to look at, in its order; what it wants measured is a reading."""
    causes = verdict_of(machine.judgement).causes if machine.judgement is not None else None
    by_key = {one.key: one for one in signs}
    wanted = [f"sign:{look.sign.value}" for look in causes.looks] if causes is not None else []
    return [by_key[key] for key in wanted if key in by_key]


class LookedForm(Post):
    """One answer."""

    about = choice(
        later("what was looked for"),
        [
            (f"{'cause' if isinstance(one, Cause) else 'sign'}:{one.value}", later(named(one)))
            for one in (*Cause, *Sign)
        ],
    )
    there = choice(later("whether it was found"), ((YES, later("yes")), (NO, later("no"))))
    note = words(later("note"))


def answer(
    actor: Actor, machine: Machine, about: str, there: bool, note: str, on: dt.date | None = None
) -> Undoable | None:
    """What was done, to be undone for a day; None where the machine has no file.

    Raises
    ------
    NotAllowedError
        It is no cause or sign of this machine's track.
    """
    dossier = dossier_of(machine)
    if dossier is None:
        return None
    asked = {one.key: one.name for some in asked_of(dossier) for one in some}
    if about not in asked:
        raise NotAllowedError("what was looked for", about, phrase("a sign or a cause of its track"))
    kind, _, value = about.partition(":")
    found = LookedFor(
        on or today(), Cause(value) if kind == "cause" else Sign(value), there, note.strip(), actor.name
    )
    whole = json.loads(without_walk_rounds(machine.file_text))
    whole["looked_for"] = [*whole.get("looked_for", []), looked_for_entry(found)]
    text = json.dumps(whole, indent=2, ensure_ascii=False) + "\n"
    what = translated("looked for: {what}").format(what=asked[about])
    why = phrase("looked for a cause or a sign")
    return keep_file(actor, machine_id=machine.pk, seen_version=machine.version, text=text, why=why, what=what)
