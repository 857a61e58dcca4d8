"""A verdict changed by hand so that it holds every kind of call at once; invented for these tests, figures and all.

Of the right side only the chain was looked at. On the left one roller leaks (unsafe), one bolt ruins what is dearer, the
sprocket is worn out, the link was read far off, the bush falls due, and the shoes are read and judged six points apart.
"""

import datetime as dt
from dataclasses import replace

from pitchline.trade.calls import Call, Stake
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.jobs import JobKind, cautions_of
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.verdict import EitherWay, HoursLeft, Job, PartVerdict, Verdict
from said import written

L, P = Side.LEFT, PartKind
UNSAFE, RUINS, WORN, ODD, DUE, APART = (
    Place(P.BOTTOM_ROLLER, L, 2), Place(P.BOTTOM_ROLLER, L, 1), Place(P.SPROCKET, L), Place(P.LINK, L), Place(P.BUSH, L),
    Place(P.SHOE, L),
)  # fmt: skip
BOTH = EitherWay(300.0, 5900.0)
PARTED = "The reading alone says more: two earlier ones and the other parts speak for less."
RULER_H = 523.0
READ_ON, CARRIED_H = dt.timedelta(weeks=15), 480.0
PAST = HoursLeft(0.0, 0.0, 0.0, 1.0)
SOON = HoursLeft(90.0, 190.0, 330.0, 0.2)
_CALLS = {
    UNSAFE: (Call.STOP, Stake.UNSAFE, JobKind.INVESTIGATE, None, "It leaks: the oil is lost and it seizes."),
    RUINS: (Call.STOP, Stake.RUINS, JobKind.REFIT_BOLTS, None, "A bolt is missing: the others follow."),
    WORN: (Call.BOOK, Stake.WORN_OUT, JobKind.REPLACE, PAST, "It is past its limit and works on at your cost."),
    ODD: (
        Call.BOOK,
        Stake.MEASURE,
        JobKind.INVESTIGATE,
        HoursLeft(150.0, 300.0, 6000.0, 0.1),
        "It was read far off.",
    ),
    DUE: (Call.BOOK, Stake.FALLS_DUE, JobKind.TURN, SOON, "It reaches its turn point in about 190 h."),
}


def half_looked(verdict: Verdict) -> Verdict:
    """The verdict with the right side not looked at, and every stake on the left."""
    parts = tuple(_changed(part) for part in verdict.parts)
    jobs = tuple(_job(part, verdict) for part in parts if part.call.asks)
    looked = sum(part.looked_at for part in parts)
    return replace(
        verdict,
        call=Call.STOP,
        parts=parts,
        jobs=tuple(sorted(jobs, key=lambda job: -job.call.rank)),
        headline=written(
            f"Only {looked} of {len(parts)} parts were looked at. Do not work it before this is done: "
            "look into bottom roller 2, left; refit bolts of bottom roller 1, left."
        ),
        looked_at=(looked, len(parts)),
        read_on=verdict.as_of - READ_ON,
        carried_h=CARRIED_H,
        suspicions=(),
    )


def _changed(part: PartVerdict) -> PartVerdict:
    place = part.place
    if place.side is Side.RIGHT and place.part is not P.CHAIN:
        unread = tuple(
            replace(one, status="not read", reading=None, value_m=None, u_m=None, expanded_u_m=None, course=None)
            for one in part.judged
        )
        by_age = "Nobody read it or looked it over."
        due = part.due or HoursLeft(2000.0, 4500.0, 9000.0, 0.0)
        return replace(
            part,
            call=Call.UNJUDGED,
            stake=None,
            looked_at=False,
            job=None,
            judged=unread,
            findings=(),
            reason=written(by_age),
            due=due,
        )
    ruled = tuple(replace(one, ruler_h=RULER_H if one.to_limit is not None else None) for one in part.judged)
    part = replace(part, judged=ruled, call=Call.RUN, stake=None, findings=(), job=None)
    if place == APART:
        used = part.judged[0].life_used or 0.0
        return replace(
            part, judged=(replace(ruled[0], life_used_read=used + 0.06, parted=written(PARTED)), *ruled[1:])
        )
    if place not in _CALLS:
        return part
    call, stake, job, due, why = _CALLS[place]
    if place == UNSAFE:
        part = replace(
            part, findings=(Finding(place, FindingKind.LEAK, Severity.SEVERE, 1, "oil down the shell"),)
        )
    if place == ODD:
        part = replace(part, judged=(replace(ruled[0], either_way=BOTH), *ruled[1:]))
    return replace(part, call=call, stake=stake, job=job, due=due or part.due, reason=written(why))


def _job(part: PartVerdict, verdict: Verdict) -> Job:
    due = _CALLS[part.place][3]
    cautions = cautions_of(part.job, part.place.part, verdict.gear)
    return Job(
        part.job, part.place.part, (part.place,), part.call, part.reason, due, None, 0.5, (), None, None, (), cautions,
        stake=part.stake,
    )  # fmt: skip
