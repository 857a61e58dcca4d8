"""How long the desk's pages take with a large yard: 5,000 machines, three walk-rounds each, copied from one judged machine.

    python bench/desk.py [--machines 5000] [--readers 20] [--seconds 8] [--only words]
    scripts/with-postgres python bench/desk.py
    scripts/with-postgres python bench/desk.py --machines 50000 --desks 2 --seconds 6

Several desks are as many computers would have them: one database and one folder of files, and what each makes anew in a folder of
its own; readers are shared out, and at the end a walk-round is finished at one and its verdict read at the other.

Over the real server, on this computer, which also plays the readers. Each reader keeps its connection and asks for a page of
a machine chosen by chance: as soon as it was answered (no pause), and with a pause of 1 s between, as somebody who reads.
A machine's page is drawn ahead by the desk; "not drawn" is the same page from its other side, which is not, as every page in
the minutes after a new version. A part's page is drawn when it is first opened: "first", and "again".
The last columns are processor time without pause: what the desk's processes that answer pages took for one page, with
PostgreSQL its server's not among it, and what these readers took, who share the processor with the desk.
"""

import argparse
import http.client
import json
import os
import random
import re
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import uuid
import zlib
from pathlib import Path

SOME = 300
BETWEEN_S = 1.0
FEWEST = 20  # answers, however long they take: fewer make no percentile


def unlike(judgement, number):
    """The judgement's verdict with one size a hair off, so that no two machines are one to whoever remembers what it has read."""
    from pitchline.desk.bridge.figures import verdict_text

    text = re.sub(
        r'("value_m": )(0\.\d+)',
        lambda found: f"{found[1]}{float(found[2]) * (1 + 1e-7 * number)!r}",
        verdict_text(judgement),
        count=1,
    )
    return zlib.compress(text.encode(), 1)


def fill(machines):
    """A yard of copies; figures spread so that sorting has something to do."""
    import random

    from pitchline.desk.machine.judging import judge_machine
    from pitchline.desk.machine.models import Judgement, Machine
    from pitchline.desk.people.middleware import local_actor
    from pitchline.desk.walkround.models import ReadingRow, Sheet
    from pitchline.desk.yard.demo import open_demo_yard

    actor = local_actor()
    open_demo_yard(actor)
    chance = random.Random(1)  # noqa: S311  nothing secret
    model = Machine.objects.get(short_name="08-heather")
    judge_machine(actor, model.pk)
    model.refresh_from_db()
    Machine.objects.exclude(pk=model.pk).update(to_judge=False)
    judgement = model.judgement
    copied_page = drawn(model, judgement)
    sheets = list(model.sheets.prefetch_related("readingrows"))
    for start in range(0, machines, 500):
        new, given, rounds, read = [], [], [], []
        for number in range(start, min(start + 500, machines)):
            fields = {f.attname: getattr(model, f.attname) for f in Machine._meta.concrete_fields}
            fields |= {
                "id": uuid.uuid4(),
                "short_name": f"copy-{number}",
                "name": f"Copy {number}",
                "judgement_id": None,
                "file_text": model.file_text.replace('"id": "08-heather"', f'"id": "copy-{number}"'),
            }
            fields |= {"customer": f"Customer {number % 40}", "due_middle_h": chance.uniform(0, 6000)}
            fields |= {"call_rank": number % 3, "call": ("run", "book", "stop")[number % 3]}
            fields |= {"money_usual": chance.uniform(0, 20_000)}
            new.append(Machine(**fields))
            copied = {f.attname: getattr(judgement, f.attname) for f in Judgement._meta.concrete_fields}
            copied |= {"id": uuid.uuid4(), "machine_id": fields["id"], "verdict_packed": unlike(judgement, number)}
            given.append(Judgement(**copied))
            for sheet in sheets:
                head = {f.attname: getattr(sheet, f.attname) for f in Sheet._meta.concrete_fields}
                rounds.append(Sheet(**(head | {"id": uuid.uuid4(), "machine_id": fields["id"]})))
                for row in sheet.readingrows.all():
                    line = {f.attname: getattr(row, f.attname) for f in ReadingRow._meta.concrete_fields}
                    line.pop("id")
                    read.append(ReadingRow(**(line | {"sheet_id": rounds[-1].pk})))
        Machine.objects.bulk_create(new)
        Judgement.objects.bulk_create(given)
        for machine, one in zip(new, given, strict=True):
            machine.judgement = one
            copied_page(machine, one)
        Machine.objects.bulk_update(new, ["judgement"])
        Sheet.objects.bulk_create(rounds)
        ReadingRow.objects.bulk_create(read)
    return prepared(actor, random.Random(2))  # noqa: S311  nothing secret


