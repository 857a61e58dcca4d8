"""Sections through worn parts: the same outline new, at the limit and today, from the sizes that are read on them.

Each function draws one state from its sizes; call it three times. Losses are made larger by handing in `enlarged` sizes.
x runs across, y up, both from the middle of the part's foot or its centre. What is not read is a proportion of our own.
"""

import math

import numpy as np

from pitchline.shape.numbers import Floats, above_zero
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.writing import as_figure

_ROUND_STEPS = 180


def enlarged_m(new_m: float, worn_m: float, times: float) -> float:
    """A worn size whose loss, or growth, is made larger for drawing.

    Parameters
    ----------
    new_m, worn_m : float
        New size and worn size [m].
    times : float
        How many times as large the loss is drawn [1], 1 or more.

    Returns
    -------
    float
        Size to draw [m].

    Examples
    --------
    >>> round(enlarged_m(0.060, 0.058, 3), 6)
    0.054
    """
    return new_m + times * (worn_m - new_m)


def bush_outline(new_m: float, forward_m: float, reverse_m: float) -> Floats:
    """A bush across its axis, with a flat on each face.

    Parameters
    ----------
    new_m : float
        Outside diameter when new [m], above zero.
    forward_m, reverse_m : float
        Calliper reading across each face where it is thinnest [m], above 0 and no more than new; the flat is new less read.

    Returns
    -------
    ndarray, shape (n, 2)
        Corners of the closed outline, from the bush's centre [m]; forward face at the upper right, reverse at the upper left.

    Raises
    ------
    NotAllowedError
        A reading not above zero.

    Examples
    --------
    >>> outline = bush_outline(0.060, 0.058, 0.060)
    >>> round(float(np.hypot(*outline.T).min()), 4)
    0.028
    """
    radius = float(above_zero("bush outside diameter", new_m)) / 2
    angle = np.linspace(0, 2 * np.pi, _ROUND_STEPS, endpoint=False)
    reach = np.full_like(angle, radius)
    for read, way in ((forward_m, 30.0), (reverse_m, 150.0)):
        depth = new_m - float(above_zero("reading", read))
        off = np.cos(angle - math.radians(way))
        flat = np.where(off > 1e-9, (radius - depth) / np.maximum(off, 1e-9), np.inf)
        reach = np.minimum(reach, np.where(depth > 0, flat, np.inf))
    return np.column_stack([reach * np.cos(angle), reach * np.sin(angle)])


def bar_outline(
    height_m: float, tip_m: float, root_m: float, new_height_m: float, worn_round_m: float = 0.0
) -> Floats:
    """A bar on its plate, such as a grouser, a rubber lug or a pad: tapered from root to tip.

    Parameters
    ----------
    height_m : float
        Height today [m], zero or more.
    tip_m, root_m : float
        Width at the new tip and at the root [m], above zero.
    new_height_m : float
        Height when new [m], above zero.
    worn_round_m : float
        How far its corners are rounded [m], zero or more.

    Returns
    -------
    ndarray, shape (n, 2)
        Corners from the left root over the tip to the right root [m].

    Raises
    ------
    NotAllowedError
        A size not above zero, or a height below zero.

    References
    ----------
    Trapezium; corners rounded by our own hand.

    Examples
    --------
    >>> bar_outline(0.05, 0.01, 0.02, 0.05).shape
    (4, 2)
    """
    above_zero("width", [tip_m, root_m])
    above_zero("new height", new_height_m)
    if not 0 <= height_m < math.inf:
        raise NotAllowedError("height", f"{as_figure(height_m, 'g')} m", "0 m or more", "Measure again.")
    top = root_m + (tip_m - root_m) * min(height_m / new_height_m, 1.0)
    soft = min(worn_round_m, height_m / 2, top / 3)
    right = [(top / 2, height_m)]
    if soft > 0:
        turns = np.linspace(math.pi / 2, 0.0, 5)
        right = [(top / 2 - soft + soft * math.cos(t), height_m - soft + soft * math.sin(t)) for t in turns]
    left = [(-x, y) for x, y in right[::-1]]
    return np.array([(-root_m / 2, 0.0), *left, *right, (root_m / 2, 0.0)])


