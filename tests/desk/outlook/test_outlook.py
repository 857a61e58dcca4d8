"""The outlook page: what moves, from the address alone, and what is kept."""

import json

import pytest
from django.test.utils import CaptureQueriesContext

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.trail.models import Change

HARSH = {"gentle": "0", "light": "0", "medium": "0", "heavy": "0", "harsh": "100"}
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
        standing = {"gentle": "0", "light": "0", "medium": "100", "heavy": "0", "harsh": "0"}
        post = {"seen_version": machine.version, "why": "next site"} | FULL | standing | asked
        return client.post(f"/machines/{machine.pk}/outlook/keep/", post)

    return make


def test_as_it_stands_shows_every_figure_once(page, words, machine):
    text = words(page())
    assert "Change a figure above to see what moves" in text
    assert "Keep these hours" not in text
    assert "Bottom roller 3, left" in text
    assert verdict_of(machine.judgement).remarks[0] in text


def test_what_stands_is_in_the_form(page):
    text = page().content.decode()
    for name, value in (FULL | {"medium": "100"}).items():
        assert f'name="{name}" value="{value}"' in text


def test_harsher_ground_moves_hours_and_says_so(page, words, machine, dossier):
    """The figures are those the core gives for the same question."""
    from dataclasses import replace

    from pitchline.judge import judge
    from pitchline.papers.words import hours
    from pitchline.trade.ground import GroundMix

    text = words(page(**HARSH))
    after = judge(replace(dossier, ground_to_come=GroundMix((0, 0, 0, 0, 1.0))))
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
        ({"heavy": "50"}, "150 % together"),
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


def test_machine_without_hours_a_week_can_be_given_some(client, bring, dossier, words):
    from dataclasses import replace

    machine = bring(replace(dossier, utilisation=None))
    answer = client.get(f"/machines/{machine.pk}/outlook/", FULL)
    assert answer.status_code == 200
    assert "hours move on no parts" in words(answer)


def test_shares_that_need_more_digits_than_are_shown_stand_as_they_are(client, bring, dossier, words):
    """A third, a third and a third are shown as 33.33 % each, and are still the whole."""
    from dataclasses import replace

    from pitchline.trade.ground import GroundMix

    third = replace(dossier, ground_to_come=GroundMix((1 / 3, 1 / 3, 1 / 3, 0.0, 0.0)))
    machine = bring(third)
    answer = client.get(
        f"/machines/{machine.pk}/outlook/", {"gentle": "33.33", "light": "33.33", "medium": "33.33"}
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
