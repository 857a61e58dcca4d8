"""What is asked of the outlook page: hours a week, ground so far and to come, booking window; text in, core values out."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from pitchline.desk.clock import day_for
from pitchline.desk.machine.gear_form import share_of
from pitchline.desk.posts import Question, choice, figure
from pitchline.desk.spoken import later
from pitchline.desk.thousands import number_text
from pitchline.exchange.figures import number_of
from pitchline.judge.week import week_of
from pitchline.trade.calls import CallRule
from pitchline.trade.dossier import Dossier, Utilisation
from pitchline.trade.errors import NotAllowedError, Problem
from pitchline.trade.ground import GROUNDS_BEFORE, GroundClass, GroundMix
from pitchline.words import label, translated
from pitchline.words.names import EXAMPLES, named

T = TypeVar("T")
WEEK = (("low", later("quiet week")), ("usual", later("usual week")), ("high", later("busy week")))


class OutlookForm(Question):
    """The figures the outlook is asked for, as typed."""

    low, usual, high = (figure(later("hours in a {week}", week=words)) for _, words in WEEK)
    travelling, window = figure(later("share of its engine hours it travels")), figure(later("booking window"))
    so_far = choice(later("usual ground so far"), ((each.code, later(named(each))) for each in GroundClass))

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields |= {
            each.code: figure(later("share of {ground} ground", ground=later(named(each)))) for each in GroundClass
        }


_CALLED = {name: field.label for name, field in OutlookForm().fields.items()}
"""What a problem calls each field."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field of the form.

    Parameters
    ----------
    name, label, text, unit, help : str
        Its name, its label, what stands in it, its unit, a word more.
    """

    name: str
    label: str
    text: str
    unit: str
    help: str = ""

    @property
    def called(self) -> str:
        """What a problem calls it."""
        return str(_CALLED[self.name])


@dataclass(frozen=True, slots=True)
class OutlookQuestion:
    """The machine as it would be.

    Parameters
    ----------
    week, ground, window : tuple of Field
        The form's fields, as typed or as they stand.
    travelling : Field
        Share of the engine hours it travels [%]; empty where nobody entered it.
    so_far : Field
        The usual ground so far, by name; empty where nobody entered it.
    dossier : Dossier or None
        The machine with what is asked; None where a field cannot be used.
    problems : tuple of Problem
        Every such field.
    anything : bool
        Whether anything is asked that differs from what stands.
    """

    week: tuple[Field, ...]
    ground: tuple[Field, ...]
    window: tuple[Field, ...]
    travelling: Field
    so_far: Field
    dossier: Dossier | None
    problems: tuple[Problem, ...]
    anything: bool

    @property
    def all(self) -> tuple[Field, ...]:
        """Every field."""
        return (*self.week, self.travelling, self.so_far, *self.ground, *self.window)


def asked_of(dossier: Dossier, typed: Mapping[str, str], numbers: str) -> OutlookQuestion:
    """What is asked by an address's parameters, numbers as the business writes them; without any, everything stands as it is."""
    typed = {GROUNDS_BEFORE[name].code if name in GROUNDS_BEFORE else name: text for name, text in typed.items()}
    if typed.get("so_far") in GROUNDS_BEFORE:
        typed["so_far"] = GROUNDS_BEFORE[typed["so_far"]].code
    stands, standing = dossier, fields_of(dossier)
    form = OutlookForm(typed)

    def read(one: Field) -> Field:
        text = typed.get(one.name, one.text)
        return replace(one, text=text if one.name in form.errors else number_text(text, numbers, one.unit))

    week, ground, window = (tuple(read(one) for one in some) for some in standing)
    usual, travels = so_far_of(dossier), travelling_of(dossier)
    travelling = read(travels)
    so_far = replace(usual, text=typed.get(usual.name, usual.text).strip())
    if form.problems:
        return OutlookQuestion(week, ground, window, travelling, so_far, None, form.problems, True)
    problems: list[Problem] = []
    if so_far != usual:
        named = {each.code: each for each in GroundClass}
        known = named.get(so_far.text, GroundClass.MIDDLING)  # with none, it is taken as middling
        dossier = replace(dossier, usual_ground=known, ground_entered=bool(so_far.text))
        if ground == standing[1]:  # hours to come are taken on the usual ground until somebody shares them out
            standing = (standing[0], fields_of(dossier)[1], standing[2])
            ground = standing[1]
    weekly, mix, rule, share = dossier.utilisation, dossier.mix_to_come, dossier.call_rule, dossier.travel_share
    own_week = dossier.own_week
    if travelling != travels:
        share = _attempt(lambda: share_of(travelling.text), problems)
    if week != standing[0]:  # what is left as it stands keeps every digit it has
        weekly = _attempt(lambda: _weekly(week), problems)
        own_week = weekly is not None and bool(
            dossier.hours_seen
        )  # what somebody types holds over what its meter tells
    if ground != standing[1]:
        mix = _attempt(lambda: _mix(ground), problems) or mix
    if window != standing[2]:
        rule = _attempt(lambda: _rule(dossier.call_rule, window[0].text), problems) or rule
    if problems:
        return OutlookQuestion(week, ground, window, travelling, so_far, None, tuple(problems), True)
    same_ground = mix == dossier.mix_to_come
    to_come = dossier.ground_to_come if same_ground else mix
    wanted = replace(
        dossier, utilisation=weekly, own_week=own_week, ground_to_come=to_come, call_rule=rule, travel_share=share
    )
    return OutlookQuestion(week, ground, window, travelling, so_far, wanted, (), wanted != stands)


