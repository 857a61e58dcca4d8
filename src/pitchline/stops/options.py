"""What can be opened and tied at one stop, and which ways each part may then take.

See docs/explanation/stops.md.
"""

from dataclasses import dataclass
from itertools import combinations
from typing import TypeVar

import numpy as np

from pitchline.outlook.paths import BoolArray, FloatArray, IntArray
from pitchline.stops.instance import RuleKind, implied
from pitchline.stops.tables import Tables

T = TypeVar("T")
Job = tuple[str, str]
MOST_OPTIONS = 64
"""With more ways to make a stop than this, the general solver takes over."""


@dataclass(frozen=True, slots=True)
class Options:
    """Every way to make a stop: what is opened, and which tied jobs are done.

    Parameters
    ----------
    opened : ndarray of bool, shape (options, groups)
        Groups each option opens.
    variant : ndarray of int, shape (options, parts)
        For each part the number of its variant.
    ways : tuple of tuple of int
        Ways each variant allows.
    forced : ndarray of bool, shape (variants,)
        Whether the part has to take one of them.
    part : ndarray of int, shape (variants,)
        Part of each variant.
    cost : ndarray, shape (options, steps)
        Discounted cost of stop and openings [money].
    """

    opened: BoolArray
    variant: IntArray
    ways: tuple[tuple[int, ...], ...]
    forced: BoolArray
    part: IntArray
    cost: FloatArray


def options_of(tables: Tables) -> Options | None:
    """All options of an instance.

    Returns
    -------
    Options or None
        None when there would be more than `MOST_OPTIONS`.
    """
    tied = _tied(tables)
    classes = _classes(tables, tied)
    groups = len(tables.group)
    if 2 ** (len(classes) + groups) > 64 * MOST_OPTIONS:
        return None
    variants: dict[tuple[int, tuple[int, ...], bool], int] = {}
    opened, rows = [], []
    for done in _subsets(classes):
        forced = _forced(tables, {job for chosen in done for job in chosen}, tied)
        if forced is None:
            continue
        for chosen_groups in _subsets(list(range(groups))):
            row = _row(tables, forced, tied, set(chosen_groups), variants)
            if row is not None:
                opened.append([group in chosen_groups for group in range(groups)])
                rows.append(row)
    if len(rows) > MOST_OPTIONS:
        return None
    is_open = np.array(opened, dtype=np.bool_).reshape(len(rows), groups)
    return Options(
        is_open,
        np.array(rows, dtype=np.int64),
        tuple(ways for _, ways, _ in variants),
        np.array([must for _, _, must in variants], dtype=np.bool_),
        np.array([part for part, _, _ in variants], dtype=np.int64),
        tables.stop + is_open @ tables.group,
    )


def _subsets(things: list[T]) -> list[tuple[T, ...]]:
    return [chosen for size in range(len(things) + 1) for chosen in combinations(things, size)]


def _tied(tables: Tables) -> list[Job]:
    """Jobs whose doing or not doing a rule has to know."""
    found: list[Job] = []
    for rule in tables.instance.rules:
        for job in (rule.a, rule.b) if rule.kind is RuleKind.SAME_TIME else (rule.a,):
            if job not in found:
                found.append(job)
    return found


def _classes(tables: Tables, tied: list[Job]) -> list[tuple[Job, ...]]:
    """Tied jobs that are only ever done together, as one."""
    same = tuple(rule for rule in tables.instance.rules if rule.kind is RuleKind.SAME_TIME)
    found: list[tuple[Job, ...]] = []
    for job in tied:
        if not any(job in one for one in found):
            found.append(implied(job, same))
    return found


def _forced(tables: Tables, done: set[Job], tied: list[Job]) -> dict[str, str] | None:
    """The job each part has to do when these tied jobs are done, or None where that breaks a rule."""
    everything = {other for job in done for other in implied(job, tables.instance.rules)}
    if everything & set(tied) != done:
        return None
    forced: dict[str, str] = {}
    for part, job in everything:
        if forced.setdefault(part, job) != job:
            return None
    return forced


def _row(
    tables: Tables,
    forced: dict[str, str],
    tied: list[Job],
    opened: set[int],
    variants: dict[tuple[int, tuple[int, ...], bool], int],
) -> list[int] | None:
    """The variant of each part, or None where a job that has to be done cannot be."""
    row = []
    for index, part in enumerate(tables.instance.components):
        must = forced.get(part.name)
        ways = tuple(
            number
            for number, way in enumerate(tables.ways)
            if way.part == index
            and set(way.groups) <= opened
            and (way.name == must if must is not None else (part.name, way.name) not in tied)
        )
        if must is not None and not ways:
            return None
        row.append(variants.setdefault((index, ways, must is not None), len(variants)))
    return row
