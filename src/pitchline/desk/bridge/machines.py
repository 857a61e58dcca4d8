"""A machine's row and its dossier."""

import datetime as dt
import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from pitchline.desk.bridge.machine_rows import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.spoken import later
from pitchline.exchange.machine_file import machine_from_json, machine_json
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.hours_seen import HoursSeen
from pitchline.trade.machine import MachineKind
from pitchline.trade.meter import MeterChange, service_hours
from pitchline.trade.readings import DEFAULT_TOOLS, Tool, WalkRound
from pitchline.trade.units import parse_length
from pitchline.words import translated

WHICH_ONE = ("serial_number", "year_built", "owner_number")
"""What tells a machine from another of the same name; it stands in the row, and goes into the file as it is handed out."""
NO_GEAR = later("its running gear is not entered yet")


def entered_dossier(machine: Machine) -> Dossier | None:
    """What was entered of a machine itself, without walk-rounds; None before its running gear is entered.

    Returns
    -------
    Dossier or None
        Under the short name, name, kind and asking price of the row: they may have been changed since the file was entered.

    Raises
    ------
    InputError
        The file text cannot be used.
    """
    if not machine.file_text:
        return None
    dossier = _read(machine.file_text, f"{machine.short_name}.json")
    named = replace(
        dossier.machine,
        machine_id=machine.short_name,
        name=machine.name,
        kind=MachineKind(machine.kind),
        **{each: getattr(machine, each) for each in WHICH_ONE},
    )
    return replace(dossier, machine=named, asking=machine.asking_price, walk_rounds=())


@lru_cache(maxsize=64)  # a dossier never changes, and pages of one machine are asked for one after the other
def _read(text: str, file: str) -> Dossier:
    """What a machine file says beside its walk-rounds, which the desk keeps as sheets: they are half its text and more."""
    try:
        raw = json.loads(text)
        raw.pop("walk_rounds", None)
    except (ValueError, RecursionError, AttributeError):
        return machine_from_json(text, file)
    return machine_from_json(json.dumps(raw), file)


def known_dossier(machine: Machine) -> Dossier | None:
    """What was entered of a machine, and what its business enters for all of them; None before its running gear is entered.

    Returns
    -------
    Dossier or None
        The machine's own file comes first: the business's booking window and tools fill in what it does not say.

    Raises
    ------
    InputError
        The file text cannot be used.
    """
    dossier = entered_dossier(machine)
    if dossier is None or machine.business_id is None:
        return dossier
    return with_house(dossier, machine.file_text, machine.business)


def with_house(dossier: Dossier, file_text: str, business: Business) -> Dossier:
    """The dossier with its business's booking window and tools where its own file is silent."""
    rule, weeks = dossier.call_rule, business.booking_window_weeks
    if weeks is not None and not says_window(file_text):
        rule = replace(rule, booking_window_weeks=weeks)
    own = {tool.name for tool in dossier.tools}
    tools = tuple(tool for tool in house_tools(business) if tool.name not in own)
    return replace(dossier, call_rule=rule, tools=(*dossier.tools, *tools))


def says_window(file_text: str) -> bool:
    """Whether a machine file names a booking window of its own."""
    calls = json.loads(file_text).get("calls")
    return isinstance(calls, dict) and "booking_window_weeks" in calls


def house_tools(business: Business) -> tuple[Tool, ...]:
    """The business's own tools, as entered in its settings.

    Raises
    ------
    NotAllowedError
        A figure that cannot be used; none that the settings page let through.
    """
    return tuple(tool_from(each) for each in business.tools)


def by_keys_of_now(typed: Mapping[str, str]) -> dict[str, str]:
    """A tool's figures as typed; its permitted error was called its limit before."""
    return {"permitted_error" if key == "limit" else key: text for key, text in typed.items()}


def tool_from(typed: Mapping[str, str]) -> Tool:
    """A tool from its figures as typed.

    Raises
    ------
    NotAllowedError
        A figure that is no length of 0 or more.
    """
    typed, name = by_keys_of_now(typed), typed["name"]
    figures = [
        parse_length(typed[field], field=f"{name}, {field.replace('_', ' ')}").si
        for field in ("resolution", "permitted_error", "repeatability")
    ]
    own = DEFAULT_TOOLS.get(name)
    return Tool(name, typed.get("label") or (own.label if own else name.replace("_", " ")), *figures)


def meter_changes_of(machine: Machine) -> tuple[MeterChange, ...]:
    """Changes of its meter as its file tells them, without reading the whole file."""
    told = json.loads(machine.file_text).get("hours", {}).get("meter_changes", []) if machine.file_text else []
    return tuple(
        MeterChange(dt.date.fromisoformat(one["date"]), one["old_h"], one.get("new_h", 0.0)) for one in told
    )


def with_hours_seen(dossier: Dossier, machine: Machine) -> Dossier:
    """The dossier with what its meter showed between walk-rounds; hours that fall are passed over: somebody is asked."""
    if not machine.hours_seen:
        return dossier
    seen = {one.date: one for one in dossier.hours_seen}
    for day, meter_h in machine.hours_seen:
        date = dt.date.fromisoformat(day)
        seen[date] = HoursSeen(date, max(0.0, service_hours(meter_h, date, dossier.meter_changes)))
    rising: list[HoursSeen] = []
    for date in sorted(seen):
        if not rising or seen[date].service_h >= rising[-1].service_h:
            rising.append(seen[date])
    return replace(dossier, hours_seen=tuple(rising))


def whole_dossier(dossier: Dossier, walk_rounds: Sequence[WalkRound]) -> Dossier:
    """The dossier with the finished walk-rounds of its sheets, in order of date.

    Raises
    ------
    NotAllowedError
        Dates or hours that cannot follow each other.
    """
    return replace(dossier, walk_rounds=tuple(sorted(walk_rounds, key=lambda one: one.date)))


def file_text_of(dossier: Dossier) -> str:
    """The machine file of a dossier as text, walk-rounds included."""
    return machine_json(dossier)


def text_without_walk_rounds(dossier: Dossier) -> str:
    """The machine file without walk-rounds, as the desk shows it for changing."""
    return machine_json(replace(dossier, walk_rounds=()))


def machine_row(dossier: Dossier, file_text: str) -> Machine:
    """An unsaved row for a machine from a file, the file's text kept as it is."""
    known = dossier.machine
    named = ((translated("short name"), known.machine_id), ("name", known.name))
    for field, text in (*named, ("serial number", known.serial_number), ("owner's number", known.owner_number)):
        if len(text) > 200:
            raise NotAllowedError(
                translated("machine's {field}").format(field=field),
                text[:60],
                "up to 200 characters",
                "Shorten it.",
            )
    last = dossier.last_walk_round
    return Machine(
        short_name=known.machine_id,
        name=known.name,
        kind=known.kind.value,
        **{each: getattr(known, each) for each in WHICH_ONE},
        asking_amount=dossier.asking.amount if dossier.asking else None,
        asking_currency=dossier.asking.currency if dossier.asking else "",
        file_text=file_text,
        invented=says_invented(dossier),
        hours_h=last.service_h if last else None,
        hours_text=f"{last.service_h:g}" if last else "",
        last_walk_on=last.date if last else None,
    )


def says_invented(dossier: Dossier) -> bool:
    """Whether the machine's own note says that it is invented."""
    return "invented" in dossier.machine.note.lower()
