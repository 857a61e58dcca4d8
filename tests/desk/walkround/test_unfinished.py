"""An unfinished walk-round is what is offered, where one left off; a second one and a day to come are asked about first."""

import re
import uuid
from dataclasses import replace
from html import unescape

import pytest
from django.conf import settings

from pitchline.desk.machine.models import Machine
from pitchline.desk.walkround.models import ReadingRow, Sheet
from pitchline.trade.dossier import PermittedRange, Utilisation
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind

TODAY = settings.TODAY
RAIL = "link/left:rail_height"
HEAD = {"head~date": "2026-11-02", "head~hours": "3600", "head~by": "A fitter", "head~unit": "mm", "head~v": "1"}


def press_begin(client, machine, **more):
    return client.post(f"/machines/{machine.pk}/begin/", {"sheet_id": str(uuid.uuid4())} | more)


def test_unfinished_one_is_what_the_button_offers(client, machine, begin, words):
    assert "Begin a walk-round" in words(client.get(f"/machines/{machine.pk}/"))
    sheet_id = begin(machine)
    answer = client.get(f"/machines/{machine.pk}/")
    page = words(answer)
    assert "Go on with the walk-round" in page
    assert "Begin another" in page
    assert "Begin a walk-round" not in page
    assert f'action="/walk-rounds/{sheet_id}/on/"' in answer.content.decode()


def test_it_is_offered_once_where_one_looks_first(client, bring, dossier, begin, save, words):
    machine = bring(replace(dossier, walk_rounds=()), judged=False)
    sheet_id = begin(machine)
    save(sheet_id, fields=HEAD)
    answer = client.get(f"/machines/{machine.pk}/")
    page = answer.content.decode()
    assert page.count(f"/walk-rounds/{sheet_id}/on/") == 1
    assert page.index(f"/walk-rounds/{sheet_id}/on/") < page.index("Not judged")
    assert "Not finished: walk-round of 2 Nov 2026 by A fitter" in words(answer)
    assert "A first walk-round would give" not in words(answer)
    other = begin(machine)
    assert "Another walk-round of 2 Nov 2026 by A fitter is not finished." in words(
        client.get(f"/machines/{machine.pk}/")
    )
    assert client.get(f"/machines/{machine.pk}/").content.decode().count(f"/walk-rounds/{other}/on/") == 1


def test_one_goes_on_where_one_left_off(client, machine, begin, save):
    sheet_id = begin(machine)
    address = f"/walk-rounds/{sheet_id}/on/"
    assert client.get(address)["Location"] == f"/walk-rounds/{sheet_id}/"
    save(sheet_id, fields={f"{RAIL}~1": "104.5"})
    save(sheet_id, fields={"bottom_roller/left/3:tread_diameter~1": "180"})
    save(sheet_id, fields={"head~by": "Somebody"})
    assert client.get(address)["Location"] == f"/walk-rounds/{sheet_id}/at/bottom_roller/left/3/"
    table = client.get(f"/walk-rounds/{sheet_id}/").content.decode()
    assert f'class="button go-round" href="/walk-rounds/{sheet_id}/at/bottom_roller/left/3/"' in table


def test_the_same_text_again_is_no_writing(client, machine, begin, save):
    sheet_id = begin(machine)
    save(sheet_id, fields={f"{RAIL}~1": "104.5", f"{RAIL}~v": "0"})
    save(sheet_id, fields={"idler/left/1:tread_depth~1": "9", "idler/left/1:tread_depth~v": "0"})
    save(sheet_id, fields={f"{RAIL}~1": "104.5", f"{RAIL}~v": "1"})
    assert Sheet.objects.get(pk=sheet_id).left_at == "idler/left/1"


def test_a_part_the_machine_lost_meanwhile_leads_to_the_whole(client, machine, begin):
    sheet_id = begin(machine)
    Sheet.objects.filter(pk=sheet_id).update(left_at="bottom_roller/left/99")
    assert client.get(f"/walk-rounds/{sheet_id}/on/")["Location"] == f"/walk-rounds/{sheet_id}/"
    assert client.get(f"/walk-rounds/{sheet_id}/").status_code == 200


