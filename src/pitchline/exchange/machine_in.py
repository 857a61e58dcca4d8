"""From the entries of a machine file to a dossier.

See docs/reference/machine-file.md.
"""

import datetime as dt
from dataclasses import dataclass, field
from functools import partial
from itertools import pairwise
from typing import Any

from pitchline.exchange.entries import Entries
from pitchline.exchange.figures import text_of
from pitchline.exchange.json_lines import Path
from pitchline.exchange.machine_model import (
    AskingEntry,
    CallsEntry,
    EventEntry,
    FindingEntry,
    GearEntry,
    GroundEntry,
    HoursEntry,
    HoursSeenEntry,
    KindLifeEntry,
    LimitEntry,
    LookedForEntry,
    LookedOverEntry,
    MachineEntry,
    MachineFile,
    MeterChangeEntry,
    NamedGroundEntry,
    PerWeekEntry,
    RangeEntry,
    ReadingEntry,
    ShareEntry,
    SpanEntry,
    ToolEntry,
    WalkRoundEntry,
    WorkDoneEntry,
)
from pitchline.exchange.readings_in import finding, looked_over, once_each, reading, service_h_of, tool
from pitchline.exchange.words import hint, place_on
from pitchline.ground.describe import ground_named
from pitchline.trade.asking import AskingPrice
from pitchline.trade.calls import CallRule
from pitchline.trade.causes import LookedFor
from pitchline.trade.dossier import Dossier, KindLife, Limit, PartEvent, PermittedRange, Utilisation
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.ground import GroundClass, GroundMix, GroundSpan, NamedGround
from pitchline.trade.hours_seen import HoursSeen
from pitchline.trade.machine import Machine, RunningGear
from pitchline.trade.meter import MeterChange
from pitchline.trade.readings import DEFAULT_TOOLS, Tool, WalkRound
from pitchline.trade.work_done import Reckoned, Spent, WorkDone
from pitchline.trade.writing import as_figure
from pitchline.words.catalogue import in_english


def _machine(entry: MachineEntry) -> Machine:
    return Machine(
        entry.short_name,
        entry.name,
        entry.kind,
        entry.mass,
        entry.note,
        entry.serial_number,
        entry.year_built,
        entry.owner_number,
    )


def _gear(entry: GearEntry) -> RunningGear:
    return RunningGear(
        track=entry.track,
        joints_per_side=entry.joints_per_side,
        pitch_m=entry.pitch,
        shoe_width_m=entry.shoe_width,
        sprocket_teeth=entry.sprocket_teeth,
        sprocket_gaps=entry.sprocket_gaps,
        bottom_rollers_per_side=entry.bottom_rollers_per_side,
        upper_rollers_per_side=entry.upper_rollers_per_side,
        two_flange_rollers=tuple(entry.two_flange_rollers),
        layout=entry.layout,
        shoe_class=entry.shoe_class,
        grousers_per_shoe=entry.grousers_per_shoe,
        bolts_per_shoe=entry.bolts_per_shoe,
        pads_per_shoe=entry.pads_per_shoe,
        bolts_per_pad=entry.bolts_per_pad,
        sprocket_segments=entry.sprocket_segments,
        adjuster_stroke_m=entry.adjuster_stroke,
        guards=tuple(entry.guards),
        slew_ring=entry.slew_ring,
        pitch_measured=entry.pitch_measured,
        chain_type=entry.chain_type,
    )


def _limit(entry: LimitEntry) -> Limit:
    return Limit(
        part=entry.part,
        measurand=entry.measurand,
        new_m=entry.new,
        limit_m=entry.limit,
        between=tuple((point.size, point.life_used) for point in entry.between),
        shape=entry.shape,
        tip_width_m=entry.tip_width,
        root_width_m=entry.root_width,
        u_new_m=entry.doubt_of_new,
        turn_at=entry.turn_at,
        at_limit=entry.at_limit,
        source=entry.source,
        assumed=entry.assumed,
    )


def _range(entry: RangeEntry) -> PermittedRange:
    return PermittedRange(entry.part, entry.measurand, entry.least, entry.most, entry.source)


def _kind_life(entry: KindLifeEntry) -> KindLife:
    return KindLife(entry.part, entry.measurand, entry.typical_life_h, entry.log_spread)


def _span(entry: SpanEntry) -> GroundSpan:
    return GroundSpan(entry.from_h, entry.to_h, entry.ground)


def _change(entry: MeterChangeEntry) -> MeterChange:
    return MeterChange(entry.date, entry.old_h, entry.new_h)


def _calls(entry: CallsEntry) -> CallRule:
    return CallRule(entry.booking_window_weeks, entry.book_chance, entry.stop_chance)


def _per_week(entry: PerWeekEntry) -> Utilisation:
    return Utilisation(entry.low, entry.usual, entry.high)


