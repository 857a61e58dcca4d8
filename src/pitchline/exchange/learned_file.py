"""A yard's fitted constants in one JSON file, so that they can be kept, looked at and used again.

See docs/reference/constants-file.md.
"""

import json
import math
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Literal

import numpy as np
from pydantic import AliasChoices, BaseModel, ConfigDict, Field

from pitchline import __version__
from pitchline.exchange.entries import Entries
from pitchline.exchange.gathering import Gathering, refuse
from pitchline.exchange.json_in import loaded
from pitchline.exchange.machine_values import Ground, Name, Text
from pitchline.exchange.safe_write import write_whole
from pitchline.exchange.text_in import read_text
from pitchline.outlook.constants import Priors
from pitchline.outlook.late import USUAL_BEGINS, Late
from pitchline.outlook.learned import Learned
from pitchline.outlook.learned_limit import LearnedLimit
from pitchline.outlook.paths import GROUNDS
from pitchline.trade.errors import phrase
from pitchline.trade.ground import GroundClass
from pitchline.words.catalogue import in_english

FORMAT = "pitchline-constants/1"
_LIFE_AGREES = 1e-3
_TAKEN_OFF = ("removals", "worn_out", "typical", "low", "high", "spread", "spread_low", "spread_high")
_SPREADS = ("machine_spread", "part_spread", "noise", "span_spread")

LogRate = Annotated[float, Field(ge=-20, le=0, allow_inf_nan=False, strict=True)]
Effect = Annotated[float, Field(ge=-5, le=5, allow_inf_nan=False, strict=True)]
LogSpread = Annotated[float, Field(ge=-15, le=3, allow_inf_nan=False, strict=True)]
Deviation = Annotated[float, Field(gt=0, le=10, allow_inf_nan=False, strict=True)]
GroundDeviation = Annotated[float, Field(ge=0, le=10, allow_inf_nan=False, strict=True)]
Figure = Annotated[float, Field(gt=0, allow_inf_nan=False, strict=True)]
Times = Annotated[float, Field(ge=0.2, le=20, allow_inf_nan=False, strict=True)]
LifeUsed = Annotated[float, Field(ge=-2, le=10, allow_inf_nan=False, strict=True)]
Share = Annotated[float, Field(gt=0, lt=1, allow_inf_nan=False, strict=True)]
Count = Annotated[int, Field(ge=0, le=10**12, strict=True)]


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Origin(_Entry):
    """Where constants come from."""

    pitchline: Text
    made_from: Text
    machines: Count
    parts: Count
    readings: Count


class TakenOffEntry(_Entry):
    """What a yard runs one kind of part down to; without figures where it took too few off worn."""

    removals: Count
    worn_out: Count
    typical: LifeUsed | None = None
    low: LifeUsed | None = None
    high: LifeUsed | None = None
    spread: Figure | None = None
    spread_low: Figure | None = None
    spread_high: Figure | None = None


class KindEntry(_Entry):
    """One kind of part."""

    kind: Name
    log_rate: LogRate
    log_rate_sd: Deviation
    life_h: Figure | None = None
    times_late: Times = 1.0
    taken_off: TakenOffEntry | None = None


class GroundEntry(_Entry):
    """One class of ground."""

    ground: Ground
    log_effect: Effect
    log_effect_sd: GroundDeviation
    times_middling: Figure | None = Field(None, validation_alias=AliasChoices("times_middling", "times_medium"))


class SpreadEntry(_Entry):
    """One spread, or the noise."""

    log_mean: LogSpread
    log_sd: Deviation
    figure: Figure | None = None


class ConstantsFile(_Entry):
    """The whole file."""

    format: Literal["pitchline-constants/1"]
    origin: Origin
    kinds: list[KindEntry]
    grounds: list[GroundEntry]
    machine_spread: SpreadEntry
    part_spread: SpreadEntry
    noise: SpreadEntry
    span_spread: SpreadEntry
    late_begins: Share = USUAL_BEGINS


