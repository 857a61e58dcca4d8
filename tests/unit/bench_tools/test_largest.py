"""What a file may cost, on small pieces of the worst shapes; bench/largest.py has them at the largest allowed size.

Bounds are processor time: a reader that is not linear takes a hundred times as long for them (a key twice took 8 s).
"""

import time

import pytest

from pitchline.exchange import zip_guard
from pitchline.trade.errors import InputError

SIZE = 320 * 1024
MOST_S = 1.5
"""Ten seconds for 10 MB, and as much again for a busy computer."""
SHAPES = (
    "each key twice",
    "keys nobody knows",
    "limits without end",
    "walk_rounds without end",
    "readings without end",
)


@pytest.mark.parametrize("reader", ["machine file", "constants", "stop instance", "verdict"])
def test_a_text_costs_in_proportion_to_its_size(largest, tmp_path, reader):
    path = tmp_path / "a.json"
    for shape in SHAPES:
        path.write_text(largest.JSONS[shape](SIZE), encoding="utf-8")
        began = time.process_time()
        with pytest.raises(InputError):
            largest.read(reader, path)
        assert time.process_time() - began < MOST_S, shape


@pytest.mark.parametrize("shape", ["fonts", "cell formats", "number formats", "defined names"])
def test_a_workbook_that_is_all_styles_is_refused(largest, tmp_path, shape):
    path = tmp_path / "a.xlsx"
    path.write_bytes(largest.WORKBOOKS[shape](4 * 1024**2))
    with pytest.raises(InputError, match="beside its cells"):
        largest.read("prices", path)


@pytest.mark.parametrize(
    "shape", ["shared strings", "rich strings", "one cell again and again", "rows without names"]
)
def test_a_workbook_with_more_marks_than_cells_need_is_refused(largest, tmp_path, monkeypatch, shape):
    monkeypatch.setattr(zip_guard, "MOST_TAGS", 10_000)
    path = tmp_path / "a.xlsx"
    path.write_bytes(largest.WORKBOOKS[shape](200_000))
    with pytest.raises(InputError, match="marks in xl/"):
        largest.read("prices", path)
