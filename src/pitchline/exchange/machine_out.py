"""From a dossier to the entries of a machine file; what equals its default is left out.

See docs/reference/machine-file.md.
"""

from typing import Any

from pitchline.exchange.figures import exact_length, exact_mass, meter_h_of, reads_back
from pitchline.exchange.machine_model import FORMAT
from pitchline.exchange.words import tool_of
from pitchline.trade.calls import CallRule
from pitchline.trade.causes import Cause, LookedFor
from pitchline.trade.dossier import Dossier, Limit, LineShape
from pitchline.trade.findings import Finding
from pitchline.trade.ground import GroundClass, GroundMix
from pitchline.trade.hours_seen import HoursSeen
from pitchline.trade.machine import Layout, Machine, RunningGear, ShoeClass
from pitchline.trade.measurands import MEASURANDS
from pitchline.trade.part_events import Because, PartEvent
from pitchline.trade.parts import Place
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, Tool, WalkRound
from pitchline.trade.work_done import WorkDone
from pitchline.words.carried import carried_by_note

Entry = dict[str, Any]


def _without(entry: Entry, **defaults: Any) -> Entry:
    """The entry without nothings and without values equal to their default."""
    return {
        key: value
        for key, value in entry.items()
        if value is not None and value not in ("", [], {}) and not (key in defaults and defaults[key] == value)
    }


def _plain(value: Any) -> Any:
    """The same with whole numbers written without a decimal point, as people write them."""
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, list):
        return [_plain(each) for each in value]
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _length(length_m: float | None) -> str | None:
    return None if length_m is None else exact_length(length_m)


def _machine(machine: Machine) -> Entry:
    mass = None if machine.mass_kg is None else exact_mass(machine.mass_kg)
    entry = {"short_name": machine.machine_id, "name": machine.name, "kind": machine.kind.value, "mass": mass}
    which = {each: getattr(machine, each) for each in ("serial_number", "year_built", "owner_number")}
    return _without(entry | {"note": machine.note} | which)


def _gear(gear: RunningGear) -> Entry:
    entry = {
        "track": gear.track.value,
        "joints_per_side": gear.joints_per_side,
        "pitch": exact_length(gear.pitch_m),
        "pitch_measured": gear.pitch_measured,
        "chain_type": gear.chain_type and gear.chain_type.value,
        "shoe_width": exact_length(gear.shoe_width_m),
        "sprocket_teeth": gear.sprocket_teeth,
        "sprocket_gaps": gear.sprocket_gaps.value,
        "bottom_rollers_per_side": gear.bottom_rollers_per_side,
        "upper_rollers_per_side": gear.upper_rollers_per_side,
        "two_flange_rollers": list(gear.two_flange_rollers),
        "layout": gear.layout.value,
        "shoe_class": gear.shoe_class.value,
        "grousers_per_shoe": gear.grousers_per_shoe,
        "bolts_per_shoe": gear.bolts_per_shoe,
        "pads_per_shoe": gear.pads_per_shoe,
        "bolts_per_pad": gear.bolts_per_pad,
        "sprocket_segments": gear.sprocket_segments,
        "adjuster_stroke": _length(gear.adjuster_stroke_m),
        "guards": list(gear.guards),
        "slew_ring": gear.slew_ring,
    }
    unsaid = dict.fromkeys(("grousers_per_shoe", "bolts_per_shoe", "bolts_per_pad", "sprocket_segments"), 0)
    unsaid |= {"pads_per_shoe": 1, "pitch_measured": False}
    return _without(entry, layout=Layout.LEVEL.value, shoe_class=ShoeClass.STANDARD.value, **unsaid)


def _hours(dossier: Dossier) -> Entry:
    use = dossier.utilisation
    return _without(
        {
            "meter_from_new": dossier.meter_from_new,
            "meter_changes": [
                {"date": change.date.isoformat(), "old_h": change.old_h, "new_h": change.new_h}
                for change in dossier.meter_changes
            ],
            "per_week": use and {"low": use.low, "usual": use.usual, "high": use.high},
            "own_week": dossier.own_week or None,
            "seen": [{"date": one.date.isoformat()} | _meter(one, dossier) for one in dossier.hours_seen],
            "travelling": dossier.travel_share,
        }
    )


def _to_come(mix: GroundMix | None) -> list[Entry]:
    return [] if mix is None else [{"ground": each.code, "share": mix.shares[each]} for each in mix.grounds]


