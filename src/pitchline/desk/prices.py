"""The yard's price list: stored as entered, read by `exchange`; which of its prices are a machine's own; taking one back."""

import hashlib
import tempfile
import uuid
from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from django.db import transaction
from django.db.models import F
from django.dispatch import Signal
from django.utils import timezone
from django.utils.timezone import localtime

from pitchline.desk.bridge.machine_rows import Judgement, Machine
from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.exchange.prices_file import read_prices, write_prices
from pitchline.money.machine_class import PricedMachine
from pitchline.money.prices import PriceList
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.machine import Machine as TradeMachine
from pitchline.trade.machine import MachineKind
from pitchline.trade.writing import as_day
from pitchline.words import translated

UNDO = "price list"
_GEAR: list[Callable[[Machine], tuple[str, ...]]] = []
listed = Signal()
"""A price list came into force, or was taken back: `business`, inside the transaction that writes it."""
KeptCost = Callable[[PriceList | None], float | None]
"""What a kept plan costs by a machine's own prices; None where it cannot be reckoned by them."""
_KEPT: list[Callable[[Collection[uuid.UUID]], dict[uuid.UUID, KeptCost]]] = []


def names_gear(of: Callable[[Machine], tuple[str, ...]]) -> None:
    """From now on this function says by which names of the gear list a machine's prices are looked for."""
    _GEAR.append(of)


def costs_kept_plans(of: Callable[[Collection[uuid.UUID]], dict[uuid.UUID, KeptCost]]) -> None:
    """From now on this function says of which machines a plan is kept, and what it costs by other prices."""
    _KEPT.append(of)


def kept_costs(machines: Collection[uuid.UUID]) -> dict[uuid.UUID, KeptCost]:
    """Those of some machines that have a kept plan, with what it costs by other prices."""
    return {machine: cost for of in _KEPT for machine, cost in of(machines).items()}


def newest_prices(business: Business) -> PriceFile | None:
    """The price list in force; None where none was entered, or each was taken back."""
    return PriceFile.objects.filter(business=business, taken_back_at=None).first()


def number_of_list(file: PriceFile) -> int:
    """Which of the business's price lists it is, from 1; rows are only ever added."""
    before = PriceFile.objects.filter(business=file.business_id, entered_at__lte=file.entered_at)
    return before.count()


def list_said(file: PriceFile | None) -> str:
    """Which list it is, for papers and pages; empty without one."""
    return f"price list {number_of_list(file)} of {as_day(localtime(file.entered_at))}" if file is not None else ""


def prices_of(file: PriceFile) -> PriceList:
    """The price list a stored file tells, for all machines."""
    return _read(Path(file.name).suffix.lower(), bytes(file.content))


def read_content(name: str, content: bytes) -> PriceList:
    """A price list from a file's name and content.

    Raises
    ------
    InputError
        With every problem of the file.
    """
    return _read(Path(name).suffix.lower(), content)


@lru_cache(maxsize=16)  # a list never changes, and each of a yard's machines asks for it
def _read(ending: str, content: bytes) -> PriceList:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"prices{ending}"
        path.write_bytes(content)
        return read_prices(path)


def content_of(prices: PriceList, ending: str = ".csv") -> bytes:
    """The file of a price list."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"prices{ending}"
        write_prices(prices, path)
        return path.read_bytes()


def priced_machine(row: Machine, known: TradeMachine | None) -> PricedMachine:
    """What decides which prices are a machine's own; without its running gear no mass is known."""
    gear = tuple(name for of in _GEAR for name in of(row))
    return PricedMachine(MachineKind(row.kind), known.mass_kg if known is not None else None, gear)


def kept_of(machine: PricedMachine) -> dict[str, Any]:
    """The same as a judgement keeps it."""
    return {"kind": machine.kind, "mass_kg": machine.mass_kg, "gear": list(machine.gear)}


def priced_as(judgement: Judgement) -> PricedMachine:
    """As what the machine of a judgement was priced."""
    kept = judgement.priced_as
    kind = MachineKind(kept["kind"]) if kept.get("kind") else None
    return PricedMachine(kind, kept.get("mass_kg"), tuple(kept.get("gear", ())))


def judged_prices(judgement: Judgement) -> PriceList | None:
    """The prices a judgement was made with, its machine's own; None where there was no list."""
    return prices_of(judgement.prices).for_machine(priced_as(judgement)) if judgement.prices else None


def digest_of_prices(own: PriceList | None) -> str:
    """One short text for a machine's own prices: those of other machines are not in it, nor where the list is from."""
    return hashlib.sha256(repr(replace(own, source="")).encode()).hexdigest() if own is not None else ""


def enter_prices(
    actor: Actor, *, name: str, content: bytes, why: str = "", told: Sequence[Told] = ()
) -> Undoable | None:
    """What takes the new list back; every machine is then marked for judging. None where the same list is in force already.

    Parameters
    ----------
    actor : Actor
        Who.
    name : str
        Its file name.
    content : bytes
        The file.
    why : str
        The reason given.
    told : sequence of Told
        What of it moved, for the trail.

    Raises
    ------
    InputError
        With every problem of the file.
    """
    digest = hashlib.sha256(content).hexdigest()
    known = newest_prices(actor.business)
    if known is not None and known.digest == digest:
        return None
    prices = read_content(name, content)
    with transaction.atomic():
        file = PriceFile.objects.create(
            business=actor.business, name=Path(name).name, content=content, digest=digest, who=actor.name, why=why
        )
        judge_all(actor.business)
        told_file = phrase(
            "{name}: {n} lines in {currency}", name=name, n=len(prices.lines), currency=prices.currency
        )
        note(actor, None, [Told(phrase("price list"), known.name if known else "", told_file, why), *told])
        listed.send(PriceFile, business=actor.business)
        said = translated("Price list {number} is used now.").format(number=number_of_list(file))
        return remember(actor, way=UNDO, said=said, before={"file": str(file.pk)})


def undo_prices(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words; inside the transaction of the caller.

    Raises
    ------
    NotAllowedError
        Another list was put in force since.
    """
    file = newest_prices(actor.business)
    if file is None or str(file.pk) != before["file"]:
        step = translated("An earlier list can be used again on the page Prices.")
        raise NotAllowedError("undo", translated("another price list since"), "the list that is used", step)
    PriceFile.objects.filter(pk=file.pk).update(taken_back_at=timezone.now())
    judge_all(actor.business)
    listed.send(PriceFile, business=actor.business)
    now = newest_prices(actor.business)
    note(actor, None, [Told(phrase("price list"), file.name, now.name if now else "", phrase("undone"))])
    if now is None:
        return translated("Undone: no price list is used.")
    return translated("Undone: price list {number} is used again.").format(number=number_of_list(now))


def judge_all(business: Business) -> None:
    """Nothing comes out; every machine of the business is marked for judging."""
    Machine.objects.filter(business=business).update(to_judge=True, marked=F("marked") + 1)
