"""What the API answers with; each shape says what it holds, and `examples.py` has one of each."""

import datetime as dt
import uuid
from typing import Literal

from pydantic import BaseModel, Field

CallWord = Literal["stop", "book", "run"]
StakeWord = Literal["unsafe", "ruins", "worn_out", "falls_due", "measure", "seen", "setting"]
VerdictWord = Literal["stop", "book", "run", "unjudged"]


class Trouble(BaseModel):
    """One thing wrong with a request."""

    field: str = Field(description="What it is about.")
    value: str = Field(description="What was seen there.")
    allowed: str = Field(description="What would have been accepted.")
    next_step: str = Field(description="What to do now.")


class Due(BaseModel):
    """What falls due first, counted from the hours of the verdict."""

    said: str = Field(description="In words.")
    cautious_h: float | None = Field(description="9 in 10 last longer [h].")
    middle_h: float | None = Field(description="As many last longer as shorter [h].")
    hopeful_h: float | None = Field(description="1 in 10 lasts longer [h].")
    day: dt.date | None = Field(description="The middle figure as a day; null without hours a week.")


class MoneyDue(BaseModel):
    """Money that falls due inside the booking window."""

    low: float = Field(description="[currency]")
    usual: float = Field(description="[currency]")
    high: float = Field(description="[currency]")
    currency: str = Field(description="Three letters.")


class Asked(BaseModel):
    """What is asked for a machine, without tax."""

    amount: float = Field(description="[currency]")
    currency: str = Field(description="Three letters.")


class GearWorth(BaseModel):
    """What a machine's running gear is worth now."""

    cautious: float = Field(description="[currency]")
    middle: float = Field(description="[currency]")
    hopeful: float = Field(description="[currency]")
    currency: str = Field(description="Three letters.")


class Machine(BaseModel):
    """One machine of the yard."""

    id: uuid.UUID
    short_name: str = Field(description="The yard's own short name; sheets carry it.")
    name: str
    kind: str = Field(description="Family of machine.")
    customer: str
    site: str = Field(description="Where it stands.")
    place: str = Field(json_schema_extra={"deprecated": True}, description="The site, as it was called before.")
    serial_number: str
    year_built: int | None = Field(description="Null where nobody said.")
    owner_number: str = Field(description="The number its owner's fleet knows it by.")
    asking_price: Asked | None = Field(description="Null where none is entered.")
    hours_text: str = Field(description="Hours as typed.")
    hours_h: float | None = Field(description="Service hours last known [h].")
    version: int = Field(description="Goes up with every change; send it back as seen_version.")
    archived: bool
    invented: bool = Field(description="Whether it says of itself that it is invented.")
    gear_entered: bool = Field(description="Whether its running gear is entered.")
    last_walk_on: dt.date | None
    judged_for: dt.date | None = Field(
        description="The day the call and the hours are for; null where there is none."
    )
    carried_h: float | None = Field(
        description="Hours worked from the last walk-round to that day [h]; null: not known."
    )
    readings: str = Field(description="How old the readings were on that day, in words; else empty.")
    call: CallWord | None = Field(description="The most pressing call; null where it cannot be judged yet.")
    stake: StakeWord | None = Field(
        description="What the call is about: unsafe, ruins (what is dearer), worn_out (works on at your cost), falls_due, "
        "measure (again), seen or setting; null for run, and where it is not known."
    )
    called: str = Field(description="Call and stake for reading, such as 'stop: unsafe' or 'not read'.")
    looked_at: int | None = Field(
        description="Parts read or looked over at the last walk-round; null where unknown."
    )
    looked_of: int | None = Field(description="Parts in all; null where unknown.")
    due: Due | None
    money: MoneyDue | None
    running_gear_worth: GearWorth | None = Field(
        description="Worth of the running gear now; null without prices, or where nothing that was read is priced."
    )
    waiting: bool = Field(description="Whether the figures are being worked out anew.")
    not_judged_because: str = Field(description="Why there is no call; else empty.")
    verdict_id: uuid.UUID | None = Field(description="The newest verdict.")


class MachineList(BaseModel):
    """One page of the yard's list."""

    items: list[Machine]
    page: int
    pages: int
    count: int = Field(description="Machines on all pages.")


