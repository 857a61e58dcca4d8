"""Pictures that move: eight frames, one shown at a time, where somebody opens them; without motion the stills say the same."""

import re
from pathlib import Path

import numpy as np
import pytest
from django.contrib.staticfiles import finders

from pitchline.desk.primer.drawings import MOVING_ON
from pitchline.desk.primer.lessons import LESSONS
from pitchline.picture.moving import FRAMES, MOVING, moving_svg, still_svgs
from pitchline.trade.parts import PartKind


@pytest.mark.parametrize("name", MOVING)
def test_each_frame_is_drawn_and_no_two_are_alike(name):
    drawn = moving_svg(name)
    frames = re.findall(r'<g class="f f(\d)">(.*?)</g>(?=\s*<g class="f|\s*</svg>)', drawn, re.DOTALL)
    assert [int(number) for number, _ in frames] == list(range(1, FRAMES + 1))
    assert len({body for _, body in frames}) == FRAMES


def test_every_picture_is_on_a_page_and_has_stills_of_its_own():
    assert set(MOVING_ON.values()) == set(MOVING)
    assert set(MOVING_ON) <= {one.value for one in PartKind} | set(LESSONS)
    assert all(len(still_svgs(name)) == 3 for name in MOVING if name != "turning")  # its lesson has five drawings


def test_motion_is_for_whoever_wants_it_and_can_be_stopped():
    css = Path(finders.find("primer/primer.css")).read_text(encoding="utf-8")
    assert re.search(r"prefers-reduced-motion: reduce\) \{ \.moves \{ display: none", css)
    template = Path(finders.find("primer/primer.css")).parents[2] / "templates/primer/moving.html"
    assert re.search(r'<details class="moves">', template.read_text(encoding="utf-8"))
    assert len(re.findall(r"\.moves \.f\d \{ animation-delay", css)) == FRAMES - 1


def test_slack_is_taken_up_by_a_chain_of_one_length():
    """The length of the curve as drawn, corner by corner, against that of every other frame; the arc of the wheels is alike."""
    lengths, sags = [], []
    frames = re.findall(r'<g class="f f\d">(.*?)</g>', moving_svg("slack"), re.DOTALL)
    for body in frames:
        way = re.search(r'class="line strong" d="M([^"]+)"', body)[1]
        x, y = np.array([[float(one) for one in spot.split()] for spot in way.split("L")]).T
        lengths.append(np.hypot(np.diff(x), np.diff(y)).sum())
        sags.append(y.max() - y.min())
    assert np.ptp(lengths) < 1.5  # of 215: a parabola's length by its first term alone
    assert sags == sorted(sags, reverse=True)
    assert sags[0] > 3 * sags[-1]
