"""A free quote as its row holds it, and back: everything that stands on the paper."""

import datetime as dt
from dataclasses import asdict, replace
from typing import Any

from pitchline.exchange.verdict_in import saying_of
from pitchline.exchange.verdict_json import saying_json
from pitchline.money.amount import Money
from pitchline.money.free_quote import Asked, FreeQuote, QuoteLine
from pitchline.money.stop_costs import Charge
from pitchline.papers.free_quote import QuoteHead
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import Machine, MachineKind
from pitchline.trade.parts import PartKind
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import Writing


def packed(quote: FreeQuote, head: QuoteHead, way: Writing) -> dict[str, Any]:
    """Plain values for a row."""
    told = asdict(head) | {"on": head.on.isoformat(), "valid_until": head.valid_until.isoformat()}
    charges = [
        {"words": saying_json(one.words), "amount": one.amount, "billed": one.billed} for one in quote.charges
    ]
    return {"quote": asdict(replace(quote, charges=())) | {"charges": charges}, "head": told, "way": asdict(way)}


def unpacked(told: dict[str, Any]) -> tuple[FreeQuote, QuoteHead, Writing]:
    """What a row holds, as it was given."""
    quote, head = dict(told["quote"]), dict(told["head"])
    quote["lines"] = tuple(_line(line) for line in quote["lines"])
    quote["charges"] = tuple(
        Charge(**charge | {"words": saying_of(charge["words"])}) for charge in quote["charges"]
    )
    machine = head["machine"] | {"kind": MachineKind(head["machine"]["kind"])}
    days = {name: dt.date.fromisoformat(head[name]) for name in ("on", "valid_until")}
    whole = head | days | {"machine": Machine(**machine), "units": UnitSystem(head["units"])}
    return FreeQuote(**quote), QuoteHead(**whole), Writing(**told["way"])


def _line(line: dict[str, Any]) -> QuoteLine:
    asked = dict(line["asked"])
    asked["job"] = JobKind(asked["job"]) if asked["job"] else None
    asked["part"] = PartKind(asked["part"]) if asked["part"] else None
    money = {name: Money(**line[name]) if line[name] is not None else None for name in ("listed", "price")}
    return QuoteLine(Asked(**asked), line["per"], line["labour_h"], money["listed"], money["price"])
