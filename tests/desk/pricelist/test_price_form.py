"""The price list in a form: one class of machine at a time, what moves, versions, in and out. Every price is invented."""

import html
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.gearbook.actions import Written, change_entry
from pitchline.desk.gearbook.models import BookEntry
from pitchline.desk.gearbook.queries import gear_names
from pitchline.desk.machine.judging import judge_waiting
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.pricelist.classes import class_in, classes_on, key_of
from pitchline.desk.pricelist.forms import PricesForm
from pitchline.desk.prices import content_of, enter_prices, newest_prices, prices_of
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable
from pitchline.money.machine_class import EVERY, MachineClass
from pitchline.money.owning import Owning
from pitchline.money.prices import ClassFigure, ClassOwning
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import MachineKind
from pitchline.trade.parts import PartKind

ROLLER = (JobKind.REPLACE, PartKind.BOTTOM_ROLLER)
MIDDLE = MachineClass(mass_from_kg=12e3, mass_under_kg=28e3)
FIELD = re.compile(
    r'<(input|textarea)\b[^>]*\bname="([^"]+)"[^>]*>|<select\b[^>]*\bname="([^"]+)".*?</select>', re.S
)


@pytest.fixture
def form(client):
    """A factory of the form's fields as a browser would send them: as they stand, with what is typed in their place."""

    def make(address="/prices/"):
        text = client.get(address).content.decode()
        inside = text[text.index('id="price-form"') : text.index("Look at what moves")]
        sent = {}
        for found in FIELD.finditer(inside):
            whole, name = found[0], found[2] or found[3]
            chosen = re.search(r'<option value="([^"]*)" selected', whole) if found[3] else None
            value = re.search(r'\bvalue="([^"]*)"', whole) if not found[3] else chosen
            sent[name] = html.unescape(value[1]) if value else ""
        return sent | {"save": "1"}

    return make


def in_force(actor):
    return prices_of(newest_prices(actor.business))


def test_one_price_is_changed_and_nothing_else(client, actor, priced_yard, form, prices):
    sent = form() | {"usual-replace-bottom_roller": "190", "why": "spring list"}
    assert client.post("/prices/", sent).status_code == 302
    after = in_force(actor)
    changed = [line for line in after.lines if line not in prices.lines]
    assert [(line.job, line.part, line.price_usual) for line in changed] == [(*ROLLER, 190.0)]
    assert (after.labour_per_h, after.source, after.stop, after.tax_rate) == (50.0, "invented", None, None)
    assert Change.objects.filter(what__startswith="price: ").values_list("before", "after", "why").get() == (
        "180",
        "190",
        "spring list",
    )


def test_saving_what_stands_changes_nothing(client, actor, priced_yard, form, words):
    answer = client.post("/prices/", form(), follow=True)
    assert "Nothing was changed" in words(answer)
    assert PriceFile.objects.count() == 1


def test_what_moves_is_shown_before_it_is_saved(client, actor, bring, dossier, priced_yard, form, words):
    machine = bring(dossier)
    sent = form() | {"usual-turn-bush": "145", "save": "0"}
    answer = client.post("/prices/", sent)
    text = words(answer)
    assert "What moves when you save" in text
    assert "Turn bushes every machine 120 145 +21 %" in text
    assert PriceFile.objects.count() == 1
    verdict = verdict_of(machine.judgement)
    turned = [job for job in verdict.jobs if job.call.asks and job.kind is JobKind.TURN]
    if turned:
        assert machine.name in text
    assert 'value="145"' in answer.content.decode()


def test_class_of_its_own_is_typed_and_counts_for_its_machines(client, actor, bring, dossier, priced_yard, form):
    """The invented excavator has 21 t."""
    machine = bring(dossier)
    before = machine.judgement.footing
    sent = form("/prices/?which=:12000:28000") | {"usual-turn-bush": "1 000", "lorry": "900"}
    assert sent["which"] == ":12000:28000"
    assert client.post("/prices/", sent).status_code == 302
    listed = in_force(actor)
    line = next(line for line in listed.lines if line.which == MIDDLE)
    assert (line.price_low, line.price_usual, line.price_high) == (1000.0,) * 3
    assert line.labour_h == 10.0  # left empty, so that of every machine
    assert listed.figures == (ClassFigure("lorry", 900.0, MIDDLE),)
    judge_waiting()
    machine.refresh_from_db()
    assert machine.judgement.footing != before
    assert machine.judgement.priced_as == {"kind": "excavator", "mass_kg": 21000.0, "gear": []}


