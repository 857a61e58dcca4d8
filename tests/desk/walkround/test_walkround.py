"""A walk-round in the browser: saved on every change, twice without harm, and two people never lose an entry."""

import re
import uuid
from dataclasses import replace

import pytest

from pitchline.desk.machine.actions import change_file
from pitchline.desk.machine.models import Machine
from pitchline.desk.trail.models import Change
from pitchline.desk.walkround.models import NOTHING_SEEN, Aside, ReadingRow, SeenRow, Sheet
from pitchline.exchange.machine_file import machine_json
from pitchline.trade.calls import Call
from pitchline.trade.dossier import Limit
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.words.names import named

RAIL, ROLLER = "link/left:rail_height", "bottom_roller/left/3"
HEAD = {"head~date": "2026-11-02", "head~hours": "3600", "head~by": "A fitter", "head~unit": "mm", "head~v": "1"}


@pytest.fixture
def sheet_id(machine, begin):
    """A walk-round begun on the invented machine."""
    return begin(machine)


def rail():
    return ReadingRow.objects.get(sheet__state="draft", measurand="rail_height", side="left")


def test_beginning_twice_begins_one(client, machine):
    form = {"sheet_id": str(uuid.uuid4())}
    addresses = {client.post(f"/machines/{machine.pk}/begin/", form)["Location"] for _ in range(2)}
    assert addresses == {f"/walk-rounds/{form['sheet_id']}/"}
    assert Sheet.objects.filter(state="draft").count() == 1


def test_sheet_has_every_part_with_its_previous_reading_beside_it(client, machine, sheet_id, words, dossier):
    text = words(client.get(f"/walk-rounds/{sheet_id}/"))
    for place in dossier.gear.places():
        assert named(place.part).capitalize() in text
    assert "last time 106.7 mm on 7 Sep 2026" in text
    assert "none of" in text


def test_reading_is_kept_as_typed_beside_its_value_and_answered(sheet_id, save):
    answer = save(sheet_id, fields={f"{RAIL}~1": "104,5", f"{RAIL}~2": "104.7 mm", f"{RAIL}~tool": "depth_gauge"})
    (line,) = answer.json()["lines"]
    assert (line["version"], line["words"], line["problem"]) == (1, "saved", "")
    assert rail().typed == ["104,5", "104.7 mm"]
    assert rail().value_m == pytest.approx(0.1046)
    assert "1 of" in answer.json()["told"]


def test_same_saving_again_changes_nothing(sheet_id, save):
    fields = {f"{RAIL}~1": "104.5", f"{RAIL}~v": "0"}
    versions = [save(sheet_id, fields=fields).json()["lines"][0]["version"] for _ in range(3)]
    assert versions == [1, 1, 1]
    assert Change.objects.filter(what__startswith="link rail").count() == 1


def test_text_that_cannot_be_read_is_kept_and_told_beside_its_line(client, sheet_id, save):
    (line,) = save(sheet_id, fields={f"{RAIL}~1": "about a hundred"}).json()["lines"]
    assert "about a hundred" in line["problem"]
    assert 'value="about a hundred"' in client.get(f"/walk-rounds/{sheet_id}/").content.decode()
    assert (rail().typed, rail().value_m) == (["about a hundred"], None)


def test_slip_of_hand_is_asked_about_at_once(sheet_id, save):
    """9.8 where the last readings were 106 mm: a slipped decimal or another unit, never changed by the desk."""
    (line,) = save(sheet_id, fields={f"{RAIL}~1": "9.8"}).json()["lines"]
    assert line["warned"]
    assert line["warned"][0]["held"]
    (line,) = save(
        sheet_id, fields={f"{RAIL}~1": "9.8", f"{RAIL}~keep": "seen it twice", f"{RAIL}~v": "1"}
    ).json()["lines"]
    assert rail().kept_because == "seen it twice"
    assert not any(one["held"] for one in line["warned"])


def test_two_people_at_one_place_lose_nothing(client, sheet_id, save, words):
    save(sheet_id, writer="ann", fields={f"{RAIL}~1": "104.5", f"{RAIL}~v": "0"})
    (line,) = save(sheet_id, writer="bob", fields={f"{RAIL}~1": "103.9", f"{RAIL}~v": "0"}).json()["lines"]
    assert line["aside"]
    assert "104.5" in line["words"]
    assert rail().typed == ["104.5"]
    aside = Aside.objects.get()
    assert aside.fields["1"] == "103.9"
    assert "Take this one" in words(client.get(f"/walk-rounds/{sheet_id}/"))
    save(sheet_id, writer="bob", fields={f"{RAIL}~1": "103.9", f"{RAIL}~v": "0"})
    assert Aside.objects.count() == 1
    client.post(f"/asides/{aside.pk}/", {"take": "1"})
    assert rail().typed == ["103.9"]
    told = [(one.before, one.after) for one in Change.objects.filter(what__startswith="link rail").order_by("pk")]
    assert told == [("", "104.5"), ("104.5", "103.9")]


