"""One machine's pages: what they show, what they save, and that nobody's writing is lost."""

import html
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test.utils import CaptureQueriesContext
from pypdf import PdfReader

import pitchline.desk
from pitchline.desk.bridge.figures import verdict_of, verdict_text
from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.machine.actions import change_file, mark_for_judging
from pitchline.desk.machine.judging import judge_machine, judge_waiting
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.papers import EARLIER_NAMES, PAPERS, offered
from pitchline.desk.people.models import Business
from pitchline.desk.prices import enter_prices
from pitchline.desk.trail.models import Change
from pitchline.desk.walkround.models import ReadingRow, Sheet
from pitchline.exchange.machine_file import machine_from_json, machine_json
from pitchline.exchange.prices_file import write_prices
from pitchline.exchange.sheet import write_sheet
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge import judge
from pitchline.papers.paper import verdict_pdf
from pitchline.trade.asking import AskingPrice
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.words import say

TODAY = settings.TODAY


@pytest.fixture
def priced(actor, prices, tmp_path, bring, worn):
    """The machine worn past its limits, with the invented price list in force."""
    machine = bring(worn(1.2))
    write_prices(prices, tmp_path / "prices.csv")
    enter_prices(actor, name="prices.csv", content=(tmp_path / "prices.csv").read_bytes())
    judge_waiting()
    machine.refresh_from_db()
    return machine


def test_every_page_under_the_tabs_says_whose_it_is():
    """In its text: the tab of the browser alone is not read by somebody with two machines open."""
    desk = Path(pitchline.desk.__file__).parent
    tabbed = [
        (one.name, one.read_text(encoding="utf-8").partition('{% include "machine/tabs.html" %}'))
        for one in desk.rglob("*.html")
    ]
    assert [name for name, (_, tabs, below) in tabbed if tabs and "{{ machine.name }}" not in below] == []
    assert sum(bool(tabs) for _, (_, tabs, _) in tabbed) > 10


def test_page_tells_call_hours_parts_and_what_is_missing(client, machine, words):
    text = words(client.get(f"/machines/{machine.pk}/"))
    verdict = verdict_of(machine.judgement)
    assert say(verdict.headline) in text
    assert "Bottom roller 3, left" in text
    assert "A price list would give" in text
    assert verdict.method in text


def test_drawing_and_blank_sheet_are_there_once_the_running_gear_is_known(client, bring, dossier, words):
    """Before anybody went round it; a gear whose sizes cannot go together says why it is not drawn."""
    machine = bring(replace(dossier, walk_rounds=()))
    text = client.get(f"/machines/{machine.pk}/").content.decode()
    assert machine.judgement is None
    assert f"/machines/{machine.pk}/sheet.pdf" in text
    assert 'class="drawn side"' in text
    assert 'class="drawn sidesmall"' in text
    far = replace(dossier.gear, joints_per_side=20, sprocket_teeth=60)
    about = replace(dossier.machine, machine_id="T9")
    other = bring(replace(dossier, machine=about, gear=far, limits=(), walk_rounds=()))
    assert "It cannot be drawn" in words(client.get(f"/machines/{other.pk}/"))


def test_every_part_in_the_drawing_and_in_the_table_leads_to_its_page(client, machine):
    text = client.get(f"/machines/{machine.pk}/").content.decode()
    places = {part.place.key for part in verdict_of(machine.judgement).parts}
    linked = set(re.findall(rf'href="/machines/{machine.pk}/parts/([^"]+)/"', text))
    assert linked == places
    drawn = re.search(r'<div class="for-wide">(.*?)</div>', text, re.DOTALL)[1]
    assert {f"bottom_roller/left/{n}" for n in range(1, 6)} <= set(re.findall(r"/parts/([^\"]+)/\"", drawn))
    for key in sorted(linked):
        assert client.get(f"/machines/{machine.pk}/parts/{key}/").status_code == 200, key


def test_verdict_is_that_of_the_core_to_the_last_digit(machine, dossier):
    assert verdict_text(machine.judgement) == verdict_json(judge(dossier, as_of=TODAY))


