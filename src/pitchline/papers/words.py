"""The wording that paper, screen and sheet share, so that all of them say the same."""

import datetime as dt
from itertools import groupby

from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import Layout, Machine, RunningGear, ShoeClass
from pitchline.trade.measurands import MEASURANDS, Role, measurands_of
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.trade.readings import Reading
from pitchline.trade.units import UnitSystem, show_hours, show_length, show_mass
from pitchline.verdict import Dates, HoursLeft, Money, PartVerdict, Verdict

GAP = "\u00a0"
WORKING_AID = (
    "A working aid, not a licence to work. The maker's manual, local codes and a competent person come first."
)
METHOD_SAID = (
    "Each reading becomes life used along the yard's own wear line, with the doubt of tool and hand kept.",
    "All parts and walk-rounds of this machine are judged together: what one part shows of ground and driving serves the "
    "others.",
    "Where readings are few a weak expectation of typical lives fills in; readings soon outweigh it.",
    "Hours left count from the hours at the top, on the ground assumed to come; hours a week turn them into days.",
    "The range holds all these doubts at once: of ten such parts nine last past the cautious figure, one past the hopeful.",
)
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_NOW_H = 5.0
_FINE_M = 0.5e-3
_FOOT = 48


def tied(text: str) -> str:
    """Text whose spaces do not break across lines."""
    return text.replace(" ", GAP)


def hours(hours_h: float) -> str:
    """Hours left in words, such as "620 h"; "now" below five hours.

    Parameters
    ----------
    hours_h : float
        Hours left [h], zero or more.

    Returns
    -------
    str
        Rounded as `show_hours` rounds.

    References
    ----------
    Our own rounding rule.

    Examples
    --------
    >>> hours(2.0), hours(618.0)
    ('now', '620\\xa0h')
    """
    return "now" if hours_h < _NOW_H else tied(show_hours(hours_h))


def shortened(name: str) -> str:
    """A name short enough for the foot of a page."""
    return name if len(name) <= _FOOT else f"{name[: _FOOT - 1]}…"


def plural(part: PartKind) -> str:
    """A kind of part in the plural, such as "bottom rollers"."""
    return PARTS[part].plural


def service_hours(hours_h: float) -> str:
    """Hours of the meter, to the whole hour."""
    return f"{round(hours_h):,}{GAP}h"


def range_said(left: HoursLeft) -> str:
    """The cautious and the hopeful figure in words.

    Parameters
    ----------
    left : HoursLeft
        The outlook.

    Returns
    -------
    str
        Such as "9 in 10 last past 380 h, 1 in 10 past 900 h".

    References
    ----------
    Definition.
    """
    if left.hopeful < _NOW_H:
        return "reached already, as good as certain"
    hopeful = f"1 in 10 past {hours(left.hopeful)}"
    if left.cautious < _NOW_H:
        return f"1 in 10 is due already, {hopeful}"
    return f"9 in 10 last past {hours(left.cautious)}, {hopeful}"


def day(date: dt.date) -> str:
    """A known day, such as "12 Nov 2026"."""
    return f"{date.day}{GAP}{_MONTHS[date.month - 1]}{GAP}{date.year}"


def about_day(date: dt.date | None, with_year: bool = True) -> str:
    """A day that is only known roughly, by thirds of a month.

    Parameters
    ----------
    date : datetime.date or None
        The day; None where it is more than twenty years off.
    with_year : bool
        Whether the year is said.

    Returns
    -------
    str
        Such as "mid Mar 2027".

    References
    ----------
    Definition.

    Examples
    --------
    >>> about_day(dt.date(2027, 3, 14)), about_day(None)
    ('mid\\xa0Mar\\xa02027', 'over\\xa020\\xa0years\\xa0off')
    """
    if date is None:
        return tied("over 20 years off")
    third = "early" if date.day <= 10 else "mid" if date.day <= 20 else "late"
    year = f" {date.year}" if with_year else ""
    return tied(f"{third} {_MONTHS[date.month - 1]}{year}")


def when_about(dates: Dates) -> str:
    """The middle day of an outlook, such as "about mid Mar 2027"."""
    return about_day(dates.middle) if dates.middle is None else f"about{GAP}{about_day(dates.middle)}"


def dates_said(dates: Dates | None) -> str:
    """The three days of an outlook in words; empty without any.

    Parameters
    ----------
    dates : Dates or None
        The days; None without hours a week.

    Returns
    -------
    str
        Such as "about mid Mar 2027, early Feb to late May".

    References
    ----------
    Definition.
    """
    if dates is None:
        return ""
    first, middle, last = (about_day(date) for date in (dates.cautious, dates.middle, dates.hopeful))
    if first == middle == last:
        return f"about {middle}" if dates.middle else middle
    if dates.middle is None:
        return f"{middle}; perhaps {first}" if dates.cautious else middle
    return f"about {middle}, between {first} and {last}"