def test_letting_go_what_was_kept_aside_leaves_the_sheet_and_the_trail(client, sheet_id, save):
    save(sheet_id, writer="ann", fields={f"{RAIL}~1": "104.5", f"{RAIL}~v": "0"})
    save(sheet_id, writer="bob", fields={f"{RAIL}~1": "103.9", f"{RAIL}~v": "0"})
    for _ in range(2):
        client.post(f"/asides/{Aside.objects.get().pk}/", {"take": "0"})
    assert rail().typed == ["104.5"]
    assert Change.objects.filter(what__startswith="one of two entries, ", before="103.9").count() == 1


def test_what_was_kept_aside_is_told_whole(client, sheet_id, save):
    save(sheet_id, writer="ann", fields={f"{RAIL}~1": "104.5", f"{RAIL}~v": "0"})
    longest = {f"{RAIL}~{number}": "1" * 199 + str(number) for number in (1, 2, 3)}
    save(sheet_id, writer="bob", fields=longest | {f"{RAIL}~v": "0"})
    assert Aside.objects.get().said == ", ".join(longest.values())
    assert list(longest.values())[2] in client.get(f"/walk-rounds/{sheet_id}/").content.decode()


def test_two_people_at_different_places_both_stand(sheet_id, save):
    save(sheet_id, writer="ann", fields={f"{RAIL}~1": "104.5", f"{RAIL}~v": "0"})
    other = f"{ROLLER}:tread_diameter"
    (line,) = save(sheet_id, writer="bob", fields={f"{other}~1": "154.0", f"{other}~v": "0"}).json()["lines"]
    assert not line["aside"]
    assert ReadingRow.objects.filter(sheet=sheet_id).count() == 2


def test_own_quick_second_change_is_no_conflict(sheet_id, save):
    """The first answer may still be on its way when the second change is sent: both come from one page."""
    save(sheet_id, fields={f"{RAIL}~1": "104.5", f"{RAIL}~v": "0"})
    (line,) = save(sheet_id, fields={f"{RAIL}~1": "104.5", f"{RAIL}~2": "104.6", f"{RAIL}~v": "0"}).json()["lines"]
    assert not line["aside"]
    assert rail().typed == ["104.5", "104.6"]


def test_finding_by_tap_and_taken_back(sheet_id, save):
    key = f"{ROLLER}:leak"
    save(sheet_id, fields={f"{key}~bad": "severe", f"{key}~many": "1", f"{key}~v": "0"})
    assert SeenRow.objects.exclude(kind=NOTHING_SEEN).get().how_bad == "severe"
    (line,) = save(sheet_id, fields={f"{key}~bad": "", f"{key}~v": "1"}).json()["lines"]
    assert line["words"] == "taken back"
    assert SeenRow.objects.exclude(kind=NOTHING_SEEN).get().how_bad == ""


@pytest.mark.parametrize(
    "fields",
    [
        {"bottom_roller/left/99:tread_diameter~1": "5"},
        {"link/left:leak~bad": "severe"},
        {f"{ROLLER}:leak~bad": "terrible"},
        {"moon/left:rail_height~1": "5"},
        {"head~unit": "furlong"},
    ],
)
def test_what_the_page_never_sends_is_refused(sheet_id, save, fields):
    assert save(sheet_id, fields=fields).status_code == 400
    assert not ReadingRow.objects.filter(sheet=sheet_id).exists()


def test_whole_walk_round_without_scripts(client, machine, sheet_id, dossier, walk_round):
    """One ordinary form with everything in it, then finished; the verdict counts from it."""
    third = walk_round("2026-11-02", 3600.0, 0.45)
    fields = dict(HEAD) | {"writer": "plain"}
    for reading in third.readings:
        key = f"{reading.place.key}:{reading.measurand.value}"
        fields[f"{key}~1"] = f"{reading.repeats_m[0] * 1000:.6g}"
        if reading.joints > 1:
            fields[f"{key}~joints"] = str(reading.joints)
    answer = client.post(f"/walk-rounds/{sheet_id}/finish/", fields)
    assert answer["Location"] == f"/machines/{machine.pk}/"
    machine.refresh_from_db()
    assert machine.hours_h == 3600.0
    assert str(machine.last_walk_on) == "2026-11-02"
    assert Sheet.objects.get(pk=sheet_id).by == "A fitter"
    assert client.post(f"/walk-rounds/{sheet_id}/finish/", fields).status_code == 302
    assert Sheet.objects.filter(machine=machine, state="finished").count() == 3