def test_second_one_is_asked_about_and_going_on_comes_first(client, machine, begin, save, words):
    first = begin(machine)
    save(first, fields=HEAD)
    save(first, fields={f"{RAIL}~1": "104.5"})
    answer = press_begin(client, machine)
    page = words(answer).replace("\xa0", " ")
    assert Sheet.objects.filter(state="draft").count() == 1
    assert "2 Nov 2026 · A fitter · 1 line written, last on" in page
    assert page.index("Go on with it") < page.index("Begin another beside it")
    assert press_begin(client, machine, another="1").status_code == 302
    assert Sheet.objects.filter(state="draft").count() == 2


def test_beginning_sent_twice_is_not_asked(client, machine):
    form = {"sheet_id": str(uuid.uuid4())}
    answers = [client.post(f"/machines/{machine.pk}/begin/", form) for _ in range(2)]
    assert [one.status_code for one in answers] == [302, 302]


def test_the_one_last_written_on_comes_first(client, machine, begin, save):
    older, newer = begin(machine), begin(machine)
    assert (
        f"/walk-rounds/{newer}/on/" in client.get(f"/machines/{machine.pk}/").content.decode().split("</form>")[0]
    )
    save(older, fields={f"{RAIL}~1": "104.5"})
    page = press_begin(client, machine).content.decode()
    assert page.index(str(older)) < page.index(str(newer))


def test_a_day_to_come_is_asked_about_and_not_refused(client, machine, begin, save, words):
    """The desk's day is 26 November 2026."""
    sheet_id = begin(machine)
    asked = save(sheet_id, fields=HEAD | {"head~date": "2027-02-20"}).json()
    assert (
        asked["day_asked"].replace("\xa0", " ")
        == "20 Feb 2027 is still to come: today is 26 Nov 2026. Is the day right?"
    )
    assert asked["lines"][0]["problem"] == ""
    save(sheet_id, fields={f"{RAIL}~1": "104.5"})
    answer = client.post(f"/walk-rounds/{sheet_id}/finish/")
    assert answer["Location"] == f"/walk-rounds/{sheet_id}/at/end/"
    assert Sheet.objects.get(pk=sheet_id).state == "draft"
    assert "It is right: finish and judge" in words(client.get(answer["Location"]))
    client.post(f"/walk-rounds/{sheet_id}/finish/", {"head_is_right": "1"})
    assert Sheet.objects.get(pk=sheet_id).state == "finished"


@pytest.mark.parametrize(("hours", "asked"), [("58.7", True), ("5870", False), ("9000", False), ("58700", True)])
def test_first_hours_unlike_those_entered_with_the_machine_are_asked_about(
    client, actor, begin, save, dossier, bring, hours, asked
):
    """A decimal mark that slipped in the hours would make a used machine a new one."""
    machine = bring(replace(dossier, walk_rounds=()), judged=False)
    Machine.objects.filter(pk=machine.pk).update(hours_h=5870.0)
    sheet_id = begin(machine)
    said = save(sheet_id, fields=HEAD | {"head~hours": hours, f"{RAIL}~1": "104.5"}).json()["hours_asked"]
    assert ("5,870 h were entered" in said) is asked
    answer = client.post(f"/walk-rounds/{sheet_id}/finish/")
    assert (answer["Location"] == f"/walk-rounds/{sheet_id}/at/end/") is asked
    if asked:
        client.post(f"/walk-rounds/{sheet_id}/finish/", {"head_is_right": "1"})
    assert Sheet.objects.get(pk=sheet_id).state == "finished"


