"""Ground fit of one machine: asked by address, for the owner alone, every wrong input named, nothing written."""

import re
from dataclasses import replace
from html import unescape

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from pitchline.desk.groundfit.queries import MOST_LISTED
from pitchline.desk.groundfit.question import SOILS, asked_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.trail.models import Change
from pitchline.ground.describe import BootTest, ThumbTest, ground_named
from pitchline.ground.shoes import ShoeKind
from pitchline.trade.ground import NamedGround


@pytest.fixture
def unjudged(bring, dossier):
    """The invented excavator, not judged: ground fit asks the machine's file alone."""
    return bring(dossier, judged=False)


@pytest.fixture
def wide(bring, dossier):
    """Its twin on wide shoes."""
    twin = replace(
        dossier,
        machine=replace(dossier.machine, machine_id="wide", name="Wide one, 21 t"),
        gear=replace(dossier.gear, shoe_width_m=0.9),
    )
    return bring(twin, judged=False)


@pytest.fixture
def ask(client, words):
    def make(machine, status=200, **asked):
        answer = client.get(f"/machines/{machine.pk}/ground/", asked)
        assert answer.status_code == status
        return unescape(words(answer))

    return make


def test_without_a_question_the_machine_file_answers(ask, unjudged):
    text = ask(unjudged)
    assert "The machine file says only how hard its ground wears" in text
    assert "not a permit to work" in text
    assert "Its grounds are not named." in text


def test_grounds_of_the_machine_file_are_taken(ask, bring, dossier):
    named = bring(replace(dossier, ground_mix=(NamedGround("peat", 100),)), judged=False)
    text = ask(named)
    assert "The machine file names the grounds it goes to" in text
    assert "Peat , 100 % of its hours" in text


def test_asked_ground_is_answered_with_every_figure_and_what_it_rests_on(ask, unjudged):
    text = ask(unjudged, soil="heavy clay", moisture="wet", vane="30", slope="8", load="2000", reach="6")
    assert "Looked at with 2,000 kg at 6 m, on 8 degrees" in text
    assert "measured: shear strength" in text
    assert "listed: mass, shoe width" in text
    assert "assumed: contact length" in text
    assert "(hand vane 30 kPa)" in text


def test_pictures_are_drawn_for_desk_and_phone(client, unjudged):
    text = client.get(f"/machines/{unjudged.pk}/ground/", {"soil": "wet heavy clay"}).content.decode()
    for prefix in ("going", "slew", "slip", "slope"):
        assert f'id="{prefix}-title"' in text
        assert f'id="{prefix}small-title"' in text
    assert "<style" not in text


@pytest.mark.parametrize("gauge", ["track_gauge", "track_centres"])  # the second as it was called before
def test_known_sizes_narrow_the_range_and_say_so(ask, unjudged, gauge):
    asked = {"soil": "wet heavy clay", "contact_length": "3,6", gauge: "2.4"}
    assert "contact length 3.600 m (entered)" in ask(unjudged, **asked)
    rests = ask(unjudged, **asked, measured="1")
    assert re.search(r"Measured contact length 3\.600 m \(entered\) track gauge 2\.400 m", rests)


def test_shoes_on_offer_are_compared(ask, unjudged):
    text = ask(unjudged, soil="peat", shoes="500, 700;900", kind="flat")
    for said in ("500 mm, flat", "700 mm, flat", "900 mm, flat", "fitted now"):
        assert said in text


def test_mix_over_a_year_takes_the_rest_for_what_is_left_empty(ask, unjudged):
    text = ask(unjudged, soil="peat", share="40", soil2="gravel", soil3="hard rock", share3="20")
    assert "Peat , 40 % of its hours" in text
    assert "Gravel , 40 % of its hours" in text
    assert "Hard rock , 20 % of its hours" in text


def test_another_machine_is_set_beside_it_in_words(ask, unjudged, wide):
    text = ask(unjudged, soil="peat", soil2="hard rock", beside=str(wide.pk))
    assert "Beside Wide one, 21 t" in text
    assert "Wide one rather on peat" in text
    assert "kPa on 600 mm shoes against" in text


