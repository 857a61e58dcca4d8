"""Tables of the yard: read back by pandas, polars' Parquet kin and openpyxl; added up by hand."""

import datetime as dt
import io

import openpyxl
import pandas as pd
import pyarrow.parquet as pq
import pytest
from django.urls import reverse

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.tables.models import JobRow, PartRow
from pitchline.desk.tables.needed import month_ends, needed_by_month
from pitchline.desk.tables.queries import TABLES, Wanted
from pitchline.trade.jobs import RENEWS


def test_every_part_and_job_of_the_newest_verdict_has_a_row(actor, machine):
    verdict = verdict_of(machine.judgement)
    parts, jobs = PartRow.objects.filter(machine=machine), JobRow.objects.filter(machine=machine)
    assert [(one.part, one.side, one.position, one.call) for one in parts] == [
        (one.place.part.value, one.place.side.value, one.place.position, one.call.value) for one in verdict.parts
    ]
    assert [(one.job, one.part, one.call) for one in jobs] == [
        (one.kind.value, one.part.value, one.call.value) for one in verdict.jobs
    ]
    bush = next(one for one in parts if one.part == "bush")
    told = next(one for one in verdict.parts if one.place.part.value == "bush")
    assert bush.middle_h == pytest.approx(told.due.middle, abs=0.06)
    Machine.objects.filter(pk=machine.pk).update(file_text="", to_judge=True)
    judge_machine(actor, machine.pk)
    assert not parts.all().exists()  # asked anew


@pytest.mark.parametrize("name", TABLES)
def test_files_hold_the_same_rows_whatever_reads_them(client, machine, name):
    """Rows of CSV by pandas, of a workbook by openpyxl, of Parquet by pyarrow."""
    csv, xlsx, parquet = (
        client.get(reverse("table", args=[name, ending])).getvalue() for ending in ("csv", "xlsx", "parquet")
    )
    by_pandas = pd.read_csv(io.BytesIO(csv))
    by_openpyxl = openpyxl.load_workbook(io.BytesIO(xlsx), read_only=True)[name]
    by_arrow = pq.read_table(io.BytesIO(parquet))
    assert (
        list(by_pandas.columns) == by_arrow.column_names == [cell.value for cell in next(by_openpyxl.iter_rows())]
    )
    assert len(by_pandas) == by_arrow.num_rows == by_openpyxl.max_row - 1
    assert by_arrow.num_rows == {"machines": 1, "hours": 0}.get(name, by_arrow.num_rows)
    if name != "prices":
        assert set(by_arrow["machine_id"].to_pylist()) <= {str(machine.pk)}
    if name == "readings":
        assert by_arrow.num_rows == sum(len(one.readings) for one in verdict_of(machine.judgement).walk_rounds)
        assert max(by_arrow["value_mm"].to_pylist()) > 100


def test_answer_pages_filters_and_knows_what_changed(client, machine):
    def ask(**asked):
        return client.get("/api/v1/tables/parts", asked).json()

    whole = ask()
    assert whole["count"] == len(whole["items"]) == PartRow.objects.count()
    assert ask(customer="nobody")["count"] == 0
    assert ask(kind="dozer")["count"] == 0
    moment = PartRow.objects.first().changed_at
    assert ask(changed_since=moment.isoformat())["count"] == whole["count"]
    assert ask(changed_since=(moment + dt.timedelta(seconds=1)).isoformat())["count"] == 0
    assert client.get("/api/v1/tables/strange").status_code == 422


def test_month_ends_by_the_calendar():
    ends = month_ends(dt.date(2027, 11, 30))
    assert [one.isoformat() for one in ends[:4]] == ["2027-11-30", "2027-12-31", "2028-01-31", "2028-02-29"]
    assert len(ends) == 12


def test_pieces_are_added_up_by_their_days(actor, machine):
    today = dt.date(2026, 12, 10)
    JobRow.objects.all().delete()
    base = {
        "business": actor.business, "machine": machine, "changed_at": dt.datetime.now(dt.UTC), "judged_for": today, "places": "a",
        "chance_in_window": 0, "renews": 1, "job": "replace", "part": "bottom_roller",
    }  # fmt: skip
    days = [dt.date(2026, 12, 20), dt.date(2027, 1, 15), dt.date(2027, 3, 1)]
    named = dict(zip(("cautious_on", "middle_on", "hopeful_on"), days, strict=True))
    JobRow.objects.create(**base, **named, number=1, call="run", pieces=4, middle_h=100)
    JobRow.objects.create(**base, number=2, call="stop", pieces=1)
    JobRow.objects.create(**base, number=3, call="run", pieces=2, middle_h=900)
    JobRow.objects.create(**{**base, "renews": 0, "job": "turn"}, number=4, call="stop", pieces=9)
    (one,) = needed_by_month(actor.business, Wanted(), today)
    assert (one.part, one.undated) == ("bottom_roller", 2)
    assert one.least[:4] == (1, 1, 1, 5)
    assert one.middle[:4] == (1, 5, 5, 5)
    assert one.most[:4] == (5, 5, 5, 5)


def test_page_says_what_the_verdicts_need(client, machine, words):
    page = client.get(reverse("tables"))
    assert page.status_code == 200
    renewed = {one.part.value for one in verdict_of(machine.judgement).jobs if one.kind in RENEWS}
    assert len(page.context["needed"]) == len(renewed)
    assert client.get(reverse("tables"), {"kind": "strange"}).status_code == 400
    assert client.get(reverse("table", args=["parts", "ods"])).status_code == 404


def test_another_business_has_other_rows(client, machine):
    Machine.objects.update(business=Business.objects.create(name="Another"))
    assert client.get("/api/v1/tables/parts").json()["count"] == 0
    assert client.get("/api/v1/tables/machines").json()["count"] == 0


def test_chains_are_counted_by_the_side_and_not_by_the_joint(actor, machine):
    JobRow.objects.filter(machine=machine).exclude(number=1).delete()
    JobRow.objects.update(part="chain", renews=1, call="stop", pieces=96, places="chain/left; chain/right")
    (one,) = needed_by_month(actor.business, Wanted(), dt.date(2026, 12, 10))
    assert one.middle[0] == 2
