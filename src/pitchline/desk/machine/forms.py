"""Forms of one machine: what is said about it, its running gear, its sizes and limits."""

import json
import re
from collections.abc import Mapping
from typing import Any, ClassVar

from django import forms

from pitchline.desk.machine.models import KINDS
from pitchline.desk.people.models import Business
from pitchline.desk.posts import MOST_NAME, Post, reason, version
from pitchline.desk.prices import newest_prices, prices_of
from pitchline.desk.problems import in_language
from pitchline.desk.spoken import later
from pitchline.desk.thousands import figure_text, length_text, number_text
from pitchline.exchange.figures import exact_length, number_of, typed_length
from pitchline.exchange.machine_model import FORMAT
from pitchline.trade.asking import MOST, AskingPrice
from pitchline.trade.dossier import Utilisation
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.machine import ChainType, Layout, ShoeClass, SprocketGaps, TrackKind
from pitchline.trade.writing import as_figure
from pitchline.words import translated
from pitchline.words.names import named


def _choices(kinds: Any) -> list[tuple[str, str]]:
    return [(kind.value, later(named(kind))) for kind in kinds]


PITCH_BOUNDS_M = (0.03, 0.6)
SHOE_BOUNDS_M = (0.1, 2.5)
"""What a pitch and a shoe width can be, as `RunningGear` allows."""


def refused(error: NotAllowedError) -> forms.ValidationError:
    """A core error beside its field."""
    problem = in_language(error.problem)
    return forms.ValidationError(
        translated("“{seen}” cannot be used. Allowed: {allowed}. {next_step}").format(
            seen=problem.seen, allowed=problem.allowed, next_step=problem.next_step
        )
    )


class FileForm(Post):
    """A machine file as text, and why it is changed."""

    text = forms.CharField(required=False, max_length=2_000_000, strip=False, label=later("machine file"))
    why = reason()


