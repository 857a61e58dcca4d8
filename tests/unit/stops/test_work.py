"""What one part, finding or setting asks for."""

import pytest

from pitchline.stops.jobs import job_at_limit, job_of_finding, parts_needed, pieces_at, target_of
from pitchline.stops.work import findings_work
from pitchline.trade.calls import Call, Stake
from pitchline.trade.dossier import Limit
from pitchline.trade.findings import CONSEQUENCES, Finding, FindingKind, Severity
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.words import say
from pitchline.words.names import named

LEFT = Side.LEFT


def limit(part, measurand, **changes):
    return Limit(part, measurand, 0.2, 0.206 if measurand is Measurand.PITCH else 0.1, **changes)


def test_a_stretched_chain_is_turned_first_then_replaced():
    """Common practice, no source."""
    pitch = limit(PartKind.CHAIN, Measurand.PITCH)
    assert job_at_limit(pitch, turnable=True) is JobKind.TURN
    assert job_at_limit(pitch, turnable=False) is JobKind.REPLACE


def test_the_yard_can_say_what_it_does_at_the_limit():
    roller = limit(PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER, at_limit=JobKind.RESHELL)
    assert job_at_limit(roller, turnable=True) is JobKind.RESHELL


def test_links_and_bushes_are_changed_as_a_chain():
    for part in (PartKind.LINK, PartKind.BUSH, PartKind.CHAIN):
        assert target_of(JobKind.REPLACE, Place(part, LEFT)) == Place(PartKind.CHAIN, LEFT)
    roller = Place(PartKind.BOTTOM_ROLLER, LEFT, 2)
    assert target_of(JobKind.REPLACE, roller) == roller


def test_a_cracked_link_is_looked_into_before_a_chain_is_condemned():
    cracked = Finding(Place(PartKind.LINK, LEFT), FindingKind.CRACKED, Severity.SEVERE)
    assert job_of_finding(cracked) is JobKind.INVESTIGATE


def needed(work, dossier):
    pieces = parts_needed(work.job, (work.place,), work.pieces, dossier.gear)
    return tuple((say(piece), count) for piece, count in pieces)


def test_three_cracked_shoes_are_three_shoes(dossier):
    cracked = Finding(Place(PartKind.SHOE, LEFT), FindingKind.CRACKED, Severity.CLEAR, count=3)
    work = findings_work([cracked], dossier)[0]
    assert (work.job, work.pieces, work.call) == (JobKind.RESHOE, 3, Call.STOP)
    assert needed(work, dossier) == (
        ("shoe", 3),
        ("shoe bolt and nut", 12),
    )


@pytest.mark.parametrize("kind", list(FindingKind))
@pytest.mark.parametrize("severity", list(Severity))
def test_every_finding_leads_to_work_with_a_reason(kind, severity, dossier):
    part = CONSEQUENCES[kind].parts[0]
    place = Place(part, LEFT, int(part in (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER, PartKind.IDLER)))
    work = findings_work([Finding(place, kind, severity)], dossier)[0]
    assert named(kind) in say(work.because)
    assert (work.chance == 0.0) is (work.call is Call.RUN)


def test_a_slew_ring_with_bolts_and_a_crack_stops_and_one_sentence_names_all(dossier):
    """Case c22 of the issue's findings. The upper machine hangs on it: common practice, no source."""
    ring = Place(PartKind.SLEW_RING, Side.NONE)
    seen = [
        Finding(ring, FindingKind.LOOSE_BOLTS, Severity.CLEAR, 3),
        Finding(ring, FindingKind.MISSING_BOLTS, Severity.SLIGHT, 1),
        Finding(ring, FindingKind.CRACKED, Severity.SLIGHT),
    ]
    work = findings_work(seen, dossier)
    assert {(one.job, one.pieces) for one in work} == {(JobKind.REFIT_BOLTS, 4), (JobKind.INVESTIGATE, 1)}
    assert {(one.call, one.stake) for one in work} == {(Call.STOP, Stake.UNSAFE)}
    for one in work:
        assert all(named(finding.kind) in say(one.because) for finding in seen)


def test_crack_and_cord_of_one_rubber_track_stop_it_together(dossier):
    """Case c08: each slight, both of a track that is about to part."""
    track = Place(PartKind.RUBBER_TRACK, LEFT)
    seen = [Finding(track, kind, Severity.SLIGHT) for kind in (FindingKind.CRACKED, FindingKind.CORD_SHOWING)]
    assert [findings_work([one], dossier)[0].call for one in seen] == [Call.BOOK, Call.BOOK]
    (work,) = findings_work(seen, dossier)
    assert (work.job, work.call, work.stake) == (JobKind.INVESTIGATE, Call.STOP, Stake.UNSAFE)
    assert "together they point at one failure" in say(work.because)


def test_findings_apart_stay_apart(dossier):
    roller = Place(PartKind.BOTTOM_ROLLER, LEFT, 2)
    seen = [
        Finding(roller, FindingKind.LEAK, Severity.CLEAR),
        Finding(roller, FindingKind.UNEVEN_TREAD, Severity.CLEAR),
    ]
    assert [(one.call, one.stake) for one in findings_work(seen, dossier)] == [(Call.BOOK, Stake.SEEN)] * 2
    assert findings_work([], dossier) == []


def test_bolts_are_told_of_how_many_with_the_border(dossier):
    """45 shoes of 4 bolts, as the machine file of this test says: 180."""
    seen = Finding(Place(PartKind.SHOE, LEFT), FindingKind.MISSING_BOLTS, Severity.SLIGHT, 2, on_one=False)
    because = say(findings_work([seen], dossier)[0].because)
    assert "missing bolts (2 of 180, no two on one shoe)" in because
    assert "stop from 2 on one shoe or 4 on one side" in because


def test_a_loose_joining_link_takes_its_own_bolts(dossier):
    loose = Finding(Place(PartKind.CHAIN, LEFT), FindingKind.JOINING_LINK_LOOSE, Severity.SLIGHT, 2)
    work = findings_work([loose], dossier)[0]
    assert (work.job, work.call, work.stake) == (JobKind.REFIT_BOLTS, Call.STOP, Stake.UNSAFE)
    assert needed(work, dossier) == (("bolt and nut for joining links", 2),)


def test_pieces_of_a_whole_place(steel_gear):
    assert pieces_at(JobKind.RESHOE, PartKind.SHOE, steel_gear) == 45
    assert pieces_at(JobKind.REPLACE, PartKind.CHAIN, steel_gear) == 45
    assert pieces_at(JobKind.REPLACE, PartKind.SPROCKET, steel_gear) == 1
