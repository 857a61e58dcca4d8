"""A list of parts as a table, and sizes as they are typed."""

import pytest

from pitchline.exchange.part_readings import read_size
from pitchline.exchange.parts_file import read_parts
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.part_sizes import PartSize
from pitchline.trade.parts import PartKind


def table(tmp_path, *rows, unit="mm", columns="number,part,tread diameter,flanges,tread diameter limit,note"):
    file = tmp_path / "parts.csv"
    file.write_text("\n".join([f"unit,{unit}", "", columns, *rows]) + "\n", encoding="utf-8")
    return file


def test_a_row_is_a_part_with_its_new_sizes(tmp_path):
    (part,) = read_parts(table(tmp_path, "R1,bottom roller,180,2,160,our own shelf"))
    assert (part.number, part.part, part.note) == ("R1", PartKind.BOTTOM_ROLLER, "our own shelf")
    assert part.sizes == pytest.approx({PartSize.TREAD_DIAMETER: 0.180, PartSize.FLANGES: 2})
    assert part.allowances_m == pytest.approx({PartSize.TREAD_DIAMETER: 0.020})


def test_inches_for_the_whole_table_or_in_a_cell(tmp_path):
    bare, told = read_parts(table(tmp_path, "A,bottom roller,7,1,,", "B,bottom roller,7 1/8 in,1,,", unit="in"))
    assert bare.sizes[PartSize.TREAD_DIAMETER] == pytest.approx(7 * 0.0254)
    assert told.sizes[PartSize.TREAD_DIAMETER] == pytest.approx(7.125 * 0.0254)


def test_every_problem_is_told_with_its_row(tmp_path):
    with pytest.raises(InputError) as refused:
        read_parts(table(tmp_path, "R1,bottom roller,wide,1,,", ",bottom roller,180,1,,", "R3,idler,180,1,,"))
    told = {problem.row: problem.field for problem in refused.value.problems}
    assert sorted(told) == [4, 5, 6]


@pytest.mark.parametrize(
    ("size", "text", "value_mm", "u_mm"),
    [
        (PartSize.TREAD_DIAMETER, "chord 300 height 30", 780.000, None),
        (PartSize.TREAD_DIAMETER, "chord 400 height 100", 500.000, None),
        (PartSize.ROOT_DIAMETER, "chord 250 height 80", 275.313, None),
        (PartSize.TREAD_DIAMETER, "girth 641 tape 0.4", 203.637, 0.159),
        (PartSize.BOLT_CIRCLE, "50 over 1 of 26", 414.811, None),
        (PartSize.WIDTH, "2 3/8 in", 60.325, 0.5),
    ],
)
def test_what_no_calliper_spans(size, text, value_mm, u_mm):
    """Check values reckoned outside the project."""
    found = read_size(text, size, "mm", 0.0005)
    assert 1e3 * found.value == pytest.approx(value_mm, abs=6e-4)
    assert u_mm is None or 1e3 * found.u_m == pytest.approx(u_mm, abs=1e-3)


def test_a_flat_chord_is_doubtful():
    """Chord 300, height 30, doubts 0.5 and 0.3 mm: +-7.622 mm, reckoned outside; here both are 0.5."""
    assert read_size("chord 300 height 30", PartSize.TREAD_DIAMETER, "mm", 0.0005).u_m > 0.0076
    assert read_size("chord 400 height 100", PartSize.TREAD_DIAMETER, "mm", 0.0005).u_m < 0.0025


def test_teeth_from_a_piece_of_the_ring():
    assert read_size("482 over 5 gaps of 820", PartSize.TEETH, "mm", 0.0005).value == 25


@pytest.mark.parametrize("text", ["", "wide", "-3", "chord 300 height 0", "482 over 5 gaps of 400"])
def test_what_cannot_be_read_is_refused(text):
    with pytest.raises(NotAllowedError):
        read_size(text, PartSize.TEETH if "gaps" in text else PartSize.TREAD_DIAMETER, "mm", 0.0005)