WRONG = [
    ({"soil": "mud"}, "Ground 1", "mud"),
    ({"soil": "peat", "share": "lots"}, "Share of ground 1", "lots"),
    ({"soil": "peat", "share": "60", "soil2": "gravel", "share2": "60"}, "Shares of the year", "120 %"),
    ({"soil": "peat", "share": "100", "soil2": "gravel"}, "Shares of the year", "100 % and one more"),
    ({"soil": "peat", "soil2": "peat"}, "Grounds", "peat twice"),
    ({"soil": "peat", "moisture": "soaked"}, "Moisture", "soaked"),
    ({"thumb": "hurts"}, "Thumb test", "hurts"),
    ({"boot": "wet"}, "Boot test", "wet"),
    ({"vane": "0"}, "Hand vane", "0"),
    ({"vane": "nan"}, "Hand vane", "nan"),
    ({"cone": "301"}, "Cone index", "301"),
    ({"remould": "0.8"}, "Remould index", "0.8"),
    ({"soil": "peat", "soil2": "gravel", "vane": "30"}, "Grounds with a test", "peat, gravel"),
    ({"soil": "gravel", "thumb": "dents"}, "thumb or boot test", "gravel"),
    ({"slope": "60"}, "Slope", "60"),
    ({"load": "2000"}, "Reach", "nothing"),
    ({"load": "-1", "reach": "5"}, "Load", "-1"),
    ({"shoes": "500,wide"}, "Shoe width", "wide"),
    ({"shoes": ",".join(["500"] * 9)}, "Shoe widths", "9 widths"),
    ({"kind": "round"}, "Kind of shoe", "round"),
    ({"power": "1e9"}, "Engine power", "1e9"),
    ({"mass": "14 m"}, "Operating mass", "14 m"),
    ({"slope": "20 %"}, "Slope", "20 %"),
    ({"contact_length": "inf"}, "Contact length", "inf"),
    ({"beside": "nobody"}, "Machine beside it", "nobody"),
    ({"beside": "00000000-0000-4000-8000-000000000000"}, "Machine beside it", "00000000"),
]


@pytest.mark.parametrize(("asked", "field", "seen"), WRONG)
def test_what_cannot_be_is_named_with_value_allowed_and_next_step(ask, unjudged, asked, field, seen):
    text = ask(unjudged, status=400, **asked)
    told = "nothing is entered" if seen == "nothing" else f"“{re.escape(seen)}[^”]*”"
    assert re.search(rf"{re.escape(field)}: {told}\. Allowed: \S+", text), text[:1500]
    assert "to put right" in text


@pytest.mark.parametrize(
    ("field", "typed", "size", "si"),
    [
        ("mass", "14 t", "mass_kg", 14_000),
        ("mass", "14,300 kg", "mass_kg", 14_300),
        ("mass", "30000 lb", "mass_kg", 13_607.7711),
        ("contact_length", "12 ft", "level_length_m", 3.6576),
        ("clearance", "440 mm", "clearance_m", 0.44),
        ("power", "100 hp", "power_w", 74_569.99),
    ],
)
def test_a_figure_may_have_its_unit_behind_it(field, typed, size, si):
    """Factors of NIST SP 811, appendix B: lb 0.45359237 kg, ft 0.3048 m, hp (550 ft lbf/s) 745.6999 W."""
    asked = asked_of({field: typed}, ShoeKind.FLAT, "point")
    assert asked.problems == []
    assert asked.sizes[size] == pytest.approx(si, rel=1e-6)


def test_shoe_widths_and_a_slope_take_units_too_and_a_refusal_names_them(ask, unjudged):
    asked = asked_of({"shoes": "600 mm, 24 in", "slope": "12°"}, ShoeKind.FLAT, "point")
    assert (asked.problems, asked.task.slope_deg) == ([], 12.0)
    assert [one.width_m for one in asked.offers] == pytest.approx([0.6, 0.6096])
    assert "or with one of the units kg, t, lb" in ask(unjudged, status=400, mass="14 m")


def test_text_stays_as_typed_and_is_escaped(client, unjudged):
    odd = '<b>"9'
    answer = client.get(f"/machines/{unjudged.pk}/ground/", {"vane": odd, "shoes": odd})
    text = answer.content.decode()
    assert answer.status_code == 400
    assert odd not in text
    assert 'value="&lt;b&gt;&quot;9"' in text


def test_every_problem_is_told_at_once(ask, unjudged):
    text = ask(unjudged, status=400, soil="mud", vane="x", load="5")
    assert "3 things to put right" in text