class Refused(BaseModel):
    """A request that was not done."""

    problems: list[Trouble]
    now: Machine | None = Field(
        None, description="The machine as it is now, where somebody else was faster; else null."
    )


class Done(BaseModel):
    """What was done, as the page would tell it."""

    said: list[str] = Field(description="In words.")
    left: list[str] = Field(description="What was left undone, and why.")
    address: str = Field(description="The page at the desk that shows it; empty for none.")
    id: uuid.UUID | None = Field(description="What that page is about; null where it is about no one thing.")
    undo_id: uuid.UUID | None = Field(
        description="Takes it back for a day: POST /undo/{undoable_id}; null for never."
    )
    link: str = Field(description="A link or secret that is shown once; else empty.")


class Yard(BaseModel):
    """The yard in a few figures, archived machines left out."""

    machines: int
    stop: int = Field(description="Machines called stop.")
    book: int = Field(description="Machines called book.")
    run: int = Field(description="Machines called run.")
    not_judged: int = Field(description="Machines without a call: not read, or nothing could be judged.")
    looked_at_in_part: int = Field(description="Machines with a call of which not every part was looked at.")
    waiting: int = Field(description="Machines whose figures are being worked out anew.")
    money: float | None = Field(
        description="Falls due inside the booking windows [currency]; null with several currencies, or none."
    )
    running_gear_worth: float | None = Field(
        description="Worth of all running gear now, middle figure [currency]; null with several currencies, or none."
    )
    currency: str


class Brought(BaseModel):
    """A machine file that was brought in."""

    machine: Machine
    added: bool = Field(description="False where the same machine was there already.")


class Reading(BaseModel):
    """One quantity read at one place, as typed."""

    key: str = Field(description="Place and quantity.")
    read: list[str] = Field(description="Repeats as typed.")
    unit: str = Field(description="Taken where a repeat has none.")
    joints: str = Field(description="Joints spanned, for a pitch.")
    tool: str
    keep: str = Field(description="Why it was kept, where it looked wrong.")
    value_m: float | None = Field(description="The value [m]; null where it cannot be read.")
    problem: str = Field(description="Why it cannot be read; else empty.")
    version: int


class Seen(BaseModel):
    """One thing seen at one place."""

    key: str = Field(description="Place and finding.")
    severity: str = Field(description="slight, clear or severe; empty where it was taken back.")
    count: int
    bad: str = Field(json_schema_extra={"deprecated": True}, description="The severity, as it was called before.")
    many: int = Field(json_schema_extra={"deprecated": True}, description="The count, as it was called before.")
    on_one: bool | None = Field(
        description="Bolts of shoes or pads: whether two or more sit on one; null where not said."
    )
    note: str
    last_seen_on: dt.date | None = Field(
        None, description="Carried over when the walk-round was finished: the day somebody last saw it."
    )
    version: int


class KeptAside(BaseModel):
    """An entry that met a newer one of somebody else."""

    id: int
    key: str
    said: str
    who: str


class WalkRoundRow(BaseModel):
    """A walk-round in a list."""

    id: uuid.UUID
    machine_id: uuid.UUID
    state: Literal["draft", "finished", "put away"]
    date: dt.date | None
    service_h: float | None = Field(description="[h]")
    by: str
    source: str = Field(description="The file it came from; empty for one made at the desk.")


class WalkRound(WalkRoundRow):
    """A walk-round with everything on it."""

    date_text: str = Field(description="The day as typed.")
    hours_text: str = Field(description="Hours as typed.")
    hours_are: Literal["meter", "service"]
    unit: str
    version: int = Field(description="Of the head: day, hours, who, unit.")
    readings: list[Reading]
    seen: list[Seen]
    looked_over: list[str] = Field(description="Places somebody looked at and saw nothing.")
    aside: list[KeptAside]


class QuantityThere(BaseModel):
    """One quantity that can be read at a place."""

    key: str = Field(description="Of its line in a walk-round.")
    measurand: str
    name: str
    how: str = Field(description="How it is read.")
    worn: str = Field(description="Which way it goes as the part wears: falls or rises.")
    previous: str = Field(description="What was read there last, in words; empty for nothing.")
    new_m: float | None = Field(description="Its new size [m]; null where none is entered.")
    limit_m: float | None = Field(description="Its wear limit [m]; null where none is entered.")
    limit_assumed: bool = Field(description="Whether the limit is a rule of thumb.")
    source: str = Field(description="Where new size and limit are from.")


