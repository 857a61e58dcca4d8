"""Sizes in one breath. Width x pitch x links in mm of a rubber track: common practice, no source."""

import pytest

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.track_size import TrackSize, track_size


@pytest.mark.parametrize(
    "text", ["400x86x52", "400 X 86 x 52", "400\u00d786\u00d752", "400*86*52", "400x86Kx52", "400 mm x 86 mm x 52"]
)
def test_a_rubber_track_as_it_is_moulded(text):
    assert track_size(text, True) == TrackSize(52, "86 mm", "400 mm")


@pytest.mark.parametrize("text", ["300x52.5x80", "300x52,5Nx80"])
def test_half_millimetres_with_point_or_comma(text):
    assert track_size(text, True) == TrackSize(80, "52.5 mm", "300 mm")


def test_a_chains_joints_and_pitch():
    assert track_size("47 x 187", False) == TrackSize(47, "187 mm")
    assert track_size("49x203.2mm", False) == TrackSize(49, "203.2 mm")


@pytest.mark.parametrize(
    ("text", "is_rubber", "allowed"),
    [
        ("400x86", True, "width x pitch x links"),
        ("47 x 187", True, "width x pitch x links"),
        ("400x86x52", False, "joints x pitch"),
        ("wide", False, "joints x pitch"),
        ("400x86x12", True, "20 to 120"),
        ("400x86x52.5", True, "20 to 120"),
        ("187 x 47", False, "20 to 120"),
    ],
)
def test_anything_else_is_refused_with_what_it_should_look_like(text, is_rubber, allowed):
    with pytest.raises(NotAllowedError) as caught:
        track_size(text, is_rubber)
    assert allowed in caught.value.problem.allowed
    assert caught.value.problem.seen == text
