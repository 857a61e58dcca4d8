"""A made-up service by ISO 15143-3 tells a yard 90 days of hours: are they right, do calls move on the right night, how fast?

    python bench/hours.py [--machines 3000] [--watched 6] [--judged 100] [--nights 3]
    scripts/with-postgres python bench/hours.py

1. `--machines` copies of the demo yard's machines. The service has gaps (6 days in 100), doubles (3 entries in 100 twice, and the
   last entry again where a day is missing), slips (an entry of 1 machine in 100 ten times too high) and resets (the meter of one
   machine in 50 begins at 0 again). All days but the last come at once, as pages of past hours; the last ones night by night.
2. Changed meters are told by somebody; every hour of the record is then held against the desk's.
3. One night of the whole yard: processor seconds for fetching, and for judging and drawing `--judged` machines, as every night.
4. `--watched` machines that work hard are fetched and judged night by night; each call is held against a judgement of the core
   by the record itself, without the desk.

Processor seconds, because others share the computer: two cores take half as long as they say.
"""

# ruff: noqa: S311  nothing secret
import argparse
import datetime as dt
import json
import os
import random
import tempfile
import threading
import time
import uuid
from collections import Counter, defaultdict
from dataclasses import dataclass, field, replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import ClassVar
from urllib.parse import parse_qs, urlsplit

DAYS, PER_PAGE, WARM = 90, 2_000, 10


@dataclass
class Sent:
    """What a machine's meter showed on the evening of each day that was sent, and what became of it."""

    name: str
    offset_h: float  # hours of former meters
    shown: dict[int, float] = field(default_factory=dict)  # day -> meter [h], as it was
    slips: dict[int, float] = field(default_factory=dict)  # day -> what was sent instead
    reset: int | None = None
    old_h: float = 0.0  # what the old meter showed last


class Service(BaseHTTPRequestHandler):
    """Pages of entries; each machine's newest up to a day, or all of them up to it."""

    yard: ClassVar[list[Sent]] = []
    begins = dt.date(2026, 1, 1)
    day = 0
    protocol_version = "HTTP/1.1"

    def do_GET(self):
        asked = parse_qs(urlsplit(self.path).query)
        whole, page = "whole" in asked, int(asked.get("page", ["1"])[0])
        entries = self.entries(whole)
        some = entries[PER_PAGE * (page - 1) : PER_PAGE * page]
        more = len(entries) > PER_PAGE * page
        href = f"/fleet?page={page + 1}" + ("&whole=1" if whole else "")
        told = {"Links": [{"rel": "next", "href": href}] if more else [], "Equipment": some}
        body = json.dumps(told).encode()
        self.send_response(200)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    @classmethod
    def entries(cls, whole):
        key = (cls.day, whole)
        if getattr(cls, "kept", (None,))[0] != key:
            chance, found = random.Random(cls.day), []
            for one in cls.yard:
                days = [day for day in one.shown if day <= cls.day]
                for day in days if whole else days[-1:]:
                    found += [cls.entry(one, day)] * (2 if chance.random() < 0.03 else 1)
            cls.kept = (key, found)
        return cls.kept[1]

    @classmethod
    def entry(cls, one, day):
        at = moment(cls.begins, day).isoformat()
        shown = one.slips.get(day, one.shown[day])
        return {
            "EquipmentHeader": {"EquipmentID": one.name},
            "CumulativeOperatingHours": {"Hour": shown, "Datetime": at},
        }

    def log_message(self, *_):
        pass


def moment(begins, day):
    return dt.datetime.combine(begins + dt.timedelta(days=day), dt.time(18), dt.UTC)


def worked(name, now_h, offset_h, chance, *, hard=False, odd=True):
    """Ninety days of one machine: weekends off, some days long."""
    one, meter_h = Sent(name, offset_h), now_h - offset_h
    if odd and chance.random() < 0.02:
        one.reset = chance.randrange(20, 70)
    for day in range(1, DAYS + 1):
        if one.reset == day:
            one.old_h, meter_h = meter_h, 0.0
        busy = hard or day % 7 not in (0, 6)
        meter_h = round(meter_h + (chance.uniform(14, 20) if hard else chance.uniform(3, 11) if busy else 0.0), 1)
        if hard or chance.random() > 0.06:
            one.shown[day] = meter_h
    if odd and one.reset is None and chance.random() < 0.01:
        day = chance.choice([each for each in one.shown if each < DAYS - 10])
        one.slips[day] = 10 * one.shown[day] + 24_000
    return one


