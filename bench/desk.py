"""How long the desk's pages take with a large yard: 5,000 machines, three walk-rounds each, copied from one judged machine.

    python bench/desk.py [--machines 5000] [--readers 20] [--seconds 10]

Prints the 95th percentile for each page, with one reader and with many at once over the real server on this computer.
"""

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request
import uuid
from pathlib import Path


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
    return Machine.objects.filter(short_name__startswith="copy-").values_list("pk", flat=True)[0]


def timed(address):
    begun = time.perf_counter()
    with urllib.request.urlopen(address) as answer:  # noqa: S310  this computer
        answer.read()
    return time.perf_counter() - begun


def measure(address, readers, seconds):
    """Times of many readers at once, each asking again as soon as it was answered."""
    took, end = [], time.monotonic() + seconds

    def read():
        while time.monotonic() < end:
            took.append(timed(address))

    threads = [threading.Thread(target=read) for _ in range(readers)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return took


def said(took):
    return f"{statistics.median(took) * 1000:7.0f} ms  95th {statistics.quantiles(took, n=20)[-1] * 1000:7.0f} ms  ({len(took)})"


def main():
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--machines", type=int, default=5000)
    asked.add_argument("--readers", type=int, default=20)
    asked.add_argument("--seconds", type=float, default=8)
    args = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        os.environ["PITCHLINE_DESK_DATA"] = folder
        from pitchline.desk.serve import Address, prepare

        prepare(Address(), Path(folder))
        begun = time.perf_counter()
        one = fill(args.machines)
        print(f"{args.machines:,} machines written in {time.perf_counter() - begun:.0f} s")
        call = [sys.executable, "-m", "pitchline.cli", "desk", "--data", folder, "--port", "0"]
        desk = subprocess.Popen(call, stdout=subprocess.PIPE, text=True)  # noqa: S603  ourselves
        try:
            base = desk.stdout.readline().split(" at ")[1].split()[0].rstrip("/")
            pages = {
                "yard": "/",
                "yard, looked for": "/?text=copy+4&sort=money",
                "yard, last page": "/?page=9999",
                "machine": f"/machines/{one}/",
                "part": f"/machines/{one}/parts/bush/left/",
            }
            for name, path in pages.items():
                timed(base + path)
                print(f"{name:18}  1 reader  {said([timed(base + path) for _ in range(20)])}")
                print(f"{'':18} {args.readers} readers {said(measure(base + path, args.readers, args.seconds))}")
        finally:
            desk.terminate()
            desk.wait()


if __name__ == "__main__":
    main()
