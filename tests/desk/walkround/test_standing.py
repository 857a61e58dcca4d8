"""What was seen last time on a part nobody looked over stands until somebody says it is gone: our own rule, no source.

The invented excavator leaks badly at bottom roller 3, left, on its newest walk-round, of 7 September 2026 at 3,000 h.
"""

import datetime as dt
from dataclasses import replace
from importlib import import_module

import pytest
from django.apps import apps

from pitchline.desk.bridge.sheets import finding_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of
from pitchline.desk.trail.models import Change
from pitchline.desk.walkround.carry_over import CARRIED, carried_rows
from pitchline.desk.walkround.finishing import bring_sheet
from pitchline.desk.walkround.models import SeenRow, Sheet
from pitchline.trade.dossier import Event, PartEvent
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.words.carried import note_said

ROLLER = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3)
LEAK = Finding(ROLLER, FindingKind.LEAK, Severity.SEVERE, note="drips")
RAIL = {"link/left:rail_height~1": "104.5"}
STANDS = "drips; last seen 7 Sep 2026, not looked over since"


def head(day="2026-11-02", hours="3600"):
    return {"head~date": day, "head~hours": hours, "head~by": "", "head~unit": "mm", "head~v": "1"}


@pytest.fixture
def leaking(dossier):
    """The invented excavator with the leak on its newest walk-round."""
    *before, last = dossier.walk_rounds
    return replace(dossier, walk_rounds=(*before, replace(last, findings=(LEAK,))))


@pytest.fixture
def leaking_machine(bring, leaking):
    """It in the yard, judged."""
    return bring(leaking)


@pytest.fixture
def finish(client, begin):
    """A factory of walk-rounds begun, filled and finished in the browser."""

    def make(machine, fields=RAIL, **when):
        sheet_id = begin(machine)
        answer = client.post(f"/walk-rounds/{sheet_id}/finish/", head(**when) | fields)
        assert answer.status_code == 302
        return sheet_id

    return make


def seen(machine):
    now = Machine.objects.get(pk=machine.pk)
    return [
        (one.place, one.kind, one.severity, note_said(one)) for one in dossier_of(now).walk_rounds[-1].findings
    ]


def test_stop_stays_where_nobody_looked_and_the_trail_says_so(leaking_machine, finish):
    assert leaking_machine.call == "stop"
    finish(leaking_machine)
    assert Machine.objects.get(pk=leaking_machine.pk).call == "stop"
    assert seen(leaking_machine) == [(ROLLER, FindingKind.LEAK, Severity.SEVERE, STANDS)]
    assert SeenRow.objects.get(sheet__machine=leaking_machine, how_bad="severe", writer=CARRIED).note == "drips"
    told = Change.objects.get(what__endswith="carried over")
    assert (told.what, told.after) == ("leak, bottom roller 3, left, carried over", f"severe; {STANDS}")


def test_notes_of_before_lose_the_desks_own_sentence_and_nothing_else(leaking_machine, finish):
    """Both ways: what the desk wrote into notes before 0.7.0, in English, is the day in its column."""
    sheet_id = finish(leaking_machine)
    rows, own = (
        SeenRow.objects.filter(sheet=sheet_id, kind="leak"),
        SeenRow.objects.filter(kind="leak", last_seen_on=None),
    )
    own.update(note=STANDS)
    migration = import_module("pitchline.desk.walkround.migrations.0008_day_last_seen_is_no_note")
    migration.put_in(apps, None)
    assert (rows.get().note, own.get().note) == (STANDS, STANDS)
    assert note_said(finding_of(rows.get(), dossier_of(leaking_machine))) == STANDS
    migration.take_out(apps, None)
    assert (rows.get().note, own.get().note) == ("drips", STANDS)


def test_first_day_is_kept_however_often_it_is_carried(leaking_machine, finish):
    finish(leaking_machine)
    finish(leaking_machine, day="2026-11-16", hours="3700")
    assert seen(leaking_machine) == [(ROLLER, FindingKind.LEAK, Severity.SEVERE, STANDS)]


