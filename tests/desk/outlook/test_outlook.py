"""The outlook page: what moves, from the address alone, and what is kept."""

import datetime as dt
import json

import pytest
from django.test.utils import CaptureQueriesContext

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.clock import today
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable
from pitchline.trade.ground import GroundClass
from pitchline.words import say

HARSH = {"gentle": "0", "mild": "0", "middling": "0", "sharp": "0", "harsh": "100"}
FULL = {"low": "25", "usual": "30", "high": "40", "window": "8"}


@pytest.fixture
def page(client, machine):
    """A factory of answers to what is asked."""

    def make(**asked):
        return client.get(f"/machines/{machine.pk}/outlook/", asked)

    return make


@pytest.fixture
def keep(client, machine):
    """A factory of keepings."""

    def make(**asked):
        standing = {"gentle": "0", "mild": "0", "middling": "100", "sharp": "0", "harsh": "0"}
        post = {"seen_version": machine.version, "why": "next site"} | FULL | standing | asked
        return client.post(f"/machines/{machine.pk}/outlook/keep/", post)

    return make


def test_as_it_stands_shows_every_figure_once(page, words, machine):
    text = words(page())
    assert "Change a figure above to see what moves" in text
    assert "Keep these hours" not in text
    assert "Bottom roller 3, left" in text
    assert say(verdict_of(machine.judgement).remarks[0]) in text


def test_what_stands_is_in_the_form(page):
    text = page().content.decode()
    for name, value in (FULL | {"middling": "100"}).items():
        assert f'name="{name}" value="{value}"' in text


def test_harsher_ground_moves_hours_and_says_so(page, words, machine, dossier):
    """The figures are those the core gives for the same question."""
    from dataclasses import replace

    from pitchline.judge import judge
    from pitchline.papers.words import hours
    from pitchline.trade.ground import GroundMix

    text = words(page(**HARSH))
    after = judge(replace(dossier, ground_to_come=GroundMix((0, 0, 0, 0, 1.0))), as_of=today())
    due = next(part.due for part in after.parts if part.due is not None)
    for figure in (due.cautious, due.middle, due.hopeful):
        assert hours(figure).replace("\u00a0", " ") in text
    assert "hours move on" in text


def test_address_alone_makes_the_page_and_nothing_is_stored(page, machine):
    before = (Judgement.objects.count(), Change.objects.count(), Machine.objects.get(pk=machine.pk).version)
    assert page(**HARSH).status_code == 200
    assert before == (
        Judgement.objects.count(),
        Change.objects.count(),
        Machine.objects.get(pk=machine.pk).version,
    )


def test_longer_window_moves_calls(page, words):
    text = words(page(window="104"))
    assert "call moves" in text


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"usual": "thirty"}, "thirty"),
        ({"usual": "200"}, "168"),
        ({"low": ""}, "nothing"),
        ({"sharp": "50"}, "150 % together"),
        ({"harsh": "-3"}, "-3"),
        ({"window": "0"}, "104 weeks"),
        ({"window": "1e9"}, "1e9"),
    ],
)
def test_figure_that_cannot_be_used_is_named_with_what_is_allowed(page, words, asked, said):
    answer = page(**asked)
    text = words(answer)
    assert answer.status_code == 400
    assert said in text
    assert "Allowed:" in text
    assert next(iter(asked.values())) in answer.content.decode()


def test_kept_hours_and_ground_go_into_the_file_with_the_reason(keep, machine):
    assert keep(**HARSH, usual="35").status_code == 302
    after = Machine.objects.get(pk=machine.pk)
    whole = json.loads(after.file_text)
    assert whole["hours"]["per_week"] == {"low": 25, "usual": 35, "high": 40}
    assert whole["ground"]["to_come"] == [{"ground": "harsh", "share": 1}]
    assert after.judgement_id != machine.judgement_id
    change = Change.objects.get(machine_id=machine.pk, what="machine file")
    assert change.why == "next site"


def test_share_travelling_moves_hours_and_is_kept_in_the_file(page, keep, words, machine):
    assert "Change a figure above" not in words(page(travelling="30"))
    assert keep(travelling="30").status_code == 302
    machine = Machine.objects.get(pk=machine.pk)
    assert json.loads(machine.file_text)["hours"]["travelling"] == 0.3
    assert known_dossier(machine).travel_share == 0.3
    assert 'name="travelling" value="30"' in page().content.decode()


def test_share_travelling_over_the_whole_is_refused(page, words):
    assert "0 to 100 %" in words(page(travelling="130"))


def test_keeping_without_a_reason_is_refused(keep, words, machine):
    answer = keep(**HARSH, why=" ")
    assert answer.status_code == 400
    assert "Say why" in words(answer)
    assert Machine.objects.get(pk=machine.pk).version == machine.version