@pytest.mark.parametrize("goal", ["/walk-rounds/{}/at/shoe/left/", "../at/shoe/left/"])
def test_going_on_part_by_part_without_scripts(client, sheet_id, goal):
    fields = {f"{RAIL}~1": "104.5", "next": goal.format(sheet_id)}
    answer = client.post(f"/walk-rounds/{sheet_id}/save/", fields)
    assert answer["Location"] == f"/walk-rounds/{sheet_id}/at/shoe/left/"
    assert client.get(answer["Location"]).status_code == 200
    assert rail().typed == ["104.5"]


OTHERS = (
    "https://elsewhere.invalid/",
    "//elsewhere.invalid",
    "javascript:alert(1)",
    "../../..//elsewhere.invalid",
)


@pytest.mark.parametrize("goal", OTHERS)
def test_going_on_never_leads_elsewhere(client, sheet_id, goal):
    answer = client.post(f"/walk-rounds/{sheet_id}/save/", {f"{RAIL}~1": "104.5", "next": goal})
    assert answer["Location"] in (f"/walk-rounds/{sheet_id}/", "/elsewhere.invalid")  # that one is at this desk


@pytest.mark.parametrize(
    ("head", "told"),
    [
        ({"head~hours": ""}, "what the hour meter shows"),
        ({"head~hours": "2500"}, "It has to be at least the 3,000 h of 7 Sep 2026"),
        ({"head~hours": "9999"}, "at most 24 h a day more"),
        ({"head~hours": "about 3600"}, "“about 3600”"),
        ({f"{RAIL}~1": "a hundred"}, "Link rail height, link rail, left: “a hundred”"),
        ({"head~date": "2026-09-07", "head~hours": "3000"}, "a day without another finished walk-round"),
        ({"head~date": "2nd of November"}, "Day: “2nd of November”"),
    ],
)
def test_walk_round_that_cannot_be_is_not_finished_and_stays_typed(client, sheet_id, head, told, words):
    answer = client.post(f"/walk-rounds/{sheet_id}/finish/", HEAD | {f"{RAIL}~1": "104.5"} | head)
    assert answer.status_code == 400
    assert told in words(answer)
    assert Sheet.objects.get(pk=sheet_id).state == "draft"
    assert rail().typed == [head.get(f"{RAIL}~1", "104.5")]


def test_empty_walk_round_is_not_finished(client, sheet_id, words):
    assert "nothing on it" in words(client.post(f"/walk-rounds/{sheet_id}/finish/", HEAD))


def test_putting_away_deletes_nothing_and_can_be_undone(client, machine, sheet_id, save):
    save(sheet_id, fields={f"{RAIL}~1": "104.5"})
    client.post(f"/walk-rounds/{sheet_id}/put-away/", {"away": "1"})
    assert save(sheet_id, fields={f"{RAIL}~1": "99", f"{RAIL}~v": "1"}).status_code == 400
    client.post(f"/walk-rounds/{sheet_id}/put-away/", {"away": "0"})
    assert Sheet.objects.get(pk=sheet_id).state == "draft"
    assert rail().typed == ["104.5"]


def test_putting_a_finished_one_away_takes_its_figures_out(client, machine):
    last = Sheet.objects.filter(machine=machine).latest("date")
    client.post(f"/walk-rounds/{last.pk}/put-away/", {"away": "1"})
    now = Machine.objects.get(pk=machine.pk)
    assert str(now.last_walk_on) == "2026-03-02"
    assert now.hours_h == 2200.0
    first = Sheet.objects.get(machine=machine, state="finished")
    client.post(f"/walk-rounds/{first.pk}/put-away/", {"away": "1"})
    now.refresh_from_db()
    assert (now.last_walk_on, now.judgement, now.call) == (None, None, "")
    assert "no finished walk-round" in now.not_judged_because