def amount(value: float, currency: str) -> str:
    """Money with its code, such as "EUR 4,150".

    Parameters
    ----------
    value : float
        Amount, zero or more.
    currency : str
        Code such as "EUR".

    Returns
    -------
    str
        To the ten below 10,000, to the fifty below 50,000, to the hundred above.

    References
    ----------
    Our own rounding rule.

    Examples
    --------
    >>> amount(4149.0, "EUR")
    'EUR\\xa04,150'
    """
    step = 10 if value < 10_000 else 50 if value < 50_000 else 100
    return f"{currency}{GAP}{round(value / step) * step:,}"


def amount_range(money: Money) -> str:
    """The range of an amount, such as "3,600 to 4,900"; empty where there is none."""
    low, high = (amount(x, "").strip() for x in (money.low, money.high))
    return "" if low == high else f"{low} to {high}"


def percent(share: float) -> str:
    """A share as a percentage: the only place where one is made."""
    return f"{round(share * 100)}{GAP}%"


def length(length_m: float, units: UnitSystem) -> str:
    """A length with its unit, unbroken."""
    return tied(show_length(length_m, units))


def as_typed(reading: Reading) -> str:
    """A reading as it was typed, its unit said once where every repeat has the same.

    Parameters
    ----------
    reading : Reading
        The reading.

    Returns
    -------
    str
        Such as "57.7, 57.8, 57.6 mm" or "774 mm over 4 joints".

    References
    ----------
    Definition.
    """
    bare = [typed for typed in reading.typed if typed.unit not in typed.text.lower()]
    if len(bare) < 2 or len(bare) != len(reading.typed) or len({typed.unit for typed in bare}) > 1:
        return tied(reading.words).replace(f",{GAP}", ", ")
    shown = ", ".join(tied(typed.text) for typed in bare) + GAP + bare[0].unit
    return shown + (tied(f" over {reading.joints} joints") if reading.joints > 1 else "")


def doubt(expanded_u_m: float, units: UnitSystem) -> str:
    """The half-width of a reading's 95 % range, such as "± 0.4 mm"; finer where it is small."""
    coarse = 1 if units is UnitSystem.METRIC else 2
    digits = coarse + (expanded_u_m < _FINE_M)
    return tied("± " + show_length(expanded_u_m, units, digits))


def listed(items: tuple[str, ...] | list[str]) -> str:
    """Words in a row: "a", "a and b", "a, b and c"."""
    *others, last = items
    return f"{', '.join(others)} and {last}" if others else last


def place_said(place: Place, gear: RunningGear) -> str:
    """A place for reading; the number is left out where a side has one only.

    Parameters
    ----------
    place : Place
        Where.
    gear : RunningGear
        The running gear it belongs to.

    Returns
    -------
    str
        Such as "bottom roller 3, left".

    References
    ----------
    Definition.
    """
    side = f", {place.side.value}" if place.side.value else ""
    return row_name(place.part, place.position, gear) + side


def row_name(part: PartKind, position: int, gear: RunningGear) -> str:
    """A part's name without its side, such as "bottom roller 3"."""
    number = f"{GAP}{position}" if position and gear.count(part) > 1 else ""
    return PARTS[part].singular + number


def says_part(quantity: str, part: PartKind) -> bool:
    """Whether a quantity's label names its part already, as "link rail height" does."""
    return PARTS[part].singular.startswith(quantity.split()[0])


def places_said(places: tuple[Place, ...], gear: RunningGear) -> str:
    """Several places of one kind of part in few words.

    Parameters
    ----------
    places : tuple of Place
        Places of one kind of part, at least one.
    gear : RunningGear
        The running gear they belong to.

    Returns
    -------
    str
        Such as "bushes, both sides" or "bottom rollers 3 and 6, left; 2, right".

    References
    ----------
    Definition.
    """
    part = places[0].part
    words = PARTS[part].singular if len(places) == 1 else PARTS[part].plural
    ordered = sorted(places, key=lambda place: (place.side.value, place.position))
    by_side = {
        side: [place.position for place in found] for side, found in groupby(ordered, lambda place: place.side.value)
    }
    if gear.count(part) < 2 or not any(place.position for place in places):
        where = {side: "" for side in by_side}
    else:
        where = {side: _numbers(found) for side, found in by_side.items()}
    if len(by_side) == 2 and len(set(where.values())) == 1:
        text = next(iter(where.values()))
        return f"{words}{GAP if text else ''}{text}, both sides"
    told = "; ".join(f"{where[side]}, {side}".lstrip(", ") if side else where[side] for side in by_side)
    return f"{words}{' ' if told[:1].isdigit() else ', ' if told else ''}{told}"


