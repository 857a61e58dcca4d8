"""What may be asked of the API. The desk's own forms and actions decide whether it can be done; here stand types and sizes."""

import uuid
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from pitchline.desk.freequote.forms import OWN_LINES
from pitchline.desk.posts import MOST_FIGURE, MOST_NAME, MOST_REASON
from pitchline.exchange.figures import text_of
from pitchline.money.free_quote import MOST_OF_ONE
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import MachineKind
from pitchline.trade.part_events import Because
from pitchline.trade.parts import PartKind
from pitchline.trade.work_done import Did

LAST_PAGE = 100_000
LAST_VERSION = 2_000_000_000
LAST_ROW = 9_000_000_000_000_000_000
SHOWN = AfterValidator(text_of)
PATTERN = {"pattern": "^[^\\u0000-\\u0008\\u000b\\u000c\\u000e-\\u001f\\u007f\\ufffe\\uffff]*$"}
"""The characters `text_of` lets through, told in the description; `text_of` itself decides."""

Name = Annotated[str, SHOWN, Field(min_length=1, max_length=MOST_NAME, json_schema_extra=PATTERN)]
Words = Annotated[str, SHOWN, Field(max_length=MOST_NAME, json_schema_extra=PATTERN)]
Figure = Annotated[str, SHOWN, Field(max_length=MOST_FIGURE, json_schema_extra=PATTERN)]
Count = Annotated[str, SHOWN, Field(max_length=10, json_schema_extra=PATTERN)]
LineKey = Annotated[str, SHOWN, Field(min_length=1, max_length=120, json_schema_extra=PATTERN)]
Sentences = Annotated[str, SHOWN, Field(max_length=MOST_REASON, json_schema_extra=PATTERN)]
FileName = Annotated[str, SHOWN, Field(min_length=3, max_length=MOST_NAME, json_schema_extra=PATTERN)]
JobWord = Annotated[JobKind, Field(strict=False)]
PartWord = Annotated[PartKind, Field(strict=False)]
BecauseWord = Annotated[Because, Field(strict=False)]
DidWord = Annotated[Did, Field(strict=False)]
Currency = Annotated[str, Field(pattern="^[A-Z]{3}$")]
KindWord = Annotated[MachineKind, Field(strict=False)]
SeenVersion = Annotated[int, Field(ge=0, le=LAST_VERSION)]
Page = Annotated[int, Field(ge=1, le=LAST_PAGE)]
PageSize = Annotated[int, Field(ge=1, le=500)]
_SIZE = Field(50, description="How many on one page, up to 500.")
Year = Annotated[int, Field(ge=1900, le=2100)]
Hours = Annotated[float, Field(ge=10, le=60_000, allow_inf_nan=False)]


_ASKING = "What is asked for it, without tax, such as EUR 48000; without a code in the price list's currency."


_SERIAL = "Its maker's number, as stamped on the machine."
_OWNERS = "The number its owner's fleet knows it by."


class Body(BaseModel):
    """Every body of a request: unknown keys are refused, types are not bent."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)


_PLACE = Field("", json_schema_extra={"deprecated": True}, description="The site, as it was called before.")


class NewMachine(Body):
    """A machine from kind, name and hours; the Idempotency-Key becomes its id."""

    kind: KindWord = Field(description="Family of machine.")
    name: Name = Field(description="Name for reading.")
    hours: Figure = Field(min_length=1, description="Hours on the meter today, such as 8150 or 8150.5.")
    customer: Words = ""
    site: Words = Field("", description="Where it stands.")
    place: Words = _PLACE
    serial_number: Words = Field("", description=_SERIAL)
    year_built: Year | None = None
    owner_number: Words = Field("", description=_OWNERS)
    asking_price: Figure = Field("", description=_ASKING)


class MachineChange(Body):
    """What is changed about a machine; whatever is left out stays."""

    seen_version: SeenVersion = Field(description="The machine's version when it was last seen.")
    name: Name | None = None
    kind: KindWord | None = None
    customer: Words | None = None
    site: Words | None = None
    place: Words | None = Field(
        None, json_schema_extra={"deprecated": True}, description="The site, as it was called before."
    )
    serial_number: Words | None = Field(None, description=f"{_SERIAL} Empty takes it out.")
    year_built: Year | Literal[""] | None = Field(None, description="Year it was built. Empty takes it out.")
    owner_number: Words | None = Field(None, description=f"{_OWNERS} Empty takes it out.")
    asking_price: Figure | None = Field(None, description=f"{_ASKING} Empty takes it out.")


class Archive(Body):
    """Out of the yard's list, or back in it."""

    archived: bool


