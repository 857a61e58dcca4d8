"""What to look at next: the look that is expected to bring the right cause to the first place, with the minutes it takes."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pitchline.cause.nets import Net
from pitchline.cause.posterior import Floats, Posterior, quiet_of, within_of
from pitchline.trade.causes import Sign

WORTH_ASKING = 0.1
"""Causes at least as likely as this are to be told apart: an assumption."""
LEAST_GAIN = 0.005
"""Looks that are expected to tell less [nat] are not proposed: an assumption."""
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
        Chance that the cause which is first after it, and after the two looks that go best with it, is at work [1].
    """

    sign: Sign
    gain: float
    minutes: float
    first_true: float


def next_looks(
    net: Net, after: Posterior, looked: frozenset[Sign], worth_asking: float = WORTH_ASKING
) -> tuple[Look, ...]:
    """Looks not taken yet, the one to begin with first.

    What is wanted is the right cause in the first place, and one look alone seldom changes which is first: so each is thought
    through with the two that would follow it. By entropy alone looks were chosen that settle what is not in question.

    Parameters
    ----------
    net : Net
        Causes and signs.
    after : Posterior
        What is thought so far.
    looked : frozenset of Sign
        Signs somebody looked for.
    worth_asking : float
        Chance from which a cause is to be told apart [1].

    Returns
    -------
    tuple of Look
        Those expected to tell something; empty where no cause is worth asking about.

    References
    ----------
    Entropy as the choice of the next probe: de Kleer and Williams (1987), from memory. Looking three ahead: our own, measured in
    bench/causes.py, where by gain for minutes fewest planted causes are found, and by gain alone fewer than so.
    """
    causes = list(after.chances)
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
        Look(sign, gain, MINUTES.get(sign, MINUTES[_FIRST.get(sign, sign)]), two)
        for sign, gain, (two, _) in zip(outcomes, gains, first_true, strict=True)
    ]
    alone = dict(zip(outcomes, (one for _, one in first_true), strict=True))
    worth = [look for look in found if look.gain >= LEAST_GAIN]
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


def _first_true(net: Net, after: Posterior, outcomes: list[Floats]) -> list[tuple[float, float]]:
    """For each look the chance that the first cause is at work [1]: after it and the two that go best with it; after it alone.

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
    by_outcome = np.zeros(len(every))
    for n, seen in enumerate(every):
        weighed = within * (weights * seen)[:, None]
        best = np.max([(every * one) @ every.T for one in weighed.T], axis=0)
        # An outcome after itself is no further look: what stands there is what the first look left.
        third = np.where(same | (at == at[n])[None, :], 0.0, best) @ of_look
        left = np.max(every @ weighed, axis=1)
        second = of_look.T @ np.maximum(third.max(axis=1), left)
        second[at[n]] = 0.0
        by_outcome[n] = max(float(second.max()), float(weighed.sum(axis=0).max()))
    return list(zip((of_look.T @ by_outcome / whole).tolist(), alone.tolist(), strict=True))


def _entropy(chances: Floats) -> Floats:
    """Summed over causes that are each at work or not [nat]."""
    p = np.clip(chances, 1e-15, 1 - 1e-15)
    summed: Floats = -(p * np.log(p) + (1 - p) * np.log1p(-p)).sum(axis=1)
    return summed