def test_hours_offered_follow_the_day_that_is_typed(begin, bring, dossier, save):
    """3,000 h on 7 September; a week of 40 h makes 3,320 h by 2 November and 40 h more a week later."""
    sheet_id = begin(bring(replace(dossier, utilisation=Utilisation(30, 40, 50))))
    days = (("2026-11-02", "3320"), ("2026-11-09", "3360"), ("2001-01-01", None))
    for version, (day, likely) in enumerate(days, 1):
        said = save(sheet_id, fields=HEAD | {"head~date": day, "head~hours": "", "head~v": str(version)}).json()
        assert (said["likely"] and said["likely"]["put"]) == (likely and f"hours={likely}")
        assert bool(said["last"]) is (likely is not None)


@pytest.mark.parametrize("day", ["2026-11-26", "2026-11-25"])
def test_today_and_days_past_are_not_asked_about(begin, machine, save, day):
    assert save(begin(machine), fields=HEAD | {"head~date": day}).json()["day_asked"] == ""


def test_one_wrong_of_three_repeats_is_mended_alone(machine, begin, save, client):
    sheet_id = begin(machine)
    fields = {f"{RAIL}~{n}": text for n, text in enumerate(("107.1", "107.3", "17.2"), 1)}
    (warned,) = save(sheet_id, fields=fields | {f"{RAIL}~tool": "depth_gauge"}).json()["lines"][0]["warned"]
    assert warned["said"].endswith("did you mean 107.2 mm?")
    assert (warned["put"], warned["put_said"]) == ("3=107.2", "107.2 mm")
    client.post(f"/walk-rounds/{sheet_id}/save/", fields | {f"{RAIL}~v": "1", "put": f"{RAIL}?{warned['put']}"})
    assert ReadingRow.objects.get(sheet=sheet_id).typed == ["107.1", "107.3", "107.2"]


def test_a_pitch_is_asked_for_as_a_length_over_joints(client, machine, begin, words):
    assert "Pitch : length over joints" in words(
        client.get(f"/walk-rounds/{begin(machine)}/at/chain/left/")
    ).replace("Pitch:", "Pitch :")


def test_sag_without_a_range_says_why_it_is_not_judged(client, bring, dossier, begin, words):
    machine = bring(dossier, judged=False)
    page = client.get(f"/walk-rounds/{begin(machine)}/at/chain/left/")
    assert "Kept, but not judged: no range is entered for it. Enter it" in words(page)
    assert f"/machines/{machine.pk}/all/ranges/" in page.content.decode()


def test_sag_with_a_range_says_the_range(client, bring, dossier, begin, words):
    band = PermittedRange(PartKind.CHAIN, Measurand.SAG, 0.02, 0.045, "invented")
    out = PermittedRange(PartKind.TRACK_ADJUSTER, Measurand.ADJUSTER_EXTENSION, 0.0, 0.12, "invented")
    machine = bring(replace(dossier, ranges=(band, out)))
    page = words(client.get(f"/walk-rounds/{begin(machine)}/at/chain/left/"))
    assert "should be 20.0 mm to 45.0 mm" in page
    assert "should be 0.0 mm to 120.0 mm" in page
    assert "no range is entered" not in page
    assert "Should be 20.0 mm to 45.0 mm" in words(client.get(f"/machines/{machine.pk}/parts/chain/left/"))


def test_part_page_says_why_a_setting_is_not_judged(client, machine, words):
    here = f"/machines/{machine.pk}/parts/chain/left/"
    page = client.get(here)
    assert "Not judged: no range is entered for it." in words(page)
    entering = re.search(r'href="([^"]*)">Enter its range', page.content.decode())
    assert f'name="next" value="{here}"' in client.get(unescape(entering[1])).content.decode()


def test_the_yard_marks_and_finds_what_is_not_finished(client, machine, bring, dossier, begin, words):
    other = bring(replace(dossier, machine=replace(dossier.machine, machine_id="other", name="Other")))
    sheet_id = begin(other)
    answer = client.get("/")
    assert words(answer).count("one not finished") == 1
    assert f'href="/walk-rounds/{sheet_id}/on/"' in answer.content.decode()
    found = words(client.get("/?archived=draft"))
    assert "1 machine" in found
    assert "with an unfinished walk-round" in found
    Sheet.objects.filter(pk=sheet_id).update(state="put away")
    assert "one not finished" not in words(client.get("/"))