class NewWalkRound(Body):
    """A walk-round is begun today; the Idempotency-Key becomes its id. Another day is a line of its head."""


_SeverityWord = Literal["", "slight", "clear", "severe", "marked"] | None
_Count = Annotated[int, Field(ge=1, le=9_999)] | None


class Line(Body):
    """One line of a walk-round. Which fields count depends on the key; whatever is left out stays."""

    key: LineKey = Field(
        description="“head”; or place and quantity, such as link/left:rail_height; or place and finding."
    )
    seen_version: SeenVersion = Field(
        0, description="Of this line when it was last seen; 0 when it was not there."
    )
    date: Figure | None = Field(None, description="Head: the day, YYYY-MM-DD.")
    hours: Figure | None = Field(None, description="Head: hours on the meter.")
    by: Words | None = Field(None, description="Head: who went round.")
    unit: Literal["mm", "in"] | None = Field(None, description="Head, or a reading: taken where none was typed.")
    read: list[Figure] | None = Field(
        None, max_length=3, description="A reading: up to three repeats as typed; an empty list takes them out."
    )
    joints: Count | None = Field(None, description="A pitch: joints spanned.")
    tool: Words | None = Field(None, description="A reading: the tool's name.")
    keep: Sentences | None = Field(None, description="A reading that looks wrong: why it is kept.")
    severity: _SeverityWord = Field(
        None,
        description="A finding: how bad; empty takes it back, or says that there is none. marked: clear, as it was before.",
    )
    count: _Count = Field(None, description="A finding: how many.")
    bad: _SeverityWord = Field(
        None, json_schema_extra={"deprecated": True}, description="The severity, as it was called before."
    )
    many: _Count = Field(
        None, json_schema_extra={"deprecated": True}, description="The count, as it was called before."
    )
    on_one: bool | None = Field(
        None, description="Missing or loose bolts of shoes or pads: whether two or more of them sit on one."
    )
    note: Sentences | None = Field(None, description="A finding: a note.")
    looked: bool | None = Field(
        None,
        description="Place and “nothing”, such as final_drive/left:nothing: whether somebody looked there and saw nothing.",
    )


class Lines(Body):
    """Lines of a walk-round, saved together."""

    writer: Annotated[uuid.UUID, Field(strict=False)] = Field(
        description="Made once by each phone or script: its own later lines never count as somebody else's."
    )
    lines: list[Line] = Field(max_length=2_000)
    why: Sentences = Field("", description="The reason, where a finished walk-round is corrected.")


class PutAway(Body):
    """Out of the way, or back as a draft."""

    away: bool
    why: Sentences = ""


class Settle(Body):
    """What becomes of an entry that was kept aside."""

    take: bool = Field(description="True takes it in place of what stands; false lets it go.")


class QuoteLine(Body):
    """One job on one part that is quoted."""

    job: JobWord = Field(description="What is done.")
    part: PartWord = Field(description="To what.")
    count: Annotated[int, Field(ge=1, le=MOST_OF_ONE)] = Field(
        description="How many places, or pieces where the price list prices pieces."
    )
    price: Figure = Field(
        "", description="The price of the whole line put by hand, without tax; empty takes the list's."
    )
    why: Words = Field("", description="Why another price than the list's.")


class OwnLine(Body):
    """One line of a quote in the business's own words."""

    words: Name
    price: Figure = Field(min_length=1, description="Without tax.")


class NewQuote(Body):
    """A free quote; the Idempotency-Key becomes its id."""

    lines: list[QuoteLine] = Field([], max_length=100)
    own_lines: list[OwnLine] = Field([], max_length=OWN_LINES)
    charges: list[Literal["lorry", "call_out", "fitter_day"]] = Field([], max_length=3)
    sides_opened: Annotated[int, Field(ge=0, le=2)] = Field(0, description="Tracks whose opening is charged.")
    with_labour: bool = Field(True, description="False quotes the parts alone.")
    customer: Words = ""
    notes: Sentences = ""
    valid_until: Figure = Field("", description="Last day it holds, YYYY-MM-DD; empty is 30 days on.")


class QuoteAway(Body):
    """Out of the way, or back."""

    away: bool


