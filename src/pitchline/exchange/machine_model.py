"""The machine file as pydantic models: what may stand in it, and in what unit. The JSON Schema is made from here."""

from typing import Any, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from pitchline.exchange.machine_values import (
    BecauseWord,
    CauseWord,
    ChainWord,
    Count,
    Day,
    DidWord,
    EventWord,
    GapsWord,
    Ground,
    Hours,
    HowBad,
    JobWord,
    KindOfMachine,
    KindOfTrack,
    LayoutWord,
    Length,
    Mass,
    MeasurandWord,
    Name,
    Part,
    ReadingText,
    Seen,
    ShapeWord,
    ShoeClassWord,
    SideWord,
    SignWord,
    Text,
    Unit,
)
from pitchline.trade.asking import MOST
from pitchline.trade.dossier import LineShape
from pitchline.trade.machine import Layout, ShoeClass
from pitchline.trade.part_events import Because
from pitchline.trade.parts import Side

FORMAT = "pitchline-machine/1"


class Entry(BaseModel):
    """Every part of a machine file: unknown keys are refused, types are not bent."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False, populate_by_name=True)


class Renamed(Entry):
    """An entry some keys of which were called otherwise before: those are read too, where the key of now is not there."""

    called_before: ClassVar[dict[str, str]] = {}

    @model_validator(mode="before")
    @classmethod
    def _by_keys_of_now(cls, raw: Any) -> Any:
        before = cls.called_before
        if not isinstance(raw, dict) or not before.keys() & raw.keys():
            return raw
        return {key if before.get(key, key) in raw else before[key]: each for key, each in raw.items()}


class MachineEntry(Renamed):
    """The machine."""

    called_before = {"id": "short_name"}

    short_name: Name = Field(description="The yard's own short name for the machine; sheets carry it.")
    name: Name = Field(description="Name for reading.")
    kind: KindOfMachine = Field(description="Family of machine.")
    mass: Mass | None = Field(None, description="Operating mass, such as '20.3 t'.")
    note: Text = Field("", description="Free text; says so where the machine is invented.")
    serial_number: Text = Field("", description="Its maker's number, as stamped on the machine.")
    year_built: int | None = Field(None, description="The year, 1900 to 2100.", ge=1900, le=2100)
    owner_number: Text = Field("", description="The number its owner's fleet knows it by.")


class GearEntry(Entry):
    """The running gear; both sides are alike."""

    track: KindOfTrack = Field(description="What touches the ground.")
    joints_per_side: Count = Field(description="Chain joints, or links of a rubber track, on one side; 20 to 120.")
    pitch: Length = Field(
        description="New pitch of one joint; as measured on the machine where pitch_measured says so."
    )
    pitch_measured: bool = Field(
        False, description="Whether the pitch was measured on the machine, for want of the new one."
    )
    chain_type: ChainWord | None = Field(
        None, description="What is inside the chain's joints; left out when not known."
    )
    shoe_width: Length = Field(description="Width of shoe or rubber track.")
    sprocket_teeth: Count = Field(description="Counted teeth; 5 to 60.")
    sprocket_gaps: GapsWord = Field(description="Whether each gap takes a joint or every second one.")
    bottom_rollers_per_side: Count = Field(description="0 to 20.")
    upper_rollers_per_side: Count = Field(description="0 to 20.")
    two_flange_rollers: list[int] = Field(
        [], description="Bottom rollers with two flanges, numbered from the front."
    )
    layout: LayoutWord = Field(Layout.LEVEL, description="Level, or sprocket raised with an idler at each end.")
    shoe_class: ShoeClassWord = Field(ShoeClass.STANDARD, description="Standard, or wide for low ground pressure.")
    grousers_per_shoe: Count = Field(0, description="Bars on one shoe.")
    bolts_per_shoe: Count = Field(0, description="Bolts of one shoe; 0 when not known.")
    pads_per_shoe: Count = Field(1, description="Rubber pads on one shoe.")
    bolts_per_pad: Count = Field(0, description="Bolts of one pad; 0 when not known.")
    sprocket_segments: Count = Field(0, description="Bolted segments of one sprocket; 0 when in one piece.")
    adjuster_stroke: Length | None = Field(None, description="Whole stroke of the track adjuster.")
    guards: list[Text] = Field([], description="Words for the guards fitted.")
    slew_ring: bool = Field(False, description="Whether there is one.")


class MeterChangeEntry(Entry):
    """One change of the hour meter."""

    date: Day = Field(description="The day it was changed; from that day on the new meter counts.")
    old_h: Hours = Field(description="What the old meter showed last [h].")
    new_h: Hours = Field(0.0, description="What the new one showed first [h].")


class PerWeekEntry(Entry):
    """Hours the machine works in a week, in rising order."""

    low: float = Field(description="In a quiet week [h].")
    usual: float = Field(description="In a usual week [h].")
    high: float = Field(description="In a busy week [h].")


class HoursSeenEntry(Entry):
    """What the meter showed on one day between walk-rounds."""

    date: Day = Field(description="The day.")
    meter_h: Hours | None = Field(None, description="What the meter showed [h]; this or service_h.")
    service_h: Hours | None = Field(None, description="Service hours [h]; this or meter_h.")


class HoursEntry(Entry):
    """Meter and use."""

    meter_from_new: bool = Field(True, description="Whether service hours count from when the machine was new.")
    meter_changes: list[MeterChangeEntry] = Field([], description="Changes of the meter, in order of date.")
    per_week: PerWeekEntry | None = Field(None, description="Hours a week; without them there are no dates.")
    own_week: bool = Field(False, description="Whether `per_week` holds, whatever the hours seen tell.")
    seen: list[HoursSeenEntry] = Field(
        [],
        description="What the meter showed between walk-rounds, in order of date; hours a week are learned from it.",
    )
    travelling: float | None = Field(
        None,
        description="Share of the engine hours in which it travels, 0 to 1; left out, a share usual for its family is assumed.",
        ge=0,
        le=1,
    )


class SpanEntry(Entry):
    """Service hours worked in one class of ground."""

    from_h: Hours = Field(description="Service hours at the start [h].")
    to_h: Hours = Field(description="Service hours at the end [h].")
    ground: Ground = Field(description="The class.")


class NamedGroundEntry(Entry):
    """A ground the machine goes to, by name."""

    name: Text = Field(description="A ground by name, as `pitchline ground --soil` takes it.")
    share: float = Field(description="Share of the hours to come, above 0 up to 1; together 1.", gt=0, le=1)

    @model_validator(mode="before")
    @classmethod
    def _percent_of_before(cls, raw: Any) -> Any:
        if isinstance(raw, dict) and "share" not in raw and isinstance(raw.get("percent"), int | float):
            return {key: each for key, each in raw.items() if key != "percent"} | {"share": raw["percent"] / 100}
        return raw


class ShareEntry(Entry):
    """Share of the hours to come in one class of ground."""

    ground: Ground = Field(description="The class.")
    share: float = Field(description="Share of the hours to come, 0 to 1; all shares together make 1.", ge=0, le=1)


class GroundEntry(Entry):
    """Ground worked in and to come."""

    usual: Ground | None = Field(
        None, description="Ground of hours no span covers, and of the hours to come where no shares are given."
    )
    entered: bool | None = Field(
        None, description="False where the usual ground is only assumed; left out otherwise."
    )
    spans: list[SpanEntry] = Field([], description="Spans that do not overlap.")
    named: list[NamedGroundEntry] = Field([], description="Grounds it goes to by name, for ground fit.")
    to_come: list[ShareEntry] = Field(
        [], description="Shares of the hours to come; left out, they are taken on the usual ground."
    )


class PointEntry(Entry):
    """A point between new and limit."""

    size: Length = Field(description="Size there.")
    life_used: float = Field(description="Life used there, between 0 and 1.", ge=0, le=1)


class LimitEntry(Entry):
    """The yard's own new size and wear limit of one quantity."""

    part: Part = Field(description="The part.")
    measurand: MeasurandWord = Field(description="The quantity.")
    new: Length = Field(description="New size; for a pitch the size of one joint.")
    limit: Length | None = Field(None, description="Wear limit; left out when the yard has none.")
    between: list[PointEntry] = Field([], description="Points between, in order from new to limit.")
    shape: ShapeWord = Field(LineShape.STRAIGHT, description="How the wear line runs.")
    tip_width: Length | None = Field(None, description="Grouser bar's width at its tip, for a tapered bar.")
    root_width: Length | None = Field(None, description="Grouser bar's width at its root, for a tapered bar.")
    doubt_of_new: Length | None = Field(None, description="Standard uncertainty of the new size.")
    turn_at: float = Field(0.5, description="Life used at which bushes are turned, between 0 and 1.")
    at_limit: JobWord | None = Field(None, description="What the yard does at the limit.")
    source: Text = Field("", description="Where the yard has the figures from.")
    assumed: bool = Field(
        False, description="Whether the limit is a rule of thumb, taken for want of a manual; its doubt is wide."
    )


