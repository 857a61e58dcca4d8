"""The forms of each section: what is asked of a machine beside its name, its running gear, its sizes and limits."""

from collections.abc import Mapping
from typing import Any, ClassVar

from pitchline.desk.entered.kinds import (
    Count,
    Day,
    EntryForm,
    Figure,
    Length,
    Mass,
    Offered,
    Points,
    Text,
    Word,
    YesNo,
)
from pitchline.desk.posts import MOST_REASON
from pitchline.desk.spoken import later
from pitchline.exchange.words import ground_of, job_of, part_of, side_of
from pitchline.ground.describe import OPEN_NAMES
from pitchline.ground.soils import GROUNDS
from pitchline.trade.dossier import LineShape
from pitchline.trade.ground import GroundClass
from pitchline.trade.jobs import JobKind
from pitchline.trade.part_events import Because, Event
from pitchline.trade.parts import PARTS, Side
from pitchline.words import in_english, translated
from pitchline.words.names import EXAMPLES, named

_GROUNDS = [(each.code, later(named(each))) for each in GroundClass]
_PARTS = [(part.value, later(named(part))) for part in PARTS]
_REASONS = [each for each in Because if each is not Because.UNKNOWN]
_CHOOSE = ("", later("choose"))
SHARES = {each.code: f"share_{each.code}" for each in GroundClass}
"""The field of each ground's share of the hours to come."""


class MassForm(EntryForm):
    """Mass and note."""

    mass = Mass(
        later("Operating mass"),
        later(
            "Such as 20300 kg or 21 t, from plate or manual. Gives ground fit, and prices for a class of machine by mass."
        ),
    )
    note = Text(
        later("Note"),
        later("Stands on its papers; with the word “invented” it is marked as an example."),
        most=MOST_REASON,
    )


class HoursForm(EntryForm):
    """Meter and use."""

    from_new = YesNo(
        later("The meter does not count from new"),
        later("Ticked, nobody knows how many hours its first parts have run, and no life is reckoned from them."),
        key="meter_from_new", otherwise=True, ticked=False,
    )  # fmt: skip
    week_low = Figure(later("Hours in a quiet week"), key="per_week.low")
    week_usual = Figure(
        later("Hours in a usual week"),
        later(
            "Gives days beside the hours. Alone it will do: a quarter less and more is then taken for the others."
        ),
        key="per_week.usual",
    )
    week_high = Figure(later("Hours in a busy week"), key="per_week.high")
    travelling = Figure(
        later("Share of its engine hours it travels, %"),
        later("Such as 15. Left empty, a share usual for its kind is assumed, and the ranges are wider."),
        unit="%",
        per=100.0,
    )

    def clean(self) -> dict[str, Any]:
        """A usual week alone makes the other two; the other two alone do not make it."""
        typed = super().clean()
        low, usual, high = (typed.get(f"week_{each}") for each in ("low", "usual", "high"))
        if usual is None:
            if (low is not None or high is not None) and "week_usual" not in self.errors:
                self.add_error(
                    "week_usual", translated("Give the hours of a usual week too, or leave all three empty.")
                )
            return typed
        if low is None and "week_low" not in self.errors:
            typed["week_low"] = 0.75 * usual
        if high is None and "week_high" not in self.errors:
            typed["week_high"] = min(1.25 * usual, 168.0)
        return typed


class MeterChangeRow(EntryForm):
    """One change of the meter."""

    must: ClassVar[tuple[str, ...]] = ("date", "old_h")
    head: ClassVar[tuple[str, ...]] = ("{date}",)
    says: ClassVar[tuple[tuple[str, ...], ...]] = (
        (
            in_english("the old meter showed {old_h} last, the new one {new_h} first"),
            in_english("the old meter showed {old_h} last"),
        ),
    )
    date = Day(later("Day"))
    old_h = Figure(later("Old meter showed last"), example=8150.0)
    new_h = Figure(later("New meter showed first"), later("Empty is 0."))


