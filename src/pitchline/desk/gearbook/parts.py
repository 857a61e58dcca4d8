"""The gear part of a machine file: taken out, put in, checked, and compared in words."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pitchline.desk.machine.models import Machine
from pitchline.exchange.gathering import refuse
from pitchline.exchange.machine_file import machine_from_json
from pitchline.exchange.machine_model import FORMAT
from pitchline.exchange.text_in import decode
from pitchline.trade.dossier import Dossier
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.words import translated
from pitchline.words.labels import quantity, singular

PART_KEYS = ("running_gear", "limits", "ranges", "kind_lives")
_BOOK = {"short_name": "gear-list", "name": "Running gear", "kind": "other_tracked"}


@dataclass(frozen=True, slots=True)
class Changed:
    """One thing that differs.

    Parameters
    ----------
    what, before, after : str
        The thing, and how it is said on either side; empty where it is not said.
    """

    what: str
    before: str
    after: str


def loaded_object(text: str) -> dict[str, Any]:
    """The object a stored text holds; nothing for an empty text."""
    return _by_keys_of_now(dict(json.loads(text))) if text else {}


def _by_keys_of_now(whole: dict[str, Any]) -> dict[str, Any]:
    """Permitted ranges were called bands before."""
    return {"ranges" if key == "bands" else key: each for key, each in whole.items()}


def without_walk_rounds(text: str) -> str:
    """A machine file as it stands, less the walk-rounds it was brought in with: the desk keeps those as sheets."""
    whole = loaded_object(text)
    return (
        _dumped({key: each for key, each in whole.items() if key != "walk_rounds"})
        if "walk_rounds" in whole
        else text
    )


def whole_text(part_text: str) -> str:
    """A machine file around a gear part, for readers that want a whole one."""
    return _dumped({"format": FORMAT, "machine": _BOOK} | loaded_object(part_text))


def gear_text(whole: Mapping[str, Any]) -> str:
    """The gear part of a machine file as text."""
    return _dumped({key: whole[key] for key in PART_KEYS if whole.get(key)})


def dossier_of_part(part_text: str) -> Dossier:
    """What a gear part says, read as a machine file is read.

    Raises
    ------
    InputError
        With everything in it that cannot be used.
    """
    return machine_from_json(whole_text(part_text), "running gear")


def part_from_file(name: str, content: bytes) -> str:
    """The gear part of an uploaded file: exported from a gear list, or a whole machine file.

    Raises
    ------
    InputError
        The file cannot be used.
    """
    try:
        whole = json.loads(decode(content, name))
    except (ValueError, RecursionError):
        whole = None
    if not isinstance(whole, dict) or not isinstance(whole.get("running_gear"), dict):
        step = translated("Export one from a gear list, or take a machine file.")
        raise refuse(name, "running gear", "none in this file", "JSON with a running_gear", step)
    part = gear_text(_by_keys_of_now(whole))
    dossier_of_part(part)
    return part


def fitted_text(machine: Machine, part_text: str) -> str:
    """The machine's file with this gear part in place of its own; everything else stays as it was typed."""
    named = {"short_name": machine.short_name, "name": machine.name, "kind": machine.kind}
    whole = loaded_object(machine.file_text) or {"format": FORMAT, "machine": named}
    whole.pop("walk_rounds", None)
    kept = {key: value for key, value in whole.items() if key not in PART_KEYS}
    head = {key: kept.pop(key) for key in ("format", "$schema", "machine") if key in kept}
    return _dumped(head | loaded_object(part_text) | kept)


def changes_between(before: Mapping[str, Any], after: Mapping[str, Any]) -> tuple[Changed, ...]:
    """What differs between two gear parts, in words."""
    told = []
    old, new = _said(before), _said(after)
    for what in dict.fromkeys([*old, *new]):
        if old.get(what, "") != new.get(what, ""):
            told.append(Changed(what, old.get(what, ""), new.get(what, "")))
    return tuple(told)


def _said(part: Mapping[str, Any]) -> dict[str, str]:
    """Everything a gear part says, by what it is about."""
    said = {_key_said(key): _words(value) for key, value in part.get("running_gear", {}).items()}
    for key in PART_KEYS[1:]:
        for entry in part.get(key, []):
            said[_about(key, entry)] = ", ".join(
                f"{_key_said(name)} {_words(value)}"
                for name, value in entry.items()
                if name not in ("part", "measurand")
            )
    return said


def _about(key: str, entry: Mapping[str, Any]) -> str:
    about = f"{quantity(Measurand(entry['measurand']))}, {singular(PartKind(entry['part']))}"
    return (
        about
        + {"limits": "", "ranges": translated(": permitted range"), "kind_lives": translated(": typical life")}[
            key
        ]
    )


def _words(value: Any) -> str:
    if isinstance(value, bool):
        return translated("yes") if value else translated("no")
    if isinstance(value, list):
        return ", ".join(_words(each) for each in value)
    if isinstance(value, dict):
        return " ".join(f"{_key_said(key)} {_words(each)}" for key, each in value.items())
    return translated(str(value).replace("_", " "))


def _key_said(key: str) -> str:
    return translated(key.replace("_", " "))


def _dumped(whole: Mapping[str, Any]) -> str:
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"
