"""The form of a machine's new sizes and wear limits: what stands, what was typed, what is wrong with it and where."""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from pitchline.desk.posts import MOST_NAME, Cell, too_long
from pitchline.desk.thousands import length_text, number_text
from pitchline.exchange.figures import exact_number, number_of, typed_length
from pitchline.exchange.limits_file import LimitTyped
from pitchline.judge.machine_by_day import PITCH_ROOM
from pitchline.trade.assumed_limits import NEVER, RULES, assumed_limit_m
from pitchline.trade.dossier import Dossier, Limit
from pitchline.trade.errors import InputError, NotAllowedError, Problem, phrase
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.parts import PartKind
from pitchline.trade.saying import saying
from pitchline.trade.units import INCH_M
from pitchline.trade.writing import as_figure
from pitchline.words import in_english, say, translated, worded
from pitchline.words.labels import quantity_of_one, singular

SAME_SOURCE, ASSUME_ALL, BOTH_FACES = "all~source", "all~assumed", "bush~both"
"""Names of fields beside those of the lines: a manual for every empty source, a rule of thumb for every empty limit, and that the
two faces of the bushes stand in one line."""
_PITCHES = (Measurand.PITCH, Measurand.RUBBER_PITCH)
_FACE, _OTHER_FACE = ((PartKind.BUSH, each) for each in (Measurand.BUSH_OD_FORWARD, Measurand.BUSH_OD_REVERSE))
_FIELDS = ("new", "limit", "source", "assumed", "stood", "turn")
_OVER = re.compile(
    r"(?P<whole>.*?\S)\s*(?:\bover\b|/)\s*(?P<joints>[1-9][0-9]?)(?:\s*(?:joints?|links?|pitch(?:es)?))?",
    re.I | re.A,
)
_FRACTION = re.compile(r"[0-9]\s+[0-9]+$", re.A)
ONE_JOINT = in_english("Give the size of one joint, or the whole length with the joints, such as 782 over 4.")


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One quantity that wears on this machine, with the yard's sizes as entered.

    Parameters
    ----------
    key, label, part : str
        Its name in the form, the quantity, the part.
    new, limit, source : str
        As entered; empty where nothing was.
    turn : str
        Life used at which bushes are turned, such as "50 %"; empty where that is not asked.
    assumed : bool
        Whether the limit is a rule of thumb.
    stood : str
        The assumed limit that stands in the field: whatever else is typed there is a manual's.
    rule, would_be, never : str
        What the rule of thumb is, and the limit it would give; why there is none.
    was : str
        What stands, where something else was brought in or written by somebody else; empty where nothing differs.
    joints : bool
        Whether it may be given over several joints.
    """

    key: str
    label: str
    part: str
    new: str
    limit: str
    source: str
    turn: str = ""
    assumed: bool = False
    stood: str = ""
    rule: str = ""
    would_be: str = ""
    never: str = ""
    was: str = ""
    joints: bool = False

    @property
    def cells(self) -> tuple[Cell, ...]:
        """Its fields."""
        columns = [
            ("new", translated("New"), 10),
            ("limit", translated("Wear limit"), 10),
            ("source", translated("From which manual"), None),
        ]
        if self.turn:
            columns.append(("turn", translated("Bushes turned at"), 6))
        return tuple(
            Cell(
                f"{self.key}~{name}",
                head,
                translated("{column}, {what} of {part}").format(column=head, what=self.label, part=self.part),
                phrase("{what} of {part}, {column}", what=self.label, part=self.part, column=name),
                getattr(self, name),
                MOST_NAME,
                size,
            )
            for name, head, size in columns
        )

    @property
    def told(self) -> str:
        """What stands in it, in few words, for a fold."""
        if not self.new:
            return translated("no sizes yet")
        limit = _shown(self.limit) or translated("no limit")
        return worded("{new} to {limit}{assumed}", new=_shown(self.new), limit=limit, assumed=self._mark)

    @property
    def asks_rule(self) -> bool:
        """Whether a rule of thumb is offered: where no limit stands, or an assumed one."""
        return self.assumed or not self.limit

    @property
    def _mark(self) -> str:
        return translated(", assumed") if self.assumed else ""


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


def _key(part: PartKind, measurand: Measurand) -> str:
    return f"{part.value}:{measurand.value}"


def _entered(whole: Mapping[str, Any], part: PartKind, measurand: Measurand) -> dict[str, Any]:
    for entry in whole.get("limits", []):
        if (entry.get("part"), entry.get("measurand")) == (part.value, measurand.value):
            return dict(entry)
    return {}


def _stands(dossier: Dossier, whole: Mapping[str, Any], part: PartKind, measurand: Measurand) -> dict[str, str]:
    """The fields of one line as the file has them."""
    entry = _entered(whole, part, measurand)
    if measurand in _PITCHES and not entry and not dossier.gear.pitch_measured:
        entry = {"new": whole["running_gear"]["pitch"]}  # said once, with the running gear
    texts = {name: str(entry.get(name, "") or "") for name in ("new", "limit", "source")}
    if entry.get("assumed"):
        texts |= {"assumed": "1", "stood": texts["limit"]}
    if (part, measurand) == _FACE:
        texts["turn"] = f"{as_figure(100 * entry.get('turn_at', 0.5), 'g')} %"
    return texts


def limit_lines(
    dossier: Dossier, file_text: str, typed: Mapping[str, str] | None = None, compare: bool = False
) -> list[LimitLine]:
    """Every quantity that wears on this machine, with what was typed just now, or else entered before.

    Bushes are one line where both faces have the same sizes. What stands beside what was typed is told where that is asked.
    """
    whole = json.loads(file_text)
    lines = []
    for part, measurand in sorted(_wearing(dossier), key=lambda one: one[0] is not PartKind.RUBBER_TRACK):
        key, stands = _key(part, measurand), _stands(dossier, whole, part, measurand)
        texts = {name: typed.get(f"{key}~{name}", "") for name in _FIELDS} if typed else stands
        if (part, measurand) == _OTHER_FACE and _one_line(dossier, whole, typed):
            continue
        was = ""
        if compare and any(texts.get(name, "") != stands.get(name, "") for name in _FIELDS[:4]):
            shown = [stands[name] or translated("nothing") for name in ("new", "limit", "source")]
            was = " · ".join([*shown, translated("assumed")] if stands.get("assumed") else shown)
        lines.append(_line(part, measurand, texts, was, _one_line(dossier, whole, typed)))
    return lines


def _line(part: PartKind, measurand: Measurand, texts: Mapping[str, str], was: str, one_line: bool) -> LimitLine:
    words = MEASURANDS[measurand]
    label = quantity_of_one(measurand)
    if (part, measurand) == _FACE and one_line:
        label = translated("bush outside diameter, both faces")
    rule, never, would_be = RULES.get((part, measurand)), NEVER.get((part, measurand)), ""
    if rule is not None:
        try:
            would_be = _said(assumed_limit_m(part, measurand, typed_length(texts["new"], "mm", "new").si))
        except (NotAllowedError, ValueError):
            would_be = ""
    return LimitLine(
        _key(part, measurand),
        label,
        singular(part),
        texts["new"],
        texts["limit"],
        texts["source"],
        texts.get("turn", "") or ("50 %" if (part, measurand) == _FACE else ""),
        bool(texts.get("assumed")),
        texts.get("stood", ""),
        say(rule.said_of(measurand)) if rule is not None else "",
        would_be,
        say(saying(never)) if never is not None else "",
        was,
        words.spans_joints,
    )


def _one_line(dossier: Dossier, whole: Mapping[str, Any], typed: Mapping[str, str] | None) -> bool:
    """Whether the two faces of the bushes have the same sizes: it is one bush."""
    if typed is not None:
        one, other = (
            [typed.get(f"{_key(*face)}~{name}", "") for name in _FIELDS[:4]] for face in (_FACE, _OTHER_FACE)
        )
        return BOTH_FACES in typed or one == other
    one, other = (
        [_stands(dossier, whole, *face).get(name, "") for name in _FIELDS[:4]] for face in (_FACE, _OTHER_FACE)
    )
    return one == other


def brought_in(dossier: Dossier, file_text: str, table: Sequence[LimitTyped]) -> dict[str, str]:
    """The fields of the limits form with a table's lines in place of what stands; the rest stays.

    Raises
    ------
    NotAllowedError
        A line for a part or quantity this machine does not have.
    """
    whole, typed = json.loads(file_text), dict[str, str]()
    for part, measurand in _wearing(dossier):
        for name, text in _stands(dossier, whole, part, measurand).items():
            typed[f"{_key(part, measurand)}~{name}"] = text
    for one in table:
        key = _key(one.part, one.measurand)
        if f"{key}~new" not in typed:
            seen = phrase("{quantity:quantity} of {part:part}", quantity=one.measurand, part=one.part)
            raise NotAllowedError("quantity", seen, "one that wears on this machine", "Delete the row.")
        typed |= {f"{key}~new": one.new, f"{key}~limit": one.limit, f"{key}~source": one.source}
        stood = one.limit if one.assumed else ""
        typed |= {f"{key}~assumed": "1" if one.assumed else "", f"{key}~stood": stood}
    return typed


def as_table(dossier: Dossier, file_text: str) -> list[LimitTyped]:
    """Every quantity that wears on this machine as lines of a table, with what is entered."""
    whole, table = json.loads(file_text), []
    for part, measurand in _wearing(dossier):
        texts = _stands(dossier, whole, part, measurand)
        sizes = texts["new"], texts["limit"], texts["source"]
        table.append(LimitTyped(part, measurand, *sizes, assumed=bool(texts.get("assumed"))))
    return table


@dataclass(slots=True)
class _Reading:
    """The lines of a form being read, and what is wrong with them."""

    dossier: Dossier
    numbers: str
    problems: list[Problem] = field(default_factory=list)

    def length(self, cell: Cell, measurand: Measurand, text: str) -> str:
        """A length as the file keeps it, free of thousands marks and for one joint; empty where it cannot be used."""
        words = MEASURANDS[measurand]
        try:
            found = _over_joints(text) if words.spans_joints else None
            if found is not None:
                joints = int(found["joints"])
                whole = length_text(
                    found["whole"], self.numbers, "mm", joints * words.least_m, joints * words.most_m
                )
                whole_m = typed_length(whole, "mm", "length").si
                return _kept(whole_m / joints, "mm")
            text = length_text(text, self.numbers, "mm", words.least_m, words.most_m)
            typed_length(text, "mm", "length")
        except NotAllowedError as error:
            self.wrong(cell, error, text)
            return ""
        return text

    def wrong(self, cell: Cell, error: NotAllowedError, text: str, step: str = "") -> None:
        """What is wrong, told of this field."""
        problem = error.problem
        self.problems.append(
            Problem(cell.called, text or translated("nothing"), problem.allowed, step or problem.next_step)
        )

    def entry(
        self,
        line: LimitLine,
        texts: Mapping[str, str],
        entry: dict[str, Any],
        part: PartKind,
        measurand: Measurand,
    ) -> dict[str, Any] | None:
        """The file's entry for one line; None where nothing is entered, or it cannot be used."""
        new_cell, limit_cell, *others = line.cells
        known = len(self.problems)
        assumed, limit = _assumed(texts, entry)
        if not texts["new"]:
            if limit or assumed:
                step = in_english("Type the new size too: how far it may wear counts from there.")
                self.problems.append(Problem(new_cell.called, translated("nothing"), "the size when new", step))
            return None
        new = self.length(new_cell, measurand, texts["new"])
        limit = self.length(limit_cell, measurand, limit) if limit else ""
        if len(self.problems) > known:
            return None
        typed_new = typed_length(new, "mm", "new")
        new_m = typed_new.si
        try:
            self._check_pitch(measurand, new_m)
            Limit(part, measurand, new_m, None)
            if assumed and not limit:
                limit = _kept(assumed_limit_m(part, measurand, new_m), typed_new.unit)
        except NotAllowedError as error:
            self.wrong(new_cell, error, texts["new"])
            return None
        try:
            Limit(
                part, measurand, new_m, typed_length(limit, "mm", "limit").si if limit else None, assumed=assumed
            )
        except NotAllowedError as error:
            self.wrong(limit_cell, error, texts["limit"])
        made = entry | {"part": part.value, "measurand": measurand.value, "new": new}
        made |= self._turn(others[1:], texts, entry)
        for name, value in (("limit", limit), ("source", texts["source"]), ("assumed", assumed)):
            made.pop(name, None)
            if value:
                made[name] = value
        return made

    def _check_pitch(self, measurand: Measurand, new_m: float) -> None:
        gear = self.dossier.gear
        if (
            measurand in _PITCHES
            and not gear.pitch_measured
            and abs(new_m - gear.pitch_m) > PITCH_ROOM * gear.pitch_m
        ):
            about = phrase(
                "about the running gear's pitch of {pitch_m} mm", pitch_m=as_figure(gear.pitch_m * 1e3, "g")
            )
            raise NotAllowedError("new", f"{as_figure(new_m * 1e3, 'g')} mm", about, ONE_JOINT)

    def _turn(self, cells: Sequence[Cell], texts: Mapping[str, str], entry: Mapping[str, Any]) -> dict[str, float]:
        """Life used at which bushes are turned, where it was typed and is not the usual half."""
        text = texts.get("turn", "")
        if not cells or not text:
            return {}
        try:
            share = number_of(number_text(text, self.numbers, "%"), "turned at") / 100
            if not 0 < share < 1:
                raise NotAllowedError(
                    "turned at", text, "above 0 and below 100 %", "Type percent of the life used."
                )
        except NotAllowedError as error:
            self.wrong(cells[0], error, text)
            return {}
        return {} if share == 0.5 and "turn_at" not in entry else {"turn_at": round(share, 6)}


