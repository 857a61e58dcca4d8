"""Settings: what they change, what they leave alone, and that nobody's writing is lost."""

import json
from dataclasses import replace

import pytest

from pitchline.desk.bridge.figures import LIST_FIELDS, verdict_of
from pitchline.desk.bridge.machines import known_dossier, tool_from
from pitchline.desk.house import views
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.people.models import Business
from pitchline.desk.trail.models import Change

TOOL = {
    "name": "calliper_2",
    "label": "the old calliper",
    "resolution": "0.1",
    "permitted_error": "0.3 mm",
    "repeatability": "0,2",
}


@pytest.fixture
def save(client, actor):
    """A factory of savings."""

    def make(*tools, **fields):
        business = Business.objects.get(pk=actor.business.pk)
        post = {"seen_version": business.version, "units": "metric", "numbers": "point", "days": "day-month"}
        post |= {f"tool-{n}-{key}": text for n, tool in enumerate(tools) for key, text in tool.items()}
        return client.post("/settings/", post | fields)

    return make


def business(actor):
    return Business.objects.get(pk=actor.business.pk)


def test_page_shows_what_stands(client, actor, save):
    save(TOOL, paper_name="Invented Yard", booking_window_weeks="6,5")
    text = client.get("/settings/").content.decode()
    for value in ("Invented Yard", "6.5", "the old calliper", "0,2"):
        assert value in text


def test_every_change_is_in_the_trail(save, actor):
    save(units="imperial", paper_name="Invented Yard")
    told = {(one.what, one.before, one.after) for one in Change.objects.filter(machine_id=None)}
    assert told == {("units", "metric", "imperial"), ("name on papers", "", "Invented Yard")}


def test_saving_the_same_changes_nothing(save, actor):
    save()
    assert business(actor).version == 1
    assert not Change.objects.exists()


def test_second_of_two_people_is_told_and_keeps_their_text(save, words):
    save(paper_name="First", seen_version=1)
    answer = save(paper_name="Second", seen_version=1)
    assert answer.status_code == 409
    assert "First" in words(answer)
    assert 'value="Second"' in answer.content.decode()
    assert Business.objects.get().paper_name == "First"


def test_units_show_everything_anew_and_old_judgements_stay(save, client, machine, words):
    before = machine.judgement_id
    save(units="imperial")
    now = Machine.objects.get(pk=machine.pk)
    assert now.judgement_id != before
    assert Judgement.objects.get(pk=before).units == "metric"
    assert " in" in words(client.get(f"/machines/{machine.pk}/parts/bush/left/"))


def test_units_move_no_figure(save, machine):
    before = {name: getattr(machine, name) for name in LIST_FIELDS}
    old = verdict_of(machine.judgement)
    save(units="imperial")
    now = Machine.objects.get(pk=machine.pk)
    assert {name: getattr(now, name) for name in LIST_FIELDS} == before
    new = verdict_of(now.judgement)
    assert [(part.call, part.due) for part in new.parts] == [(part.call, part.due) for part in old.parts]


def test_list_shows_the_last_verdict_while_another_is_made(save, client, machine, words, monkeypatch):
    monkeypatch.setattr(views, "judge_soon", lambda: None)
    due = words(client.get("/"))
    assert "Saved. Sizes are shown so from now on. No call, figure or plan changes" in words(
        client.get(save(units="imperial")["Location"])
    )
    said = machine.due_said[0].upper() + machine.due_said[1:]
    assert said in due
    text = words(client.get("/"))
    assert f"{said} being judged anew" in text


def test_window_is_said_to_move_figures(save, client, words, monkeypatch):
    answer = save(booking_window_weeks="9", units="imperial")
    assert "Every machine is judged anew" in words(client.get(answer["Location"]))


def test_pages_are_written_as_the_business_writes(save, client, machine, words):
    assert "3,000 h" in words(client.get(f"/machines/{machine.pk}/"))
    assert "7 Sep 2026" in words(client.get(f"/machines/{machine.pk}/"))
    save(numbers="comma", days="iso")
    text = words(client.get(f"/machines/{machine.pk}/"))
    assert "3.000 h" in text
    assert "3,000 h" not in text
    assert "2026-09-07" in text


def test_window_holds_where_the_machine_names_none(save, actor, bring, dossier):
    machine = bring(dossier, judged=False)
    whole = json.loads(machine.file_text)
    whole.pop("calls")
    machine.file_text = json.dumps(whole)
    save(booking_window_weeks="12")
    machine.business = business(actor)
    assert known_dossier(machine).call_rule.booking_window_weeks == 12
    machine.file_text = json.dumps(whole | {"calls": {"booking_window_weeks": 5}})
    assert known_dossier(machine).call_rule.booking_window_weeks == 5


