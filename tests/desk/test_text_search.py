"""Looking for text in either case, on both databases, as Python's own lower case would find it."""

import pytest

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.text_search import either_case, holds, reads

NAMES = (
    "Mühle Nord",
    "MÜHLE SÜD",
    "mühle",
    "Muhle",
    "Østre brudd",
    "Жук 3",
    "50% [neu]",
    "what? *star*",
    "a_b",
    "axb",
)
LOOKED_FOR = (
    "mühle",
    "MÜHLE",
    "ü",
    "østre",
    "ØSTRE",
    "жук",
    "ЖУК 3",
    "[neu]",
    "%",
    "*",
    "?",
    "a_b",
    "uhl",
    "süd",
    "MÜHLE [",
)


@pytest.fixture
def named(db):
    """Machines with such names."""
    business = local_actor().business
    Machine.objects.bulk_create(
        Machine(business=business, short_name=str(number), name=name, kind="dozer")
        for number, name in enumerate(NAMES)
    )


@pytest.mark.parametrize("text", LOOKED_FOR)
def test_text_is_found_whatever_its_case(named, text):
    found = set(Machine.objects.filter(holds("name", text)).values_list("name", flat=True))
    assert found == {name for name in NAMES if text.lower() in name.lower()}


@pytest.mark.parametrize("text", [*NAMES, "MÜHLE", "жук 3", "50% [NEU]"])
def test_whole_text_is_found_whatever_its_case(named, text):
    found = set(Machine.objects.filter(reads("name", text)).values_list("name", flat=True))
    assert found == {name for name in NAMES if text.lower() == name.lower()}


def test_yard_is_searched_so(client, named):
    lines = client.get("/", {"text": "MÜHLE s"}).context["lines"]
    assert [line.machine.name for line in lines] == ["MÜHLE SÜD"]


def test_letter_with_two_capitals_stays_one_letter():
    """The upper case of ß is two letters, which no place of a pattern takes."""
    assert either_case("ß") == "ß"