class RangeEntry(Entry):
    """The range an adjusted quantity must stay in."""

    part: Part = Field(description="The part.")
    measurand: MeasurandWord = Field(description="Sag or adjuster extension.")
    least: Length = Field(description="Least permitted.")
    most: Length = Field(description="Most permitted.")
    source: Text = Field("", description="Where the yard has the figures from.")


class KindLifeEntry(Entry):
    """What the yard expects of one kind of part."""

    part: Part = Field(description="The part.")
    measurand: MeasurandWord = Field(description="The quantity that reaches its limit.")
    typical_life_h: Hours = Field(description="Hours from new to the limit on middling ground [h].")
    log_spread: float = Field(0.5, description="Standard deviation of its logarithm [1], above 0 up to 2.")


class ToolEntry(Renamed):
    """A measuring tool."""

    called_before = {"limit": "permitted_error"}

    name: Name = Field(description="Short name used on sheets.")
    label: Text = Field("", description="Name for reading.")
    resolution: Length = Field(description="Smallest step that is read.")
    permitted_error: Length = Field(description="Its half-width.")
    repeatability: Length = Field(description="Standard deviation of one reading by one person on one part.")


class EventEntry(Entry):
    """A recorded fitting, turning or rebuilding."""

    what: EventWord = Field(description="What was done.")
    part: Part = Field(description="To what.")
    side: SideWord = Field(Side.NONE, description="Left or right; empty for a part there is one of.")
    position: Count = Field(0, description="Number from the front; 0 or left out for every one of that side.")
    meter_h: Hours | None = Field(None, description="What the meter showed [h]; this or service_h.")
    service_h: Hours | None = Field(None, description="Service hours [h]; this or meter_h.")
    date: Day | None = Field(None, description="The day; needed with meter_h where the meter was ever changed.")
    removed_because: BecauseWord = Field(Because.UNKNOWN, description="Why what was there before came off.")


