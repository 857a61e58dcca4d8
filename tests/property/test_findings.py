"""What must hold of anything seen: never milder as it gets worse, and never milder for one more finding."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from pitchline.stops.work import findings_work
from pitchline.trade.bolts import asks_on_one
from pitchline.trade.calls import Call, Stake
from pitchline.trade.findings import CONSEQUENCES, Finding, FindingKind, Severity
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.words import say
from pitchline.words.names import named

BADLY = list(Severity)


def place_of(part):
    words = PARTS[part]
    return Place(part, Side.LEFT if words.sided else Side.NONE, 1 if words.numbered else 0)


@st.composite
def finding_on(draw, part):
    kind = draw(st.sampled_from([kind for kind in FindingKind if part in CONSEQUENCES[kind].parts]))
    on_one = draw(st.sampled_from([None, True, False])) if asks_on_one(kind, part) else None
    return Finding(place_of(part), kind, draw(st.sampled_from(BADLY)), draw(st.integers(1, 15)), "", on_one)


parts = st.sampled_from(PartKind)
seen_on_one_part = parts.flatmap(lambda part: st.lists(finding_on(part), min_size=1, max_size=5))


def worst(findings, dossier):
    return max(item.call.rank for item in findings_work(findings, dossier))


@given(parts.flatmap(finding_on))
def test_a_finding_is_never_milder_as_it_gets_worse(finding):
    more = replace(finding, count=finding.count + 1)
    assert more.call.rank >= finding.call.rank
    if finding.severity is not Severity.SEVERE:
        worse = replace(finding, severity=BADLY[BADLY.index(finding.severity) + 1])
        assert worse.call.rank >= finding.call.rank
    if asks_on_one(finding.kind, finding.place.part):
        spread, unsaid, on_one = (replace(finding, on_one=said).call.rank for said in (False, None, True))
        assert spread <= unsaid <= on_one


@given(st.data())
def test_one_more_finding_is_never_milder(dossier, data):
    findings = data.draw(seen_on_one_part)
    more = data.draw(finding_on(findings[0].place.part))
    assert worst([*findings, more], dossier) >= worst(findings, dossier)


@given(st.data())
def test_any_of_several_findings_worse_is_never_milder(dossier, data):
    findings = data.draw(seen_on_one_part)
    at = data.draw(st.integers(0, len(findings) - 1))
    worse = replace(
        findings[at], severity=Severity.SEVERE, count=findings[at].count + data.draw(st.integers(0, 5))
    )
    assert worst([*findings[:at], worse, *findings[at + 1 :]], dossier) >= worst(findings, dossier)


@given(st.data())
def test_everything_seen_is_named_and_a_stop_says_what_it_is_about(dossier, data):
    findings = data.draw(seen_on_one_part)
    work = findings_work(findings, dossier)
    assert all(any(named(one.kind) in say(item.because) for item in work) for one in findings)
    for item in work:
        assert (item.stake in (Stake.UNSAFE, Stake.RUINS)) is (item.call is Call.STOP)
        assert (item.stake is None) is (item.call is Call.RUN)