def test_verdict_by_hand_and_by_desk_print_the_same_paper(client, machine, dossier):
    paper = client.get(f"/machines/{machine.pk}/papers/{machine.judgement_id}/verdict.pdf")
    assert paper.content == verdict_pdf(judge(dossier, as_of=TODAY))


@pytest.mark.parametrize("name", PAPERS)
def test_papers(client, priced, name):
    answer = client.get(f"/machines/{priced.pk}/papers/{priced.judgement_id}/{name}")
    assert answer.status_code == 200
    starts = {"pdf": b"%PDF", "lsx": b"PK", "ics": b"BEGIN:VCALENDAR", "son": b"{", "txt": b"Test machine"}
    assert answer.content.startswith(starts[name[-3:]])
    assert name in answer["Content-Disposition"]


@pytest.mark.parametrize(("before", "name"), EARLIER_NAMES.items())
def test_earlier_file_names_still_give_the_paper(client, priced, before, name):
    at = f"/machines/{priced.pk}/papers/{priced.judgement_id}/"
    assert client.get(at + before).content == client.get(at + name).content
    assert client.get(at + "no.pdf").status_code == 404


def test_text_for_an_advert_stands_on_the_page_to_be_marked_and_copied(client, priced):
    """Without scripts the button stays hidden and the text is there all the same."""
    page = client.get(f"/machines/{priced.pk}/").content.decode()
    text = client.get(f"/machines/{priced.pk}/papers/{priced.judgement_id}/advert.txt").content.decode()
    shown = re.search(r'<textarea id="advert"[^>]* readonly[^>]*>(.*?)</textarea>', page, re.DOTALL)[1]
    assert html.unescape(shown).strip() == text.strip()
    assert re.search(r'<button type="button" hidden data-copies="advert"', page)


def test_papers_name_the_business_as_their_author(client, priced, actor):
    Business.objects.filter(pk=actor.business.pk).update(paper_name="Invented Yard Works")
    for name in ("buyer.pdf", "workshop.pdf", "colleague.pdf", "quote.pdf"):
        answer = client.get(f"/machines/{priced.pk}/papers/{priced.judgement_id}/{name}")
        assert PdfReader(io.BytesIO(answer.content)).metadata.author == "Invented Yard Works", name
    sheet = client.get(f"/machines/{priced.pk}/sheet.pdf").content
    assert PdfReader(io.BytesIO(sheet)).metadata.author == "Invented Yard Works"


def quote_of(client, machine, judgement):
    answer = client.get(f"/machines/{machine.pk}/papers/{judgement.pk}/quote.pdf")
    return PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()


def test_quote_carries_business_customer_and_a_number_that_stays(client, priced, actor):
    """Each verdict of a machine and a day has the next number."""
    Business.objects.filter(pk=actor.business.pk).update(paper_name="Invented Yard Works")
    Machine.objects.filter(pk=priced.pk).update(customer="An invented customer")
    first = priced.judgement
    given = Judgement.objects.filter(machine=priced, as_of=first.as_of).count()
    number = f"number {priced.short_name}-{first.as_of:%Y%m%d}"
    text = quote_of(client, priced, first)
    assert "Invented Yard Works" in text
    assert "An invented customer" in text
    assert f"{number}-{given}" in text
    Business.objects.filter(pk=actor.business.pk).update(units="imperial")
    mark_for_judging(priced.pk)
    judge_waiting()
    second = Machine.objects.get(pk=priced.pk).judgement
    assert second.pk != first.pk
    assert f"{number}-{given + 1}" in quote_of(client, priced, second)
    assert f"{number}-{given}" in quote_of(client, priced, first)


def test_page_says_where_the_names_on_a_quote_are_entered(client, priced, actor, words):
    page = f"/machines/{priced.pk}/"
    both = "stays empty until the name of the business is entered in Settings, “for” until the customer is"
    assert both in words(client.get(page))
    Machine.objects.filter(pk=priced.pk).update(customer="An invented customer")
    text = words(client.get(page))
    assert "until the name of the business is entered in Settings." in text
    assert "“for”" not in text
    Business.objects.filter(pk=actor.business.pk).update(paper_name="Invented Yard Works")
    assert "On a quote" not in words(client.get(page))


