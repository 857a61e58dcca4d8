"""Lay-ups, work done and prices as tables; views in SQL and sums of workbooks, held against what the desk keeps."""

import csv
import datetime as dt
import io
from collections import defaultdict
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from django.core.management import call_command
from django.db import connection
from django.urls import reverse

from pitchline.desk.machine.judging import judge_waiting
from pitchline.desk.people.rights import LOOK
from pitchline.desk.people.who import asked_by
from pitchline.desk.prices import content_of, enter_prices, judged_prices, newest_prices, prices_of
from pitchline.desk.tables.models import LayUpRow, WorkRow
from pitchline.desk.tables.queries import TABLES, Wanted, cells_of, rows_of, tables_seen
from pitchline.desk.tables.sql_views import PREFIX, drop_views
from pitchline.desk.workplan.models import DecidedPlan, Plan
from pitchline.desk.workplan.stored import planned
from pitchline.papers.stop import planned_stops
from pitchline.trade.parts import PartKind
from pitchline.trade.work_done import Did, Reckoned, Spent, WorkDone

REFERENCE = Path(__file__).parents[3] / "docs/reference/yard-tables.md"


def ask(client, table, **asked):
    return client.get(f"/api/v1/tables/{table}", asked).json()["items"]


@pytest.fixture
def priced(machine, priced_yard):
    judge_waiting()
    machine.refresh_from_db()
    return machine


@pytest.fixture
def plan(client, priced):
    client.post(f"/machines/{priced.pk}/plan/work-out/", {}, follow=True)
    return Plan.objects.get(machine=priced)


def test_lay_ups_are_those_of_the_plan_in_force(client, plan):
    """What the rows come to is what the plan's own lay-ups cost, jobs and charges."""
    verdict, _ = planned(plan)
    stops = planned_stops(verdict, judged_prices(plan.judgement))
    rows = ask(client, "lay_ups")
    assert {row["state"] for row in rows} == {"worked_out"}
    usual = defaultdict(float)
    for row in rows:
        usual[row["lay_up"]] += row["price_usual"] or 0.0
    assert usual == {stop.number: pytest.approx(stop.price.usual) for stop in stops}
    assert sum(row["job"] != "" for row in rows) == sum(len(stop.jobs) for stop in stops)
    post = {"why": "the hall is free then", "seen_kept": ""}
    client.post(f"/machines/{plan.machine_id}/plan/{plan.pk}/keep/", post)
    assert {row["state"] for row in ask(client, "lay_ups")} == {"kept"}
    kept = DecidedPlan.objects.get()
    client.post(f"/machines/{plan.machine_id}/plan/put-away/", {"seen_kept": str(kept.pk)})
    assert {row["state"] for row in ask(client, "lay_ups")} == {"worked_out"}
    assert ask(client, "lay_ups", depot="elsewhere") == []


def test_prices_are_the_lines_of_the_list_in_force(client, actor, priced):
    told = prices_of(newest_prices(actor.business))
    rows = ask(client, "prices")
    lines = [row for row in rows if row["job"]]
    assert [(row["job"], row["part"], row["per"], row["price_low"], row["price_usual"], row["price_high"], row["labour_h"])
            for row in lines] == [
        (one.job.value, one.part.value, one.per, one.price_low, one.price_usual, one.price_high, one.labour_h)
        for one in told.lines
    ]  # fmt: skip
    figures = {row["figure"]: row["amount"] for row in rows if row["figure"]}
    assert figures["labour_per_h"] == told.labour_per_h
    assert figures.get("lorry") == (told.stop.lorry if told.stop else None)
    assert {row["currency"] for row in rows} == {told.currency}
    moments = {row["changed_at"] for row in rows}
    changed = replace(
        told, lines=(replace(told.lines[0], price_high=told.lines[0].price_high + 1), *told.lines[1:])
    )
    enter_prices(actor, name="prices.csv", content=content_of(changed))
    since = max(moments)
    fresh = [row for row in ask(client, "prices") if row["changed_at"] not in moments]
    assert [row["price_high"] for row in fresh] == [told.lines[0].price_high + 1]  # the others said so before
    assert ask(client, "prices", changed_since=since) != []


