"""What a page asks the database for does not grow with the yard: every page, with few machines and with many."""

import uuid

from django.db import connection
from django.test.utils import CaptureQueriesContext

from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.walkround.models import ReadingRow, Sheet
from pitchline.desk.yard import queries

PAGES = (
    "/", "/?sort=money", "/?sort=worth", "/?sort=walked", "/?sort=name", "/?text=copy",
    "/?kind=dozer&call=run&customer=a&site=b",
    "/?archived=1", "/?page=2", "/machines/{machine}/", "/machines/{machine}/?side=right",
    "/machines/{machine}/parts/bush/left/", "/machines/{machine}/parts/bottom_roller/left/3/", "/machines/{machine}/changes/",
    "/machines/{machine}/about/", "/machines/{machine}/worth/", "/machines/{machine}/worth/?asking_price=EUR+9000",
    "/machines/{machine}/work/", "/machines/{machine}/work/done/", "/machines/{machine}/work/done/?part=bottom_roller/left/3",
    "/machines/{machine}/limits/", "/machines/{machine}/file/", "/walk-rounds/{sheet}/",
    "/walk-rounds/{sheet}/at/bush/left/", "/machines/new/", "/bring/", "/prices/", "/prices/?which=:12000:",
    "/shelf/", "/shelf/new/", "/machines/{machine}/take/", "/parts/?machine={machine}",
    "/parts/", "/parts/?part=chain&machine={machine}", "/parts/?part=chain&machine={machine}&size_pitch=190", "/parts/tables/",
    "/primer/practice/", "/primer/practice/learners/",
    "/pocket/hello", "/pocket/yard", "/pocket/machines/{machine}", "/pocket/brought/",
)  # fmt: skip
MOST = 12
"""No page is allowed more, whatever it shows."""


def copy(row, **changes):
    """An unsaved copy of a row under its own key."""
    fields = {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
    return type(row)(**(fields | changes))


def copies(machine, many):
    """More machines like one: its judgement and walk-rounds with it."""
    for number in range(many):
        other = copy(
            machine,
            id=uuid.uuid4(),
            short_name=f"copy-{uuid.uuid4().hex}",
            name=f"Copy {number}",
            judgement_id=None,
        )
        other.save(force_insert=True)
        judged = copy(machine.judgement, id=uuid.uuid4(), machine_id=other.pk)
        judged.save(force_insert=True)
        Machine.objects.filter(pk=other.pk).update(judgement=judged)
        for sheet in machine.sheets.prefetch_related("readingrows"):
            again = copy(sheet, id=uuid.uuid4(), machine_id=other.pk)
            again.save(force_insert=True)
            rows = [copy(row, id=None, sheet_id=again.pk) for row in sheet.readingrows.all()]
            ReadingRow.objects.bulk_create(rows)


def reads_of(client, address):
    """How many queries a page makes, once what it keeps is kept."""
    assert client.get(address).status_code == 200, address
    with CaptureQueriesContext(connection) as asked:
        client.get(address)
    return len([one for one in asked if not one["sql"].startswith(("SAVEPOINT", "RELEASE"))])


def test_no_page_asks_more_of_a_larger_yard(client, machine, begin):
    sheet = begin(machine)
    addresses = [page.format(machine=machine.pk, sheet=sheet) for page in PAGES]
    copies(machine, 2)
    few = {address: reads_of(client, address) for address in addresses}
    copies(machine, 60)
    assert Machine.objects.count() == 63
    assert Judgement.objects.count() == 63
    many = {address: reads_of(client, address) for address in addresses}
    assert many == few
    assert max(many.values()) <= MOST


def test_no_page_asks_more_of_a_machine_with_more_walk_rounds(client, machine, begin):
    sheet = begin(machine)
    pages = [page for page in PAGES if "{" in page]
    addresses = [page.format(machine=machine.pk, sheet=sheet) for page in pages]
    few = {address: reads_of(client, address) for address in addresses}
    for _ in range(10):
        begin(machine)
    assert Sheet.objects.filter(machine=machine, state="draft").count() == 11
    assert {address: reads_of(client, address) for address in addresses} == few


def test_tally_and_choices_walk_past_no_machine_file(db):
    """A row of the yard carries its machine file: on SQLite, reading every row would read every file."""
    business = local_actor().business
    with CaptureQueriesContext(connection) as asked:
        queries.tally_of(business)
        queries.words_of(business, "customer")
        queries.words_of(business, "place")
    assert len(asked) == 3
    for one in asked:
        assert "file_text" not in one["sql"]
        if connection.vendor == "sqlite":
            with connection.cursor() as cursor:
                cursor.execute("EXPLAIN QUERY PLAN " + one["sql"])
                assert any("COVERING INDEX" in row[3] for row in cursor.fetchall()), one["sql"]