@dataclass(slots=True)
class _Hours:
    """Meter and use, as far as they could be read; not sound where a change of the meter could not."""

    changes: tuple[MeterChange, ...]
    from_new: bool
    per_week: Utilisation | None
    sound: bool
    travelling: float | None
    seen: tuple[HoursSeen, ...] = ()
    own_week: bool = False


@dataclass(slots=True)
class _Ground:
    """Ground, as far as it could be read."""

    spans: tuple[GroundSpan, ...] = ()
    usual: GroundClass = GroundClass.MIDDLING
    entered: bool = False
    mix: tuple[NamedGround, ...] = ()
    to_come: GroundMix | None = None


@dataclass(slots=True)
class _Bench:
    """What walk-rounds and history are read against."""

    entries: Entries
    gear: RunningGear | None
    hours: _Hours
    tools: list[Tool] = field(default_factory=list)

    @property
    def changes(self) -> tuple[MeterChange, ...]:
        return self.hours.changes


def _check_keys(entries: Entries) -> None:
    known = [info.alias or name for name, info in MachineFile.model_fields.items()]
    if "ranges" not in entries.raw and "bands" in entries.raw:
        entries.raw["ranges"] = entries.raw.pop("bands")  # as it was called before
    for key in entries.raw:
        if key not in known:
            entries.add(
                (key,),
                key,
                phrase("the keys {known}", known=", ".join(known)),
                hint(key, known, in_english("Delete it.")),
            )
    address = entries.raw.get("$schema", "")
    if isinstance(address, str):
        entries.attempt(("$schema",), partial(text_of, address, "$schema"))
    else:
        entries.add(
            ("$schema",), repr(address), "the schema's address, for editors", "Delete it, or write the address."
        )


def _all_read(raw: Any, count: int) -> bool:
    changes = raw.get("meter_changes", []) if isinstance(raw, dict) else None
    return isinstance(changes, list) and len(changes) == count


def _hours(entries: Entries) -> _Hours:
    raw = entries.raw.get("hours", {})
    holder = dict(raw) if isinstance(raw, dict) else {}
    lists = ("meter_changes", "seen")
    bare = {key: each for key, each in holder.items() if key not in lists} if isinstance(raw, dict) else raw
    head = entries.checked(bare, HoursEntry, ("hours",))
    pairs = entries.built(entries.each(holder, "meter_changes", MeterChangeEntry, ("hours",)), _change)
    for (_, before), (path, after) in pairwise(pairs):
        if after.date <= before.date:
            entries.add(
                (*path, "date"),
                after.date,
                phrase("a day after {date}", date=before.date),
                "Put the changes in order of date.",
            )
    per_week = None
    if head is not None and head.per_week is not None:
        per_week = entries.attempt(("hours", "per_week"), partial(_per_week, head.per_week))
    sound = _all_read(raw, len(pairs))
    travelling = head.travelling if head is not None else None
    from_new = head is None or head.meter_from_new
    changes = tuple(change for _, change in pairs)
    seen = entries.built(entries.each(holder, "seen", HoursSeenEntry, ("hours",)), partial(_seen, changes=changes))
    own_week = head is not None and head.own_week
    return _Hours(changes, from_new, per_week, sound, travelling, tuple(one for _, one in seen), own_week)


def _seen(entry: HoursSeenEntry, changes: tuple[MeterChange, ...]) -> HoursSeen:
    return HoursSeen(entry.date, service_h_of(entry.meter_h, entry.service_h, entry.date, changes))


def _ground(entries: Entries) -> _Ground:
    raw = entries.raw.get("ground", {})
    holder = dict(raw) if isinstance(raw, dict) else {}
    lists = ("spans", "named", "to_come")
    bare = {key: each for key, each in holder.items() if key not in lists} if isinstance(raw, dict) else raw
    head = entries.checked(bare, GroundEntry, ("ground",)) or GroundEntry.model_validate({})
    pairs = entries.built(entries.each(holder, "spans", SpanEntry, ("ground",)), _span)
    ordered = sorted(pairs, key=lambda pair: pair[1].from_h)
    for (_, before), (path, after) in pairwise(ordered):
        if after.from_h < before.to_h:
            seen = " and ".join(
                f"{as_figure(a.from_h, 'g')} to {as_figure(a.to_h, 'g')} h" for a in (before, after)
            )
            entries.add(path, seen, "spans that do not overlap", "Correct one of the two.")
    entered = head.usual is not None if head.entered is None else head.entered
    usual = GroundClass.MIDDLING if head.usual is None else head.usual
    named = entries.built(entries.each(holder, "named", NamedGroundEntry, ("ground",)), _named_ground)
    return _Ground(
        tuple(span for _, span in pairs),
        usual,
        entered,
        tuple(each for _, each in named),
        _to_come(entries, holder),
    )