def _ground(dossier: Dossier) -> Entry:
    assumed = not dossier.ground_entered
    silent = assumed and dossier.usual_ground is GroundClass.MIDDLING
    return _without(
        {
            "usual": None if silent else dossier.usual_ground.code,
            "entered": False if assumed and not silent else None,
            "spans": [
                {"from_h": span.from_h, "to_h": span.to_h, "ground": span.ground.code}
                for span in dossier.ground_spans
            ],
            "named": [{"name": each.name, "share": round(each.percent / 100, 12)} for each in dossier.ground_mix],
            "to_come": _to_come(dossier.ground_to_come),
        }
    )


def _limit(limit: Limit) -> Entry:
    entry = {
        "part": limit.part.value,
        "measurand": limit.measurand.value,
        "new": exact_length(limit.new_m),
        "limit": _length(limit.limit_m),
        "between": [{"size": exact_length(size), "life_used": used} for size, used in limit.between],
        "shape": limit.shape.value,
        "tip_width": _length(limit.tip_width_m),
        "root_width": _length(limit.root_width_m),
        "doubt_of_new": _length(limit.u_new_m),
        "turn_at": limit.turn_at,
        "at_limit": limit.at_limit and limit.at_limit.value,
        "source": limit.source,
        "assumed": limit.assumed,
    }
    return _without(entry, shape=LineShape.STRAIGHT.value, turn_at=0.5, assumed=False)


def _tool(tool: Tool) -> Entry:
    return _without(
        {
            "name": tool.name,
            "label": tool.label,
            "resolution": exact_length(tool.resolution_m),
            "permitted_error": exact_length(tool.permitted_error_m),
            "repeatability": exact_length(tool.repeatability_m),
        },
    )


def _place(place: Place) -> Entry:
    return _without({"part": place.part.value, "side": place.side.value, "position": place.position}, position=0)


def _unit_of(reading: Reading) -> str | None:
    """The unit with which every text reads back as it was; None when no one unit does."""
    if not reading.typed or tuple(typed.si for typed in reading.typed) != reading.repeats_m:
        return None
    for unit in dict.fromkeys(("mm", *(typed.unit for typed in reading.typed))):
        if all(reads_back(typed, unit) for typed in reading.typed):
            return unit
    return None


def _texts(reading: Reading) -> Entry:
    unit = _unit_of(reading)
    if unit is not None:
        return _without({"read": [typed.text for typed in reading.typed], "unit": unit}, unit="mm")
    typed = [{"text": each.text, "unit": each.unit, "metres": each.si} for each in reading.typed]
    return _without({"read_m": list(reading.repeats_m), "typed": typed})


def reading_entry(reading: Reading, tools: list[Tool]) -> Entry:
    """A reading as it stands in a machine file, with the tool by its name where the list has the same figures.

    Parameters
    ----------
    reading : Reading
        The reading.
    tools : list of Tool
        The project's tools, each replaced by the yard's own of the same name.

    Returns
    -------
    dict
        Plain JSON values that read back as the same reading.
    """
    listed = next((tool for tool in tools if tool.name == reading.tool.name), None)
    known = listed == reading.tool and tool_of(reading.tool.name, tools) == reading.tool
    spans = MEASURANDS[reading.measurand].spans_joints
    rest = {
        "over_joints": reading.joints if spans else None,
        "tool": reading.tool.name if known else None,
        "kept_because": reading.kept_because,
        "extra_doubt": exact_length(reading.extra_u_m) if reading.extra_u_m else None,
        "tool_as_used": None if known else _tool(reading.tool),
    }
    return _place(reading.place) | {"measurand": reading.measurand.value} | _texts(reading) | _without(rest)


def finding_entry(finding: Finding) -> Entry:
    """A finding as it stands in a machine file.

    Returns
    -------
    dict
        Plain JSON values that read back as the same finding.
    """
    said = {
        "seen": finding.kind.value,
        "how_bad": finding.severity.value,
        "count": finding.count,
        "on_one": finding.on_one,
    }
    day: Entry = {}
    if finding.last_seen_on is not None:
        day = {"last_seen_on": finding.last_seen_on.isoformat()}
    elif carried_by_note(finding.note):  # a person's own words, else read as the desk's
        day = {"last_seen_on": None}
    return _place(finding.place) | _without(said, count=1) | day | _without({"note": finding.note})


def _meter(walk_round: WalkRound | WorkDone | HoursSeen, dossier: Dossier) -> Entry:
    """Meter hours where they give the same service hours again, else service hours."""
    meter_h = meter_h_of(walk_round.service_h, walk_round.date, dossier.meter_changes)
    return {"service_h": walk_round.service_h} if meter_h is None else {"meter_h": meter_h}