def copies(models, many, with_readings, called):
    """Copies of judged machines under new names, with their walk-rounds; readings for the first few alone."""
    from pitchline.desk.machine.models import Judgement, Machine
    from pitchline.desk.walkround.models import ReadingRow, SeenRow

    def copy(row, **changes):
        fields = {one.attname: getattr(row, one.attname) for one in row._meta.concrete_fields}
        return type(row)(**(fields | changes))

    made, judgements, sheets, lines = [], [], [], defaultdict(list)
    for number in range(many):
        model = models[number % len(models)]
        pk, short = uuid.uuid4(), f"{called}-{number}"
        text = model.file_text.replace(f'"id": "{model.short_name}"', f'"id": "{short}"')
        made.append(
            copy(model, id=pk, short_name=short, name=short, file_text=text, judgement_id=None, to_judge=False)
        )
        judgements.append(copy(model.judgement, id=uuid.uuid4(), machine_id=pk))
        for sheet in model.sheets.all():
            sheets.append(copy(sheet, id=uuid.uuid4(), machine_id=pk))
            if number < with_readings:
                for rows, kind in ((sheet.readingrows, ReadingRow), (sheet.seenrows, SeenRow)):
                    lines[kind] += [copy(row, id=None, sheet_id=sheets[-1].pk) for row in rows.all()]
    for rows in filter(None, (made, judgements, sheets, *lines.values())):
        type(rows[0]).objects.bulk_create(rows, batch_size=500)
    for machine, judgement in zip(made, judgements, strict=True):
        machine.judgement = judgement
    Machine.objects.bulk_update(made, ["judgement"], batch_size=500)
    assert Judgement.objects.count() >= many
    return made


def told(what, begun, cpu, many):
    seconds = time.process_time() - cpu
    clock = time.perf_counter() - begun
    each = 1e3 * seconds / many
    print(
        f"{what}: {seconds:.1f} s of processor ({each:.1f} ms a machine), {clock:.0f} s by the clock", flush=True
    )
    return seconds


def held_against_the_record(yard):
    """Hours taken are those of the record, asked about are slips and nothing else, and nothing stands twice."""
    from pitchline.desk.meter.models import MeterHours

    rows = defaultdict(dict)
    count = Counter()
    for name, at, meter_h, state in MeterHours.objects.values_list(
        "machine__short_name", "at", "meter_h", "state"
    ):
        rows[name][at] = (meter_h, state)
        count[name, at] += 1
    wrong = 0
    for one in yard:
        due = {
            moment(Service.begins, day): (one.slips.get(day, shown), "asked" if day in one.slips else "taken")
            for day, shown in one.shown.items()
            if day <= Service.day
        }
        wrong += rows[one.name] != due
    twice = sum(n > 1 for n in count.values())
    kinds = Counter(state for some in rows.values() for _, state in some.values())
    print(
        f"hours kept: {sum(count.values()):,} ({dict(kinds)}); machines unlike the record: {wrong}; twice: {twice}"
    )
    assert (wrong, twice) == (0, 0)