def drawn(model, judgement):
    """Gives a copy the page that was drawn of the machine it is copied from, under its own ids: quicker than drawing it."""
    from pitchline.desk.machine.judged_pages import judged_piece, piece_key
    from pitchline.desk.piece_cache import cached
    from pitchline.trade.units import UnitSystem

    about = (None, UnitSystem.METRIC, True)
    page = judged_piece(model, judgement, *about)

    def give(copy, its_judgement):
        ids = ((str(model.pk), str(copy.pk)), (str(judgement.pk), str(its_judgement.pk)))
        texts = {name: str(text).replace(*ids[0]).replace(*ids[1]) for name, text in page.items()}
        cached(piece_key(copy, *about, its_judgement.pk), lambda: texts)

    return give


def prepared(actor, chance):
    """Every copy, some of them, and a walk-round begun on each of these."""
    from pitchline.desk.machine.models import Machine
    from pitchline.desk.walkround.models import Sheet

    copies = Machine.objects.filter(short_name__startswith="copy-").order_by("pk")
    every = list(copies.values_list("pk", flat=True))
    some = sorted(chance.sample(every, min(SOME, len(every))))
    begun = [Sheet(business=actor.business, machine_id=one, date_text="2026-11-25") for one in some]
    return every, some, [sheet.pk for sheet in Sheet.objects.bulk_create(begun)]


def ask(connection, path):
    """Seconds until the whole answer is here."""
    begun = time.perf_counter()
    connection.request("GET", path)
    answer = connection.getresponse()
    answer.read()
    if answer.status != 200:
        raise RuntimeError(f"{path}: {answer.status}")
    return time.perf_counter() - begun


def once_each(paths):
    """Every address once, in an order by chance: what is asked for a second time is drawn already."""
    left = random.Random(3).sample(paths, len(paths))  # noqa: S311  nothing secret

    def choose(chance):
        if not left:
            raise RuntimeError("every page was asked for once: more machines are needed")
        return left.pop()

    return choose


def any_of(paths):
    """Any address, by the chance of whoever asks."""
    return lambda chance: chance.choice(paths)


def measure(ports, choose, readers, seconds, between_s=0.0):
    """Times of many readers at once."""
    took, failed, end = [], [], time.monotonic() + seconds

    def read(number):
        chance = random.Random(number)  # noqa: S311  nothing secret
        connection = http.client.HTTPConnection("127.0.0.1", ports[number % len(ports)])
        time.sleep(chance.random() * between_s)
        try:
            while time.monotonic() < end or len(took) < FEWEST:
                took.append(ask(connection, choose(chance)))
                time.sleep(between_s * 2 * chance.random())
        except (RuntimeError, OSError, http.client.HTTPException) as error:
            failed.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=read, args=(number,)) for number in range(readers)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if failed:
        raise failed[0]
    return took


def share(took, hundredth):
    return statistics.quantiles(took, n=100)[hundredth - 1] * 1000


