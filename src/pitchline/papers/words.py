"""The wording that paper, screen and sheet share, so that all of them say the same."""

import datetime as dt

from pitchline.judge.age import age_of
from pitchline.judge.called import apart
from pitchline.trade.calls import Call
from pitchline.trade.readings import Reading
from pitchline.trade.units import UnitSystem, show_hours, show_length
from pitchline.trade.writing import MONTHS, as_day, as_figure, marked
from pitchline.verdict import Dates, HoursLeft, Judged, Money, PartVerdict, Verdict
from pitchline.words import in_english, say, translated, worded
from pitchline.words.cautions import WORKING_AID as WORKING_AID
from pitchline.words.readings import over_joints, reading_said

GAP = "\u00a0"
METHOD_SAID = (
    in_english(
        "Each reading becomes life used along the yard's own wear line, with the doubt of tool and hand kept (JCGM 100:2008)."
    ),
    in_english(
        "All parts and walk-rounds of this machine are judged together: what one part shows of ground and driving serves the "
        "others."
    ),
    in_english("Where readings are few a weak expectation of typical lives fills in; readings soon outweigh it."),
    in_english(
        "Hours left count from the hours at the top, on the ground assumed to come; hours a week turn them into days."
    ),
    in_english(
        "The range holds all these doubts at once: of ten such parts nine last past the cautious figure, one past the hopeful."
    ),
)
_YEARS_APART_D = 730
_NOW_H = 5.0
_FINE_M = 0.5e-3
_OF_READINGS = ("remark.read_alike", "remark.many_far_off", "remark.far_less_wear")
_OF_READINGS_BEFORE = ("was each one measured?", "look far off", "measure again")
"""What they said before remarks had codes."""


def working_aid() -> str:
    """What stands below every paper that goes out by itself."""
    return translated(WORKING_AID)


def tied(text: str) -> str:
    """Text whose spaces do not break across lines."""
    return text.replace(" ", GAP)


def hours(hours_h: float) -> str:
    r"""Hours left in words, such as "620 h"; "now" below five hours.

    Parameters
    ----------
    hours_h : float
        Hours left [h], zero or more.

    Examples
    --------
    >>> hours(2.0), hours(618.0)
    ('now', '620\xa0h')
    """
    return translated("now") if is_now(hours_h) else tied(show_hours(hours_h))


def is_now(hours_h: float) -> bool:
    """Whether so few hours are left that they are called "now"."""
    return hours_h < _NOW_H


def service_hours(hours_h: float) -> str:
    """Hours of the meter, to the whole hour."""
    return f"{as_figure(round(hours_h), ',')}{GAP}h"


def labour(hours_h: float) -> str:
    """Hours of work to the tenth, such as "2.5 h" or "3 h"."""
    return marked(f"{hours_h:.1f}".removesuffix(".0")) + f"{GAP}h"


def range_said(left: HoursLeft) -> str:
    """The cautious and the hopeful figure in words.

    Returns
    -------
    str
        Such as "likely between 380 h and 900 h (8 in 10)".
    """
    if is_now(left.hopeful):
        return translated("reached already")
    if is_now(left.cautious):
        return worded("likely between now and {hopeful} (9 in 10)", hopeful=hours(left.hopeful))
    return worded(
        "likely between {cautious} and {hopeful} (8 in 10)",
        cautious=hours(left.cautious),
        hopeful=hours(left.hopeful),
    )


def day(date: dt.date) -> str:
    """A known day, such as "12 Nov 2026"."""
    return as_day(date, GAP)


def about_day(date: dt.date | None, with_year: bool = True) -> str:
    r"""A day that is only known roughly, by thirds of a month.

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

    Examples
    --------
    >>> about_day(dt.date(2027, 3, 14)), about_day(None)
    ('mid\xa0Mar\xa02027', 'over\xa020\xa0years\xa0off')
    """
    if date is None:
        return tied(translated("over 20 years off"))
    month = MONTHS[date.month - 1] + (f" {date.year}" if with_year else "")
    if date.day <= 10:
        return tied(worded("early {month}", month=month))
    return tied(worded("mid {month}", month=month) if date.day <= 20 else worded("late {month}", month=month))