def test_tool_is_offered_on_the_walk_round_and_trusted_as_said(save, client, machine, begin, actor):
    save(TOOL)
    sheet = begin(machine)
    assert "the old calliper" in client.get(f"/walk-rounds/{sheet}/").content.decode()
    machine.business = business(actor)
    tool = known_dossier(machine).tool("calliper_2")
    assert (tool.resolution_m, tool.permitted_error_m, tool.repeatability_m) == pytest.approx((1e-4, 3e-4, 2e-4))


@pytest.mark.parametrize(
    ("typed", "key", "shown"),
    [
        ("outside calliper and rule", "outside_calliper", "outside calliper and rule"),
        ("calliper 2", "calliper_2", "calliper 2"),
    ],
)
def test_tool_is_called_in_words_and_kept_by_its_key(save, actor, client, words, typed, key, shown):
    """Files and the API take the key, as before; no underscore is read or typed on the page."""
    save(TOOL | {"name": typed, "label": ""})
    assert [one["name"] for one in business(actor).tools] == [key]
    page = client.get("/settings/")
    assert f'value="{shown}"' in page.content.decode()
    assert "outside_calliper" not in page.content.decode()
    assert "depth gauge" in words(page)


def test_machines_own_tool_comes_first(save, actor, machine):
    save(TOOL | {"name": "tape"})
    machine.business = business(actor)
    own = known_dossier(machine).tool("tape")
    whole = json.loads(machine.file_text)
    whole["tools"] = [{"name": "tape", "resolution": "1 mm", "limit": "2 mm", "repeatability": "1 mm"}]
    machine.file_text = json.dumps(whole)
    assert own.permitted_error_m == pytest.approx(3e-4)
    assert known_dossier(machine).tool("tape").permitted_error_m == pytest.approx(2e-3)


def test_machine_file_page_does_not_take_the_yards_tools_in(save, client, machine):
    save(TOOL)
    assert "calliper_2" not in client.get(f"/machines/{machine.pk}/file/").content.decode()
    assert "calliper_2" in client.get(f"/machines/{machine.pk}/machine.json").content.decode()


@pytest.mark.parametrize(
    ("tool", "said"),
    [
        (TOOL | {"permitted_error": "wide"}, "wide"),
        (TOOL | {"permitted_error": "-1 mm"}, "0 or more"),
        (TOOL | {"name": ""}, "short name"),
        (TOOL | {"name": "a/b"}, "short name"),
        (TOOL | {"repeatability": ""}, "repeatability"),
        (TOOL | {"name": "b\x01"}, "short name"),
    ],
)
def test_tool_that_cannot_be_used_is_named_and_stays_typed(save, actor, words, tool, said):
    answer = save(tool)
    assert answer.status_code == 400
    assert said in words(answer)
    assert "the old calliper" in answer.content.decode()
    assert business(actor).tools == []


@pytest.mark.parametrize("fields", [{"booking_window_weeks": "200"}, {"units": "cubits"}])
def test_setting_that_cannot_be_used_is_refused(save, actor, fields):
    assert save(**fields).status_code == 400
    assert business(actor).version == 1


def test_feed_is_switched_on_renewed_and_off(client, actor, db):
    client.post("/settings/feed/")
    first = business(actor).feed_secret
    assert first in client.get("/settings/").content.decode()
    client.post("/settings/feed/")
    assert business(actor).feed_secret not in ("", first)
    client.post("/settings/feed/", {"off": "1"})
    assert business(actor).feed_secret == ""


def test_settings_of_one_business_are_not_another_s(owner_client, stranger_client, owner):
    owner_client.post(
        "/settings/",
        {"seen_version": 1, "units": "metric", "numbers": "comma", "days": "iso", "paper_name": "Mine"},
    )
    assert "Mine" not in stranger_client.get("/settings/").content.decode()
    assert Business.objects.get(pk=owner.business.pk).paper_name == "Mine"


def test_unsaved_machine_without_a_business_is_read_as_it_is(dossier):
    from pitchline.desk.bridge.machines import machine_row
    from pitchline.exchange.machine_file import machine_json

    known = known_dossier(machine_row(dossier, machine_json(dossier)))
    assert known == replace(dossier, walk_rounds=())


def test_a_tool_stored_when_its_permitted_error_was_a_limit_still_reads(client, actor, words):
    stored = {"name": "tape", "label": "", "resolution": "1 mm", "limit": "2 mm", "repeatability": "1 mm"}
    type(actor.business).objects.filter(pk=actor.business.pk).update(tools=[stored])
    assert 'name="tool-0-permitted_error"' in client.get("/settings/").content.decode()
    assert 'value="2 mm"' in client.get("/settings/").content.decode()
    assert tool_from(stored).permitted_error_m == pytest.approx(0.002)


def test_a_refusal_names_a_figure_such_as_the_field_takes(save, words):
    """Weeks are no hours of a meter."""
    said = words(save(booking_window_weeks="soon"))
    assert "a number of 0 or more, such as 8 or 8.5" in said
    assert "8150" not in said