def test_price_of_another_class_moves_nothing_of_a_machine(client, actor, bring, dossier, priced_yard, form):
    machine = bring(dossier)
    sent = form("/prices/?which=:28000:") | {"usual-turn-bush": "1000"}
    assert client.post("/prices/", sent).status_code == 302
    judge_waiting()
    machine.refresh_from_db()
    assert machine.to_judge is False
    assert machine.judgement.prices.digest != newest_prices(actor.business).digest  # the same judgement stands


def test_entry_of_the_gear_list_has_prices_of_its_own(client, actor, bring, dossier, priced_yard, form, words):
    machine = bring(dossier)
    client.post(reverse("to-book", args=[machine.pk]), {"name": "Steel, 45 joints"})
    sent = form("/prices/?which=gear:Steel, 45 joints") | {"usual-turn-bush": "777"}
    assert client.post("/prices/", sent).status_code == 302
    judge_waiting()
    machine.refresh_from_db()
    assert machine.judgement.priced_as["gear"] == ["Steel, 45 joints"]
    assert "Not in the gear list" not in words(client.get("/prices/"))
    sent = form("/prices/?which=gear:Nobody's") | {"usual-turn-bush": "1"}
    client.post("/prices/", sent)
    assert "Not in the gear list, so no machine has these prices: Nobody&#x27;s" in words(client.get("/prices/"))


def test_renamed_entry_keeps_its_prices(client, actor, bring, dossier, priced_yard, form):
    machine = bring(dossier)
    client.post(reverse("to-book", args=[machine.pk]), {"name": "Old name"})
    entry = BookEntry.objects.get()
    change_entry(
        actor, entry_id=entry.pk, seen_version=1, written=Written("New name", "", entry.text), why="renamed"
    )
    assert gear_names(machine) == ("New name", "Old name")


def test_standing_hour_is_reckoned_from_what_is_typed(client, actor, priced_yard, form, words):
    """The worksheet of EP 1110-1-8, figure 2-1, without tyres: half of (1,181,907 x 0.8 / 20,000) = 23.64."""
    sheet = {"price_new": "1197389", "discount": "7.5", "tax": "5.8", "freight": "10082", "salvage": "20"}
    sent = form() | sheet | {"life_h": "20,000", "hours_per_year": "1540"}
    assert client.post("/prices/", sent).status_code == 302
    (one,) = in_force(actor).owning
    assert one == ClassOwning(
        Owning(1_197_389.0, 20_000.0, 1540.0, discount=0.075, tax=0.058, freight=10_082.0, salvage=0.2)
    )
    text = words(client.get("/prices/"))
    assert "Price with all of it EUR 1,181,907" in text
    assert "Standing, an hour 23.64" in text
    assert form()["discount"] == "7.5"


WRONG = [
    ("currency", "euro", "currency"),
    ("labour_per_h", "", "labour_per_h"),
    ("labour_per_h", "much", "labour_per_h"),
    ("tax_rate", "119", "tax_rate"),
    ("lorry", "-3", "lorry"),
    ("busy_months", "May", "busy_months"),
    ("busy_months", "4-10", "busy_standing_per_h"),
    ("busy_standing_per_h", "70", "busy_months"),
    ("usual-turn-bush", "", "usual-turn-bush"),
    ("usual-turn-bush", "90", "low-turn-bush"),
    ("usual-turn-bush", "190", "high-turn-bush"),
    ("hours-turn-bush", "long", "hours-turn-bush"),
    ("usual-more", "5", "more-job"),
]


@pytest.mark.parametrize(("name", "typed", "at"), WRONG)
def test_each_wrong_figure_says_so_at_its_field_and_saves_nothing(client, priced_yard, form, name, typed, at):
    answer = client.post("/prices/", form() | {name: typed})
    assert answer.status_code == 400
    shown = answer.context["form"]
    assert list(shown.errors) == [at]
    assert shown.errors[at][0].endswith(".")
    text = answer.content.decode()
    field = text.index(f'name="{at}"')
    assert '<p class="wrong-said" role="alert">' in text[field : field + 2500]
    assert PriceFile.objects.count() == 1


def test_owning_cost_half_typed_says_what_is_missing(client, priced_yard, form):
    answer = client.post("/prices/", form() | {"price_new": "100000"})
    assert set(answer.context["form"].errors) == {"life_h", "hours_per_year"}


def test_standing_typed_and_reckoned_is_refused_at_the_field(client, priced_yard, form):
    sent = form() | {"standing_per_h": "35", "price_new": "9", "life_h": "9", "hours_per_year": "9"}
    assert list(client.post("/prices/", sent).context["form"].errors) == ["standing_per_h"]