def _named_ground(entry: NamedGroundEntry) -> NamedGround:
    ground_named(entry.name)
    return NamedGround(entry.name, round(100 * entry.share, 10))


def _to_come(entries: Entries, holder: dict[str, Any]) -> GroundMix | None:
    """Shares of the hours to come; None where none are given, or they cannot be."""
    pairs = entries.each(holder, "to_come", ShareEntry, ("ground",))
    shares: dict[GroundClass, float] = {}
    for path, each in pairs:
        if each.ground in shares:
            entries.add(
                path,
                phrase("{ground:wear_class} again", ground=each.ground.code),
                "each ground once",
                "Add the two shares up.",
            )
        shares[each.ground] = each.share
    if not pairs:
        return None
    mix = tuple(shares.get(ground, 0.0) for ground in GroundClass)
    return entries.attempt(("ground", "to_come"), partial(GroundMix, mix))


def _limits(entries: Entries) -> tuple[Limit, ...]:
    pairs = entries.built(entries.each(entries.raw, "limits", LimitEntry), _limit)
    first: dict[tuple[str, str], Path] = {}
    for path, limit in pairs:
        if first.setdefault((limit.part, limit.measurand), path) != path:
            seen = phrase("{part} {measurand} again", part=limit.part.value, measurand=limit.measurand.value)
            entries.add(path, seen, "each part and quantity once", "Delete one of the two.")
    return tuple(limit for _, limit in pairs)


def _tools(entries: Entries) -> tuple[Tool, ...]:
    pairs = entries.built(entries.each(entries.raw, "tools", ToolEntry), tool)
    names: set[str] = set()
    for path, each in pairs:
        if each.name in names:
            entries.add(
                (*path, "name"), phrase("{name} again", name=each.name), "each tool once", "Delete one of the two."
            )
        names.add(each.name)
    return tuple(each for _, each in pairs)


def _event(bench: _Bench, gear: RunningGear, entry: EventEntry) -> PartEvent:
    service_h = service_h_of(entry.meter_h, entry.service_h, entry.date, bench.changes)
    place = place_on(gear, entry.part, entry.side, entry.position, whole_side=True)
    return PartEvent(place, entry.what, service_h, entry.date, because=entry.removed_because)


def _history(bench: _Bench) -> tuple[PartEvent, ...]:
    pairs = bench.entries.each(bench.entries.raw, "history", EventEntry)
    if bench.gear is None:
        return ()
    return tuple(event for _, event in bench.entries.built(pairs, partial(_event, bench, bench.gear)))


def _done(bench: _Bench, gear: RunningGear, entry: WorkDoneEntry) -> WorkDone:
    spent, reckoned = entry.cost, entry.reckoned
    return WorkDone(
        key=entry.id,
        did=entry.what,
        places=tuple(looked_over(gear, each) for each in entry.places),
        date=entry.date,
        service_h=service_h_of(entry.meter_h, entry.service_h, entry.date, bench.changes),
        seen_on=entry.seen_on,
        put_right=tuple(
            (place_on(gear, each.part, each.side, each.position), each.seen) for each in entry.put_right
        ),
        readings=tuple(reading(gear, bench.tools, each) for each in entry.readings),
        by=entry.by,
        spent=Spent(spent.labour, spent.parts, spent.currency) if spent is not None else None,
        reckoned=Reckoned(reckoned.amount, reckoned.currency, reckoned.source) if reckoned is not None else None,
        note=entry.note,
        because=entry.removed_because,
    )


def _work(bench: _Bench) -> tuple[WorkDone, ...]:
    pairs = bench.entries.each(bench.entries.raw, "work_done", WorkDoneEntry)
    if bench.gear is None:
        return ()
    return tuple(one for _, one in bench.entries.built(pairs, partial(_done, bench, bench.gear)))


def _looked(entry: LookedForEntry) -> LookedFor:
    about = entry.cause or entry.sign
    if about is None or (entry.cause and entry.sign):
        raise NotAllowedError("looked for", "both" if about else "nothing", "a cause or a sign, one of the two")
    return LookedFor(entry.date, about, entry.there, entry.note, entry.by)


def _looked_for(bench: _Bench) -> tuple[LookedFor, ...]:
    pairs = bench.entries.each(bench.entries.raw, "looked_for", LookedForEntry)
    return tuple(one for _, one in bench.entries.built(pairs, _looked))