def test_quote_without_prices_says_so(client, machine):
    answer = client.get(f"/machines/{machine.pk}/papers/{machine.judgement_id}/quote.pdf", follow=True)
    assert "no price list" in answer.content.decode()


def test_quote_is_offered_only_where_a_due_job_has_a_price(later, prices):
    """A slight crack is only looked at again; no invented price list has a price for looking."""
    leaking = Finding(Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 1), FindingKind.LEAK, Severity.SEVERE)
    cracked = Finding(Place(PartKind.LINK, Side.LEFT), FindingKind.CRACKED, Severity.SLIGHT)
    names = [
        {name for name, _ in offered(judge(later(0.4, findings=[one]), prices), True)}
        for one in (leaking, cracked)
    ]
    assert ["quote.pdf" in found for found in names] == [True, False]
    assert all("workshop.pdf" in found for found in names)


def test_old_paper_prints_the_same_after_the_prices_changed(client, priced, actor, prices, tmp_path):
    old = priced.judgement_id
    before = client.get(f"/machines/{priced.pk}/papers/{old}/verdict.pdf").content
    content = (tmp_path / "prices.csv").read_text().replace("3500", "9500").replace("4200", "9900")
    enter_prices(actor, name="prices.csv", content=content.encode())
    judge_waiting()
    priced.refresh_from_db()
    assert priced.judgement_id != old
    assert client.get(f"/machines/{priced.pk}/papers/{old}/verdict.pdf").content == before


def test_judging_twice_keeps_one_judgement(actor, machine):
    judge_machine(actor, machine.pk)
    assert Judgement.objects.filter(machine=machine).count() == 1


def test_units_changed_while_machines_are_judged_hold_for_the_rest(actor, machine, bring, dossier, monkeypatch):
    """Whoever works marks off read the business when they began; the next machine is judged as the business is by then."""
    other = bring(replace(dossier, machine=replace(dossier.machine, machine_id="T2")), judged=False)
    Machine.objects.update(to_judge=True)

    def change(done, judgement):
        Business.objects.update(units="imperial")

    assert judge_waiting(change) == 2
    units = {one.pk: one.judgement.units for one in Machine.objects.select_related("judgement")}
    assert sorted(units.values()) == ["imperial", "metric"]
    assert units[other.pk] == "imperial"


def test_machine_a_page_judged_meanwhile_is_not_judged_again(actor, machine, bring, dossier):
    other = bring(replace(dossier, machine=replace(dossier.machine, machine_id="T2")), judged=False)
    Machine.objects.update(to_judge=True)
    assert judge_waiting(lambda done, judgement: judge_machine(actor, other.pk)) == 1


def test_change_during_judging_leaves_the_machine_marked(actor, machine, monkeypatch):
    """Somebody marks the machine anew while it is judged: the mark must stand, or their change would never be judged."""
    from pitchline.desk.machine import judging

    real = judging.judge

    def slow(*args, **rest):
        verdict = real(*args, **rest)
        Machine.objects.filter(pk=machine.pk).update(to_judge=True, marked=machine.marked + 5)
        return verdict

    monkeypatch.setattr(judging, "judge", slow)
    Judgement.objects.all().delete()
    Machine.objects.filter(pk=machine.pk).update(to_judge=True)
    judge_machine(actor, machine.pk)
    assert Machine.objects.get(pk=machine.pk).to_judge


def test_machine_file_goes_out_as_it_came_in(client, machine, dossier):
    text = client.get(f"/machines/{machine.pk}/machine.json").content.decode()
    assert machine_from_json(text, "out") == dossier


def about(machine, **changes):
    form = {
        "seen_version": machine.version,
        "name": machine.name,
        "kind": machine.kind,
        "customer": "",
        "place": "",
    }
    return form | changes


def test_what_is_said_about_it_is_changed_and_told_in_the_trail(client, machine):
    assert client.post(f"/machines/{machine.pk}/about/", about(machine, customer="Hill")).status_code == 302
    change = Change.objects.filter(machine_id=machine.pk, what="customer").get()
    assert (change.before, change.after, change.who) == ("", "Hill", "this desk")


WHICH = {"serial_number": "INV-00417", "year_built": "2014", "owner_number": "Fleet 7"}


