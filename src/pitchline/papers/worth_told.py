"""What the running gear is worth, and the way from an asking price to an offer, as a page shows them."""

from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.money.amount import Money
from pitchline.money.bid import NOT_A_VALUATION, Bid
from pitchline.money.tax import with_tax
from pitchline.money.worth import Worth, half_of
from pitchline.papers import names, words
from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.writing import as_figure
from pitchline.verdict import PartVerdict
from pitchline.words import counted, say, translated, worded

BAND_WIDE = 300
_THREE = ("low", "usual", "high")


@dataclass(frozen=True, slots=True)
class Figure:
    """An amount by its name.

    Parameters
    ----------
    name, middle : str
        What it is, and its middle figure.
    cautious, hopeful, spread : str
        The other two, and both as a range; the range is empty where they are alike.
    because : str
        How it comes about; empty where that is said elsewhere.
    """

    name: str
    middle: str
    cautious: str
    hopeful: str
    spread: str
    because: str = ""


@dataclass(frozen=True, slots=True)
class PartWorth:
    """A part and what is left in it.

    Parameters
    ----------
    name : str
        The part.
    life, life_spread : str
        Share of its life left, and the range; empty where there is none.
    now, half, new : Figure
        Worth left in it; half worn; as new.
    put_right : bool
        Whether it is renewed by what has to be put right today.
    """

    name: str
    life: str
    life_spread: str
    now: Figure
    half: Figure
    new: Figure
    put_right: bool


@dataclass(frozen=True, slots=True)
class WorthTold:
    """What the running gear is worth, and what that does to an asking price.

    Parameters
    ----------
    said : str
        All of it in one sentence.
    figures : tuple of Figure
        Worth now, as new, half worn.
    lines : tuple of Figure
        From the asking price to the offer; none without an asking price.
    change : Figure or None
        What running gear and work due today do to the asking price; None without one.
    not_in_it : tuple of str
        What no figure counts, and why.
    held : str
        Whether the asking price holds the worth, or what it adds, in a sentence; empty where it does not.
    low, middle, wide : int
        Where the range begins, where the worth stands and how wide the range is, of `BAND_WIDE` for as new.
    caution : str
        What it is not.
    too_few : str
        That too few prices are entered for any of it to be shown; empty where there are enough.
    """

    said: str
    figures: tuple[Figure, Figure, Figure]
    lines: tuple[Figure, ...]
    change: Figure | None
    not_in_it: tuple[str, ...]
    held: str
    low: int
    middle: int
    wide: int
    caution: str
    too_few: str
    half: int = BAND_WIDE // 2

    @property
    def offer(self) -> Figure | None:
        """The offer; None without an asking price."""
        return self.lines[-1] if self.lines else None


def told_worth(worth: Worth, offer: Bid | None) -> WorthTold:
    """What a page shows of a worth and of the offer it leads to."""
    left, new = worth.left, max(worth.as_new.usual, 1e-9)
    low, middle, high = (round(BAND_WIDE * min(getattr(left, each) / new, 1.0)) for each in _THREE)
    change = None
    if offer is not None:
        asked = offer.lines[0].amount.usual
        change = _figure(translated("Change to the asking price"), _less(offer.offer, asked))
    return WorthTold(
        said=_sentence(worth, offer),
        figures=(
            _figure(translated("Running gear worth now"), left),
            _figure(translated("As new"), worth.as_new),
            _figure(translated("Half worn"), worth.half_worn),
        ),
        lines=_lines(offer) if offer is not None else (),
        change=change,
        not_in_it=(
            *map(say, worth.left_out),
            *(worded("{one}: not priced, and so not taken off", one=say(one)) for one in worth.not_priced),
        ),
        held=_held(worth, offer),
        low=low,
        middle=middle,
        wide=max(high - low, 2),
        caution=say(NOT_A_VALUATION),
        too_few=too_few_said(worth),
    )


def too_few_said(worth: Worth) -> str:
    """That a worth would be told by too few prices; empty where enough are entered."""
    priced, of = worth.priced_kinds
    return (
        ""
        if worth.is_told
        else counted(
            "{n} of {of} kinds of part has a price: too few to say what the running gear is worth.",
            "{n} of {of} kinds of part have a price: too few to say what the running gear is worth.",
            priced,
        ).format(n=priced, of=of)
    )


def worth_line(worth: Worth) -> str:
    """What the running gear is worth, in a sentence or two for whoever buys: no offer in it."""
    if not worth.is_told:
        return too_few_said(worth)
    told = told_worth(worth, None)
    now, new, half = told.figures
    against = worth.against_half
    amount = words.amount(abs(against.usual), against.currency)
    than = _against_half(amount, against.usual)
    left_out = worded(" Not in it: {not_in_it}.", not_in_it="; ".join(told.not_in_it)) if told.not_in_it else ""
    return worded(
        "Running gear worth about {middle} now ({spread}), {than}; as new {middle_2}, half worn {middle_3}, by "
        "the yard's prices.{left_out}",
        middle=now.middle,
        spread=now.spread,
        than=than,
        middle_2=new.middle,
        middle_3=half.middle,
        left_out=left_out,
    )


