"""What one stop can be: openings and tied jobs, and nothing that breaks a rule."""

from dataclasses import replace

import numpy as np
import pytest

from pitchline.stops.instance import Group, Rule, RuleKind
from pitchline.stops.options import options_of
from pitchline.stops.tables import tables_of

A, B = ("A", "replace"), ("B", "replace")


def allowed(tables):
    """For each option, what each part may do, by the jobs' words; forced ones with a mark."""
    options = options_of(tables)
    return {
        tuple(
            ("!" if options.forced[variant] else "") + ",".join(sorted({tables.ways[way].name for way in ways}))
            for variant in row
            for ways in (options.ways[variant],)
        )
        for row in options.variant
    }


@pytest.mark.parametrize(
    ("rules", "expected"),
    [
        ((), {("replace", "replace")}),
        ((Rule(RuleKind.SAME_TIME, A, B),), {("", ""), ("!replace", "!replace")}),
        ((Rule(RuleKind.A_NEEDS_B, A, B),), {("", "replace"), ("!replace", "!replace")}),
        (
            (Rule(RuleKind.A_NEEDS_B, A, B), Rule(RuleKind.A_NEEDS_B, B, A)),
            {("", ""), ("!replace", "!replace")},
        ),
    ],
    ids=["no rule", "same time", "A needs B", "each needs the other"],
)
def test_tied_jobs_are_done_together_or_not_at_all(tiny_stops, rules, expected):
    assert allowed(tables_of(replace(tiny_stops(), rules=rules))) == expected


@pytest.mark.parametrize(("count", "there_are"), [(0, 1), (2, 4), (6, 64)])
def test_every_choice_of_openings_is_there_and_costs_what_it_opens(tiny_stops, count, there_are):
    groups = tuple(Group(f"open {number}", (float(2**number),) * 4) for number in range(count))
    options = options_of(tables_of(replace(tiny_stops(), groups=groups)))
    assert len(options.cost) == there_are
    assert sorted(options.cost[:, 0]) == [4.0 + extra for extra in range(there_are)]


@pytest.mark.parametrize("count", [7, 20])
def test_too_many_choices_are_left_to_the_general_solver(tiny_stops, count):
    groups = tuple(Group(f"open {number}", (1.0,) * 4) for number in range(count))
    assert options_of(tables_of(replace(tiny_stops(), groups=groups))) is None


def test_a_job_waits_for_its_opening(tiny_stops):
    instance = tiny_stops()
    first, second = instance.components
    first = replace(first, jobs=tuple(replace(job, groups=("open",)) for job in first.jobs))
    tables = tables_of(replace(instance, components=(first, second), groups=(Group("open", (1.0,) * 4),)))
    options = options_of(tables)
    for opened, row in zip(options.opened[:, 0], options.variant, strict=True):
        assert bool(options.ways[row[0]]) == opened
        assert options.ways[row[1]]
    assert not np.any(options.forced)