class ShelfCount(Body):
    """A count of the shelf, with the reason of another one."""

    count: Annotated[int, Field(ge=0, le=999_999)]
    why: str = Field(default="", max_length=2000)
    seen_version: int = Field(ge=0, le=2**31 - 1, description="The version of the entry that was seen.")


class PutRight(Body):
    """Something that had been seen and no longer stands."""

    place: LineKey = Field(description="Where, such as final_drive/left.")
    seen: LineKey = Field(description="What, such as leak.")


class SizeRead(Body):
    """A size of a used part as it was fitted, or sag and adjuster as they were set."""

    place: LineKey = Field(description="Where, such as bottom_roller/left/3.")
    measurand: LineKey = Field(description="What, such as tread_diameter.")
    read: Figure = Field(description="As typed, such as 152 mm; a pitch as the length over 4 joints.")


_Percent = Annotated[int, Field(ge=0, le=100)]


class NameOnPhoto(Body):
    """A part's name on a photo, in whole percent of its width from the left and of its height from above."""

    part: PartWord
    tip_x: _Percent = Field(description="Where the arrow ends.")
    tip_y: _Percent
    at_x: _Percent = Field(description="Where the name stands.")
    at_y: _Percent


class NewWork(Body):
    """One job that was done, to parts of one kind; the Idempotency-Key becomes its id."""

    seen_version: SeenVersion = Field(description="The machine's version when it was last seen.")
    what: DidWord = Field(description="What was done.")
    places: list[LineKey] = Field(
        min_length=1, max_length=100, description="To which parts, such as bottom_roller/left/3."
    )
    date: Figure = Field(min_length=1, description="The day, YYYY-MM-DD.")
    hours: Figure = Field(min_length=1, description="Hours on the meter that day.")
    put_right: list[PutRight] = Field(
        [], max_length=200, description="What had been seen there and no longer stands."
    )
    sizes: list[SizeRead] = Field(
        [], max_length=200, description="Sizes of a used part as it was fitted, or settings."
    )
    by: Words = Field("", description="Who did it.")
    labour: Figure = Field("", description="What labour cost, without tax; empty where nobody said.")
    parts: Figure = Field("", description="What the parts cost, without tax; empty where nobody said.")
    currency: Literal[""] | Currency = Field("", description="Of the cost; empty for the price list's.")
    note: Sentences = ""
    removed_because: BecauseWord = Field(
        Because.UNKNOWN, description="Why what was there before came off; of what was fitted or rebuilt alone."
    )


class WorkOut(Body):
    """A record that is wrong, and why."""

    seen_version: SeenVersion = Field(description="The machine's version when it was last seen.")
    why: Sentences = Field(description="The reason.")


class Nothing(Body):
    """An empty object: what is to be done is in the address."""


class Search(BaseModel):
    """What of the yard is looked for; the same as on its page."""

    text: Words = Field("", description="In name, short name, serial number, owner's number, customer or site.")
    kind: MachineKind | None = None
    call: Literal["stop", "book", "run", "none"] | None = Field(None, description="none: not judged yet.")
    customer: Words = Field("", description="Exactly this customer; large and small letters count alike.")
    site: Words = Field("", description="Exactly this site; large and small letters count alike.")
    place: Words = _PLACE
    sort: Literal["due", "money", "worth", "walked", "name"] = "due"
    archived: bool = Field(False, description="Only the archived ones.")
    page: Page = Field(1, description="From 1.")
    page_size: PageSize = _SIZE


class HoursSentRow(Body):
    """What one machine's meter showed."""

    machine: Name = Field(description="Id, short name, serial number or owner's number.")
    at: Words = Field(
        description="A moment or a day by ISO 8601; without a zone, in the desk's; a day is its end."
    )
    hours: float = Field(description="On the meter [h].")
    idle_hours: float | None = Field(None, description="Of them idle since new [h].")
    latitude: float | None = Field(None, description="[degrees]")
    longitude: float | None = Field(None, description="[degrees]")


class HoursSent(Body):
    """Hours of machines, in any order."""

    rows: Annotated[list[HoursSentRow], Field(min_length=1, max_length=10_000)]


class Paged(BaseModel):
    """Which page of a list."""

    page: Page = Field(1, description="From 1.")
    page_size: PageSize = _SIZE


class RoundsAsked(Paged):
    """Which walk-rounds."""

    state: Literal["draft", "finished", "put away"] | None = Field(None, description="In this state alone.")