class FindingThere(BaseModel):
    """One thing that can be seen at a place."""

    key: str = Field(description="Of its line in a walk-round.")
    finding: str
    name: str
    counted: bool = Field(description="Whether it is asked how many.")
    on_one: bool = Field(description="Whether it is asked if two or more sit on one piece.")


class PlaceThere(BaseModel):
    """One place of a machine."""

    key: str
    part: str
    side: str = Field(description="Empty where there is one of it.")
    number: int = Field(description="From the front; 0 where a side has one.")
    name: str
    quantities: list[QuantityThere]
    findings: list[FindingThere]
    looked_over: str = Field(description="Key of the line that says somebody looked there and saw nothing.")


class ToolThere(BaseModel):
    """One tool readings are made with."""

    name: str = Field(description="What a line calls it.")
    label: str
    resolution_m: float = Field(description="Smallest step that is read [m].")
    permitted_error_m: float = Field(description="[m]")
    repeatability_m: float = Field(description="Spread of one reading [m].")


class Readable(BaseModel):
    """What a walk-round of a machine can read and see, in walking order."""

    machine_id: uuid.UUID
    places: list[PlaceThere]
    tools: list[ToolThere]


class ListRow(BaseModel):
    """What one row of a list of machines does."""

    row: int = Field(description="Its number in the file.")
    what: Literal["new", "changed", "unchanged", "refused"]
    name: str
    machine_id: uuid.UUID | None = Field(description="Null where it is refused.")
    problems: list[Trouble]


class ListRows(BaseModel):
    """One page of the rows of a list."""

    items: list[ListRow]
    page: int
    pages: int
    count: int


class MachineListSent(BaseModel):
    """A list of machines that was sent: how far it is, and what it changes."""

    id: uuid.UUID
    name: str
    state: Literal["reading", "shown", "refused", "applying", "applied"]
    failed: bool = Field(description="Whether the desk failed at it.")
    done: int = Field(description="Rows done so far, while it is applied.")
    of: int
    rows_new: int
    rows_changed: int
    rows_unchanged: int
    rows_refused: int
    problems: list[Trouble] = Field(description="Why the file cannot be read.")
    changed_meanwhile: bool = Field(
        description="Whether the yard changed before it was applied: nothing was done."
    )
    undo_id: uuid.UUID | None
    rows: ListRows


class JobShown(BaseModel):
    """Many writes that were sent together."""

    id: uuid.UUID
    state: Literal["waits", "at work", "done"]
    of: int = Field(description="Writes in all.")
    done: int = Field(description="Of them tried so far.")
    refused: int = Field(description="Of those refused.")
    at: dt.datetime
    done_at: dt.datetime | None


class JobList(BaseModel):
    """One page of jobs, the newest first."""

    items: list[JobShown]
    page: int
    pages: int
    count: int


class PieceDone(BaseModel):
    """One write of a job."""

    number: int = Field(description="From 1, as it was sent.")
    method: str
    path: str
    key: uuid.UUID
    status: int | None = Field(description="As it would have been answered; null while it waits.")
    made: str = Field(description="Id of what it made or changed; else empty.")
    problems: list[Trouble]


class PieceList(BaseModel):
    """One page of the writes of a job."""

    items: list[PieceDone]
    page: int
    pages: int
    count: int


class WalkRoundList(BaseModel):
    """One page of a machine's walk-rounds, the newest first."""

    items: list[WalkRoundRow]
    page: int
    pages: int
    count: int


class Warned(BaseModel):
    """What looks wrong about a reading."""

    said: str
    held: bool = Field(description="Whether it stays out of the figures until corrected or kept with a reason.")


class SavedLine(BaseModel):
    """What became of one line."""

    key: str
    version: int = Field(description="Send it back as seen_version with the next change of this line.")
    words: str
    problem: str
    aside: bool = Field(description="Whether somebody else's newer writing stands and this one is kept aside.")
    warned: list[Warned]


class Saved(BaseModel):
    """What became of the lines sent."""

    lines: list[SavedLine]
    told: str = Field(description="How far the walk-round is.")
    missing: int = Field(description="Quantities not read yet.")