def _walk_round(walk_round: WalkRound, dossier: Dossier) -> Entry:
    tools = _tools(dossier)
    head = {"date": walk_round.date.isoformat()} | _meter(walk_round, dossier)
    return head | _without(
        {
            "by": walk_round.by,
            "source": walk_round.source,
            "readings": [reading_entry(reading, tools) for reading in walk_round.readings],
            "findings": [finding_entry(finding) for finding in walk_round.findings],
            "looked_over": [_place(place) for place in walk_round.looked_over],
        }
    )


def _calls(rule: CallRule) -> Entry:
    return {
        "booking_window_weeks": rule.booking_window_weeks,
        "book_chance": rule.book_chance,
        "stop_chance": rule.stop_chance,
    }


def _history(dossier: Dossier) -> list[Entry]:
    key = "service_h" if dossier.meter_changes else "meter_h"
    return [
        {"what": each.event.value}
        | _place(each.place)
        | {key: each.service_h}
        | _without({"date": each.date and each.date.isoformat(), **_because(each)})
        for each in dossier.events
    ]


def _because(one: PartEvent | WorkDone) -> Entry:
    return {} if one.because is Because.UNKNOWN else {"removed_because": one.because.value}


def work_entry(one: WorkDone, dossier: Dossier) -> Entry:
    """Some work as it stands in a machine file.

    Returns
    -------
    dict
        Plain JSON values that read back as the same work.
    """
    spent, reckoned = one.spent, one.reckoned
    head = {
        "id": one.key,
        "what": one.did.value,
        "places": [_place(place) for place in one.places],
        "date": one.date.isoformat(),
    }
    told = {
        "seen_on": one.seen_on and one.seen_on.isoformat(),
        "put_right": [_place(place) | {"seen": kind.value} for place, kind in one.put_right],
        "readings": [reading_entry(reading, _tools(dossier)) for reading in one.readings],
        "by": one.by,
        "cost": spent and {"labour": spent.labour, "parts": spent.parts, "currency": spent.currency},
        "reckoned": reckoned
        and _without({"amount": reckoned.amount, "currency": reckoned.currency, "source": reckoned.source}),
        "note": one.note,
        **_because(one),
    }
    whole: Entry = _plain(head | _meter(one, dossier) | _without(told))
    return whole


def looked_for_entry(one: LookedFor) -> Entry:
    """What somebody found who looked for a cause or a sign, as it stands in a machine file.

    Parameters
    ----------
    one : LookedFor
        What was found.
    """
    about = {"cause" if isinstance(one.about, Cause) else "sign": one.about.value}
    return (
        {"date": one.date.isoformat()} | about | {"there": one.there} | _without({"note": one.note, "by": one.by})
    )


def _tools(dossier: Dossier) -> list[Tool]:
    return list((DEFAULT_TOOLS | {tool.name: tool for tool in dossier.tools}).values())


def file_of(dossier: Dossier) -> Entry:
    """The machine file of a dossier, as plain JSON values.

    Returns
    -------
    dict
        Reads back as the same dossier; keys in the order of the published schema.
    """
    entry = {
        "machine": _machine(dossier.machine),
        "running_gear": _gear(dossier.gear),
        "hours": _hours(dossier),
        "ground": _ground(dossier),
        "limits": [_limit(limit) for limit in dossier.limits],
        "ranges": [
            _without(
                {
                    "part": each.part.value,
                    "measurand": each.measurand.value,
                    "least": exact_length(each.least_m),
                    "most": exact_length(each.most_m),
                    "source": each.source,
                }
            )
            for each in dossier.ranges
        ],
        "kind_lives": [
            {
                "part": life.part.value,
                "measurand": life.measurand.value,
                "typical_life_h": life.typical_life_h,
                "log_spread": life.log_spread,
            }
            for life in dossier.kind_lives
        ],
        "tools": [_tool(tool) for tool in dossier.tools],
        "history": _history(dossier),
        "work_done": [work_entry(one, dossier) for one in dossier.work],
        "looked_for": [looked_for_entry(one) for one in dossier.looked_for],
        "asking_price": dossier.asking and {"amount": dossier.asking.amount, "currency": dossier.asking.currency},
        "calls": _calls(dossier.call_rule),
        "walk_rounds": [_walk_round(walk_round, dossier) for walk_round in dossier.walk_rounds],
    }
    return {"format": FORMAT} | {key: _plain(each) for key, each in _without(entry).items()}
