"""A record a phone sends: read strictly, by its shape, with limits on every text; anything else stays on the phone."""

import datetime as dt
import hashlib
import json
from typing import Annotated, Any, Literal
from uuid import UUID

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, StringConstraints, TypeAdapter, ValidationError
from pydantic_core import from_json

from pitchline.desk.photos.models import MOST_CAPTION
from pitchline.desk.posts import MOST_FIGURE, MOST_NAME, MOST_REASON
from pitchline.desk.walkround.form_lines import FIELDS
from pitchline.words import translated

MOST_RECORD = 64 * 1024
"""Bytes in a record without its photo: a line with a long note in every field is a third of it."""


class NotTakenError(Exception):
    """A record that stays on the phone, untouched here.

    Parameters
    ----------
    status : int
        409 where something it needs has not come yet, 413 where it is too large, 422 where it is not understood.
    why : str
        For the app.
    said : str
        For the person.
    """

    def __init__(self, status: int, why: str, said: str) -> None:
        self.status, self.why, self.said = status, why, said
        super().__init__(said)


def _without_zero(text: str) -> str:
    if "\x00" in text:  # no database keeps it and no keyboard types it
        raise ValueError("a zero byte")
    return text


def _of_a_line(fields: dict[str, str]) -> dict[str, str]:
    if not fields.keys() <= FIELDS.keys():
        raise ValueError("a field no line has")
    return fields


_Whole = AfterValidator(_without_zero)
Name = Annotated[str, StringConstraints(max_length=MOST_NAME), _Whole]
Figure = Annotated[str, StringConstraints(max_length=MOST_FIGURE), _Whole]
Key = Annotated[str, StringConstraints(max_length=120), _Whole]
Long = Annotated[str, StringConstraints(max_length=MOST_REASON), _Whole]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class MachineAbout(_Strict):
    """A machine nobody entered yet: kind, name and hours, and what was counted beside it."""

    machine: UUID
    kind: Figure
    name: Name
    hours: Figure
    customer: Name = ""
    site: Name = ""
    track: Figure = ""
    counts: Annotated[dict[Figure, Annotated[int, Field(ge=0, le=10_000)] | Figure], Field(max_length=40)] = {}


class BeginAbout(_Strict):
    """A walk-round begun."""

    sheet: UUID
    machine: UUID
    date: Figure
    hours: Figure = ""
    by: Name = ""


class LineAbout(_Strict):
    """One line as typed, and the version of it the phone saw."""

    sheet: UUID
    key: Key
    fields: Annotated[dict[str, Long], AfterValidator(_of_a_line)]
    seen: Annotated[int, Field(ge=0, le=2**31 - 1)] = 0


class FinishAbout(_Strict):
    """A walk-round finished; `right` where the person was asked about day or hours, and says they are right."""

    sheet: UUID
    right: bool = False


class PhotoAbout(_Strict):
    """A photo, whose file comes beside it."""

    photo: UUID
    machine: UUID
    sheet: UUID | None = None
    place: Key = ""
    caption: Annotated[str, StringConstraints(max_length=MOST_CAPTION), _Whole] = ""


class _Record(_Strict):
    id: UUID
    shape: Literal[1]
    nth: Annotated[int, Field(ge=0, le=2**53)]
    at: Figure = ""
    writer: Annotated[str, StringConstraints(min_length=1, max_length=64), _Whole]
    person: Name = ""
    """Who recorded it, as the desk last called them to this phone; whoever sends it may be somebody else by then."""

    @property
    def moment(self) -> dt.datetime | None:
        """When it was recorded by the phone's clock; None where that is no moment a database keeps."""
        try:
            moment = dt.datetime.fromisoformat(self.at)
        except ValueError:
            return None
        return moment if moment.tzinfo is not None and 1970 <= moment.year < 2200 else None


class MachineRecord(_Record):
    """A machine nobody entered yet."""

    kind: Literal["machine"]
    about: MachineAbout


class BeginRecord(_Record):
    """A walk-round begun."""

    kind: Literal["begin"]
    about: BeginAbout


class LineRecord(_Record):
    """One line."""

    kind: Literal["line"]
    about: LineAbout


class FinishRecord(_Record):
    """A walk-round finished."""

    kind: Literal["finish"]
    about: FinishAbout


class PhotoRecord(_Record):
    """A photo."""

    kind: Literal["photo"]
    about: PhotoAbout


Record = MachineRecord | BeginRecord | LineRecord | FinishRecord | PhotoRecord
_READ: dict[int, TypeAdapter[Record]] = {
    1: TypeAdapter(Annotated[Record, Field(discriminator="kind")]),
}
"""What reads each shape: a phone may bring what it recorded before the desk was upgraded."""


def shapes() -> list[int]:
    """The shapes this desk reads."""
    return sorted(_READ)


def record_in(content: bytes) -> Record:
    """A record from its JSON.

    Raises
    ------
    NotTakenError
        It is too large, of a shape this desk does not know, or no record.
    """
    if len(content) > MOST_RECORD:
        raise too_large()
    try:
        told = from_json(content)
        shape = told["shape"]
        if type(shape) is not int or shape not in _READ:
            said = translated(
                "This desk is older than the app. The entry stays on the phone until it is upgraded."
            )
            raise NotTakenError(422, "unknown shape", said)
        return _READ[shape].validate_json(content)
    except (ValidationError, ValueError, TypeError, KeyError) as error:
        raise NotTakenError(422, "not understood", _not_understood(error)) from None


def too_large() -> NotTakenError:
    """What is said of a record larger than any."""
    return NotTakenError(413, "too large", translated("This entry is too large to be one."))


def _not_understood(error: Exception) -> str:
    where = ".".join(map(str, error.errors()[0]["loc"]))[:80] if isinstance(error, ValidationError) else ""
    if not where:
        return translated("This entry cannot be read.")
    return translated("This entry cannot be read: {where} is not what it can be.").format(where=where)


def record_kept(kept: dict[str, Any]) -> Record:
    """A record as it was kept, of whatever shape it was."""
    return _READ[kept["shape"]].validate_json(json.dumps(kept))


def plain(record: Record) -> dict[str, Any]:
    """The record as it is kept."""
    kept: dict[str, Any] = record.model_dump(mode="json")
    return kept


def digest_of(record: Record, file: bytes | None) -> str:
    """One short text for all a record says, its file included."""
    told = json.dumps(plain(record), sort_keys=True, ensure_ascii=False).encode()
    return hashlib.sha256(told + b"\n" + hashlib.sha256(file or b"").digest()).hexdigest()