class VerdictRow(BaseModel):
    """A stored verdict, without its figures."""

    id: uuid.UUID
    machine_id: uuid.UUID
    as_of: dt.date
    from_service_h: float = Field(description="Hours of the verdict count from here [h].")
    call: VerdictWord
    headline: str
    made_at: dt.datetime
    who: str
    method: str
    version: str = Field(description="Of pitchline.")
    price_list_id: uuid.UUID | None
    papers: list[str] | None = Field(description="Papers it can give; null in a list.")


class VerdictList(BaseModel):
    """One page of a machine's verdicts, the newest first."""

    items: list[VerdictRow]
    page: int
    pages: int
    count: int


class WorkCost(BaseModel):
    """What some work cost in fact, without tax."""

    labour: float = Field(description="[currency]")
    parts: float = Field(description="[currency]")
    currency: str


class WorkReckoned(BaseModel):
    """What the same work was reckoned to cost before."""

    amount: float = Field(description="[currency]")
    currency: str
    source: str = Field(description="Where it stood.")


class WorkRight(BaseModel):
    """Something that had been seen and no longer stands."""

    place: str
    seen: str


class Work(BaseModel):
    """One job that was done."""

    id: str
    what: str
    places: list[str]
    date: dt.date
    service_h: float = Field(description="[h]")
    seen_on: dt.date | None = Field(description="Day of the last walk-round before it.")
    put_right: list[WorkRight]
    sizes: list[str] = Field(description="Sizes read with it, in words.")
    by: str
    cost: WorkCost | None = Field(description="Null where nobody said.")
    reckoned: WorkReckoned | None = Field(description="Null where it was not reckoned.")
    note: str
    removed_because: str = Field(
        description="Why what was there before came off: worn, broken, together, unknown."
    )


class ConstantRange(BaseModel):
    """A constant with the range that holds the true figure in 8 of 10 cases."""

    low: float
    middle: float
    high: float


class ConstantMoved(BaseModel):
    """A constant beside the one in use."""

    what: str
    unit: str = Field(
        description="h for hours, % for a share, times for a pace beside another, empty for a spread."
    )
    before: ConstantRange | None = Field(description="As used now; null where nothing is known of it.")
    now: ConstantRange


class AuditFigures(BaseModel):
    """How later readings of a kind fell in what was predicted from earlier ones."""

    kind: str = Field(description="As in the fleet tables; empty for all together.")
    readings: int
    machines: int
    inside_50: float = Field(description="Share of them inside the 50 % range.")
    inside_80: float
    inside_90: float
    width: str


class ConstantsSet(BaseModel):
    """One set of constants: a proposal until somebody uses it."""

    id: uuid.UUID
    name: str = Field(description="Its file's name; empty where the yard learned it.")
    learned_on: dt.date
    who: str
    machines: int
    parts: int
    readings: int
    used_at: dt.datetime | None
    used_by: str
    taken_back_at: dt.datetime | None
    moved: list[ConstantMoved]
    audit: list[AuditFigures] = Field(
        description="Empty of a file that was brought in, and where nothing could be checked."
    )
    said: list[str] = Field(description="The audit in words.")
    not_learned_from: list[str]


class Learning(BaseModel):
    """What the yard's machines are judged with, and what was learned."""

    in_use_id: uuid.UUID | None = Field(description="Null where machines are judged from typical lives.")
    asked: bool = Field(description="Whether somebody waits for it to be learned.")
    machines_needed: int
    machines_read: int | None = Field(
        description="How many there are, where that is too few to learn from; else null."
    )
    failed: str | None = Field(description="Why it did not go, last time; else null.")
    constants: list[ConstantsSet]


class NamedOnPhoto(BaseModel):
    """A part's name on a photo, in whole percent of its width from the left and of its height from above."""

    id: uuid.UUID
    part: str
    tip_x: int = Field(description="Where the arrow ends.")
    tip_y: int
    at_x: int = Field(description="Where the name stands.")
    at_y: int
    who: str


class Photo(BaseModel):
    """A photo of a machine. The picture itself stays as it was taken; names lie over it."""

    id: uuid.UUID
    caption: str
    place: str = Field(description="Place key, such as bush/left; empty for the machine as a whole.")
    kept_at: dt.datetime
    who: str
    width: int
    height: int
    address: str = Field(description="Where the picture is, at the desk.")
    names: list[NamedOnPhoto]