def test_draft_changes_no_figure(machine, sheet_id, save):
    before = Machine.objects.get(pk=machine.pk).judgement_id
    save(sheet_id, fields={f"{RAIL}~1": "100.1"})
    now = Machine.objects.get(pk=machine.pk)
    assert (now.judgement_id, now.to_judge) == (before, False)


def test_inches_typed_stay_inches_when_the_sheet_turns_to_millimetres(client, sheet_id, save):
    save(sheet_id, fields={"head~unit": "in", "head~v": "1"})
    save(sheet_id, fields={f"{RAIL}~1": "4 1/8", f"{RAIL}~unit": "in"})
    save(sheet_id, fields={"head~unit": "mm", "head~v": "2"})
    assert rail().value_m == pytest.approx(0.104775)  # 4 1/8 x 25.4 mm, by the 1959 agreement
    page = client.get(f"/walk-rounds/{sheet_id}/").content.decode()
    assert f'name="{RAIL}~unit" value="in"' in page
    assert 'name="link/right:rail_height~unit" value="mm"' in page


def test_place_that_cannot_be_reached_is_told_and_waits_no_longer(client, sheet_id, save, words):
    """It is no reading more to take; but nobody looked at it, and the round counts as the verdict does."""
    first = save(sheet_id, fields={"head~by": "R"}).json()["unread"]
    answer = save(sheet_id, fields={f"{RAIL}~out": "cannot be reached"}).json()
    assert answer["lines"][0]["words"] == "saved"
    assert answer["told"] == "none of 31 parts looked at"
    row = rail()
    assert (row.typed, row.value_m, row.not_read_because) == ([], None, "cannot be reached")
    unread = answer["unread"]
    assert unread == first - 1
    read = save(
        sheet_id, fields={f"{RAIL}~out": "cannot be reached", f"{RAIL}~1": "104.5", f"{RAIL}~v": "1"}
    ).json()
    assert read["told"] == "1 of 31 parts looked at"
    assert (rail().typed, rail().not_read_because) == (["104.5"], "")
    assert save(sheet_id, fields={f"{RAIL}~1": "", f"{RAIL}~v": "2"}).json()["unread"] == unread + 1


def test_spread_of_repeats_is_answered(sheet_id, save):
    """104.9 less 104.5 is 0.4."""
    fields = {f"{RAIL}~1": "104.5", f"{RAIL}~2": "104.9", f"{RAIL}~3": "104.7"}
    (line,) = save(sheet_id, fields=fields).json()["lines"]
    assert line["spread"] == "3 readings, 0.4 mm apart"


def test_far_apart_sides_are_asked_about_on_the_side_read_first(sheet_id, save):
    """The left is read first and looks right; the right one then tells that the left is far more worn."""
    save(sheet_id, fields={f"{RAIL}~1": "101"})
    answer = save(sheet_id, fields={"link/right:rail_height~1": "106.5"}).json()
    assert any("far more worn" in one["said"] for one in answer["warned"].get(RAIL, []))
    assert not any(one["held"] for one in answer["warned"][RAIL])


def test_sizes_stand_beside_each_field(client, sheet_id, words):
    text = words(client.get(f"/walk-rounds/{sheet_id}/at/link/left/"))
    assert "new 110.0 mm · limit 100.0 mm" in text


def test_every_part_is_on_the_page_but_only_one_is_open_without_scripts(client, sheet_id, dossier):
    """A browser sends no field of a disabled group (HTML, form submission), so that the others stay untouched."""
    page = client.get(f"/walk-rounds/{sheet_id}/at/link/left/").content.decode()
    assert page.count('class="bare stage"') == len(dossier.gear.places())
    assert page.count("hidden disabled") == len(dossier.gear.places()) - 1


def test_finished_walk_round_is_opened_again_with_a_reason(client, machine):
    last = Sheet.objects.filter(machine=machine).latest("date")
    assert client.post(f"/walk-rounds/{last.pk}/reopen/", {"why": " "}).status_code == 400
    client.post(f"/walk-rounds/{last.pk}/reopen/", {"why": "one roller forgotten"})
    last.refresh_from_db()
    now = Machine.objects.get(pk=machine.pk)
    assert (last.state, now.hours_h) == ("draft", 2200.0)
    told = Change.objects.get(what="walk-round taken up again")
    assert (told.before, told.after, told.why) == ("finished", "draft", "one roller forgotten")
    client.post(f"/walk-rounds/{last.pk}/finish/", {})
    assert Machine.objects.get(pk=machine.pk).judgement_id == machine.judgement_id


