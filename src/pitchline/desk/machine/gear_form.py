"""The form of a running gear: as it is counted and measured beside the machine, with every field a machine file knows of one."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from django import forms
from django.utils.safestring import SafeString, mark_safe

from pitchline.desk.machine.forms import refused
from pitchline.desk.posts import version
from pitchline.desk.spoken import later
from pitchline.desk.thousands import length_text, number_text
from pitchline.exchange.figures import exact_length, number_of, typed_length
from pitchline.exchange.machine_model import FORMAT, GearEntry
from pitchline.picture.asked import asked_svg
from pitchline.trade.dossier import Utilisation
from pitchline.trade.errors import InputError, NotAllowedError, Problem, phrase
from pitchline.trade.machine import ChainType, Layout, ShoeClass, SprocketGaps, TrackKind
from pitchline.trade.track_size import track_size
from pitchline.trade.writing import as_figure
from pitchline.words import translated
from pitchline.words.names import named


def _choices(kinds: Any) -> list[tuple[str, str]]:
    return [(kind.value, later(named(kind))) for kind in kinds]


PITCH_BOUNDS_M = (0.03, 0.6)
SHOE_BOUNDS_M = (0.1, 2.5)
"""What a pitch and a shoe width can be, as `RunningGear` allows."""


GAPS = {
    SprocketGaps.EVERY_SECOND: later("every second gap between the teeth"),
    SprocketGaps.EACH: later("each gap between the teeth"),
}
CHAIN_TYPES = [("", later("not known")), *_choices(ChainType)]
NO_JOINTS = later("A rubber track has no joints: choose “not known”.")
NOT_SAID = later("Type it, or the size in one breath.")
NO_WIDTH = later("Type it: what is bolted to a chain is not in its joints and pitch.")
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
    share = number_of(percent.removesuffix("%").rstrip(), "share of hours travelling") / 100
    if not 0 <= share <= 1:
        raise NotAllowedError(
            "share of hours travelling", f"{percent} %", "0 to 100 %", "Type percent of the hours."
        )
    return share


GEAR_FIELDS = (
    "track", "joints_per_side", "pitch", "chain_type", "shoe_width", "sprocket_teeth", "sprocket_gaps", "bottom_rollers_per_side",
    "upper_rollers_per_side", "two_flange_rollers", "layout", "shoe_class", "grousers_per_shoe", "bolts_per_shoe",
    "pads_per_shoe", "bolts_per_pad", "sprocket_segments", "adjuster_stroke", "guards", "slew_ring",
)  # fmt: skip
"""What a machine file knows of a running gear, in the order it is asked."""
_COUNTS = ("grousers_per_shoe", "bolts_per_shoe", "pads_per_shoe", "bolts_per_pad", "sprocket_segments")
_CHAIN = (TrackKind.STEEL, TrackKind.STEEL_BOLTED_PADS, TrackKind.STEEL_PAD_SHOES)
ONLY_ON: dict[str, tuple[TrackKind, ...]] = {
    **dict.fromkeys(("chain_type", "sprocket_gaps", "pitch_over", "pitch_joints", "shoe_class"), _CHAIN),
    **dict.fromkeys(("grousers_per_shoe", "bolts_per_shoe"), (TrackKind.STEEL, TrackKind.STEEL_BOLTED_PADS)),
    **dict.fromkeys(("pads_per_shoe", "bolts_per_pad"), (TrackKind.STEEL_BOLTED_PADS, TrackKind.STEEL_PAD_SHOES)),
}
"""Which tracks have what a field asks for; a field that is not here every track has."""
STROKE_BOUNDS_M = (0.001, 2.0)
LINKS = {
    "joints_per_side": (later("Links on one side"), later("Count the lugs it is driven by, once round.")),
    "pitch": (
        later("New pitch of one link"),
        later("From the middle of a lug to the middle of the next, such as 86 mm."),
    ),
    "shoe_width": (later("Track width"), later("Such as 400 mm. Ground fit is told by it.")),
    "size": (
        later("Its size as moulded on it"),
        later("Width x pitch x links, such as 400x86x52. It fills the fields beside it."),
    ),
}
"""What these are called on a rubber track, which has no joints and no shoes, and how they are found."""
FIRST_TIME = ("pitch_over", "pitch_joints", "week_low", "week_usual", "week_high", "travelling")
"""Fields that are asked when a running gear is entered for the first time; afterwards they have sections of their own."""


def _count(label: str, help_text: str = "") -> forms.IntegerField:
    return forms.IntegerField(required=False, min_value=0, max_value=60, label=label, help_text=help_text)


PARTS_ASKED = (
    (later("Track"), ("track", "size", "joints_per_side", "pitch", "pitch_over", "pitch_joints")),
    (later("Shoes, or width of the track"), ("shoe_width", "grousers_per_shoe", "pads_per_shoe", "shoe_class")),
    (
        later("Wheels"),
        ("layout", "sprocket_teeth", "sprocket_gaps", "bottom_rollers_per_side", "upper_rollers_per_side"),
    ),
    (later("And beside"), ("slew_ring",)),
    (later("Its hours a week"), ("week_low", "week_usual", "week_high", "travelling")),
)
FINER = (
    "chain_type",
    "bolts_per_shoe",
    "bolts_per_pad",
    "sprocket_segments",
    "two_flange_rollers",
    "adjuster_stroke",
    "guards",
)
"""What can follow when somebody has looked closer."""
FOLDED = (FINER, PARTS_ASKED[-1][1])
"""Parts that are folded: the form is long enough for a phone without them."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A field, whether this running gear has what it asks for, and its small picture."""

    bound: forms.BoundField
    here: bool
    picture: SafeString

    @property
    def choices(self) -> list[tuple[Any, SafeString]]:
        """Each choice with its picture."""
        return [
            (radio, mark_safe(asked_svg(f"{self.bound.name} {value}")))  # noqa: S308  our own drawing
            for radio, (value, _) in zip(self.bound, self.bound.field.choices, strict=True)  # type: ignore[attr-defined]
        ]  # fmt: skip

    @property
    def is_by_picture(self) -> bool:
        """Whether it is chosen by picture."""
        return self.bound.name in ("track", "layout")


