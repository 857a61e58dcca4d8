"""The form of limits: sizes over several joints, one manual for all, rules of thumb, and errors at the field that is wrong."""

import json
import re

import pytest

from pitchline.demo.yard import build_yard
from pitchline.desk.machine.limit_forms import limit_lines
from pitchline.desk.machine.models import Machine
from pitchline.exchange.machine_file import machine_json

RAIL, PITCH, BUSH, OTHER = "link:rail_height", "chain:pitch", "bush:bush_od_forward", "bush:bush_od_reverse"


def fields_of(page):
    """Every field of the form as the page holds it; ticks only where they are set."""
    found = {}
    for tag in re.findall(r"<input\b[^>]*>", page):
        name = re.search(r'\bname="([^"]*~[^"]*)"', tag)
        if name and ('type="checkbox"' not in tag or " checked" in tag):
            value = re.search(r'\bvalue="([^"]*)"', tag)
            found[name[1]] = value[1] if value else ""
    return found


def beside(page, mark):
    return " ".join(re.search(rf'id="wrong-{re.escape(mark)}">(.*?)</p>', page, re.DOTALL)[1].split())


@pytest.fixture
def machine(machine):
    """The invented machine with limits of both faces of its bushes."""
    whole = json.loads(machine.file_text)
    face = next(one for one in whole["limits"] if one["measurand"] == "bush_od_forward")
    whole["limits"].append(face | {"measurand": "bush_od_reverse"})
    machine.file_text = json.dumps(whole)
    machine.save()
    return machine


@pytest.fixture
def sent(client, machine):
    """What answers the form as it stands, but for some fields."""

    def send(changed, without=()):
        page = client.get(f"/machines/{machine.pk}/limits/").content.decode()
        fields = {name: text for name, text in fields_of(page).items() if name not in without} | changed
        version = Machine.objects.get(pk=machine.pk).version
        return client.post(f"/machines/{machine.pk}/limits/", fields | {"seen_version": version, "why": "tried"})

    return send


def entries(machine):
    limits = json.loads(Machine.objects.get(pk=machine.pk).file_text)["limits"]
    return {f"{one['part']}:{one['measurand']}": one for one in limits}


@pytest.mark.parametrize(
    ("typed", "stands"),
    [
        ("824 over 4", "206 mm"),
        ("824/4", "206 mm"),
        ("824 mm over 4 joints", "206 mm"),
        ("1,030 mm / 5", "206 mm"),
        ("32 1/2 in over 4", "206.38 mm"),  # 32.5 in is 825.5 mm, a quarter of it 206.375
        ("206", "206"),
    ],
)
def test_a_pitch_is_taken_over_several_joints(machine, sent, typed, stands):
    assert sent({f"{PITCH}~limit": typed}).status_code == 302
    assert entries(machine)[PITCH]["limit"] == stands


def test_a_whole_length_of_what_spans_no_joints_is_refused_at_its_field(machine, sent):
    page = sent({f"{RAIL}~limit": "400 over 4"})
    assert page.status_code == 400
    assert beside(page.content.decode(), f"{RAIL}~limit").startswith("“400 over 4”")


def test_a_pitch_of_four_joints_without_saying_so_is_asked_about(machine, sent):
    page = sent({f"{PITCH}~new": "800", f"{PITCH}~limit": "824"}).content.decode()
    assert "such as 782 over 4" in beside(page, f"{PITCH}~new")


def test_one_manual_fills_every_source_that_is_empty(machine, sent):
    own = {f"{RAIL}~source": "our rail sheet"}
    others = {f"{key}~source": "" for key in (PITCH, BUSH)}
    assert sent(own | others | {"all~source": "manual 7"}).status_code == 302
    found = entries(machine)
    assert (found[RAIL]["source"], found[PITCH]["source"], found[BUSH]["source"], found[OTHER]["source"]) == (
        "our rail sheet",
        "manual 7",
        "manual 7",
        "manual 7",
    )


def test_two_faces_of_one_bush_are_one_line(client, machine, sent):
    page = client.get(f"/machines/{machine.pk}/limits/").content.decode()
    assert "both faces" in page
    assert f"{OTHER}~new" not in page
    sent({f"{BUSH}~limit": "54.5 mm", f"{BUSH}~turn": "60 %"})
    found = entries(machine)
    assert (found[BUSH]["limit"], found[OTHER]["limit"]) == ("54.5 mm", "54.5 mm")
    assert (found[BUSH].get("turn_at"), found[OTHER].get("turn_at")) == (0.6, None)