def test_queries_of_a_walk_round_do_not_grow_with_what_is_on_it(client, machine, sheet_id, save, bring, dossier):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    def count():
        with CaptureQueriesContext(connection) as caught:
            client.get(f"/walk-rounds/{sheet_id}/at/link/left/")
        return len(caught)

    count()
    before = count()
    for key in (RAIL, "link/right:rail_height", f"{ROLLER}:tread_diameter", "chain/left:sag"):
        save(sheet_id, fields={f"{key}~1": "100"})
    assert count() == before


def test_refused_figure_is_never_called_saved_and_the_page_leads_to_it(client, sheet_id, save):
    answer = save(sheet_id, fields={f"{RAIL}~1": "104.5", f"{RAIL}~2": "a hundred"}).json()
    (line,) = answer["lines"]
    assert line["words"] == ""
    assert list(line["wrong"]) == ["2"]
    assert answer["refused"] == [{"key": RAIL, "name": "Link rail height, Link rail, left", "place": "link/left"}]
    for page in ("", "at/link/left/", "at/sprocket/right/", "at/end/"):
        text = client.get(f"/walk-rounds/{sheet_id}/{page}").content.decode()
        assert "1 figure could not be saved" in text
        assert f'/walk-rounds/{sheet_id}/at/link/left/" data-to="{RAIL}"' in text
    box = text.partition(f'name="{RAIL}~2"')[2].partition(">")[0]
    assert 'aria-invalid="true" aria-describedby="state-link/left:rail_height"' in " ".join(box.split())
    assert text.count('id="state-link/left:rail_height"') == 1
    answer = save(sheet_id, fields={f"{RAIL}~1": "104.5", f"{RAIL}~2": "104", f"{RAIL}~v": "1"}).json()
    assert (answer["lines"][0]["words"], answer["lines"][0]["wrong"], answer["refused"]) == ("saved", {}, [])


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("2500", "at least the 3,000 h of 7\u00a0Sep\u00a02026, last time. If the hour meter was changed"),
        ("9999", "at most 24 h a day more"),
        ("many", "“many” cannot be used"),
    ],
)
def test_hours_that_cannot_be_are_told_as_soon_as_they_are_typed(client, sheet_id, save, typed, said):
    """The invented machine had 3,000 h on 7 September 2026."""
    answer = save(sheet_id, fields={"head~date": "2026-11-02", "head~hours": typed, "head~v": "1"}).json()
    (line,) = answer["lines"]
    assert said in line["wrong"]["hours"]
    assert line["words"] == ""
    assert answer["refused"][0] == {"key": "head", "name": "Hours", "place": ""}
    page = client.get(f"/walk-rounds/{sheet_id}/").content.decode()
    assert 'aria-invalid="true" aria-describedby="wrong-hours"' in page
    assert "Last time <b data-last>3,000 h of 7\u00a0Sep\u00a02026</b>" in page


def test_joints_begin_with_those_of_last_time_and_sizes_are_told_over_as_many(client, sheet_id, words, dossier):
    """The invented chain is new at 200.0 a joint: 800.0 over the four it was measured over last time."""
    last = next(one for one in dossier.walk_rounds[-1].readings if one.measurand == "pitch")
    assert last.joints == 4
    page = client.get(f"/walk-rounds/{sheet_id}/at/chain/left/")
    assert 'name="chain/left:pitch~joints" value="4"' in page.content.decode()
    assert "Over 4 joints: last time" in words(page)
    assert "new 800.0 mm" in words(page)


def test_joints_of_a_first_round_begin_with_the_four_its_how_asks_for(client, bring, begin, dossier):
    from dataclasses import replace

    sheet_id = begin(bring(replace(dossier, walk_rounds=()), judged=False))
    assert (
        'name="chain/left:pitch~joints" value="4"'
        in client.get(f"/walk-rounds/{sheet_id}/at/chain/left/").content.decode()
    )


def test_reading_that_is_only_asked_about_is_told_to_stay_in_the_figures(client, sheet_id, save, words):
    save(sheet_id, fields={f"{RAIL}~1": "101"})
    warned = save(sheet_id, fields={"link/right:rail_height~1": "106.5"}).json()["warned"][RAIL]
    assert [one["held"] for one in warned] == [False] * len(warned)
    text = words(client.get(f"/walk-rounds/{sheet_id}/at/end/"))
    assert "Link rail, left link rail height: asked about, kept in the figures" in text


