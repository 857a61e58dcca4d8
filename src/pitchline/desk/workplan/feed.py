"""The calendar feed: addresses that need no sign-in but their secret, and what they tell."""

import datetime as dt
import hashlib
import hmac
import re
import uuid
from collections.abc import Iterator, Sequence
from dataclasses import replace

from django.db.models import F
from django.urls import reverse
from icalendar import Parameters
from icalendar.parser import Contentline

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.clock import today
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.prices import judged_prices
from pitchline.desk.workplan.models import DecidedPlan, FeedPart, Plan
from pitchline.desk.workplan.stored import planned
from pitchline.papers.calendar import calendar_ics
from pitchline.papers.stop import planned_stops
from pitchline.trade.writing import writing
from pitchline.words import translated

_HEAD = (
    "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//pitchline//work of a yard//EN\r\nMETHOD:PUBLISH\r\n"
    "NAME:{name}\r\nREFRESH-INTERVAL;VALUE=DURATION:PT6H\r\n"
)
"""RFC 5545, the last two lines RFC 7986 (from memory)."""
_TAIL = "END:VCALENDAR\r\n"
_EVENT = re.compile(r"BEGIN:VEVENT\r\n.*?END:VEVENT\r\n", re.DOTALL)
_SECRET = re.compile(r"[\w-]{30,64}", re.ASCII)
_AT_ONCE = 200


def yard_address(business: Business) -> str:
    """Address of the whole yard's feed."""
    return reverse("feed", args=[business.feed_secret])


def mark_of(business: Business, machine_id: object) -> str:
    """The part of a machine's address that nobody can guess: made from the yard's secret, and renewed with it."""
    return hmac.new(business.feed_secret.encode(), str(machine_id).encode(), hashlib.sha256).hexdigest()[:40]


def machine_address(business: Business, machine: Machine) -> str:
    """Address of one machine's feed."""
    return reverse("machine-feed", args=[machine.pk, mark_of(business, machine.pk)])


def business_of(secret: str) -> Business | None:
    """The business a secret belongs to; None for one that was never given, or was renewed."""
    return Business.objects.filter(feed_secret=secret).first() if _SECRET.fullmatch(secret) else None


def machine_behind(machine_id: uuid.UUID, mark: str) -> Machine | None:
    """The machine an address belongs to; None where its mark is wrong, or the feed is switched off."""
    machine = Machine.objects.select_related("business").filter(pk=machine_id, archived_at=None).first()
    if machine is None or not machine.business.feed_secret:
        return None
    wanted = mark_of(machine.business, machine.pk)
    return machine if hmac.compare_digest(wanted.encode(), mark.encode()) else None


def make_ahead(drawn: Machine) -> None:
    """Nothing comes out; afterwards a machine's entries are made for whoever subscribes, where the feed is on."""
    if not drawn.business.feed_secret:
        return
    machine = Machine.objects.select_related("business").filter(pk=drawn.pk, archived_at=None).first()
    if machine is not None:
        for _ in _events([machine]):
            pass


def told(business: Business, machines: Sequence[Machine], desk: str) -> Iterator[str]:
    """The calendar, some machines at a time; what was made before and still holds is not made again.

    Parameters
    ----------
    business : Business
        Whose calendar.
    machines : sequence of Machine
        Whose work.
    desk : str
        Address of the desk, as whoever asks reaches it.
    """
    with writing(business.writing):
        head = _HEAD.format(name=translated("Undercarriage work"))
    yield head
    for start in range(0, len(machines), _AT_ONCE):
        for machine, events in _events(machines[start : start + _AT_ONCE]):
            page = f"{desk.rstrip('/')}{reverse('machine', args=[machine.pk])}"
            line = Contentline.from_parts("URL", Parameters(), page).to_ical().decode()
            yield events.replace("END:VEVENT", f"{line}\r\nEND:VEVENT")
    yield _TAIL


def _events(machines: Sequence[Machine]) -> Iterator[tuple[Machine, str]]:
    in_force = DecidedPlan.objects.filter(machine__in=machines, put_away_at=None).defer("verdict_packed")
    kept = {row.machine_id: row for row in in_force}
    same = {
        "judgement__footing": F("machine__judgement__footing")
    }  # the days of a plan hold while nothing else is known
    done = Plan.objects.filter(machine__in=machines, state=Plan.DONE, **same).defer(
        "verdict_packed", "footing_packed"
    )
    plans, on = {row.machine_id: row for row in done.order_by("asked_at")}, today()
    parts = {row.machine_id: row for row in FeedPart.objects.filter(machine__in=machines)}
    for machine in machines:
        row = kept.get(machine.pk) or plans.get(machine.pk)
        place = hashlib.sha256(f"{machine.place}\n{machine.business.language}".encode()).hexdigest()[:8]
        source = f"{machine.judgement_id} {row.pk if row is not None else ''} {on} {place}"
        part = parts.get(machine.pk)
        if part is not None and part.source == source:
            yield machine, part.events
        elif machine.judgement_id:
            events = _made(machine, row, on)
            FeedPart.objects.update_or_create(machine=machine, defaults={"source": source, "events": events})
            yield machine, events


def _made(machine: Machine, row: DecidedPlan | Plan | None, on: dt.date) -> str:
    """One machine's entries as they stand on a day: by its plan where there is one, else by its calls."""
    if row is not None:
        verdict, _ = planned(row)
        judgement = row.plan.judgement if isinstance(row, DecidedPlan) else row.judgement
    elif machine.judgement is not None:
        verdict, judgement = verdict_of(machine.judgement), None
    else:
        return ""
    way = replace(
        verdict.writing, language=machine.business.language
    )  # figures as in the plan, words as its page has them now
    with writing(way):  # whoever subscribes is no request of the business
        prices = judged_prices(judgement) if judgement is not None else None
        stops = planned_stops(verdict, prices, on) if judgement is not None else ()
        return "".join(_EVENT.findall(calendar_ics(verdict, stops, on, machine.place).ics.decode()))
