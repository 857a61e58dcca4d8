"""Checks of what goes into a plan: each says the field, what was seen, what is allowed and what to do."""

import math
from collections.abc import Sequence

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_figure

MOST_MONEY = 1e9
_SLACK = 1e-9


def check_money(amount: float, field: str, most: float = MOST_MONEY, above_zero: bool = False) -> None:
    """Nothing when a figure is finite and not negative.

    Parameters
    ----------
    amount : float
        The figure [money, or what the field says].
    field : str
        Its name.
    most : float
        The most allowed [unit of amount].
    above_zero : bool
        Whether zero is refused too.

    Raises
    ------
    NotAllowedError
        It is negative, too large or not finite.
    """
    low = amount > 0 if above_zero else amount >= 0
    if not (math.isfinite(amount) and low and amount <= most):
        least = "above 0" if above_zero else "0"
        raise NotAllowedError(
            field,
            amount,
            phrase("a number, {least} to {most}", least=least, most=as_figure(most, "g")),
            "Correct the figure.",
        )


def check_profile(amounts: Sequence[float], field: str, length: int | None = None) -> None:
    """Nothing when every figure of a list is finite and not negative, and there are as many as there should be.

    Parameters
    ----------
    amounts : sequence of float
        The figures [money].
    field : str
        Their name.
    length : int or None
        How many there should be; None leaves it open.

    Raises
    ------
    NotAllowedError
        A figure is negative, too large or not finite, or the length differs.
    """
    if length is None:
        for number, amount in enumerate(amounts):
            check_money(amount, f"{field}, entry {number + 1}")
    elif len(amounts) != length:
        raise NotAllowedError(
            field,
            phrase("{amounts} figures", amounts=len(amounts)),
            phrase("{length} figures, one a step", length=length),
            "Add or delete some.",
        )
    else:
        check_profile(amounts, field)


def check_shares(shares: Sequence[float], field: str) -> None:
    """Nothing when every share lies in 0 to 1 and none is below the one before.

    Parameters
    ----------
    shares : sequence of float
        Chances [1].
    field : str
        Their name.

    Raises
    ------
    NotAllowedError
        A chance leaves 0 to 1 or falls.
    """
    before = 0.0
    for number, share in enumerate(shares):
        where = phrase("{field}, entry {number}", field=field, number=number + 1)
        if not 0 <= share <= 1:
            raise NotAllowedError(where, share, "a chance, 0 to 1", "Correct the chance.")
        if share < before - _SLACK:
            allowed = phrase("{before} or more; the chance never falls", before=as_figure(before, "g"))
            raise NotAllowedError(where, share, allowed, "Correct the chances.")
        before = share


def check_name(name: str, field: str) -> None:
    """Nothing when a name has something in it.

    Raises
    ------
    NotAllowedError
        It is empty.
    """
    if not name.strip():
        raise NotAllowedError(field, "nothing", "a name", "Give it a name.")


def check_names(names: Sequence[str], field: str) -> None:
    """Nothing when no name stands twice and none is empty.

    Raises
    ------
    NotAllowedError
        A name is empty or stands twice.
    """
    for number, name in enumerate(names):
        check_name(name, field)
        if name in names[:number]:
            raise NotAllowedError(field, name, "each name once", "Rename one of the two.")
