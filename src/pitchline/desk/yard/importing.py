"""Machine files, sheets and price lists into the yard: all of it, or nothing and every problem at once."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, field

from django.db import transaction

from pitchline.desk.bridge.machines import file_text_of, machine_row
from pitchline.desk.bridge.sheets import rows_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of
from pitchline.desk.people.who import Actor
from pitchline.desk.prices import enter_prices, read_content
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.desk.uploads import Upload, unpacked, walk_round_in
from pitchline.desk.walkround.models import ReadingRow, SeenRow
from pitchline.desk.yard.taking_out import newest_change
from pitchline.exchange.machine_file import machine_from_json
from pitchline.exchange.machine_model import FORMAT
from pitchline.exchange.sheet import with_walk_rounds
from pitchline.exchange.text_in import decode
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, Problem, phrase
from pitchline.trade.readings import WalkRound
from pitchline.trade.writing import as_figure
from pitchline.words import translated

_TABLES = (".csv", ".xlsx")


@dataclass(slots=True)
class SentFiles:
    """What the files hold.

    Parameters
    ----------
    machines : list of (str, Dossier)
        Each machine's text as sent, and its dossier with the walk-rounds of its sheets.
    prices : list of Upload
        Price lists.
    left_alone : list of str
        Files that are none of these.
    """

    machines: list[tuple[str, Dossier]] = field(default_factory=list)
    prices: list[Upload] = field(default_factory=list)
    left_alone: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Brought:
    """What an import did.

    Parameters
    ----------
    added, unchanged : list of str
        Names of machines.
    prices : bool
        Whether a new price list is in force.
    left_alone : list of str
        Files that were not read.
    undoable : Undoable or None
        What takes the added machines out again.
    """

    added: list[str] = field(default_factory=list)
    unchanged: list[str] = field(default_factory=list)
    prices: bool = False
    left_alone: list[str] = field(default_factory=list)
    undoable: Undoable | None = None


def found_in(sent: Sequence[Upload]) -> SentFiles:
    """What some files hold, archives opened.

    Raises
    ------
    InputError
        With every problem of every file.
    """
    files = unpacked(sent)
    found, problems = SentFiles(), list[Problem]()
    by_folder: dict[str, list[tuple[str, Dossier]]] = {}
    for one in files:
        if one.ending == ".json":
            _take_machine(one, by_folder.setdefault(one.folder, []), found, problems)
    for one in files:
        if one.ending in _TABLES and one.name.lower().startswith("prices"):
            _take_prices(one, found, problems)
        elif one.ending not in (".json", *_TABLES) or _is_parts(one):
            found.left_alone.append(one.name)
    sheets = [one for one in files if one.ending in _TABLES and not _is_parts(one)]
    sheets = [one for one in sheets if not one.name.lower().startswith("prices")]
    for folder, machines in by_folder.items():
        beside = [one for one in sheets if one.folder == folder]
        found.machines += _with_sheets(machines, beside, problems)
    for one in sheets:
        if not by_folder.get(one.folder):
            step = translated("Put it in one folder with its machine file, or bring it on the machine's own page.")
            problems.append(Problem("sheet", one.name, "a sheet beside its machine file", step, one.name))
    if problems:
        raise InputError(tuple(problems))
    return found


def _is_parts(one: Upload) -> bool:
    """Whether it is a table of parts, as the demo folder has one: those are brought in on their own page."""
    return one.ending in _TABLES and one.name.lower().startswith("parts")


def _take_machine(
    one: Upload, machines: list[tuple[str, Dossier]], found: SentFiles, problems: list[Problem]
) -> None:
    try:
        text = decode(one.content, one.name)
        if _format_of(text) not in (FORMAT, None):
            found.left_alone.append(one.name)
            return
        machines.append((text, machine_from_json(text, one.name)))
    except (InputError, NotAllowedError) as error:
        problems += error.problems if isinstance(error, InputError) else [error.problem.at(one.name)]


def _format_of(text: str) -> str | None:
    """The format an object names, where it is one of ours; None lets the machine file's own reader complain."""
    try:
        whole = json.loads(text)
    except (ValueError, RecursionError):
        return None
    named = whole.get("format") if isinstance(whole, dict) else None
    return named if isinstance(named, str) and named.startswith("pitchline-") else None


