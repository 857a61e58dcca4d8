"""Every form takes numbers the way its pages write them."""

import json
import uuid

import pytest

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.groundfit.question import asked_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.walkround.models import ReadingRow, Sheet
from pitchline.ground.shoes import ShoeKind

WAYS = {"point": "{0},{1}", "comma": "{0}.{1}", "space": "{0}\u202f{1}"}
PITCH = "chain/left:pitch"


@pytest.fixture(params=WAYS)
def way(request, actor):
    """The business writes numbers in one of the three ways; 2,612 in that way comes from way(2, 612)."""
    Business.objects.filter(pk=actor.business.pk).update(numbers=request.param)
    return WAYS[request.param].format


def test_a_machine_with_its_hours(client, way):
    form = {"machine_id": str(uuid.uuid4()), "kind": "excavator", "name": "Old", "hours": f"{way(6, 200)} h"}
    assert client.post("/machines/new/", form).status_code == 302
    assert Machine.objects.get().hours_h == 6200


def test_hours_that_could_be_either_are_asked_about_in_plain_words(client, actor, words):
    form = {"machine_id": str(uuid.uuid4()), "kind": "excavator", "name": "Old", "hours": "6.200"}
    answer = client.post("/machines/new/", form)
    assert answer.status_code == 400
    assert "this could be 6200 or 6.200. Type 6200 for the first" in words(answer)


def test_hours_of_a_walk_round(machine, begin, save, way):
    sheet_id = begin(machine)
    save(sheet_id, fields={"head~hours": way(3, 612), "head~date": "2026-11-02", "head~v": "1"})
    sheet = Sheet.objects.get(pk=sheet_id)
    assert (sheet.service_h, sheet.hours_text) == (3612, "3612")


def test_typed_hours_keep_their_meaning_when_the_way_of_writing_changes(actor, machine, begin, save, way):
    sheet_id = begin(machine)
    save(sheet_id, fields={"head~hours": way(3, 612), "head~v": "1"})
    for numbers in WAYS:
        Business.objects.filter(pk=actor.business.pk).update(numbers=numbers)
        save(sheet_id, fields={"head~date": f"2026-11-{len(numbers):02}", "head~v": "2"})
        assert Sheet.objects.get(pk=sheet_id).service_h == 3612


@pytest.mark.parametrize(
    ("typed", "joints", "mm"),
    [
        ("1{}201,5", "6", 1201.5 / 6),
        ("1,201", "6", 1201 / 6),
        ("1.201", "", None),
        ("801,5", "4", 200.375),
        ("201,125", "1", 201.125),
    ],
)
def test_length_over_several_joints(machine, begin, save, way, typed, joints, mm):
    sheet_id = begin(machine)
    text = typed.format("'")
    save(sheet_id, fields={f"{PITCH}~1": text, f"{PITCH}~joints": joints})
    row = ReadingRow.objects.get(sheet_id=sheet_id, measurand="pitch", side="left")
    if mm is None:
        assert row.typed == ["1201"]
        assert "how many joints" in row.problem
    else:
        assert row.value_m * 1e3 == pytest.approx(mm)


def test_a_decimal_comma_of_a_phone_stays_one(machine, begin, save, way):
    sheet_id = begin(machine)
    save(sheet_id, fields={"link/left:rail_height~1": "104,5", "link/left:rail_height~2": "104,125"})
    row = ReadingRow.objects.get(sheet_id=sheet_id, measurand="rail_height", side="left")
    assert row.typed == ["104,5", "104,125"]
    assert row.repeats_m == pytest.approx([0.1045, 0.104125])


def test_saving_a_line_again_changes_nothing(machine, begin, save, way):
    sheet_id = begin(machine)
    fields = {f"{PITCH}~1": "1'201", f"{PITCH}~joints": "6"}
    assert [save(sheet_id, fields=fields).json()["lines"][0]["version"] for _ in range(2)] == [1, 1]


def test_plan_and_outlook(client, machine, priced_yard, way, words):
    page = client.get(f"/machines/{machine.pk}/plan/", {"horizon": way(4, 200), "stop_cost": way(1, 250)})
    assert page.status_code == 200
    assert 'value="4200"' in page.content.decode()
    assert 'value="1250"' in page.content.decode()
    page = client.get(f"/machines/{machine.pk}/outlook/", {"usual": "32 h", "low": "12,5", "high": "40.5"})
    assert page.status_code == 200


def test_limits(client, machine, way):
    sizes = {"sprocket:root_diameter~new": f"{way(1, 234)} mm", "sprocket:root_diameter~limit": "1,214"}
    page = client.get(f"/machines/{machine.pk}/limits/").content.decode()
    assert "sprocket:root_diameter~new" in page
    stands = {
        f"{one['part']}:{one['measurand']}~{name}": one[name]
        for one in json.loads(machine.file_text)["limits"]
        for name in ("new", "limit", "source")
        if name in one
    }
    answer = client.post(
        f"/machines/{machine.pk}/limits/", stands | sizes | {"seen_version": machine.version, "why": "book"}
    )
    assert answer.status_code == 302
    (limit,) = [one for one in known_dossier(Machine.objects.get()).limits if one.measurand == "root_diameter"]
    assert (limit.new_m, limit.limit_m) == pytest.approx((1.234, 1.214))


def test_ground_fit(actor, way):
    numbers = Business.objects.get(pk=actor.business.pk).numbers
    typed = {"soil": "heavy clay", "mass": way(21, 500), "load": way(1, 250), "reach": "6,5", "slope": "12,5"}
    asked = asked_of(typed, ShoeKind.FLAT, numbers)
    assert (asked.sizes["mass_kg"], asked.task.load_kg, asked.task.reach_m) == (21500, 1250, 6.5)


def test_settings(client, actor, way):
    business = Business.objects.get(pk=actor.business.pk)
    tool = {
        "tool-0-name": "gauge",
        "tool-0-resolution": "0,01",
        "tool-0-permitted_error": "1,250",
        "tool-0-repeatability": "0.5",
    }
    post = {
        "seen_version": 1,
        "units": "metric",
        "numbers": business.numbers,
        "days": "day-month",
        "booking_window_weeks": "6,5",
    }
    assert client.post("/settings/", post | tool).status_code == 302
    business.refresh_from_db()
    assert business.booking_window_weeks == 6.5
    assert business.tools[0]["permitted_error"] == "1,250"
