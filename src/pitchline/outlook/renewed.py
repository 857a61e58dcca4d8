"""Parts as they will be once a job is done on them: as new on this machine, or bushes on their other face.

See docs/explanation/outlook.md.
"""

from dataclasses import replace

import numpy as np
from scipy.special import ndtr

from pitchline.outlook.crossing import Crossing
from pitchline.outlook.lives import NEW_SIZE_SHARE, TURNED_START
from pitchline.outlook.machine import MachineOutlook
from pitchline.outlook.paths import FloatArray


def as_new(outlook: MachineOutlook, member: int, level: float = 1.0, start_u: float = NEW_SIZE_SHARE) -> Crossing:
    """A new part in place of one that is fitted now.

    Parameters
    ----------
    outlook : MachineOutlook
        The machine.
    member : int
        Place among its parts.
    level : float
        Life used that counts as reached [1], above zero.
    start_u : float
        Spread of its size when fitted, as a share of the wear allowance [1], zero or more.

    Returns
    -------
    Crossing
        Of one part: the machine's effect stays, the part's own is drawn anew.
    """
    row = outlook.rows[member]
    one = outlook.limits.of([row])
    weight = outlook.beliefs.new_part_weight(row)[:, None, :]
    return replace(
        one,
        weight=weight,
        wear=np.zeros(weight.shape),
        wear_var=np.full(weight.shape, start_u**2),
        level=np.array([level]),
    )


def on_other_face(outlook: MachineOutlook, member: int) -> Crossing:
    """Bushes after a turn: worn as the other face's own reading says, then as a new part on this machine.

    Parameters
    ----------
    outlook : MachineOutlook
        The machine.
    member : int
        Place of the bushes among its parts, forward face.

    Returns
    -------
    Crossing
        Of one part, counted from the turn; as new where bushes were not to be turned.
    """
    known = outlook.other_face.get(member)
    return as_new(outlook, member, start_u=TURNED_START) if known is None else known


def share_left(part: Crossing, hours_h: FloatArray) -> FloatArray:
    """Expected share of a part's allowance that is left after some hours.

    Parameters
    ----------
    part : Crossing
        Of one part.
    hours_h : ndarray, shape (t,)
        Hours from its start [h], zero or more.

    Returns
    -------
    ndarray, shape (t,)
        From 0 to 1 [1].

    References
    ----------
    Mean of a normal cut off at nothing left (Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions 1, ch. 13, from
    memory).
    """
    growth = part.rate[:, 0, :, None] * hours_h
    noise, span2 = part.noise[:, None, None], part.span_spread[:, None, None] ** 2
    spread = np.sqrt(part.wear_var[:, 0, :, None] + growth * (noise + span2 * growth))
    left = part.level[0] - part.wear[:, 0, :, None] - growth
    z = left / spread
    above = left * ndtr(z) + spread * np.exp(-0.5 * z**2) / np.sqrt(2 * np.pi)
    weight = part.weight[:, 0] / part.weight.sum()
    return np.asarray(np.clip(np.einsum("bj,bjt->t", weight, above) / part.level[0], 0.0, 1.0))
