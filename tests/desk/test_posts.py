"""Every POST is read by a form; what is too long is refused with the count, and everything typed stands on the page again."""

import ast
import json
import re
import uuid
from html import unescape
from pathlib import Path

import pytest
from django.urls import reverse

from pitchline.desk import posts
from pitchline.desk.gearbook.actions import Written, add_entry
from pitchline.desk.gearbook.parts import gear_text
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.trail.models import Change
from pitchline.desk.walkround.models import Sheet
from pitchline.exchange.machine_file import machine_json

DESK = Path(posts.__file__).parent
READERS = {
    "posts.py",
    "versions.py",
    "staff/guessing.py",
}  # axes asks for the name as typed, before any form reads it
GRAVE = {
    "low": "30",
    "usual": "45",
    "high": "60",
    "window": "8",
    "gentle": "0",
    "mild": "0",
    "middling": "100",
    "sharp": "0",
    "harsh": "0",
}
LONG = "why? " * 500  # 2,500 letters
SHORTEN = "“2,500 letters”. Allowed: 2,000 letters at most. Shorten it; nothing was saved yet."
ENTRY = uuid.UUID(int=7)


def beside(page, mark):
    """What is told beside a field."""
    return unescape(re.search(rf'<p class="wrong-said" id="wrong-{mark}">(.*?)</p>', page, re.DOTALL)[1])


def posts_read_by_hand(source):
    """Lines in which `request.POST` goes anywhere but into a form, or a form's `data` is read, which nobody has looked at."""
    tree = ast.parse(source)
    into_forms = {
        id(inner)
        for call in ast.walk(tree)
        if isinstance(call, ast.Call) and ast.unparse(call.func).endswith("Form")
        for inner in ast.walk(call.args[0] if call.args else call)
    }
    read = [node for node in ast.walk(tree) if isinstance(node, ast.Attribute) and node.attr in ("POST", "data")]
    return [node.lineno for node in read if node.attr == "data" or id(node) not in into_forms]


def test_every_post_goes_through_a_form():
    by_hand = {
        path.relative_to(DESK).as_posix(): lines
        for path in DESK.rglob("*.py")
        if path.relative_to(DESK).as_posix() not in READERS
        and "api" not in path.relative_to(DESK).parts
        and (lines := posts_read_by_hand(path.read_text(encoding="utf-8")))
    }
    assert by_hand == {}


@pytest.mark.parametrize(
    ("source", "lines"),
    [
        ("form = AboutForm(request.POST)", []),
        ("form = AboutForm(request.POST if request.method == 'POST' else None, initial=start)", []),
        ("why = request.POST.get('why', '')[:2000]", [1]),
        ("x = 1\ntyped = request.POST.dict()", [2]),
        ("text = FileForm(request.POST).data.get('text', '')", [1]),
        ("form = FileForm(request.POST)\ntext = form.data['text']", [2]),
        ("text = FileForm(request.POST).cleaned_data['text']", []),
    ],
)
def test_what_is_read_by_hand_is_seen(source, lines):
    assert posts_read_by_hand(source) == lines


@pytest.fixture
def sheet(machine, begin):
    return begin(machine)


@pytest.fixture
def ways(machine, sheet):
    """Addresses that take a reason, with what else their page sends."""
    finished = Sheet.objects.filter(machine=machine, state=Sheet.FINISHED).first()
    version = {"seen_version": str(machine.version)}
    return {
        "file": (f"/machines/{machine.pk}/file/", version | {"text": "{}"}),
        "limits": (f"/machines/{machine.pk}/limits/", version),
        "outlook": (f"/machines/{machine.pk}/outlook/keep/", version | GRAVE),
        "reopen": (f"/walk-rounds/{finished.pk}/reopen/", {}),
        "away": (f"/walk-rounds/{sheet}/put-away/", {"away": "1"}),
        "save": (f"/walk-rounds/{sheet}/save/", {"writer": "me"}),
    }


