"""Every POST is read by a form; what is too long is refused with the count, and everything typed stands on the page again."""

import ast
import uuid
from pathlib import Path

import pytest
from django.urls import reverse

from pitchline.desk import posts
from pitchline.desk.trail.models import Change
from pitchline.desk.walkround.models import Sheet

DESK = Path(posts.__file__).parent
READERS = {"posts.py", "versions.py", "zero_byte.py"}
GRAVE = {
    "low": "30",
    "usual": "45",
    "high": "60",
    "window": "8",
    "gentle": "0",
    "light": "0",
    "medium": "100",
    "heavy": "0",
    "harsh": "0",
}
LONG = "why? " * 500  # 2,500 letters


def posts_read_by_hand(source):
    """Lines in which `request.POST` goes anywhere but into a form."""
    tree = ast.parse(source)
    into_forms = {
        id(inner)
        for call in ast.walk(tree)
        if isinstance(call, ast.Call) and ast.unparse(call.func).endswith("Form")
        for inner in ast.walk(call.args[0] if call.args else call)
    }
    read = (node for node in ast.walk(tree) if isinstance(node, ast.Attribute) and node.attr == "POST")
    return [node.lineno for node in read if id(node) not in into_forms]


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
def test_reason_that_was_refused_stands_on_the_page_again(client, ways, name):
    address, fields = ways[name]
    assert LONG.strip() in client.post(address, fields | {"why": LONG}).content.decode()


def test_name_in_the_book_is_refused_and_not_cut(client, machine, words):
    answer = client.post(f"/machines/{machine.pk}/to-book/", {"entry_id": str(uuid.uuid4()), "name": "x" * 201})
    assert answer.status_code == 400
    assert "201 letters" in words(answer)


def test_what_a_table_says_is_refused_and_not_cut(client, machine, words):
    """A tool's name for reading and a limit's source: one letter more than there is room for."""
    tool = {
        "tool-0-name": "deep_gauge",
        "tool-0-label": "x" * 61,
        "tool-0-limit": "0.1 mm",
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


def test_id_that_is_none_is_refused_on_a_page_of_its_own(client, machine, words):
    answer = client.post(f"/machines/{machine.pk}/begin/", {"sheet_id": "no id"})
    assert answer.status_code == 400
    assert "no id" in words(answer)
    assert not Sheet.objects.filter(machine=machine, state=Sheet.DRAFT).exists()