def test_keeping_what_stands_changes_nothing(keep, machine):
    keep()
    assert Machine.objects.get(pk=machine.pk).version == machine.version


def test_second_of_two_people_is_told(keep, machine, words):
    assert keep(**HARSH).status_code == 302
    answer = keep(**HARSH, usual="39")
    assert answer.status_code == 409
    assert "Somebody else changed this meanwhile" in words(answer)
    assert 'value="39"' in answer.content.decode()


def test_machine_that_is_not_judged_says_what_is_missing(client, bring, dossier, words):
    from dataclasses import replace

    machine = bring(replace(dossier, walk_rounds=()))
    text = words(client.get(f"/machines/{machine.pk}/outlook/"))
    assert "Not judged" in text
    assert "A first walk-round would give" in text


def test_machine_without_hours_a_week_can_be_given_some(client, bring, dossier, words, settings):
    """On the day it was read they move no hours; later they say how much it has worked since."""
    from dataclasses import replace

    read_on = dossier.walk_rounds[-1].date
    for settings.TODAY, moves in ((read_on, False), (read_on + dt.timedelta(weeks=8), True)):
        machine = bring(
            replace(dossier, utilisation=None, machine=replace(dossier.machine, machine_id=str(moves)))
        )
        answer = client.get(f"/machines/{machine.pk}/outlook/", FULL)
        assert answer.status_code == 200
        assert ("hours move on no parts" not in words(answer)) is moves


def test_shares_that_need_more_digits_than_are_shown_stand_as_they_are(client, bring, dossier, words):
    """A third, a third and a third are shown as 33.33 % each, and are still the whole."""
    from dataclasses import replace

    from pitchline.trade.ground import GroundMix

    third = replace(dossier, ground_to_come=GroundMix((1 / 3, 1 / 3, 1 / 3, 0.0, 0.0)))
    machine = bring(third)
    answer = client.get(
        f"/machines/{machine.pk}/outlook/", {"gentle": "33.33", "mild": "33.33", "middling": "33.33"}
    )
    assert answer.status_code == 200
    assert "Change a figure above to see what moves" in words(answer)


def test_queries_do_not_grow_with_the_yard(client, bring, dossier, machine):
    from dataclasses import replace

    from django.db import connection

    def count():
        with CaptureQueriesContext(connection) as seen:
            client.get(f"/machines/{machine.pk}/outlook/", HARSH)
        return len(seen)

    few = count()
    for number in range(5):
        bring(replace(dossier, machine=replace(dossier.machine, machine_id=f"N{number}")), judged=False)
    assert count() == few


GEAR = {
    "seen_version": 1, "track": "steel", "joints_per_side": 45, "pitch": "200 mm", "shoe_width": "600 mm", "sprocket_teeth": 23,
    "sprocket_gaps": "every_second", "bottom_rollers_per_side": 5, "upper_rollers_per_side": 1, "layout": "level",
    "shoe_class": "standard",
}  # fmt: skip
ALL_MIDDLING = {"gentle": "0", "mild": "0", "middling": "100", "sharp": "0", "harsh": "0"}
FIRST = ALL_MIDDLING | {
    "low": "20",
    "usual": "30",
    "high": "45",
    "so_far": "sharp",
    "window": "6",
    "why": "asked the owner",
}


@pytest.fixture
def unwalked(client, actor):
    """A machine with running gear that nobody has gone round yet."""
    new = Machine.objects.create(business=actor.business, short_name="new", name="New one", kind="excavator")
    assert client.post(f"/machines/{new.pk}/gear/", GEAR).status_code == 302
    new.refresh_from_db()
    return new


def test_every_missing_thing_leads_to_a_form(client, unwalked, words):
    page = client.get(f"/machines/{unwalked.pk}/").content.decode()
    missing = page.split('class="missing"')[1].split("</ul>")[0]
    assert "/file/" not in missing
    for thing in ("Hours a week", "Usual ground"):
        assert f"<b>{thing}</b> would give" in missing
    assert missing.count(f'href="/machines/{unwalked.pk}/outlook/"') == 2