@pytest.mark.parametrize("name", ["file", "limits", "outlook", "reopen", "away", "save"])
def test_reason_that_is_too_long_is_refused_and_not_cut(client, ways, words, name):
    address, fields = ways[name]
    before = Change.objects.count()
    answer = client.post(address, fields | {"why": LONG})
    assert answer.status_code == 400
    assert "2,500 letters" in words(answer)
    assert "2,000 letters at most" in words(answer)
    assert Change.objects.count() == before


@pytest.mark.parametrize("name", ["file", "limits", "outlook", "reopen"])
def test_reason_that_was_refused_stands_on_the_page_again_with_the_refusal_beside_it(client, ways, name):
    address, fields = ways[name]
    page = client.post(address, fields | {"why": LONG}).content.decode()
    assert f'value="{LONG}"' in page
    mark = "why-reopen" if name == "reopen" else "why"
    assert beside(page, mark) == SHORTEN
    assert re.search(rf'<input[^>]*maxlength="2000"[^>]*id="{mark}"[^>]*aria-describedby="wrong-{mark}"', page)


@pytest.mark.parametrize("name", ["reopen", "outlook"])
def test_reason_that_is_missing_is_asked_for_beside_its_field(client, ways, name):
    address, fields = ways[name]
    page = client.post(address, fields | {"why": ""}).content.decode()
    assert beside(page, "why-reopen" if name == "reopen" else "why").startswith("Nothing is entered. Allowed: ")


@pytest.mark.parametrize("name", ["machine", "book"])
def test_cell_of_the_limits_that_is_too_long_is_refused_beside_itself_with_what_was_typed(
    client, machine, actor, dossier, ways, words, name
):
    address, fields = ways["limits"]
    cell, source = "link:rail_height~new", "link:rail_height~source"
    if name == "book":
        part = gear_text(json.loads(machine_json(dossier)))
        add_entry(actor, entry_id=ENTRY, written=Written("Invented steel", "", part))
        address, fields = f"/gear-list/{ENTRY}/limits/", {"seen_version": "1"}
    answer = client.post(address, fields | {cell: "1" * 201, source: "s" * 300, "why": "checked"})
    page = answer.content.decode()
    assert answer.status_code == 400
    assert beside(page, cell) == "“201 letters”. Allowed: 200 letters at most. Shorten it; nothing was saved yet."
    assert beside(page, source).startswith("“300 letters”")
    assert beside(page, "bush:bush_od_forward~new") == ""
    assert "Link rail height of link rail, new" in words(answer)
    for each, text in ((cell, "1" * 201), (source, "s" * 300)):
        assert re.search(rf'aria-describedby="wrong-{each}" name="{each}"\s+value="{text}"', page)


def test_tool_is_refused_beside_each_field_that_is_wrong_with_what_was_typed(client, actor):
    tools = {
        "tool-0-name": "old",
        "tool-0-label": "n" * 61,
        "tool-0-resolution": "0.1",
        "tool-0-permitted_error": "1" * 70,
    }
    tools |= {f"tool-2-{field}": "0.1" for field in ("resolution", "permitted_error", "repeatability")}
    tools |= {"tool-2-name": "worn", "tool-2-permitted_error": "wide"}
    answer = client.post("/settings/", tools | {"seen_version": "1", "units": "metric", "numbers": "point"})
    page = answer.content.decode()
    assert answer.status_code == 400
    assert beside(page, "tool-0-label") == (
        "“61 letters”. Allowed: 60 letters at most. Shorten it; nothing was saved yet."
    )
    assert beside(page, "tool-0-permitted_error").startswith("“70 letters”")
    assert beside(page, "tool-0-name") == beside(page, "tool-1-name") == ""
    assert beside(page, "tool-1-permitted_error").startswith("“wide”")  # an empty row between is closed up
    for name, text in (
        ("tool-0-label", "n" * 61),
        ("tool-0-permitted_error", "1" * 70),
        ("tool-1-permitted_error", "wide"),
    ):
        assert re.search(rf'aria-describedby="wrong-{name}" name="{name}"\s+value="{text}"', page)


