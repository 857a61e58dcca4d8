"""The yard's price list: stored as entered, read by `exchange`."""

import hashlib
import tempfile
from functools import lru_cache
from pathlib import Path

from django.db import transaction
from django.db.models import F

from pitchline.desk.bridge.machine_rows import Machine
from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, note
from pitchline.exchange.prices_file import read_prices
from pitchline.money.prices import PriceList
from pitchline.words import translated


def newest_prices(business: Business) -> PriceFile | None:
    """The price list in force; None where none was entered."""
    return PriceFile.objects.filter(business=business).first()


def prices_of(file: PriceFile) -> PriceList:
    """The price list a stored file tells."""
    return read_content(file.name, bytes(file.content))


@lru_cache(maxsize=8)  # a list never changes, and a whole yard is judged by one
def read_content(name: str, content: bytes) -> PriceList:
    """A price list from a file's name and content.

    Raises
    ------
    InputError
        With every problem of the file.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"prices{Path(name).suffix.lower()}"
        path.write_bytes(content)
        return read_prices(path)


def enter_prices(actor: Actor, *, name: str, content: bytes) -> bool:
    """Whether the list is a new one; every machine is then marked for judging. The same list again changes nothing.

    Raises
    ------
    InputError
        With every problem of the file.
    """
    digest = hashlib.sha256(content).hexdigest()
    known = newest_prices(actor.business)
    if known is not None and known.digest == digest:
        return False
    prices = read_content(name, content)
    with transaction.atomic():
        PriceFile.objects.create(
            business=actor.business, name=Path(name).name, content=content, digest=digest, who=actor.name
        )
        Machine.objects.filter(business=actor.business).update(to_judge=True, marked=F("marked") + 1)
        said = translated("{n} lines in {currency}").format(n=len(prices.lines), currency=prices.currency)
        note(actor, None, [Told("price list", known.name if known else "", f"{name}: {said}")])
    return True