def _day_of(dates: Dates, date: dt.date | None) -> str:
    """A day as closely as its outlook knows it: the year alone where the outlook spans years."""
    first, last = dates.cautious, dates.hopeful
    spans_years = first is not None and (last is None or (last - first).days > _YEARS_APART_D)
    return str(date.year) if date is not None and spans_years else about_day(date)


def when_about(dates: Dates) -> str:
    """The middle day of an outlook, such as "about mid Mar 2027"."""
    return (
        about_day(dates.middle)
        if dates.middle is None
        else tied(worded("about {day}", day=_day_of(dates, dates.middle)))
    )


def dates_said(dates: Dates | None) -> str:
    """The three days of an outlook in words; empty without any.

    Parameters
    ----------
    dates : Dates or None
        The days; None without hours a week.

    Returns
    -------
    str
        Such as "about mid Mar 2027, between early Feb 2027 and late May 2027"; years alone where the days lie years apart.
    """
    if dates is None:
        return ""
    first, middle, last = (_day_of(dates, date) for date in (dates.cautious, dates.middle, dates.hopeful))
    if first == middle == last:
        return worded("about {middle}", middle=middle) if dates.middle else middle
    if dates.middle is None:
        return worded("{middle}; perhaps {first}", middle=middle, first=first) if dates.cautious else middle
    return worded("about {middle}, between {first} and {last}", middle=middle, first=first, last=last)


def amount(value: float, currency: str) -> str:
    r"""Money with its code, such as "EUR 4,150".

    Parameters
    ----------
    value : float
        Amount; below 0 with its sign.
    currency : str
        Code such as "EUR".

    Returns
    -------
    str
        To the ten below 10,000, to the fifty below 50,000, to the hundred above.

    Examples
    --------
    >>> amount(4149.0, "EUR")
    'EUR\xa04,150'
    """
    step = 10 if abs(value) < 10_000 else 50 if abs(value) < 50_000 else 100
    return f"{currency}{GAP}{as_figure(round(value / step) * step, ',')}"


def amount_as_asked(value: float, currency: str, asked: float | None) -> str:
    r"""Money with its code; the price that is asked to the cent, because somebody typed it, any other amount rounded.

    Examples
    --------
    >>> amount_as_asked(48_125.0, "EUR", 48_125.0), amount_as_asked(48_125.0, "EUR", 50_000.0)
    ('EUR\xa048,125', 'EUR\xa048,100')
    """
    if value != asked:
        return amount(value, currency)
    return f"{currency}{GAP}{as_figure(value, ',.0f' if value == round(value) else ',.2f')}"


def amount_range(money: Money) -> str:
    """The range of an amount, such as "3,600 to 4,900"; empty where there is none."""
    low, high = (amount(x, "").strip() for x in (money.low, money.high))
    return "" if low == high else between(low, high)


def between(low: str, high: str) -> str:
    """Both ends of a range, such as "3,600 to 4,900"."""
    return worded("{low} to {high}", low=low, high=high)


def percent(share: float) -> str:
    """A share as a percentage: the only place where one is made."""
    return f"{round(share * 100)}{GAP}%"


def length(length_m: float, units: UnitSystem) -> str:
    """A length with its unit, unbroken."""
    return tied(show_length(length_m, units))


def as_typed(reading: Reading) -> str:
    """A reading as it was typed, its unit said once where every repeat has the same.

    Returns
    -------
    str
        Such as "57.7, 57.8, 57.6 mm" or "774 mm over 4 joints".
    """
    bare = [typed for typed in reading.typed if typed.unit not in typed.text.lower()]
    if len(bare) < 2 or len(bare) != len(reading.typed) or len({typed.unit for typed in bare}) > 1:
        shown = reading_said(reading)
    else:
        shown = over_joints(f"{', '.join(typed.text for typed in bare)} {bare[0].unit}", reading.joints)
    return tied(shown).replace(f",{GAP}", ", ")


def doubt(expanded_u_m: float, units: UnitSystem) -> str:
    """The half-width of a reading's 95 % range, such as "± 0.4 mm"; finer where it is small."""
    coarse = 1 if units is UnitSystem.METRIC else 2
    digits = coarse + (expanded_u_m < _FINE_M)
    return tied("± " + show_length(expanded_u_m, units, digits))


