"""Each measured quantity of each part, with its figures and why."""

import datetime as dt
from dataclasses import replace

import numpy as np

from pitchline.judge.doubts import Doubts
from pitchline.judge.machine_by_day import Known
from pitchline.judge.ruler import parted, ruler_h
from pitchline.outlook.fieller import line_crossing
from pitchline.outlook.kinds import ground_pace, life_said
from pitchline.outlook.learned import Learned, kind_word
from pitchline.outlook.learned_limit import as_size
from pitchline.outlook.lives import Life
from pitchline.outlook.machine import LifeOutlook
from pitchline.stops.doubted import Doubted
from pitchline.trade.assumed_limits import rule_of
from pitchline.trade.dossier import Dossier, LineShape
from pitchline.trade.measurands import MEASURANDS, Measurand, Role, measurands_of
from pitchline.trade.parts import Place
from pitchline.trade.readings import Reading
from pitchline.trade.saying import Saying, saying
from pitchline.verdict import EitherWay, Judged, LineOnly, Why
from pitchline.wear.doubt import reading_doubt
from pitchline.wear.history import newest_reading


def judged_at(
    place: Place,
    known: Known,
    outlooks: dict[tuple[Place, Measurand], LifeOutlook],
    learned: Learned | None,
    doubts: Doubts | None = None,
) -> tuple[Judged, ...]:
    """Every quantity of one part.

    Parameters
    ----------
    place : Place
        The part.
    known : Known
        The dossier as it stood.
    outlooks : dict
        Outlook by place and quantity, where there is one.
    learned : Learned or None
        Constants the outlook started from.
    doubts : dict or None
        Newest readings that are not understood, by place and quantity.
    """
    found = (_judged(place, m, known, outlooks.get((place, m)), learned) for m in measurands_of(place.part))
    return tuple(_either_way(item, (doubts or {}).get((place, item.measurand))) for item in found)


def _either_way(item: Judged, doubted: Doubted | None) -> Judged:
    if doubted is None or doubted.cause:
        return item
    return replace(item, either_way=EitherWay(doubted.if_right_h, doubted.if_misread_h))


def _judged(
    place: Place,
    measurand: Measurand,
    known: Known,
    outlook: LifeOutlook | None,
    learned: Learned | None,
) -> Judged:
    newest = newest_reading(known.dossier, place, measurand, known.now_h)
    limit = known.dossier.limit_of(place.part, measurand)
    if outlook is None:
        status = "setting" if MEASURANDS[measurand].role is Role.SETTING else "no limit entered"
        permitted = known.dossier.range_of(place.part, measurand)
        least_m, most_m = (permitted.least_m, permitted.most_m) if permitted is not None else (None, None)
        if newest is None:
            return Judged(
                place, measurand, status if limit is None else "not read", least_m=least_m, most_m=most_m
            )
        reading, date = newest
        doubt = reading_doubt(reading)
        return Judged(
            place,
            measurand,
            status,
            reading,
            date,
            reading.value_m,
            doubt.u_m,
            doubt.expanded_u_m,
            new_m=limit.new_m if limit is not None else None,
            why=(_why_reading(reading, doubt.expanded_u_m, date),),
            least_m=least_m,
            most_m=most_m,
        )
    return _with_outlook(place, measurand, known, outlook, newest, learned)


def _with_outlook(
    place: Place,
    measurand: Measurand,
    known: Known,
    outlook: LifeOutlook,
    newest: tuple[Reading, dt.date] | None,
    learned: Learned | None,
) -> Judged:
    life = outlook.life
    trace = life.traces[-1] if life.traces else None
    status = "judged" if trace is not None else "not read"
    reading, date = (trace.reading, trace.date) if trace is not None else (None, None)
    doubt = trace.doubt if trace is not None else None
    if newest is not None and (newest[1], newest[0]) in known.held:
        status, reading, date, doubt = "held back", *newest, reading_doubt(newest[0])
    return Judged(
        place=place,
        measurand=measurand,
        status=status,
        reading=reading,
        read_on=date,
        value_m=reading.value_m if reading is not None else None,
        u_m=doubt.u_m if doubt is not None else None,
        expanded_u_m=doubt.expanded_u_m if doubt is not None else None,
        new_m=life.line.limit.new_m,
        limit_m=life.line.limit.limit_m,
        life_used=max(0.0, outlook.life_used),
        life_used_u=outlook.life_used_u,
        beyond_line=trace is not None and trace.beyond,
        to_limit=outlook.to_limit,
        to_turn=outlook.to_turn,
        after_turn=outlook.after_turn,
        line_only=_line_only(life, known.now_h),
        readings=len(life.traces),
        chance_changed=outlook.chance_changed,
        chance_misread=outlook.chance_misread,
        why=_why(outlook, learned, known.dossier),
        life_used_read=max(0.0, trace.life_used) if trace is not None and status == "judged" else None,
        ruler_h=ruler_h(life, known.now_h),
        parted=parted(outlook, known.now_h) if status == "judged" else None,
        chance_odd=outlook.chance_odd,
        limit_assumed=life.line.limit.assumed,
    )


def _line_only(life: Life, now_h: float) -> LineOnly | None:
    """The straight line through the readings of the part now fitted, where it is sure of its slope."""
    hours = np.array([trace.service_h for trace in life.traces])
    if hours.size < 3 or np.ptp(hours) == 0:
        return None
    line = line_crossing(hours, np.array([trace.life_used for trace in life.traces]), 1.0, 0.8)
    if line.low is None or line.high is None or line.at < hours[0]:
        return None
    low, middle, high = (max(0.0, at - now_h) for at in (line.low, line.at, line.high))
    return LineOnly(low, middle, high, int(hours.size))