def _numbers(positions: list[int]) -> str:
    runs: list[list[int]] = []
    for position in positions:
        if runs and runs[-1][-1] == position - 1:
            runs[-1].append(position)
        else:
            runs.append([position])
    texts: list[str] = []
    for run in runs:
        texts += [f"{run[0]}{GAP}to{GAP}{run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    return listed(texts)


def job_said(job: JobKind, what: str) -> str:
    """A job as an order, such as "turn bushes, left"."""
    if job is JobKind.REMOVE_JOINT:
        return f"remove a joint of {what}"
    if job is JobKind.REFIT_BOLTS:
        return f"refit bolts of {what}"
    if job is JobKind.RESHOE:
        return f"re-shoe {what.replace(PARTS[PartKind.SHOE].plural, 'track', 1)}"
    return f"{job.label} {what}"


def first_up(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


def machine_said(machine: Machine, units: UnitSystem) -> str:
    """Kind and mass, such as "excavator, 21.5 t"."""
    mass = f", {tied(show_mass(machine.mass_kg, units))}" if machine.mass_kg is not None else ""
    return first_up(machine.kind.label) + mass


def gear_said(gear: RunningGear, units: UnitSystem) -> tuple[str, ...]:
    """The running gear in a few short pieces, to be set in one line.

    Parameters
    ----------
    gear : RunningGear
        The running gear.
    units : UnitSystem
        Metric or imperial.

    Returns
    -------
    tuple of str
        Track, joints and pitch, shoe width, rollers, sprocket, and what else is fitted.

    References
    ----------
    Definition.
    """
    wide = ", low ground pressure" if gear.shoe_class is ShoeClass.LOW_GROUND_PRESSURE else ""
    rollers = f"{gear.bottom_rollers_per_side} bottom and {gear.upper_rollers_per_side} upper rollers a side"
    whole = 0 if units is UnitSystem.METRIC else 1
    width = tied(show_length(gear.shoe_width_m, units, whole))
    joints, shoes = ("joints", "shoes") if gear.has_chain else ("links", "track")
    pieces = [
        gear.track.label,
        f"{gear.joints_per_side} {joints}, new pitch {length(gear.pitch_m, units)}",
        f"{shoes} {width}{wide}",
        rollers,
        f"sprocket {gear.sprocket_teeth} teeth",
    ]
    if gear.layout is Layout.RAISED_SPROCKET:
        pieces.append("sprocket raised, two idlers a side")
    if gear.slew_ring:
        pieces.append("slew ring")
    return tuple(pieces)


def counts_from(verdict: Verdict) -> str:
    """From which hours everything counts, and how they are known."""
    reason = verdict.from_reason.strip().rstrip(".")
    return f"Hours left count from {service_hours(verdict.from_service_h)}" + (f": {reason}." if reason else ".")


def hours_cell(part: PartVerdict) -> str:
    """What stands in the column of hours left where there is no figure."""
    told = {judged.status for judged in part.judged}
    for status in ("held back", "no limit entered", "not read"):
        if status in told:
            return {"held back": "reading held back"}.get(status, status)
    if told:
        return "setting only"
    return "not read" if any(MEASURANDS[m].role is Role.WEAR for m in measurands_of(part.place.part)) else "looked at only"


def life_used(part: PartVerdict) -> str:
    """Life used of the quantity that is worn most; empty where none is known."""
    known = [judged.life_used for judged in part.judged if judged.life_used is not None]
    return percent(max(known)) if known else ""


def window_said(verdict: Verdict) -> str:
    """The booking window in weeks and hours."""
    weeks = f"{verdict.call_rule.booking_window_weeks:g}{GAP}weeks"
    return f"{weeks}, about {hours(verdict.window_h)}" if verdict.window_h is not None else weeks


def next_due_said(verdict: Verdict) -> str:
    """What falls due first, such as "turn bushes, left"."""
    if verdict.next_due_place is None:
        return "nothing could be judged"
    where = place_said(verdict.next_due_place, verdict.gear)
    return job_said(verdict.next_due_job, where) if verdict.next_due_job else where


def side_said(side: Side) -> str:
    """ "Left side" or "Right side"."""
    return f"{first_up(side.value)} side"
