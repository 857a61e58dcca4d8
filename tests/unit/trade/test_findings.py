"""What findings lead to: common practice, no source. Checked here: the table is whole and hangs together."""

from dataclasses import replace
from itertools import product

import pytest

from pitchline.trade.calls import Call, Stake
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.findings import (
    CONSEQUENCES,
    Finding,
    FindingKind,
    Severity,
    joined,
    joint_call,
    why_it_matters,
)
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.words import say
from pitchline.words.catalogue import refused
from pitchline.words.names import named, several


def place_of(part):
    words = PARTS[part]
    return Place(part, Side.LEFT if words.sided else Side.NONE, 1 if words.numbered else 0)


def test_each_finding_has_a_consequence():
    assert set(CONSEQUENCES) == set(FindingKind)
    for kind, consequence in CONSEQUENCES.items():
        assert consequence.parts
        assert say(why_it_matters(kind))


GRADES = [(kind, grade) for kind, leads in CONSEQUENCES.items() for grade in leads.grades]


@pytest.mark.parametrize(("kind", "grade"), GRADES)
def test_worse_is_never_milder(kind, grade):
    ranks = [call.rank for call in grade.calls]
    assert ranks == sorted(ranks)
    assert len(ranks) == len(Severity)


@pytest.mark.parametrize(("kind", "grade"), GRADES)
def test_a_stop_is_unsafe_or_ruins_what_is_dearer(kind, grade):
    """Design: stop is for what can hurt somebody or ruins what is dearer."""
    assert grade.stake in (Stake.UNSAFE, Stake.RUINS)


@pytest.mark.parametrize("kind", list(FindingKind))
def test_a_part_stands_once_in_a_consequence(kind):
    assert len(set(CONSEQUENCES[kind].parts)) == len(CONSEQUENCES[kind].parts)


@pytest.mark.parametrize(("kind", "part"), list(product(FindingKind, PartKind)))
def test_a_finding_is_made_on_its_parts_and_refused_on_others(kind, part):
    if part in CONSEQUENCES[kind].parts:
        assert Finding(place_of(part), kind, Severity.SEVERE).call is CONSEQUENCES[kind].on(part).calls[2]
    else:
        with pytest.raises(NotAllowedError) as caught:
            Finding(place_of(part), kind, Severity.SEVERE)
        problem = caught.value.problem
        assert named(kind) in refused(problem)
        assert all(several(one) in refused(problem) for one in CONSEQUENCES[kind].parts)


@pytest.mark.parametrize(
    "part", [PartKind.FINAL_DRIVE, PartKind.TRACK_ADJUSTER, PartKind.SLEW_RING], ids=lambda part: part.value
)
def test_dear_or_dangerous_parts_are_looked_into_before_they_are_replaced(part):
    assert Finding(place_of(part), FindingKind.LEAK, Severity.SEVERE).job is JobKind.INVESTIGATE


def called(part, kind, severity, **said):
    return Finding(place_of(part), kind, severity, **said).call


@pytest.mark.parametrize(
    ("part", "kind"),
    [
        (PartKind.SLEW_RING, FindingKind.LOOSE_BOLTS),
        (PartKind.SLEW_RING, FindingKind.MISSING_BOLTS),
        (PartKind.SLEW_RING, FindingKind.CRACKED),
        (PartKind.TRACK_ADJUSTER, FindingKind.CRACKED),
        (PartKind.TRACK_ADJUSTER, FindingKind.BROKEN_RECOIL_SPRING),
        (PartKind.IDLER, FindingKind.CRACKED),
        (PartKind.FINAL_DRIVE, FindingKind.CRACKED),
        (PartKind.FINAL_DRIVE, FindingKind.MISSING_BOLTS),
        (PartKind.LINK, FindingKind.CRACKED),
        (PartKind.CHAIN, FindingKind.PIN_WALKING_OUT),
        (PartKind.CHAIN, FindingKind.JOINING_LINK_LOOSE),
    ],
)
def test_what_the_machine_hangs_on_stops_it_from_slight_on(part, kind):
    """Ring bolts, cracks in what carries or is under load, an opening track. Common practice, no source."""
    seen = Finding(place_of(part), kind, Severity.SLIGHT)
    assert (seen.call, seen.stake) == (Call.STOP, Stake.UNSAFE)