def doubts(expanded_u_m: list[float], units: UnitSystem) -> str:
    """The doubt of several readings: once where it is the same, else from least to most."""
    if not expanded_u_m:
        return ""
    least, most = doubt(min(expanded_u_m), units), doubt(max(expanded_u_m), units)
    return most if least == most else between(least.rsplit(GAP, 1)[0], most.removeprefix("±" + GAP))


def unit_once(texts: list[str]) -> list[str]:
    """Texts such as "154.5 mm" and "155 mm" with the unit at the last only, where all have the same."""
    ends = {text.rpartition(GAP)[2] for text in texts}
    if len(ends) != 1 or not next(iter(ends)).isalpha():
        return texts
    return [*(text.rpartition(GAP)[0] for text in texts[:-1]), texts[-1]]


def listed(items: tuple[str, ...] | list[str]) -> str:
    """Words in a row: "a", "a and b", "a, b and c"."""
    *others, last = items
    return worded("{most} and {last}", most=", ".join(others), last=last) if others else last


def first_up(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


def judged_for(verdict: Verdict) -> str:
    """The day of a verdict and how old its readings are: "Judged for 25 Nov 2026: read 9 days ago, carried on 41 h."."""
    age = say(age_of(verdict)) or (translated("read on that day") if verdict.read_on is not None else "")
    if age.replace(GAP, " ") in say(verdict.headline).replace(GAP, " "):
        age = ""  # old readings: the headline begins with it
    return worded("Judged for {as_of}", as_of=day(verdict.as_of)) + (f": {age}." if age else ".")


def counts_from(verdict: Verdict) -> str:
    """From which hours everything counts, how they are known, and how old the readings are."""
    reason, age = say(verdict.from_reason).strip().rstrip("."), say(age_of(verdict))
    said = worded("Hours left count from {from_service}", from_service=service_hours(verdict.from_service_h)) + (
        f": {reason}." if reason else "."
    )
    return f"{said} {first_up(age)}." if age else said


ASSUMED_MARK = "*"
"""Behind a share of life used that rests on an assumed limit."""


def life_used(part: PartVerdict) -> str:
    """Life used of the quantity read that is worn most, or that nothing was read of it; empty where none is known.

    Returns
    -------
    str
        Such as "58 %"; as read and as judged, "62 / 58 %", where they differ by more than 3 points; "58 %*" by an assumed limit.
    """
    known = [judged for judged in part.judged if judged.life_used is not None]
    if not known or part.call is Call.UNJUDGED:
        return ""
    read = [judged for judged in known if judged.status != "not read"]
    if not read:
        return translated("unread")
    worst = max(read, key=lambda judged: judged.life_used or 0.0)
    if worst.status == "held back":
        return translated("held")
    star = ASSUMED_MARK if part.assumed_limit else ""
    return (used_twice(worst) if apart(worst) else percent(worst.life_used or 0.0)) + star


def used_twice(judged: Judged) -> str:
    """Life used as read and as judged in few letters, such as "62 / 58 %"."""
    return f"{round((judged.life_used_read or 0.0) * 100)}{GAP}/{GAP}{percent(judged.life_used or 0.0)}"


def both_used(judged: Judged) -> str:
    """Life used of one quantity: one figure, or as read and as judged where they differ by more than 3 points.

    Returns
    -------
    str
        Such as "58 %" or "62 % as read, 58 % as judged".
    """
    as_judged = percent(judged.life_used or 0.0)
    return (
        worded(
            "{life_used_read} as read, {as_judged} as judged",
            life_used_read=percent(judged.life_used_read or 0.0),
            as_judged=as_judged,
        )
        if apart(judged)
        else as_judged
    )


def of_readings(verdict: Verdict) -> tuple[str, ...]:
    """Remarks that ask whether readings are right: alike place after place, or many or one of them far off."""
    return tuple(
        say(remark)
        for remark in verdict.remarks
        if remark.code in _OF_READINGS or any(mark in remark.text for mark in _OF_READINGS_BEFORE)
    )


def window_ahead(verdict: Verdict) -> str:
    """How far the booking window reaches: in hours, or in weeks where hours a week are not known."""
    if verdict.window_h is not None:
        return hours(verdict.window_h)
    return window_weeks(verdict)


def window_weeks(verdict: Verdict) -> str:
    """The booking window in weeks."""
    return tied(worded("{weeks} weeks", weeks=as_figure(verdict.call_rule.booking_window_weeks, "g")))
