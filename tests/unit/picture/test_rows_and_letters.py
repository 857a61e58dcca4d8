"""Labels pushed apart, and text measured without a browser."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.picture.ink import px
from pitchline.picture.letters import shortened, width_px, wrapped
from pitchline.picture.part_words import numbers_said
from pitchline.picture.rows import spread

labels = st.lists(st.tuples(st.floats(-200, 1200), st.floats(10, 90)), min_size=1, max_size=9)


@given(labels)
def test_labels_never_touch_and_stay_on_the_paper(found):
    found.sort()
    wanted, widths = zip(*found, strict=True)
    places = spread(wanted, widths, 0, 1000, 10)
    edges = [(x - w / 2, x + w / 2) for x, w in zip(places, widths, strict=True)]
    assert edges[0][0] >= -1e-6
    assert edges[-1][1] <= 1000 + 1e-6
    assert all(two[0] - one[1] >= 10 - 1e-6 for one, two in itertools.pairwise(edges))


@given(labels)
def test_labels_with_room_stand_where_they_are_wanted(found):
    """Least squares under the order: any other lawful set of places is further off."""
    found.sort()
    wanted, widths = zip(*found, strict=True)
    apart = [100.0 * number + 60 for number in range(len(wanted))]
    assert spread(apart, [min(w, 80) for w in widths], 0, 1000, 10) == pytest.approx(apart)
    places = spread(wanted, widths, -5000, 5000, 10)
    off = sum((p - w) ** 2 for p, w in zip(places, wanted, strict=True))
    for nudge in (-3, 3):
        assert sum((p + nudge - w) ** 2 for p, w in zip(places, wanted, strict=True)) >= off - 1e-6


def test_labels_that_do_not_fit_are_said_not_to():
    assert spread([10, 20], [60, 60], 0, 100, 10) is None
    assert spread([], [], 0, 100, 10) == []


@pytest.mark.parametrize("text", ["run · 3,100 h", "bushes", "Ω long ünusual", ""])
def test_text_grows_with_its_size(text):
    assert width_px(text, 14) == pytest.approx(2 * width_px(text, 7))


@given(
    st.text(st.characters(codec="ascii", categories=["L", "N"]), max_size=12).map(lambda s: f"a {s} bc"),
    st.floats(40, 400),
)
def test_wrapped_lines_fit_and_lose_no_word(text, room):
    lines = wrapped(text, 12, room)
    assert all(width_px(line, 12) <= room for line in lines)
    if not any("…" in line for line in lines):
        assert " ".join(lines).split() == text.split()


def test_shortened_text_fits_and_says_so():
    short = shortened("a very long name of a machine", 14, 90)
    assert width_px(short, 14) <= 90
    assert short.endswith("…")


@pytest.mark.parametrize(
    ("figure", "text"), [(1.0, "1"), (-0.04, "0"), (12.34, "12.3"), (-5.55, "-5.5"), (100.06, "100.1")]
)
def test_figures_take_few_letters(figure, text):
    assert px(figure) == text


def test_numbers_run_on():
    assert numbers_said([1, 2, 3, 4, 6, 8, 9]) == "1-4, 6, 8, 9"
