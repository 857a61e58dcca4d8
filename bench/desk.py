"""How long the desk's pages take with a large yard: 5,000 machines, three walk-rounds each, copied from one judged machine.

    python bench/desk.py [--machines 5000] [--readers 20] [--seconds 8] [--only words]
    scripts/with-postgres python bench/desk.py

Over the real server, on this computer, which also plays the readers. Each reader keeps its connection and asks for a page of
a machine chosen by chance: as soon as it was answered (no pause), and with a pause of 1 s between, as somebody who reads.
"again" is a page the desk has drawn before; "first" one it has not. The last column is the 95th percentile without pause as a
multiple of that of a plain page, which answers one line after the same middleware.
"""

import argparse
import http.client
import os
import random
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from pathlib import Path

DRAWN = 300
BETWEEN_S = 1.0


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
            }
            fields |= {"customer": f"Customer {number % 40}", "due_middle_h": chance.uniform(0, 6000)}
            fields |= {"call_rank": number % 3, "call": ("run", "book", "stop")[number % 3]}
            fields |= {"money_usual": chance.uniform(0, 20_000)}
            new.append(Machine(**fields))
            copied = {f.attname: getattr(judgement, f.attname) for f in Judgement._meta.concrete_fields}
            given.append(Judgement(**(copied | {"id": uuid.uuid4(), "machine_id": fields["id"]})))
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
        Machine.objects.bulk_update(new, ["judgement"])
        Sheet.objects.bulk_create(rounds)
        ReadingRow.objects.bulk_create(read)
    return prepared(actor, random.Random(2))  # noqa: S311  nothing secret


def prepared(actor, chance):
    """Some machines as the desk leaves them once it has judged them: drawn, and each with a walk-round begun."""
    from pitchline.desk.machine.models import Machine
    from pitchline.desk.machine.worker import draw
    from pitchline.desk.walkround.models import Sheet

    copies = Machine.objects.filter(short_name__startswith="copy-").order_by("pk")
    every = list(copies.values_list("pk", flat=True))
    some = sorted(chance.sample(every, min(DRAWN, len(every))))
    for machine in Machine.objects.select_related("business", "judgement").filter(pk__in=some):
        draw(machine, machine.judgement)
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


def measure(port, paths, readers, seconds, between_s=0.0):
    """Times of many readers at once."""
    took, failed, end = [], [], time.monotonic() + seconds

    def read(number):
        chance = random.Random(number)  # noqa: S311  nothing secret
        connection = http.client.HTTPConnection("127.0.0.1", port)
        time.sleep(chance.random() * between_s)
        try:
            while time.monotonic() < end:
                took.append(ask(connection, chance.choice(paths)))
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
        "machine, again": [f"/machines/{one}/" for one in some],
        "machine, first": [f"/machines/{one}/" for one in every if one not in set(some)],
        "part, first": [f"/machines/{one}/parts/{part}/" for one in every for part in parts],
        "part, again": [f"/machines/{one}/parts/{part}/" for one in some[:40] for part in parts],
        "walk-round, table": [f"/walk-rounds/{one}/" for one in begun],
        "walk-round, one part": [f"/walk-rounds/{one}/at/{part}/" for one in begun for part in parts],
        "changes": [f"/machines/{one}/changes/" for one in some],
    }


def run(port, args, every, some, begun):
    print(f"{'':24} {'alone':>7} | {args.readers} readers, no pause        | {args.readers} readers, 1 s pause  |")
    print(
        f"{'page':24} {'50th':>7} | {'50th':>7} {'95th':>7} {'a second':>9} | {'50th':>7} {'95th':>7} ms | of plain"
    )
    plain = None
    for name, paths in pages(every, some, begun).items():
        if args.only and args.only not in name and name != "plain page":
            continue
        if name.endswith("again"):
            connection = http.client.HTTPConnection("127.0.0.1", port)
            for path in paths:
                ask(connection, path)
            connection.close()
        alone = measure(port, paths, 1, 1.5)
        hard = measure(port, paths, args.readers, args.seconds)
        easy = measure(port, paths, args.readers, args.seconds, BETWEEN_S)
        plain = plain or share(hard, 95)
        told = f"{name:24} {share(alone, 50):7.0f} | {share(hard, 50):7.0f} {share(hard, 95):7.0f} "
        told += f"{len(hard) / args.seconds:9.0f} | {share(easy, 50):7.0f} {share(easy, 95):7.0f}    "
        print(f"{told}| {share(hard, 95) / plain:5.1f}", flush=True)
    judged_meanwhile(port, args, every, some)


def judged_meanwhile(port, args, every, some):
    """The yard and a machine while the desk judges as many machines as it can in the background."""
    from pitchline.desk.machine.models import Judgement, Machine

    marked = [one for one in every if one not in set(some)][:400]
    Judgement.objects.filter(machine__in=marked).delete()
    Machine.objects.filter(pk__in=marked).update(to_judge=True)
    for name, path in (
        ("yard, while judging", "/?sort=name"),
        ("machine, while judging", f"/machines/{some[0]}/"),
    ):
        hard = measure(port, [path], args.readers, args.seconds)
        easy = measure(port, [path], args.readers, args.seconds, BETWEEN_S)
        told = f"{name:24} {'':7} | {share(hard, 50):7.0f} {share(hard, 95):7.0f} {len(hard) / args.seconds:9.0f} "
        print(f"{told}| {share(easy, 50):7.0f} {share(easy, 95):7.0f}    |", flush=True)
    print(f"judged meanwhile: {len(marked) - Machine.objects.filter(to_judge=True).count()}")


def main():
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--machines", type=int, default=5000)
    asked.add_argument("--readers", type=int, default=20)
    asked.add_argument("--seconds", type=float, default=8)
    asked.add_argument("--only", default="", help="only pages with this in their name")
    args = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        os.environ["PITCHLINE_DESK_DATA"] = folder
        from pitchline.desk.serve import Address, prepare

        prepare(Address(), Path(folder))
        begun = time.perf_counter()
        rows = fill(args.machines)
        kind = "PostgreSQL" if os.environ.get("PITCHLINE_DATABASE") else "SQLite"
        print(f"{kind}: {args.machines:,} machines written in {time.perf_counter() - begun:.0f} s")
        call = [sys.executable, "-m", "pitchline.cli", "desk", "--data", folder, "--port", "0"]
        desk = subprocess.Popen(call, stdout=subprocess.PIPE, text=True)  # noqa: S603  ourselves
        try:
            port = int(desk.stdout.readline().split(" at ")[1].split()[0].rstrip("/").rpartition(":")[2])
            run(port, args, *rows)
        finally:
            desk.terminate()
            desk.wait()


if __name__ == "__main__":
    main()