def _why(outlook: LifeOutlook, learned: Learned | None, dossier: Dossier) -> tuple[Why, ...]:
    life = outlook.life
    limit = life.line.limit
    per = "_per_joint" if MEASURANDS[life.measurand].spans_joints else ""
    shape = None if limit.shape is LineShape.STRAIGHT else saying(f"why.{limit.shape.value}")
    sizes = saying(f"why.sizes{per}", new_m=limit.new_m, limit_m=life.line.limit_m, shape=shape)
    source = saying("why.as_typed", typed=limit.source) if limit.source else saying("why.no_source")
    if limit.assumed:
        source = rule_of(limit.part, limit.measurand).said_of(limit.measurand)
    started = (
        saying("why.fitted_unknown")
        if life.started is None
        else saying(f"why.{life.started.event.value}", at_h=life.started.service_h)
    )
    if life.started is not None and life.traces and life.traces[0].reading in life.started.readings:
        started = saying("why.fitted_part_worn_and_read", at_h=life.started.service_h)
    low, middle, high = outlook.whole_life_h
    return (
        *(
            _why_reading(trace.reading, trace.doubt.expanded_u_m, trace.date, life)
            for trace in reversed(life.traces)
        ),
        Why("sizes", sizes, source),
        Why("start", started, saying("why.history")),
        _why_start(life, learned, dossier),
        *([] if learned is not None else _why_ground(life, dossier)),
        *_why_old_flat(life),
        *_why_late(outlook.times_late, learned),
        *_why_taken_off(life, learned),
        Why(
            "learned life",
            saying("why.learned_life", low_h=low, middle_h=middle, high_h=high),
            saying("why.all_parts_together"),
        ),
    )


def _why_taken_off(life: Life, learned: Learned | None) -> list[Why]:
    """What the yard really runs such parts down to, beside the limit it entered."""
    word = kind_word(life.place.part.value, life.measurand.value)
    limit = learned.limits.get(word) if learned is not None else None
    size = as_size(life.line, limit) if limit is not None else None
    if limit is None or size is None or limit.typical is None:
        return []
    said = saying("why.taken_off_at", typical_m=size.typical_m, from_m=size.from_m, to_m=size.to_m)
    return [Why("what the yard does", said, saying("why.learned_from", rests_on=limit.said))]


def _why_ground(life: Life, dossier: Dossier) -> list[Why]:
    """Grounds behind and ahead that take this part harder, or less hard, than the others."""
    worked = {dossier.usual_ground, *dossier.mix_to_come.grounds, *(span.ground for span in dossier.ground_spans)}
    pace = ground_pace((life.kind,))[0]
    harder = [
        saying("why.ground_pace", ground=ground, times=pace[ground])
        for ground in sorted(worked)
        if pace[ground] != 1
    ]
    return [Why("ground", saying("why.grounds", grounds=harder), saying("life.assumed"))] if harder else []


def _why_old_flat(life: Life) -> list[Why]:
    """What was taken off the newest reading of turned bushes."""
    trace = life.traces[-1] if life.traces else None
    if trace is None or trace.as_read is None:
        return []
    how = "told" if trace.how_said else "guessed"
    said = saying(f"why.old_flat_{how}", off_m=trace.old_flat_m, used=trace.life_used, read=trace.as_read)
    return [Why("turned bushes", said, saying("why.before_the_turn"))]


def _why_late(times: float, learned: Learned | None) -> list[Why]:
    if learned is None or times == 1:
        return []
    said = saying("why.faster_late", times=times, begins=learned.late.begins)
    return [Why("late in life", said, _learned_from(learned))]


def _learned_from(learned: Learned) -> Saying:
    return saying("life.learned", readings=learned.readings, machines=learned.machines)


def _why_start(life: Life, learned: Learned | None, dossier: Dossier) -> Why:
    word = kind_word(life.place.part.value, life.measurand.value)
    typical_h, log_spread = life.kind.typical_life_h, life.kind.log_spread
    source = saying("life.entered") if life.kind_entered else life_said(dossier, life.place.part)
    if learned is not None and word in learned.kinds:
        place = learned.kinds.index(word)
        typical_h, own = float(np.exp(-learned.priors.log_rate[place])), learned.priors.log_rate_u[place]
        spreads = (learned.priors.log_machine_spread[0], learned.priors.log_part_spread[0])
        log_spread = float(np.sqrt(own**2 + sum(np.exp(2 * spread) for spread in spreads)))
        source = _learned_from(learned)
    low_h, high_h = (typical_h * float(np.exp(way * log_spread)) for way in (-1, 1))
    return Why("typical life", saying("why.typical_life", typical_h=typical_h, low_h=low_h, high_h=high_h), source)


def _why_reading(reading: Reading, expanded_u_m: float, date: dt.date, life: Life | None = None) -> Why:
    per = "_per_joint" if reading.joints > 1 else ""
    said = saying(f"why.reading{per}", typed=reading.words, tool=reading.tool.label, doubt_m=expanded_u_m)
    fitted = life is not None and life.started is not None and reading in life.started.readings
    return Why("reading", said, saying(f"why.{'as_fitted' if fitted else 'walk_round'}", day=date))