def test_missing_number_of_joints_is_asked_for_in_plain_words(sheet_id, save):
    (line,) = save(sheet_id, fields={"chain/left:pitch~1": "770", "chain/left:pitch~joints": ""}).json()["lines"]
    assert line["wrong"]["joints"].startswith("Say how many joints the length spans")


def test_questioned_reading_offers_what_was_probably_meant_without_scripts_too(client, sheet_id, save):
    """1066 for 106.6: the button is an ordinary one of the form, and leads back to the part."""
    here = f"/walk-rounds/{sheet_id}/at/link/left/"
    (line,) = save(sheet_id, fields={f"{RAIL}~1": "1066"}).json()["lines"]
    assert (line["warned"][0]["put"], line["warned"][0]["put_said"]) == ("1=106.6", "106.6 mm")
    assert f'name="put" value="{RAIL}?1=106.6"' in client.get(here).content.decode()
    fields = {f"{RAIL}~1": "1066", f"{RAIL}~v": "1", "put": f"{RAIL}?1=106.6", "next": here}
    assert client.post(f"/walk-rounds/{sheet_id}/save/", fields)["Location"] == here
    assert rail().typed == ["106.6"]


def test_what_the_desk_says_to_a_script_is_written_as_the_business_writes(sheet_id, save, actor):
    actor.business.numbers = "comma"
    actor.business.save()
    (line,) = save(sheet_id, fields={f"{RAIL}~1": "1066"}).json()["lines"]
    assert (line["warned"][0]["put"], line["warned"][0]["put_said"]) == ("1=106%2C6", "106,6 mm")
    assert "did you mean 106,6 mm?" in line["warned"][0]["said"]
    assert save(sheet_id, fields={f"{RAIL}~1": "106,6", f"{RAIL}~v": "1"}).json()["warned"] == {}


def test_nothing_is_said_of_findings_before_somebody_looked(client, sheet_id, save):
    where = f"/walk-rounds/{sheet_id}/at/{ROLLER}/"

    def marks():
        page = client.get(where).content.decode()
        part = page.partition(f'data-place="{ROLLER}"')[2].partition('data-place="')[0]
        return part.count("checked"), page.partition(f'data-stands="{ROLLER}">')[2].partition("<")[0]

    assert marks() == (0, "not read")
    save(sheet_id, fields={f"{ROLLER}:nothing~looked": "looked", f"{ROLLER}:nothing~v": "0"})
    assert marks()[0] == 1
    save(sheet_id, fields={f"{ROLLER}:nothing~looked": "", f"{ROLLER}:nothing~v": "1"})
    assert marks()[0] == 0
    save(sheet_id, fields={f"{ROLLER}:leak~bad": "slight"})
    assert marks()[0] == 1


def test_nothing_seen_is_no_finding_and_in_no_file(client, machine, sheet_id, save, dossier):
    """What a walk-round says is what it said before: that somebody looked is for those who go round."""
    from pitchline.desk.machine.queries import dossier_of

    save(sheet_id, fields=HEAD | {f"{RAIL}~1": "104.5", f"{ROLLER}:nothing~looked": "looked"})
    assert client.post(f"/walk-rounds/{sheet_id}/finish/", {}).status_code == 302
    machine.refresh_from_db()
    assert dossier_of(machine).walk_rounds[-1].findings == ()
    assert client.get(f"/api/v1/walk-rounds/{sheet_id}").json()["seen"] == []


def test_a_phone_that_still_says_marked_is_understood(sheet_id, save):
    save(sheet_id, fields={f"{ROLLER}:leak~bad": "marked"})
    assert SeenRow.objects.exclude(kind=NOTHING_SEEN).get().how_bad == "clear"


@pytest.mark.parametrize(
    ("many", "bad", "kept"),
    [
        ("1", None, ("slight", 1)),
        ("3", None, ("clear", 3)),
        ("4", None, ("severe", 4)),
        ("4", "slight", ("slight", 4)),
    ],
)
def test_bolts_are_told_by_their_number(client, sheet_id, save, many, bad, kept):
    """How bad follows from the number where nobody says otherwise: our own judgement, no source."""
    key = f"{ROLLER}:loose_bolts"
    fields = {f"{key}~many": many, f"{key}~v": "0"} | ({} if bad is None else {f"{key}~bad": bad})
    save(sheet_id, fields=fields)
    row = SeenRow.objects.exclude(kind=NOTHING_SEEN).get()
    assert (row.how_bad, row.count) == kept
    save(sheet_id, fields={f"{key}~many": "", f"{key}~bad": "", f"{key}~v": "1"})
    row.refresh_from_db()
    assert (row.how_bad, row.count) == ("", 0)