def tread_outline(
    new_m: float,
    least_m: float,
    width_m: float,
    flange_height_m: float,
    flange_m: float,
    two_flanges: bool,
    coned: bool = False,
    round_from_m: float = 0.0,
) -> Floats:
    """A roller along its axis: upper edge of the section, from one end over flange and tread to the other.

    Parameters
    ----------
    new_m : float
        Tread diameter when new [m], above zero.
    least_m : float
        Tread diameter at its smallest place [m], above zero.
    width_m : float
        Width of one tread [m], above zero; a roller has two, one for each rail.
    flange_height_m, flange_m : float
        Height of a flange above the new tread, and its thickness today [m], above zero.
    two_flanges : bool
        Whether there is a flange on the inside of each tread too.
    coned : bool
        Worn to a cone, deepest at the outer edge, instead of dished by the chain.
    round_from_m : float
        Where the section is cut off below, from the axis [m], zero or more.

    Returns
    -------
    ndarray, shape (n, 2)
        Corners of the closed upper half section, from the middle of the axis [m].

    Raises
    ------
    NotAllowedError
        A size not above zero.

    References
    ----------
    Our own: a dish as a parabola across the tread, a cone as a straight; the reading is its lowest place.

    Examples
    --------
    >>> edge = tread_outline(0.16, 0.15, 0.06, 0.02, 0.02, False)
    >>> round(float(edge[:, 1].max()), 3)
    0.1
    """
    above_zero("roller size", [new_m, least_m, width_m, flange_height_m, flange_m])
    tread, flange = new_m / 2, new_m / 2 + flange_height_m
    across = np.linspace(0, 1, 17)
    lost = across if coned else 1 - (2 * across - 1) ** 2
    dish = tread - (new_m - least_m) / 2 * lost
    inner = 0.55 * width_m
    right = [(0.0, tread - flange_height_m), (inner - (flange_m if two_flanges else 0), tread - flange_height_m)]
    right += [(inner - flange_m, flange), (inner, flange)] if two_flanges else []
    right += [(inner + width_m * one, float(y)) for one, y in zip(across, dish, strict=True)]
    outer = inner + width_m
    right += [(outer, flange), (outer + flange_m, flange), (outer + flange_m, tread - flange_height_m)]
    right += [(outer + flange_m, round_from_m)]
    left = [(-x, y) for x, y in right[::-1]]
    return np.array([*left, *right[1:]])


def idler_outline(radius_m: float, depth_m: float, flange_m: float, width_m: float, round_from_m: float) -> Floats:
    """An idler's rim along its axis: treads either side of the centre flange.

    Parameters
    ----------
    radius_m : float
        Radius of the centre flange [m], above the depth.
    depth_m : float
        Depth of the treads below the centre flange [m], zero or more.
    flange_m : float
        Width of the centre flange [m], above zero.
    width_m : float
        Width of one tread [m], above zero.
    round_from_m : float
        Where the section is cut off below, from the axis [m].

    Returns
    -------
    ndarray, shape (n, 2)
        Corners of the closed section, from the axis below the flange's middle [m].

    Raises
    ------
    NotAllowedError
        A size not above zero, or a depth outside the rim.

    Examples
    --------
    >>> idler_outline(0.3, 0.02, 0.06, 0.05, 0.2).shape
    (8, 2)
    """
    above_zero("idler size", [radius_m, flange_m, width_m])
    if not 0 <= depth_m < radius_m - round_from_m:
        raise NotAllowedError("tread depth", f"{as_figure(depth_m, 'g')} m", "inside the rim", "Measure again.")
    tread, half, outer = radius_m - depth_m, flange_m / 2, flange_m / 2 + width_m
    right = [(half, radius_m), (half, tread), (outer, tread), (outer, round_from_m)]
    return np.array([*[(-x, y) for x, y in right[::-1]], *right])


def rail_outline(height_m: float, head_m: float, web_m: float, head_depth_m: float, new_height_m: float) -> Floats:
    """A link's rail across the track: head on its web, from the shoe's face up.

    Parameters
    ----------
    height_m : float
        Rail height over the shoe's face today [m], above zero.
    head_m, web_m : float
        Width of head and web [m], above zero.
    head_depth_m : float
        Depth of the new head [m], above zero.
    new_height_m : float
        Rail height when new [m], above zero.

    Returns
    -------
    ndarray, shape (n, 2)
        Corners of the closed section, from the middle of its foot [m].

    Raises
    ------
    NotAllowedError
        A size not above zero.

    References
    ----------
    Our own section with the one size that is read on it; the worn edge is drawn rounder.

    Examples
    --------
    >>> round(float(rail_outline(0.1, 0.05, 0.03, 0.03, 0.11)[:, 1].max()), 3)
    0.1
    """
    above_zero("rail size", [height_m, head_m, web_m, head_depth_m, new_height_m])
    under = max(min(new_height_m - head_depth_m, height_m - 0.1 * head_depth_m), 0.0)
    soft = min(0.12 * head_m, (height_m - under) / 2)
    turns = np.linspace(math.pi / 2, 0, 4)
    corner = [(head_m / 2 - soft + soft * math.cos(t), height_m - soft + soft * math.sin(t)) for t in turns]
    right = [*corner, (head_m / 2, under), (web_m / 2, under - 0.3 * (head_m - web_m)), (web_m / 2, 0.0)]
    return np.array([*[(-x, y) for x, y in right[::-1]], *right])
