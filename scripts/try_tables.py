"""Tries the yard's tables with other programs: pandas, polars, DuckDB, SQLite, LibreOffice; then desk, tables, desk.

    python3 -m venv build/others && build/others/bin/pip install pandas polars duckdb openpyxl pyarrow
    python scripts/try_tables.py build/others/bin/python

The first python is one that has pitchline, the named one has the others; `soffice` is LibreOffice (Debian: libreoffice-calc).
What each works out is held against what the desk's own verdicts, plans and walk-rounds come to, not against the tables.
"""

# ruff: noqa: S101, S603, S608  programs of this computer, on files of our own
import csv
import datetime as dt
import io
import json
import math
import os
import sqlite3
import subprocess
import sys
import tempfile
from dataclasses import replace
from pathlib import Path


def desk_writes(folder: Path) -> None:
    """A demo yard with work, hours and a plan; its tables as files and views, its own sums in held.json; then a second yard."""
    os.environ |= {
        "PITCHLINE_DESK_DATA": str(folder / "desk"),
        "DJANGO_SETTINGS_MODULE": "pitchline.desk.settings",
    }
    (folder / "desk").mkdir()
    import django

    django.setup()
    from django.conf import settings
    from django.core.management import call_command

    call_command("migrate", verbosity=0, interactive=False)
    from pitchline.desk.bridge.figures import verdict_of
    from pitchline.desk.bridge.machines import entered_dossier, text_without_walk_rounds
    from pitchline.desk.machine.judging import judge_waiting
    from pitchline.desk.machine.models import Machine
    from pitchline.desk.machine.queries import dossier_of
    from pitchline.desk.meter.actions import take_hours
    from pitchline.desk.people.middleware import local_actor
    from pitchline.desk.prices import judged_prices
    from pitchline.desk.tables.queries import TABLES, Wanted, cells_of, rows_of
    from pitchline.desk.workplan.actions import ask_for, work_out_waiting
    from pitchline.desk.workplan.models import Plan
    from pitchline.desk.workplan.question import asked_of
    from pitchline.desk.workplan.stored import planned
    from pitchline.desk.yard.demo import open_demo_yard
    from pitchline.exchange.hours_rows import HoursRow
    from pitchline.exchange.yard_tables import ENDINGS, table_file
    from pitchline.papers.stop import planned_stops
    from pitchline.trade.parts import PartKind
    from pitchline.trade.work_done import Did, Spent, WorkDone

    actor = local_actor()
    open_demo_yard(actor)
    first = Machine.objects.exclude(sheets=None).order_by("name").first()
    fed = Machine.objects.filter(business=actor.business).exclude(pk=first.pk).order_by("name")
    rows = []
    for one in [each for each in fed if each.sheets.exists()][:3]:
        last = one.sheets.order_by("-date").first()
        noon = dt.datetime.combine(last.date, dt.time(12), dt.UTC)
        rows += [
            HoursRow((one.short_name,), noon + dt.timedelta(days=n), last.service_h + 5.5 * n)
            for n in range(1, 15)
        ]
    take_hours(actor, rows, "try", judge=True)
    worked = entered_dossier(first)
    place = next(one for one in worked.gear.places() if one.part is PartKind.BOTTOM_ROLLER)
    last = first.sheets.order_by("-date").first()
    done = WorkDone(
        "w1", Did.FITTED_NEW, (place,), last.date, last.service_h, by="invented", spent=Spent(120.0, 380.5, "EUR")
    )
    text = text_without_walk_rounds(replace(worked, work=(done,)))
    Machine.objects.filter(pk=first.pk).update(file_text=text, to_judge=True)
    judge_waiting()
    judged = list(
        Machine.objects.filter(business=actor.business, judgement__isnull=False).select_related("judgement")
    )
    dear = max(judged, key=lambda one: one.money_usual or 0.0)
    ask_for(actor, machine=dear, judgement=dear.judgement, asked=asked_of({}, actor.business.numbers))
    work_out_waiting()
    for table in TABLES.values():
        cells = list(cells_of(table, rows_of(actor.business, table, Wanted())))
        for ending in ENDINGS:
            (folder / f"{table.name}.{ending}").write_bytes(
                table_file(table.name, table.seen, cells, ending, table.sums)
            )
    call_command("make_views", stdout=io.StringIO())

    verdicts = [verdict_of(one.judgement) for one in judged]
    jobs = [job for one in verdicts for job in one.jobs]
    dossiers = [
        dossier_of(one) for one in Machine.objects.filter(business=actor.business).select_related("business")
    ]
    dossiers = [one for one in dossiers if one is not None]
    plan = Plan.objects.get()
    stops = planned_stops(planned(plan)[0], judged_prices(plan.judgement))
    held = {
        "parts": sum(len(one.parts) for one in verdicts),
        "jobs_usual": sum(job.price.usual for job in jobs if job.price is not None),
        "pieces": sum(job.pieces or len(job.places) for job in jobs),
        "readings": sum(len(walk.readings) for one in dossiers for walk in one.walk_rounds),
        "findings": sum(len(walk.findings) for one in dossiers for walk in one.walk_rounds),
        "work": sum(len(one.work) for one in dossiers),
        "work_cost": sum(each.spent.total for one in dossiers for each in one.work if each.spent is not None),
        "lay_ups_usual": sum(stop.price.usual for stop in stops if stop.price is not None),
        "hours_h": sum(one.meter_h for one in rows),
    }  # fmt: skip
    database = str(settings.DATABASES["default"]["NAME"])
    (folder / "held.json").write_text(json.dumps(held | {"database": database}))
    print("the desk's own:", {key: round(value, 1) for key, value in held.items()})
    round_trip(actor, folder)


