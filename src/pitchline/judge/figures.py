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
from pitchline.trade.dossier import Dossier, Event, LineShape
from pitchline.trade.ground import GROUND_EXAMPLES
from pitchline.trade.measurands import MEASURANDS, Measurand, Role, measurands_of
from pitchline.trade.parts import Place
from pitchline.trade.readings import Reading
from pitchline.trade.units import UnitSystem, show_hours, show_length
from pitchline.trade.writing import as_day, as_figure
from pitchline.verdict import EitherWay, Judged, LineOnly, Why
from pitchline.wear.doubt import reading_doubt
from pitchline.wear.history import newest_reading

GUM = "doubt after JCGM 100:2008"
_STARTED = {
    Event.FITTED_NEW: "fitted new at {}",
    Event.FITTED_PART_WORN: "fitted part-worn at {}, wear then unknown",
    Event.TURNED: "turned at {}",
    Event.REBUILT: "rebuilt at {}",
}


def judged_at(
    place: Place,
    known: Known,
    outlooks: dict[tuple[Place, Measurand], LifeOutlook],
    units: UnitSystem,
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
    units : UnitSystem
        Units of the sentences.
    learned : Learned or None
        Constants the outlook started from.
    doubts : dict or None
        Newest readings that are not understood, by place and quantity.
    """
    found = (_judged(place, m, known, outlooks.get((place, m)), units, learned) for m in measurands_of(place.part))
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
    units: UnitSystem,
    learned: Learned | None,
) -> Judged:
    newest = newest_reading(known.dossier, place, measurand, known.now_h)
    limit = known.dossier.limit_of(place.part, measurand)
    if outlook is None:
        status = "setting" if MEASURANDS[measurand].role is Role.SETTING else "no limit entered"
        if newest is None:
            return Judged(place, measurand, status if limit is None else "not read")
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
            why=(_why_reading(reading, doubt.expanded_u_m, as_day(date), units),),
        )
    return _with_outlook(place, measurand, known, outlook, newest, units, learned)


def _with_outlook(
    place: Place,
    measurand: Measurand,
    known: Known,
    outlook: LifeOutlook,
    newest: tuple[Reading, dt.date] | None,
    units: UnitSystem,
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
        why=_why(outlook, units, learned, known.dossier),
        life_used_read=max(0.0, trace.life_used) if trace is not None and status == "judged" else None,
        ruler_h=ruler_h(life, known.now_h),
        parted=parted(outlook, known.now_h) if status == "judged" else None,
        chance_odd=outlook.chance_odd,
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


def _why(outlook: LifeOutlook, units: UnitSystem, learned: Learned | None, dossier: Dossier) -> tuple[Why, ...]:
    life = outlook.life
    limit = life.line.limit
    per = " per joint" if MEASURANDS[life.measurand].spans_joints else ""
    sizes = f"new {show_length(limit.new_m, units)}, limit {show_length(life.line.limit_m, units)}{per}"
    shape = "" if limit.shape is LineShape.STRAIGHT else f", {limit.shape.value.replace('_', ' ')}"
    low, middle, high = (show_hours(hours) for hours in outlook.whole_life_h)
    started = (
        "hours of fitting not known"
        if life.started is None
        else _STARTED[life.started.event].format(f"{as_figure(life.started.service_h)} h")
    )
    if life.started is not None and life.traces and life.traces[0].reading in life.started.readings:
        started = started.replace("wear then unknown", "its size then read")
    lines = [
        _why_reading(trace.reading, trace.doubt.expanded_u_m, as_day(trace.date), units, life)
        for trace in reversed(life.traces)
    ]
    lines += [
        Why("sizes", sizes + shape, limit.source or "entered by the yard, no source given"),
        Why("start", started, "the machine's history"),
        _why_start(life, learned, dossier),
        *([] if learned is not None else _why_ground(life, dossier)),
        *_why_old_flat(life, units),
        *_why_late(outlook.times_late, learned),
        *_why_taken_off(life, learned, units),
        Why(
            "learned life",
            f"{middle} from new to the limit on middling ground, 8 in 10 between {low} and {high}",
            "all parts of this machine together",
        ),
    ]
    return tuple(lines)


def _why_taken_off(life: Life, learned: Learned | None, units: UnitSystem) -> list[Why]:
    """What the yard really runs such parts down to, beside the limit it entered."""
    word = kind_word(life.place.part.value, life.measurand.value)
    limit = learned.limits.get(word) if learned is not None else None
    size = as_size(life.line, limit) if limit is not None else None
    if limit is None or size is None or limit.typical is None:
        return []
    typical, first, last = (show_length(each_m, units) for each_m in (size.typical_m, size.from_m, size.to_m))
    said = f"takes them off at about {typical}, 8 in 10 sure between {first} and {last}; the entered limit is what counts"
    return [Why("what the yard does", said, f"learned from {limit.said}")]


def _why_ground(life: Life, dossier: Dossier) -> list[Why]:
    """Grounds behind and ahead that take this part harder, or less hard, than the others."""
    worked = {dossier.usual_ground, *dossier.mix_to_come.grounds, *(span.ground for span in dossier.ground_spans)}
    pace = ground_pace((life.kind,))[0]
    said = [
        f"{ground.label} ground ({GROUND_EXAMPLES[ground]}) wears it {as_figure(pace[ground], 'g')} times as fast as all "
        "parts together there"
        for ground in sorted(worked)
        if pace[ground] != 1
    ]
    return [Why("ground", "; ".join(said), "our assumption, no source")] if said else []


def _why_old_flat(life: Life, units: UnitSystem) -> list[Why]:
    """What was taken off the newest reading of turned bushes."""
    trace = life.traces[-1] if life.traces else None
    if trace is None or trace.as_read is None:
        return []
    off = show_length(trace.old_flat_m, units, 1 if units is UnitSystem.METRIC else 3)
    how = (
        f"{off} taken off for the old flat opposite, on which the calliper sat too"
        if trace.how_said
        else f"{off} taken off, half of the old flat opposite, because nobody said whether the calliper sat on it"
    )
    said = f"{how}: {100 * trace.life_used:.0f} % used, {100 * trace.as_read:.0f} % as read"
    return [Why("turned bushes", said, "the last reading before the turn; geometry")]


def _why_late(times: float, learned: Learned | None) -> list[Why]:
    if learned is None or times == 1:
        return []
    begins = f"{100 * learned.late.begins:.0f} % of the life"
    source = (
        f"learned from {as_figure(learned.readings, ',')} readings on {as_figure(learned.machines, ',')} machines"
    )
    return [
        Why("late in life", f"wears {as_figure(times, '.1f')} times as fast once about {begins} is used", source)
    ]


def _why_start(life: Life, learned: Learned | None, dossier: Dossier) -> Why:
    word = kind_word(life.place.part.value, life.measurand.value)
    typical_h, log_spread = life.kind.typical_life_h, life.kind.log_spread
    source = "entered by the yard" if life.kind_entered else life_said(dossier, life.place.part)
    if learned is not None and word in learned.kinds:
        place = learned.kinds.index(word)
        typical_h, own = float(np.exp(-learned.priors.log_rate[place])), learned.priors.log_rate_u[place]
        spreads = (learned.priors.log_machine_spread[0], learned.priors.log_part_spread[0])
        log_spread = float(np.sqrt(own**2 + sum(np.exp(2 * spread) for spread in spreads)))
        source = f"learned from {as_figure(learned.readings, ',')} readings on {as_figure(learned.machines, ',')} machines"
    low, high = (show_hours(typical_h * float(np.exp(way * log_spread))) for way in (-1, 1))
    return Why(
        "typical life",
        f"{show_hours(typical_h)} on middling ground, two in three between {low} and {high}",
        source,
    )


def _why_reading(
    reading: Reading, expanded_u_m: float, date: str, units: UnitSystem, life: Life | None = None
) -> Why:
    digits = 2 if units is UnitSystem.METRIC else 3
    per = " per joint" if reading.joints > 1 else ""
    fitted = life is not None and life.started is not None and reading in life.started.readings
    return Why(
        "reading",
        f"{reading.words} by {reading.tool.label}, good to {show_length(expanded_u_m, units, digits)}{per} at 95 %",
        f"{'written down as it was fitted on' if fitted else 'walk-round of'} {date}; {GUM}",
    )
