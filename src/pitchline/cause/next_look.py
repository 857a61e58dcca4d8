"""What to look at next: the look that is expected to tell most, with the minutes it takes beside it."""

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
    Sign.BENT_SHOES: 2, Sign.BOLT_RINGS: 3, Sign.CUTS: 2, Sign.LUGS_LOW: 3, Sign.LUGS_TORN: 2, Sign.CORD: 3,
    Sign.RUST: 3, Sign.BULGE: 2, Sign.GUIDES_WORN: 3, Sign.DRIVE_LUGS_TORN: 3, Sign.CORE_BARE: 2, Sign.SKIPS: 1,
    Sign.EDGE_TORN: 1, Sign.LOOP_LONGER: 5,
}  # fmt: skip
"""Minutes a look takes: assumptions. Of two signs that one look tells, the first stands for it."""
TOGETHER: Mapping[Sign, Sign] = {
    Sign.SAG_LOW: Sign.SAG_HIGH, Sign.PITCH_AHEAD: Sign.BUSH_AHEAD, Sign.RAIL_AHEAD: Sign.ROLLERS_AHEAD,
}  # fmt: skip
"""Signs that one look tells apart: low, high or neither; never both."""


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
    """

    sign: Sign
    gain: float
    minutes: float


def next_looks(
    net: Net, after: Posterior, looked: frozenset[Sign], worth_asking: float = WORTH_ASKING
) -> tuple[Look, ...]:
    """Looks not taken yet, the one that tells most first.

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
    Entropy as the choice of the next probe: de Kleer and Williams (1987), from memory. Measured in bench/causes.py: by gain
    alone three looks find the planted cause more often than by gain for minutes.
    """
    causes = list(after.chances)
    open_ones = [n for n, cause in enumerate(causes) if after.chances[cause] >= worth_asking]
    if not open_ones:
        return ()
    seconds = set(TOGETHER.values())
    signs = [sign for sign in net.leaks if sign not in looked and sign in MINUTES and sign not in seconds]
    if not signs:
        return ()
    quiet = quiet_of(net)
    columns: list[Floats] = []
    outcomes: list[int] = []
    for sign in signs:
        silent, pair = quiet[sign], TOGETHER.get(sign)
        if pair is None or pair not in quiet:
            split = [silent]
        else:
            other = quiet[pair]
            split = [silent * other, (1 - silent) * other, silent * (1 - other)]
        columns += split
        outcomes.append(len(split))
    within = within_of(net)[:, open_ones]
    table = np.stack(columns, axis=1) * after.weights[:, None]
    chance = table.sum(axis=0)
    with_cause = table.T @ within
    before = _entropy(np.array([after.chances[causes[n]] for n in open_ones])[None, :]).item()
    looks, at = [], 0
    for sign, many in zip(signs, outcomes, strict=True):
        p, joint = chance[at : at + many], with_cause[at : at + many]
        at += many
        if many == 1:
            marginal = np.array([after.chances[causes[n]] for n in open_ones])
            p, joint = np.array([p[0], 1 - p[0]]), np.stack([joint[0], marginal - joint[0]])
        share = p / p.sum()
        left = float((share * _entropy(joint / np.maximum(p, 1e-300)[:, None])).sum())
        looks.append(Look(sign, before - left, MINUTES[sign]))
    worth = [look for look in looks if look.gain >= LEAST_GAIN]
    return tuple(sorted(worth, key=lambda look: -look.gain))


def _entropy(chances: Floats) -> Floats:
    """Summed over causes that are each at work or not [nat]."""
    p = np.clip(chances, 1e-15, 1 - 1e-15)
    summed: Floats = -(p * np.log(p) + (1 - p) * np.log1p(-p)).sum(axis=1)
    return summed
