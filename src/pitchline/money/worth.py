"""What the running gear of a machine is worth today, and how that differs from a half worn one."""

from dataclasses import dataclass

from pitchline.money.amount import Money
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.saying import Saying
from pitchline.trade.writing import as_figure

HALF = 0.5


@dataclass(frozen=True, slots=True)
class ValuedPart:
    """One part with its price as new and the life it has left.

    Parameters
    ----------
    place : Place
        Which part.
    installed : Money
        What it costs to have it as new again, labour included, without tax.
    cautious, usual, hopeful : float
        Share of its life left [1], from 0 to 1, rising.
    put_right : bool
        Whether it is renewed by the jobs of today.

    Raises
    ------
    NotAllowedError
        Shares that do not rise from 0 to 1.
    """

    place: Place
    installed: Money
    cautious: float
    usual: float
    hopeful: float
    put_right: bool = False

    def __post_init__(self) -> None:
        shares = (self.cautious, self.usual, self.hopeful)
        if not 0 <= shares[0] <= shares[1] <= shares[2] <= 1:
            raise NotAllowedError(
                "life left", ", ".join(as_figure(share, "g") for share in shares), "rising from 0 to 1"
            )

    @property
    def worth_left(self) -> Money:
        """What is left in it: low price with cautious share, high price with hopeful share."""
        new = self.installed
        return Money(
            new.low * self.cautious, new.usual * self.usual, new.high * self.hopeful, self.installed.currency
        )


@dataclass(frozen=True, slots=True)
class Worth:
    """What a machine's running gear is worth today.

    Parameters
    ----------
    as_new : Money
        Everything counted as new again.
    left : Money
        What is left of that by life left, part by part; not above the cap.
    against_half : Money
        The same less what a half worn set would be worth; below 0 for a worse one.
    put_right : Money
        Cost of every priced job on what is unsafe or ruins what is dearer.
    not_priced : tuple of Saying
        Jobs on such parts that are not priced and so in no figure.
    stop : Money or None
        One stop for it; None where the yard has entered no cost of a stop, and nothing where nothing has to be put right.
    capped : bool
        Whether the cap was reached.
    parts : tuple of ValuedPart
        What is counted.
    left_out : tuple of Saying
        What is not counted, and why.

    References
    ----------
    Depreciated replacement cost, part by part (IVSC Guidance Note 8, 2005); see docs/explanation/money.md.
    """

    as_new: Money
    left: Money
    against_half: Money
    put_right: Money
    not_priced: tuple[Saying, ...]
    stop: Money | None
    capped: bool
    parts: tuple[ValuedPart, ...]
    left_out: tuple[Saying, ...]

    @property
    def priced_kinds(self) -> tuple[int, int]:
        """How many kinds of part have a price, and how many have something to be valued by at all."""
        priced = {part.place.part for part in self.parts}
        lacking = {PartKind(one.values["part"]) for one in self.left_out if one.code == "price.job_not_on_list"}
        return len(priced), len(priced | lacking)

    @property
    def is_told(self) -> bool:
        """Whether it says something of the running gear: half the kinds of part it could value have a price. Our own bound."""
        priced, of = self.priced_kinds
        return 2 * priced >= of

    @property
    def half_worn(self) -> Money:
        """What the same parts are worth half worn."""
        return half_of(self.as_new)


def half_of(new: Money) -> Money:
    """What something is worth half worn, from its price as new."""
    return Money(HALF * new.low, HALF * new.usual, HALF * new.high, new.currency)


def worth_left(parts: tuple[ValuedPart, ...], currency: str, cap: float | None = None) -> tuple[Money, bool]:
    """Price as new times life left, summed over parts.

    Parameters
    ----------
    parts : tuple of ValuedPart
        What is counted.
    currency : str
        Its code.
    cap : float or None
        What the whole machine may fetch [currency]; the sum is not let above it. None leaves it as it is.

    Returns
    -------
    tuple of (Money, bool)
        Low prices with cautious shares, high ones with hopeful shares, because the parts of one machine wear well or badly
        together; and whether the cap was reached by the usual figure.

    References
    ----------
    Pro rata by expected life; that a sum of parts can exceed what the whole fetches is known from the appraisal of aircraft.
    """
    each = [part.worth_left for part in parts]
    low, usual, high = (sum(getattr(one, figure) for one in each) for figure in ("low", "usual", "high"))
    if cap is None:
        return Money(low, usual, high, currency), False
    return Money(min(low, cap), min(usual, cap), min(high, cap), currency), usual > cap


def against_half(parts: tuple[ValuedPart, ...], currency: str, once_put_right: bool = False) -> Money:
    """How much better or worse than half worn, in money.

    Parameters
    ----------
    parts : tuple of ValuedPart
        What is counted.
    currency : str
        Its code.
    once_put_right : bool
        Count what today's jobs renew as new, so that nothing is taken off twice where those jobs are paid apart.

    Returns
    -------
    Money
        Sum of price as new times share of life left less a half; below 0 for worse.

    References
    ----------
    Half-life adjustment as in the appraisal of aircraft: value at half life, plus for each part its cost times its share of life
    left less a half.

    Examples
    --------
    >>> from pitchline.trade.parts import PartKind, Side
    >>> half = ValuedPart(Place(PartKind.CHAIN, Side.LEFT), Money(900.0, 1000.0, 1200.0, "EUR"), 0.2, 0.25, 0.3)
    >>> against_half((half,), "EUR")
    Money(low=-360.0, usual=-250.0, high=-180.0, currency='EUR')
    """
    low = usual = high = 0.0
    for part in parts:
        renewed = once_put_right and part.put_right
        shares = (1.0, 1.0, 1.0) if renewed else (part.cautious, part.usual, part.hopeful)
        worst, middle, best = (share - HALF for share in shares)
        low += worst * (part.installed.high if worst < 0 else part.installed.low)
        usual += middle * part.installed.usual
        high += best * (part.installed.low if best < 0 else part.installed.high)
    return Money(low, usual, high, currency)