def test_two_machines_of_one_name_can_be_told_apart(client, priced, words):
    assert client.post(f"/machines/{priced.pk}/about/", about(priced, **WHICH)).status_code == 302
    judge_waiting()
    priced.refresh_from_db()
    told = "serial number INV-00417, built 2014, owner's number Fleet 7"
    assert told in html.unescape(words(client.get(f"/machines/{priced.pk}/")))
    for wanted in ("00417", "fleet 7"):
        assert [line.machine.pk for line in client.get("/", {"text": wanted}).context["lines"]] == [priced.pk]
    assert client.get("/", {"text": "00418"}).context["lines"] == []
    for name in ("buyer.pdf", "workshop.pdf", "colleague.pdf"):
        answer = client.get(f"/machines/{priced.pk}/papers/{priced.judgement_id}/{name}")
        page = PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
        assert "serial number INV-00417" in " ".join(page.split()), name
    assert "INV-00417" in client.get("/machines.csv").content.decode("utf-8-sig")
    known = json.loads(client.get(f"/machines/{priced.pk}/machine.json").content)["machine"]
    assert {key: str(known[key]) for key in WHICH} == WHICH


def test_a_new_short_name_goes_into_its_file_and_is_undone(client, machine, bring, dossier):
    other = bring(replace(dossier, machine=replace(dossier.machine, machine_id="T2")), judged=False)
    taken = client.post(f"/machines/{machine.pk}/about/", about(machine, short_name="T2"))
    assert taken.status_code == 400
    assert "one no other machine has" in taken.context["form"].errors["short_name"][0]
    page = client.post(f"/machines/{machine.pk}/about/", about(machine, short_name="EX-7", **WHICH), follow=True)
    assert client.get(f"/machines/{machine.pk}/machine.json").json()["machine"]["short_name"] == "EX-7"
    now = Machine.objects.get(pk=machine.pk)
    assert json.loads(now.file_text)["machine"]["short_name"] == "EX-7"
    undo = re.search(r"/undo/[0-9a-f-]+/", page.content.decode())[0]
    client.post(undo)
    now.refresh_from_db()
    assert (now.short_name, now.serial_number, now.year_built) == ("T1", "", None)
    assert json.loads(now.file_text)["machine"]["short_name"] == "T1"
    assert other.pk != machine.pk


@pytest.mark.parametrize("year", ["14", "1805", "next", "2040"])
def test_a_year_that_cannot_be_is_refused_at_its_field(client, machine, year):
    answer = client.post(f"/machines/{machine.pk}/about/", about(machine, year_built=year))
    assert answer.status_code == 400
    assert list(answer.context["form"].errors) == ["year_built"]
    assert "a year from 1900 to" in answer.content.decode()


def test_old_version_is_refused_and_both_writings_are_kept(client, machine):
    client.post(f"/machines/{machine.pk}/about/", about(machine, place="North yard"))
    answer = client.post(f"/machines/{machine.pk}/about/", about(machine, place="South yard"))
    assert answer.status_code == 409
    text = answer.content.decode()
    assert "North yard" in text
    assert 'value="South yard"' in text
    assert Machine.objects.get(pk=machine.pk).place == "North yard"


def test_saving_the_same_twice_is_harmless(client, machine):
    form = about(machine, place="North yard")
    for _ in range(2):
        assert client.post(f"/machines/{machine.pk}/about/", form).status_code == 302
    assert Change.objects.filter(machine_id=machine.pk, what="site").count() == 1


def file_form(machine, change, why="better manual"):
    whole = json.loads(machine.file_text)
    whole.pop("walk_rounds")
    change(whole)
    return {"seen_version": machine.version, "text": json.dumps(whole, indent=2), "why": why}


def test_machine_file_is_changed_with_a_reason_and_judged_anew(client, machine):
    def lower(whole):
        next(one for one in whole["limits"] if one["measurand"] == "rail_height")["limit"] = "106 mm"

    before = machine.judgement_id
    assert client.post(f"/machines/{machine.pk}/file/", file_form(machine, lower)).status_code == 302
    client.get(f"/machines/{machine.pk}/")
    machine.refresh_from_db()
    assert machine.judgement_id != before
    assert Change.objects.get(machine_id=machine.pk, what="machine file").why == "better manual"