def test_what_can_break_without_notice_stops_the_machine_when_marked():
    """Common practice, no source."""
    for kind in (FindingKind.CRACKED, FindingKind.CORD_SHOWING, FindingKind.STEEL_INSERT_LOST_OR_BROKEN):
        assert called(PartKind.RUBBER_TRACK, kind, Severity.CLEAR) is Call.STOP
        assert called(PartKind.RUBBER_TRACK, kind, Severity.SLIGHT) is Call.BOOK


def test_a_wheel_that_does_not_turn_ruins_the_chain():
    """An upper roller carries its own stretch of chain alone, so it waits longer. Common practice, no source."""
    bottom = Finding(place_of(PartKind.BOTTOM_ROLLER), FindingKind.SEIZED, Severity.CLEAR)
    assert (bottom.call, bottom.stake) == (Call.STOP, Stake.RUINS)
    assert called(PartKind.IDLER, FindingKind.SEIZED, Severity.CLEAR) is Call.STOP
    assert called(PartKind.UPPER_ROLLER, FindingKind.SEIZED, Severity.CLEAR) is Call.BOOK


def test_a_rubber_track_has_no_pins_and_a_chain_no_cord():
    of = {kind for kind in FindingKind if PartKind.RUBBER_TRACK in CONSEQUENCES[kind].parts}
    assert not of & {FindingKind.PIN_WALKING_OUT, FindingKind.DRY_JOINT, FindingKind.JOINING_LINK_LOOSE}
    assert {FindingKind.CUT, FindingKind.TORN_GUIDE_LUG, FindingKind.STEEL_INSERT_LOST_OR_BROKEN} <= of
    assert PartKind.CHAIN not in CONSEQUENCES[FindingKind.CORD_SHOWING].parts


def test_two_bolts_of_one_shoe_stop_and_two_of_a_whole_side_do_not():
    """The border of the issue: two of one shoe, or of 196. Our own judgement, no source."""
    missing, slight = FindingKind.MISSING_BOLTS, Severity.SLIGHT
    assert called(PartKind.SHOE, missing, slight, count=2, on_one=True) is Call.STOP
    assert called(PartKind.SHOE, missing, slight, count=2, on_one=False) is Call.BOOK
    assert called(PartKind.SHOE, missing, slight, count=4, on_one=False) is Call.STOP
    assert called(PartKind.SHOE, missing, slight, count=2) is Call.STOP  # nobody said: the careful side


def test_bolts_that_are_said_to_be_spread_go_by_their_number_alone():
    loose, severe = FindingKind.LOOSE_BOLTS, Severity.SEVERE
    assert called(PartKind.SHOE, loose, severe, count=5, on_one=False) is Call.BOOK
    assert called(PartKind.SHOE, loose, severe, count=12, on_one=False) is Call.STOP
    assert called(PartKind.SHOE, loose, severe, count=5) is Call.STOP


def test_the_border_is_told():
    shoe, ring, roller = (place_of(part) for part in (PartKind.SHOE, PartKind.SLEW_RING, PartKind.BOTTOM_ROLLER))
    missing, slight = FindingKind.MISSING_BOLTS, Severity.SLIGHT
    assert say(Finding(shoe, missing, slight).border) == "stop from 2 on one shoe or 4 on one side"
    assert say(Finding(ring, missing, slight).border) == "stop from the first"
    assert say(Finding(roller, missing, slight).border) == "stop from 2"
    assert say(Finding(shoe, missing, slight, 2).border).endswith(
        "or 4 on one side: say whether two sit on one shoe"
    )
    assert Finding(roller, FindingKind.LEAK, slight).border is None


