"""Whatever work is written down: it closes nothing it does not reach, loses nothing, and taken out again leaves no trace."""

import datetime as dt
import json
from dataclasses import replace

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from pitchline.exchange.machine_file import machine_from_json, machine_json
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge import judge
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.findings import CONSEQUENCES, Finding, FindingKind, Severity
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading
from pitchline.trade.work_done import ASKED, Did, Reckoned, Spent, WorkDone, doable_on

FEW = settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
ROLLERS = [
    Place(PartKind.BOTTOM_ROLLER, side, number) for side in (Side.LEFT, Side.RIGHT) for number in range(1, 6)
]
WITH_CHAIN = (PartKind.CHAIN, PartKind.LINK, PartKind.BUSH)


@st.composite
def seen_and_done(draw, places):
    """Some findings on a machine, and one job done to some of its parts."""
    findings = {}
    for place in draw(st.lists(st.sampled_from(places), min_size=1, max_size=6, unique=True)):
        kinds = [kind for kind in FindingKind if place.part in CONSEQUENCES[kind].parts]
        if kinds:
            kind = draw(st.sampled_from(kinds))
            findings[place, kind] = Finding(place, kind, draw(st.sampled_from(Severity)))
    assume(findings)
    at = draw(st.sampled_from(places))
    alike = [place for place in places if place.part is at.part]
    did = draw(st.sampled_from(doable_on(at.part)))
    where = tuple(draw(st.lists(st.sampled_from(alike), min_size=1, max_size=3, unique=True)))
    right = tuple(draw(st.lists(st.sampled_from(list(findings)), unique=True, max_size=2)))
    assume(right or did not in ASKED)
    sizes = ()
    if did is Did.FITTED_PART_WORN and where[0] in ROLLERS:
        size_m = draw(st.floats(0.140, 0.165))
        sizes = (Reading(where[0], Measurand.TREAD_DIAMETER, (size_m,), DEFAULT_TOOLS["rule"]),)
    money = st.floats(0, 1e6)
    spent = draw(st.none() | st.builds(Spent, money, money, st.just("EUR")))
    reckoned = draw(st.none() | st.builds(Reckoned, money, st.just("SEK"), st.just("a plan")))
    days = draw(st.integers(0, 60))
    return tuple(findings.values()), (did, where, right, sizes, spent, reckoned, days, draw(st.booleans()))


def reached(did, where):
    """Every place such work can reach at the most, told without the code under test: where it is done, and what comes with it."""
    parts = {place.part for place in where}
    if did in (Did.FITTED_NEW, Did.FITTED_PART_WORN, Did.REBUILT):
        parts |= set(WITH_CHAIN) if parts & {PartKind.CHAIN, PartKind.LINK} else set()
        parts |= {PartKind.PAD} if PartKind.SHOE in parts else set()
    sides = {place.side for place in where}
    return lambda place: place in where or (place.part in parts - {where[0].part} and place.side in sides)


@FEW
@given(st.data())
def test_work_closes_nothing_out_of_its_reach_and_leaves_no_trace(dossier, data):
    places = dossier.gear.places()
    findings, (did, where, right, sizes, spent, reckoned, days, told) = data.draw(seen_and_done(places))
    last = dossier.walk_rounds[-1]
    looked = tuple(place for place in last.looked_over if place not in {one.place for one in findings})
    last = replace(last, findings=findings, looked_over=looked)
    machine = replace(dossier, walk_rounds=(dossier.walk_rounds[0], last))
    hours_h = last.service_h + 10.0 * days
    seen_on = last.date if told or days else None
    try:
        work = WorkDone(
            "w1",
            did,
            where,
            last.date + dt.timedelta(days),
            hours_h,
            seen_on,
            right,
            sizes,
            "A fitter",
            spent,
            reckoned,
        )
        after = replace(machine, work=(work,))
    except NotAllowedError:
        assume(False)
    back = machine_from_json(machine_json(after), "m.json")
    assert (back.work, machine_json(back)) == (after.work, machine_json(after))

    verdict, on = judge(after), work.date
    assert verdict.from_service_h >= hours_h or not work.follows(last)
    within = reached(did, where)
    standing = {(one.place, one.kind) for part in verdict.parts for one in part.findings}
    for one in findings:
        named = (one.place, one.kind) in right and seen_on is not None
        if not named and not (within(one.place) and days):
            assert (one.place, one.kind) in standing
            call = next(part.call for part in verdict.parts if part.place == one.place)
            assert not one.call.asks or call.rank >= one.call.rank

    taken_out = json.loads(machine_json(after))
    taken_out.pop("work_done")
    undone = machine_from_json(json.dumps(taken_out), "m.json")
    assert machine_json(undone) == machine_json(machine)
    assert verdict_json(judge(undone, as_of=on)) == verdict_json(judge(machine, as_of=on))
