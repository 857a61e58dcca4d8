"""Forms of one machine: what is said about it, its running gear, its sizes and limits."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms

from pitchline.desk.machine.models import KINDS
from pitchline.exchange.limits_file import LimitTyped
from pitchline.exchange.machine_model import FORMAT
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import Layout, ShoeClass, SprocketGaps, TrackKind
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.parts import PARTS, PartKind


def _choices(kinds: Any) -> list[tuple[str, str]]:
    return [(kind.value, getattr(kind, "label", kind.value.replace("_", " "))) for kind in kinds]


class AboutForm(forms.Form):
    """Name, kind, customer and place."""

    seen_version = forms.IntegerField(widget=forms.HiddenInput, min_value=1)
    name = forms.CharField(max_length=200, label="Name")
    kind = forms.ChoiceField(choices=KINDS, label="Kind")
    customer = forms.CharField(max_length=200, required=False, label="Customer")
    place = forms.CharField(max_length=200, required=False, label="Where it stands")


class GearForm(forms.Form):
    """The running gear as somebody can count and measure it beside the machine."""

    seen_version = forms.IntegerField(widget=forms.HiddenInput, min_value=1)
    track = forms.ChoiceField(choices=_choices(TrackKind), label="What touches the ground")
    joints_per_side = forms.IntegerField(min_value=20, max_value=120, label="Joints on one side",
                                         help_text="Count them once round; links, for a rubber track.")  # fmt: skip
    pitch = forms.CharField(
        max_length=40, label="New pitch of one joint", help_text="With its unit, such as 190 mm."
    )
    shoe_width = forms.CharField(max_length=40, label="Shoe or track width", help_text="Such as 600 mm.")
    sprocket_teeth = forms.IntegerField(min_value=5, max_value=60, label="Sprocket teeth")
    sprocket_gaps = forms.ChoiceField(choices=_choices(SprocketGaps), label="Joints land in",
                                      initial=SprocketGaps.EVERY_SECOND.value)  # fmt: skip
    bottom_rollers_per_side = forms.IntegerField(min_value=0, max_value=20, label="Bottom rollers on one side")
    upper_rollers_per_side = forms.IntegerField(min_value=0, max_value=20, label="Upper rollers on one side")
    layout = forms.ChoiceField(choices=_choices(Layout), label="Where the sprocket sits")
    shoe_class = forms.ChoiceField(choices=_choices(ShoeClass), label="Shoe width class")
    slew_ring = forms.BooleanField(required=False, label="It has a slew ring")
    week_low = forms.FloatField(required=False, min_value=0.1, max_value=168, label="Hours in a quiet week")
    week_usual = forms.FloatField(required=False, min_value=0.1, max_value=168, label="Hours in a usual week")
    week_high = forms.FloatField(required=False, min_value=0.1, max_value=168, label="Hours in a busy week")

    def clean(self) -> dict[str, Any]:
        """All three hours a week, or none."""
        typed = super().clean() or {}
        weeks = [typed.get(name) for name in ("week_low", "week_usual", "week_high")]
        if any(week is not None for week in weeks) and None in weeks:
            raise forms.ValidationError("Give all three hours a week, or none of them.")
        return typed

    def file_text(self, short_name: str, name: str, kind: str) -> str:
        """The machine file these fields make."""
        typed = self.cleaned_data
        gear_names = (
            "track", "joints_per_side", "pitch", "shoe_width", "sprocket_teeth", "sprocket_gaps",
            "bottom_rollers_per_side", "upper_rollers_per_side", "layout", "shoe_class", "slew_ring",
        )  # fmt: skip
        whole: dict[str, Any] = {
            "format": FORMAT,
            "machine": {"id": short_name, "name": name, "kind": kind},
            "running_gear": {each: typed[each] for each in gear_names},
        }
        if typed.get("week_usual") is not None:
            week = {each: typed[f"week_{each}"] for each in ("low", "usual", "high")}
            whole["hours"] = {"per_week": week}
        return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One quantity that wears on this machine, with the yard's sizes as entered.

    Parameters
    ----------
    key, label, part : str
        Its name in the form, the quantity, the part.
    new, limit, source : str
        As entered; empty where nothing was.
    was : str
        What stands, where something else was typed or brought in; empty where nothing differs.

    References
    ----------
    Definition.
    """

    key: str
    label: str
    part: str
    new: str
    limit: str
    source: str
    was: str = ""