def pages(every, some, begun):
    """Addresses by name."""
    parts = ("bush/left", "link/right", "bottom_roller/left/3", "sprocket/right", "shoe/left")
    words = ("copy+4", "customer+17", "copy+12", "heather")
    return {
        "plain page": ["/alive"],
        "yard, by due": ["/"],
        "yard, by money": ["/?sort=money"],
        "yard, by walk-round": ["/?sort=walked"],
        "yard, by name": ["/?sort=name"],
        "yard, looked for": [f"/?text={one}&sort={sort}" for one in words for sort in ("due", "money")],
        "yard, filtered": [f"/?customer=Customer+{one}&call=stop" for one in range(40)],
        "yard, any page": [f"/?page={one}" for one in range(1, 101)],
        "machine": [f"/machines/{one}/" for one in every],
        "machine, not drawn": [f"/machines/{one}/?side=right" for one in every],
        "part, first": [f"/machines/{one}/parts/{part}/" for one in every for part in parts],
        "part, again": [f"/machines/{one}/parts/{part}/" for one in some[:40] for part in parts],
        "walk-round, table": [f"/walk-rounds/{one}/" for one in begun],
        "walk-round, one part": [f"/walk-rounds/{one}/at/{part}/" for one in begun for part in parts],
        "changes": [f"/machines/{one}/changes/" for one in some],
    }


def answering_s(heads):
    """Processor time of the desks' processes that answer pages so far: the heads' children that do not stand back."""
    seconds = 0.0
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            told = path.read_text().rpartition(")")[2].split()
        except OSError:
            continue  # it ended meanwhile
        if int(told[1]) in heads and int(told[16]) <= os.nice(0):
            seconds += (int(told[11]) + int(told[12])) / os.sysconf("SC_CLK_TCK")
    return seconds


def run(ports, heads, args, every, some, begun):
    many = f"{args.readers} readers"
    print(f"{'':24} {'alone':>7} | {many + ', no pause':25} | {many + ', 1 s pause':19} | processor, a page")
    print(
        f"{'page':24} {'50th':>7} | {'50th':>7} {'95th':>7} {'a second':>9} | {'50th':>7} {'95th':>7} ms  | "
        f"{'desk':>6} {'readers':>7} ms"
    )
    for name, paths in pages(every, some, begun).items():
        if args.only not in name:
            continue
        if name.endswith("again"):
            for port in ports:
                connection = http.client.HTTPConnection("127.0.0.1", port)
                for path in paths:
                    ask(connection, path)
                connection.close()
        choose = once_each(paths) if name.endswith(("first", "not drawn")) else any_of(paths)
        alone = measure(ports, choose, 1, 1.5)
        desk_s, readers_s = answering_s(heads), time.process_time()
        hard = measure(ports, choose, args.readers, args.seconds)
        desk_s, readers_s = answering_s(heads) - desk_s, time.process_time() - readers_s
        easy = measure(ports, choose, args.readers, args.seconds, BETWEEN_S)
        told = f"{name:24} {share(alone, 50):7.0f} | {share(hard, 50):7.0f} {share(hard, 95):7.0f} "
        told += f"{len(hard) / args.seconds:9.0f} | {share(easy, 50):7.0f} {share(easy, 95):7.0f}     "
        print(f"{told}| {desk_s / len(hard) * 1e3:6.1f} {readers_s / len(hard) * 1e3:7.1f}", flush=True)
    judged_meanwhile(ports, args, every, some)


def judged_meanwhile(ports, args, every, some):
    """The yard and a machine while the desk judges as many machines as it can in the background."""
    from pitchline.desk.machine.models import Judgement, Machine

    marked = [one for one in every if one not in set(some)][:400]
    Judgement.objects.filter(machine__in=marked).delete()
    Machine.objects.filter(pk__in=marked).update(to_judge=True)
    for name, path in (
        ("yard, while judging", "/?sort=name"),
        ("machine, while judging", f"/machines/{some[0]}/"),
    ):
        hard = measure(ports, any_of([path]), args.readers, args.seconds)
        easy = measure(ports, any_of([path]), args.readers, args.seconds, BETWEEN_S)
        told = f"{name:24} {'':7} | {share(hard, 50):7.0f} {share(hard, 95):7.0f} {len(hard) / args.seconds:9.0f} "
        print(f"{told}| {share(easy, 50):7.0f} {share(easy, 95):7.0f}    |", flush=True)
    print(f"judged meanwhile: {len(marked) - Machine.objects.filter(to_judge=True).count()}")