class PhotoList(BaseModel):
    """One page of a machine's photos, the newest first."""

    items: list[Photo]
    page: int
    pages: int
    count: int


class HoursShown(BaseModel):
    """What the meter of a machine showed at one moment."""

    at: dt.datetime
    hours: float = Field(description="On the meter [h].")
    idle_h: float | None = Field(description="Of them idle since new [h]; null where the sender does not say.")
    latitude: float | None = Field(description="[degrees]")
    longitude: float | None = Field(description="[degrees]")
    source: str = Field(description="Where it is from.")
    state: Literal["taken", "asked", "left"] = Field(
        description="Taken; asked about at the desk, and counting for nothing until then; or left out as wrong."
    )


class HoursList(BaseModel):
    """One page of a machine's hours, the newest first."""

    items: list[HoursShown]
    page: int
    pages: int
    count: int


class HoursLeftOut(Trouble):
    """A row of hours that could not be taken."""

    row: int = Field(description="Its number, from 1.")


class HoursCame(BaseModel):
    """What became of hours that were sent."""

    taken: int = Field(description="Rows taken in.")
    known: int = Field(description="Rows known before.")
    asked: int = Field(description="Rows that do not follow the hours before: somebody is asked at the desk.")
    waiting: int = Field(
        description="Rows of machines nobody knows: somebody is asked at the desk whose they are."
    )
    left_out: list[HoursLeftOut]


class TablePage(BaseModel):
    """One page of a table of the yard."""

    items: list[dict[str, str | int | float | None]] = Field(
        description="Rows by column, docs/reference/yard-tables.md; whoever sees no prices gets none of their columns."
    )
    page: int
    pages: int
    count: int


class WorkList(BaseModel):
    """One page of a machine's work, the newest first."""

    items: list[Work]
    page: int
    pages: int
    count: int


class PriceListRow(BaseModel):
    """A price list that was entered."""

    id: uuid.UUID
    name: str
    entered_at: dt.datetime
    who: str
    in_force: bool
    why: str
    taken_back_at: dt.datetime | None = Field(description="Null unless somebody undid putting it in force.")


class PricedMachines(BaseModel):
    """For which machines a price is; all of them where nothing is said. The closest price counts."""

    family: str = Field(description="Empty for all.")
    mass_from_kg: float | None = Field(description="From this mass [kg]; null for no end.")
    mass_under_kg: float | None = Field(description="Below this mass [kg]; null for no end.")
    gear_list: str = Field(description="Name of an entry of the gear list, by itself; empty for none.")


class PriceFigure(BaseModel):
    """A labour rate or a cost of a lay-up that a class of machine has of its own."""

    name: str
    amount: float = Field(description="[currency] or [currency/h]")
    machines: PricedMachines


class PriceLine(BaseModel):
    """What one job on one part costs, without tax."""

    job: str
    part: str
    per: str
    low: float = Field(description="[currency]")
    usual: float = Field(description="[currency]")
    high: float = Field(description="[currency]")
    labour_h: float = Field(description="[h]")
    machines: PricedMachines


class PriceList(PriceListRow):
    """A price list with its lines; the file as entered is at its content."""

    currency: str
    labour_per_h: float = Field(description="[currency/h]")
    tax_rate: float | None = Field(description="Share of a price [1]; null where not entered.")
    source: str
    lines: list[PriceLine]
    figures: list[PriceFigure]


class PriceLists(BaseModel):
    """One page of the price lists entered, the newest first."""

    items: list[PriceListRow]
    page: int
    pages: int
    count: int


class QuotedLine(BaseModel):
    """One line of a free quote."""

    said: str
    job: str = Field(description="Empty for a line in own words.")
    part: str = Field(description="Empty for a line in own words.")
    count: int
    per: str = Field(description="What it is counted by: each or piece; empty for a line in own words.")
    labour_h: float | None = Field(description="[h]")
    listed: float | None = Field(
        description="What the price list says [currency]; null where it has no such line."
    )
    price: float | None = Field(description="[currency]; null where it is to be quoted apart.")
    why: str = Field(description="Why it is another price than the list's.")


class QuotedCharge(BaseModel):
    """One charge beside the lines."""

    said: str
    amount: float = Field(description="[currency]")