class HistoryRow(EntryForm):
    """One fitting, turning or rebuilding."""

    must: ClassVar[tuple[str, ...]] = ("what", "part", "hours")
    head: ClassVar[tuple[str, ...]] = ("{part} {position}, {side}", "{part}, {side}", "{part}")
    says: ClassVar[tuple[tuple[str, ...], ...]] = (
        (
            in_english("{what} at {service_h} since new, on {date}"),
            in_english("{what} at {hours} on the meter, on {date}"),
            in_english("{what} at {service_h} since new"),
            in_english("{what} at {hours} on the meter"),
        ),
    )
    also_at: ClassVar[dict[str, str]] = {"meter_h": "hours", "service_h": "hours"}
    what = Word(
        later("What was done"), [_CHOOSE, *((each.value, later(each.value.replace("_", " "))) for each in Event)]
    )
    part = Word(later("Part"), [_CHOOSE, *_PARTS], means=part_of)
    side = Word(later("Side"), [("", later("–")), *((each.value, later(each.value)) for each in (Side.LEFT, Side.RIGHT))],
                means=side_of)  # fmt: skip
    position = Count(later("Number"), later("From the front; empty for every one of that side."), unit="")
    hours = Figure(later("Hours on the meter"), later("As it showed then."), example=8150.0)
    since_new = YesNo(
        later("In service hours"), later("Ticked: hours since new, which run on where the meter was changed.")
    )
    date = Day(later("Day"), later("Needed where the meter was ever changed."))
    removed_because = Word(
        later("Why the old one came off"),
        [("", later(named(Because.UNKNOWN))), *((each.value, later(named(each))) for each in _REASONS)],
        later("Tells where your own yard’s limit is."),
    )

    @property
    def stands(self) -> dict[str, str]:
        """Hours under the name of what they are."""
        stands = super().stands
        return {"service_h": stands.pop("hours")} | stands if "since_new" in stands else stands

    def begun(self, was: dict[str, Any]) -> dict[str, Any]:
        """Hours of the meter, or service hours."""
        if "service_h" in was:
            return {**was, "hours": was.pop("service_h"), "since_new": True}
        return {**was, "hours": was.pop("meter_h")} if "meter_h" in was else was

    def ended(self, entry: dict[str, Any]) -> dict[str, Any]:
        """Under the key of the hours they are."""
        hours = entry.pop("hours", None)
        key = "service_h" if entry.pop("since_new", False) else "meter_h"
        return entry if hours is None else entry | {key: hours}


class WorkedGroundForm(EntryForm):
    """Ground worked in so far, and to come."""

    usual = Word(
        later("Usual ground so far"),
        [("", later("not known")), *_GROUNDS],
        later("Wear runs at its pace; not known, it is taken as middling and the ranges are wider."),
        means=ground_of,
    )
    assumed = YesNo(
        later("That is only assumed"),
        later("The verdict then says so."),
        key="entered",
        otherwise=True,
        ticked=False,
    )

    def begun(self, was: dict[str, Any]) -> dict[str, Any]:
        """Shares by ground."""
        shares = {ground_of(one["ground"]).code: one["share"] for one in was.get("to_come", [])}
        return {**was, "to_come": shares} if shares else was

    def ended(self, entry: dict[str, Any]) -> dict[str, Any]:
        """Shares one after another."""
        shares = [{"ground": ground, "share": share} for ground, share in entry.get("to_come", {}).items()]
        return entry | {"to_come": shares} if shares else entry


for _ground in GroundClass:
    WorkedGroundForm.base_fields[SHARES[_ground.code]] = Figure(
        later("Hours to come on {ground} ground, %", ground=later(named(_ground))),
        later(EXAMPLES[_ground]), key=f"to_come.{_ground.code}", unit="%", per=100.0,
    )  # fmt: skip


class SpanRow(EntryForm):
    """Hours worked on one ground."""

    must: ClassVar[tuple[str, ...]] = ("from_h", "to_h", "ground")
    head: ClassVar[tuple[str, ...]] = (in_english("From {from_h} to {to_h}"),)
    says: ClassVar[tuple[tuple[str, ...], ...]] = (("{ground}",),)
    from_h = Figure(later("From hour"), example=8150.0)
    to_h = Figure(later("To hour"), example=8150.0)
    ground = Word(later("Ground"), [_CHOOSE, *_GROUNDS], means=ground_of)


class NamedRow(EntryForm):
    """A ground it goes to, by name."""

    must: ClassVar[tuple[str, ...]] = ("name", "share")
    head: ClassVar[tuple[str, ...]] = ("{name}",)
    says: ClassVar[tuple[tuple[str, ...], ...]] = ((in_english("{share} of the hours"),),)
    name = Text(
        later("Ground by name"), later("As ground fit names them."), widget=Offered((*OPEN_NAMES, *GROUNDS))
    )
    share = Figure(later("Share of the hours, %"), later("Together 100."), unit="%", per=100.0)

    def begun(self, was: dict[str, Any]) -> dict[str, Any]:
        """Percent of before as a share."""
        return {**was, "share": was.pop("percent") / 100} if "percent" in was and "share" not in was else was