@pytest.mark.parametrize(
    "change",
    [
        lambda whole: whole.pop("running_gear"),
        lambda whole: whole["running_gear"].update(bottom_rollers_per_side=2),
        lambda whole: whole.update(surprise=1),
        lambda whole: whole["machine"].update(id="another"),
        lambda whole: whole["machine"].update(name="x" * 201),
        lambda whole: whole.update(walk_rounds=[{"date": "2026-01-01", "meter_h": 5}]),
    ],
)
def test_machine_file_that_cannot_be_is_refused_and_stays_typed(client, machine, change):
    """Two rollers would leave readings of rollers 3 to 5 without a place."""
    form = file_form(machine, change)
    answer = client.post(f"/machines/{machine.pk}/file/", form)
    assert answer.status_code == 400
    assert answer.context["text"] == form["text"]
    assert Machine.objects.get(pk=machine.pk).version == machine.version


def test_old_version_of_the_file_is_refused_with_both_shown(client, machine):
    first = file_form(machine, lambda whole: whole["machine"].update(note="invented, first"))
    second = file_form(machine, lambda whole: whole["machine"].update(note="invented, second"))
    client.post(f"/machines/{machine.pk}/file/", first)
    answer = client.post(f"/machines/{machine.pk}/file/", second)
    assert answer.status_code == 409
    text = answer.content.decode()
    assert "invented, first" in text
    assert "invented, second" in text


def test_limits_page_keeps_what_else_a_limit_holds(client, machine):
    whole = json.loads(machine.file_text)
    entry = next(one for one in whole["limits"] if one["measurand"] == "bush_od_forward")
    entry["turn_at"] = 0.6
    whole.pop("walk_rounds")
    form = {"seen_version": machine.version, "text": json.dumps(whole), "why": "x"}
    client.post(f"/machines/{machine.pk}/file/", form)
    machine.refresh_from_db()
    typed = {
        "seen_version": machine.version,
        "bush:bush_od_forward~new": "60 mm",
        "bush:bush_od_forward~limit": "53 mm",
    }
    assert client.post(f"/machines/{machine.pk}/limits/", typed).status_code == 302
    machine.refresh_from_db()
    (kept,) = json.loads(machine.file_text)["limits"]
    assert (kept["limit"], kept["turn_at"]) == ("53 mm", 0.6)


def test_limit_on_the_wrong_side_is_refused(client, machine, words):
    typed = {
        "seen_version": machine.version,
        "bush:bush_od_forward~new": "54 mm",
        "bush:bush_od_forward~limit": "60 mm",
    }
    answer = client.post(f"/machines/{machine.pk}/limits/", typed)
    assert answer.status_code == 400
    assert "below the new size" in words(answer)


GEAR = {
    "track": "steel", "joints_per_side": 45, "pitch": "200 mm", "shoe_width": "600 mm", "sprocket_teeth": 23,
    "sprocket_gaps": "every_second", "bottom_rollers_per_side": 5, "upper_rollers_per_side": 1, "layout": "level",
    "shoe_class": "standard",
}  # fmt: skip


def test_running_gear_is_entered_by_counting(client, actor):
    machine = Machine.objects.create(business=actor.business, short_name="m", name="M", kind="excavator")
    answer = client.post(f"/machines/{machine.pk}/gear/", GEAR | {"seen_version": 1})
    assert answer["Location"] == f"/machines/{machine.pk}/limits/"
    assert client.get(answer["Location"]).status_code == 200
    page = client.get(f"/machines/{machine.pk}/").content.decode()
    assert "Begin a walk-round" in page
    assert "new sizes and wear limits" in page.lower()


def test_usual_week_alone_is_widened_by_a_quarter(client, actor):
    machine = Machine.objects.create(business=actor.business, short_name="m", name="M", kind="excavator")
    client.post(f"/machines/{machine.pk}/gear/", GEAR | {"seen_version": 1, "week_usual": "20"})
    week = json.loads(Machine.objects.get(pk=machine.pk).file_text)["hours"]["per_week"]
    assert (week["low"], week["usual"], week["high"]) == (15, 20, 25)


