"""Hooks: a changed verdict told to another program, signed, tried again, and given up on in the end.

The way of signing is that of the open text "Standard Webhooks" 1.0: id, moment and body, parted by full stops, under HMAC-SHA256
(RFC 2104).
"""

import base64
import datetime as dt
import hashlib
import hmac
import json
import secrets
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.meter.fetching import FetchError, fetched
from pitchline.desk.meter.sealed import opened, sealed
from pitchline.desk.people.models import Business
from pitchline.desk.people.rights import OWNER
from pitchline.desk.people.who import Actor
from pitchline.desk.telling.letters import write_letter
from pitchline.desk.telling.models import LEFT, SENT, WAITING, Delivery, Hook
from pitchline.desk.trail.actions import Told, note
from pitchline.trade.errors import phrase
from pitchline.trade.writing import writing
from pitchline.words import translated

SHAPE = 1
TIMEOUT_S, WHOLE_S, LARGEST_BYTES = 10.0, 20.0, 64 * 1024
"""For one answer to begin, for the whole of it, and of it. Our own choice."""
GAPS = tuple(dt.timedelta(minutes=each) for each in (1, 5, 30, 120, 300, 600, 1440, 1440))
"""How long after each failure it is tried again; after the last it is left. Our own choice."""
OFF_AFTER = dt.timedelta(days=5)
"""An address that answered nothing usable for so long is no longer sent anything. Our own choice."""
KEPT = dt.timedelta(days=30)
PREFIX = "whsec_"
GONE = "410"
"""The answer by which an address says that it wants no more (RFC 9110, 15.5.11)."""


def new_secret() -> str:
    """A secret to sign by, shown once."""
    return PREFIX + base64.b64encode(secrets.token_bytes(32)).decode()


def signature(secret: str, mark: str, moment_s: int, body: bytes) -> str:
    """What proves that a delivery is ours and nobody changed it."""
    key = base64.b64decode(secret.removeprefix(PREFIX))
    signed = hmac.new(key, f"{mark}.{moment_s}.".encode() + body, hashlib.sha256).digest()
    return "v1," + base64.b64encode(signed).decode()


def _facts(judgement: Judgement) -> dict[str, Any]:
    verdict = verdict_of(judgement)
    asked = [one for one in verdict.jobs if one.call.asks]
    return {
        "call": verdict.call.value,
        "jobs": sorted({(one.call.value, one.kind.value, one.part.value, "; ".join(p.key for p in one.places),
                         one.stake.value if one.stake is not None else "") for one in asked}),
    }  # fmt: skip


def _told(judgement: Judgement | None, facts: dict[str, Any] | None) -> dict[str, Any] | None:
    if judgement is None or facts is None:
        return None
    names = ("call", "job", "part", "places", "stake")
    jobs = [dict(zip(names, job, strict=True)) for job in facts["jobs"]]
    return {"judgement": str(judgement.pk), "as_of": str(judgement.as_of), "call": facts["call"], "jobs": jobs}


def changed(sender: object, *, machine: Machine, judgement: Judgement | None, **_: Any) -> None:
    """Nothing comes out; where the call or the work asked for is another than before, every hook has a delivery of it.

    Inside the transaction that writes the judgement: both stand or neither.
    """
    if machine.archived_at is not None or (judgement is not None and judgement.pk == machine.judgement_id):
        return
    hooks = list(Hook.objects.filter(business_id=machine.business_id, off_why=""))
    if not hooks:
        return
    before = machine.judgement
    was, now = (_facts(one) if one is not None else None for one in (before, judgement))
    if was == now:
        return
    told = {
        "machine": {"id": str(machine.pk), "name": machine.name, "short_name": machine.short_name,
                    "serial_number": machine.serial_number, "invented": machine.invented},
        "before": _told(before, was),
        "now": _told(judgement, now),
    }  # fmt: skip
    for hook in hooks:
        _put(hook, "verdict.changed", told, machine)


def _put(hook: Hook, kind: str, told: dict[str, Any], machine: Machine | None = None) -> Delivery:
    now = timezone.now()
    body = {"type": kind, "timestamp": now.isoformat(timespec="seconds"), "shape": SHAPE, "data": told}
    Delivery.objects.filter(hook=hook, made_at__lt=now - KEPT).exclude(state=WAITING).delete()
    text = json.dumps(body, ensure_ascii=False)
    return Delivery.objects.create(hook=hook, machine=machine, body=text, next_at=now)


def try_out(hook: Hook) -> Delivery:
    """A delivery that tells nothing, to see whether it arrives."""
    return _put(hook, "test", {})


def due(now: dt.datetime) -> list[Delivery]:
    """What is to be sent, the longest waiting first, to addresses that are not off."""
    found = Delivery.objects.filter(state=WAITING, hook__off_why="", next_at__lte=now).order_by(
        "next_at", "made_at"
    )
    return list(found.select_related("hook__business")[:500])