@dataclass(frozen=True, slots=True)
class Part:
    """Fields under one heading."""

    head: str
    fields: list[Asked]
    folds: bool = False
    is_open: bool = False
    stands: int = 0
    """How many of its fields are filled in, for a reader of the folded part."""


class GearForm(forms.Form):
    """The running gear as somebody can count and measure it beside the machine."""

    either: ClassVar[tuple[str, ...]] = ("joints_per_side", "pitch", "pitch_over", "pitch_joints", "shoe_width")
    """Fields of which some must be filled in, though none alone."""

    seen_version = version()
    track = forms.ChoiceField(
        choices=_choices(TrackKind),
        label=later("What touches the ground"),
        widget=forms.RadioSelect,
        initial=TrackKind.STEEL.value,
    )
    size = forms.CharField(
        max_length=40,
        required=False,
        label=later("Joints and pitch in one breath"),
        help_text=later("Joints x pitch, such as 47 x 187. It fills the fields beside it."),
    )
    joints_per_side = forms.IntegerField(min_value=20, max_value=120, label=later("Joints on one side"), required=False,
                                         help_text=later("Count them once round."))  # fmt: skip
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
    shoe_width = length_field(
        later("Shoe or track width"), later("Such as 570 mm. Ground fit is told by it."), required=False
    )
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
    two_flange_rollers = forms.CharField(
        max_length=100,
        required=False,
        label=later("Two-flange rollers"),
        help_text=later(
            "Their numbers from the front, such as 2, 5. The order list then asks for the right ones."
        ),
    )
    layout = forms.ChoiceField(
        choices=_choices(Layout),
        label=later("Where the sprocket sits"),
        widget=forms.RadioSelect,
        initial=Layout.LEVEL.value,
    )
    shoe_class = forms.ChoiceField(choices=_choices(ShoeClass), label=later("Shoe width class"))
    grousers_per_shoe = _count(
        later("Grousers on one shoe"),
        later("Bars across it; 0 for flat shoes. Grip and turning in ground fit are told by them."),
    )
    bolts_per_shoe = _count(
        later("Bolts of one shoe"),
        later("0 where nobody has counted them. Missing ones are then told as a share."),
    )
    pads_per_shoe = _count(later("Rubber pads on one shoe"), later("The order list counts pads by it."))
    bolts_per_pad = _count(later("Bolts of one pad"), later("0 where nobody has counted them."))
    sprocket_segments = _count(
        later("Bolted segments of one sprocket"),
        later("0 when it is in one piece. The order list counts segments by it."),
    )
    adjuster_stroke = length_field(
        later("Whole stroke of the track adjuster"),
        later("Such as 120 mm. How far it is out is judged by it where no range is entered."),
        required=False,
    )
    guards = forms.CharField(
        max_length=300,
        required=False,
        label=later("Guards"),
        help_text=later("In words, parted by commas. The walk-round asks for them."),
    )
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
        later("Share of its engine hours it travels, %"),
        later("Such as 15. Left empty, a share usual for its kind is assumed, and the ranges are wider."),
    )

    def __init__(self, *args: Any, numbers: str, is_new: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.numbers = numbers
        self.fields["sprocket_gaps"].required = self.has("sprocket_gaps")
        if not is_new:
            self.fields = {name: field for name, field in self.fields.items() if name not in FIRST_TIME}
        if self.chosen is TrackKind.RUBBER:
            for name, (said, help_text) in LINKS.items():
                self.fields[name].label, self.fields[name].help_text = said, help_text
        for name, field in self.fields.items():
            if field.help_text:
                field.widget.attrs["aria-describedby"] = f"id_{name}_helptext"

    @property
    def parts(self) -> list[Part]:
        """Its fields in groups, each with its picture, and whether the chosen track has what it asks for."""
        own = tuple(name for name in ("name", "note") if name in self.fields)
        last = tuple(name for name in ("why",) if name in self.fields)
        groups = [
            ("", own),
            *PARTS_ASKED[:-1],
            (translated("Finer counts, once somebody looks closer"), FINER),
            PARTS_ASKED[-1],
            ("", last),
        ]
        found = []
        for head, names in groups:
            fields = [
                Asked(self[name], self.has(name) or bool(self.errors.get(name)), self._picture(name))
                for name in names
                if name in self.fields
            ]
            if fields:
                here = [one for one in fields if one.here]
                stands = sum(bool(self.typed.get(one.bound.name)) for one in here)
                wrong = any(one.bound.errors for one in fields)
                found.append(Part(head, fields, names in FOLDED, wrong, stands))
        return found

    def _picture(self, name: str) -> SafeString:
        rubber = asked_svg(f"{name} rubber") if self.chosen is TrackKind.RUBBER else ""
        return mark_safe(rubber or asked_svg(name))  # noqa: S308  our own drawing

    @property
    def typed(self) -> Mapping[str, Any]:
        """What stands in it now, however far it can be used."""
        return {name: self[name].value() for name in self.fields}

    @property
    def chosen(self) -> TrackKind:
        """The track that is chosen, or the first."""
        said = self["track"].value()
        return next((kind for kind in TrackKind if kind.value == said), TrackKind.STEEL)

    def has(self, name: str) -> bool:
        """Whether what a field asks for is on the track that is chosen."""
        return self.chosen in ONLY_ON.get(name, (self.chosen,))

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
        self._in_one_breath(typed)
        asked = ("joints_per_side", "shoe_width", *(() if "pitch_over" in self.fields else ("pitch",)))
        rubber = typed.get("track") == TrackKind.RUBBER.value
        for name in asked if "size" not in self.errors else ():
            if not typed.get(name) and name not in self.errors:
                self.add_error(name, NO_WIDTH if name == "shoe_width" and not rubber else NOT_SAID)
        if typed.get("chain_type") and rubber:
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

    def _in_one_breath(self, typed: dict[str, Any]) -> None:
        """Fields from a size typed in one; where one of them is typed too, both must say the same."""
        if not typed.get("size"):
            return
        try:
            said = track_size(typed["size"], self.chosen is TrackKind.RUBBER)
        except NotAllowedError as error:
            self.add_error("size", refused(error))
            return
        found = {"joints_per_side": said.joints, "pitch": said.pitch, "shoe_width": said.width}
        for name, value in found.items():
            if value is None or name in self.errors:
                continue
            same = str(typed.get(name) or "").removesuffix("mm").strip() in (
                "",
                str(value).removesuffix("mm").strip(),
            )
            if same:
                typed[name] = value
            else:
                self.add_error(
                    name,
                    translated("The size in one breath says {value}. Empty one of the two.").format(value=value),
                )

    def clean_adjuster_stroke(self) -> str:
        """A length, or nothing."""
        return self._length("adjuster_stroke", *STROKE_BOUNDS_M)

    def clean_two_flange_rollers(self) -> list[int]:
        """Numbers, parted by commas or blanks."""
        text = self.cleaned_data["two_flange_rollers"].replace(",", " ")
        if not all(bit.isdecimal() and len(bit) < 3 for bit in text.split()):
            raise forms.ValidationError(translated("Write numbers parted by commas, such as 2, 5."))
        return [int(bit) for bit in text.split()]

    def clean_guards(self) -> list[str]:
        """Words, parted by commas."""
        return [bit.strip() for bit in self.cleaned_data["guards"].split(",") if bit.strip()]

    def gear(self, known: Mapping[str, Any]) -> dict[str, Any]:
        """The running gear these fields make, of one that is known so far."""
        typed = {name: self.cleaned_data.get(name) for name in GEAR_FIELDS if self.has(name)}
        gear = {name: typed[name] for name in typed if typed[name] not in (None, "", [], False)}
        gear |= {name: typed[name] for name in _COUNTS if typed.get(name) is not None}
        gear.setdefault("sprocket_gaps", known.get("sprocket_gaps", SprocketGaps.EACH.value))
        kept = known.get("pitch_measured") and known.get("pitch") == gear["pitch"]
        if self.cleaned_data.get("pitch_measured") or kept:
            gear["pitch_measured"] = True
        return gear

    def tell(self, error: InputError) -> tuple[Problem, ...]:
        """Each problem of the running gear at its field; the others come out."""
        return tuple(one for one in error.problems if not self._placed(one))

    def _placed(self, problem: Problem) -> bool:
        said = problem.field.rpartition(": ")[2].rpartition(", ")[2].replace(" [m]", "")
        name = said.replace(" ", "_").replace("-", "_")
        if name not in self.fields or not problem.field.startswith("running_gear"):
            return False
        self.add_error(name, refused(NotAllowedError(said, problem.seen, problem.allowed, problem.next_step)))
        return True

    def changed_text(self, file_text: str) -> str:
        """A machine file with this running gear in place of its own; what is left as it stood stays to the letter."""
        whole = json.loads(file_text)
        stood = whole["running_gear"]
        began = start_of(stood)
        gear = {
            name: stood[name] if name in stood and name not in self.changed_data and name in began else each
            for name, each in self.gear(stood).items()
        }
        whole["running_gear"] = gear
        return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"

    def file_text(self, short_name: str, name: str, kind: str) -> str:
        """The machine file these fields make."""
        typed, gear = self.cleaned_data, self.gear({})
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


def start_of(gear: Mapping[str, Any]) -> dict[str, Any]:
    """What a form begins with, from a gear part's own words."""
    known = GearEntry.model_validate(dict(gear))
    start = dict(gear) | {
        name: each.value for name in ("track", "chain_type", "sprocket_gaps", "layout", "shoe_class")
        if (each := getattr(known, name)) is not None
    }  # fmt: skip
    for name in ("two_flange_rollers", "guards"):
        start[name] = ", ".join(str(each) for each in gear.get(name, []))
    return start