class AskingForm(forms.Form):
    """A form with the asking price among its fields."""

    asking_price = forms.CharField(
        max_length=40,
        required=False,
        label=later("Asking price, without tax"),
        help_text=later("Such as EUR 48000. Without a currency it is the price list's."),
    )

    def __init__(self, *args: Any, business: Business, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.business = business
        self.fields["asking_price"].widget.attrs |= {"inputmode": "text", "autocomplete": "off"}

    def clean_asking_price(self) -> AskingPrice | None:
        """What is asked, with its currency; None where nothing was typed."""
        try:
            return asking_typed(self.cleaned_data["asking_price"], self.business)
        except NotAllowedError as error:
            raise refused(error) from None


_ASKED = re.compile(r"(?P<before>[A-Za-z]{3})?\s*(?P<figure>[^A-Za-z]*?)\s*(?P<after>[A-Za-z]{3})?", re.ASCII)
_LEAST_ASKED = 100.0
"""Below it one mark before three digits is a thousands mark: no machine is asked 48.125 for. Our own."""


def asking_typed(text: str, business: Business) -> AskingPrice | None:
    """An asking price from what was typed; without a currency in that of the price list. None where nothing was typed.

    Raises
    ------
    NotAllowedError
        No amount above 0, or no currency to be had.
    """
    if not text.strip():
        return None
    found = _ASKED.fullmatch(text.strip())
    if found is None or not found["figure"]:
        raise NotAllowedError("asking price", text, "an amount, such as EUR 48000", "Type it again.")
    amount = number_of(figure_text(found["figure"], business.numbers, _LEAST_ASKED, MOST), "asking price")
    code = (found["before"] or found["after"] or "").upper()
    if not code:
        file = newest_prices(business)
        code = prices_of(file).currency if file is not None else ""
    if not code:
        step = translated("No price list is entered to take it from: type it, such as EUR.")
        raise NotAllowedError("asking price", text, "an amount with its currency", step)
    return AskingPrice(amount, code)


class AboutForm(AskingForm):
    """Name, kind, customer, site and asking price."""

    seen_version = version()
    name = forms.CharField(max_length=MOST_NAME, label=later("Name"))
    kind = forms.ChoiceField(choices=[(key, later(said)) for key, said in KINDS], label=later("Kind"))
    customer = forms.CharField(max_length=MOST_NAME, required=False, label=later("Customer"))
    place = forms.CharField(max_length=MOST_NAME, required=False, label=later("Site"))

    field_order = ("seen_version", "name", "kind", "customer", "place", "asking_price")


GAPS = {
    SprocketGaps.EVERY_SECOND: later("every second gap between the teeth"),
    SprocketGaps.EACH: later("each gap between the teeth"),
}
CHAIN_TYPES = [("", later("not known")), *_choices(ChainType)]
NO_JOINTS = later("A rubber track has no joints: choose “not known”.")
NO_PITCH = later("Type the new pitch, or measure the chain as it lies.")


def length_field(label: str, help_text: str = "", *, required: bool = True) -> forms.CharField:
    """A length with its unit."""
    return forms.CharField(max_length=40, label=label, help_text=help_text, required=required)


def hours_field(label: str, help_text: str = "") -> forms.CharField:
    """Hours a week, which may stay empty."""
    field = forms.CharField(max_length=20, required=False, label=label, help_text=help_text)
    field.widget.attrs |= {"inputmode": "decimal", "autocomplete": "off"}
    return field


def share_of(percent: str) -> float | None:
    """A share of the hours travelling from percent as typed; None where nothing was typed.

    Raises
    ------
    NotAllowedError
        No number, or one outside 0 to 100.
    """
    if not percent.strip():
        return None
    share = number_of(percent.removesuffix("%").rstrip(), "share travelling") / 100
    if not 0 <= share <= 1:
        raise NotAllowedError("share travelling", f"{percent} %", "0 to 100 %", "Type percent of the hours.")
    return share


class GearForm(forms.Form):
    """The running gear as somebody can count and measure it beside the machine."""

    either: ClassVar[tuple[str, ...]] = ("pitch", "pitch_over", "pitch_joints")
    """Fields of which some must be filled in, though none alone."""

    seen_version = version()
    track = forms.ChoiceField(choices=_choices(TrackKind), label=later("What touches the ground"))
    joints_per_side = forms.IntegerField(min_value=20, max_value=120, label=later("Joints on one side"),
                                         help_text=later("Count them once round; links, for a rubber track."))  # fmt: skip
    pitch = length_field(
        later("New pitch of one joint"),
        later("From the manual or the parts list, such as 187 mm. Not known? Measure it instead."),
        required=False,
    )
    pitch_over = length_field(
        later("Or measured: length over several joints"),
        later(
            "With a tape along the tight chain, from the middle of a pin to the middle of the pin four joints on, clear of the "
            "joining link. It begins the walk-round; the chain itself is judged once its new pitch stands among the limits."
        ),
        required=False,
    )
    pitch_joints = forms.IntegerField(
        min_value=1, max_value=60, initial=4, required=False, label=later("Over how many joints it was measured")
    )
    chain_type = forms.ChoiceField(
        choices=CHAIN_TYPES,
        required=False,
        label=later("Chain type"),
        help_text=later(
            "What is inside the joints: nothing, grease kept in by seals, or oil kept in by seals. The parts list says it."
        ),
    )
    shoe_width = length_field(later("Shoe or track width"), later("Such as 570 mm."))
    sprocket_teeth = forms.IntegerField(min_value=5, max_value=60, label=later("Sprocket teeth"))
    sprocket_gaps = forms.ChoiceField(
        choices=[(gaps.value, words) for gaps, words in GAPS.items()],
        label=later("The chain's joints land in"),
        initial=SprocketGaps.EVERY_SECOND.value,
        help_text=later(
            "Look where the chain lies on the sprocket: every gap holds a bush, or one between two bushes is free."
        ),
    )
    bottom_rollers_per_side = forms.IntegerField(
        min_value=0, max_value=20, label=later("Bottom rollers on one side")
    )
    upper_rollers_per_side = forms.IntegerField(
        min_value=0, max_value=20, label=later("Upper rollers on one side")
    )
    layout = forms.ChoiceField(choices=_choices(Layout), label=later("Where the sprocket sits"))
    shoe_class = forms.ChoiceField(choices=_choices(ShoeClass), label=later("Shoe width class"))
    slew_ring = forms.BooleanField(
        required=False,
        label=later("Its upper part turns on a slew ring"),
        help_text=later(
            "The big bearing between tracks and upper part. A machine whose upper part does not turn has none."
        ),
    )
    week_low = hours_field(later("Hours in a quiet week"))
    week_usual = hours_field(
        later("Hours in a usual week"),
        later("Alone it will do: a quarter less and more is then taken for quiet and busy weeks."),
    )
    week_high = hours_field(later("Hours in a busy week"))
    travelling = hours_field(
        later("Share of its engine hours it travels [%]"),
        later("Such as 15. Left empty, a share usual for its kind is assumed, and the ranges are wider."),
    )

    def __init__(self, *args: Any, numbers: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.numbers = numbers
        for name, field in self.fields.items():
            if field.help_text:
                field.widget.attrs["aria-describedby"] = f"id_{name}_helptext"

    def _length(self, name: str, least_m: float, most_m: float) -> str:
        """A length as typed, free of thousands marks; refused where it is none."""
        text = length_text(self.cleaned_data[name].strip(), self.numbers, "mm", least_m, most_m)
        try:
            size_m = typed_length(text, "mm", "length").si if text else least_m
            if not least_m <= size_m <= most_m:
                allowed = translated("{least_m} to {most_m} mm").format(
                    least_m=as_figure(least_m * 1000.0, "g"), most_m=as_figure(most_m * 1000.0, "g")
                )
                raise NotAllowedError("length", text, allowed, "Measure again, and type the unit.")
        except NotAllowedError as error:
            raise refused(error) from None
        return text

    def clean_pitch(self) -> str:
        """A pitch a joint can have."""
        return self._length("pitch", *PITCH_BOUNDS_M)

    def clean_shoe_width(self) -> str:
        """A width a shoe can have."""
        return self._length("shoe_width", *SHOE_BOUNDS_M)

    def _measured(self, typed: Mapping[str, Any]) -> str:
        """The pitch from a length over several joints; empty where none was measured."""
        joints = typed.get("pitch_joints") or 4
        least_m, most_m = (joints * bound for bound in PITCH_BOUNDS_M)
        over = self._length("pitch_over", least_m, most_m)
        return exact_length(round(typed_length(over, "mm", "length").si / joints, 5)) if over else ""

    def _week(self, typed: Mapping[str, Any]) -> dict[str, float] | None:
        """Hours in a quiet, a usual and a busy week; with the usual one alone, a quarter less and more (our own assumption)."""
        texts = {
            each: number_text(typed.get(f"week_{each}") or "", self.numbers, "h")
            for each in ("low", "usual", "high")
        }
        if not any(texts.values()):
            return None
        if not texts["usual"]:
            raise forms.ValidationError(
                {"week_usual": translated("Give the hours of a usual week too, or leave all three empty.")}
            )
        try:
            usual = number_of(texts["usual"], "hours in a week, usual")
            week = {"low": 0.75 * usual, "usual": usual, "high": min(1.25 * usual, 168.0)}
            week |= {
                each: number_of(text, phrase("hours in a week, {each}", each=each))
                for each, text in texts.items()
                if text
            }
            Utilisation(**week)
        except NotAllowedError as error:
            raise refused(error) from None
        return week

    def clean_travelling(self) -> float | None:
        """A share of the hours from percent; None where nothing was typed."""
        try:
            return share_of(number_text(self.cleaned_data["travelling"], self.numbers, "%"))
        except NotAllowedError as error:
            raise refused(error) from None

    def clean(self) -> dict[str, Any]:
        """A pitch one way or the other, hours a week with a usual week or none, and joints where their type is told."""
        typed = super().clean() or {}
        if typed.get("chain_type") and typed.get("track") == TrackKind.RUBBER.value:
            self.add_error("chain_type", NO_JOINTS)
        typed["week"] = self._week(typed)
        if "pitch_over" in self.fields and not {"pitch", "pitch_over"} & self.errors.keys() and not typed["pitch"]:
            try:
                typed["pitch"] = self._measured(typed)
                typed["pitch_measured"] = True
            except forms.ValidationError as error:
                self.add_error("pitch_over", error)
            if not typed.get("pitch") and not self.errors:
                self.add_error("pitch", NO_PITCH)
        return typed

    def file_text(self, short_name: str, name: str, kind: str) -> str:
        """The machine file these fields make."""
        typed = self.cleaned_data
        gear_names = (
            "track", "joints_per_side", "pitch", "shoe_width", "sprocket_teeth", "sprocket_gaps",
            "bottom_rollers_per_side", "upper_rollers_per_side", "layout", "shoe_class", "slew_ring",
        )  # fmt: skip
        gear = {each: typed[each] for each in gear_names}
        if typed.get("pitch_measured"):
            gear["pitch_measured"] = True
        if typed["chain_type"]:
            gear["chain_type"] = typed["chain_type"]
        whole: dict[str, Any] = {
            "format": FORMAT,
            "machine": {"short_name": short_name, "name": name, "kind": kind},
            "running_gear": gear,
        }
        hours = {"per_week": typed["week"], "travelling": typed["travelling"]}
        hours = {key: each for key, each in hours.items() if each is not None}
        if hours:
            whole["hours"] = hours
        return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"
