"""What to look at next: the look that is expected to bring the right cause to the first place, with the minutes it takes."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pitchline.cause.nets import Net
from pitchline.cause.posterior import Floats, Posterior, quiet_of, within_of
from pitchline.trade.causes import Sign

WORTH_ASKING = 0.1
"""Causes at least as likely as this are to be told apart: an assumption."""
IN_QUESTION = 3
"""Causes told apart at least, however unlikely each: something was seen or read that they bring."""
LEAST_GAIN = 0.005
"""Looks expected to tell less [nat], and to make the first cause likelier by less [1], are not proposed: an assumption."""
MINUTES: Mapping[Sign, float] = {
    Sign.FACES: 6, Sign.SIDES: 15, Sign.FLANGES: 10, Sign.ENDS: 15, Sign.ONE_ROLLER: 16, Sign.PITCH_AHEAD: 6,
    Sign.JOINTS_UNLIKE: 15, Sign.ROOT_AHEAD: 6, Sign.RAIL_AHEAD: 10, Sign.SHOES_AHEAD: 6, Sign.TEETH: 1,
    Sign.SAG_LOW: 3, Sign.PACKED: 1, Sign.BOSSES: 3, Sign.CAME_OFF: 1, Sign.HOLLOW_RAIL: 3, Sign.HOT: 10, Sign.LEAKING: 2,
    Sign.PIN_RUST: 2, Sign.LUGS_ONE_SIDE: 2,
    Sign.BENT_SHOES: 2, Sign.BOLT_RINGS: 3, Sign.CUTS: 2, Sign.LUGS_LOW: 3, Sign.LUGS_TORN: 2, Sign.CORD: 3,
    Sign.RUST: 3, Sign.BULGE: 2, Sign.GUIDES_WORN: 3, Sign.DRIVE_LUGS_TORN: 3, Sign.CORE_BARE: 2, Sign.SKIPS: 1,
    Sign.EDGE_TORN: 1, Sign.LOOP_LONGER: 5,
}  # fmt: skip
"""Minutes a look takes: assumptions. Of two signs that one look tells, the first stands for it."""
TOGETHER: Mapping[Sign, Sign] = {
    Sign.SAG_LOW: Sign.SAG_HIGH, Sign.PITCH_AHEAD: Sign.BUSH_AHEAD, Sign.RAIL_AHEAD: Sign.ROLLERS_AHEAD,
}  # fmt: skip
"""Signs that one look tells apart: low, high or neither; never both."""


COURSE = 3
"""Looks are proposed in courses of so many: what is best for the last of them is not what is best to begin with."""
SETS = 512
"""Sets of causes, the likeliest, over which looks to come are thought through; the rest weigh little."""


@dataclass(frozen=True, slots=True)
class Look:
    """Something to look at.

    Parameters
    ----------
    sign : Sign
        What; of a pair that one look tells, the first.
    gain : float
        How much it is expected to take off the doubt about the causes worth asking about, as summed entropy [nat].
    minutes : float
        How long it takes [min].
    first_true : float
        Chance that the cause which is first after it, and after the looks of its course that go best with it, is at work [1].
    """

    sign: Sign
    gain: float
    minutes: float
    first_true: float


def next_looks(
    net: Net, after: Posterior, looked: frozenset[Sign], worth_asking: float | None = None, to_go: int = COURSE
) -> tuple[Look, ...]:
    """Looks not taken yet, the one to begin with first.

    What is wanted is the right cause in the first place, and one look alone seldom changes which is first: so each is thought
    through with those that would follow it in its course of three. By entropy alone looks were chosen that settle what is not in
    question; with two to follow even the last of three, looks that prepare others never taken.

    Parameters
    ----------
    net : Net
        Causes and signs.
    after : Posterior
        What is thought so far.
    looked : frozenset of Sign
        Signs somebody looked for.
    worth_asking : float or None
        Chance from which a cause is to be told apart [1]; None takes 0.1, or that of the third where it is lower.
    to_go : int
        Looks left of the course, 1 to 3.

    Returns
    -------
    tuple of Look
        Those expected to tell something; empty where no cause is worth asking about.

    References
    ----------
    Entropy as the choice of the next probe: de Kleer and Williams (1987), from memory. Looking to the end of the course: our own,
    measured in bench/causes.py, where by gain for minutes fewest planted causes are found, and by gain alone fewer than so.
    """
    causes = list(after.chances)
    if worth_asking is None:
        worth_asking = min(WORTH_ASKING, sorted(after.chances.values())[-IN_QUESTION])
    open_ones = [n for n, cause in enumerate(causes) if after.chances[cause] >= worth_asking]
    outcomes = _outcomes(net, looked)
    if not open_ones or not outcomes:
        return ()
    chances = np.array([after.chances[causes[n]] for n in open_ones])
    before = _entropy(chances[None, :]).item()
    within = within_of(net)[:, open_ones]
    gains = []
    for split in outcomes.values():
        table = split * after.weights
        p = table.sum(axis=1)
        joint = table @ within
        left = (p / p.sum() * _entropy(joint / np.maximum(p, 1e-300)[:, None])).sum()
        gains.append(before - float(left))
    first_true = _first_true(net, after, list(outcomes.values()))
    found = [
        Look(sign, gain, MINUTES.get(sign, MINUTES[_FIRST.get(sign, sign)]), float(each))
        for sign, gain, each in zip(outcomes, gains, first_true[to_go - 1], strict=True)
    ]
    alone = dict(zip(outcomes, first_true[0].tolist(), strict=True))
    first = max(after.chances.values())
    worth = [look for look in found if max(look.gain, look.first_true - first) >= LEAST_GAIN]
    # Two looks can be as good as one another to the last digit but one; which digit comes out is up to the processor.
    return tuple(
        sorted(
            worth,
            key=lambda look: (*(-round(each, 9) for each in (look.first_true, alone[look.sign], look.gain)),),
        )
    )


_FIRST = {second: first for first, second in TOGETHER.items()}


def _outcomes(net: Net, looked: frozenset[Sign]) -> dict[Sign, Floats]:
    """For each look the chance of every outcome in each set of causes, shape (outcomes, 2**n).

    Of two signs that one look tells the first stands for both, unless it was looked for alone.
    """
    quiet, found = quiet_of(net), {}
    for sign in net.leaks:
        first, second = _FIRST.get(sign), TOGETHER.get(sign)
        if (
            sign in looked
            or (first is not None and first not in looked)
            or (first is None and sign not in MINUTES)
        ):
            continue
        silent = quiet[sign]
        if second is None or second not in quiet or second in looked:
            found[sign] = np.stack([silent, 1 - silent])
        else:
            other = quiet[second]
            found[sign] = np.stack([silent * other, (1 - silent) * other, silent * (1 - other)])
    return found


def _first_true(net: Net, after: Posterior, outcomes: list[Floats]) -> tuple[Floats, Floats, Floats]:
    """For each look the chance that the first cause is at work [1]: after it alone, after the best one more, the best two more.

    Which look is taken second hangs on what the first brought, and the third on both.
    """
    kept = np.argpartition(after.weights, -min(SETS, after.weights.size))[-SETS:]
    weights, within = after.weights[kept], within_of(net)[kept]
    every = np.concatenate([one[:, kept] / one[:, kept].sum(axis=0) for one in outcomes])
    at = np.repeat(np.arange(len(outcomes)), [len(one) for one in outcomes])
    of_look = (at[:, None] == np.arange(len(outcomes))).astype(np.float64)
    same = at[:, None] == at
    whole = weights.sum()
    alone = of_look.T @ (every @ (within * weights[:, None])).max(axis=1) / whole
    two, three = np.zeros(len(every)), np.zeros(len(every))
    for n, seen in enumerate(every):
        weighed = within * (weights * seen)[:, None]
        best = np.max([(every * one) @ every.T for one in weighed.T], axis=0)
        # An outcome after itself is no further look: what stands there is what the first look left.
        third = np.where(same | (at == at[n])[None, :], 0.0, best) @ of_look
        left = np.max(every @ weighed, axis=1)
        for found, second in ((two, left), (three, np.maximum(third.max(axis=1), left))):
            by_look = of_look.T @ second
            by_look[at[n]] = 0.0
            found[n] = max(float(by_look.max()), float(weighed.sum(axis=0).max()))
    return alone, of_look.T @ two / whole, of_look.T @ three / whole


def _entropy(chances: Floats) -> Floats:
    """Summed over causes that are each at work or not [nat]."""
    p = np.clip(chances, 1e-15, 1 - 1e-15)
    summed: Floats = -(p * np.log(p) + (1 - p) * np.log1p(-p)).sum(axis=1)
    return summed