def round_trip(actor, folder: Path) -> None:
    """A second yard is filled with what the first gives out, and says the same in every table."""
    from pitchline.desk.machine.judging import judge_waiting
    from pitchline.desk.machine.models import Machine
    from pitchline.desk.machine.queries import dossier_of
    from pitchline.desk.meter.actions import take_hours
    from pitchline.desk.people.models import Business
    from pitchline.desk.people.who import Actor
    from pitchline.desk.prices import newest_prices
    from pitchline.desk.tables.queries import TABLES, Wanted, cells_of, rows_of
    from pitchline.desk.uploads import Upload
    from pitchline.desk.yard.importing import bring_in, found_in
    from pitchline.exchange.hours_rows import read_hours_table
    from pitchline.exchange.machine_file import machine_json

    other = Actor(
        Business.objects.create(name="Second", units=actor.business.units, numbers=actor.business.numbers),
        "second",
    )
    machines = Machine.objects.filter(business=actor.business, archived_at=None)
    sent = [
        Upload(one.short_name, "machine.json", machine_json(known).encode())
        for one in machines if (known := dossier_of(one)) is not None
    ]  # fmt: skip
    prices = newest_prices(actor.business)
    sent.append(Upload("", "prices" + Path(prices.name).suffix, bytes(prices.content)))
    bring_in(other, found_in(sent))
    with (
        (folder / "hours.csv").open(encoding="utf-8-sig", newline="") as file,
        (folder / "back.csv").open("w", newline="") as back,
    ):
        write = csv.writer(back)
        write.writerow(("machine", "time", "hours"))
        write.writerows((row["short_name"], row["at"], row["meter_h"]) for row in csv.DictReader(file))
    take_hours(other, read_hours_table(folder / "back.csv", dt.UTC, dt.datetime.now(dt.UTC)).rows, "back")
    judge_waiting()
    own = {"machine_id", "changed_at", "list_number", "source", "customer", "depot", "site"}
    for name, table in TABLES.items():
        if name == "lay_ups":  # no plan was asked for there
            continue
        both = []
        for business in (actor.business, other.business):
            at = [n for n, column in enumerate(table.whole) if column.name not in own]
            found = cells_of(table, rows_of(business, table, Wanted()))
            both.append(sorted(repr([row[n] for n in at]) for row in found))
        unlike = sum(one != two for one, two in zip(*both, strict=False)) + abs(len(both[0]) - len(both[1]))
        print(f"desk, files, desk: {name}: {len(both[0])} rows, {unlike} unlike")
        for one, two in zip(*both, strict=False):
            if one != two:
                print("  ", one[:300], "\n  ", two[:300])
                break