def _take_prices(one: Upload, found: SentFiles, problems: list[Problem]) -> None:
    try:
        read_content(one.name, one.content)
        found.prices.append(one)
    except InputError as error:
        problems += [problem.at(one.name) for problem in error.problems]


def _with_sheets(
    machines: list[tuple[str, Dossier]], sheets: list[Upload], problems: list[Problem]
) -> list[tuple[str, Dossier]]:
    """Each machine of one folder with the sheets that name it; with one machine, all sheets are its own."""
    whole = []
    left = {one.name: one for one in sheets}
    for text, dossier in machines:
        rounds: list[WalkRound] = []
        for one in list(left.values()):
            try:
                rounds.append(walk_round_in(one, dossier))
                del left[one.name]
            except InputError as error:
                if len(machines) == 1 or not any(each.field == "machine" for each in error.problems):
                    problems += error.problems
                    del left[one.name]
        try:
            whole.append((text, with_walk_rounds(dossier, rounds)))
        except (InputError, NotAllowedError) as error:
            problems += error.problems if isinstance(error, InputError) else [error.problem]
    for name in left:
        problems.append(
            Problem("machine", name, "the short name of a machine file beside it", "Correct it.", name)
        )
    return whole


def bring_in(actor: Actor, found: SentFiles) -> Brought:
    """What was written; machines that are there already with the same content are left as they are.

    Raises
    ------
    InputError
        A short name is taken by a machine with other content; nothing is written then.
    """
    names = [dossier.machine.machine_id for _, dossier in found.machines]
    there = {
        machine.short_name: machine
        for machine in Machine.objects.filter(business=actor.business, short_name__in=names)
    }
    problems, new, brought = [], [], Brought(left_alone=found.left_alone)
    for text, dossier in found.machines:
        known = there.get(dossier.machine.machine_id)
        if known is None:
            new.append((text, dossier))
        elif _same(known, dossier):
            brought.unchanged.append(known.name)
        else:
            step = translated("Change that machine on its own page, or give this one another id.")
            allowed = translated("a short name that is not in the yard yet")
            problems.append(Problem("machine id", dossier.machine.machine_id, allowed, step))
    repeated = {name for name in names if names.count(name) > 1}
    problems += [Problem("machine id", name, "each once", "Give one another id.") for name in sorted(repeated)]
    if problems:
        raise InputError(tuple(problems))
    for one in found.prices[-1:]:
        brought.prices = enter_prices(actor, name=one.name, content=one.content) is not None
    with transaction.atomic():
        rows = [write_machine(actor, text, dossier) for text, dossier in new]
        brought.added = [row.name for row in rows]
        if rows:
            said = (
                translated("{n} machines brought in.").format(n=as_figure(len(rows), ","))
                if len(rows) != 1
                else translated("{name} brought in.").format(name=rows[0].name)
            )
            before = {"change": newest_change(actor), "added": [str(row.pk) for row in rows]}
            brought.undoable = remember(actor, way="import", said=said, before=before)
    return brought


def _same(known: Machine, dossier: Dossier) -> bool:
    there = dossier_of(known)
    return there is not None and file_text_of(there) == file_text_of(dossier)


def write_machine(actor: Actor, text: str, dossier: Dossier) -> Machine:
    """The machine, written with its sheets and marked for judging; inside a transaction of the caller."""
    machine = machine_row(dossier, text)
    machine.business, machine.to_judge = actor.business, True
    machine.save(force_insert=True)
    readings: list[ReadingRow] = []
    seen: list[SeenRow] = []
    for walk_round in dossier.walk_rounds:
        sheet, rows = rows_of(walk_round, dossier)
        sheet.business, sheet.machine = actor.business, machine
        sheet.save(force_insert=True)
        for row in (*rows.readings, *rows.seen):
            row.sheet = sheet
        readings += rows.readings
        seen += rows.seen
    ReadingRow.objects.bulk_create(readings)
    SeenRow.objects.bulk_create(seen)
    note(actor, machine.pk, [Told(phrase("machine brought in"), "", machine.name)])
    return machine
