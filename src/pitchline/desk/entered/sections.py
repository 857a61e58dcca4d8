"""The sections of all that is said of a machine, in the order they are best filled in, and what each unlocks."""

import copy
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from pitchline.desk.entered.forms import (
    CallsForm,
    HistoryRow,
    HoursForm,
    LifeRow,
    LineRow,
    MassForm,
    MeterChangeRow,
    NamedRow,
    RangeRow,
    SpanRow,
    ToolRow,
    WorkedGroundForm,
)
from pitchline.desk.entered.kinds import EntryForm
from pitchline.desk.spoken import later
from pitchline.exchange.entries import path_of
from pitchline.exchange.words import measurand_of, part_of
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.parts import PartKind
from pitchline.words import translated
from pitchline.words.labels import quantity_of_one, singular

Whole = dict[str, Any]
Quantity = tuple[PartKind, Measurand]
BLANKS = 2
"""Empty lines a table ends with; more are asked for with a button."""
MOST_BLANKS = 60


@dataclass(frozen=True, slots=True)
class Table:
    """A list of entries as lines of a form.

    Parameters
    ----------
    at : tuple of str
        Where the list stands in the file.
    row : type of EntryForm
        One line.
    caption, line : str
        What the table and a line of it are called.
    quantities : callable or None
        The quantities that have a line each, for lists with one entry a quantity; None where lines are added freely.
    """

    at: tuple[str, ...]
    row: type[EntryForm]
    caption: str
    line: str
    quantities: Callable[[Dossier, list[Whole]], list[Quantity]] | None = None

    @property
    def name(self) -> str:
        """Its name in the form."""
        return self.at[-1]

    def entries(self, whole: Mapping[str, Any]) -> list[Whole]:
        """What stands."""
        at: Any = whole
        for step in self.at:
            at = at.get(step, {} if step != self.at[-1] else [])
        return list(at)


def _of(role: Role) -> Callable[[Dossier, list[Whole]], list[Quantity]]:
    """Every quantity of this machine that wears, or is set."""

    def quantities(dossier: Dossier, _: list[Whole]) -> list[Quantity]:
        parts = dict.fromkeys(place.part for place in dossier.gear.places())
        return [
            (part, measurand)
            for part in parts
            for measurand, words in MEASURANDS.items()
            if part in words.parts and words.role is role
            and (measurand is not Measurand.GROUSER_HEIGHT or dossier.gear.has_grousers)
        ]  # fmt: skip

    return quantities


def _as_entered(_: Dossier, entries: list[Whole]) -> list[Quantity]:
    return [_quantity(one) for one in entries]


def _quantity(entry: Mapping[str, Any]) -> Quantity:
    return part_of(entry["part"]), measurand_of(entry["measurand"])


def quantity_said(part: PartKind, measurand: Measurand) -> str:
    """Such as "rail height of link"."""
    said = translated("{quantity}, {part}")
    return said.format(quantity=quantity_of_one(measurand), part=singular(part))


@dataclass(frozen=True, slots=True)
class Section:
    """One section.

    Parameters
    ----------
    slug, title, unlocks : str
        Its address, its heading, and what filling it in gives.
    at : str
        Where its own fields stand in the file; empty where it has tables alone.
    form : type of EntryForm or None
        Its own fields.
    tables : tuple of Table
        Its lists.
    page : str
        The address that has its form, where that is a page of its own.
    mark : str
        The place on that page.
    """

    slug: str
    title: str
    unlocks: str
    at: str = ""
    form: type[EntryForm] | None = None
    tables: tuple[Table, ...] = ()
    page: str = ""
    mark: str = ""


