"""The work as a workbook, read back by another library."""

import datetime as dt
import io
import zipfile
from dataclasses import replace

import openpyxl
import pytest

from pitchline.money.bid import bid
from pitchline.money.prices import PriceList
from pitchline.money.stop_costs import StopCosts
from pitchline.money.worth import ValuedPart, Worth, against_half, worth_left
from pitchline.papers.stop import next_stop
from pitchline.papers.workbook import JOB_COLUMNS, workbook_xlsx
from pitchline.trade.calls import Call
from pitchline.verdict import Money
from pitchline.words import say
from said import written

LIST = PriceList("EUR", 65.0, (), "invented", 0.19, StopCosts(lorry=400.0))
EVIL = (
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    '=HYPERLINK("x")',
    "http://x.invalid/",
    "{=1}",
    "_x0041_",
    "007",
    "\t=1",
    "1e5",
)


def book(verdict, stops=()):
    raw = workbook_xlsx(verdict, stops)
    return openpyxl.load_workbook(io.BytesIO(raw)), raw


def rows(sheet):
    return [tuple(cell.value for cell in row) for row in sheet.iter_rows()]


@pytest.fixture
def stop(excavator):
    return next_stop(excavator, LIST)


def test_every_job_is_a_row_with_its_figures_as_numbers_and_days(excavator, stop):
    found, _ = book(excavator, [stop])
    table = rows(found["jobs"])
    assert table[0] == (*JOB_COLUMNS, "invented")  # as the machine file says of this machine
    assert len(table) == 1 + len(excavator.jobs)
    ordered = [*stop.jobs, *(job for job in excavator.jobs if job not in stop.jobs)]
    for job, row in zip(ordered, table[1:], strict=True):
        cells = dict(zip(table[0], row, strict=True))
        assert cells["invented"] == "invented"
        assert cells["lay-up"] == (None if job.call is Call.RUN else 1)
        assert cells["price usual"] == (job.price.usual if job.price else None)
        stands = job.call is Call.STOP
        assert cells["middle h"] == (0 if stands else round(job.due.middle, 1) if job.due else None)
        days = excavator.as_of if stands else job.dates.middle if job.dates else None
        assert cells["middle day"] == (dt.datetime.combine(days, dt.time()) if days else None)


def test_a_stop_adds_up_with_its_tax_apart(excavator, stop):
    found, _ = book(excavator, [stop])
    amounts = {row[4]: row[5] for row in rows(found["lay-ups"])[1:]}
    jobs = sum(job.price.usual for job in stop.jobs if job.price)
    assert amounts["sum without tax, usual"] == pytest.approx(jobs + 400)
    assert amounts["tax, 19 %"] == pytest.approx(0.19 * (jobs + 400), abs=0.005)
    assert amounts["sum with tax"] == pytest.approx(1.19 * (jobs + 400), abs=0.005)


def test_a_count_that_is_not_known_is_an_empty_cell(excavator, stop):
    found, _ = book(excavator, [stop])
    asked = [row for row in rows(found["order list"]) if row[1] == "to find out"]
    assert asked
    assert all(row[2] is None for row in asked)


@pytest.mark.parametrize("text", EVIL)
def test_what_people_typed_is_never_a_formula_a_link_or_a_number(excavator, text):
    machine = replace(excavator.machine, name=text, note=text)
    jobs = tuple(replace(job, because=written(text)) for job in excavator.jobs)
    verdict = replace(excavator, machine=machine, jobs=jobs)
    found, raw = book(verdict, [next_stop(verdict, LIST)])
    whys = [row[-2] for row in found["jobs"].iter_rows(min_row=2)]
    assert all(
        (cell.data_type, cell.style.startswith("Hyper"), cell.hyperlink) == ("s", False, None) for cell in whys
    )
    assert all(cell.quotePrefix for cell in whys)
    inside = zipfile.ZipFile(io.BytesIO(raw))
    sheets = [inside.read(name).decode() for name in inside.namelist() if name.startswith("xl/worksheets/sheet")]
    assert sheets
    assert not any("<f>" in sheet or "<f " in sheet or "hyperlink" in sheet for sheet in sheets)
    assert not any("external" in name.lower() for name in inside.namelist())


def test_texts_come_back_as_they_were(excavator):
    """openpyxl undoes the escapes of ECMA-376 itself; what looks like one comes back as typed."""
    verdict = replace(excavator, headline=written('=A1 & "b" <c> _x0041_ é 日本'))
    found, _ = book(verdict)
    assert say(verdict.headline) in [row[1] for row in rows(found["about"])]


def test_worth_and_bid_have_their_sheets_where_there_are_any(excavator):
    assert book(excavator)[0].sheetnames == ["jobs", "lay-ups", "order list", "about"]
    nothing = Money(0.0, 0.0, 0.0, "EUR")
    parts = (ValuedPart(excavator.parts[0].place, Money(900.0, 1000.0, 1200.0, "EUR"), 0.4, 0.5, 0.6),)
    left, capped = worth_left(parts, "EUR")
    worth = Worth(
        parts[0].installed,
        left,
        against_half(parts, "EUR"),
        nothing,
        (),
        nothing,
        capped,
        parts,
        (written("guards: by eye only"),),
    )
    verdict = replace(excavator, worth=worth, bid=bid(9_000.0, worth))
    found, _ = book(verdict)
    assert found.sheetnames == ["jobs", "lay-ups", "order list", "worth", "bid", "about"]
    assert rows(found["bid"])[-1][:5] == ("offer", 8_880, 9_000, 9_000, "EUR")
    # 900 x 0.4, 1,000 x 0.5, 1,200 x 0.6: low price with cautious share, high with hopeful
    assert rows(found["worth"])[1][1:9] == (1000, "EUR", 0.4, 0.5, 0.6, 360, 500, 720)


def test_rows_of_a_machine_nobody_invented_do_not_say_so(excavator, stop):
    real = replace(excavator, machine=replace(excavator.machine, note="Bought in 2021."))
    assert not [row for sheet in book(real, [stop])[0] for row in rows(sheet) if "invented" in row]


def test_the_same_verdict_gives_the_same_bytes(excavator, stop):
    assert workbook_xlsx(excavator, [stop]) == workbook_xlsx(excavator, [stop])


def test_a_machine_without_work_still_makes_a_workbook(empty):
    found, _ = book(empty)
    assert rows(found["jobs"]) == [JOB_COLUMNS]
