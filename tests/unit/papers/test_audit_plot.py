"""The audit's drawing: well-formed, inside its edges, told without colour, readable without eyes."""

import re
from dataclasses import replace

import pytest
from defusedxml import ElementTree
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.outlook.audit import Audit, AuditRow
from pitchline.papers.audit_plot import audit_svg

SVG = "{http://www.w3.org/2000/svg}"


def row(kind="", inside=(0.5, 0.8, 0.9), readings=1000, histogram=None):
    """One invented row; doubts as the binomial ones of a thousand readings."""
    u = (0.016, 0.013, 0.009)
    even = (readings // 10,) * 10
    return AuditRow(kind, readings, 40, inside, u, u, histogram or even, 0.02, 0.5, 0.009, 0.05, 0.08, 0.07, 0.11)


@pytest.fixture
def audit():
    """Two kinds, one of them too narrow. Invented."""
    rows = (row("bottom_roller", (0.4, 0.68, 0.8)), row("bush_od"))
    return Audit(row(readings=2000), rows, 40, 4, 27, ((1, 900), (2, 1500)))


def drawn(audit, **options):
    return ElementTree.fromstring(audit_svg(audit, **options))


def texts(root):
    return [text.text for text in root.iter(f"{SVG}text")]


@pytest.mark.parametrize("width", [320, 360, 640, 900, 1400])
def test_everything_is_inside_the_sheet(audit, width):
    """Boxes lie on the sheet, and text too at 8.2 units a letter of size 14 and 6.5 of size 12: wider than a browser sets it."""
    root = drawn(audit, width=width)
    _, _, wide, tall = (float(x) for x in root.get("viewBox").split())
    for box in root.iter(f"{SVG}rect"):
        left, top = float(box.get("x", 0)), float(box.get("y", 0))
        assert 0 <= left <= left + float(box.get("width")) <= wide
        assert 0 <= top <= top + float(box.get("height")) <= tall
    for text in root.iter(f"{SVG}text"):
        words = text.get("class", "").split()
        size = len(text.text) * (6.5 if "s" in words else 8.2)
        x = float(text.get("x"))
        left = x - size if "e" in words else x - size / 2 if "m" in words else x
        assert left >= 0
        assert left + size <= wide
        assert 0 < float(text.get("y")) < tall


def test_a_kind_that_is_off_is_told_by_word_and_shape(audit):
    """A hollow diamond and the words; the kind that keeps its promise has neither."""
    rows = {group.get("id"): group for group in drawn(audit).iter(f"{SVG}g") if group.get("id")}
    off, kept = rows["audit-row-1"], rows["audit-row-2"]
    assert "too narrow" in texts(off)
    assert "68 of 100" in texts(off)
    assert len([path for path in off.iter(f"{SVG}path") if path.get("class") == "off"]) == 3
    assert not [path for path in kept.iter(f"{SVG}path") if path.get("class") == "off"]
    assert "80 of 100" in texts(kept)


def test_it_reads_aloud(audit):
    root = drawn(audit, prefix="yard-a")
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "yard-a-title yard-a-desc"
    desc = root.find(f"{SVG}desc")
    assert desc.get("id") == "yard-a-desc"
    assert (
        "bottom rollers: of 100 readings 40, 68 and 80 inside the 50, 80 and 90 % range; too narrow" in desc.text
    )


def test_two_drawings_share_no_ids(audit):
    here, there = (set(re.findall(r'\bid="([^"]+)"', audit_svg(audit, prefix=name))) for name in ("one", "two"))
    assert here
    assert not here & there


def test_bars_stand_as_high_as_their_readings(audit):
    """Twice the readings, twice the bar."""
    counted = (100, 200, 100, 100, 100, 100, 100, 100, 100, 0)
    root = drawn(replace(audit, overall=row(histogram=counted)))
    heights = [float(bar.get("height")) for bar in root.iter(f"{SVG}rect") if bar.get("class") == "bar"]
    assert heights[1] == pytest.approx(2 * heights[0], abs=0.2)
    assert heights[9] == 0


def test_a_long_name_is_cut_and_kept_whole_in_the_title(audit):
    """Sixteen letters a line, two lines at most."""
    long = "something_with_an_uncommonly_long_name"
    root = drawn(replace(audit, kinds=(row(long),)))
    assert (
        max(len(text) for text in texts(next(g for g in root.iter(f"{SVG}g") if g.get("id") == "audit-row-1")))
        <= 16
    )
    assert any(
        "something with an uncommonly long name" in (title.text or "") for title in root.iter(f"{SVG}title")
    )


def test_few_readings_are_called_so(audit):
    assert "too few" in texts(drawn(replace(audit, kinds=(row("bush_od", readings=20),))))


def test_nothing_to_check_is_drawn_as_words():
    assert texts(drawn(Audit(None, (), 1, 1, 0, ()))) == [
        "Nothing could be checked",
        "It takes a second walk-round.",
    ]


def test_the_same_audit_gives_the_same_text(audit):
    assert audit_svg(audit) == audit_svg(audit)


@settings(max_examples=40, deadline=None)
@given(
    st.text(alphabet=st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Co", "Cn"]), max_size=40),
    st.tuples(*[st.floats(0, 1)] * 3),
    st.integers(320, 1600),
)
def test_any_word_and_any_share_is_well_formed(word, inside, width):
    """Words from tables are anything: markup in them is text."""
    odd = Audit(row(inside=inside), (row(word, inside),), 3, 2, 0, ((1, 10),))
    root = drawn(odd, width=width)
    assert not list(root.iter("script"))
    for box in root.iter(f"{SVG}rect"):
        assert float(box.get("width")) >= 0