def test_another_job_gets_a_line_and_one_that_has_one_is_pointed_to(client, actor, priced_yard, form):
    sent = form() | {"more-job": "reshell", "more-part": "idler", "usual-more": "300", "hours-more": "6"}
    assert client.post("/prices/", sent).status_code == 302
    assert in_force(actor).line_for(JobKind.RESHELL, PartKind.IDLER).price_usual == 300.0
    assert form()["usual-reshell-idler"] == "300"
    sent = form() | {"more-job": "turn", "more-part": "bush", "usual-more": "300"}
    assert list(client.post("/prices/", sent).context["form"].errors) == ["more-job"]


def test_whoever_was_second_keeps_what_they_typed(client, actor, priced_yard, form, words):
    mine, theirs = form(), form()
    client.post("/prices/", theirs | {"usual-turn-bush": "125"})
    answer = client.post("/prices/", mine | {"usual-turn-bush": "130"})
    assert answer.status_code == 409
    assert "Somebody else changed the prices meanwhile" in words(answer)
    assert 'value="130"' in answer.content.decode()
    assert in_force(actor).line_for(JobKind.TURN, PartKind.BUSH).price_usual == 125.0


def test_undone_the_list_before_is_in_force_again(client, actor, bring, dossier, priced_yard, form):
    machine = bring(dossier)
    judged = machine.judgement_id
    client.post("/prices/", form() | {"usual-turn-bush": "125"})
    judge_waiting()
    assert client.post(f"/undo/{Undoable.objects.latest('at').pk}/", follow=True).status_code == 200
    assert in_force(actor).line_for(JobKind.TURN, PartKind.BUSH).price_usual == 120.0
    judge_waiting()
    machine.refresh_from_db()
    assert machine.judgement_id == judged
    assert PriceFile.objects.exclude(taken_back_at=None).count() == 1


def test_list_that_another_followed_is_not_undone(client, actor, priced_yard, form, words):
    client.post("/prices/", form() | {"usual-turn-bush": "125"})
    first = Undoable.objects.latest("at")
    client.post("/prices/", form() | {"usual-turn-bush": "130"})
    answer = client.post(f"/undo/{first.pk}/", follow=True)
    assert "An earlier list can be used again" in words(answer)
    assert in_force(actor).line_for(JobKind.TURN, PartKind.BUSH).price_usual == 130.0


def test_first_list_is_typed_and_undone_to_none(client, actor, db, form):
    sent = form() | {"currency": "eur", "labour_per_h": "65", "usual-replace-bottom_roller": "260"}
    assert client.post("/prices/", sent).status_code == 302
    assert (in_force(actor).currency, len(in_force(actor).lines)) == ("EUR", 1)
    client.post(f"/undo/{Undoable.objects.get().pk}/")
    assert newest_prices(actor.business) is None


def test_earlier_list_comes_in_force_again_as_a_new_one(client, actor, priced_yard, form, words):
    old = newest_prices(actor.business)
    client.post("/prices/", form() | {"usual-turn-bush": "125"})
    assert "Use list 1 again" in words(client.get("/prices/"))
    client.post(f"/prices/{old.pk}/again/")
    assert in_force(actor).line_for(JobKind.TURN, PartKind.BUSH).price_usual == 120.0
    assert "Price list 3, used" in words(client.get("/prices/"))


def test_class_begins_with_the_prices_of_another(client, priced_yard, form):
    """180 times 165 % is 297, to whole fives 295; 1.5 h times 120 % is 1.8 h."""
    asked = {"family": "", "mass_from": "28", "mass_under": "", "gear": "", "copy": "every"}
    answer = client.get("/prices/class/", asked | {"percent": "165", "labour": "120", "step": "5"})
    assert answer.status_code == 302
    sent = form(answer["Location"])
    assert (sent["which"], sent["usual-replace-bottom_roller"], sent["hours-replace-bottom_roller"]) == (
        ":28000:",
        "295",
        "1.8",
    )


@pytest.mark.parametrize(
    ("asked", "at"),
    [
        ({}, "mass_from"),
        ({"mass_from": "heavy"}, "mass_from"),
        ({"mass_from": "28", "mass_under": "12"}, "mass_under"),
        ({"mass_from": "20"}, "mass_from"),
        ({"mass_from": "28", "percent": "0"}, "percent"),
        ({"mass_from": "28", "labour": "some"}, "labour"),
        ({"family": "tram"}, "family"),
    ],
)
def test_class_that_cannot_be_is_refused_at_its_field(client, priced_yard, form, asked, at):
    client.post("/prices/", form("/prices/?which=:12000:28000") | {"usual-turn-bush": "1000"})
    answer = client.get("/prices/class/", {"family": ""} | asked)
    assert answer.status_code == 400
    assert at in answer.context["form"].errors


