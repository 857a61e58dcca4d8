"""The kinds of value a machine file holds, each read from what people write and described for the schema."""

import datetime as dt
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema

from pitchline.exchange.figures import date_of, exact_number, length_of, mass_of, text_of
from pitchline.exchange.words import (
    finding_of,
    ground_of,
    job_of,
    look_up,
    measurand_of,
    part_of,
    severity_of,
    side_of,
)
from pitchline.trade.causes import Cause, Sign
from pitchline.trade.dossier import Event, LineShape
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.findings import FindingKind, Severity
from pitchline.trade.ground import GroundClass
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import ChainType, Layout, MachineKind, ShoeClass, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.part_events import Because
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.work_done import Did

_LENGTH_TEXT = r"^\s*[+-]?[0-9.,]*[0-9][0-9 .,/-]*\s*(mm|cm|m|in|ft|inch|inches|\"|”|″|'|′)?\.?\s*$"


def _quantity(description: str, pattern: str | None = None) -> WithJsonSchema:
    text: dict[str, Any] = {"type": "string", "maxLength": 40}
    if pattern:
        text["pattern"] = pattern
    return WithJsonSchema({"anyOf": [text, {"type": "number"}], "description": description})


def _words(enum: Any, known: list[str] | None = None) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "enum": known or [member.value for member in enum]})


def _read_text(entry: object) -> str:
    """A reading as typed; a bare number becomes its digits."""
    if isinstance(entry, str):
        return entry
    if isinstance(entry, int | float) and not isinstance(entry, bool) and 0 <= entry < 1e9:
        return exact_number(entry)
    raise NotAllowedError("reading", entry, "a length such as '148.2 mm', or a number", "Type the reading again.")


def _unit_of(entry: object) -> str:
    return look_up(entry, {unit: unit for unit in ("mm", "cm", "m", "in", "ft")}, "unit")


def _from(enum: Any, field: str) -> BeforeValidator:
    """The member of an enum by its word."""
    table = {member.value: member for member in enum}
    return BeforeValidator(lambda entry: look_up(entry, table, field))


def _name_of(text: str) -> str:
    if not text.strip():
        raise NotAllowedError("name", phrase("nothing"), "a name with at least one character", "Type a name.")
    return text_of(text)


Text = Annotated[str, AfterValidator(text_of), Field(max_length=5000)]
Name = Annotated[str, AfterValidator(_name_of), Field(min_length=1, max_length=5000)]
Day = Annotated[dt.date, BeforeValidator(date_of), WithJsonSchema({"type": "string", "format": "date"})]
Length = Annotated[
    float,
    BeforeValidator(length_of),
    _quantity(
        "A length with its unit, such as '105 mm' or '4 1/8 in'; a bare number is millimetres.", _LENGTH_TEXT
    ),
]
Mass = Annotated[
    float,
    BeforeValidator(mass_of),
    _quantity("A mass with its unit, such as '20.3 t'; a bare number is kilograms."),
]
ReadingText = Annotated[
    str,
    BeforeValidator(_read_text),
    _quantity("A length as typed, such as '148.2 mm'; without a unit it is in the reading's unit.", _LENGTH_TEXT),
]
Unit = Annotated[
    str, BeforeValidator(_unit_of), WithJsonSchema({"type": "string", "enum": ["mm", "cm", "m", "in", "ft"]})
]
Part = Annotated[PartKind, BeforeValidator(part_of), _words(PartKind)]
SideWord = Annotated[Side, BeforeValidator(side_of), _words(Side)]
MeasurandWord = Annotated[Measurand, BeforeValidator(measurand_of), _words(Measurand)]
Ground = Annotated[
    GroundClass, BeforeValidator(ground_of), _words(GroundClass, [ground.code for ground in GroundClass])
]
JobWord = Annotated[JobKind, BeforeValidator(job_of), _words(JobKind)]
Seen = Annotated[FindingKind, BeforeValidator(finding_of), _words(FindingKind)]
HowBad = Annotated[Severity, BeforeValidator(severity_of), _words(Severity)]
KindOfMachine = Annotated[MachineKind, _from(MachineKind, "kind"), _words(MachineKind)]
KindOfTrack = Annotated[TrackKind, _from(TrackKind, "track"), _words(TrackKind)]
LayoutWord = Annotated[Layout, _from(Layout, "layout"), _words(Layout)]
ShoeClassWord = Annotated[ShoeClass, _from(ShoeClass, "shoe class"), _words(ShoeClass)]
ChainWord = Annotated[ChainType, _from(ChainType, "chain type"), _words(ChainType)]
GapsWord = Annotated[SprocketGaps, _from(SprocketGaps, "sprocket gaps"), _words(SprocketGaps)]
ShapeWord = Annotated[LineShape, _from(LineShape, "shape"), _words(LineShape)]
BecauseWord = Annotated[Because, _from(Because, "removed_because"), _words(Because)]
EventWord = Annotated[Event, _from(Event, "what"), _words(Event)]
CauseWord = Annotated[Cause, _from(Cause, "cause"), _words(Cause)]
SignWord = Annotated[Sign, _from(Sign, "sign"), _words(Sign)]
DidWord = Annotated[Did, _from(Did, "what"), _words(Did)]
Hours = Annotated[float, Field(ge=0, le=1_000_000, description="Hours [h].")]
Count = Annotated[int, Field(ge=0, le=10_000)]
