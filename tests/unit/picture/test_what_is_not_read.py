"""What nobody looked at is drawn dotted and without hours; unsafe and worn out differ by word, hatch and frame. By hand."""

import pytest
from defusedxml import ElementTree

from half_looked import half_looked
from pitchline.picture.ink import hatch_of, tone_of
from pitchline.picture.part_words import call_said
from pitchline.picture.side import side_svg
from pitchline.picture.yard import yard_svg
from pitchline.trade.calls import Call
from pitchline.trade.parts import Side
from pitchline.words.called import key_of

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def half(plain):
    return half_looked(plain)


def texts(svg):
    return [one.text.replace("\u00a0", " ") for one in ElementTree.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("width", [340, 1120])
def test_the_unread_side_is_dotted_and_has_no_hours(half, width):
    svg = side_svg(half, Side.RIGHT, width)
    said = texts(svg)
    assert any("not read" in line for line in said)
    assert 'class="unjudged"' in svg
    said = [line for line in said if line not in key_of(Call).values()]
    calls = [line for line in said if line.startswith(("run", "book", "stop")) or line.endswith(" h")]
    assert all(line.startswith("run") or line[0].isdigit() for line in calls)  # the chain, which was looked at
    assert len([line for line in calls if line.endswith(" h")]) <= 1


@pytest.mark.parametrize("width", [340, 1120])
def test_the_drawing_says_what_a_call_is_about(half, width):
    said = " ".join(texts(side_svg(half, Side.LEFT, width)))
    for words in (
        "stop: unsafe",
        "stop: ruins dearer",
        "book: worn out",
        "book: measure",
        "300 h or 5,900 h",
        "book: due",
    ):
        assert words in said, words


def test_calls_part_by_hatch_and_weight_not_by_colour_alone():
    assert len({hatch_of(call) for call in Call}) == 4
    assert [tone_of(call) for call in (Call.UNJUDGED, Call.RUN, Call.BOOK, Call.STOP)] == ["g", "", "b", "b a"]


def test_one_slant_means_book_and_nothing_else(half):
    """Metal gone is dots and a range is a grey bar, so that a slanting hatch is book wherever it is seen."""
    svg = side_svg(half, Side.LEFT)
    patterns = {
        one.get("id"): ElementTree.tostring(one, encoding="unicode")
        for one in ElementTree.fromstring(svg).iter(f"{SVG}pattern")
    }
    slanted = [name for name, drawn in patterns.items() if ":path" in drawn or "<path" in drawn]
    assert sorted(slanted) == ["side-book", "side-stop"]
    assert ".side .fan{fill:#" in svg


def test_the_yards_chart_leaves_out_what_nobody_read(half):
    """Boxes along the row, each with the hatch of its call: one for each part with a call and hours inside the chart."""
    root = ElementTree.fromstring(yard_svg([half]))
    row = next(one for one in root.iter(f"{SVG}g") if one.get("id") == "yard-machine-1")
    looked, every = half.looked_at
    assert f"{looked} of {every} parts looked at" in row.get("aria-label")
    assert "stop: unsafe" in row.get("aria-label").lower()
    boxes = [one.get("class") for one in row.iter(f"{SVG}rect")]
    assert boxes.pop(0) == "stop"  # the swatch before the name
    assert boxes.count("stop") == sum(part.call is Call.STOP for part in half.parts)
    for call in (Call.RUN, Call.BOOK):
        due = [p for p in half.parts if p.call is call and p.due is not None]
        assert sum(p.due.middle < 1000 for p in due) <= boxes.count(hatch_of(call)) <= len(due)
    assert "unjudged" not in boxes


def test_a_part_not_read_is_called_so_and_nothing_more(half):
    unread = next(part for part in half.parts if part.call is Call.UNJUDGED)
    assert call_said(unread) == "not read"
