"""What a list of machines would change: each row against the machine it means. Pure, so that it can be asked twice."""

import re
import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

from pitchline.desk.bridge.machines import WHICH_ONE
from pitchline.desk.machine.models import Machine
from pitchline.exchange.machine_list import ListedMachine, missing_of_new
from pitchline.trade.errors import Problem
from pitchline.trade.writing import as_figure
from pitchline.words import translated

NEW, CHANGED, UNCHANGED, REFUSED = "new", "changed", "unchanged", "refused"
KNOWN_FIELDS = (
    "id", "short_name", "name", "kind", "hours_text", "hours_h", "customer", "place", "version", "last_walk_on",
    "archived_at", *WHICH_ONE,
)  # fmt: skip


@dataclass(slots=True)
class Step:
    """What one row would do.

    Parameters
    ----------
    row : int
        Its number in the file.
    what : str
        "new", "changed", "unchanged" or "refused".
    machine_id, short_name, name : str
        The machine; of a new one, the id and short name it gets.
    version : int
        The machine's when this was worked out; 0 for a new one.
    fields : dict
        From and to of each column that changes.
    problems : list of dict
        Why the row is refused.
    archived : bool
        Whether the machine is archived, and stays so.
    """

    row: int
    what: str
    machine_id: str = ""
    short_name: str = ""
    name: str = ""
    version: int = 0
    fields: dict[str, list[Any]] = field(default_factory=dict)
    problems: list[dict[str, Any]] = field(default_factory=list)
    archived: bool = False


class _Yard:
    """The machines there are, by short name and by name."""

    def __init__(self, machines: Iterable[Machine]) -> None:
        self.by_short: dict[str, Machine] = {}
        self.by_name: dict[str, list[Machine]] = {}
        for one in machines:
            self.by_short[one.short_name] = one
            self.by_name.setdefault(one.name.casefold(), []).append(one)
        self.taken = set(self.by_short)

    def meant_by(self, listed: ListedMachine) -> list[Machine]:
        """By its short name; without one, by its name."""
        if listed.short_name:
            found = self.by_short.get(listed.short_name)
            return [found] if found is not None else []
        return self.by_name.get(listed.name.casefold(), [])

    def new_short(self, name: str) -> str:
        """A short name nobody has, from the name."""
        stem = re.sub(r"\W+", "-", name.casefold()).strip("-_")[:40] or "machine"
        short, number = stem, 1
        while short in self.taken:
            number += 1
            short = f"{stem}-{number}"
        return short


def steps_of(list_id: uuid.UUID, lines: Sequence[ListedMachine], machines: Iterable[Machine]) -> list[Step]:
    """What each row would do to these machines.

    Parameters
    ----------
    list_id : UUID
        The list's; new machines get ids made from it and their row.
    lines : sequence of ListedMachine
        The rows.
    machines : iterable of Machine
        Every machine of the yard.

    References
    ----------
    Our own: short name first, else name; an empty cell changes nothing; a row is taken whole or not at all.
    """
    yard, met, steps = _Yard(machines), dict[str, int](), list[Step]()
    shorts = {line.short_name for line in lines if line.short_name}
    yard.taken |= shorts
    for line in lines:
        step = _step(list_id, line, yard)
        if step.what != REFUSED and step.machine_id in met:
            seen = translated("the same machine as row {met}").format(met=met[step.machine_id])
            step = _refused(line, Problem("machine", seen, "each machine once", "Delete one of the rows."))
        if step.what != REFUSED:
            met[step.machine_id] = line.row
        steps.append(step)
    return steps


def _refused(line: ListedMachine, *problems: Problem) -> Step:
    told = [asdict(problem) for problem in problems]
    return Step(line.row, REFUSED, short_name=line.short_name, name=line.name, problems=told)


def _step(list_id: uuid.UUID, line: ListedMachine, yard: _Yard) -> Step:
    if line.problems:
        return _refused(line, *line.problems)
    meant = yard.meant_by(line)
    if len(meant) > 1:
        seen = translated("{line}, which {n} machines are called").format(line=line.name, n=len(meant))
        return _refused(line, Problem("name", seen, "one machine", "Give its short name as well."))
    return _changed(line, meant[0]) if meant else _new(list_id, line, yard)


def _new(list_id: uuid.UUID, line: ListedMachine, yard: _Yard) -> Step:
    lacking = missing_of_new(line)
    if lacking:
        return _refused(line, *lacking)
    short = line.short_name or yard.new_short(line.name)
    made_from = line.short_name or line.name.casefold()
    yard.taken.add(short)
    fields = {
        name: ["", getattr(line, name)]
        for name in ("kind", "hours_text", "customer", "place", *WHICH_ONE)
        if getattr(line, name)
    }
    fields["hours_h"] = [None, line.hours_h]
    return Step(line.row, NEW, str(uuid.uuid5(list_id, made_from)), short, line.name, 0, fields)


def _changed(line: ListedMachine, known: Machine) -> Step:
    fields: dict[str, list[Any]] = {
        name: [getattr(known, name), getattr(line, name)]
        for name in ("name", "kind", "customer", "place", *WHICH_ONE)
        if getattr(line, name) and getattr(line, name) != getattr(known, name)
    }
    if not line.short_name:
        fields.pop("name", None)
    if line.hours_h is not None and line.hours_h != known.hours_h:
        if known.last_walk_on is not None and known.hours_h is not None:
            allowed = translated(
                "empty, or {hours_h}: the hours come from its walk-rounds and the work done"
            ).format(hours_h=as_figure(known.hours_h, "g"))
            step = translated("Leave the hours of this row empty; enter new hours with a walk-round.")
            return _refused(line, Problem("hours", line.hours_text, allowed, step))
        fields["hours_text"] = [known.hours_text, line.hours_text]
        fields["hours_h"] = [known.hours_h, line.hours_h]
    what = CHANGED if fields else UNCHANGED
    archived = known.archived_at is not None
    return Step(line.row, what, str(known.pk), known.short_name, known.name, known.version, fields, [], archived)


def lines_from(told: Sequence[Mapping[str, Any]]) -> list[ListedMachine]:
    """Rows that were stored as JSON."""
    return [
        ListedMachine(**{**one, "problems": tuple(Problem(**each) for each in one["problems"])}) for one in told
    ]