def test_correction_whose_reason_is_refused_can_be_sent_again_from_there(client, machine, words):
    """Its page has a form for each reading; the one that was refused stands alone, with what was typed."""
    sheet = Sheet.objects.filter(machine=machine, state=Sheet.FINISHED).first()
    row = sheet.readingrows.first()
    key = f"{row.part}/{row.side}" + (f"/{row.position}" if row.position else "") + f":{row.measurand}"
    fields = {"writer": "me", f"{key}~v": str(row.version), f"{key}~1": "61.5", "why": LONG}
    refused = client.post(f"/walk-rounds/{sheet.pk}/save/", fields)
    page = refused.content.decode()
    assert beside(page, "why") == SHORTEN
    assert f'name="{key}~1" value="61.5"' in page
    again = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', page))
    assert {name: text for name, text in again.items() if name != "csrfmiddlewaretoken"} == {
        name: text for name, text in fields.items() if name != "why"
    }


def test_name_in_the_book_is_refused_beside_its_field_and_not_cut(client, machine):
    answer = client.post(
        f"/machines/{machine.pk}/to-gear-list/", {"entry_id": str(uuid.uuid4()), "name": "x" * 201}
    )
    page = answer.content.decode()
    assert answer.status_code == 400
    assert beside(page, "book-name").startswith("“201 letters”. Allowed: 200 letters at most.")
    assert f'value="{"x" * 201}"' in page


def test_name_in_the_book_that_is_taken_is_told_beside_its_field(client, machine):
    for _ in range(2):
        answer = client.post(
            f"/machines/{machine.pk}/to-gear-list/", {"entry_id": str(uuid.uuid4()), "name": "Steel"}
        )
    assert beside(answer.content.decode(), "book-name").startswith("“Steel”. Allowed: one no other")


QUESTIONS = [
    ("/", "text", 200),
    ("/machines/{machine}/ground/", "shoes", 200),
    ("/machines/{machine}/ground/", "vane", 40),
    ("/machines/{machine}/ground/", "share2", 40),
    ("/machines/{machine}/ground/", "mass", 40),
    ("/machines/{machine}/outlook/", "usual", 40),
    ("/machines/{machine}/outlook/", "travelling", 40),
    ("/machines/{machine}/outlook/", "sharp", 40),
    ("/machines/{machine}/plan/", "sell", 40),
    ("/machines/{machine}/plan/", "week", 40),
    ("/gear-list/{entry}/", "q", 200),
]


@pytest.fixture
def page_at(client, machine, priced_yard):
    """A factory of answers to a question in an address."""
    judge_machine(local_actor(), machine.pk)
    client.post(f"/machines/{machine.pk}/to-gear-list/", {"entry_id": str(ENTRY), "name": "Steel"})

    def make(address, **asked):
        return client.get(address.format(machine=machine.pk, entry=ENTRY), asked)

    return make


@pytest.mark.parametrize(("address", "field", "most"), QUESTIONS)
def test_question_that_is_too_long_is_refused_beside_its_field_and_stands_as_typed(page_at, address, field, most):
    typed = "7" * (most + 1)
    answer = page_at(address, **{field: typed})
    page = answer.content.decode()
    assert answer.status_code == 400
    assert beside(page, field) == f"“{most + 1} letters”. Allowed: {most} letters at most. Shorten it."
    assert f'value="{typed}"' in page
    assert f'aria-describedby="wrong-{field}"' in page
    assert "<h1>" in page


@pytest.mark.parametrize(("address", "field", "most"), QUESTIONS)
def test_question_as_long_as_it_may_be_is_read_whole(page_at, address, field, most):
    """A figure of forty digits is none that can be used, but for what it says and not for its length."""
    answer = page_at(address, **{field: "0" * (most - 1) + "1"})
    assert "letters at most" not in answer.content.decode()


@pytest.mark.parametrize(("address", "field", "most"), QUESTIONS)
def test_question_with_a_zero_byte_is_refused_beside_its_field(page_at, address, field, most):
    answer = page_at(address, **{field: "a\x00b"})
    assert answer.status_code == 400
    assert beside(answer.content.decode(), field) == "“a\\0b”. Allowed: text without a zero byte. Type it again."