def _said(size_m: float) -> str:
    return worded("{size_m:length}", size_m=size_m)


def _shown(text: str) -> str:
    """A size as typed in the business's way of writing; as it stands where it is none."""
    try:
        return _said(typed_length(text, "mm", "length").si) if text else ""
    except NotAllowedError:
        return text


def _kept(size_m: float, unit: str) -> str:
    """A size worked out here as the file keeps it, in the unit typed: finer than any tool at a track reads."""
    return (
        f"{exact_number(round(size_m / INCH_M, 3))} in"
        if unit == "in"
        else f"{exact_number(round(size_m * 1000, 2))} mm"
    )


def _over_joints(text: str) -> re.Match[str] | None:
    """A whole length with its joints, such as "782 over 4" or "782 mm / 4"; None for one size, and for a fraction of an inch."""
    found = _OVER.fullmatch(text.strip())
    if found is None or "over" in text.lower():
        return found
    return None if "/" in found["whole"] or _FRACTION.search(found["whole"]) else found


def _assumed(texts: Mapping[str, str], entry: Mapping[str, Any]) -> tuple[bool, str]:
    """Whether the limit is assumed, and the limit as typed; empty where the rule is to give it.

    Over an assumed figure any other one is the manual's. Who takes the mark off and leaves the figure means the manual's only
    where they name it: a guess does not become sure by a tick.
    """
    limit, stood = texts["limit"], texts.get("stood", "")
    if not texts.get("assumed"):
        return False, "" if limit and limit == stood and not texts["source"] else limit
    if not limit or not stood:
        return True, limit
    if limit != stood:
        return False, limit
    moved = entry.get("assumed") and entry.get("limit") == limit and entry.get("new") != texts["new"]
    return True, "" if moved else limit