def learned_json(learned: Learned, made_from: str) -> str:
    """Constants as the text of a constants file.

    Parameters
    ----------
    learned : Learned
        The constants.
    made_from : str
        What they were learned from, for whoever reads the file.

    Returns
    -------
    str
        JSON; `learned_from_json` gives the same constants again, to the last bit.
    """
    priors = learned.priors
    kinds = [
        {
            "kind": kind,
            "log_rate": rate,
            "log_rate_sd": sd,
            "life_h": _short(math.exp(-rate)),
            "times_late": times,
            **_taken_off(learned.limits.get(kind)),
        }
        for kind, rate, sd, times in zip(
            learned.kinds,
            priors.log_rate.tolist(),
            priors.log_rate_u.tolist(),
            learned.late.times.tolist(),
            strict=True,
        )
    ]
    grounds = [
        {
            "ground": ground.code,
            "log_effect": effect,
            "log_effect_sd": sd,
            "times_middling": _short(math.exp(effect)),
        }
        for ground, effect, sd in zip(GroundClass, priors.ground.tolist(), priors.ground_u.tolist(), strict=True)
    ]
    spreads = {
        name: {"log_mean": mean, "log_sd": sd, "figure": _short(math.exp(mean))}
        for name, (mean, sd) in zip(_SPREADS, priors.spreads, strict=True)
    }
    counts = {"machines": learned.machines, "parts": learned.parts, "readings": learned.readings}
    origin = {"pitchline": __version__, "made_from": made_from} | counts
    late = {"late_begins": learned.late.begins}
    whole = {"format": FORMAT, "origin": origin, "kinds": kinds, "grounds": grounds} | spreads | late
    return json.dumps(whole, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _taken_off(limit: LearnedLimit | None) -> dict[str, dict[str, float | None]]:
    return {} if limit is None else {"taken_off": {name: getattr(limit, name) for name in _TAKEN_OFF}}


def _short(figure: float) -> float:
    """Six figures that count: for reading, and to check the others by."""
    return float(f"{figure:.6g}")


def learned_from_json(text: str, file: str) -> Learned:
    """The constants a text holds.

    Raises
    ------
    InputError
        With every problem found.
    """
    gathering = Gathering(file)
    raw = loaded(text, gathering, "a constants file")
    if not isinstance(raw, dict):
        step = in_english("Save the constants again with pitchline.")
        raise refuse(file, "file", f"a {type(raw).__name__}", "one object in braces", step)
    if raw.get("format") != FORMAT:
        step = in_english("Name a file of constants, or use the pitchline that wrote it.")
        gathering.add("format", raw.get("format", "nothing"), FORMAT, step)
        gathering.raise_if_any()
    entries = Entries(raw, text, gathering)
    whole = entries.checked(raw, ConstantsFile, ())
    if whole is not None:
        _check(whole, entries)
    gathering.raise_if_any()
    if whole is None:
        raise AssertionError("a file without problems gives constants")
    return _learned(whole)


def _check(whole: ConstantsFile, entries: Entries) -> None:
    """Each kind and ground once, all grounds there, and the figures for reading in step with those used."""
    if not whole.kinds:
        entries.add(("kinds",), phrase("nothing"), "one kind or more", "Save the constants again.")
    _check_once(((("kinds", at), each.kind) for at, each in enumerate(whole.kinds)), entries)
    _check_once(((("grounds", at), each.ground.code) for at, each in enumerate(whole.grounds)), entries)
    missing = [ground.code for ground in GroundClass if ground not in {each.ground for each in whole.grounds}]
    if missing:
        entries.add(
            ("grounds",),
            phrase("no entry for {missing}", missing=", ".join(missing)),
            "one entry for each ground",
            "Add it.",
        )
    for at, ground in enumerate(whole.grounds):
        if ground.ground is GroundClass.MIDDLING and (ground.log_effect, ground.log_effect_sd) != (0.0, 0.0):
            allowed = in_english("0 for middling, which the others are measured against")
            entries.add(("grounds", at, "log_effect"), ground.log_effect, allowed, "Put 0 and 0 there.")
        _check_figure(("grounds", at, "times_middling"), ground.times_middling, ground.log_effect, entries)
    for at, kind in enumerate(whole.kinds):
        _check_figure(("kinds", at, "life_h"), kind.life_h, -kind.log_rate, entries)
    for name in _SPREADS:
        spread = getattr(whole, name)
        _check_figure((name, "figure"), spread.figure, spread.log_mean, entries)


def _check_once(words: Iterable[tuple[tuple[str | int, ...], str]], entries: Entries) -> None:
    seen: set[str] = set()
    for path, word in words:
        if word in seen:
            entries.add(path, phrase("{word} again", word=word), "each once", "Delete one of the two.")
        seen.add(word)


def _check_figure(path: tuple[str | int, ...], figure: float | None, log: float, entries: Entries) -> None:
    if figure is not None and abs(math.log(figure) - log) > _LIFE_AGREES:
        allowed = phrase("{log}, as its logarithm says", log=_short(math.exp(log)))
        entries.add(path, figure, allowed, "Change both, or delete this one.")


def _learned(whole: ConstantsFile) -> Learned:
    ground, ground_u = np.zeros(GROUNDS), np.zeros(GROUNDS)
    for each in whole.grounds:
        ground[each.ground], ground_u[each.ground] = each.log_effect, each.log_effect_sd
    spreads = [(spread.log_mean, spread.log_sd) for spread in (getattr(whole, name) for name in _SPREADS)]
    log_rate = np.array([kind.log_rate for kind in whole.kinds])
    log_rate_u = np.array([kind.log_rate_sd for kind in whole.kinds])
    priors = Priors(log_rate, log_rate_u, ground, ground_u, *spreads)
    origin = whole.origin
    late = Late(whole.late_begins, np.array([kind.times_late for kind in whole.kinds]))
    counts = origin.machines, origin.parts, origin.readings
    limits = {
        each.kind: LearnedLimit(**each.taken_off.model_dump())
        for each in whole.kinds
        if each.taken_off is not None
    }
    return Learned(tuple(kind.kind for kind in whole.kinds), priors, late, *counts, limits)


def read_learned(path: Path) -> Learned:
    """The constants a file holds.

    Raises
    ------
    InputError
        The file cannot be read, or with every problem found in it.
    """
    return learned_from_json(read_text(path), path.name)


def write_learned(learned: Learned, path: Path, made_from: str) -> None:
    """Nothing comes out; afterwards the file holds the constants.

    Parameters
    ----------
    learned : Learned
        The constants.
    path : Path
        The file, new or replaced.
    made_from : str
        What they were learned from, for whoever reads the file.

    Raises
    ------
    InputError
        The place cannot be written to.
    """
    write_whole(path, learned_json(learned, made_from).encode("utf-8"))
