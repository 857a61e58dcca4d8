"""A list of machines as a file: what is read of it, and what a written one reads back as."""

import datetime as dt

import pytest

from pitchline.exchange.machine_list import (
    ALL_COLUMNS,
    OWN_COLUMNS,
    machine_list_csv,
    machine_list_xlsx,
    missing_of_new,
    read_machine_list,
)
from pitchline.trade.errors import InputError

ROW = (
    "a1",
    "=Alder",
    "dozer",
    8150.125,
    "Hill",
    "North",
    "INV-1",
    2014.0,
    "7",
    "run",
    "turn bushes",
    1.0,
    2.0,
    3.0,
    dt.date(2026, 11, 25),
)
WHOLE = (*ROW, *[None] * (len(ALL_COLUMNS) - len(ROW)))


@pytest.mark.parametrize(("ending", "write"), [("csv", machine_list_csv), ("xlsx", machine_list_xlsx)])
def test_written_list_reads_back_the_same(tmp_path, ending, write):
    path = tmp_path / f"list.{ending}"
    path.write_bytes(write([WHOLE]))
    (one,) = read_machine_list(path)
    assert (one.short_name, one.name, one.kind, one.hours_h) == ("a1", "=Alder", "dozer", 8150.125)
    assert (one.customer, one.place, one.problems) == ("Hill", "North", ())
    assert (one.serial_number, one.year_built, one.owner_number) == ("INV-1", 2014, "7")


def test_problem_of_one_row_leaves_the_others_usable(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text("name,kind,hours\nA,cart,x\nB,paver,7\n", encoding="utf-8")
    bad, good = read_machine_list(path)
    assert [(one.field, one.seen, one.row) for one in bad.problems] == [("kind", "cart", 2), ("hours", "x", 2)]
    assert (good.kind, good.hours_h, good.problems) == ("paver", 7.0, ())


def test_new_machine_needs_name_kind_and_hours(tmp_path):
    path = tmp_path / "list.csv"
    path.write_bytes(machine_list_csv([("x1", "", "", "", "", "")], OWN_COLUMNS))
    (one,) = read_machine_list(path)
    assert [problem.field for problem in missing_of_new(one)] == ["name", "kind", "hours"]


def test_list_without_rows_is_refused(tmp_path):
    path = tmp_path / "list.xlsx"
    path.write_bytes(machine_list_xlsx([], OWN_COLUMNS))
    with pytest.raises(InputError, match="one machine or more"):
        read_machine_list(path)


def test_a_list_of_before_calls_the_site_place(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text("name,place\nAlder,North\n", encoding="utf-8")
    (one,) = read_machine_list(path)
    assert (one.name, one.place, one.problems) == ("Alder", "North", ())
    assert "site" in OWN_COLUMNS
    assert "place" not in OWN_COLUMNS