SECTIONS = (
    Section("name", later("Kind and name"), later("What is asked of its running gear, and what papers call it."),
            page="about", mark="kind"),
    Section("gear", later("Running gear"), later("The drawing, the walk-round with exactly its parts, and the blank sheet."),
            page="gear"),
    Section("limits", later("Sizes and limits"), later("Life used, hours left and calls."), page="limits"),
    Section("ranges", later("Ranges of settings"),
            later("Sag and adjuster are judged: without a range they are kept and not judged."),
            tables=(Table(("ranges",), RangeRow, later("Permitted ranges"), later("quantity"), _of(Role.SETTING)),)),
    Section("mass", later("Mass and note"), later("Ground fit, and prices for a class of machine by mass."),
            "machine", MassForm),
    Section("history", later("Fitted, turned, rebuilt"),
            later("Lives counted from the hours a part was fitted, and narrower ranges."),
            tables=(Table(("history",), HistoryRow, later("What was fitted, turned or rebuilt"), later("line")),)),
    Section("hours", later("Meter and hours a week"), later("Days beside the hours, and hours that run on over a new meter."),
            "hours", HoursForm,
            (Table(("hours", "meter_changes"), MeterChangeRow, later("Changes of the meter"), later("change")),)),
    Section("ground", later("Ground"), later("Narrower ranges: until it is entered, ground is taken as middling."),
            "ground", WorkedGroundForm,
            (Table(("ground", "spans"), SpanRow, later("Hours worked on another ground"), later("span")),
             Table(("ground", "named"), NamedRow, later("Grounds it goes to, for ground fit"), later("ground")))),
    Section("number", later("Serial number, year, owner's number"), later("It is told from another of its name."),
            page="about", mark="which"),
    Section("customer", later("Customer and site"), later("They stand on quotes, and the list can be narrowed to them."),
            page="about", mark="whose"),
    Section("asking", later("Asking price"), later("An offer, from what the running gear is worth."),
            page="about", mark="asked"),
    Section("lines", later("How it wears, and what is done at the limit"),
            later("A truer life used between new and limit, and the job your workshop really does."),
            tables=(Table(("limits",), LineRow, later("Lines of the limits entered"), later("quantity"), _as_entered),)),
    Section("lives", later("Lives you expect"), later("A first estimate for parts that were never read."),
            tables=(Table(("kind_lives",), LifeRow, later("Expected lives"), later("quantity"), _of(Role.WEAR)),)),
    Section("tools", later("Measuring tools of its own"), later("The doubt of each reading, from the tool it was read with."),
            tables=(Table(("tools",), ToolRow, later("Tools"), later("tool")),)),
    Section("calls", later("When work is called"), later("How far ahead work is booked, and from which chance."),
            "calls", CallsForm),
)  # fmt: skip
BY_SLUG = {one.slug: one for one in SECTIONS}
OWN = tuple(one for one in SECTIONS if not one.page)
"""Sections whose form is here."""


@dataclass(slots=True)
class Lines:
    """A table with its lines."""

    table: Table
    forms: list[EntryForm]
    left: list[Whole] = field(default_factory=list)
    """Entries this machine has no line for; they stay."""

    @property
    def entries(self) -> list[Whole]:
        """What goes into the file, in the order of the lines."""
        return [one.entry for one in self.filled] + self.left

    @property
    def filled(self) -> list[EntryForm]:
        """Lines with something in them; a line of a limit always is."""
        return [one for one in self.forms if not one.is_empty or self.table.row is LineRow]

    @property
    def grows(self) -> bool:
        """Whether lines are added freely."""
        return self.table.quantities is None

    @property
    def rows(self) -> list[tuple[EntryForm, list[Any]]]:
        """Each line with its cells, None where it does not ask what a column does."""
        columns = self.table.row.base_fields
        return [(one, [one[name] if name in one.fields else None for name in columns]) for one in self.forms]

    @property
    def helped(self) -> list[tuple[str, str]]:
        """Each column that needs a word."""
        fields = self.table.row.base_fields.values()
        return [(str(one.label), str(one.help_text)) for one in fields if one.help_text]

    @property
    def columns(self) -> list[str]:
        """The heads of the table."""
        return [str(one.label) for one in self.table.row.base_fields.values()]