class RangeRow(EntryForm):
    """What a quantity that is set must lie between."""

    must: ClassVar[tuple[str, ...]] = ("least", "most")
    says: ClassVar[tuple[tuple[str, ...], ...]] = (
        (in_english("{least} to {most}"),),
        (in_english("source: {source}"),),
    )
    least = Length(later("Least"))
    most = Length(later("Most"))
    source = Text(later("From which manual"))


class LifeRow(EntryForm):
    """What the yard expects of a quantity."""

    must: ClassVar[tuple[str, ...]] = ("typical_life_h",)
    says: ClassVar[tuple[tuple[str, ...], ...]] = (
        (in_english("{typical_life_h} from new to limit"),),
        (in_english("spread {log_spread}"),),
    )
    typical_life_h = Figure(later("Hours from new to limit"), later("On middling ground."), example=5000.0)
    log_spread = Figure(
        later("Spread"),
        later("Standard deviation of the logarithm, above 0 up to 2; empty is a half."),
        unit="",
        example=1.0,
    )


class LineRow(EntryForm):
    """How a quantity wears between new and its limit, and what is done there."""

    says: ClassVar[tuple[tuple[str, ...], ...]] = (
        (in_english("life used {between}"),),
        (in_english("line between them: {shape}"),),
        (in_english("bar {tip_width} wide at its tip and {root_width} at its root"),),
        (in_english("doubt of the new size {doubt_of_new}"),),
        (in_english("turned at {turn_at} of its life used"),),
        (in_english("at the limit: {at_limit}"),),
    )
    between = Points(later("Points between"), later("Such as 152 mm = 30 %; 149 mm = 60 %: size, and life used there."),
                     most=400)  # fmt: skip
    shape = Word(
        later("Line"),
        [
            ("", later("straight")),
            *((each.value, later(named(each))) for each in LineShape if each is not LineShape.STRAIGHT),
        ],
    )
    tip_width = Length(later("Bar width at tip"))
    root_width = Length(later("Bar width at root"))
    doubt_of_new = Length(
        later("Doubt of new"), later("Standard uncertainty of the new size; empty is 2 % of the way.")
    )
    turn_at = Figure(
        later("Turned at, %"), later("Life used at which bushes are turned; empty is 50."), unit="%", per=100.0
    )
    at_limit = Word(
        later("At the limit"),
        [("", later("usual job")), *((each.value, later(named(each))) for each in JobKind)],
        means=job_of,
    )

    _ONLY: ClassVar[dict[str, str]] = {"tip_width": "grouser", "root_width": "grouser", "turn_at": "bush"}
    """What some fields are asked of alone, by how the quantity is called."""

    def __init__(self, *args: Any, was: Mapping[str, Any], **more: Any) -> None:
        super().__init__(*args, was=was, **more)
        for name, start in self._ONLY.items():
            if name not in was and not str(was.get("measurand", "")).startswith(start):
                del self.fields[name]


class ToolRow(EntryForm):
    """A measuring tool of this machine's own."""

    must: ClassVar[tuple[str, ...]] = ("name", "resolution", "permitted_error", "repeatability")
    head: ClassVar[tuple[str, ...]] = ("{label}", "{name}")
    says: ClassVar[tuple[tuple[str, ...], ...]] = (
        (in_english("smallest step {resolution}"),),
        (in_english("permitted error {permitted_error}"),),
        (in_english("repeatability {repeatability}"),),
    )
    name = Text(
        later("Short name"), later("As sheets carry it; one of the usual tools is replaced by one of its name.")
    )
    label = Text(later("Name for reading"))
    resolution = Length(later("Smallest step"), later("That is read on it."))
    permitted_error = Length(later("Permitted error"), later("Half its width, from certificate or standard."))
    repeatability = Length(
        later("Repeatability"), later("Standard deviation of one reading by one person on one part.")
    )

    def begun(self, was: dict[str, Any]) -> dict[str, Any]:
        """The permitted error was called a limit before."""
        return (
            {**was, "permitted_error": was.pop("limit")}
            if "limit" in was and "permitted_error" not in was
            else was
        )


class CallsForm(EntryForm):
    """When outlook figures become a call."""

    booking_window_weeks = Figure(
        later("Booking window, weeks"),
        later("How far ahead work is booked; empty is your business's, or 8."),
        unit="weeks",
    )
    book_chance = Figure(
        later("Book from a chance of, %"),
        later("Of being past the limit inside the window; empty is 10."), unit="%", per=100.0,
    )  # fmt: skip
    stop_chance = Figure(
        later("Past its limit from a chance of, %"),
        later("From which a part counts as past its limit today; empty is 50."), unit="%", per=100.0,
    )  # fmt: skip
