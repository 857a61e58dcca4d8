"""Columns of the tables of a yard, each described once: in files, over the API, in views of the database and in the documents."""

from dataclasses import dataclass

TEXT, NUMBER, WHOLE, DAY, MOMENT = "text", "number", "whole", "day", "moment"


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Parameters
    ----------
    name : str
        In small letters, the unit at its end.
    kind : str
        TEXT, NUMBER, WHOLE, DAY or MOMENT.
    about : str
        What it holds.
    """

    name: str
    kind: str
    about: str


MACHINE_COLUMNS = (
    Column("machine_id", TEXT, "id of the machine, the same in every table"),
    Column("machine", TEXT, "its name"),
    Column("short_name", TEXT, "its short name"),
    Column("kind", TEXT, "family of machine"),
    Column("customer", TEXT, "whose it is"),
    Column("depot", TEXT, "the depot it stands at"),
    Column("site", TEXT, "where it works"),
    Column("changed_at", MOMENT, "when this row was written"),
)
"""The head of every table."""
_PLACE = (
    Column("part", TEXT, "kind of part"),
    Column("side", TEXT, "left or right; empty where there is none"),
    Column("position", WHOLE, "number along the side, from the front; 0 for the whole side"),
)
_HOURS = (
    Column("cautious_h", NUMBER, "1 in 10 is due before [h]"),
    Column("middle_h", NUMBER, "as many are due before as after [h]"),
    Column("hopeful_h", NUMBER, "9 in 10 are due before [h]"),
    Column("cautious_on", DAY, "the same as a day; empty without hours a week"),
    Column("middle_on", DAY, "the same as a day"),
    Column("hopeful_on", DAY, "the same as a day"),
)
_JUDGED_FOR = Column("judged_for", DAY, "day of the verdict")
_STAKE = Column("stake", TEXT, "what the call is about")
_CURRENCY = Column("currency", TEXT, "three letters")
_LABOUR = Column("labour_h", NUMBER, "labour [h]; empty where it is not priced")
_PRICE = (
    Column("price_low", NUMBER, "parts and labour, without tax [currency]"),
    Column("price_usual", NUMBER, "the same [currency]"),
    Column("price_high", NUMBER, "the same [currency]"),
    _CURRENCY,
)
_WHAT = (
    Column("job", TEXT, "what is done"),
    Column("part", TEXT, "to what"),
    Column("places", TEXT, "where, parted by semicolons"),
    Column("pieces", WHOLE, "joints, shoes, pads or bolts where they are counted, else places"),
    Column("renews", WHOLE, "1 where new parts are needed"),
)
_WALKED = (
    Column("walked_on", DAY, "day of the walk-round"),
    Column("service_h", NUMBER, "service hours then [h]"),
    Column("by", TEXT, "who went round"),
)
VERDICT_COLUMNS = (
    Column("hours_h", NUMBER, "service hours last seen [h]"),
    Column("last_walk_on", DAY, "day of the last walk-round"),
    _JUDGED_FOR,
    Column("call", TEXT, "stop, book or run; empty where it is not judged"),
    _STAKE,
    Column("due_cautious_h", NUMBER, "1 in 10 is due before [h]"),
    Column("due_middle_h", NUMBER, "as many are due before as after [h]"),
    Column("due_hopeful_h", NUMBER, "9 in 10 are due before [h]"),
    Column("due_on", DAY, "the middle figure as a day"),
    Column("money_low", NUMBER, "falls due inside the booking window [currency]"),
    Column("money_usual", NUMBER, "the same [currency]"),
    Column("money_high", NUMBER, "the same [currency]"),
    Column("worth_usual", NUMBER, "worth left in its running gear [currency]"),
    _CURRENCY,
    Column("looked_at", WHOLE, "parts looked at on the last walk-round"),
    Column("looked_of", WHOLE, "of so many"),
)
PART_COLUMNS = (
    _JUDGED_FOR,
    Column("hours_h", NUMBER, "service hours then [h]"),
    *_PLACE,
    Column("call", TEXT, "stop, book, run or unjudged"),
    _STAKE,
    Column("job", TEXT, "what falls due first"),
    Column("quantity", TEXT, "the quantity that is worn most"),
    Column("life_used", NUMBER, "of it, as judged [1]"),
    Column("size_mm", NUMBER, "of it, as read last [mm]"),
    *_HOURS,
    Column("looked_at", WHOLE, "1 where it was read or looked over on the last walk-round"),
    Column("assumed_limit", WHOLE, "1 where a figure rests on an assumed limit"),
)
JOB_COLUMNS = (
    _JUDGED_FOR,
    *_WHAT,
    Column("call", TEXT, "stop: before it works again; book: inside the booking window; run: later"),
    _STAKE,
    Column("chance_in_window", NUMBER, "chance that it falls due inside the booking window [1]"),
    *_HOURS,
    _LABOUR,
    *_PRICE,
    Column("takes", TEXT, "what it takes and how many, parted by semicolons"),
)
READING_COLUMNS = (
    *_WALKED,
    *_PLACE,
    Column("quantity", TEXT, "what was read"),
    Column("value_mm", NUMBER, "its size [mm]"),
    Column("not_read_because", TEXT, "why it was not read"),
)
FINDING_COLUMNS = (
    *_WALKED,
    *_PLACE,
    Column("seen", TEXT, "what was seen"),
    Column("severity", TEXT, "how bad"),
    Column("count", WHOLE, "how many"),
    Column("note", TEXT, "what was noted"),
)
SHOWN_COLUMNS = (
    Column("at", MOMENT, "when"),
    Column("meter_h", NUMBER, "on the meter [h]"),
    Column("idle_h", NUMBER, "of them idle since new [h]"),
    Column("latitude", NUMBER, "[degrees]"),
    Column("longitude", NUMBER, "[degrees]"),
    Column("source", TEXT, "where it is from"),
    Column("state", TEXT, "taken, asked or left"),
)
LAY_UP_COLUMNS = (
    Column("state", TEXT, "kept: somebody decided on it; worked_out: nobody did yet"),
    Column("planned_for", DAY, "day of the verdict that the plan rests on"),
    Column("lay_up", WHOLE, "which one, from 1; 0 for what is done before the first"),
    Column("at_h", NUMBER, "hours from that verdict [h]"),
    Column("service_h", NUMBER, "service hours then [h]"),
    Column("planned_on", DAY, "the day meant by that; empty without hours a week"),
    *_WHAT,
    Column(
        "charge",
        TEXT,
        "what the lay-up costs beside its jobs, then no job: lorry, call_out, fitters_day, standing...",
    ),
    _LABOUR,
    *_PRICE,
)
PRICE_COLUMNS = (
    Column("list_number", WHOLE, "which price list of the business, from 1: the one in force"),
    Column("changed_at", MOMENT, "when this row was written"),
    Column("job", TEXT, "what is done; empty for a figure beside the lines"),
    Column("part", TEXT, "to what"),
    Column("per", TEXT, "each: a chain, a roller; piece: a shoe, a joint, a bolt"),
    Column(
        "figure",
        TEXT,
        "labour_per_h, lorry, call_out...; owning_...: what a standing hour is reckoned from; tax_rate",
    ),
    Column("amount", NUMBER, "of a figure [currency, currency/h, or 1]"),
    Column("for_kind", TEXT, "family of machine it is for; empty for all"),
    Column("mass_from_kg", NUMBER, "operating mass from this on [kg]"),
    Column("mass_under_kg", NUMBER, "and below this [kg]"),
    Column("gear", TEXT, "entry of the gear list it is for; empty for all"),
    Column("price_low", NUMBER, "parts and materials of one unit, without tax [currency]"),
    Column("price_usual", NUMBER, "the same [currency]"),
    Column("price_high", NUMBER, "the same [currency]"),
    _CURRENCY,
    Column("labour_h", NUMBER, "labour of one unit [h]"),
)
WORK_COLUMNS = (
    Column("work", TEXT, "its own name, once on a machine"),
    Column("done_on", DAY, "day it was done"),
    Column("service_h", NUMBER, "service hours then [h]"),
    Column("did", TEXT, "what was done"),
    Column("part", TEXT, "to what"),
    Column("places", TEXT, "where, parted by semicolons"),
    Column("pieces", WHOLE, "how many places"),
    Column("seen_on", DAY, "the last walk-round before it"),
    Column("put_right", TEXT, "place and finding that no longer stands, parted by semicolons"),
    Column("sizes", TEXT, "place, quantity and size [mm] as it was fitted or set, parted by semicolons"),
    Column("by", TEXT, "who did it"),
    Column("note", TEXT, "what was noted"),
    Column("cost_labour", NUMBER, "what it cost in fact, without tax [currency]"),
    Column("cost_parts", NUMBER, "the same [currency]"),
    _CURRENCY,
    Column("reckoned", NUMBER, "what it had been reckoned to cost [reckoned_currency]"),
    Column("reckoned_currency", TEXT, "three letters"),
    Column("reckoned_in", TEXT, "where it was reckoned"),
)
MONEY = frozenset((
    "price_low", "price_usual", "price_high", "currency", "money_low", "money_usual", "money_high", "worth_usual",
    "cost_labour", "cost_parts", "reckoned", "reckoned_currency",
))  # fmt: skip
"""Columns that whoever sees no prices does not see."""
