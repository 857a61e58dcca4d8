"""Every write to hours: taken in one by one or by the thousand, asked about, answered, left out, undone."""

import datetime as dt
import uuid
from bisect import bisect, insort
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from django.db import transaction
from django.utils import timezone

from pitchline.desk.bridge.machines import entered_dossier, meter_changes_of, text_without_walk_rounds
from pitchline.desk.bridge.sheet_rows import Sheet
from pitchline.desk.machine.actions import change_file, mark_for_judging
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of, machines_of
from pitchline.desk.meter.following import DIFFERS, FALLS, JUMPS, Shown, odd_about
from pitchline.desk.meter.models import MeterHours, SenderName
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.exchange.hours_rows import HoursRow
from pitchline.judge.week import MOST_WEEKS
from pitchline.trade.dossier import HOURS_PER_DAY
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.meter import MeterChange, service_hours
from pitchline.trade.writing import as_figure
from pitchline.words import counted, translated, worded

UNDO = "hours seen"
_MOST_WAITING = 400
"""Hours kept of a name nobody matched: a year of days. Our own choice."""
_DAYS_KEPT = 7 * (MOST_WEEKS + 1)


@dataclass(slots=True)
class Taken:
    """What became of some hours."""

    taken: int = 0
    known: int = 0
    asked: int = 0
    waiting: int = 0
    rows: list[int] = field(default_factory=list)

    @property
    def told(self) -> dict[str, int]:
        """As counts."""
        return {"taken": self.taken, "known": self.known, "asked": self.asked, "waiting": self.waiting}


def take_hours(actor: Actor, rows: Sequence[HoursRow], source: str, *, judge: bool = True) -> Taken:
    """What became of each row: taken, known before, asked about, or waiting for somebody to say whose it is.

    Parameters
    ----------
    actor : Actor
        Who brings them.
    rows : sequence of HoursRow
        In any order; the same moment of a machine again changes nothing.
    source : str
        Where they are from.
    judge : bool
        Whether machines are judged at once; else the night does it.
    """
    came, owners = Taken(), _owners(actor.business)
    mine: dict[uuid.UUID, list[HoursRow]] = defaultdict(list)
    strange: dict[str, list[HoursRow]] = defaultdict(list)
    for row in rows:
        found = next((owners[key] for name in row.names if (key := _squeezed(name)) in owners), None)
        if found is None:
            strange[row.names[0]].append(row)
        elif found != _IGNORED:
            mine[found].append(row)
    for machine in machines_of(actor.business).filter(pk__in=mine).order_by("pk"):
        with transaction.atomic():
            _take(actor, machine, mine[machine.pk], source, came, judge=judge)
    for name, some in strange.items():
        _wait(actor.business, name, some, source)
        came.waiting += len(some)
    return came


_IGNORED = uuid.UUID(int=0)


def _squeezed(name: str) -> str:
    return " ".join(name.split()).casefold()


def _owners(business: Business) -> dict[str, uuid.UUID]:
    """Whose a name is: as somebody said, else by short name, owner's number or serial number where only one machine has it."""
    found: dict[str, set[uuid.UUID]] = defaultdict(set)
    known = machines_of(business).filter(archived_at=None)
    for pk, *names in known.values_list("pk", "short_name", "owner_number", "serial_number", "name"):
        for name in filter(None, (str(pk), *names)):
            found[_squeezed(name)].add(pk)
    owners = {name: next(iter(some)) for name, some in found.items() if len(some) == 1}
    for one in SenderName.objects.filter(business=business):
        if one.machine_id is not None or one.ignored:
            owners[_squeezed(one.name)] = one.machine_id or _IGNORED
    return owners


def _take(
    actor: Actor, machine: Machine, rows: Iterable[HoursRow], source: str, came: Taken, *, judge: bool
) -> None:
    changes, zone = meter_changes_of(machine), timezone.get_current_timezone()
    by_moment = {row.at: row for row in rows}
    first = min(by_moment)
    kept = list(machine.meterhours.filter(at__gte=first).order_by("at"))
    before = machine.meterhours.filter(at__lt=first, state=MeterHours.TAKEN).order_by("-at").first()
    there = {one.at: one for one in kept}
    line = [_shown(one, changes) for one in ([before] if before else []) + kept if one.state == MeterHours.TAKEN]
    walked = machine.sheets.filter(state=Sheet.FINISHED, date__isnull=False, service_h__isnull=False)
    rounds: list[Any] = list(walked.order_by("date").values_list("date", "service_h"))
    fresh = []
    for at in sorted(by_moment):
        row, same = by_moment[at], there.get(at)
        if same is not None and same.meter_h == row.meter_h:
            came.known += 1
            continue
        if same is not None:  # the moment stands as it was first told; who says otherwise is heard a second later
            at += dt.timedelta(seconds=1)
            if at in there:
                came.known += 1
                continue
        day = at.astimezone(zone).date()
        new = Shown(at, service_hours(row.meter_h, day, changes))
        why = (
            DIFFERS
            if same is not None
            else odd_about(new, *_neighbours(line, at)) or _odd_beside_rounds(rounds, new, day)
        )
        one = MeterHours(
            business=actor.business, machine=machine, at=at, day=day, meter_h=row.meter_h, idle_h=row.idle_h,
            latitude=row.latitude, longitude=row.longitude, source=source[:200], who=actor.name,
            state=MeterHours.ASKED if why else MeterHours.TAKEN, why=why,
        )  # fmt: skip
        fresh.append(one)
        there[at] = one
        if not why:
            insort(line, new, key=_moment)
    if not fresh:
        return
    MeterHours.objects.bulk_create(fresh)
    came.rows += [one.pk for one in fresh]
    asked = sum(one.state == MeterHours.ASKED for one in fresh)
    came.asked += asked
    came.taken += len(fresh) - asked
    if asked < len(fresh):
        _keep_seen(machine, judge=judge)