@pytest.mark.parametrize(
    ("address", "field"),
    [("/", "kind"), ("/", "call"), ("/", "sort"), ("/machines/{machine}/ground/", "moisture"),
     ("/machines/{machine}/ground/", "soil3"), ("/machines/{machine}/outlook/", "so_far")],
)  # fmt: skip
def test_choice_nobody_offers_is_refused_beside_its_field(page_at, address, field):
    answer = page_at(address, **{field: "no such choice"})
    assert answer.status_code == 400
    said = beside(answer.content.decode(), field)
    assert said.startswith("“no such choice”. Allowed: ")
    assert said.endswith("Choose one of them.")


def test_list_that_cannot_be_looked_for_is_no_list_of_everything(page_at, client, machine, words):
    """Who ticks all of it would archive what nobody looked for."""
    answer = page_at("/", text="x" * 201)
    assert "Nothing was looked for." in words(answer)
    assert machine.name not in words(answer)
    assert client.get("/machines.csv", {"text": "x" * 201}).status_code == 400


def test_what_a_table_says_is_refused_and_not_cut(client, machine, words):
    """A tool's name for reading and a limit's source: one letter more than there is room for."""
    tool = {
        "tool-0-name": "deep_gauge",
        "tool-0-label": "x" * 61,
        "tool-0-permitted_error": "0.1 mm",
        "tool-0-resolution": "0.1 mm",
    }
    settings = {"seen_version": "1", "units": "metric", "numbers": "point", "days": "day-month"}
    answer = client.post("/settings/", settings | tool)
    assert answer.status_code == 400
    assert "61 letters" in words(answer)
    source = {
        "bush:bush_od_forward~new": "60 mm",
        "bush:bush_od_forward~limit": "54 mm",
        "bush:bush_od_forward~source": "x" * 201,
    }
    limits = client.post(
        f"/machines/{machine.pk}/limits/", source | {"seen_version": str(machine.version), "why": "so"}
    )
    assert limits.status_code == 400
    assert "201 letters" in words(limits)


def test_figure_that_is_too_long_is_another_question_and_refused(client, machine, words):
    """Cut at 40 letters it would be read as a figure nobody typed."""
    answer = client.post(f"/machines/{machine.pk}/outlook/keep/", GRAVE | {"usual": "4" + "0" * 40, "why": "so"})
    assert answer.status_code == 400
    assert "41 letters" in words(answer)


def test_more_ticked_than_can_be_done_at_once_is_refused(client, words, db):
    answer = client.post(
        reverse("archive-ticked"), {"archived": "1", "machine": [str(uuid.uuid4()) for _ in range(5001)]}
    )
    assert answer.status_code == 400
    assert "5,001" in words(answer)


@pytest.mark.parametrize("version", [None, "", "one", "\x00", "9" * 20])
@pytest.mark.parametrize("name", ["file", "limits", "outlook"])
def test_version_that_is_missing_is_told_and_nobody_is_said_to_have_changed_it(client, ways, words, name, version):
    address, fields = ways[name]
    sent = {key: text for key, text in fields.items() if key != "seen_version"} | {"why": "so", "usual": "44"}
    answer = client.post(address, sent | ({} if version is None else {"seen_version": version}))
    assert answer.status_code == 400
    assert ("version: “" if version else "version: nothing is entered.") in words(answer)
    assert "Somebody else" not in words(answer)


@pytest.mark.parametrize("way", ["get", "post"])
def test_ids_in_an_address_and_in_a_form_are_read_alike(client, page_at, way):
    address = f"/gear-list/{ENTRY}/fit/"
    page_at("/")
    many = getattr(client, way)(address, {"machine": [str(uuid.uuid4()) for _ in range(5001)]})
    none = getattr(client, way)(address, {"machine": "no id"})
    assert (many.status_code, none.status_code) == (400, 400)
    assert "5,001" in many.content.decode()
    assert "“no id”. Allowed: an id that a page made." in none.content.decode()


def test_id_that_is_none_is_refused_on_a_page_of_its_own(client, machine, words):
    answer = client.post(f"/machines/{machine.pk}/begin/", {"sheet_id": "no id"})
    assert answer.status_code == 400
    assert "no id" in words(answer)
    assert not Sheet.objects.filter(machine=machine, state=Sheet.DRAFT).exists()