def fields_of(dossier: Dossier) -> tuple[tuple[Field, ...], tuple[Field, ...], tuple[Field, ...]]:
    """The form's fields as the machine stands."""
    use, mix = week_of(dossier, day_for(dossier)).utilisation, dossier.mix_to_come
    week = tuple(
        Field(
            name,
            translated("Hours in a {week}").format(week=words),
            f"{getattr(use, name):.4g}" if use is not None else "",
            "h",
        )
        for name, words in WEEK
    )
    ground = tuple(
        Field(each.code, label(each), f"{100 * mix.shares[each]:.4g}", "%", translated(EXAMPLES[each]))
        for each in GroundClass
    )
    weeks = f"{dossier.call_rule.booking_window_weeks:g}"
    return week, ground, (Field("window", translated("Booking window"), weeks, translated("weeks")),)


def travelling_of(dossier: Dossier) -> Field:
    """Share of the engine hours the machine travels, as it stands."""
    share = dossier.travel_share
    return Field(
        "travelling", translated("Share of its engine hours it travels"), "" if share is None else f"{100 * share:.4g}", "%",
        translated("empty: a share usual for its kind is assumed"),
    )  # fmt: skip


def so_far_of(dossier: Dossier) -> Field:
    """The usual ground as the machine stands."""
    return Field(
        "so_far",
        translated("Usual ground so far"),
        dossier.usual_ground.code if dossier.ground_entered else "",
        "",
    )


def _attempt(make: Callable[[], T], problems: list[Problem]) -> T | None:
    try:
        return make()
    except NotAllowedError as error:
        problems.append(error.problem)
        return None


def _weekly(week: tuple[Field, ...]) -> Utilisation | None:
    """All three hours, or none."""
    if not any(field.text for field in week):
        return None
    return Utilisation(*(number_of(field.text, field.called) for field in week))


def _mix(ground: tuple[Field, ...]) -> GroundMix:
    """Shares typed in percent; an empty one is none."""
    percents = [number_of(field.text or "0", field.called) for field in ground]
    return GroundMix(tuple(percent / 100 for percent in percents))


def _rule(rule: CallRule, text: str) -> CallRule:
    return replace(rule, booking_window_weeks=number_of(text, "booking window"))