def _wearing(dossier: Dossier) -> list[tuple[PartKind, Measurand]]:
    kinds = dict.fromkeys(place.part for place in dossier.gear.places())
    return [
        (part, measurand)
        for part in kinds
        for measurand, words in MEASURANDS.items()
        if part in words.parts
        and words.role is Role.WEAR
        and (measurand is not Measurand.GROUSER_HEIGHT or dossier.gear.has_grousers)
    ]


def _entered(whole: Mapping[str, Any], part: PartKind, measurand: Measurand) -> dict[str, Any]:
    for entry in whole.get("limits", []):
        if (entry.get("part"), entry.get("measurand")) == (part.value, measurand.value):
            return dict(entry)
    return {}


def limit_lines(dossier: Dossier, file_text: str, typed: Mapping[str, str] | None = None) -> list[LimitLine]:
    """Every quantity that wears on this machine, with what was typed just now, or else entered before."""
    whole = json.loads(file_text)
    lines = []
    for part, measurand in _wearing(dossier):
        entry, key = _entered(whole, part, measurand), f"{part.value}:{measurand.value}"
        stands = [str(entry.get(name, "") or "") for name in ("new", "limit", "source")]
        texts = [typed.get(f"{key}~{name}", "") for name in ("new", "limit", "source")] if typed else stands
        was = " · ".join(text or "nothing" for text in stands) if texts != stands else ""
        new, limit, source = texts
        words = MEASURANDS[measurand].label, PARTS[part].singular
        lines.append(LimitLine(key, *words, new, limit, source, was))
    return lines


def brought_in(dossier: Dossier, file_text: str, table: Sequence[LimitTyped]) -> dict[str, str]:
    """The fields of the limits form with a table's lines in place of what stands; the rest stays.

    Raises
    ------
    NotAllowedError
        A line for a part or quantity this machine does not have.
    """
    typed: dict[str, str] = {}
    for line in limit_lines(dossier, file_text):
        typed |= {f"{line.key}~new": line.new, f"{line.key}~limit": line.limit, f"{line.key}~source": line.source}
    for one in table:
        key = f"{one.part.value}:{one.measurand.value}"
        if f"{key}~new" not in typed:
            seen = f"{MEASURANDS[one.measurand].label} of {PARTS[one.part].singular}"
            raise NotAllowedError("quantity", seen, "one that wears on this machine", "Delete the row.")
        typed |= {f"{key}~new": one.new, f"{key}~limit": one.limit, f"{key}~source": one.source}
    return typed


def as_table(dossier: Dossier, file_text: str) -> list[LimitTyped]:
    """Every quantity that wears on this machine as lines of a table, with what is entered."""
    pairs = zip(_wearing(dossier), limit_lines(dossier, file_text), strict=True)
    return [LimitTyped(part, measurand, line.new, line.limit, line.source) for (part, measurand), line in pairs]


def with_limits(dossier: Dossier, file_text: str, typed: Mapping[str, str]) -> str:
    """The machine file with these sizes; whatever else a limit holds stays as it was."""
    whole = json.loads(file_text)
    whole.pop("walk_rounds", None)
    handled = {(part.value, measurand.value) for part, measurand in _wearing(dossier)}
    kept = [one for one in whole.get("limits", []) if (one.get("part"), one.get("measurand")) not in handled]
    for part, measurand in _wearing(dossier):
        key = f"{part.value}:{measurand.value}"
        new, limit, source = (typed.get(f"{key}~{name}", "").strip()[:200] for name in ("new", "limit", "source"))
        entry = _entered(whole, part, measurand)
        if not new:
            continue
        entry |= {"part": part.value, "measurand": measurand.value, "new": new}
        for name, text in (("limit", limit), ("source", source)):
            entry.pop(name, None)
            if text:
                entry[name] = text
        kept.append(entry)
    whole["limits"] = kept
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"