def _shown(one: MeterHours, changes: tuple[MeterChange, ...]) -> Shown:
    return Shown(one.at, service_hours(one.meter_h, one.day, changes))


def _neighbours(line: Sequence[Shown], at: dt.datetime) -> tuple[Shown | None, Shown | None]:
    # Nothing of the same moment is in the line: it is not asked about what is known, nor about what differs.
    where = bisect(line, at, key=_moment)
    return line[where - 1] if where else None, line[where] if where < len(line) else None


def _moment(one: Shown) -> dt.datetime:
    return one.at


def _odd_beside_rounds(rounds: Sequence[tuple[dt.date, float]], new: Shown, day: dt.date) -> str:
    """The same beside the last walk-round, which has a day and no time."""
    last = next((one for one in reversed(rounds) if one[0] <= day), None)
    if last is None:
        return ""
    last_day, last_h = last
    if last_day == day:
        more_h = new.service_h - last_h
        return FALLS if more_h < -HOURS_PER_DAY else JUMPS if more_h > HOURS_PER_DAY else ""
    # Its hours were read at some moment of its day: at its end for what falls, at its beginning for what jumps.
    time = dt.time.max if new.service_h < last_h else dt.time.min
    then = dt.datetime.combine(last_day, time, timezone.get_current_timezone())
    return odd_about(new, Shown(then, last_h), None)


