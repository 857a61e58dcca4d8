"""Day and hours of a walk-round: what cannot be used of them, held against the other walk-rounds of the machine."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pitchline.desk.bridge.machines import meter_changes_of
from pitchline.desk.bridge.sheets import DAY, problem_said, set_head
from pitchline.desk.clock import today
from pitchline.desk.walkround.models import Sheet
from pitchline.exchange.figures import exact_number, meter_h_of
from pitchline.judge.machine_by_day import known_by
from pitchline.papers import words
from pitchline.trade.dossier import HOURS_PER_DAY, Dossier
from pitchline.trade.errors import NotAllowedError, Problem
from pitchline.trade.meter import service_hours
from pitchline.trade.readings import WalkRound
from pitchline.trade.writing import as_figure
from pitchline.words import in_english, translated, worded

HOURS = in_english("hours")
_MOST_TIMES = 2.0
"""So many times the hours entered with a machine its first walk-round may read without a question. Our own."""
_METER_CHANGED = in_english(
    "If the hour meter was changed, enter the change under meter and hours a week; else correct the hours."
)


@dataclass(frozen=True, slots=True)
class Head:
    """Day and hours.

    Parameters
    ----------
    date_wrong, hours_wrong : str
        Why each cannot be used as typed; empty where it can.
    missing : tuple of str
        What is not typed yet.
    last : str
        The hours of the last walk-round with its day; empty where there is none.
    day_asked : str
        What is asked about a day that is still to come; empty where it is not.
    hours_asked : str
        What is asked about hours that go ill with those entered with the machine, or with what its meter showed between
        walk-rounds; empty where they go well.
    hours_left : str
        The same in short.
    likely_h : float or None
        What the meter is likely to show, where nothing is typed and it can be told.
    likely_said : str
        How that is known.
    """

    date_wrong: str = ""
    hours_wrong: str = ""
    missing: tuple[str, ...] = ()
    last: str = ""
    day_asked: str = ""
    hours_asked: str = ""
    hours_left: str = ""
    likely_h: float | None = None
    likely_said: str = ""

    @property
    def offered(self) -> dict[str, str] | None:
        """The likely hours as a script puts them beside the field; None where none are offered."""
        if self.likely_h is None:
            return None
        put_said = worded("Put {hours}", hours=words.service_hours(self.likely_h))
        return {
            "said": self.likely_said,
            "put": f"hours={exact_number(round(self.likely_h, 3))}",
            "put_said": put_said,
        }

    @property
    def asks(self) -> tuple[str, ...]:
        """What is asked before a walk-round is finished."""
        return tuple(filter(None, (self.day_asked, self.hours_asked)))

    @property
    def wrong(self) -> tuple[tuple[str, str], ...]:
        """Short name of the field and why it cannot be used."""
        return tuple(
            (name, said) for name, said in (("date", self.date_wrong), ("hours", self.hours_wrong)) if said
        )

    @property
    def left(self) -> str:
        """What is left to do, in words."""
        names = {"date": translated("day"), "hours": translated("hours")}
        return "; ".join(
            ([translated("day: still to come")] if self.day_asked else [])
            + ([self.hours_left] if self.hours_asked else [])
            + [translated("{name}: could not be saved").format(name=names[name]) for name, _ in self.wrong]
            + [translated("{name}: not entered").format(name=translated(name)) for name in self.missing]
        )


def head_of(sheet: Sheet, dossier: Dossier) -> Head:
    """Day and hours as their fields show them."""
    others = other_walk_rounds(sheet, dossier)
    wrong = {
        "date" if one.field == DAY else "hours": problem_said(one) for one in head_problems(sheet, dossier, others)
    }
    missing = [name for name, text in ((DAY, sheet.date_text), (HOURS, sheet.hours_text)) if not text.strip()]
    before = _before(sheet, others)
    last = hours_said(before, sheet, dossier) if before is not None else ""
    asked = sheet.date if is_to_come(sheet) and not wrong.get("date") and sheet.state == Sheet.DRAFT else None
    said = ""
    if asked is not None:
        said = worded(
            "{day} is still to come: today is {today}. Is the day right?",
            day=words.day(asked),
            today=words.day(today()),
        )
    hours_asked, hours_left = ("", "") if wrong.get("hours") else hours_doubted(sheet, first=before is None)
    likely = _likely_hours(sheet, dossier) if HOURS in missing and sheet.state == Sheet.DRAFT else (None, "")
    return Head(
        wrong.get("date", ""), wrong.get("hours", ""), tuple(missing), last, said, hours_asked, hours_left, *likely
    )


def hours_by_day(dossier: Dossier, day: dt.date) -> tuple[float, bool]:
    """What the meter of a machine that was gone round by a day is likely to show that day, and whether a usual week told it."""
    known = known_by(dossier, day)
    least_h = max([known.dossier.walk_rounds[-1].service_h, *(one.service_h for one in known.dossier.work)])
    now_h = max(float(round(known.now_h)), least_h)
    shown_h = meter_h_of(now_h, day, dossier.meter_changes)
    return now_h if shown_h is None else shown_h, dossier.utilisation is not None


def _likely_hours(sheet: Sheet, dossier: Dossier) -> tuple[float | None, str]:
    """What the meter is likely to show, and how that is known."""
    entered_h = sheet.machine.hours_h
    if not dossier.walk_rounds and entered_h is not None:
        return entered_h, worded("With the machine {entered_h:,.10g} h were entered.", entered_h=entered_h)
    if sheet.date is None or not any(one.date <= sheet.date for one in dossier.walk_rounds):
        return None, ""
    try:
        likely_h, by_week = hours_by_day(dossier, sheet.date)
    except NotAllowedError:  # a limit that goes ill with the gear is told elsewhere
        return None, ""
    how = translated("By its usual week:")
    return likely_h, how if by_week else translated("If it stood since:")


def hours_doubted(sheet: Sheet, *, first: bool) -> tuple[str, str]:
    """What is asked about hours that can be used and yet are hardly right, and the same in short; empty where they go well."""
    if sheet.state != Sheet.DRAFT or sheet.hours_are == "service" or sheet.service_h is None:
        return "", ""
    entered_h, read_h = sheet.machine.hours_h, sheet.service_h
    # Where no earlier walk-round tells what the hours can be, a decimal mark slips easily.
    if first and entered_h and not entered_h <= read_h <= _MOST_TIMES * entered_h:
        asked = worded(
            "With the machine {entered_h:,.10g} h were entered, and {read_h:,.10g} h are typed here. Are the hours right?",
            entered_h=entered_h,
            read_h=read_h,
        )
        return asked, translated("hours: not those entered with the machine")
    if sheet.date is None:
        return "", ""
    changes = meter_changes_of(sheet.machine)
    for told, seen_h in sorted(sheet.machine.hours_seen, reverse=True):
        day = dt.date.fromisoformat(told)
        # Of the same day they may have been read before the day's work, and the meter was fed after it.
        if day <= sheet.date and service_hours(seen_h, day, changes) > read_h + HOURS_PER_DAY * (
            day == sheet.date
        ):
            asked = worded(
                "On {day} its meter showed {seen_h:,.10g} h, more than the hours typed here. Are the hours right?",
                day=words.day(day),
                seen_h=seen_h,
            )
            return asked, translated("hours: fewer than its meter showed before")
    return "", ""


def is_asked_about(sheet: Sheet) -> bool:
    """Whether somebody has to say that day and hours are right before the walk-round is finished."""
    return is_to_come(sheet) or hours_doubted(sheet, first=sheet.machine.last_walk_on is None)[0] != ""


def is_to_come(sheet: Sheet) -> bool:
    """Whether the day of a sheet is later than today: allowed, where clocks differ, but asked about."""
    return sheet.date is not None and sheet.date > today()


def other_walk_rounds(sheet: Sheet, dossier: Dossier) -> list[WalkRound]:
    """The finished walk-rounds of a machine without this one."""
    return [one for one in dossier.walk_rounds if sheet.state != Sheet.FINISHED or one.date != sheet.date]


def head_problems(sheet: Sheet, dossier: Dossier, others: Sequence[WalkRound]) -> list[Problem]:
    """What cannot be used of day and hours as typed; afterwards the sheet holds both as far as they can be read.

    Returns
    -------
    list of Problem
        Empty where both can be used, or are not typed yet.
    """
    problems = set_head(sheet, dossier)
    if any(one.date == sheet.date for one in others):
        allowed = translated("a day without another finished walk-round")
        step = "Take that one up again, correct the day, or put that one away."
        return [Problem(DAY, sheet.date_text, allowed, step), *(one for one in problems if one.field != DAY)]
    if sheet.date is None or sheet.service_h is None:
        return problems
    before = _before(sheet, others)
    if before is not None and sheet.service_h < before.service_h:
        least = translated("at least the {hours_said}, last time").format(
            hours_said=hours_said(before, sheet, dossier)
        )
        return [Problem(HOURS, sheet.hours_text, least, _METER_CHANGED)]
    if before is not None and sheet.service_h - before.service_h > HOURS_PER_DAY * (sheet.date - before.date).days:
        most = translated("at most 24 h a day more than the {hours_said}, last time").format(
            hours_said=hours_said(before, sheet, dossier)
        )
        return [Problem(HOURS, sheet.hours_text, most, _METER_CHANGED)]
    try:
        now = WalkRound(sheet.date, sheet.service_h)
        replace(dossier, walk_rounds=tuple(sorted((*others, now), key=lambda one: one.date)))
    except NotAllowedError as error:
        said = error.problem
        if said.field.endswith("date"):
            return [Problem(DAY, sheet.date_text, said.allowed, said.next_step)]
        return [Problem(HOURS, sheet.hours_text, said.allowed, said.next_step)]
    return []


def _before(sheet: Sheet, others: Sequence[WalkRound]) -> WalkRound | None:
    """The newest of the others before this one's day; of all where it has none."""
    earlier = [one for one in others if sheet.date is None or one.date < sheet.date]
    return earlier[-1] if earlier else None


def hours_said(walk_round: WalkRound, sheet: Sheet, dossier: Dossier) -> str:
    """The hours of a walk-round as the field of this sheet takes them, with its day."""
    shown_h = None
    if sheet.hours_are != "service":
        shown_h = meter_h_of(walk_round.service_h, walk_round.date, dossier.meter_changes)
    hours = as_figure(walk_round.service_h if shown_h is None else shown_h, ",.10g")
    return worded("{hours} h of {day}", hours=hours, day=words.day(walk_round.date))
