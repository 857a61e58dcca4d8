"""Archard's wear law: worn volume from load, sliding distance and hardness."""

import math

from pitchline.trade.errors import NotAllowedError


def _zero_or_more(**figures: float) -> None:
    for name, figure in figures.items():
        if not (math.isfinite(figure) and figure >= 0):
            raise NotAllowedError(name.replace("_", " "), figure, "a finite figure of 0 or more")


def _above_zero(**figures: float) -> None:
    for name, figure in figures.items():
        if not (math.isfinite(figure) and figure > 0):
            raise NotAllowedError(name.replace("_", " "), figure, "a finite figure above 0")


def worn_volume_m3(wear_coefficient: float, load_n: float, sliding_m: float, hardness_pa: float) -> float:
    """Volume worn off by sliding under load.

    Parameters
    ----------
    wear_coefficient : float
        Archard's K [1], zero or more.
    load_n : float
        Load square to the face [N], zero or more.
    sliding_m : float
        Distance slid [m], zero or more.
    hardness_pa : float
        Indentation hardness of the softer body [Pa], above zero.

    Returns
    -------
    float
        Worn volume [m3].

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    Archard, J. Appl. Phys. 24 (1953) 981 (page from memory): V = K F s / H.

    Examples
    --------
    >>> f"{worn_volume_m3(1e-3, 5000, 1000, 1.2e9):.6e}"
    '4.166667e-06'
    """
    _zero_or_more(wear_coefficient=wear_coefficient, load=load_n, sliding_distance=sliding_m)
    _above_zero(hardness=hardness_pa)
    return wear_coefficient * load_n * sliding_m / hardness_pa


def worn_depth_m(volume_m3: float, area_m2: float) -> float:
    """Depth worn off a flat face.

    Parameters
    ----------
    volume_m3 : float
        Worn volume [m3], zero or more.
    area_m2 : float
        Area of the face [m2], above zero.

    Returns
    -------
    float
        Depth [m]. With steady load and area it grows in a straight line with distance, hence with hours.

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    Definition: h = V / A.

    Examples
    --------
    >>> round(worn_depth_m(4.166667e-6, 0.01) * 1e3, 7)
    0.4166667
    """
    _zero_or_more(worn_volume=volume_m3)
    _above_zero(area=area_m2)
    return volume_m3 / area_m2
