"""A part's page: a reading corrected with a reason stays visible as it was, and what stood at the place before."""

from dataclasses import replace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from pitchline.desk.walkround.models import FormerReading, ReadingRow, Sheet
from pitchline.trade.dossier import Event, PartEvent
from pitchline.trade.parts import PartKind, Place, Side

RAIL = "link/left:rail_height"


@pytest.fixture
def newest(machine):
    """The newest finished walk-round."""
    return Sheet.objects.filter(machine=machine).latest("date")


def rail(sheet):
    return ReadingRow.objects.get(sheet=sheet, measurand="rail_height", side="left")


def test_corrected_reading_leaves_the_old_one_struck_with_who_when_and_why(client, machine, newest, save, words):
    before, judged = rail(newest).typed or ["106.7 mm"], machine.judgement_id
    save(newest.pk, fields={f"{RAIL}~1": "105.0", f"{RAIL}~v": "1"}, why="read the other rail")
    page = client.get(f"/machines/{machine.pk}/parts/link/left/")
    former = FormerReading.objects.get()
    assert (former.typed, former.why, former.who) == (before, "read the other rail", "this desk")
    assert '<s class="former">' in page.content.decode()
    text = words(page)
    assert "corrected it: read the other rail" in text
    assert "106.7 mm until" in text
    assert "105.0 mm" in text
    machine.refresh_from_db()
    assert machine.judgement_id != judged


def test_correction_again_keeps_both(client, machine, newest, save):
    save(newest.pk, fields={f"{RAIL}~1": "105.0", f"{RAIL}~v": "1"}, why="first")
    save(newest.pk, fields={f"{RAIL}~1": "105.2", f"{RAIL}~v": "2"}, why="second")
    newest_one = FormerReading.objects.first()
    assert (newest_one.typed, newest_one.why) == (["105.0"], "second")
    assert FormerReading.objects.count() == 2


def test_correction_without_a_reason_changes_nothing(newest, save):
    before = rail(newest).typed
    assert save(newest.pk, fields={f"{RAIL}~1": "105.0", f"{RAIL}~v": "1"}).status_code == 400
    assert (rail(newest).typed, FormerReading.objects.count()) == (before, 0)


def test_what_was_judged_stays_visible_when_the_walk_round_is_opened_again(client, machine, newest, save, words):
    """Only what stood in the judgement is kept, not each stroke of typing after it."""
    before = rail(newest).typed or ["106.7 mm"]  # 110 less a third of 10
    client.post(f"/walk-rounds/{newest.pk}/reopen/", {"why": "one roller forgotten"})
    for version, text in enumerate(("1", "10", "105"), start=1):
        save(newest.pk, fields={f"{RAIL}~1": text, f"{RAIL}~v": str(version)})
    former = FormerReading.objects.get()
    assert former.typed == before
    assert "taken up again" in former.why
    client.post(f"/walk-rounds/{newest.pk}/finish/", {})
    assert "taken up again" in words(client.get(f"/machines/{machine.pk}/parts/link/left/"))


def test_what_stood_here_before(client, bring, dossier, words):
    """Rollers fitted at 1,000 h in the invented history, and one of them again at 2,500 h: between the two walk-rounds."""
    again = PartEvent(Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3), Event.FITTED_NEW, 2500.0)
    machine = bring(replace(dossier, events=(*dossier.events, again)))
    text = words(client.get(f"/machines/{machine.pk}/parts/bottom_roller/left/3/"))
    assert "Fitted new at 2,500 h , stands now" in text.replace("h,", "h ,")
    assert "Fitted new at 1,000 h , until 2,500 h" in text.replace("h,", "h ,")
    assert "tread diameter 156.8 mm at 2,200 h" in text  # 160 less a fifth of 16
    other = words(client.get(f"/machines/{machine.pk}/parts/bottom_roller/left/2/"))
    assert "2,500 h" not in other.split("What stood here")[1]
    link = words(client.get(f"/machines/{machine.pk}/parts/link/left/"))
    assert "Fitted new with the chain at 1,000 h" in link


def test_place_without_any_record_says_nothing_about_it(client, bring, dossier, words):
    machine = bring(replace(dossier, events=()))
    assert "What stood here" not in words(client.get(f"/machines/{machine.pk}/parts/link/left/"))


def test_queries_of_a_part_do_not_grow_with_corrections(client, machine, newest, save):
    def count():
        with CaptureQueriesContext(connection) as caught:
            assert client.get(f"/machines/{machine.pk}/parts/link/left/").status_code == 200
        return len(caught)

    client.get(f"/machines/{machine.pk}/parts/link/left/")
    before = count()
    for version in range(1, 5):
        save(newest.pk, fields={f"{RAIL}~1": f"105.{version}", f"{RAIL}~v": str(version)}, why="again")
    client.get(f"/machines/{machine.pk}/parts/link/left/")
    assert count() == before