@pytest.mark.parametrize(
    ("fields", "left"),
    [
        ({"nothing~looked": "looked"}, []),
        ({"leak~bad": ""}, []),
        ({"seized~bad": ""}, ["leak"]),
        ({"seized~bad": "slight"}, ["seized"]),
        ({"leak~bad": "slight"}, ["leak"]),
    ],
)
def test_it_is_gone_once_somebody_says_so(leaking_machine, finish, fields, left):
    """Whoever says something is seen on the part looked it over; a "no" is an answer to that one thing only."""
    finish(leaking_machine, RAIL | {f"{ROLLER.key}:{name}": text for name, text in fields.items()})
    assert [kind.value for _, kind, *_ in seen(leaking_machine)] == left


@pytest.mark.parametrize(
    ("event", "hours", "place", "stays"),
    [
        (Event.FITTED_NEW, 3100.0, ROLLER, False),
        (Event.FITTED_PART_WORN, 3100.0, ROLLER, False),
        (Event.REBUILT, 3100.0, Place(PartKind.BOTTOM_ROLLER, Side.LEFT), False),
        (Event.FITTED_NEW, 2900.0, ROLLER, True),
        (Event.FITTED_NEW, 3100.0, Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 4), True),
    ],
)
def test_it_is_gone_once_the_part_was_renewed(bring, leaking, finish, event, hours, place, stays):
    machine = bring(replace(leaking, events=(*leaking.events, PartEvent(place, event, hours))), judged=False)
    finish(machine)
    assert bool(seen(machine)) is stays


def test_opened_again_it_is_what_people_wrote_and_finished_again_nothing_is_double(
    client, leaking_machine, finish, save
):
    sheet_id = finish(leaking_machine)
    for _ in range(2):
        client.post(f"/walk-rounds/{sheet_id}/reopen/", {"why": "forgotten"})
        assert not SeenRow.objects.filter(sheet=sheet_id).exists()
        client.post(f"/walk-rounds/{sheet_id}/finish/", {})
        client.post(f"/walk-rounds/{sheet_id}/finish/", {})
        assert SeenRow.objects.filter(sheet=sheet_id).count() == 1
    client.post(f"/walk-rounds/{sheet_id}/put-away/", {"away": "1"})
    client.post(f"/walk-rounds/{sheet_id}/put-away/", {"away": "0"})
    (line,) = save(sheet_id, fields={f"{ROLLER.key}:nothing~looked": "looked"}).json()["lines"]
    assert not line["aside"]
    client.post(f"/walk-rounds/{sheet_id}/finish/", {})
    assert seen(leaking_machine) == []


def test_nothing_else_on_a_walk_round_is_still_nothing(client, leaking_machine, begin):
    sheet_id = begin(leaking_machine)
    assert client.post(f"/walk-rounds/{sheet_id}/finish/", head()).status_code == 400
    assert not SeenRow.objects.filter(sheet=sheet_id).exists()


def test_sheet_brought_whole_from_a_file_says_itself_what_is_seen(actor, leaking_machine, walk_round):
    bring_sheet(actor, machine_id=leaking_machine.pk, walk_round=walk_round("2026-11-02", 3600.0, 0.45))
    assert seen(leaking_machine) == []


def test_part_shows_last_time_and_the_end_names_what_stands_first(client, leaking_machine, begin, save, words):
    sheet_id = begin(leaking_machine)
    save(sheet_id, fields=head())
    part = words(client.get(f"/walk-rounds/{sheet_id}/at/{ROLLER.key}/"))
    assert "Last time, 7 Sep 2026: leak, severe (drips)" in part
    page = client.get(f"/walk-rounds/{sheet_id}/at/end/")
    said = "leak, severe on 7 Sep 2026; not looked over: it counts until somebody says it is gone"
    assert f"Bottom roller 3, left : {said}" in words(page)
    text = page.content.decode()
    stood = text.index(f'<li data-stood="{ROLLER.key}:leak">')
    assert (
        stood < text.index(f'<a href="/walk-rounds/{sheet_id}/at/{ROLLER.key}/"', stood) < text.index("data-left=")
    )
    save(sheet_id, fields={f"{ROLLER.key}:nothing~looked": "looked"})
    text = client.get(f"/walk-rounds/{sheet_id}/at/end/").content.decode()
    assert f'<li data-stood="{ROLLER.key}:leak" hidden>' in text