def test_faces_with_limits_of_their_own_are_two_lines(client, machine):
    whole = json.loads(machine.file_text)
    next(one for one in whole["limits"] if one["measurand"] == "bush_od_reverse")["limit"] = "55 mm"
    Machine.objects.filter(pk=machine.pk).update(file_text=json.dumps(whole))
    page = client.get(f"/machines/{machine.pk}/limits/").content.decode()
    assert f"{OTHER}~new" in page
    assert "both faces" not in page


def test_a_failed_save_marks_the_wrong_fields_alone_in_the_forms_own_words(machine, sent, words):
    """One limit above its new size, one size that is none: two fields, and all else as typed."""
    answer = sent({f"{RAIL}~limit": "thick", f"{BUSH}~limit": "70", f"{PITCH}~source": "kept as typed"})
    page, text = answer.content.decode(), words(answer)
    assert answer.status_code == 400
    wrong = re.findall(r'id="wrong-([^"]*)">\s*[^<\s]', page)
    assert sorted(wrong) == [f"{BUSH}~limit", f"{RAIL}~limit"]
    assert "below the new size" in beside(page, f"{BUSH}~limit")
    assert "2 things to put right" in text
    assert "was:" not in text
    assert "row" not in re.search(r"2 things to put right.*?New size and wear limit", text)[0]
    assert "machine file" not in text.partition("Who changed what")[0]
    fields = fields_of(page)
    assert fields[f"{PITCH}~source"] == "kept as typed"
    assert (fields[f"{RAIL}~limit"], fields[f"{BUSH}~limit"]) == ("thick", "70")


def test_a_limit_without_its_new_size_is_asked_for(machine, sent):
    page = sent({f"{RAIL}~new": ""}).content.decode()
    assert "Type the new size too" in beside(page, f"{RAIL}~new")


def test_a_rule_of_thumb_is_taken_only_where_it_is_ticked(machine, sent):
    assert sent({f"{RAIL}~limit": "", f"{BUSH}~limit": ""}).status_code == 302
    assert "limit" not in entries(machine)[RAIL]
    assert sent({f"{RAIL}~assumed": "1"}).status_code == 302
    found = entries(machine)
    assert (found[RAIL]["limit"], found[RAIL]["assumed"]) == ("101.2 mm", True)  # 110 less 8 %
    assert "limit" not in found[BUSH]


def test_a_rule_of_thumb_of_a_size_in_inches_is_in_inches(machine, sent):
    """4.4 in less 8 %, which is 0.352 in or, to a tenth of a millimetre, 8.9 mm: 4.05 in."""
    sent({f"{RAIL}~new": "4.4 in", f"{RAIL}~limit": "", f"{RAIL}~assumed": "1"})
    assert entries(machine)[RAIL]["limit"] == "4.05 in"


def test_one_tick_takes_it_for_all_whose_limit_is_empty(machine, sent):
    assert (
        sent({f"{RAIL}~limit": "", f"{BUSH}~limit": "", "all~assumed": "1", "all~source": "manual 7"}).status_code
        == 302
    )
    found = entries(machine)
    assert found[RAIL]["assumed"]
    assert found[BUSH]["assumed"]
    assert found[OTHER]["assumed"]
    assert "assumed" not in found[PITCH]
    assert found[RAIL].get("source") != "manual 7"


@pytest.fixture
def assumed(machine, sent):
    """The machine with an assumed limit of its rails."""
    sent({f"{RAIL}~limit": "", f"{RAIL}~source": "", f"{RAIL}~assumed": "1"})
    return machine


def test_the_manuals_figure_takes_its_place_in_one_step(assumed, sent, client, words):
    page = client.get(f"/machines/{assumed.pk}/limits/")
    assert "Assumed limit" in words(page)
    answer = sent({f"{RAIL}~limit": "100 mm"})  # the tick is left as it was
    assert entries(assumed)[RAIL]["limit"] == "100 mm"
    assert "assumed" not in entries(assumed)[RAIL]
    assert "Link rail height of link rail: 101.2 mm was assumed, 100.0 mm stands now." in words(
        client.get(answer["Location"])
    )


def test_saving_it_again_leaves_it_assumed(assumed, sent):
    before = entries(assumed)
    sent({})
    assert entries(assumed) == before