class TypedEntry(Entry):
    """A length as typed beside its value, where the text alone does not give it."""

    text: Text = Field(description="Exactly what was typed.")
    unit: Unit = Field(description="The unit it was read in.")
    metres: float = Field(description="The value [m].")


class ReadingEntry(Entry):
    """One quantity read at one place."""

    part: Part = Field(description="The part.")
    side: SideWord = Field(Side.NONE, description="Left or right; empty for a part there is one of.")
    position: Count = Field(0, description="Number from the front; left out for parts that are not numbered.")
    measurand: MeasurandWord = Field(description="The quantity.")
    read: list[ReadingText] | None = Field(None, description="Each repeat as typed; a pitch as the whole length.")
    unit: Unit = Field("mm", description="Unit taken for repeats that carry none.")
    over_joints: Count | None = Field(None, description="Joints the length spans; needed for pitches.")
    tool: Text = Field("unknown", description="Short name of the tool.")
    kept_because: Text = Field("", description="Why a reading that looked wrong was kept.")
    extra_doubt: Length = Field(0.0, description="Further standard uncertainty, such as mud or paint.")
    read_m: list[float] | None = Field(None, description="Repeats in metres, in place of read.")
    typed: list[TypedEntry] = Field([], description="Texts beside read_m.")
    tool_as_used: ToolEntry | None = Field(
        None, description="The tool's figures then, where the list has others now."
    )


class FindingEntry(Entry):
    """One thing seen at one place."""

    part: Part = Field(description="The part.")
    side: SideWord = Field(Side.NONE, description="Left or right; empty for a part there is one of.")
    position: Count = Field(0, description="Number from the front; left out for parts that are not numbered.")
    seen: Seen = Field(description="What.")
    how_bad: HowBad = Field(description="How bad.")
    count: Count = Field(1, description="How many, from 1.")
    on_one: bool | None = Field(
        None,
        description="Bolts of shoes or pads: whether two or more of them sit on one; left out where nobody said.",
    )
    last_seen_on: Day | None = Field(
        None,
        description="Carried over from an earlier walk-round: the day somebody last saw it; else left out, or null where the "
        "note would be taken for one of the desk's that says so.",
    )
    note: Text = Field("", description="Free text.")


class LookedOverEntry(Entry):
    """One part somebody looked at and saw nothing on."""

    part: Part = Field(description="The part.")
    side: SideWord = Field(Side.NONE, description="Left or right; empty for a part there is one of.")
    position: Count = Field(0, description="Number from the front; left out for parts that are not numbered.")


class WalkRoundEntry(Entry):
    """One visit to the machine."""

    date: Day = Field(description="The day.")
    meter_h: Hours | None = Field(None, description="What the meter showed [h]; this or service_h.")
    service_h: Hours | None = Field(None, description="Service hours [h]; this or meter_h.")
    by: Text = Field("", description="Who went round.")
    source: Text = Field("", description="Sheet or file it came from.")
    readings: list[ReadingEntry] = Field([], description="What was read.")
    findings: list[FindingEntry] = Field([], description="What was seen.")
    looked_over: list[LookedOverEntry] = Field([], description="Parts looked at on which nothing was seen.")


class PutRightEntry(Entry):
    """One thing that had been seen and no longer stands."""

    part: Part = Field(description="The part.")
    side: SideWord = Field(Side.NONE, description="Left or right; empty for a part there is one of.")
    position: Count = Field(0, description="Number from the front; left out for parts that are not numbered.")
    seen: Seen = Field(description="What had been seen.")