def test_day_of_a_walk_round_entered_late_tells_which_one_was_before(leaking_machine, finish):
    """On 1 June the leak of September was not seen yet."""
    sheet_id = finish(leaking_machine, day="2026-06-01", hours="2600")
    assert Sheet.objects.get(pk=sheet_id).date == dt.date(2026, 6, 1)
    assert not SeenRow.objects.filter(sheet=sheet_id).exists()


def test_day_last_seen_is_kept_as_a_day(leaking_machine, finish):
    finish(leaking_machine)
    finish(leaking_machine, day="2026-11-16", hours="3700")
    rows = SeenRow.objects.filter(sheet__machine=leaking_machine, kind="leak").order_by("sheet__date")
    assert [row.last_seen_on for row in rows] == [None, dt.date(2026, 9, 7), dt.date(2026, 9, 7)]


def test_a_note_that_a_person_wrote_so_is_their_own_words(client, leaking_machine, begin, finish):
    """Somebody looks, sees the leak, and types what the desk would say of one nobody saw."""
    words = "last seen 1 Mar 2026, not looked over since"
    typed = {f"{ROLLER.key}:leak~bad": "severe", f"{ROLLER.key}:leak~note": words}
    finish(leaking_machine, RAIL | typed, day="2026-10-05", hours="3300")
    last = dossier_of(Machine.objects.get(pk=leaking_machine.pk)).walk_rounds[-1]
    assert last.findings[0].note == words
    assert ROLLER in last.looked_at
    page = client.get(f"/walk-rounds/{begin(leaking_machine)}/at/end/").content.decode()
    assert "leak, severe on 5 Oct 2026" in page
    assert "leak, severe on 1 Mar 2026" not in page


@pytest.mark.parametrize(
    ("writer", "note", "day"),
    [
        ("carried over", STANDS, dt.date(2026, 9, 7)),
        ("", "last seen 7 Sep 2026, not looked over since", dt.date(2026, 9, 7)),
        ("3f2b", STANDS, None),
        ("carried over", "last seen 31 Feb 2026, not looked over since", None),
        ("carried over", "drips; last seen today", None),
    ],
)
def test_old_notes_fill_the_column(leaking_machine, writer, note, day):
    row = SeenRow.objects.get(kind="leak")
    SeenRow.objects.filter(kind="leak").update(writer=writer, note=note)
    import_module("pitchline.desk.walkround.migrations.0004_day_last_seen").fill(apps, None)
    row.refresh_from_db()
    assert (row.last_seen_on, row.note) == (day, note)


def test_another_note_on_a_carried_line_says_that_somebody_saw_it(leaking_machine, finish, save):
    sheet_id = finish(leaking_machine)
    key = f"{ROLLER.key}:leak"

    def written(version, note):
        fields = {f"{key}~bad": "slight", f"{key}~many": "1", f"{key}~note": note, f"{key}~v": version}
        (line,) = save(sheet_id, fields=fields, why="corrected").json()["lines"]
        assert not line["aside"]
        return SeenRow.objects.get(sheet=sheet_id, kind="leak").last_seen_on

    assert written("1", "drips") == dt.date(2026, 9, 7)
    assert written("2", "wiped") is None


def test_a_note_is_carried_whole_beside_its_day(dossier):
    """A machine file takes notes of up to 5,000 letters; the day stands in a field of its own."""
    *before, last = dossier.walk_rounds
    noted = replace(LEAK, note="n" * 5000)
    dossier = replace(dossier, walk_rounds=(*before, replace(last, findings=(noted,))))
    (row,) = carried_rows(Sheet(date=dt.date(2026, 11, 2)), dossier, [])
    assert (row.note, row.last_seen_on) == ("n" * 5000, dt.date(2026, 9, 7))
