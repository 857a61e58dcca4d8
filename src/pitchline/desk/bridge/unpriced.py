"""A verdict without any amount, for a phone and for whoever sees no prices."""

from collections.abc import Iterable
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from pitchline.money.amount import Money
from pitchline.trade.saying import AS_WRITTEN, Saying, then, within
from pitchline.verdict import Verdict

_PIECES = "several.then"
_PRICED = ("currency", "asking", "prices")
"""Values of a saying that name a currency."""
_Told = TypeVar("_Told")


def unpriced(verdict: Verdict) -> Verdict:
    """The same verdict without prices, costs, worth, offer and plan, and without the sentences that name an amount."""
    worth = verdict.worth.left if verdict.worth is not None else None
    codes = {one.currency for one in (verdict.money_now, verdict.money_window, worth) if one is not None}
    bare = replace(
        verdict, money_now=None, money_window=None, not_priced=(), worth=None, bid=None, plan=None,
        jobs=tuple(replace(one, price=None, labour_h=None, not_priced=()) for one in verdict.jobs),
    )  # fmt: skip
    return _without(bare, codes)


def _without(told: _Told, codes: Iterable[str]) -> _Told:
    """The same, however deep, without a saying that names an amount, and without amounts."""
    item: Any = told
    if isinstance(item, Saying):
        item = _unsaid(item, codes)
    elif isinstance(item, tuple) and not hasattr(item, "_fields"):
        bare = [(one, _without(one, codes)) for one in item]
        item = tuple(now for was, now in bare if now is was or not (isinstance(now, Saying) and _is_empty(now)))
    elif is_dataclass(item) and not isinstance(item, type):
        values = {one.name: getattr(item, one.name) for one in fields(item) if one.init}
        changed = {}
        for name, value in values.items():
            now = None if isinstance(value, Money) else _without(value, codes)
            if now is not value:
                changed[name] = now
        item = replace(item, **changed) if changed else item
    return item  # type: ignore[no-any-return]


def _is_empty(told: Saying) -> bool:
    return told.code == AS_WRITTEN and not told.text


def _unsaid(told: Saying, codes: Iterable[str]) -> Saying:
    pieces = told.values["said"] if told.code == _PIECES and not told.text else (told,)
    kept = [one for one in pieces if not _names_a_price(one, codes)]
    if len(kept) == len(pieces):
        return told
    return then(*kept) if kept else Saying(AS_WRITTEN)


def _names_a_price(told: Saying, codes: Iterable[str]) -> bool:
    return any(
        any(name in one.values for name in _PRICED) or any(code in one.text for code in codes)
        for one in within(told)
    )