@pytest.fixture
def walked_today(machine):
    """The machine, whose last walk-round is of today."""
    last = Sheet.objects.filter(machine=machine).latest("date")
    Sheet.objects.filter(pk=last.pk).update(date=TODAY, date_text=TODAY.isoformat())
    return last


def test_a_second_one_of_a_day_is_told_when_it_is_begun(client, machine, walked_today, words):
    assert "Another walk-round today" in words(client.get(f"/machines/{machine.pk}/"))
    answer = press_begin(client, machine)
    page = words(answer)
    assert "Today’s walk-round is finished already" in page
    assert [said in page for said in ("Go on with this one", "in its place", "of another day")] == [True] * 3
    assert not Sheet.objects.filter(machine=machine, state="draft").exists()
    press_begin(client, machine, beside="another day")
    assert Sheet.objects.get(machine=machine, state="draft").date_text == ""


def test_one_in_its_place_puts_the_first_away_when_it_is_finished_and_not_before(
    client, machine, walked_today, words
):
    answer = press_begin(client, machine, beside="instead")
    address = answer["Location"]
    assert "a day without another finished walk-round" in words(client.get(address))
    head = HEAD | {"head~date": TODAY.isoformat(), "head~hours": str(walked_today.hours_text)}
    refused = client.post(f"{address}finish/", head | {f"{RAIL}~1": "100.5"})
    assert "Put that one away, finish this one" in words(refused)
    assert Sheet.objects.get(pk=walked_today.pk).state == "finished"
    client.post(f"{address}finish/", {"instead": str(walked_today.pk)})
    assert Sheet.objects.get(pk=walked_today.pk).state == "put away"
    now = Sheet.objects.get(machine=machine, state="finished", date=TODAY)
    assert now.readingrows.get().typed == ["100.5"]


def test_only_the_one_of_that_day_is_put_away(client, machine, walked_today):
    other = Sheet.objects.filter(machine=machine).earliest("date")
    address = press_begin(client, machine, beside="instead")["Location"]
    head = HEAD | {"head~date": TODAY.isoformat(), "head~hours": "3600", "instead": str(other.pk)}
    assert client.post(f"{address}finish/", head | {f"{RAIL}~1": "100.5"}).status_code == 400
    assert Sheet.objects.get(pk=other.pk).state == "finished"


@pytest.mark.parametrize("week", [None, 40.0])
def test_missing_hours_are_said_in_words_and_offered(client, bring, dossier, begin, words, week):
    """3,000 h on 7 September and 8 weeks of 40 h by 2 November make 3,320 h; without a usual week what stood last is offered."""
    usual = None if week is None else Utilisation(week - 10, week, week + 10)
    machine = bring(replace(dossier, utilisation=usual))
    sheet_id = begin(machine)
    answer = client.post(f"/walk-rounds/{sheet_id}/finish/", HEAD | {"head~hours": "", f"{RAIL}~1": "100.5"})
    page = words(answer)
    assert "Hours: nothing is entered." in page
    assert "“nothing”" not in page
    likely = "3000" if week is None else "3320"
    assert f'value="head?hours={likely}"' in answer.content.decode()
    assert '<input type="hidden" form="finish" name="head~v" value="2">' in answer.content.decode()
    client.post(f"/walk-rounds/{sheet_id}/finish/", {"put": f"head?hours={likely}", "head~v": "2"})
    done = Sheet.objects.get(pk=sheet_id)
    assert (done.state, done.service_h) == ("finished", float(likely))


def test_hours_of_a_first_round_are_offered_as_entered_with_the_machine(client, bring, dossier, begin):
    machine = bring(replace(dossier, walk_rounds=()), judged=False)
    Machine.objects.filter(pk=machine.pk).update(hours_h=5870.0)
    assert 'data-put="hours=5870"' in client.get(f"/walk-rounds/{begin(machine)}/").content.decode()