class SpentEntry(Entry):
    """What some work cost in fact, without tax."""

    labour: float = Field(0.0, description="Labour [currency].", ge=0, le=MOST)
    parts: float = Field(0.0, description="Parts [currency].", ge=0, le=MOST)
    currency: str = Field(description="Its code, three capital letters such as EUR.", pattern="^[A-Z]{3}$")


class ReckonedEntry(Entry):
    """What the same work was reckoned to cost before."""

    amount: float = Field(description="0 or more [currency].", ge=0, le=MOST)
    currency: str = Field(description="Its code, three capital letters such as EUR.", pattern="^[A-Z]{3}$")
    source: Text = Field("", description="Where it stood, such as 'verdict of 2026-11-30'.")


class WorkDoneEntry(Entry):
    """One job that was done."""

    id: Name = Field(description="Its own short name, once in the file.")
    what: DidWord = Field(description="What was done.")
    places: list[LookedOverEntry] = Field(description="To which parts, one or more.")
    date: Day = Field(description="The day.")
    meter_h: Hours | None = Field(None, description="What the meter showed [h]; this or service_h.")
    service_h: Hours | None = Field(None, description="Service hours [h]; this or meter_h.")
    seen_on: Day | None = Field(
        None, description="Day of the last walk-round before it; tells which came first where both are of one day."
    )
    put_right: list[PutRightEntry] = Field([], description="What had been seen and no longer stands.")
    readings: list[ReadingEntry] = Field(
        [], description="Sizes of a used part as it was fitted, sag and adjuster as they were set."
    )
    by: Text = Field("", description="Who did it.")
    cost: SpentEntry | None = Field(None, description="What it cost; left out where nobody said.")
    reckoned: ReckonedEntry | None = Field(None, description="What it was reckoned to cost before.")
    note: Text = Field("", description="Free text.")
    removed_because: BecauseWord = Field(Because.UNKNOWN, description="Why what was there before came off.")


class LookedForEntry(Entry):
    """What somebody found who looked for a cause or a sign of wear."""

    date: Day = Field(description="The day.")
    sign: SignWord | None = Field(None, description="A sign of wear; this or cause.")
    cause: CauseWord | None = Field(None, description="A cause of wear; this or sign.")
    there: bool = Field(description="Whether it was found: a sign seen or not, a cause confirmed or ruled out.")
    note: Text = Field("", description="Free text.")
    by: Text = Field("", description="Who looked.")


class AskingEntry(Entry):
    """What is asked for the whole machine, without tax."""

    amount: float = Field(description="Above 0 [currency].", gt=0, le=MOST)
    currency: str = Field(description="Its code, three capital letters such as EUR.", pattern="^[A-Z]{3}$")


class CallsEntry(Entry):
    """When outlook figures become a call."""

    booking_window_weeks: float = Field(
        8.0, description="How far ahead work is booked [weeks], above 0 up to 104."
    )
    book_chance: float = Field(0.10, description="Chance from which work is booked, between 0 and 1.")
    stop_chance: float = Field(
        0.50, description="Chance of being past the limit from which to stop, between 0 and 1."
    )


class MachineFile(Entry):
    """One tracked machine: its running gear, the yard's limits, its history and its walk-rounds."""

    model_config = ConfigDict(title="pitchline machine file, version 1")

    format: Literal["pitchline-machine/1"] = Field(description="Name and version of this format.")
    schema_address: Text = Field("", alias="$schema", description="For editors; not read.")
    machine: MachineEntry
    running_gear: GearEntry
    hours: HoursEntry = Field(default_factory=lambda: HoursEntry.model_validate({}))
    ground: GroundEntry = Field(default_factory=lambda: GroundEntry.model_validate({}))
    limits: list[LimitEntry] = Field([], description="Each part and quantity once.")
    ranges: list[RangeEntry] = Field([], description="Permitted ranges of sag and adjuster extension.")
    kind_lives: list[KindLifeEntry] = Field([], description="The yard's own expectations.")
    tools: list[ToolEntry] = Field([], description="The yard's own tools; they replace defaults of the same name.")
    history: list[EventEntry] = Field([], description="What was fitted, turned or rebuilt.")
    work_done: list[WorkDoneEntry] = Field([], description="Jobs that were done, each with its day and cost.")
    looked_for: list[LookedForEntry] = Field(
        [], description="Causes and signs of wear that somebody looked for, in order of entry."
    )
    asking_price: AskingEntry | None = Field(None, description="What is asked for it; left out, no offer is made.")
    calls: CallsEntry = Field(default_factory=lambda: CallsEntry.model_validate({}))
    walk_rounds: list[WalkRoundEntry] = Field([], description="In order of date.")