class JobAsked(Paged):
    """Which jobs, or which writes of one."""

    refused: bool = Field(False, description="Of the writes of a job: those that were refused alone.")


class ListAsked(Paged):
    """Which rows of a list of machines."""

    what: Literal["new", "changed", "unchanged", "refused"] | None = Field(None, description="These alone.")


class FileAsked(BaseModel):
    """What goes with a file."""

    filename: FileName = Field(description="The file's name; its ending says what it is.")


class PricesFile(BaseModel):
    """What goes with a price list."""

    filename: FileName = Field(
        "prices.csv", description="The file's name; its ending, .csv or .xlsx, says what it is."
    )


class LimitsFile(FileAsked):
    """What goes with a table of limits."""

    seen_version: SeenVersion = Field(description="The machine's version when it was last seen.")
    why: Sentences = Field("", description="The reason; if left out, the file's name.")


class OneWrite(Body):
    """One write, as it would be sent by itself."""

    method: Literal["POST", "PUT", "PATCH"] = "POST"
    path: Annotated[str, Field(pattern="^/[a-z][a-zA-Z0-9_/.?&=-]{1,400}$")] = Field(
        description="Under /api/v1, such as /machine-files, with what goes into its address; not /jobs."
    )
    body: dict[str, Any] = Field({}, description="Its body, in JSON.")
    key: Annotated[uuid.UUID, Field(strict=False)] | None = Field(
        None, description="Its Idempotency-Key; if left out, one is made from the job's."
    )


class ManyWrites(Body):
    """Writes done one after the other in the background."""

    writes: Annotated[list[OneWrite], Field(min_length=1, max_length=2_000)]


TableName = Literal["machines", "parts", "jobs", "readings", "findings", "hours", "lay_ups", "work", "prices"]


class TableAsked(BaseModel):
    """Which rows of a table."""

    page: Page = Field(1, description="From 1.")
    depot: Words = Field("", description="Of machines that stand there alone.")
    customer: Words = Field("", description="Of this customer's machines alone.")
    kind: KindWord | None = Field(None, description="Of this family of machine alone.")
    changed_since: Figure = Field("", description="Written from this moment on, by ISO 8601; a day is its end.")


class PartAsked(BaseModel):
    """What was read of a worn part."""

    part: Words = Field(description="What it is, such as 'bottom roller'.")
    read: Sentences = Field(
        description="Sizes as read, parted by semicolons: 'tread diameter=168; bolt spacing along=180.4; flanges=2'. "
        "A figure may be what was measured where no calliper reaches: 'tread diameter=girth 641', "
        "'root diameter=chord 300 height 30', 'bolt circle=50 over 1 of 26', 'teeth=482 over 5 gaps of 820'."
    )
    doubt: Figure = Field(
        "",
        description="How far a length may lie off, as a standard uncertainty; if left out 0.5 mm, or 0.02 in where "
        "the business reckons in inches.",
    )


class LookedForSaid(Body):
    """What somebody found who looked for a cause or a sign of wear."""

    about: Words = Field(
        description="'sign:' or 'cause:' and its word in the machine file, such as 'sign:hot' or 'cause:seized'."
    )
    there: bool = Field(description="Whether it was found.")
    note: Words = Field("", description="Free text.")


class TorqueAsked(BaseModel):
    """A torque as typed, and the metric bolt it is for."""

    torque: Figure = Field(description="Torque [N m].")
    thread: Figure = Field(description="Diameter of the thread [mm], such as 20 or M20.")
    lead: Figure = Field(description="Pitch of the thread [mm], such as 2.5.")
    bolt: Literal["8.8", "10.9", "12.9"] = Field(description="Property class as stamped on its head.")


class FileChange(BaseModel):
    """What goes with a changed machine file."""

    seen_version: SeenVersion = Field(description="The machine's version when it was last seen.")
    why: Sentences = Field("", description="The reason.")


class PlanAsked(BaseModel):
    """How far ahead, and at what prices, lay-ups are planned."""

    horizon_h: Hours = Field(description="Service hours ahead [h].")
    sell_at_h: Hours | None = Field(
        None, description="Hours from now at which the machine is sold [h], up to the horizon."
    )
    stop_cost: Annotated[float, Field(ge=0, le=1e9, allow_inf_nan=False)] | None = Field(
        None, description="What a lay-up costs before any job [currency]; else from the price list."
    )
    what_ifs: bool = Field(
        False, description="Whether to tell what would change the plan, too: that takes longer."
    )