@pytest.mark.parametrize(
    "wrong",
    [
        {"pitch": "200 furlongs"},
        {"joints_per_side": 3},
        {"week_low": "30"},
        {"week_low": "30", "week_usual": "20", "week_high": "40"},
        {"pitch": "5 m"},
        {"pitch": ""},
        {"pitch": "", "pitch_over": "far"},
        {"pitch": "", "pitch_over": "812 mm", "pitch_joints": "1"},
        {"shoe_width": "9 m"},
    ],
)
def test_running_gear_that_cannot_be_is_refused(client, actor, wrong):
    machine = Machine.objects.create(business=actor.business, short_name="m", name="M", kind="excavator")
    answer = client.post(f"/machines/{machine.pk}/gear/", GEAR | {"seen_version": 1} | wrong)
    assert answer.status_code == 400
    assert Machine.objects.get(pk=machine.pk).file_text == ""


@pytest.fixture
def bare(actor):
    """A machine without running gear."""
    return Machine.objects.create(business=actor.business, short_name="m", name="M", kind="excavator")


def test_new_pitch_typed_once_stands_among_the_limits(client, bare, words):
    client.post(f"/machines/{bare.pk}/gear/", GEAR | {"seen_version": 1, "pitch": "203 mm"})
    assert (
        'name="chain:pitch~new"\nvalue="203 mm" maxlength="200"'
        in client.get(f"/machines/{bare.pk}/limits/").content.decode()
    )


def test_unknown_pitch_is_measured_and_says_so_until_the_new_one_is_entered(client, bare, begin, save, words):
    """812 mm over four joints is 203 mm a joint."""
    measured = {"seen_version": 1, "pitch": "", "pitch_over": "812", "pitch_joints": "4"}
    assert client.post(f"/machines/{bare.pk}/gear/", GEAR | measured).status_code == 302
    gear = known_dossier(Machine.objects.get()).gear
    assert (gear.pitch_m, gear.pitch_measured) == (0.203, True)
    assert (
        'name="chain:pitch~new"\nvalue="" maxlength="200"'
        in client.get(f"/machines/{bare.pk}/limits/").content.decode()
    )
    save(begin(bare), fields={"chain/left:pitch~1": "815", "chain/left:pitch~joints": "4"})
    assert ReadingRow.objects.get().value_m == pytest.approx(0.20375)
    limits = {"chain:pitch~new": "200 mm", "chain:pitch~limit": "206 mm", "seen_version": 2, "why": "the book"}
    assert client.post(f"/machines/{bare.pk}/limits/", limits).status_code == 302
    gear = known_dossier(Machine.objects.get()).gear
    assert (gear.pitch_m, gear.pitch_measured) == (0.2, False)


def test_chain_type_and_share_travelling_go_into_the_machines_file(client, bare):
    more = {"seen_version": 1, "chain_type": "sealed_and_oiled", "travelling": "12.5 %"}
    assert client.post(f"/machines/{bare.pk}/gear/", GEAR | more).status_code == 302
    dossier = known_dossier(Machine.objects.get())
    assert (dossier.gear.chain_type, dossier.travel_share) == ("sealed_and_oiled", 0.125)


def test_nobody_said_chain_type_or_share_travelling(client, bare):
    client.post(f"/machines/{bare.pk}/gear/", GEAR | {"seen_version": 1})
    dossier = known_dossier(Machine.objects.get())
    assert (dossier.gear.chain_type, dossier.travel_share) == (None, None)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"track": "rubber", "chain_type": "dry"}, "A rubber track has no joints"),
        ({"travelling": "140"}, "0 to 100 %"),
        ({"travelling": "often"}, "often"),
    ],
)
def test_chain_type_or_share_that_cannot_be_is_refused_beside_its_field(client, bare, words, wrong, said):
    answer = client.post(f"/machines/{bare.pk}/gear/", GEAR | {"seen_version": 1} | wrong)
    assert answer.status_code == 400
    assert said in words(answer)


def test_nobody_has_counted_bolts_until_somebody_has(client, bare):
    """What was not entered is not in the file, typed there or shown for changing."""
    client.post(f"/machines/{bare.pk}/gear/", GEAR | {"seen_version": 1})
    for text in (Machine.objects.get().file_text, client.get(f"/machines/{bare.pk}/file/").content.decode()):
        assert "joints_per_side" in text
        assert not [
            word for word in ("bolts_per", "grousers_per", "pads_per", "sprocket_segments") if word in text
        ]


