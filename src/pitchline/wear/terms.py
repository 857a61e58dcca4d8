"""The terms of a doubt budget, one function for each way of knowing (JCGM 100:2008, the GUM)."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.trade.errors import NotAllowedError, phrase


@dataclass(frozen=True, slots=True)
class Term:
    """One contribution to a reading's doubt.

    Parameters
    ----------
    name : str
        What it is, such as "repeats" or "tool limit".
    u_m : float
        Standard uncertainty [m], zero or more.
    freedom : float
        Degrees of freedom [1], above zero; infinite where the figure is taken as known.
    half_width_m : float or None
        Half-width where the term is rectangular [m]; else None.

    Raises
    ------
    NotAllowedError
        A negative or non-finite uncertainty, or a freedom that is not above zero.

    References
    ----------
    JCGM 100:2008 (GUM), 4.2 and 4.3.
    """

    name: str
    u_m: float
    freedom: float
    half_width_m: float | None = None

    def __post_init__(self) -> None:
        if not (math.isfinite(self.u_m) and self.u_m >= 0):
            raise NotAllowedError(phrase("doubt, {name}", name=self.name), self.u_m, "a length of 0 or more")
        if not self.freedom > 0:
            raise NotAllowedError(phrase("doubt, {name}, freedom", name=self.name), self.freedom, "above 0")


def type_a(name: str, repeats_m: Sequence[float]) -> Term:
    """The doubt of a mean, from the scatter of its repeats.

    Parameters
    ----------
    name : str
        Name of the term.
    repeats_m : sequence of float
        Repeats [m], two or more, finite.

    Returns
    -------
    Term
        Sample standard deviation over the root of their number, with one freedom less than repeats.

    Raises
    ------
    NotAllowedError
        Fewer than two repeats.

    References
    ----------
    JCGM 100:2008 (GUM), 4.2.

    Examples
    --------
    >>> round(type_a("repeats", [0.1482, 0.1485, 0.1481, 0.1486]).u_m * 1e3, 6)
    0.119024
    """
    count = len(repeats_m)
    return Term(name, sample_sd_m(repeats_m) / math.sqrt(count), count - 1)


def sample_sd_m(repeats_m: Sequence[float]) -> float:
    """Sample standard deviation of repeats.

    Parameters
    ----------
    repeats_m : sequence of float
        Repeats [m], two or more, finite.

    Returns
    -------
    float
        Standard deviation with one less than their number below the line [m].

    Raises
    ------
    NotAllowedError
        Fewer than two repeats.

    References
    ----------
    JCGM 100:2008 (GUM), 4.2.2.

    Examples
    --------
    >>> round(sample_sd_m([0.1482, 0.1485, 0.1481, 0.1486]) * 1e3, 6)
    0.238048
    """
    count = len(repeats_m)
    if count < 2:
        raise NotAllowedError("repeats", count, "two or more", "Read it again, or take the tool's repeatability.")
    middle = math.fsum(repeats_m) / count
    return math.sqrt(math.fsum((repeat - middle) ** 2 for repeat in repeats_m) / (count - 1))


def rectangular(name: str, half_width_m: float) -> Term:
    """The doubt of a figure that is anywhere within limits, none more likely.

    Parameters
    ----------
    name : str
        Name of the term.
    half_width_m : float
        Half the distance between the limits [m], zero or more.

    Returns
    -------
    Term
        Half-width over the root of 3.

    Raises
    ------
    NotAllowedError
        A negative or non-finite half-width.

    References
    ----------
    JCGM 100:2008 (GUM), 4.3.7.

    Examples
    --------
    >>> round(rectangular("tool limit", 0.00005).u_m * 1e6, 3)
    28.868
    """
    return Term(name, half_width_m / math.sqrt(3), math.inf, half_width_m)


def resolution(step_m: float) -> Term:
    """The doubt from reading to a whole step.

    Parameters
    ----------
    step_m : float
        Smallest step that is read [m], zero or more.

    Returns
    -------
    Term
        Step over the root of 12.

    Raises
    ------
    NotAllowedError
        A negative or non-finite step.

    References
    ----------
    JCGM 100:2008 (GUM), F.2.2.1.

    Examples
    --------
    >>> round(resolution(0.0001).u_m * 1e6, 3)
    28.868
    """
    return rectangular("resolution", step_m / 2)