def test_bolts_of_shoes_are_asked_whether_two_sit_on_one(client, sheet_id, save, machine):
    """Two missing bolts of one shoe stop, two of a whole side are booked: our own judgement, no source."""
    from pitchline.desk.machine.queries import dossier_of

    key = "shoe/left:missing_bolts"
    save(sheet_id, fields=HEAD | {f"{RAIL}~1": "104.5", f"{key}~many": "2", f"{key}~one": "no"})
    assert SeenRow.objects.get(sheet__state="draft").on_one is False
    page = client.get(f"/walk-rounds/{sheet_id}/at/shoe/left/").content.decode()
    assert "two or more on one shoe" in page
    assert f'name="{key}~one"' in page
    save(sheet_id, fields={f"{key}~many": "2", f"{key}~bad": "clear", f"{key}~one": "yes", f"{key}~v": "1"})
    assert client.post(f"/walk-rounds/{sheet_id}/finish/", {}).status_code == 302
    machine.refresh_from_db()
    (seen,) = dossier_of(machine).walk_rounds[-1].findings
    assert (seen.on_one, seen.call) == (True, Call.STOP)
    assert client.get(f"/api/v1/walk-rounds/{sheet_id}").json()["seen"][0]["on_one"] is True


def test_only_shoes_and_pads_are_asked_about_one_piece(client, sheet_id, save):
    roller = f"{ROLLER}:missing_bolts"
    save(sheet_id, fields={f"{roller}~many": "2", f"{roller}~one": "yes"})
    assert SeenRow.objects.get(sheet__state="draft").on_one is None
    assert f"{ROLLER}:missing_bolts~one" not in client.get(f"/walk-rounds/{sheet_id}/").content.decode()
    answer = save(sheet_id, fields={"shoe/left:loose_bolts~many": "2", "shoe/left:loose_bolts~one": "may"})
    assert "yes, no or nothing" in answer.content.decode()


def test_end_of_the_round_says_what_is_left_and_finishes(client, sheet_id, save, words):
    save(sheet_id, fields=HEAD | {"head~hours": ""})
    save(sheet_id, fields={f"{RAIL}~1": "9.8"})
    save(sheet_id, fields={"link/right:rail_height~1": "a hundred"})
    page = client.get(f"/walk-rounds/{sheet_id}/at/end/")
    text = words(page)
    assert "hours: not entered" in text
    assert "1 read" in text
    assert "1 could not be saved · 1 questioned" in text
    assert "Link rail, left link rail height: held back until answered" in text
    assert "Link rail, right link rail height: could not be saved" in text
    assert f'action="/walk-rounds/{sheet_id}/finish/" id="finish"' in page.content.decode()


@pytest.mark.parametrize(
    ("fields", "field", "allowed"),
    [
        ({f"{RAIL}~1": "1" * 201}, "reading, link/left:rail_height", "up to 200 letters"),
        ({f"{RAIL}~1": "104", f"{RAIL}~unit": "furlong"}, "unit, link/left:rail_height", "up to 4 letters"),
        ({f"{RAIL}~1": "104", f"{RAIL}~unit": "ell"}, "unit, link/left:rail_height", "mm, cm, m, in, ft"),
        ({f"{RAIL}~1": "104", f"{RAIL}~keep": "x" * 2001}, "kept because, link/left:rail_height", "up to 2000 letters"),
        ({"chain/left:pitch~1": "810", "chain/left:pitch~joints": "4" * 11}, "over joints, chain/left:pitch", "up to 10 letters"),
        ({f"{ROLLER}:leak~bad": "severe", f"{ROLLER}:leak~many": "²"}, "how many", "a whole number, 1 to 9999"),
        ({f"{ROLLER}:leak~bad": "severe", f"{ROLLER}:leak~many": "0"}, "how many", "a whole number, 1 to 9999"),
        ({"head~by": "A" * 201}, "who goes round", "up to 200 letters"),
        ({"head~hours": "3" * 41}, "hours on the meter", "up to 40 letters"),
        ({f"{RAIL}~1": "10\x004"}, f"{RAIL}~1", "text without a zero byte"),
    ],
)  # fmt: skip
def test_what_cannot_be_kept_is_refused_whole_with_its_field(sheet_id, save, fields, field, allowed):
    """The columns are as narrow on PostgreSQL as these limits; SQLite would take anything."""
    answer = save(sheet_id, fields=fields)
    (said,) = answer.json()["problems"]
    assert answer.status_code == 400
    assert field in said
    assert allowed in said
    assert not ReadingRow.objects.filter(sheet=sheet_id).exists()
    assert not SeenRow.objects.filter(sheet=sheet_id).exists()


