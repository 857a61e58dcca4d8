"""A set of constants as pages and the API show it: what moved, the audit, what it rests on."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pitchline.desk.constants import learned_of
from pitchline.desk.learning.models import Constants
from pitchline.outlook.audit import Audit, AuditRow
from pitchline.outlook.learned import Learned, weak
from pitchline.papers.audit_words import audit_words
from pitchline.papers.learned_told import Moved, moved, rests_said, untold_said


@dataclass(frozen=True, slots=True)
class Shown:
    """One set.

    Parameters
    ----------
    row : Constants
        The row.
    learned : Learned
        What it says.
    rests_on : str
        From how much it was learned.
    moved : tuple of Moved
        Each constant beside what is used now.
    audit : Audit or None
        How earlier walk-rounds predicted later ones; None of a file that was brought.
    audit_said : tuple of str
        The same in words.
    untold : tuple of str
        What the tables could not say.
    """

    row: Constants
    learned: Learned
    rests_on: str
    moved: tuple[Moved, ...]
    audit: Audit | None
    audit_said: tuple[str, ...]
    untold: tuple[str, ...]


def shown(row: Constants, in_force: Constants | None) -> Shown:
    """A set beside the one in force; of the one in force itself, beside what is taken without any."""
    learned, used = learned_of(row), learned_of(in_force if in_force != row else None)
    if learned is None:
        raise AssertionError("a row has constants")
    audit = audit_of(row)
    return Shown(
        row,
        learned,
        rests_said(learned),
        moved(used or assumed(row, learned.kinds), learned),
        audit,
        tuple(audit_words(audit)) if audit is not None else (),
        untold_said(row.rests_on.get("untold", {})),
    )


def assumed(row: Constants, kinds: tuple[str, ...]) -> Learned:
    """What is taken without any constants in force: typical lives."""
    lives = row.rests_on.get("lives_h", {})
    return weak(kinds, {kind: (life_h, spread) for kind, (life_h, spread) in lives.items()})


def audit_of(row: Constants) -> Audit | None:
    """The audit as it was kept; None of a file that was brought."""
    kept = row.rests_on.get("audit")
    if kept is None:
        return None
    rows = tuple(_row(each) for each in kept["kinds"])
    overall = _row(kept["overall"]) if kept["overall"] is not None else None
    cuts = tuple((number, readings) for number, readings in kept["cuts"])
    return Audit(overall, rows, kept["machines"], kept["walk_rounds"], kept["left_out"], cuts)


def _row(kept: Mapping[str, Any]) -> AuditRow:
    cells: dict[str, Any] = {name: tuple(each) if isinstance(each, list) else each for name, each in kept.items()}
    return AuditRow(**cells)