class Filled:
    """One section of one machine, as it stands or as it was sent.

    Parameters
    ----------
    section : Section
        The section.
    whole : dict
        The machine file.
    dossier : Dossier
        The same, read.
    numbers : str
        How the business writes numbers.
    sent : mapping or None
        What was sent.
    """

    def __init__(
        self, section: Section, whole: Whole, dossier: Dossier, numbers: str, sent: Mapping[str, Any] | None = None
    ) -> None:
        self.section, self.whole = section, whole
        self._numbers, self._sent = numbers, sent
        self.head: EntryForm | None = None
        if section.form is not None:
            self.head = section.form(sent, numbers=numbers, was=whole.get(section.at))
        self.tables = [self._lines(table, dossier) for table in section.tables]

    def _lines(self, table: Table, dossier: Dossier) -> Lines:
        entries, forms, left = table.entries(self.whole), [], []
        if table.quantities is not None:
            lines = {
                pair: {"part": pair[0].value, "measurand": pair[1].value}
                for pair in table.quantities(dossier, entries)
            }
            found = {_quantity(one): one for one in entries}
            left = [one for pair, one in found.items() if pair not in lines]
            pairs = [(found.get(pair, bare), quantity_said(*pair)) for pair, bare in lines.items()]
        else:
            blanks = min(max(self._count(table), len(entries) + BLANKS), len(entries) + MOST_BLANKS) - len(entries)
            pairs = [(one, f"{table.line} {number}") for number, one in enumerate([*entries, *({},) * blanks], 1)]
        for number, (was, about) in enumerate(pairs):
            forms.append(
                table.row(self._sent, numbers=self._numbers, was=was, about=about, prefix=f"{table.name}-{number}")
            )
        return Lines(table, forms, left)

    def _count(self, table: Table) -> int:
        """How many lines the page had, and how many more were asked for."""
        sent = self._sent or {}
        text = str(sent.get(f"{table.name}-lines", ""))
        count = int(text) if text.isdecimal() and len(text) < 5 else 0
        return count + 4 * (sent.get("more") == table.name)

    @property
    def forms(self) -> list[EntryForm]:
        """Every form of it."""
        return [
            *([self.head] if self.head is not None else []),
            *(one for lines in self.tables for one in lines.forms),
        ]

    @property
    def is_valid(self) -> bool:
        """Whether every field can be used; an empty line is left out."""
        wrong = [one for one in self.forms if not one.is_valid()]  # each is asked, so that all are told at once
        return not wrong

    @property
    def text(self) -> str:
        """The machine file with what was typed."""
        whole = copy.deepcopy(self.whole)
        if self.head is not None:
            _put(whole, (self.section.at,), self.head.entry)
        for lines in self.tables:
            _put(whole, lines.table.at, lines.entries)
        return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"

    def take(self, error: InputError | NotAllowedError) -> tuple[Problem, ...]:
        """Each problem of the file at its field; those of no field here come out."""
        problems = error.problems if isinstance(error, InputError) else (error.problem,)
        return tuple(one for one in problems if not self._placed(one))

    def _placed(self, problem: Problem) -> bool:
        path = path_of(problem.field)
        told = NotAllowedError(problem.field, problem.seen, problem.allowed, problem.next_step)
        for lines in self.tables:
            at, depth = lines.table.at, len(lines.table.at)
            if path[:depth] == at and len(path) > depth and isinstance(path[depth], int):
                number = int(path[depth])
                if number < len(lines.filled):
                    lines.filled[number].tell(str(path[depth + 1]) if len(path) > depth + 1 else "", told)
                    return True
        if self.head is not None and path[:1] == (self.section.at,):
            self.head.tell(".".join(str(one) for one in path[1:]), told)
            return True
        return False

    @property
    def pairs(self) -> list[tuple[str, str]]:
        """What stands, in a few words each."""
        told = list(self.head.pairs) if self.head is not None else []
        for lines in self.tables:
            for one in lines.forms:
                if said := one.clauses:
                    told.append((one.called, "; ".join(said)))
        return told


def _put(whole: Whole, at: tuple[str, ...], value: Any) -> None:
    """A value in its place; an empty one takes its key out, and what held it alone."""
    if len(at) > 1:
        holder = dict(whole.get(at[0], {}))
        _put(holder, at[1:], value)
        value = holder
    if value in ({}, []):
        whole.pop(at[0], None)
    else:
        whole[at[0]] = value