def deliver(delivery: Delivery, now: dt.datetime) -> bool:
    """Whether it arrived; else it is tried again later, or left, and an address that fails too long is off."""
    hook, body, moment_s = delivery.hook, delivery.body.encode(), int(now.timestamp())
    if not (secret := opened(hook.secret_sealed)):  # signed by none, anybody could have sent it
        fails(delivery, now, FetchError("key"))
        return False
    headers = {
        "Content-Type": "application/json",
        "Webhook-Id": str(delivery.pk),
        "Webhook-Timestamp": str(moment_s),
        "Webhook-Signature": signature(secret, str(delivery.pk), moment_s, body),
    }
    try:
        fetched(hook.address, headers, body, timeout_s=TIMEOUT_S, whole_s=WHOLE_S, largest_bytes=LARGEST_BYTES)
    except FetchError as error:
        if error.why != "large":  # it was taken, whatever came back with it
            fails(delivery, now, error)
            return False
    Delivery.objects.filter(pk=delivery.pk).update(state=SENT, tries=delivery.tries + 1, tried_at=now, said={})
    Hook.objects.filter(pk=hook.pk).update(failing_since=None)
    return True


def fails(delivery: Delivery, now: dt.datetime, error: FetchError) -> None:
    """Nothing comes out; it waits for its next try, or is left."""
    gap = GAPS[delivery.tries] if delivery.tries < len(GAPS) else None
    if gap is not None and error.again_in_s is not None:
        gap = max(gap, min(GAPS[-1], dt.timedelta(seconds=error.again_in_s)))
    Delivery.objects.filter(pk=delivery.pk).update(
        state=WAITING if gap is not None else LEFT, tries=delivery.tries + 1, tried_at=now,
        next_at=now + (gap or dt.timedelta()), said={"failed": error.why, "seen": error.seen},
    )  # fmt: skip
    hook = Hook.objects.select_related("business").get(pk=delivery.hook_id)
    since = hook.failing_since or now
    Hook.objects.filter(pk=hook.pk, failing_since=None).update(failing_since=now)
    if error.why == "answer" and error.seen == GONE:
        _off_by_itself(hook, Hook.GONE, now)
    elif now - since > OFF_AFTER:
        _off_by_itself(hook, Hook.FAILED, now)


def _off_by_itself(hook: Hook, why: str, now: dt.datetime) -> None:
    """Told in the trail, on the page of hooks and of the yard, and by mail to whoever owns the yard and has an address."""
    with transaction.atomic(), writing(hook.business.writing):
        if not Hook.objects.filter(pk=hook.pk, off_why="").update(off_why=why):
            return
        note(
            Actor(hook.business), None, [Told(phrase("changed verdicts are no longer sent to"), "", hook.address)]
        )
        owners = User.objects.filter(member__business=hook.business, member__role=OWNER, is_active=True)
        for owner in owners.exclude(email=""):
            said = translated(
                "Nothing more is sent to {address}: it failed too long, or wants no more. Look at Hooks under Settings."
            )
            subject = translated("A hook is off")
            text = said.format(address=hook.address) + "\n"
            write_letter(owner, owner.email, subject, text, now=now, lasts=dt.timedelta(days=2))


def add_hook(actor: Actor, address: str) -> tuple[Hook, str]:
    """The hook, and its secret, which is shown once."""
    secret = new_secret()
    with transaction.atomic():
        hook = Hook.objects.create(
            business=actor.business, address=address, secret_sealed=sealed(secret), who=actor.name
        )
        note(actor, None, [Told(phrase("changed verdicts are sent to"), "", address)])
    return hook, secret


def renew_secret(actor: Actor, hook: Hook) -> str:
    """Another secret, shown once; the one before signs nothing any more."""
    secret = new_secret()
    with transaction.atomic():
        Hook.objects.filter(pk=hook.pk).update(secret_sealed=sealed(secret))
        note(actor, None, [Told(phrase("secret of the hook made anew"), "", hook.address)])
    return secret


def switch_hook(actor: Actor, hook: Hook, *, off: bool) -> None:
    """Nothing comes out; nothing is sent there any more, or again: what waited meanwhile too."""
    with transaction.atomic():
        Hook.objects.filter(pk=hook.pk).update(off_why=Hook.BY_HAND if off else "", failing_since=None)
        what = phrase("changed verdicts are no longer sent to") if off else phrase("changed verdicts are sent to")
        note(actor, None, [Told(what, "", hook.address)])


def remove_hook(actor: Actor, hook: Hook) -> None:
    """Nothing comes out; the hook and the list of what went there are gone."""
    with transaction.atomic():
        note(actor, None, [Told(phrase("hook removed"), hook.address)])
        hook.delete()


def off_by_itself(business: Business) -> bool:
    """Whether a hook of this business is off without anybody having said so."""
    return Hook.objects.filter(business=business, off_why__in=(Hook.FAILED, Hook.GONE)).exists()
