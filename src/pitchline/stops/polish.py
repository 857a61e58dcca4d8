"""A good set of stops made better by small changes: a stop moved, left out, made in another way, or one more."""

from itertools import pairwise

from pitchline.stops.search import SLACK, Chosen, Search

SHIFTS = (-4, -2, -1, 1, 2, 4)
"""Steps a stop is moved by: doubling, so that a few passes reach any step."""
_TRIED = 30
"""Places over the horizon at which one stop more is tried."""
MOST_PASSES = 12
"""Passes over all changes, each taking the best: our own choice."""


def polished(search: Search, chosen: Chosen, cost: float, steps: int, options: int) -> tuple[Chosen, float]:
    """The best set of stops that small changes lead to.

    Parameters
    ----------
    search : Search
        Prices sets of stops.
    chosen : tuple of (int, int)
        Step and option of each stop, in order of time.
    cost : float
        What it costs [money].
    steps, options : int
        Steps of the horizon, and ways to make a stop.

    Returns
    -------
    chosen : tuple of (int, int)
        No dearer than the one handed in.
    cost : float
        What it costs [money].

    References
    ----------
    Local search; our own.
    """
    for _ in range(MOST_PASSES):
        near = _near(chosen, steps, options)
        if not near:
            break
        costs = search.costs_of(near)
        best = int(costs.argmin())
        if costs[best] >= cost - SLACK * abs(cost):
            break
        chosen, cost = near[best], float(costs[best])
    return chosen, cost


def _near(chosen: Chosen, steps: int, options: int) -> list[Chosen]:
    """All sets one change away."""
    found: dict[Chosen, None] = {}
    for number, (step, option) in enumerate(chosen):
        rest = (*chosen[:number], *chosen[number + 1 :])
        found[rest] = None
        for shift in SHIFTS:
            found[_with(rest, step + shift, option)] = None
        for other in range(options):
            found[_with(rest, step, other)] = None
    for step in range(0, steps, max(1, steps // _TRIED)):
        found[_with(chosen, step, options - 1)] = None  # the last way opens the most
    found.pop(chosen, None)
    return [one for one in found if _possible(one, steps)]


def _with(chosen: Chosen, step: int, option: int) -> Chosen:
    return tuple(sorted((*chosen, (step, option))))


def _possible(chosen: Chosen, steps: int) -> bool:
    return all(0 <= step < steps for step, _ in chosen) and all(
        one[0] < other[0] for one, other in pairwise(chosen)
    )