def _against_half(amount: str, over: float) -> str:
    if over >= 0:
        return worded("{amount} more than half worn", amount=amount)
    return worded("{amount} less than half worn", amount=amount)


def part_worths(worth: Worth, gear: RunningGear, parts: Sequence[PartVerdict] = ()) -> tuple[PartWorth, ...]:
    """Every part that is counted, with what is left in it; a star behind what goes by an assumed limit."""
    chain = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK)
    assumed = {part.place for part in parts if part.assumed_limit}
    # A chain's life left is that of its link rails or its bushes.
    assumed |= {Place(PartKind.CHAIN, place.side) for place in assumed if place.part in chain}
    return tuple(
        PartWorth(
            names.place_said(part.place, gear),
            words.percent(part.usual) + (words.ASSUMED_MARK if part.place in assumed else ""),
            _percents(part.cautious, part.hopeful),
            _figure(translated("Worth left in it"), part.worth_left),
            _figure(translated("Half worn"), half_of(part.installed)),
            _figure(translated("As new"), part.installed),
            part.put_right,
        )
        for part in worth.parts
    )


def with_tax_said(offer: Bid, rate: float) -> Figure:
    """The offer with tax on it."""
    return _figure(
        worded("Offer with {rate} % tax", rate=as_figure(rate * 100, ".4g")), with_tax(offer.offer, rate).gross
    )


def _percents(cautious: float, hopeful: float) -> str:
    low, high = (words.percent(share) for share in (cautious, hopeful))
    return "" if low == high else words.between(low, high)


def _less(money: Money, amount: float) -> Money:
    return Money(money.low - amount, money.usual - amount, money.high - amount, money.currency)


def _figure(name: str, money: Money, because: str = "", asked: float | None = None) -> Figure:
    each = (words.amount_as_asked(getattr(money, one), money.currency, asked) for one in _THREE)
    low, middle, high = (said.replace("-", "−") for said in each)
    return Figure(name, middle, low, high, words.amount_range(money).replace("-", "−"), because)


def _lines(offer: Bid) -> tuple[Figure, ...]:
    """The lines, what they come to where that is not the offer, and the offer."""
    asked = offer.lines[0].amount.usual
    lines = [
        _figure(words.first_up(say(line.words)), line.amount, say(line.because), asked) for line in offer.lines
    ]
    if offer.offer == offer.worth_it:
        return (*lines, _figure(translated("Offer"), offer.offer, translated("The sum of these lines."), asked))
    held = translated("Never above the asking price, and never below nothing.")
    return (
        *lines,
        _figure(translated("Comes to"), offer.worth_it, translated("The sum of these lines.")),
        _figure(translated("Offer"), offer.offer, held, asked),
    )


def _sentence(worth: Worth, offer: Bid | None) -> str:
    code = worth.left.currency
    now, new = (words.amount(money.usual, code) for money in (worth.left, worth.as_new))
    over = worth.left.usual - worth.half_worn.usual
    half = _against_half(words.amount(abs(over), code), over)
    priced, of = worth.priced_kinds
    said = (
        worded(
            "{n} of {of} kinds of part have a price: these alone, as far as they were read, would cost {new} as new and are "
            "worth {now} now, {half}",
            n=priced,
            of=of,
            new=new,
            now=now,
            half=half,
        )
        if priced < of
        else worded(
            "As far as it was read, the running gear would cost {new} as new and is worth {now} now, {half}",
            new=new,
            now=now,
            half=half,
        )
    )
    if offer is None:
        return f"{said}."
    cured = -sum(line.amount.usual for line in offer.lines[1:3])
    said_cured = words.amount(cured, code)  # more than the job alone, which stands on the same page
    if offer.lines[2].amount.usual:
        first = worded("with {cured} to put right before it works, the lay-up included, ", cured=said_cured)
    else:
        first = worded("with {cured} to put right before it works, ", cured=said_cured) if cured else ""
    price = offer.lines[0].amount.usual
    asked, made = (words.amount_as_asked(amount, code, price) for amount in (price, offer.offer.usual))
    if price == offer.offer.usual:
        return worded("{said}; {first}the offer is the whole {asked} asked.", said=said, first=first, asked=asked)
    return worded(
        "{said}; {first}{asked} asked makes an offer of {made}.", said=said, first=first, asked=asked, made=made
    )


def _held(worth: Worth, offer: Bid | None) -> str:
    if worth.capped:
        return translated(
            "The worth is held at the asking price: no more can sit in the running gear than is asked for the machine."
        )
    if offer is not None and offer.capped:
        return translated(
            "What the running gear adds is cut: no more can sit in it than is asked for the machine."
        )
    return ""