def main():
    parser = argparse.ArgumentParser()
    for name, many in (("machines", 3_000), ("watched", 6), ("judged", 100), ("nights", 3)):
        parser.add_argument(f"--{name}", type=int, default=many)
    options = parser.parse_args()
    folder = tempfile.TemporaryDirectory()
    os.environ |= {"PITCHLINE_DESK_DATA": folder.name, "PITCHLINE_DESK_FETCH_PRIVATE": "1",
                   "DJANGO_SETTINGS_MODULE": "pitchline.desk.settings"}  # fmt: skip
    import django

    django.setup()
    from django.conf import settings
    from django.core.management import call_command

    settings.TODAY = dt.date(2026, 3, 2)
    call_command("migrate", verbosity=0, interactive=False)
    from pitchline.desk.machine.judging import judge_here, judge_waiting
    from pitchline.desk.machine.models import Judgement, Machine
    from pitchline.desk.machine.queries import dossier_of
    from pitchline.desk.machine.worker import draw_new
    from pitchline.desk.meter.actions import meter_changed
    from pitchline.desk.meter.models import Feed, MeterHours
    from pitchline.desk.meter.pulling import pull
    from pitchline.desk.people.middleware import local_actor
    from pitchline.desk.prices import judged_prices
    from pitchline.desk.yard.demo import open_demo_yard
    from pitchline.judge import judge
    from pitchline.trade.hours_seen import HoursSeen
    from pitchline.trade.meter import MeterChange
    from pitchline.trade.units import UnitSystem

    actor = local_actor()
    open_demo_yard(actor)
    judge_waiting()
    models = [
        one
        for one in Machine.objects.filter(judgement__isnull=False).select_related("judgement")
        if one.last_walk_on
    ]
    Service.begins = max(one.last_walk_on for one in models)
    settings.TODAY = Service.begins
    Machine.objects.update(archived_at=dt.datetime(2026, 1, 1, tzinfo=dt.UTC))

    def offset(machine):
        changes = json.loads(machine.file_text).get("hours", {}).get("meter_changes", [])
        return sum(each["old_h"] - each.get("new_h", 0.0) for each in changes)

    def begin(some, chance, **more):
        Service.yard = [
            worked(one.short_name, one.judgement.from_service_h, offset(one), chance, **more) for one in some
        ]

    server = ThreadingHTTPServer(("127.0.0.1", 0), Service)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    address = f"http://127.0.0.1:{server.server_port}/fleet"

    def fetch(query=""):
        feed = Feed.objects.create(business=actor.business, name="made up", address=address + query, who="bench")
        pull(feed, dt.datetime.now(dt.UTC))
        feed.refresh_from_db()
        assert "failed" not in feed.said, feed.said
        return feed.said

    Machine.objects.filter(archived_at=None).update(to_judge=False)
    made = copies(models, options.machines, options.judged, "fed")
    Machine.objects.filter(short_name__startswith="fed-").update(archived_at=None)
    begin(made, random.Random(1))
    Service.day = DAYS - options.nights
    begun, cpu = time.perf_counter(), time.process_time()
    print("past hours:", fetch("?whole=1"))
    told("fetching them", begun, cpu, options.machines)
    for night in range(DAYS - options.nights + 1, DAYS + 1):
        Service.day, settings.TODAY = night, Service.begins + dt.timedelta(days=night)
        begun, cpu = time.perf_counter(), time.process_time()
        print(f"night {night}:", fetch())
        fetching = told("fetching it", begun, cpu, options.machines)
    again = fetch("?whole=1")
    assert (again["taken"], again["asked"]) == (0, 0), again
    changed = [one for one in Service.yard if one.reset is not None]
    assert MeterHours.objects.filter(state="asked").exclude(
        machine__short_name__in=[one.name for one in changed]
    ).count() == sum(len(one.slips) for one in Service.yard)
    for one in changed:
        machine = Machine.objects.get(short_name=one.name)
        change = MeterChange(Service.begins + dt.timedelta(days=one.reset), one.old_h)
        meter_changed(actor, machine_id=machine.pk, seen_version=machine.version, change=change, why="a new meter")
    print(f"changed meters told: {len(changed)}")
    held_against_the_record(Service.yard)

    some = list(
        Machine.objects.filter(pk__in=[one.pk for one in made[: options.judged]]).select_related(
            "business", "judgement"
        )
    )
    for machine in some[:WARM]:  # what a process loads once
        judge_here(machine, draw_new)
    some = some[WARM:]
    begun, cpu = time.perf_counter(), time.process_time()
    for machine in some:
        judge_here(machine, draw_new)
    judging = told(f"judging and drawing {len(some)}", begun, cpu, len(some)) / len(some) * options.machines
    print(f"one night of {options.machines:,} machines: {(fetching + judging) / 2:.0f} s on two cores (reckoned)")

    Machine.objects.update(archived_at=dt.datetime(2026, 1, 1, tzinfo=dt.UTC), to_judge=False)
    Judgement.objects.filter(machine__short_name__startswith="fed-").update(passing=False)
    settings.TODAY = Service.begins
    near = sorted((one for one in models if one.call != "stop"), key=lambda one: one.due_cautious_h or 9e9)
    watched = copies(near, min(options.watched, len(near)), options.watched, "watched")
    Machine.objects.filter(short_name__startswith="watched-").update(archived_at=None)
    begin(watched, random.Random(2), hard=True, odd=False)
    moved = unlike = 0
    before = {one.pk: one.call for one in watched}
    for night in range(1, DAYS + 1):
        Service.day, settings.TODAY = night, Service.begins + dt.timedelta(days=night)
        fetch()
        for one, sent in zip(watched, Service.yard, strict=True):
            machine = Machine.objects.select_related("business", "judgement").get(pk=one.pk)
            bare = dossier_of(Machine(**{f.attname: getattr(machine, f.attname) for f in machine._meta.concrete_fields}
                                      | {"hours_seen": []}))  # fmt: skip
            seen = tuple(
                HoursSeen(Service.begins + dt.timedelta(days=day), shown + sent.offset_h)
                for day, shown in sent.shown.items()
                if day <= night
            )
            prices = judged_prices(machine.judgement)
            due = judge(replace(bare, hours_seen=seen), prices, settings.TODAY, UnitSystem.METRIC)
            judge_here(machine)
            machine = Machine.objects.get(pk=one.pk)
            unlike += (machine.call or "unjudged") != due.call.value
            if machine.call != before[one.pk]:
                moved += 1
                print(
                    f"  {one.short_name}: {before[one.pk] or 'unjudged'} becomes {machine.call or 'unjudged'} on night {night}",
                    flush=True,
                )
                before[one.pk] = machine.call
    print(
        f"watched {len(watched)} machines for {DAYS} nights: {moved} calls moved, {unlike} on another night than by the record"
    )
    assert unlike == 0
    server.shutdown()
    folder.cleanup()


if __name__ == "__main__":
    main()
