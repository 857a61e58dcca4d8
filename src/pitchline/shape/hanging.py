"""A level span that hangs: sag, length and tension, from any one to the others.

A chain's joints add friction and stiffness that no such curve has: read sag after rolling to a stop (common practice, no source).
"""

import numpy as np
from numpy.typing import ArrayLike

from pitchline.shape.numbers import Floats, above_zero
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.writing import as_figure


def sag_m(span_m: ArrayLike, weight_n_per_m: ArrayLike, pull_n: ArrayLike) -> Floats:
    """Sag in the middle of a level span.

    Parameters
    ----------
    span_m : array_like, shape (n,)
        Distance between its ends [m], above zero.
    weight_n_per_m : array_like, shape (n,)
        Weight of a length of chain with its shoes [N/m], above zero.
    pull_n : array_like, shape (n,)
        Horizontal tension [N], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Sag [m].

    Raises
    ------
    NotAllowedError
        A figure not above zero.

    References
    ----------
    Catenary: a (cosh(l / 2a) - 1) with a = H / w, any mechanics textbook.

    Examples
    --------
    >>> round(float(sag_m(1.6, 800, 8000)), 6)
    0.032017
    """
    scale = above_zero("pull", pull_n) / above_zero("weight", weight_n_per_m)
    sine: Floats = np.sinh(above_zero("span", span_m) / (4 * scale))
    return 2 * scale * sine**2


def parabola_sag_m(span_m: ArrayLike, weight_n_per_m: ArrayLike, pull_n: ArrayLike) -> Floats:
    """The same by the short form that takes the weight as spread evenly along the level.

    Parameters
    ----------
    span_m : array_like, shape (n,)
        Distance between its ends [m], above zero.
    weight_n_per_m : array_like, shape (n,)
        Weight of a length of chain with its shoes [N/m], above zero.
    pull_n : array_like, shape (n,)
        Horizontal tension [N], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Sag [m].

    Raises
    ------
    NotAllowedError
        A figure not above zero.

    References
    ----------
    Parabola: w l^2 / 8H, any mechanics textbook.

    Examples
    --------
    >>> round(float(parabola_sag_m(1.6, 800, 8000)), 9)
    0.032
    """
    weight, pull = above_zero("weight", weight_n_per_m), above_zero("pull", pull_n)
    return weight * above_zero("span", span_m) ** 2 / (8 * pull)


def scale_from_sag_m(span_m: ArrayLike, sag_m: ArrayLike) -> Floats:
    """The catenary's one length, pull over weight, from how far a level span hangs down.

    Parameters
    ----------
    span_m : array_like, shape (n,)
        Distance between its ends [m], above zero.
    sag_m : array_like, shape (n,)
        Sag in the middle [m], above zero and below the span.

    Returns
    -------
    ndarray, shape (n,)
        Scale H / w [m].

    Raises
    ------
    NotAllowedError
        A length not above zero, or a sag not below the span.

    References
    ----------
    Newton's rule on s = 2a sinh(l / 4a)^2, from the parabola's l^2 / 8s.

    Examples
    --------
    >>> round(float(scale_from_sag_m(1.6, 0.030)) * 784.532, 1)
    8372.3
    """
    span, sag = above_zero("span", span_m), above_zero("sag", sag_m)
    if np.any(sag >= span):
        raise NotAllowedError("sag", f"{as_figure(np.max(sag), 'g')} m", "less than the span", "Measure again.")
    scale = span**2 / (8 * sag)
    for _ in range(40):
        quarter = span / (4 * scale)
        sine = np.sinh(quarter)
        slope = 2 * sine**2 - 4 * quarter * sine * np.cosh(quarter)
        scale = np.maximum(scale - (2 * scale * sine**2 - sag) / slope, scale / 4)
    return scale


