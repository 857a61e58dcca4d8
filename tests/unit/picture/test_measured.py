"""Small pictures of what is measured: one for each quantity, and its dimension line spans what its words say."""

import itertools
import math
import re

import numpy as np
import pytest
from defusedxml import ElementTree

from pitchline.picture.ink import Tone, style_rules
from pitchline.picture.measured import TALL, WIDE, measured
from pitchline.shape.sizes import PROPORTIONS as SHARE
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.words.labels import quantity_asked, quantity_of_one

SVG = "{http://www.w3.org/2000/svg}"
BOTH = [(one, False) for one in Measurand] + [(one, True) for one in Measurand if MEASURANDS[one].spans_joints]
WAYS = {  # which way the dimension lies, from how the quantity is read: up from a face, or level along or through the part
    Measurand.PITCH: 0.0,
    Measurand.BUSH_OD_FORWARD: 30.0,
    Measurand.BUSH_OD_REVERSE: 150.0,
    Measurand.FLANGE_THICKNESS: 0.0,
    Measurand.TOOTH_THICKNESS: 0.0,
    Measurand.ADJUSTER_EXTENSION: 0.0,
    Measurand.RUBBER_PITCH: 0.0,
    Measurand.GUIDE_LUG_WIDTH: 0.0,
}
NEW = {  # the part when new, in pitches of the chain drawn; what is drawn is worn, so a size that falls is less
    Measurand.BUSH_OD_FORWARD: SHARE["bush diameter"],
    Measurand.BUSH_OD_REVERSE: SHARE["bush diameter"],
    Measurand.RAIL_HEIGHT: SHARE["link rail height"],
    Measurand.GROUSER_HEIGHT: SHARE["grouser height"],
    Measurand.PAD_HEIGHT: SHARE["rubber pad height"],
    Measurand.TREAD_DIAMETER: SHARE["roller tread"],
    Measurand.FLANGE_THICKNESS: SHARE["roller flange thickness"],
    Measurand.LUG_HEIGHT: SHARE["rubber lug height"],
    Measurand.GUIDE_LUG_WIDTH: SHARE["guide lug width"],
}


def off(spot, outlines):
    """How far a place is from the nearest line drawn."""
    nearest = math.inf
    for outline in outlines:
        one, way = outline, np.roll(outline, -1, axis=0) - outline
        long = np.maximum((way**2).sum(axis=1), 1e-12)
        share = np.clip(((np.asarray(spot) - one) * way).sum(axis=1) / long, 0, 1)
        nearest = min(nearest, float(np.hypot(*(one + share[:, None] * way - spot).T).min()))
    return nearest


def length(measurand, of_one=False):
    one, other = measured(measurand, of_one).ends
    return math.dist(one, other)


@pytest.mark.parametrize(("measurand", "of_one"), BOTH)
def test_each_quantity_has_its_picture_called_as_it_is_asked_for(measurand, of_one):
    picture, words = measured(measurand, of_one), MEASURANDS[measurand]
    assert picture.label == (quantity_of_one(measurand) if of_one else quantity_asked(measurand))
    assert picture.told.endswith(".")
    assert not any(sign.isdigit() for sign in picture.told), "no figure of any machine"
    counted = ["1", "2", "3", "4"] if words.spans_joints and not of_one else []
    assert [box.words for box in picture.board.texts] == counted, "joints are counted, nothing else is written"
    root = ElementTree.fromstring(picture.svg(Tone.PAPER))
    assert (root.find(f"{SVG}title").text, root.find(f"{SVG}desc").text) == (picture.label, picture.told)


def test_no_two_quantities_are_told_alike():
    assert len({measured(*one).told for one in BOTH}) == len(BOTH)


@pytest.mark.parametrize("tone", Tone)
def test_a_rule_is_left_out_only_where_nothing_uses_it(tone):
    """Each class drawn is ruled as in the full set of rules."""
    for one in BOTH:
        picture = measured(*one)
        text = picture.svg(tone)
        rules = ElementTree.fromstring(text).find(f"{SVG}style").text
        used = {
            kind for kinds in re.findall('class="([^"]+)"', "".join(picture.board.body)) for kind in kinds.split()
        }
        full = style_rules("measured", tone)
        for kind in used:
            assert len(re.findall(rf"\.{kind}\b", rules)) == len(re.findall(rf"\.{kind}\b", full)) > 0, kind


@pytest.mark.parametrize(("measurand", "of_one"), BOTH)
def test_its_texts_lie_apart_and_inside(measurand, of_one):
    texts = measured(measurand, of_one).board.texts
    assert not [one.words for one, two in itertools.combinations(texts, 2) if one.meets(two)]
    assert all(box.left >= 0 and box.right <= WIDE and 0 <= box.top < box.bottom <= TALL for box in texts)


@pytest.mark.parametrize(("measurand", "of_one"), BOTH)
def test_its_dimension_begins_and_ends_on_what_is_drawn(measurand, of_one):
    picture = measured(measurand, of_one)
    assert [round(off(end, picture.outlines), 3) for end in picture.ends] == [0, 0]


@pytest.mark.parametrize("measurand", Measurand)
def test_its_dimension_lies_the_way_it_is_read(measurand):
    (x, y), (to_x, to_y) = measured(measurand).ends
    way = math.degrees(math.atan2(to_y - y, to_x - x)) % 180
    apart = abs(way - WAYS.get(measurand, 90.0)) % 180
    assert min(apart, 180 - apart) < 4, "a worn tooth is not alike on both flanks, and nothing else is askew"


@pytest.mark.parametrize("measurand", NEW)
def test_it_shows_the_part_worn_so_that_one_sees_where_it_is_smallest(measurand):
    assert 0.5 * NEW[measurand] < length(measurand) < 0.95 * NEW[measurand]


def test_pitch_spans_four_joints_where_it_is_read_and_one_where_its_limit_is_entered():
    for measurand in (Measurand.PITCH, Measurand.RUBBER_PITCH):
        assert (length(measurand), length(measurand, of_one=True)) == (pytest.approx(4), pytest.approx(1))


def test_the_root_is_measured_through_the_sprockets_middle_between_opposite_gaps():
    (x, y), (to_x, to_y) = measured(Measurand.ROOT_DIAMETER).ends
    assert (x, to_x, y) == (0, 0, -to_y)
    pitch_circle = 1 / math.sin(math.pi / 14)  # fourteen teeth, a bush in each gap: chord formula of a polygon
    assert pitch_circle - 2 * 0.46 < 2 * to_y < pitch_circle - 0.46, (
        "a bush and a little wear less than the circle"
    )


def test_a_tooth_is_measured_where_the_middle_of_a_bush_comes_to_lie():
    for end in measured(Measurand.TOOTH_THICKNESS).ends:
        assert math.hypot(*end) == pytest.approx(0.5 / math.sin(math.pi / 14), abs=0.01)


def test_each_face_of_a_bush_is_measured_on_its_own_side():
    forward, reverse = (measured(one).ends[0] for one in (Measurand.BUSH_OD_FORWARD, Measurand.BUSH_OD_REVERSE))
    assert forward[0] > 0 > reverse[0]