def test_another_new_size_moves_the_assumed_limit(assumed, sent):
    sent({f"{RAIL}~new": "100 mm"})
    assert (entries(assumed)[RAIL]["limit"], entries(assumed)[RAIL]["assumed"]) == ("92 mm", True)


def test_a_guess_does_not_become_sure_by_a_tick_alone(assumed, sent):
    sent({}, without=[f"{RAIL}~assumed"])
    assert {"limit", "assumed"}.isdisjoint(entries(assumed)[RAIL])


def test_the_same_figure_with_its_manual_is_sure(assumed, sent):
    sent({f"{RAIL}~source": "manual 7"}, without=[f"{RAIL}~assumed"])
    assert entries(assumed)[RAIL]["limit"] == "101.2 mm"
    assert "assumed" not in entries(assumed)[RAIL]


def test_none_is_taken_for_what_is_unsafe(client, machine, sent, words):
    whole = json.loads(machine.file_text)
    whole["running_gear"]["slew_ring"] = True
    Machine.objects.filter(pk=machine.pk).update(file_text=json.dumps(whole))
    page = client.get(f"/machines/{machine.pk}/limits/")
    ring = "slew_ring:slew_ring_rock"
    assert "Never assumed: the upper machine hangs on this bearing" in words(page)
    assert f'name="{ring}~assumed"' not in page.content.decode()
    answer = sent({f"{ring}~new": "0.4 mm", f"{ring}~assumed": "1"})
    assert answer.status_code == 400
    assert "unsafe" in beside(answer.content.decode(), f"{ring}~new")
    assert sent({f"{ring}~new": "0.4 mm", "all~assumed": "1"}).status_code == 302
    assert "limit" not in entries(machine)[ring]


def test_the_mark_goes_out_and_in_with_the_table(client, assumed, words, tmp_path):
    sent_out = client.get(f"/machines/{assumed.pk}/limits.csv").content
    assert b"assumed" in sent_out
    (tmp_path / "limits.csv").write_bytes(sent_out)
    with (tmp_path / "limits.csv").open("rb") as file:
        answer = client.post(f"/machines/{assumed.pk}/limits/bring/", {"files": file})
    assert "0 lines would change" in words(answer)


def test_a_table_may_leave_the_figure_to_the_rule(client, machine, tmp_path):
    rows = "part;quantity;new;limit;source;assumed\nlink rail;link rail height;110;;;yes\n"
    (tmp_path / "limits.csv").write_text(f"machine;T1\nunit;mm\n\n{rows}", encoding="utf-8")
    with (tmp_path / "limits.csv").open("rb") as file:
        page = client.post(f"/machines/{machine.pk}/limits/bring/", {"files": file}).content.decode()
    fields = fields_of(page) | {"seen_version": machine.version, "why": "from limits.csv"}
    assert client.post(f"/machines/{machine.pk}/limits/", fields).status_code == 302
    assert (entries(machine)[RAIL]["limit"], entries(machine)[RAIL]["assumed"]) == ("101.2 mm", True)


def test_a_copy_in_the_gear_list_keeps_the_mark_and_can_lose_it_there(client, assumed, words):
    client.post(f"/machines/{assumed.pk}/to-gear-list/", {"name": "Invented"})
    from pitchline.desk.gearbook.models import BookEntry

    entry = BookEntry.objects.get()
    part = {one["measurand"]: one for one in json.loads(entry.text)["limits"]}
    assert part["rail_height"]["assumed"]
    page = client.get(f"/gear-list/{entry.pk}/limits/").content.decode()
    fields = fields_of(page) | {f"{RAIL}~limit": "100 mm", "seen_version": entry.version, "why": "the manual"}
    answer = client.post(f"/gear-list/{entry.pk}/limits/", fields)
    assert answer.status_code == 302
    entry.refresh_from_db()
    part = {one["measurand"]: one for one in json.loads(entry.text)["limits"]}
    assert part["rail_height"]["limit"] == "100 mm"
    assert "assumed" not in part["rail_height"]


def test_a_rubber_machine_is_asked_for_its_track_first():
    """As it is walked round; number 1 of the demo yard runs on rubber."""
    on_rubber = build_yard().machine(1).with_sheet
    assert limit_lines(on_rubber, machine_json(on_rubber))[0].key.startswith("rubber_track:")
