"""Keeping an asking price that was tried, and taking that back."""

import uuid
from dataclasses import fields
from typing import Any

from django.db import transaction

from pitchline.desk.machine.actions import About, change_about
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.who import Actor
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.trade.asking import AskingPrice
from pitchline.trade.errors import NotAllowedError
from pitchline.words import translated


def keep_asking(actor: Actor, *, machine_id: uuid.UUID, seen_version: int, asking: AskingPrice) -> Undoable | None:
    """What was done, to be undone for a day; None where that price stood already.

    Raises
    ------
    OldVersionError
        The machine is no longer as it was when the page was opened.
    """
    machine = machine_of(actor.business, machine_id)
    with transaction.atomic():
        if not _ask(actor, machine, seen_version, asking):
            return None
        before = {"machine": str(machine.pk), "was": _plain(machine.asking_price), "now": _plain(asking)}
        said = translated("{machine}: asking price {told}.").format(machine=machine.name, told=asking.told)
        return remember(actor, way="asking price", said=said, before=before)


def undo_asking(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words.

    Raises
    ------
    NotAllowedError
        Another asking price was entered since.
    """
    machine = machine_of(actor.business, uuid.UUID(before["machine"]))
    if _plain(machine.asking_price) != before["now"]:
        step = translated("It can be changed by hand beside the machine's name.")
        raise NotAllowedError(
            "undo",
            translated("another asking price of {machine} since").format(machine=machine.name),
            "the one that was kept",
            step,
        )
    was = AskingPrice(*before["was"]) if before["was"] else None
    _ask(actor, machine, machine.version, was)
    if was is None:
        return translated("Undone: {machine} has no asking price again.").format(machine=machine.name)
    told = translated("Undone: {machine} has the asking price {price} again.")
    return told.format(machine=machine.name, price=was.told)


def _ask(actor: Actor, machine: Machine, seen_version: int, asking: AskingPrice | None) -> bool:
    about = {each.name: getattr(machine, each.name) for each in fields(About)} | {"asking_price": asking}
    return change_about(actor, machine_id=machine.pk, seen_version=seen_version, about=About(**about))


def _plain(asking: AskingPrice | None) -> list[Any] | None:
    return None if asking is None else [asking.amount, asking.currency]