def _keep_seen(machine: Machine, *, judge: bool) -> None:
    """Nothing comes out; afterwards the machine's row has the newest hours of each week, and of today's."""
    taken = machine.meterhours.filter(state=MeterHours.TAKEN)
    newest = taken.order_by("-at").values_list("day", flat=True).first()
    seen: dict[tuple[int, int], list[object]] = {}
    if newest is not None:
        since = newest - dt.timedelta(days=_DAYS_KEPT)
        # Weeks count back from the newest day, as the judgement counts them: each has its last hours.
        for day, meter_h in taken.filter(day__gte=since).order_by("at").values_list("day", "meter_h"):
            seen[((newest - day).days // 7, 0)] = [day.isoformat(), meter_h]
    row = {"hours_seen": sorted(seen.values(), key=str)}
    Machine.objects.filter(pk=machine.pk).update(**row)
    if judge:
        mark_for_judging(machine.pk)


def _wait(business: Business, name: str, rows: Sequence[HoursRow], source: str) -> None:
    told = [[row.at.isoformat(), row.meter_h, row.idle_h, row.latitude, row.longitude] for row in rows]
    with transaction.atomic():
        one, _ = SenderName.objects.select_for_update().get_or_create(
            business=business, name=name, defaults={"source": source[:200]}
        )
        merged = {each[0]: each for each in [*one.waiting, *told]}
        one.waiting = [merged[at] for at in sorted(merged)][-_MOST_WAITING:]
        one.save(update_fields=["waiting"])


def match(actor: Actor, *, name: str, machine_id: uuid.UUID | None, ignored: bool = False) -> Taken:
    """What became of the hours that waited under a name, now that somebody said whose it is, or that it is nobody's here.

    Raises
    ------
    Http404
        No such machine.
    NotAllowedError
        No such name.
    """
    machine = machine_of(actor.business, machine_id) if machine_id is not None else None
    came = Taken()
    with transaction.atomic():
        one = SenderName.objects.select_for_update().filter(business=actor.business, name=name).first()
        if one is None:
            raise NotAllowedError("name", name[:60], "a name that hours came under", "Open the page again.")
        rows, one.waiting = [_row(name, told) for told in one.waiting], []
        one.machine, one.ignored = machine, ignored
        if machine is None and not ignored:
            one.delete()
        else:
            one.save()
        note(actor, machine.pk if machine else None, [Told(phrase("hours come under the name"), "", name)])
        if machine is not None and rows:
            _take(actor, machine, rows, one.source, came, judge=True)
    return came


def _row(name: str, told: Sequence[Any]) -> HoursRow:
    at, meter_h, idle_h, latitude, longitude = told
    return HoursRow((name,), dt.datetime.fromisoformat(at), meter_h, idle_h, latitude, longitude)


def type_hours(actor: Actor, *, machine_id: uuid.UUID, at: dt.datetime, meter_h: float) -> Undoable | None:
    """Hours somebody read off the meter, to be undone for a day; None where they were known."""
    machine = machine_of(actor.business, machine_id)
    came = Taken()
    with transaction.atomic():
        _take(
            actor, machine, [HoursRow((machine.short_name,), at, meter_h)], translated("typed"), came, judge=True
        )
        if not came.rows:
            return None
        said = worded("{machine}: {hours:,.10g} h on its meter.", machine=machine.name, hours=meter_h)
        note(actor, machine.pk, [Told(phrase("hours on the meter"), "", phrase("{hours:,.10g} h", hours=meter_h))])
        return remember(actor, way=UNDO, said=said, before={"rows": came.rows})


def undoable(actor: Actor, came: Taken, said: str) -> Undoable | None:
    """Hours brought together, to be undone together; None where nothing new came."""
    if not came.rows:
        return None
    note(actor, None, [Told(phrase("hours on the meter"), "", said)])
    return remember(actor, way=UNDO, said=said, before={"rows": came.rows})


def undo_hours(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words."""
    rows = MeterHours.objects.filter(business=actor.business, pk__in=before["rows"])
    with transaction.atomic():
        machines = list(Machine.objects.filter(pk__in=rows.values("machine_id")))
        count, _ = rows.delete()
        for machine in machines:
            _keep_seen(machine, judge=True)
            note(actor, machine.pk, [Told(phrase("taken back"), "", phrase("hours on the meter"))])
    return counted(
        "Undone: {n} reading of the meter is out again.", "Undone: {n} readings of the meter are out again.", count
    ).format(n=as_figure(count, ",.0f"))


def leave_out(actor: Actor, *, machine_id: uuid.UUID, row_id: int, left: bool, why: str) -> None:
    """Nothing comes out; afterwards these hours count for nothing, or are looked at again.

    Raises
    ------
    NotAllowedError
        No such hours on this machine.
    """
    machine = machine_of(actor.business, machine_id)
    with transaction.atomic():
        one = machine.meterhours.select_for_update().filter(pk=row_id).first()
        if one is None:
            raise NotAllowedError("hours", str(row_id)[:20], "hours of this machine", "Open the page again.")
        if left:
            one.state = MeterHours.LEFT
            one.save(update_fields=["state"])
        else:
            one.delete()
            _take(actor, machine, [_again(one)], one.source, Taken(), judge=True)
        said = phrase("{hours:,.10g} h, {day:day}", hours=one.meter_h, day=one.day.isoformat())
        note(
            actor,
            machine.pk,
            [Told(phrase("hours left out") if left else phrase("hours looked at again"), "", said, why)],
        )
        _look_again(actor, machine)


def _again(one: MeterHours) -> HoursRow:
    return HoursRow((one.machine.short_name,), one.at, one.meter_h, one.idle_h, one.latitude, one.longitude)


def leave_all_asked(actor: Actor, *, machine_id: uuid.UUID, why: str) -> int:
    """How many hours that are asked about were left out as wrong."""
    machine = machine_of(actor.business, machine_id)
    with transaction.atomic():
        count = machine.meterhours.filter(state=MeterHours.ASKED).update(state=MeterHours.LEFT)
        if count:
            said = phrase("{n} that were asked about", n=count)
            note(actor, machine.pk, [Told(phrase("hours left out"), "", said, why)])
    return count


def meter_changed(
    actor: Actor, *, machine_id: uuid.UUID, seen_version: int, change: MeterChange, why: str
) -> None:
    """Nothing comes out; afterwards the machine's file knows the change, and hours that were asked about are looked at again.

    Raises
    ------
    InputError, NotAllowedError, OldVersionError
        As `change_file`.
    """
    machine = machine_of(actor.business, machine_id)
    dossier = entered_dossier(machine)
    if dossier is None:
        seen = phrase("not entered yet")
        raise NotAllowedError("running gear", seen, "a machine whose running gear is entered", "Enter it first.")
    changes = tuple(sorted([*dossier.meter_changes, change], key=lambda one: one.date))
    text = text_without_walk_rounds(replace(dossier, meter_changes=changes))
    with transaction.atomic():
        change_file(actor, machine_id=machine_id, seen_version=seen_version, text=text, why=why)
        machine.refresh_from_db()
        _look_again(actor, machine)
        _keep_seen(machine, judge=True)


def _look_again(actor: Actor, machine: Machine) -> None:
    """Nothing comes out; hours that are asked about are held against those that stand now, oldest first."""
    asked = list(machine.meterhours.filter(state=MeterHours.ASKED).exclude(why=DIFFERS).order_by("at"))
    if asked:
        machine.meterhours.filter(pk__in=[one.pk for one in asked]).delete()
        by_source: dict[str, list[HoursRow]] = defaultdict(list)
        for one in asked:
            by_source[one.source].append(_again(one))
        for source, rows in by_source.items():
            _take(actor, machine, rows, source, Taken(), judge=True)
    _keep_seen(machine, judge=True)