@pytest.mark.parametrize(("kind", "ticked"), [("excavator", True), ("dozer", False), ("paver", False)])
def test_excavators_have_a_slew_ring_unless_somebody_says_otherwise(client, bare, kind, ticked):
    Machine.objects.update(kind=kind)
    page = client.get(f"/machines/{bare.pk}/gear/").content.decode()
    box = re.search(r'<input type="checkbox" name="slew_ring"[^>]*>', page)[0]
    assert ("checked" in box) is ticked
    client.post(f"/machines/{bare.pk}/gear/", GEAR | {"seen_version": 1})
    assert not known_dossier(Machine.objects.get()).gear.slew_ring


def test_correcting_a_reading_needs_a_reason_and_loses_nothing(client, machine, save):
    row = ReadingRow.objects.filter(sheet__machine=machine, part="link", side="left").last()
    key = "link/left:rail_height"
    wrong = {f"{key}~1": "107.1", f"{key}~v": str(row.version)}
    assert save(row.sheet_id, fields=wrong).status_code == 400
    row.refresh_from_db()
    before, judgement = row.value_m, machine.judgement_id
    assert save(row.sheet_id, fields=wrong, why="misread the gauge").status_code == 200
    row.refresh_from_db()
    machine.refresh_from_db()
    assert row.value_m == pytest.approx(0.1071)
    assert row.value_m != before
    assert machine.judgement_id != judgement
    change = Change.objects.filter(machine_id=machine.pk, what__startswith="link rail height").get()
    assert (change.after, change.why) == ("107.1", "misread the gauge")
    assert change.before


def test_correction_that_cannot_be_read_is_refused_on_a_finished_sheet(client, machine, save):
    row = ReadingRow.objects.filter(sheet__machine=machine, part="link", side="left").last()
    key = "link/left:rail_height"
    answer = save(row.sheet_id, fields={f"{key}~1": "a lot", f"{key}~v": str(row.version)}, why="x")
    assert answer.status_code == 400
    before = row.value_m
    row.refresh_from_db()
    assert row.value_m == before


def test_filled_sheet_from_a_file_twice_is_one_walk_round(client, machine, dossier, walk_round, tmp_path):
    third = walk_round("2026-11-02", 3600.0, 0.45)
    write_sheet(dossier, tmp_path / "sheet.csv", third)
    for _ in range(2):
        file = SimpleUploadedFile("sheet.csv", (tmp_path / "sheet.csv").read_bytes())
        assert client.post(f"/machines/{machine.pk}/sheets/", {"files": file}).status_code == 302
        client.get(f"/machines/{machine.pk}/")
    machine.refresh_from_db()
    assert Sheet.objects.filter(machine=machine).count() == 3
    assert str(machine.last_walk_on) == "2026-11-02"
    assert verdict_of(machine.judgement).walk_rounds[-1].service_h == 3600.0


def test_queries_of_the_page_do_not_grow_with_the_yard(client, bring, machine, dossier):
    from dataclasses import replace

    from django.db import connection

    address = f"/machines/{machine.pk}/"
    client.get(address)
    with CaptureQueriesContext(connection) as alone:
        client.get(address)
    for number in range(20):
        bring(replace(dossier, machine=replace(dossier.machine, machine_id=f"N{number}")), judged=False)
    with CaptureQueriesContext(connection) as among_many:
        client.get(address)
    assert (
        len(among_many) == len(alone) <= 10
    )  # the depots it may stand at are one of them, hours to look at another


def test_machine_page_is_lighter_than_300_kb(client, machine):
    """The issue's own bound, for the page and all it loads, before any compression."""
    from pathlib import Path

    import pitchline.desk

    static = Path(pitchline.desk.__file__).parent / "static" / "desk"
    text = client.get(f"/machines/{machine.pk}/").content
    loaded = re.findall(r"/static/desk/([^\"]+)", text.decode())
    fonts = [path.stat().st_size for path in static.glob("*.woff2")]
    assert len(text) + sum(fonts) + sum((static / name).stat().st_size for name in loaded) < 300_000