def from_one_to_the_other(ports, machine):
    """Nothing comes out; a walk-round that somebody finishes at the first desk has its verdict at the last."""
    from pitchline.desk.machine.models import Judgement

    before = set(Judgement.objects.filter(machine=machine).values_list("pk", flat=True))
    sheet = str(uuid.uuid4())
    lines = [
        {"key": "head", "seen_version": 1, "date": "2026-11-28", "hours": "4000"},
        {"key": "bottom_roller/left/1:tread_diameter", "read": ["151"]},
    ]
    steps = (
        (f"/api/v1/machines/{machine}/walk-rounds", sheet, {}),
        (f"/api/v1/walk-rounds/{sheet}/lines", str(uuid.uuid4()), {"writer": str(uuid.uuid4()), "lines": lines}),
        (f"/api/v1/walk-rounds/{sheet}/finish", str(uuid.uuid4()), {}),
    )
    for nth, (path, key, sent) in enumerate(steps):
        connection = http.client.HTTPConnection("127.0.0.1", ports[nth % len(ports)])
        connection.request(
            "POST", path, json.dumps(sent), {"Content-Type": "application/json", "Idempotency-Key": key}
        )
        answer = connection.getresponse()
        text = answer.read()
        if answer.status >= 300:
            raise RuntimeError(f"{path}: {answer.status} {text[:300]}")
    begun = time.perf_counter()
    while set(Judgement.objects.filter(machine=machine).values_list("pk", flat=True)) <= before:
        time.sleep(0.05)
    connection = http.client.HTTPConnection("127.0.0.1", ports[-1])
    took = ask(connection, f"/machines/{machine}/")
    waited = time.perf_counter() - begun
    print(
        f"begun, read and finished at one desk after the other: judged after {waited:.1f} s, its page {took * 1e3:.0f} ms"
    )


def main():
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--machines", type=int, default=5000)
    asked.add_argument("--readers", type=int, default=20)
    asked.add_argument("--seconds", type=float, default=8)
    asked.add_argument("--only", default="", help="only pages with this in their name")
    asked.add_argument(
        "--desks", type=int, default=1, help="so many desks on one database; more than one needs a server's"
    )
    args = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        os.environ["PITCHLINE_DESK_DATA"] = folder
        from pitchline.desk.serve import Address, prepare

        prepare(Address(), Path(folder))
        begun = time.perf_counter()
        rows = fill(args.machines)
        kind = "PostgreSQL" if os.environ.get("PITCHLINE_DATABASE") else "SQLite"
        print(f"{kind}: {args.machines:,} machines written in {time.perf_counter() - begun:.0f} s")
        desks = [opened(folder, number if args.desks > 1 else None) for number in range(args.desks)]
        try:
            ports = [
                int(desk.stdout.readline().split(" at ")[1].split()[0].rstrip("/").rpartition(":")[2])
                for desk in desks
            ]
            run(ports, [desk.pid for desk in desks], args, *rows)
            from_one_to_the_other(ports, rows[1][1])
        finally:
            for desk in desks:
                desk.terminate()
            for desk in desks:
                desk.wait()


def opened(folder, number):
    """A desk on the folder; one of several has a folder of its own beside."""
    call = [sys.executable, "-m", "pitchline.cli", "desk", "--data", folder, "--port", "0"]
    here = {} if number is None else {"PITCHLINE_DESK_HERE": f"{folder}/here-{number}"}
    return subprocess.Popen(call, stdout=subprocess.PIPE, text=True, env=os.environ | here)  # noqa: S603  ourselves


if __name__ == "__main__":
    main()
