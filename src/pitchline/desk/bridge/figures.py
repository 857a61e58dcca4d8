"""From a verdict to the figures a machine's row in the yard carries, and to a stored judgement and back."""

import hashlib
import zlib
from functools import lru_cache

from pitchline import __version__
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.exchange.verdict_in import verdict_from_json
from pitchline.exchange.verdict_json import verdict_json
from pitchline.papers.names import next_due_said
from pitchline.trade.calls import Call
from pitchline.verdict import Verdict

LIST_FIELDS = (
    "call",
    "call_rank",
    "due_said",
    "due_cautious_h",
    "due_middle_h",
    "due_hopeful_h",
    "due_on",
    "money_low",
    "money_usual",
    "money_high",
    "currency",
    "hours_h",
)
"""What `set_figures` writes."""


def set_figures(machine: Machine, verdict: Verdict) -> None:
    """Nothing comes out; afterwards the row holds what the yard's list shows of this verdict."""
    left, money, dates = verdict.next_due, verdict.money_window, verdict.next_due_dates
    machine.call, machine.call_rank = verdict.call.value, verdict.call.rank
    machine.due_said = next_due_said(verdict)[:300] if left is not None else ""
    if verdict.call is Call.STOP or (left is None and verdict.call is not Call.RUN):
        machine.due_said = verdict.headline.split(". ")[0].removesuffix(".")[:300]
    figures = (left.cautious, left.middle, left.hopeful) if left is not None else (None, None, None)
    machine.due_cautious_h, machine.due_middle_h, machine.due_hopeful_h = figures
    machine.due_on = dates.middle if dates is not None else None
    amounts = (money.low, money.usual, money.high) if money is not None else (None, None, None)
    machine.money_low, machine.money_usual, machine.money_high = amounts
    machine.currency = money.currency if money is not None else ""
    machine.hours_h = verdict.from_service_h


def digest_of(inputs: str, prices_digest: str, units: str) -> str:
    """One short text for everything a judgement rests on, the version of the code included."""
    told = "\n".join((__version__, units, prices_digest, inputs))
    return hashlib.sha256(told.encode()).hexdigest()


def judgement_row(verdict: Verdict, inputs: str, digest: str, units: str) -> Judgement:
    """An unsaved judgement; whose and of which machine is for the caller to say."""
    return Judgement(
        digest=digest,
        as_of=verdict.as_of,
        from_service_h=verdict.from_service_h,
        call=verdict.call.value,
        headline=verdict.headline,
        method=verdict.method,
        version=verdict.version,
        units=units,
        inputs_packed=zlib.compress(inputs.encode()),
        verdict_packed=zlib.compress(verdict_json(verdict).encode()),
    )


def verdict_text(judgement: Judgement) -> str:
    """The verdict's JSON, as it was written then."""
    return zlib.decompress(bytes(judgement.verdict_packed)).decode()


def inputs_text(judgement: Judgement) -> str:
    """The machine file the verdict rests on, walk-rounds included."""
    return zlib.decompress(bytes(judgement.inputs_packed)).decode()


def verdict_of(judgement: Judgement) -> Verdict:
    """The verdict as it was given; nothing is judged anew."""
    return _verdict(bytes(judgement.verdict_packed), str(judgement.as_of))


@lru_cache(maxsize=8)  # a verdict never changes, and the pages of one machine are asked for one after the other
def _verdict(packed: bytes, as_of: str) -> Verdict:
    return verdict_from_json(zlib.decompress(packed).decode(), f"verdict of {as_of}")