def test_machine_without_running_gear_says_what_to_enter(client, actor, words):
    bare = Machine.objects.create(business=actor.business, short_name="b", name="Bare", kind="dozer")
    text = words(client.get(f"/machines/{bare.pk}/ground/"))
    assert "Its running gear is not entered yet" in text


def test_missing_mass_is_asked_for_where_the_answer_stands(client, ask, bring, dossier):
    light = bring(replace(dossier, machine=replace(dossier.machine, mass_kg=None)), judged=False)
    link = f'href="/machines/{light.pk}/all/mass/?next='
    assert link in client.get(f"/machines/{light.pk}/ground/").content.decode()
    assert link not in client.get(f"/machines/{light.pk}/ground/", {"mass": "20000"}).content.decode()
    assert "a number from 200 to 1,000,000 kg" in ask(light, 400, mass="14 m")


def test_machine_without_a_mass_is_asked_for_it_in_place_of_a_table_of_unknowns(ask, bring, dossier):
    light = bring(replace(dossier, machine=replace(dossier.machine, mass_kg=None)), judged=False)
    text = ask(light, soil="stiff clay")
    assert "Its operating mass is not entered, and without it nobody can say." in text
    assert "nknown on stiff clay" not in text
    assert "nobody knows" not in text
    assert "Suits on stiff clay." in ask(light, soil="stiff clay", mass="21000")


def test_shoes_whose_bars_nobody_entered_are_said_to_be_taken_as_flat(ask, bring, dossier):
    bare = bring(replace(dossier, gear=replace(dossier.gear, grousers_per_shoe=0)), judged=False)
    said = "so they are taken as flat"
    assert said in ask(bare, soil="stiff clay")
    assert said not in ask(bare, soil="stiff clay", kind="one_grouser")


def test_owner_may_and_a_stranger_finds_nothing(owner, owner_client, stranger_client, bring, dossier):
    theirs = bring(dossier, judged=False, who=owner)
    assert stranger_client.get(f"/machines/{theirs.pk}/ground/").status_code == 404
    assert owner_client.get(f"/machines/{theirs.pk}/ground/").status_code == 200


def test_machine_of_another_business_is_not_compared_with(owner, stranger_client, actor, bring, dossier, words):
    from pitchline.desk.people.models import Member
    from pitchline.desk.people.who import Actor

    theirs = bring(replace(dossier, machine=replace(dossier.machine, name="Secret one")), judged=False, who=owner)
    stranger = Actor(Member.objects.get(user__username="stranger").business, "stranger")
    own = bring(dossier, judged=False, who=stranger)
    answer = stranger_client.get(f"/machines/{own.pk}/ground/", {"beside": str(theirs.pk)})
    assert answer.status_code == 400
    assert "Secret one" not in words(answer)


def test_nothing_is_written(client, unjudged):
    before = (unjudged.version, Change.objects.count())
    with CaptureQueriesContext(connection) as seen:
        client.get(f"/machines/{unjudged.pk}/ground/", {"soil": "peat"})
    assert not [one["sql"] for one in seen if not one["sql"].lstrip().upper().startswith("SELECT")]
    unjudged.refresh_from_db()
    assert (unjudged.version, Change.objects.count()) == before
    assert client.post(f"/machines/{unjudged.pk}/ground/").status_code == 405


def test_queries_do_not_grow_with_the_yard_and_the_list_is_bounded(client, actor, unjudged, wide):
    def count():
        with CaptureQueriesContext(connection) as seen:
            answer = client.get(f"/machines/{unjudged.pk}/ground/", {"soil": "peat", "beside": str(wide.pk)})
        assert answer.status_code == 200
        return len(seen), answer

    few, _ = count()
    many = [
        Machine(business=actor.business, short_name=f"m{n}", name=f"M {n}", kind="dozer", file_text=wide.file_text)
        for n in range(MOST_LISTED + 20)
    ]
    Machine.objects.bulk_create(many)
    most, answer = count()
    assert few == most <= 6
    assert len(answer.context["others"]) == MOST_LISTED


@pytest.mark.parametrize("name", SOILS)
def test_every_ground_on_offer_is_known(name):
    assert ground_named(name)


def test_every_test_on_offer_is_read():
    for name, tests in (("thumb", ThumbTest), ("boot", BootTest)):
        for one in tests:
            asked = asked_of({"soil": "heavy clay", name: one.value}, ShoeKind.FLAT, "point")
            assert asked.problems == []
            assert asked.mix[0].ground.told
