"""A digest: what turned to stop since the last one, what stands still, what is to be booked or falls due; by day or by week.

It is made as its reader may see the yard on that day: their depots, and no amounts for anybody.
"""

import datetime as dt
import secrets
from collections.abc import Sequence

from django.db import transaction
from django.db.models import QuerySet
from django.urls import reverse
from django.utils import timezone

from pitchline.desk.clock import today
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machines_of
from pitchline.desk.people.models import Member
from pitchline.desk.people.who import asked_by, member_as_actor
from pitchline.desk.telling.letters import write_letter
from pitchline.desk.telling.models import Digest
from pitchline.trade.calls import Call
from pitchline.trade.writing import as_day, writing
from pitchline.words import counted, translated, worded

HOUR = 6
"""When it goes, where the desk is: the night's judging is done by then, as a rule. Our own choice."""
AHEAD = dt.timedelta(weeks=4)
"""How far it looks ahead of what is not to be booked yet. Our own choice."""
MOST = 40
"""Machines it names of one kind; it says how many more there are."""
_FIELDS = ("name", "short_name", "call", "due_said", "due_on", "judged_for", "to_judge")


def next_time(every: str, now: dt.datetime) -> dt.datetime:
    """The next morning, or that of the next Monday."""
    here = timezone.localtime(now)
    day = here.date() + dt.timedelta(days=0 if here.hour < HOUR else 1)
    if every == Digest.WEEK:
        day += dt.timedelta(days=-day.weekday() % 7)
    return timezone.make_aware(dt.datetime.combine(day, dt.time(HOUR)))


def order(member: Member, every: str, root: str, now: dt.datetime) -> None:
    """Nothing comes out; somebody gets a digest by day or week from now on, or none where `every` is empty."""
    if not every:
        Digest.objects.filter(member=member).delete()
        return
    Digest.objects.update_or_create(
        member=member,
        defaults={"every": every, "root": root, "next_at": next_time(every, now)},
        create_defaults={
            "every": every, "root": root, "next_at": next_time(every, now), "secret": secrets.token_urlsafe(32),
        },
    )  # fmt: skip


def due(now: dt.datetime) -> list[Digest]:
    """Digests whose time has come."""
    found = Digest.objects.filter(next_at__lte=now, member__user__is_active=True).order_by("next_at")
    return list(found.select_related("member__user", "member__business")[:200])


def make(digest: Digest, now: dt.datetime) -> None:
    """Nothing comes out; the letter is written, if there is something to tell, and the next one has its day: both or neither."""
    member, following = digest.member, next_time(digest.every, now)
    with transaction.atomic():
        mine = Digest.objects.filter(pk=digest.pk, next_at=digest.next_at)
        if not mine.update(next_at=following):  # somebody else was faster, or it was ended
            return
        with asked_by(member_as_actor(member)), writing(member.business.writing):
            text, stops = _text(digest)
            subject = translated("{name}: what is due, {day}").format(
                name=member.business.name, day=as_day(today())
            )
        letter = None
        if text and member.user.email:
            unsubscribe = {  # RFC 8058
                "List-Unsubscribe": f"<{_end_of(digest)}>",
                "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
            }
            letter = write_letter(
                member.user, member.user.email, subject, text, now=now, headers=unsubscribe,
                lasts=following - now - dt.timedelta(hours=1),
            )  # fmt: skip
        if letter is not None or not text:
            Digest.objects.filter(pk=digest.pk).update(stops=stops, letter=letter)


def _text(digest: Digest) -> tuple[str, list[str]]:
    """What it says, empty where there is nothing to say; and the machines that stand still."""
    machines = machines_of(digest.member.business).filter(archived_at=None)
    stop = list(machines.filter(call=Call.STOP.value).only(*_FIELDS).order_by("name"))
    told = set(digest.stops)
    soon = machines.exclude(call__in=(Call.STOP.value, Call.BOOK.value, "")).filter(due_on__lte=today() + AHEAD)
    parts = [
        (translated("Turned to stop since the last letter:"), [one for one in stop if str(one.pk) not in told]),
        (translated("Still stop:"), [one for one in stop if str(one.pk) in told]),
        (translated("To be booked:"), _in_order(machines.filter(call=Call.BOOK.value))),
        (translated("Falls due within four weeks:"), _in_order(soon)),
    ]
    uncalled = machines.filter(call="").count()
    if not any(some for _, some in parts):
        return "", [str(one.pk) for one in stop]
    pieces = [_section(head, some, digest.root) for head, some in parts if some]
    if uncalled:
        pieces.append(
            worded(counted("{n} machine has no call, and may stop all the same.",
                           "{n} machines have no call, and may stop all the same.", uncalled), n=uncalled)
        )  # fmt: skip
    pieces.append(
        translated(
            "This letter is no look at a machine. What its maker's manual, local rules and a competent person say comes first."
        )
    )
    pieces.append(translated("To end these letters, open {address}").format(address=_end_of(digest)))
    return "\n\n".join(pieces) + "\n", [str(one.pk) for one in stop]


def _in_order(machines: QuerySet[Machine]) -> list[Machine]:
    return list(machines.only(*_FIELDS).order_by("due_on", "name"))


def _section(head: str, machines: Sequence[Machine], root: str) -> str:
    lines = [head]
    for machine in machines[:MOST]:
        lines.append(f"- {_named(machine)}: {' '.join(machine.due_said.split())}{_age(machine)}")
        lines.append(f"  {root.rstrip('/')}{reverse('machine', args=[machine.pk])}")
    if len(machines) > MOST:
        lines.append(translated("and {n} more").format(n=len(machines) - MOST))
    return "\n".join(lines)


def _named(machine: Machine) -> str:
    return " ".join(machine.name.split()) or machine.short_name


def _age(machine: Machine) -> str:
    """What must not pass for today's: a judgement of another day, or one that something has come in after."""
    if machine.judged_for is not None and machine.judged_for < today():
        return translated(" (judged for {day})").format(day=as_day(machine.judged_for))
    return translated(" (being judged anew)") if machine.to_judge else ""


def _end_of(digest: Digest) -> str:
    return digest.root.rstrip("/") + reverse("digest-end", args=[digest.secret])


def ended(secret: str) -> Digest | None:
    """The digest a link ends."""
    return Digest.objects.select_related("member__business").filter(secret=secret).first()