def test_hours_and_ground_are_entered_before_anything_is_judged(client, unwalked, words):
    page = client.get(f"/machines/{unwalked.pk}/outlook/")
    assert 'value="entered for the first time"' in page.content.decode()
    answer = client.post(f"/machines/{unwalked.pk}/outlook/keep/", FIRST | {"seen_version": unwalked.version})
    assert answer["Location"] == f"/machines/{unwalked.pk}/"
    dossier = known_dossier(Machine.objects.get(pk=unwalked.pk))
    assert (dossier.utilisation.low, dossier.utilisation.usual, dossier.utilisation.high) == (20, 30, 45)
    assert (dossier.usual_ground, dossier.ground_entered) == (GroundClass.SHARP, True)
    assert dossier.ground_to_come is None
    text = words(client.get(answer["Location"]))
    assert "Hours a week would give" not in text
    assert "Usual ground would give" not in text
    assert Change.objects.filter(machine_id=unwalked.pk, why="asked the owner").exists()


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"low": ""}, "hours in a quiet week"),
        ({"low": "50"}, "hours a week"),
        ({"so_far": "lunar"}, "usual ground so far"),
        ({"middling": "90", "gentle": "20"}, "together"),
        ({"why": " "}, "Say why"),
    ],
)
def test_what_cannot_be_is_said_and_stays_typed(client, unwalked, words, wrong, said):
    post = FIRST | {"seen_version": unwalked.version} | wrong
    answer = client.post(f"/machines/{unwalked.pk}/outlook/keep/", post)
    assert answer.status_code == 400
    assert said in words(answer)
    assert 'name="high" value="45"' in answer.content.decode()
    assert known_dossier(Machine.objects.get(pk=unwalked.pk)).utilisation is None


def test_second_of_two_people_is_shown_what_stands(client, unwalked, words):
    for usual, status in (("30", 302), ("31", 409)):
        post = FIRST | {"seen_version": unwalked.version, "usual": usual}
        answer = client.post(f"/machines/{unwalked.pk}/outlook/keep/", post)
        assert answer.status_code == status
    assert "Somebody else changed this meanwhile" in words(answer)
    assert 'name="usual" value="31"' in answer.content.decode()


def test_keeping_is_undone_within_a_day(client, unwalked, words):
    before = Machine.objects.get(pk=unwalked.pk).file_text
    client.post(f"/machines/{unwalked.pk}/outlook/keep/", FIRST | {"seen_version": unwalked.version})
    undoable = Undoable.objects.get()
    assert "New one" in words(client.get("/undo/"))
    client.post(f"/undo/{undoable.pk}/")
    assert json.loads(Machine.objects.get(pk=unwalked.pk).file_text) == json.loads(before)


def test_keeping_is_undone_on_a_machine_brought_in_with_walk_rounds(client, machine):
    """Its file came with walk-rounds, which the desk keeps as sheets: none may come back with the undo."""
    before = json.loads(machine.file_text)
    before.pop("walk_rounds")
    client.post(f"/machines/{machine.pk}/outlook/keep/", FIRST | {"seen_version": machine.version})
    client.post(f"/undo/{Undoable.objects.get().pk}/")
    assert json.loads(Machine.objects.get(pk=machine.pk).file_text) == before


def test_keeping_that_was_changed_since_is_left_alone(client, unwalked, words):
    client.post(f"/machines/{unwalked.pk}/outlook/keep/", FIRST | {"seen_version": unwalked.version})
    now = Machine.objects.get(pk=unwalked.pk)
    client.post(f"/machines/{now.pk}/outlook/keep/", FIRST | {"seen_version": now.version, "usual": "33"})
    first = Undoable.objects.order_by("at").first()
    text = words(client.post(f"/undo/{first.pk}/", follow=True))
    assert "New one was changed since" in text
    assert known_dossier(Machine.objects.get(pk=now.pk)).utilisation.usual == 33


def test_other_ground_so_far_moves_hours_of_a_judged_machine(page, words):
    text = words(page(so_far="harsh"))
    assert "Change a figure above to see what moves" not in text
    assert "Keep these hours" in text


def test_an_address_with_the_classes_of_before_asks_the_same(dossier):
    from pitchline.desk.outlook.question import asked_of

    now = asked_of(dossier, FULL | {"mild": "70", "middling": "0", "sharp": "30", "so_far": "sharp"}, "point")
    before = asked_of(dossier, FULL | {"light": "70", "medium": "0", "heavy": "30", "so_far": "heavy"}, "point")
    assert (now, now.problems) == (before, ())


def test_ground_so_far_alone_carries_the_hours_to_come_along(dossier):
    from pitchline.desk.outlook.question import asked_of, fields_of

    standing = {one.name: one.text for some in fields_of(dossier) for one in some}
    asked = asked_of(dossier, standing | {"so_far": "sharp"}, "point")
    assert {one.name: one.text for one in asked.ground} == {
        "gentle": "0",
        "mild": "0",
        "middling": "0",
        "sharp": "100",
        "harsh": "0",
    }
    assert asked.dossier.ground_to_come is None
    same = asked_of(dossier, standing | {"so_far": dossier.usual_ground.code}, "point")
    assert not same.anything
