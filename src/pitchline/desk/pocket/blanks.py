"""What a phone asks of a machine nobody entered yet, and the lines of its walk-round for any running gear it may have.

A track's places stand once each: one of several of a kind as a pattern, which the script (`static/pocket/blank.js`) repeats as
often as was counted. What comes of it is what the desk makes of the same counts; a test holds both together.
"""

import datetime as dt
import json
from collections.abc import Callable, Sequence
from typing import Any

from django import forms

from pitchline.desk.machine.gear_form import LINKS, ONLY_ON, PARTS_ASKED, GearForm
from pitchline.desk.pocket.told import told_book, told_of
from pitchline.trade.dossier import Dossier
from pitchline.trade.machine import Layout, Machine, MachineKind, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place
from pitchline.words import label, translated

RoundTold = Callable[[Dossier], dict[str, Any]]
_ANY_DAY = dt.date(2000, 1, 1)
_LEFT_OUT = ("track", "size")
_MUST = frozenset(("joints_per_side", "sprocket_teeth", "bottom_rollers_per_side", "upper_rollers_per_side"))
_AS_OFTEN: dict[PartKind, dict[str, Any]] = {
    PartKind.BOTTOM_ROLLER: {"field": "bottom_rollers_per_side"},
    PartKind.UPPER_ROLLER: {"field": "upper_rollers_per_side"},
    PartKind.IDLER: {"field": "layout", "of": {Layout.LEVEL.value: 1, Layout.RAISED_SPROCKET.value: 2}},
    PartKind.SLEW_RING: {"field": "slew_ring", "of": {"false": 0, "on": 1}},
}
"""By which field a part's places are counted; how many each choice makes, the first where none was made; others are single."""
_BY_NEW_PITCH = frozenset((Measurand.PITCH, Measurand.RUBBER_PITCH))
"""Held against the running gear's own pitch, which only the desk works out: told once it is met."""


def blanks_of(unit: str, round_told: RoundTold) -> dict[str, Any]:
    """What is asked of a machine nobody entered yet.

    Parameters
    ----------
    unit : str
        Unit of a figure that has none.
    round_told : callable
        A machine's walk-round as its parcel tells it: "hows", "tools" and "places".

    Returns
    -------
    dict
        As JSON takes it, in the language and the way in force.
    """
    tracks: list[dict[str, Any]] = []
    hows: dict[str, Any] = {}
    book: dict[str, Any] = {}
    tools: list[list[str]] = []
    for track in TrackKind:
        one, two = (Dossier(Machine("blank", "blank", MachineKind.EXCAVATOR), _gear(track, n)) for n in (1, 2))
        book = book or told_book(two, unit)
        told, more = round_told(one), round_told(two)
        hows, tools = more["hows"] | hows, more["tools"]
        tracks.append(
            {
                "track": track.value,
                "said": label(track),
                "counts": _counts(track),
                "places": _patterns(told["places"], more["places"], two, book),
            }
        )
    return {
        "tracks": tracks,
        "usual": {"slew_ring": {MachineKind.EXCAVATOR.value: "on"}},
        "hows": hows,
        "tools": tools,
        "told": book,
        "unit": unit,
    }


def _gear(track: TrackKind, several: int) -> RunningGear:
    """A running gear with so many of each wheel that is counted; its sizes are nowhere told."""
    layout = Layout.RAISED_SPROCKET if several > 1 else Layout.LEVEL
    return RunningGear(
        track, 120, 0.2, 0.6, 23, SprocketGaps.EACH, several, several, layout=layout, slew_ring=True
    )


def _patterns(
    alone: Sequence[dict[str, Any]], several: Sequence[dict[str, Any]], dossier: Dossier, book: dict[str, Any]
) -> list[dict[str, Any]]:
    names = {place["key"]: place["name"] for place in alone}
    second = {place["key"]: place["name"] for place in several}
    found = []
    for told in several:
        place = Place.from_key(told["key"])
        if place.position > 1:
            continue
        for reading in told["readings"]:
            measurand = Measurand(reading["what"])
            line = told_of(dossier, place, measurand, _ANY_DAY, 0.0, book)
            reading["told"] = None if measurand in _BY_NEW_PITCH else line
        pattern = told | {"spot": "", **({"times": _AS_OFTEN[place.part]} if place.part in _AS_OFTEN else {})}
        if place.position:
            key, name = told["key"], told["name"]
            at = next(
                at for at, both in enumerate(zip(name, second[f"{key[:-1]}2"], strict=True)) if len(set(both)) > 1
            )
            pattern = json.loads(json.dumps(pattern).replace(f'"{key}', f'"{key[:-1]}{{n}}'))
            pattern |= {"name": f"{name[:at]}{{n}}{name[at + 1 :]}", "alone": names[key]}
        found.append(pattern)
    return found


def _counts(track: TrackKind) -> list[dict[str, Any]]:
    """What is counted and chosen beside the machine, as the form of a running gear asks it."""
    asked = [name for _, names in PARTS_ASKED[:-1] for name in names if name not in _LEFT_OUT]
    return [_asked(name, track) for name in asked if track in ONLY_ON.get(name, (track,))]


def _asked(name: str, track: TrackKind) -> dict[str, Any]:
    field = GearForm.base_fields[name]
    said, help_text = LINKS.get(name, ("", "")) if track is TrackKind.RUBBER else ("", "")
    told = {
        "field": name,
        "label": str(said or field.label),
        "help": str(help_text or field.help_text),
        "must": name in _MUST,
        "usual": "" if field.initial is None else str(field.initial),
    }
    if isinstance(field, forms.IntegerField):
        return told | {"least": field.min_value, "most": field.max_value}
    if isinstance(field, forms.BooleanField):
        return told | {"choices": [["on", translated("yes")], ["false", translated("no")]], "usual": "false"}
    if isinstance(field, forms.ChoiceField):
        return told | {"choices": [[value, str(text)] for value, text in field.widget.choices]}
    return told | {"length": True}
