"""Factors of interest: what money at one time is worth at another."""

import math

from pitchline.trade.errors import NotAllowedError

_NEAR_NOTHING = 1e-9


def checked_rate(rate: float) -> float:
    """The same rate, when it can be one.

    Parameters
    ----------
    rate : float
        Interest per period [1], 0 up to 1.

    Returns
    -------
    float
        Unchanged [1].

    Raises
    ------
    NotAllowedError
        Below 0, above 1, or no number.

    References
    ----------
    Our own wide bound.
    """
    if not (math.isfinite(rate) and 0 <= rate <= 1):
        raise NotAllowedError("interest", rate, "a share from 0 to 1, such as 0.08", "Enter 8 % as 0.08.")
    return rate


def checked_periods(periods: float) -> float:
    """The same number of periods, when it can be one.

    Parameters
    ----------
    periods : float
        How many [1], above 0.

    Returns
    -------
    float
        Unchanged [1].

    Raises
    ------
    NotAllowedError
        Not above 0, or endless.
    """
    if not (math.isfinite(periods) and periods > 0):
        raise NotAllowedError("periods", periods, "above 0", "Enter how many years or hours it lasts.")
    return periods


def present_of_single(rate: float, periods: float) -> float:
    """Present worth of one unit of money paid after some periods, P/F.

    Parameters
    ----------
    rate : float
        Interest per period [1], 0 up to 1.
    periods : float
        How many [1], 0 or more.

    Returns
    -------
    float
        From 0 to 1 [1].

    Raises
    ------
    NotAllowedError
        A rate or number outside its range.

    References
    ----------
    P/F = (1 + i)^-n; factor tables of engineering economy.

    Examples
    --------
    >>> round(present_of_single(0.08, 10), 5)
    0.46319
    """
    if not (math.isfinite(periods) and periods >= 0):
        raise NotAllowedError("periods", periods, "0 or more", "Enter when it is paid.")
    return math.exp(-periods * math.log1p(checked_rate(rate)))


def present_of_series(rate: float, periods: float) -> float:
    """Present worth of one unit of money paid at the end of each period, P/A.

    Parameters
    ----------
    rate : float
        Interest per period [1], 0 up to 1.
    periods : float
        How many [1], above 0.

    Returns
    -------
    float
        Above 0 [1]; the number of periods itself without interest.

    Raises
    ------
    NotAllowedError
        A rate or number outside its range.

    References
    ----------
    P/A = [1 - (1 + i)^-n] / i; factor tables of engineering economy.

    Examples
    --------
    >>> round(present_of_series(0.08, 10), 4)
    6.7101
    """
    checked_periods(periods)
    if checked_rate(rate) < _NEAR_NOTHING / periods:
        return float(periods)
    return -math.expm1(-periods * math.log1p(rate)) / rate


def series_of_present(rate: float, periods: float) -> float:
    """Payment at the end of each period that is worth one unit of money today, A/P: capital recovery.

    Parameters
    ----------
    rate : float
        Interest per period [1], 0 up to 1.
    periods : float
        How many [1], above 0.

    Returns
    -------
    float
        Above 0 [1].

    Raises
    ------
    NotAllowedError
        A rate or number outside its range.

    References
    ----------
    A/P = i (1 + i)^n / [(1 + i)^n - 1]; factor tables of engineering economy.

    Examples
    --------
    >>> round(series_of_present(0.08, 10), 5)
    0.14903
    """
    return 1.0 / present_of_series(rate, periods)


def series_of_future(rate: float, periods: float) -> float:
    """Payment at the end of each period that grows to one unit of money by the last, A/F: sinking fund.

    Parameters
    ----------
    rate : float
        Interest per period [1], 0 up to 1.
    periods : float
        How many [1], above 0.

    Returns
    -------
    float
        Above 0 [1].

    Raises
    ------
    NotAllowedError
        A rate or number outside its range.

    References
    ----------
    A/F = i / [(1 + i)^n - 1]; factor tables of engineering economy.

    Examples
    --------
    >>> round(series_of_future(0.08, 10), 5)
    0.06903
    """
    return series_of_present(rate, periods) * present_of_single(rate, periods)


def rate_per_hour(rate_per_year: float, hours_per_year: float) -> float:
    """Interest per service hour that adds up to the yearly rate.

    Parameters
    ----------
    rate_per_year : float
        Interest per year [1], 0 up to 1.
    hours_per_year : float
        Service hours in a year [h], above 0.

    Returns
    -------
    float
        Interest per hour [1].

    Raises
    ------
    NotAllowedError
        A rate or number outside its range.

    References
    ----------
    i_h = (1 + i)^(1 / hours per year) - 1, compounding (definition).
    """
    if not (math.isfinite(hours_per_year) and hours_per_year > 0):
        raise NotAllowedError("hours a year", hours_per_year, "above 0", "Enter the usual hours of a year.")
    return math.expm1(math.log1p(checked_rate(rate_per_year)) / hours_per_year)