def test_work_done_stands_with_its_cost(client, bring, dossier):
    place = next(one for one in dossier.gear.places() if one.part is PartKind.BOTTOM_ROLLER)
    day, last = dt.date(2026, 11, 1), dossier.walk_rounds[-1]
    one = WorkDone(
        "w1", Did.FITTED_NEW, (place,), day, last.service_h + 100, seen_on=last.date, by="Invented workshop",
        spent=Spent(120.0, 380.0, "EUR"), reckoned=Reckoned(450.0, "EUR", "verdict of 2026-10-30"), note="=1+1",
    )  # fmt: skip
    bring(replace(dossier, work=(one,)))
    (row,) = ask(client, "work")
    assert (row["work"], row["did"], row["places"], row["done_on"]) == (
        "w1",
        "fitted_new",
        place.key,
        "2026-11-01",
    )
    assert (row["cost_labour"], row["cost_parts"], row["currency"]) == (120.0, 380.0, "EUR")
    assert (row["reckoned"], row["reckoned_in"], row["by"]) == (
        450.0,
        "verdict of 2026-10-30",
        "Invented workshop",
    )
    content = client.get(reverse("table", args=["work", "xlsx"])).getvalue()
    sheet = openpyxl.load_workbook(io.BytesIO(content))["work"]
    cells = dict(zip((cell.value for cell in sheet[1]), sheet[2], strict=True))
    assert (cells["done_on"].value.date(), cells["done_on"].is_date) == (day, True)
    assert cells["changed_at"].is_date
    assert cells["note"].data_type == "s"  # a text, whatever it begins with
    assert WorkRow.objects.get().number == 1


def test_who_sees_no_prices_finds_none_in_tables(actor):
    with asked_by(replace(actor, rights=frozenset((LOOK,)))):
        assert {one.name for one in tables_seen()} == set(TABLES) - {"lay_ups", "prices"}
        seen = {column.name for table in tables_seen() for column in table.seen} - {
            "reckoned_in"
        }  # where, and no sum
    amounts = ("price", "cost", "money", "currency", "worth", "reckoned")
    assert [one for one in seen if any(word in one for word in amounts)] == []


def test_views_say_what_the_tables_say(actor, plan):
    """Read back by SQL, on SQLite and PostgreSQL alike; made anew by an upgrade, which they do not hinder."""
    call_command("make_views", stdout=io.StringIO())
    try:
        for table in TABLES.values():
            rows = list(cells_of(table, rows_of(actor.business, table, Wanted())))
            names = [column.name for column in table.whole]
            with connection.cursor() as cursor:
                cursor.execute(f'SELECT * FROM "{PREFIX}{table.name}"')  # noqa: S608  our own names
                assert [one[0] for one in cursor.description] == ["business_id", *names]
                found = cursor.fetchall()
            assert len(found) == len(rows), table.name
            for name in ("value_mm", "price_usual", "middle_h", "amount"):
                if name in names and rows:
                    at = names.index(name)
                    assert sorted(
                        round(one[at + 1], 6) for one in found if one[at + 1] is not None
                    ) == pytest.approx(sorted(one[at] for one in rows if one[at] is not None), abs=1e-3)
        call_command("migrate", verbosity=0, interactive=False)
        with connection.cursor() as cursor:
            cursor.execute("SELECT COUNT(*) FROM yard_tables_lay_ups")
            assert cursor.fetchone()[0] == LayUpRow.objects.count() > 0
    finally:
        assert drop_views() is True
    assert drop_views() is False


def test_sums_of_a_workbook_are_formulas_and_come_to_the_rows_own_sums(client, plan):
    content = client.get(reverse("table", args=["jobs", "xlsx"])).getvalue()
    formulas, values = (
        openpyxl.load_workbook(io.BytesIO(content), data_only=only)["sums"] for only in (False, True)
    )
    rows = list(
        csv.DictReader(
            io.StringIO(client.get(reverse("table", args=["jobs", "csv"])).getvalue().decode("utf-8-sig"))
        )
    )
    heads = [cell.value for cell in formulas[1]]
    assert heads[:3] == ["part", "currency", "rows"]
    assert sum(row[2].value for row in values.iter_rows(min_row=2)) == len(rows) > 0
    at = heads.index("pieces")
    assert sum(row[at].value for row in values.iter_rows(min_row=2)) == sum(int(row["pieces"]) for row in rows)
    assert all(str(row[at].value).startswith("=SUMIFS(") for row in formulas.iter_rows(min_row=2))


def test_every_table_and_column_is_told_in_the_reference():
    told = REFERENCE.read_text(encoding="utf-8")
    lacking = [f"{table.name}.{one.name}" for table in TABLES.values() for one in table.whole
               if f"| `{one.name}` |" not in told]  # fmt: skip
    assert lacking == []
    assert all(f"`{PREFIX}{name}`" in told for name in TABLES)