def pull_from_sag_n(span_m: ArrayLike, weight_n_per_m: ArrayLike, sag_m: ArrayLike) -> Floats:
    """Horizontal tension of a level span from its sag.

    Parameters
    ----------
    span_m : array_like, shape (n,)
        Distance between its ends [m], above zero.
    weight_n_per_m : array_like, shape (n,)
        Weight of a length of chain with its shoes [N/m], above zero.
    sag_m : array_like, shape (n,)
        Sag in the middle [m], above zero and below the span.

    Returns
    -------
    ndarray, shape (n,)
        Tension [N].

    Raises
    ------
    NotAllowedError
        A figure not above zero, or a sag not below the span.

    References
    ----------
    Catenary, any mechanics textbook.

    Examples
    --------
    >>> round(float(pull_from_sag_n(1.6, 784.532, 0.030)), 1)
    8372.3
    """
    return scale_from_sag_m(span_m, sag_m) * above_zero("weight", weight_n_per_m)


def end_pull_n(weight_n_per_m: ArrayLike, pull_n: ArrayLike, sag_m: ArrayLike) -> Floats:
    """Tension at the ends of a level span, where it is greatest.

    Parameters
    ----------
    weight_n_per_m : array_like, shape (n,)
        Weight of a length of chain with its shoes [N/m], above zero.
    pull_n : array_like, shape (n,)
        Horizontal tension [N], above zero.
    sag_m : array_like, shape (n,)
        Sag in the middle [m], zero or more.

    Returns
    -------
    ndarray, shape (n,)
        Tension [N].

    Raises
    ------
    NotAllowedError
        A weight or tension not above zero.

    References
    ----------
    Catenary: H + w s, any mechanics textbook.

    Examples
    --------
    >>> float(end_pull_n(800, 8000, 0.032))
    8025.6
    """
    return above_zero("pull", pull_n) + above_zero("weight", weight_n_per_m) * np.asarray(sag_m, dtype=np.float64)


def slack_m(span_m: ArrayLike, sag_m: ArrayLike) -> Floats:
    """How much longer a hanging span is than the straight between its ends.

    Parameters
    ----------
    span_m : array_like, shape (n,)
        Distance between its ends [m], above zero.
    sag_m : array_like, shape (n,)
        Sag in the middle [m], above zero and below the span.

    Returns
    -------
    ndarray, shape (n,)
        Excess length [m].

    Raises
    ------
    NotAllowedError
        A length not above zero, or a sag not below the span.

    References
    ----------
    Catenary: 2a sinh(l / 2a) - l; the series where the span is nearly straight. Near 8 s^2 / 3l.

    Examples
    --------
    >>> round(float(slack_m(1.6, 0.030)) * 1e3, 3)
    1.499
    """
    span = above_zero("span", span_m)
    return span * _sinh_over(span / (2 * scale_from_sag_m(span, sag_m)))


def _sinh_over(half: Floats) -> Floats:
    """sinh(u)/u - 1, without loss of digits near zero."""
    square = half * half
    series = square / 6 * (1 + square / 20 * (1 + square / 42))
    return np.where(half < 0.3, series, np.sinh(half) / half - 1)


def sag_from_slack_m(span_m: ArrayLike, slack_m: ArrayLike) -> Floats:
    """Sag of a level span that is longer than the straight between its ends: the inverse of `slack_m`.

    Parameters
    ----------
    span_m : array_like, shape (n,)
        Distance between its ends [m], above zero.
    slack_m : array_like, shape (n,)
        Excess length [m], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Sag in the middle [m].

    Raises
    ------
    NotAllowedError
        A length not above zero.

    References
    ----------
    Newton's rule on sinh(u)/u - 1 = slack / span, u = l / 2a, from its first term.

    Examples
    --------
    >>> round(float(sag_from_slack_m(1.6, slack_m(1.6, 0.030))), 9)
    0.03
    """
    span = above_zero("span", span_m)
    share = above_zero("slack", slack_m) / span
    half = np.sqrt(6 * share)
    half = np.where(share > 1, np.arcsinh(half * (1 + share)), half)
    for _ in range(40):
        slope = np.where(half < 0.3, half / 3 * (1 + half**2 / 10), np.cosh(half) / half - np.sinh(half) / half**2)
        half = np.maximum(half - (_sinh_over(half) - share) / slope, half / 4)
    scale: Floats = span / (2 * half)
    sine: Floats = np.sinh(half / 2)
    return 2 * scale * sine**2