def _texts(dossier: Dossier, typed: Mapping[str, str]) -> Iterator[tuple[PartKind, Measurand, dict[str, str]]]:
    """The fields of each line, with what was typed for all of them put in."""
    for part, measurand in _wearing(dossier):
        face = (part, measurand) == _OTHER_FACE and BOTH_FACES in typed
        key = _key(*(_FACE if face else (part, measurand)))
        texts = {name: typed.get(f"{key}~{name}", "").strip() for name in _FIELDS}
        if (part, measurand) == _OTHER_FACE:
            texts["turn"] = ""  # said once, of the face that bears first
        if typed.get(ASSUME_ALL) and texts["new"] and not texts["limit"] and (part, measurand) in RULES:
            texts["assumed"] = "1"
        if texts["new"] and not texts["source"] and not texts["assumed"]:
            texts["source"] = typed.get(SAME_SOURCE, "").strip()
        yield part, measurand, texts


def limits_shown(
    dossier: Dossier, file_text: str, typed: Mapping[str, str] | None = None, compare: bool = False
) -> dict[str, Any]:
    """What the form's template shows: its lines, and what is typed for all of them at once."""
    lines = limit_lines(dossier, file_text, typed, compare)
    keys = {line.key for line in lines}
    return {
        "lines": lines,
        "same_source": _same_source(typed or {}),
        "assume_all": ASSUME_ALL in (typed or {}),
        "one_bush": _key(*_FACE) in keys and _key(*_OTHER_FACE) not in keys,
    }


