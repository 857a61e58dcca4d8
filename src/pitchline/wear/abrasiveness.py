"""How hard a ground's minerals wear steel, as a share of what pure quartz would do."""

import math
from collections.abc import Sequence

import numpy as np

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.writing import as_figure

QUARTZ_FACTORS: dict[float, float] = {
    1.0: 0.0,
    1.5: 0.0,
    2.0: 0.0021,
    2.5: 0.015,
    3.0: 0.036,
    3.5: 0.038,
    4.0: 0.042,
    4.5: 0.047,
    5.0: 0.055,
    5.5: 0.16,
    6.0: 0.31,
    6.5: 0.55,
    7.0: 1.0,
}
"""Abrasiveness relative to quartz by Mohs number, as a laboratory note tabulates it; first publication not seen."""


def quartz_factor(mohs: float) -> float:
    """Abrasiveness of a mineral relative to quartz.

    Parameters
    ----------
    mohs : float
        Mohs hardness [1], 1 to 7.

    Returns
    -------
    float
        0 for talc, 1 for quartz [1]; between the tabulated half steps straight lines, which is our own choice.

    Raises
    ------
    NotAllowedError
        A Mohs number outside 1 to 7; harder minerals are not in the table.

    References
    ----------
    Laboratory note that tabulates the equivalent quartz factors by Mohs number; first publication not seen.

    Examples
    --------
    >>> quartz_factor(6.0)
    0.31
    """
    if not 1 <= mohs <= 7:
        raise NotAllowedError("Mohs hardness", mohs, "1 to 7", "Leave out what is harder than quartz, and say so.")
    return float(np.interp(mohs, list(QUARTZ_FACTORS), list(QUARTZ_FACTORS.values())))


def equivalent_quartz(minerals: Sequence[tuple[float, float]]) -> float:
    """Equivalent quartz content of a ground or rock.

    Parameters
    ----------
    minerals : sequence of (float, float)
        Share of the whole [1] and Mohs hardness [1] of each mineral; shares are zero or more and add up to 1.

    Returns
    -------
    float
        Share of pure quartz that would wear as much [1], 0 to 1.

    Raises
    ------
    NotAllowedError
        Shares that are negative or do not add up to 1 within 0.001, or a Mohs number outside 1 to 7.

    References
    ----------
    Definition of the equivalent quartz content: sum of share times abrasiveness relative to quartz.

    Examples
    --------
    >>> round(equivalent_quartz([(0.30, 7), (0.60, 6), (0.10, 2.5)]), 9)
    0.4875
    """
    for share, _ in minerals:
        if not share >= 0:
            raise NotAllowedError("share of a mineral", share, "0 or more")
    total = math.fsum(share for share, _ in minerals)
    if not abs(total - 1) <= 1e-3:
        raise NotAllowedError(
            "shares of minerals", f"{as_figure(total, 'g')} in all", "1 in all", "Check that nothing is left out."
        )
    return math.fsum(share * quartz_factor(mohs) for share, mohs in minerals)


def rock_abrasivity_index(compressive_strength_pa: float, quartz_share: float) -> float:
    """Rock abrasivity index: strength times equivalent quartz content.

    Parameters
    ----------
    compressive_strength_pa : float
        Unconfined compressive strength [Pa], zero or more.
    quartz_share : float
        Equivalent quartz content [1], 0 to 1.

    Returns
    -------
    float
        The index as it is quoted, strength taken in megapascals [1].

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    Plinninger, Hardrock abrasivity investigation using the rock abrasivity index, 2010.

    Examples
    --------
    >>> rock_abrasivity_index(100e6, 0.5)
    50.0
    """
    if not (math.isfinite(compressive_strength_pa) and compressive_strength_pa >= 0):
        raise NotAllowedError("compressive strength", compressive_strength_pa, "a finite figure of 0 Pa or more")
    if not 0 <= quartz_share <= 1:
        raise NotAllowedError("equivalent quartz content", quartz_share, "0 to 1")
    return compressive_strength_pa * 1e-6 * quartz_share