class Quote(BaseModel):
    """A free quote as it was given; without tax, but for its gross."""

    id: uuid.UUID
    machine_id: uuid.UUID
    number: str
    on: dt.date
    valid_until: dt.date
    customer: str
    notes: str
    who: str
    at: dt.datetime
    price_list_id: uuid.UUID
    currency: str
    lines: list[QuotedLine]
    charges: list[QuotedCharge]
    net: float = Field(description="[currency]")
    tax_rate: float | None = Field(description="Share of the net [1]; null where not entered.")
    gross: float | None = Field(description="With tax [currency]; null without a rate.")
    put_away_at: dt.datetime | None


class QuoteList(BaseModel):
    """One page of the free quotes of a machine, the newest first."""

    items: list[Quote]
    page: int
    pages: int
    count: int


class TorqueSaid(BaseModel):
    """Whether a typed torque is plausible. Never a torque to tighten by: that is the machine's manual's."""

    said: str


class GearListed(BaseModel):
    """One running gear of the gear list."""

    id: uuid.UUID
    name: str
    chance: float = Field(description="That it is this machine's [1].")
    does_not_agree: list[str] = Field(
        description="Sizes read that it cannot show, and parts of which it has another number."
    )
    given: bool = Field(description="Whether the machine was given it from the gear list.")


class GearsListed(BaseModel):
    """Which running gear of the gear list a machine's is, the likeliest first."""

    said: str = Field(description="The answer in a sentence.")
    fits: bool = Field(
        description="Whether the first may be called this machine's: likely, with nothing against it."
    )
    none: float = Field(description="Chance that the gear list has not got it [1].")
    gears: list[GearListed]
    read_next: list[str] = Field(description="What would tell the first two apart, the best first.")
    read_on: str = Field(description="The day of the walk-round it rests on; empty without one.")


class OnShelf(BaseModel):
    """One entry of the yard's shelf."""

    id: uuid.UUID
    number: str = Field(description="What the yard calls it.")
    what: str = Field(description="What it is, such as bottom_roller.")
    gear_id: uuid.UUID | None = Field(
        description="The running gear of the gear list it is for; null where nobody said."
    )
    count: int
    promised: int = Field(description="Pieces that kept lay-ups take.")
    depot: str
    place: str
    used: bool
    reading: str = Field(description="What a used one reads, as typed.")
    cost: float | None = Field(description="Paid for a piece; null where it is not said, or may not be seen.")
    note: str
    version: int


class Shelf(BaseModel):
    """The yard's shelf."""

    items: list[OnShelf]


class OrderedLine(BaseModel):
    """One line to order."""

    what: str = Field(description="In words.")
    count: int | None = Field(description="How many; null where nobody counted.")
    on_shelf: int | None = Field(
        description="How many of them lie on the shelf for it; null where none keeps a shelf of it."
    )
    to_order: int | None
    note: str


class LayUpOrder(BaseModel):
    """What a lay-up takes."""

    number: int = Field(description="0 for what comes before the first lay-up.")
    day: dt.date
    kept: bool = Field(description="Whether its plan was kept; then its parts are promised to it.")
    lines: list[OrderedLine]


class LayUpOrders(BaseModel):
    """What the lay-ups of a machine's plan take, in their order."""

    lay_ups: list[LayUpOrder]


class FittingPart(BaseModel):
    """One part of the yard's lists."""

    number: str = Field(description="What the list calls it; of the gear list, the running gear's name.")
    chance: float = Field(description="That it is this one [1].")
    does_not_agree: list[str] = Field(description="Sizes read that lie outside what it can show, new or worn.")
    sizes: dict[str, str] = Field(description="New sizes the list says, in words, by name.")
    note: str
    listed_in: Literal["table", "gear list"]
    list_id: uuid.UUID = Field(description="The table, or the running gear of the gear list.")
    list_name: str


class FittingParts(BaseModel):
    """Which part fits what was read, the likeliest first."""

    said: str = Field(description="The answer in a sentence.")
    fits: bool = Field(description="Whether the first may be called a fit: likely, and with no reading outside.")
    none: float = Field(description="Chance that the lists have not got it [1].")
    parts: list[FittingPart]
    read_next: list[str] = Field(description="Sizes that would tell the likely ones apart, the best first.")
    looked_through: int = Field(description="Parts of that kind in the lists.")