def others_read(folder: Path) -> None:
    """Each program works something out; all of it must be what the desk said."""
    import duckdb
    import openpyxl
    import pandas
    import polars

    held = json.loads((folder / "held.json").read_text())

    def same(who, what, found):
        print(f"{who}: {what} {found:,.2f}")
        assert math.isclose(found, held[what], rel_tol=1e-9, abs_tol=0.01), (who, what, found, held[what])

    jobs = pandas.read_csv(folder / "jobs.csv", parse_dates=["middle_on"])
    same("pandas", "jobs_usual", jobs["price_usual"].sum())
    pivoted = pandas.read_excel(folder / "jobs.xlsx", sheet_name="jobs").pivot_table(
        "pieces", "part", "call", "sum"
    )
    same("pandas, pivoted workbook", "pieces", pivoted.to_numpy(na_value=0.0).sum())
    same("pandas", "hours_h", pandas.read_csv(folder / "hours.csv")["meter_h"].sum())
    parts = polars.read_parquet(folder / "parts.parquet")
    assert parts.schema["middle_on"] == polars.Date
    same("polars", "parts", parts.height)
    same(
        "polars",
        "work_cost",
        sum(polars.read_parquet(folder / "work.parquet").select("cost_labour", "cost_parts").sum().row(0)),
    )
    for name in ("readings", "findings", "work"):
        (found,) = duckdb.sql(f"SELECT COUNT(*) FROM read_parquet('{folder}/{name}.parquet')").fetchall()[0]
        same("DuckDB", name, found)
    (found,) = duckdb.sql(f"SELECT SUM(price_usual) FROM read_csv('{folder}/lay_ups.csv')").fetchall()[0]
    same("DuckDB", "lay_ups_usual", found)
    database = held["database"]
    (found,) = (
        sqlite3.connect(database)
        .execute(
            "SELECT SUM(pieces) FROM yard_tables_jobs WHERE business_id = (SELECT MIN(business_id) FROM yard_tables_lay_ups)"
        )
        .fetchone()
    )
    same("SQLite, a view", "pieces", found)

    book = openpyxl.load_workbook(
        folder / "jobs.xlsx"
    )  # which keeps no figure of a formula: whoever opens it reckons
    sheet = book["jobs"]
    at = [cell.value for cell in sheet[1]].index("pieces") + 1
    sheet.cell(2, at).value += 1000
    book.active = book["sums"]
    book.move_sheet("sums", -1)
    (folder / "changed").mkdir()
    book.save(folder / "changed" / "jobs.xlsx")
    call = [
        "soffice",
        "--headless",
        "--convert-to",
        "csv",
        "--outdir",
        str(folder / "changed"),
        str(folder / "changed" / "jobs.xlsx"),
    ]
    subprocess.run(
        [*call, f"-env:UserInstallation=file://{folder}/office"], check=True, capture_output=True, timeout=300
    )
    with (folder / "changed" / "jobs.csv").open(newline="") as file:
        sums = list(csv.DictReader(file))
    same("LibreOffice, 1,000 pieces more", "pieces", sum(float(row["pieces"]) for row in sums) - 1000)
    same("LibreOffice", "jobs_usual", sum(float(row["price_usual"]) for row in sums))
    print("each did its part")


if __name__ == "__main__":
    if len(sys.argv) == 3 and sys.argv[1] == "read":
        others_read(Path(sys.argv[2]))
    else:
        with tempfile.TemporaryDirectory() as made:
            desk_writes(Path(made))
            env = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
            subprocess.run([sys.argv[1], __file__, "read", made], check=True, env=env)
