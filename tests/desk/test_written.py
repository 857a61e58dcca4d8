"""Numbers and days in the way a business writes them."""

import pytest

from pitchline.desk.written import THIN, written, written_page


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("EUR 12,350.50", "EUR 12.350,50"),
        ("± 0.4 mm", "± 0,4 mm"),
        ("1,234,567 h.", "1.234.567 h."),
        ("57.7, 57.8 mm", "57,7, 57,8 mm"),
        ("rollers 1, 2, 3", "rollers 1, 2, 3"),
        ("pitchline 0.7.1", "pitchline 0.7.1"),
        ("work.xlsx and m-1.5b", "work.xlsx and m-1.5b"),
        ("2 3/8 in", "2 3/8 in"),
    ],
)
def test_numbers_with_a_comma(text, said):
    assert written(text, "comma", "day-month") == said


def test_numbers_with_a_thin_space():
    assert written("12,350.5 h", "space", "day-month") == f"12{THIN}350,5 h"


def test_days():
    text = "from 3\u00a0Nov\u00a02026 to mid Mar 2027"
    assert written(text, "point", "iso") == "from 2026-11-03 to mid Mar 2027"
    assert written(text, "point", "month-day") == "from Nov\u00a03, 2026 to mid Mar 2027"


def test_usual_way_changes_nothing():
    assert written("12,350.5 on 3 Nov 2026", "point", "day-month") == "12,350.5 on 3 Nov 2026"


def test_page_keeps_fields_scripts_and_what_was_typed():
    page = (
        '<p title="1.5" aria-label="1.5 h">1.5 h</p><input value="1.5"><textarea>1.5</textarea>'
        "<td data-as-typed><b>1.5</b> 1.5</td><td>1.5</td><script>x = 1.5</script><text>1,234</text>"
    )
    assert written_page(page, "comma", "day-month") == (
        '<p title="1.5" aria-label="1,5 h">1,5 h</p><input value="1.5"><textarea>1.5</textarea>'
        "<td data-as-typed><b>1.5</b> 1.5</td><td>1,5</td><script>x = 1.5</script><text>1.234</text>"
    )
