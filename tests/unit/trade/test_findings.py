"""What findings lead to: common practice, no source. Checked here: the table is whole and hangs together."""

from itertools import product

import pytest

from pitchline.trade.calls import Call
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.findings import CONSEQUENCES, Finding, FindingKind, Severity
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PARTS, PartKind, Place, Side


def place_of(part):
    words = PARTS[part]
    return Place(part, Side.LEFT if words.sided else Side.NONE, 1 if words.numbered else 0)


def test_each_finding_has_a_consequence():
    assert set(CONSEQUENCES) == set(FindingKind)
    for consequence in CONSEQUENCES.values():
        assert consequence.parts
        assert consequence.because


@pytest.mark.parametrize("kind", list(FindingKind))
def test_worse_is_never_milder(kind):
    ranks = [call.rank for call in CONSEQUENCES[kind].calls]
    assert ranks == sorted(ranks)
    assert len(ranks) == len(Severity)


@pytest.mark.parametrize("kind", list(FindingKind))
def test_a_part_stands_once_in_a_consequence(kind):
    assert len(set(CONSEQUENCES[kind].parts)) == len(CONSEQUENCES[kind].parts)


@pytest.mark.parametrize(("kind", "part"), list(product(FindingKind, PartKind)))
def test_a_finding_is_made_on_its_parts_and_refused_on_others(kind, part):
    if part in CONSEQUENCES[kind].parts:
        assert Finding(place_of(part), kind, Severity.SEVERE).call is CONSEQUENCES[kind].calls[2]
    else:
        with pytest.raises(NotAllowedError) as caught:
            Finding(place_of(part), kind, Severity.SEVERE)
        problem = caught.value.problem
        assert kind.label in problem.seen
        assert all(PARTS[one].plural in problem.allowed for one in CONSEQUENCES[kind].parts)


@pytest.mark.parametrize(
    "part", [PartKind.FINAL_DRIVE, PartKind.TRACK_ADJUSTER, PartKind.SLEW_RING], ids=lambda part: part.value
)
def test_dear_or_dangerous_parts_are_looked_into_before_they_are_replaced(part):
    assert Finding(place_of(part), FindingKind.LEAK, Severity.SEVERE).job is JobKind.INVESTIGATE


def test_what_can_break_without_notice_stops_the_machine():
    """Cracks, cords, pins and missing bolts: marked already stops. Common practice, no source."""
    for kind in (
        FindingKind.CRACKED,
        FindingKind.CORD_SHOWING,
        FindingKind.PIN_WALKING_OUT,
        FindingKind.MISSING_BOLTS,
    ):
        assert CONSEQUENCES[kind].calls[1:] == (Call.STOP, Call.STOP)


def test_a_slight_leak_is_looked_into_and_a_marked_one_means_a_new_roller():
    roller = place_of(PartKind.BOTTOM_ROLLER)
    assert Finding(roller, FindingKind.LEAK, Severity.SLIGHT).job is JobKind.INVESTIGATE
    assert Finding(roller, FindingKind.LEAK, Severity.MARKED).job is JobKind.REPLACE


@pytest.mark.parametrize("count", [0, -1])
def test_a_count_below_one_is_refused(count):
    with pytest.raises(NotAllowedError, match="Count again"):
        Finding(place_of(PartKind.SHOE), FindingKind.BENT, Severity.SLIGHT, count)


def test_a_finding_in_words():
    assert Finding(place_of(PartKind.SHOE), FindingKind.LOOSE_BOLTS, Severity.MARKED, 3).words == "loose bolts (3)"
    assert Finding(place_of(PartKind.SHOE), FindingKind.BENT, Severity.MARKED, 2).words == "bent, marked (2)"
    assert Finding(place_of(PartKind.SHOE), FindingKind.CRACKED, Severity.SEVERE).words == "cracked, severe"