def _walk_round(bench: _Bench, raw: Any, path: Path) -> WalkRound | None:
    """One walk-round; its readings and findings are checked even where its head is wrong."""
    entries = bench.entries
    holder = dict(raw) if isinstance(raw, dict) else {}
    bare = {key: each for key, each in holder.items() if key not in ("readings", "findings", "looked_over")}
    head = entries.checked(bare if isinstance(raw, dict) else raw, WalkRoundEntry, path)
    read = entries.each(holder, "readings", ReadingEntry, path)
    seen = entries.each(holder, "findings", FindingEntry, path)
    looked = entries.each(holder, "looked_over", LookedOverEntry, path)
    readings, findings, places = [], [], []
    if bench.gear is not None:
        readings = entries.built(read, partial(reading, bench.gear, bench.tools))
        findings = entries.built(seen, partial(finding, bench.gear))
        places = entries.built(looked, partial(looked_over, bench.gear))
        once_each(readings, entries)
    if head is None:
        return None
    day: dt.date = head.date
    service_h = entries.attempt(path, partial(service_h_of, head.meter_h, head.service_h, day, bench.changes))
    if service_h is None:
        return None
    got, saw = tuple(each for _, each in readings), tuple(each for _, each in findings)
    at = tuple(dict.fromkeys(each for _, each in places if each not in {finding.place for finding in saw}))
    return entries.attempt(path, partial(WalkRound, day, service_h, got, saw, head.by, head.source, at))


def _walk_rounds(bench: _Bench) -> tuple[WalkRound, ...]:
    entries, raw = bench.entries, bench.entries.raw.get("walk_rounds", [])
    if not isinstance(raw, list):
        entries.add(("walk_rounds",), repr(raw), "a list", "Put it in square brackets.")
        return ()
    paths: list[Path] = [("walk_rounds", number) for number in range(len(raw))]
    found = [(path, _walk_round(bench, each, path)) for path, each in zip(paths, raw, strict=True)]
    pairs = [(path, each) for path, each in found if each is not None]
    for (_, before), (path, after) in pairwise(pairs):
        if after.date <= before.date:
            allowed = phrase("later than the walk-round before, {date}", date=before.date)
            entries.add((*path, "date"), after.date, allowed, "Put the walk-rounds in order of date.")
        elif after.service_h < before.service_h and bench.hours.sound:
            allowed = phrase(
                "at least the {service_h} h of {date}",
                service_h=as_figure(before.service_h, "g"),
                date=before.date,
            )
            step = in_english(
                "If the meter was changed, enter the change under hours, meter_changes; else correct the hours."
            )
            entries.add(
                (*path, "meter_h"),
                phrase("{service_h} h on {date}", service_h=as_figure(after.service_h, "g"), date=after.date),
                allowed,
                step,
            )
    return tuple(each for _, each in pairs)


def dossier_from(entries: Entries) -> Dossier | None:
    """The dossier a machine file tells, or None when it has problems.

    Parameters
    ----------
    entries : Entries
        The file's object; problems are noted in its gathering.

    Returns
    -------
    Dossier or None
        None where a problem was noted.
    """
    _check_keys(entries)
    head, gear_entry = entries.section("machine", MachineEntry), entries.section("running_gear", GearEntry)
    gear = entries.attempt(("running_gear",), partial(_gear, gear_entry)) if gear_entry else None
    hours, ground, tools, limits = _hours(entries), _ground(entries), _tools(entries), _limits(entries)
    ranges = entries.built(entries.each(entries.raw, "ranges", RangeEntry), _range)
    lives = entries.built(entries.each(entries.raw, "kind_lives", KindLifeEntry), _kind_life)
    calls = entries.section("calls", CallsEntry)
    rule = entries.attempt(("calls",), partial(_calls, calls)) if calls else None
    asked = entries.section("asking_price", AskingEntry) if entries.raw.get("asking_price") is not None else None
    bench = _Bench(entries, gear, hours, list((DEFAULT_TOOLS | {each.name: each for each in tools}).values()))
    events, work, walk_rounds = _history(bench), _work(bench), _walk_rounds(bench)
    if entries.gathering.problems or head is None or gear is None or rule is None:
        return None
    build = partial(
        Dossier,
        machine=_machine(head),
        gear=gear,
        limits=limits,
        ranges=tuple(each for _, each in ranges),
        kind_lives=tuple(life for _, life in lives),
        events=events,
        ground_spans=ground.spans,
        usual_ground=ground.usual,
        walk_rounds=walk_rounds,
        utilisation=hours.per_week,
        call_rule=rule,
        meter_from_new=hours.from_new,
        meter_changes=hours.changes,
        tools=tools,
        ground_entered=ground.entered,
        ground_mix=ground.mix,
        ground_to_come=ground.to_come,
        travel_share=hours.travelling,
        asking=AskingPrice(asked.amount, asked.currency) if asked else None,
        work=work,
        looked_for=_looked_for(bench),
        hours_seen=hours.seen,
        own_week=hours.own_week,
    )
    return entries.attempt((), build)
