from dataclasses import replace

import pytest

from pitchline.trade.dossier import PermittedRange
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.wear.plausibility import suspicions
from pitchline.words import say


def test_sag_out_of_its_range_is_no_slip(dossier, visit, read):
    sags = [read("chain", "sag", text, tool="rule") for text in ("15", "0", "120")]
    for sag in sags:
        assert suspicions(dossier, visit(sag)) == ()


@pytest.mark.parametrize(
    ("typed", "unit", "meant_m"), [("1.6", "mm", 0.04064), ("40", "in", 0.040), ("400", "mm", 0.040)]
)
def test_sag_with_a_slip_is_held(dossier, visit, read, typed, unit, meant_m):
    (found,) = suspicions(dossier, visit(read("chain", "sag", typed, unit=unit, tool="rule")))
    assert found.held
    assert found.instead_m == pytest.approx(meant_m)


def test_sag_without_a_range_is_only_bounded(dossier, visit, read):
    bare = replace(dossier, ranges=())
    assert suspicions(bare, visit(read("chain", "sag", "400", tool="rule"))) == ()
    (found,) = suspicions(bare, visit(read("chain", "sag", "1200", tool="rule")))
    assert "more than the 1000.0 mm" in say(found.suspects)


def test_the_adjuster_cannot_be_out_further_than_its_stroke(dossier, visit, read):
    assert suspicions(dossier, visit(read("track_adjuster", "adjuster_extension", "150", tool="rule"))) == ()
    (found,) = suspicions(dossier, visit(read("track_adjuster", "adjuster_extension", "170", tool="rule")))
    assert found.held


def test_kept_with_a_reason_is_not_held(dossier, visit, read):
    sag = read("chain", "sag", "400", tool="rule", kept="track hanging off the idler")
    (found,) = suspicions(dossier, visit(sag))
    assert not found.held
    assert "Kept because: track hanging off the idler." in say(found.suspects)


def test_a_setting_a_little_out_of_a_wide_range_is_no_slip(dossier, visit, read):
    """120 mm is out of 10 to 100 mm; 12.0 mm would be inside, but nobody need have slipped."""
    band = PermittedRange(PartKind.TRACK_ADJUSTER, Measurand.ADJUSTER_EXTENSION, 0.010, 0.100)
    wide = replace(dossier, ranges=(band,))
    assert suspicions(wide, visit(read("track_adjuster", "adjuster_extension", "120", tool="rule"))) == ()