@pytest.mark.parametrize("joints", ["0", "46", "-4", "4.5", "²", "٤٤٤", "four"])
def test_joints_that_cannot_be_are_kept_as_typed_and_told(sheet_id, save, joints):
    """The invented excavator has 45 joints a side."""
    (line,) = save(sheet_id, fields={"chain/left:pitch~1": "810", "chain/left:pitch~joints": joints}).json()[
        "lines"
    ]
    assert f"“{joints}” cannot be used" in line["problem"]
    assert "1 to 45" in line["problem"]
    assert ReadingRow.objects.get(sheet=sheet_id).over_joints == joints


def test_entry_kept_aside_of_a_walk_round_put_away_is_not_taken_but_said_why(client, sheet_id, save, words):
    save(sheet_id, writer="ann", fields={f"{RAIL}~1": "104.5", f"{RAIL}~v": "0"})
    save(sheet_id, writer="bob", fields={f"{RAIL}~1": "103.9", f"{RAIL}~v": "0"})
    client.post(f"/walk-rounds/{sheet_id}/put-away/", {"away": "1"})
    answer = client.post(f"/asides/{Aside.objects.get().pk}/", {"take": "1"})
    assert answer.status_code == 400
    assert "Bring it back first" in words(answer)
    assert not Aside.objects.get().settled


def test_whole_round_stands_side_beside_side_with_one_field_a_reading_ahead_of_the_rest(client, sheet_id):
    """What else a reading has lies in a fold of its own, so that its first field is followed by the next reading's."""
    text = client.get(f"/walk-rounds/{sheet_id}/").content.decode()
    left, right = text.partition('aria-label="Left side"')[2].split('aria-label="Right side"')
    assert f'name="{RAIL}~1"' in left
    assert 'name="link/right:rail_height~1"' in right
    line = left.partition(f'data-line="{RAIL}"')[2].partition("</fieldset>")[0]
    ahead, _, folded = line.partition('<details class="rest">')
    assert re.findall(r'name="[^"]*~(\w+)"', re.sub(r'<input type="hidden"[^>]*>', "", ahead)) == ["1", "keep"]
    assert [name for name in ("2", "3", "tool", "out") if f'name="{RAIL}~{name}"' in folded] == [
        "2",
        "3",
        "tool",
        "out",
    ]


def test_what_else_was_entered_of_a_reading_stands_open(client, sheet_id, save):
    save(sheet_id, fields={f"{RAIL}~1": "104.5", f"{RAIL}~2": "104.7"})
    save(sheet_id, fields={"link/right:rail_height~out": "cannot be reached"})
    text = client.get(f"/walk-rounds/{sheet_id}/").content.decode()
    assert text.count('<details class="rest" open>') == 2


def test_how_many_is_asked_of_what_can_be_counted(client, sheet_id):
    """A chain can have two dry joints; a roller has one leak."""
    leak, dry = (
        client.get(f"/walk-rounds/{sheet_id}/at/{place}/").content.decode()
        for place in ("bottom_roller/left/1", "chain/left")
    )
    assert 'name="bottom_roller/left/1:leak~bad"' in leak
    assert 'name="bottom_roller/left/1:leak~many"' not in leak
    assert 'name="chain/left:dry_joint~many"' in dry


def test_roller_flange_left_out_of_the_limits_keeps_the_line_it_has(actor, client, bring, begin, dossier, save):
    """Written before its part's limits were entered: it counts, so it stands on the page."""
    key = "upper_roller/left/1:flange_thickness"
    machine = bring(replace(dossier, walk_rounds=()))
    sheet_id = begin(machine)
    save(sheet_id, fields={f"{key}~1": "20.5"})
    tread = Limit(PartKind.UPPER_ROLLER, Measurand.TREAD_DIAMETER, 0.126, 0.112)
    others = tuple(one for one in dossier.limits if one.part is not PartKind.UPPER_ROLLER)
    text = machine_json(replace(dossier, limits=(*others, tread), walk_rounds=()))
    change_file(actor, machine_id=machine.pk, seen_version=machine.version, text=text, why="a test", whole=True)
    page = client.get(f"/walk-rounds/{sheet_id}/").content.decode()
    assert f'name="{key}~1"' in page
    assert f'name="{key.replace("left", "right")}~1"' not in page
