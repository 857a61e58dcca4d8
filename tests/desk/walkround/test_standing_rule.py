"""How a part stands, said by the page and by its script: one table of cases for both (tests/js/standing.test.js)."""

import json
from pathlib import Path
from types import SimpleNamespace

import pytest

from pitchline.desk.walkround.fields import PlaceFields

CASES = json.loads((Path(__file__).parents[2] / "data" / "standing.json").read_text(encoding="utf-8"))


def place_of(readings, seen, looked):
    """A part as the two rules look at it; how each reading stands by its word, empty where it is not read."""
    fields = [
        SimpleNamespace(
            label=label,
            doubt=how if how in ("held", "asked") else "",
            questioned=how in ("held", "asked"),
            how=how,
        )
        for label, how in zip("abc", readings, strict=False)
    ]
    return SimpleNamespace(
        readings=fields,
        refused=[field for field in fields if field.how == "refused"],
        unread=[field for field in fields if field.how == ""],
        seen=seen,
        looked=looked,
    )


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["stands"])
def test_page_says_how_a_part_stands_as_its_script_does(case):
    place = place_of(**case["part"])
    assert PlaceFields.left.fget(place) == case["left"]
    assert PlaceFields.stands.fget(place) == case["stands"]
