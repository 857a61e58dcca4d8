"""A yard's sizes and limits as a table: out, in, and what is wrong with it."""

from dataclasses import replace

import pytest

from pitchline.exchange.limits_file import LimitTyped, read_limits, write_limits
from pitchline.trade.errors import InputError
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind

LINES = (
    LimitTyped(PartKind.LINK, Measurand.RAIL_HEIGHT, "4 1/8 in", "100 mm", "manual, page 7"),
    LimitTyped(PartKind.BUSH, Measurand.BUSH_OD_FORWARD, "60 mm", "", ""),
)


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_table_comes_back_as_typed(tmp_path, ending):
    path = tmp_path / f"limits.{ending}"
    write_limits(path, "T1", LINES)
    assert read_limits(path) == LINES


def test_unit_of_the_head_is_taken_where_a_text_has_none(tmp_path):
    path = tmp_path / "limits.csv"
    path.write_text(
        "machine;T1\nunit;in\n\npart;quantity;new;limit;source\nlink rail;link rail height;4 1/8;100 mm;\n",
        encoding="utf-8",
    )
    (one,) = read_limits(path)
    assert (one.new, one.limit) == ("4 1/8 in", "100 mm")


@pytest.mark.parametrize(
    ("head", "row", "field", "number"),
    [
        ("unit;furlong", "link rail;link rail height;110;100;", "unit", 2),
        ("unit;mm", "moon;link rail height;110;100;", "part", 5),
        ("unit;mm", "link rail;shine;110;100;", "quantity", 5),
    ],
)
def test_every_problem_is_told_by_its_row(tmp_path, head, row, field, number):
    path = tmp_path / "limits.csv"
    path.write_text(f"machine;T1\n{head}\n\npart;quantity;new;limit;source\n{row}\n", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_limits(path)
    (problem,) = caught.value.problems
    assert (problem.row, problem.file) == (number, "limits.csv")
    assert field in problem.field or field == "quantity"


def test_the_mark_of_an_assumed_limit_comes_back(tmp_path):
    path, lines = tmp_path / "limits.csv", (LINES[0], replace(LINES[1], assumed=True))
    write_limits(path, "T1", lines)
    assert read_limits(path) == lines


def test_a_mark_that_is_no_word_is_told_by_its_row(tmp_path):
    path = tmp_path / "limits.csv"
    path.write_text(
        "machine;T1\n\npart;quantity;new;limit;source;assumed\nlink rail;link rail height;110;;;perhaps\n"
    )
    with pytest.raises(InputError, match="assumed") as caught:
        read_limits(path)
    assert caught.value.problems[0].row == 4
