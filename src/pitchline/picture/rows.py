"""Labels in a row: pushed apart until none lies on another, as near to their parts as that allows."""

from collections.abc import Sequence
from itertools import pairwise


def spread(
    wanted: Sequence[float], widths: Sequence[float], left: float, right: float, gap: float
) -> list[float] | None:
    """Middles of labels in a row, as near to where they are wanted as goes; None where they do not fit.

    Parameters
    ----------
    wanted : sequence of float
        Middles wanted, rising [CSS pixels].
    widths : sequence of float
        Width of each label [CSS pixels].
    left, right : float
        Ends of the row [CSS pixels].
    gap : float
        Room between two labels [CSS pixels].

    Returns
    -------
    list of float or None
        Middles [CSS pixels].

    References
    ----------
    Isotonic regression by pooling neighbours (Ayer and others, Ann. Math. Stat. 26 (1955) 641, from memory): least squares under
    the order.
    """
    if not wanted or sum(widths) + gap * (len(widths) - 1) > right - left:
        return None if wanted else []
    offsets = [0.0]
    for one, two in pairwise(widths):
        offsets.append(offsets[-1] + one / 2 + gap + two / 2)
    least, most = left + widths[0] / 2, right - widths[-1] / 2 - offsets[-1]
    pools: list[tuple[float, int]] = []
    for want, offset in zip(wanted, offsets, strict=True):
        pools.append((want - offset, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (one, few), (two, more) = pools[-2:]
            pools[-2:] = [((one * few + two * more) / (few + more), few + more)]
    starts = [min(max(start, least), most) for start, count in pools for _ in range(count)]
    return [start + offset for start, offset in zip(starts, offsets, strict=True)]
