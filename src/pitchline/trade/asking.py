"""What is asked for a whole machine."""

from dataclasses import dataclass

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.writing import as_figure

MOST = 1e12
"""Our own wide bound: dear machines in small currencies stay below it."""


def checked_currency(code: str) -> str:
    """The same code, when it has the form of one.

    Raises
    ------
    NotAllowedError
        Anything but three capital letters.

    References
    ----------
    The form of ISO 4217.
    """
    if not (len(code) == 3 and code.isascii() and code.isalpha() and code.isupper()):
        raise NotAllowedError("currency", code, "three capital letters, such as EUR")
    return code


@dataclass(frozen=True, slots=True)
class AskingPrice:
    """What is asked for a whole machine, without tax.

    Parameters
    ----------
    amount : float
        Above 0 [currency].
    currency : str
        Its code.

    Raises
    ------
    NotAllowedError
        An amount that is not above 0, or no code.
    """

    amount: float
    currency: str

    def __post_init__(self) -> None:
        if not 0 < self.amount <= MOST:
            raise NotAllowedError("asking price", self.amount, "above 0", "Enter what is asked, without tax.")
        checked_currency(self.currency)

    @property
    def told(self) -> str:
        """For reading, as numbers are written.

        Examples
        --------
        >>> AskingPrice(48_000.0, "EUR").told
        'EUR 48,000'
        """
        form = ",.0f" if self.amount == round(self.amount) else ",.2f"
        return f"{self.currency} {as_figure(self.amount, form)}"

    @property
    def said(self) -> str:
        """As it can be typed again.

        Examples
        --------
        >>> AskingPrice(48_000.0, "EUR").said
        'EUR 48000'
        """
        cents = f"{self.amount:.2f}".removesuffix(".00")
        return f"{self.currency} {cents if float(cents) == self.amount else format(self.amount, '.4f')}"