def _same_source(typed: Mapping[str, str]) -> Cell:
    """The field for a manual of all lines whose source is empty."""
    head = translated("Same manual for all")
    called = in_english("same manual for all")
    return Cell(SAME_SOURCE, head, head, called, typed.get(SAME_SOURCE, ""), MOST_NAME)


def with_limits(dossier: Dossier, file_text: str, typed: Mapping[str, str], numbers: str = "point") -> str:
    """The machine file with these sizes; whatever else a limit holds stays as it was.

    Raises
    ------
    InputError
        With every field that cannot be used, each by its own name.
    """
    lines = {line.key: line for line in limit_lines(dossier, file_text, typed)}
    if wrong := too_long([_same_source(typed), *(cell for line in lines.values() for cell in line.cells)]):
        raise InputError(wrong)
    whole = json.loads(file_text)
    whole.pop("walk_rounds", None)
    handled = {(part.value, measurand.value) for part, measurand in _wearing(dossier)}
    kept = [one for one in whole.get("limits", []) if (one.get("part"), one.get("measurand")) not in handled]
    reading = _Reading(dossier, numbers)
    for part, measurand, texts in _texts(dossier, typed):
        line = lines.get(_key(part, measurand)) or lines[_key(*_FACE)]
        entry = reading.entry(line, texts, _entered(whole, part, measurand), part, measurand)
        if entry is None:
            continue
        if measurand in _PITCHES and dossier.gear.pitch_measured:  # the new pitch is known from now on
            whole["running_gear"] = {**whole["running_gear"], "pitch": entry["new"]}
            whole["running_gear"].pop("pitch_measured")
        kept.append(entry)
    if reading.problems:
        raise InputError(tuple(dict.fromkeys(reading.problems)))
    whole["limits"] = kept
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def replaced(before_text: str, after_text: str) -> list[str]:
    """What a manual's figure, or nothing, now stands in place of, of each limit that was assumed."""
    said = []
    after = json.loads(after_text)
    for entry in json.loads(before_text).get("limits", []):
        part, measurand = PartKind(entry["part"]), Measurand(entry["measurand"])
        now = _entered(after, part, measurand)
        if entry.get("assumed") and not now.get("assumed"):
            said.append(
                worded(
                    "{quantity:Quantity} of {part:part}: {before} was assumed, {now} stands now.",
                    quantity=measurand,
                    part=part.value,
                    before=_shown(str(entry.get("limit", ""))),
                    now=_shown(str(now.get("limit") or "")) or translated("nothing"),
                )
            )
    return said