def test_only_bolts_of_shoes_and_pads_are_asked_about_one_piece():
    with pytest.raises(NotAllowedError, match="on one piece"):
        Finding(place_of(PartKind.SHOE), FindingKind.BENT, Severity.SLIGHT, 2, on_one=True)
    with pytest.raises(NotAllowedError, match="on one piece"):
        Finding(place_of(PartKind.SLEW_RING), FindingKind.LOOSE_BOLTS, Severity.SLIGHT, 2, on_one=False)


def joint(part, *seen):
    (group,) = joined([Finding(place_of(part), kind, severity) for kind, severity in seen])
    return joint_call(group)


def test_two_that_point_at_one_failure_are_graver_than_each():
    """Crack and cord both slight: a track about to part. Leak and stiff: a bearing going. Our own rule."""
    slight, clear = Severity.SLIGHT, Severity.CLEAR
    both = ((FindingKind.CRACKED, slight), (FindingKind.CORD_SHOWING, slight))
    assert joint(PartKind.RUBBER_TRACK, *both) is Call.STOP
    going = ((FindingKind.LEAK, clear), (FindingKind.SEIZED, slight))
    assert joint(PartKind.BOTTOM_ROLLER, *going) is Call.STOP
    damp = ((FindingKind.LEAK, slight), (FindingKind.SHAFT_PLAY, slight))
    assert joint(PartKind.BOTTOM_ROLLER, *damp) is Call.BOOK


def test_findings_of_different_failures_do_not_add_up():
    roller = place_of(PartKind.BOTTOM_ROLLER)
    seen = [Finding(roller, kind, Severity.CLEAR) for kind in (FindingKind.LEAK, FindingKind.UNEVEN_TREAD)]
    assert joined(seen) == ()
    assert joined([seen[0], Finding(roller, FindingKind.LEAK, Severity.SLIGHT)]) == ()


def test_shoes_of_a_side_do_not_add_up_unless_it_is_one_shoe():
    shoe = place_of(PartKind.SHOE)
    bolts = (FindingKind.LOOSE_BOLTS, FindingKind.MISSING_BOLTS)
    assert joined([Finding(shoe, kind, Severity.SLIGHT) for kind in bolts]) == ()
    assert joined([Finding(shoe, kind, Severity.SLIGHT, on_one=True) for kind in bolts]) != ()


def test_a_slight_leak_is_looked_into_and_a_marked_one_means_a_new_roller():
    roller = place_of(PartKind.BOTTOM_ROLLER)
    assert Finding(roller, FindingKind.LEAK, Severity.SLIGHT).job is JobKind.INVESTIGATE
    assert Finding(roller, FindingKind.LEAK, Severity.CLEAR).job is JobKind.REPLACE


@pytest.mark.parametrize("count", [0, -1])
def test_a_count_below_one_is_refused(count):
    with pytest.raises(NotAllowedError, match="Count again"):
        Finding(place_of(PartKind.SHOE), FindingKind.BENT, Severity.SLIGHT, count)


def test_a_finding_in_words():
    assert (
        say(Finding(place_of(PartKind.SHOE), FindingKind.LOOSE_BOLTS, Severity.CLEAR, 3).told())
        == "loose bolts (3)"
    )
    assert say(Finding(place_of(PartKind.SHOE), FindingKind.BENT, Severity.CLEAR, 2).told()) == "bent, clear (2)"
    assert say(Finding(place_of(PartKind.SHOE), FindingKind.CRACKED, Severity.SEVERE).told()) == "cracked, severe"


def test_bolts_in_words_say_of_how_many_and_where():
    seen = Finding(place_of(PartKind.SHOE), FindingKind.MISSING_BOLTS, Severity.SLIGHT, 2, on_one=True)
    assert say(seen.told(192)) == "missing bolts (2 of 192, two or more on one shoe)"
    assert say(replace(seen, on_one=None).told()) == "missing bolts (2)"
