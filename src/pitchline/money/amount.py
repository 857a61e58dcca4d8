"""An amount of money with its range."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Money:
    """An amount as three figures in one currency.

    Parameters
    ----------
    low, usual, high : float
        Amount, rising [currency].
    currency : str
        Code such as "EUR".
    """

    low: float
    usual: float
    high: float
    currency: str
