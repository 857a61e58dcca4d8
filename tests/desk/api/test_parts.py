"""Which part fits over the API: the same answer as the page. Every part is invented."""

import pytest

from pitchline.desk.partfit.actions import bring_table
from pitchline.desk.uploads import Upload

TABLE = b"number,part,tread diameter,bolt spacing along,flanges\nR1,bottom roller,180,180,1\nR2,bottom roller,180,180,2\n"


@pytest.fixture
def rollers(actor):
    """Two rollers that differ by a flange alone."""
    return bring_table(actor, Upload("", "Rollers.csv", TABLE), None)[0]


def test_likeliest_first_with_what_does_not_agree(get, rollers):
    read = "tread diameter=168; bolt spacing along=180.4"
    open_yet = get("/parts/which", part="bottom roller", read=read).json()
    assert (open_yet["fits"], open_yet["read_next"]) == (False, ["flanges"])
    told = get("/parts/which", part="bottom roller", read=f"{read}; flanges=2").json()
    assert told["fits"] is True
    first, second = told["parts"]
    assert (first["number"], first["list_id"], first["does_not_agree"]) == ("R2", str(rollers.pk), [])
    assert second["does_not_agree"] == ["flanges"]
    assert sum(one["chance"] for one in told["parts"]) + told["none"] == pytest.approx(1)


@pytest.mark.parametrize(
    ("part", "read", "doubt"),
    [
        ("wheel", "tread diameter=168", ""),
        ("bottom roller", "", ""),
        ("bottom roller", "teeth=21", ""),
        ("bottom roller", "tread diameter=wide", ""),
        ("bottom roller", "tread diameter", ""),
        ("bottom roller", "flanges=1; flanges=2", ""),
        ("bottom roller", "flanges=1", "x"),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_to_do(get, rollers, part, read, doubt):
    answer = get("/parts/which", part=part, read=read, doubt=doubt)
    assert answer.status_code == 422
    assert all(problem["allowed"] and problem["next_step"] for problem in answer.json()["problems"])


def test_without_a_list_there_is_no_answer(get, actor):
    assert get("/parts/which", part="sprocket", read="teeth=21").status_code == 409