def test_all_prices_times_a_percentage(client, actor, priced_yard, words):
    """104 % of 180 is 187.20, of 24 is 24.96; to whole units 187 and 25."""
    shown = words(client.get("/prices/times/", {"percent": "104", "step": "1"}))
    assert "Replace bottom roller every machine 180 187 +4 %" in shown
    assert "Why (may stay empty)" in shown
    assert "(may stay empty) (may stay empty)" not in shown
    sent = {"percent": "104", "labour": "", "step": "1", "list": str(newest_prices(actor.business).pk)}
    assert client.post("/prices/times/", sent).status_code == 302
    assert in_force(actor).line_for(*ROLLER).price_usual == 187.0
    client.post("/prices/times/", sent)  # of a list that is no longer in force
    assert in_force(actor).line_for(*ROLLER).price_usual == 187.0


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_filled_table_goes_out_and_comes_in_unchanged(client, actor, priced_yard, form, ending):
    client.post("/prices/", form("/prices/?which=:12000:28000") | {"usual-turn-bush": "1000", "lorry": "9"})
    listed = in_force(actor)
    file = newest_prices(actor.business)
    content = client.get(f"/prices/{file.pk}/prices.{ending}").content
    client.post("/prices/", form() | {"usual-turn-bush": "125"})
    client.post("/prices/", {"files": SimpleUploadedFile(f"p.{ending}", content)})
    assert in_force(actor) == listed


def test_blank_table_says_every_wrong_row_when_it_comes_in(client, db, words):
    blank = client.get("/prices/blank.csv").content.decode("utf-8-sig")
    filled = blank.replace("currency,", "currency,EUR").replace(
        "replace,idler,each,,,,,", "replace,idler,each,,x,,y,"
    )
    answer = client.post("/prices/", {"files": SimpleUploadedFile("p.csv", filled.encode())})
    assert answer.status_code == 400
    text = words(answer)
    assert "Nothing was changed: 2 rows of the file to put right" in text
    assert "Row 2 labour per hour Labour per hour: nothing is entered. Allowed: a number" in text
    assert re.search(
        r"Row \d+ replace \| idler \| each \| \| x \| \| y Price usual: “x”\..* Labour hours: “y”\.", text
    )


def test_list_of_another_business_is_not_found(stranger_client, owner, prices, tmp_path):
    enter_prices(owner, name="prices.csv", content=content_of(prices))
    file = PriceFile.objects.get()
    assert stranger_client.get(f"/prices/{file.pk}/prices.csv").status_code == 404
    assert stranger_client.post(f"/prices/{file.pk}/again/").status_code == 404


@pytest.mark.parametrize(
    ("numbers", "typed"), [("point", "1,250.5"), ("comma", "1.250,5"), ("space", "1\u202f250,5")]
)
def test_prices_are_typed_as_the_business_writes_numbers(client, actor, priced_yard, form, numbers, typed):
    Business.objects.update(numbers=numbers)
    client.post("/prices/", form() | {"usual-turn-bush": typed, "high-turn-bush": ""})
    assert in_force(actor).line_for(JobKind.TURN, PartKind.BUSH).price_usual == 1250.5
    again = form()
    assert client.post("/prices/", again | {"lorry": "1"}).status_code == 302
    assert in_force(actor).line_for(JobKind.TURN, PartKind.BUSH).price_usual == 1250.5


@pytest.mark.parametrize(
    "which",
    [EVERY, MIDDLE, MachineClass(MachineKind.DOZER), MachineClass(gear="A: b"), MachineClass(mass_under_kg=3.5e3)],
)
def test_class_in_an_address_reads_back(which):
    assert class_in(key_of(which)) == which


@pytest.mark.parametrize("key", ["x", "tram::", ":heavy:", "::", "gear:", ":5:4", "a:b:c:d"])
def test_address_of_no_class_is_refused(client, priced_yard, key):
    if key == "::":
        assert class_in(key) == EVERY
        return
    with pytest.raises(NotAllowedError):
        class_in(key)
    assert client.get("/prices/", {"which": key}).status_code == 400


def test_form_holds_every_figure_of_a_list(prices):
    """What the form begins with makes the same list again."""
    begun = PricesForm(numbers="comma", listed=prices)
    sent = {name: begun.get_initial_for_field(begun.fields[name], name) or "" for name in begun.fields}
    form = PricesForm(sent, numbers="comma", listed=prices)
    assert form.is_valid(), form.errors
    assert set(form.prices.lines) == set(prices.lines)
    assert classes_on(form.prices) == (EVERY,)


def test_machines_are_priced_anew_after_saving(client, actor, bring, dossier, priced_yard, form):
    machine = bring(dossier)
    client.post("/prices/", form() | {"usual-turn-bush": "125"})
    assert Machine.objects.get(pk=machine.pk).judgement_id != machine.judgement_id