def test_trail_page_tells_every_change(client, machine, words):
    client.post(f"/machines/{machine.pk}/about/", about(machine, place="North yard"))
    text = words(client.get(f"/machines/{machine.pk}/changes/"))
    assert "North yard" in text
    assert "Machine brought in" in text


def test_trail_tells_a_changed_machine_file_by_its_lines_alone(client, machine, words):
    whole = json.loads(machine.file_text)
    whole.pop("walk_rounds", None)
    whole["machine"]["note"] = "Bought in spring"
    text = json.dumps(whole, indent=2, ensure_ascii=False) + "\n"
    seen = {"seen_version": machine.version, "text": text, "why": "from the papers"}
    assert client.post(f"/machines/{machine.pk}/file/", seen).status_code == 302
    page = client.get(f"/machines/{machine.pk}/changes/")
    (told,) = [one for _, day in page.context["days"] for one in day if one.change.what == "machine file"]
    assert ("to", '    "note": "Bought in spring"') in [(side, line.rstrip(",")) for side, line in told.lines]
    assert len(told.lines) < 10
    assert "from the papers" in words(page)


def test_trail_comes_in_pages_by_day(client, machine):
    Change.objects.bulk_create(
        Change(business=machine.business, machine_id=machine.pk, who="x", what=f"change {n}") for n in range(250)
    )
    page = client.get(f"/machines/{machine.pk}/changes/?page=3")
    assert sum(len(day) for _, day in page.context["days"]) == 51


def test_asking_price_is_entered_with_the_machines_own_details(client, machine):
    assert (
        client.post(f"/machines/{machine.pk}/about/", about(machine, asking_price="EUR 48 000")).status_code == 302
    )
    now = Machine.objects.get(pk=machine.pk)
    assert (now.asking_price, now.to_judge) == (AskingPrice(48_000.0, "EUR"), True)
    assert 'value="EUR 48000"' in client.get(f"/machines/{machine.pk}/about/").content.decode()
    assert json.loads(client.get(f"/machines/{machine.pk}/machine.json").content)["asking_price"] == {
        "amount": 48000,
        "currency": "EUR",
    }
    client.post(f"/machines/{machine.pk}/about/", about(now))
    assert Machine.objects.get(pk=machine.pk).asking_price is None


def test_asking_price_is_refused_beside_its_field(client, machine):
    answer = client.post(f"/machines/{machine.pk}/about/", about(machine, asking_price="48000"))
    assert answer.status_code == 400
    assert "No price list is entered to take it from" in answer.content.decode()


def test_asking_price_goes_in_and_out_with_the_file_that_is_looked_at_whole(client, machine, dossier):
    def change(now, text):
        post = {"seen_version": now.version, "text": text, "why": "so"}
        assert client.post(f"/machines/{machine.pk}/file/", post).status_code == 302
        return Machine.objects.get(pk=machine.pk)

    bare = replace(dossier, walk_rounds=())
    asked = change(machine, machine_json(replace(bare, asking=AskingPrice(9_000.0, "EUR"))))
    assert asked.asking_price == AskingPrice(9_000.0, "EUR")
    assert change(asked, machine_json(bare)).asking_price is None


def test_changing_a_part_of_the_file_leaves_name_and_asking_price_alone(actor, client, machine, dossier):
    """The text as it came in knows nothing of what was changed beside it."""
    client.post(f"/machines/{machine.pk}/about/", about(machine, name="Renamed", asking_price="EUR 9000"))
    now = Machine.objects.get(pk=machine.pk)
    text = json.dumps(json.loads(machine_json(replace(dossier, walk_rounds=()))) | {"kind_lives": []})
    change_file(actor, machine_id=machine.pk, seen_version=now.version, text=text, why="so")
    after = Machine.objects.get(pk=machine.pk)
    assert (after.name, after.asking_price) == ("Renamed", AskingPrice(9_000.0, "EUR"))


def test_a_machine_file_brings_its_asking_price(bring, dossier):
    assert bring(replace(dossier, asking=AskingPrice(9_000.0, "EUR"))).asking_price == AskingPrice(9_000.0, "EUR")
