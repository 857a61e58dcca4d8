"""What the running gear is worth, and the way from an asking price to an offer, as lines for the screen."""

import textwrap

from pitchline.money.amount import Money
from pitchline.money.bid import Bid
from pitchline.money.worth import Worth
from pitchline.papers import words
from pitchline.papers.worth_told import too_few_said
from pitchline.verdict import Verdict
from pitchline.words import say, translated, worded

_LINE, _FIGURE = 34, 12


def worth_lines(verdict: Verdict, width: int = 80) -> list[str]:
    """What the running gear is worth today, and the offer where a price is asked.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    width : int
        Columns of the screen, from 40.

    Returns
    -------
    list of str
        Empty where nothing could be priced.
    """
    if verdict.worth is None:
        return []
    if not verdict.worth.is_told:
        return _wrapped(too_few_said(verdict.worth), width)
    told = _wrapped(_worth_said(verdict.worth), width)
    if verdict.bid is not None:
        told += ["", *_table(verdict), ""]
        for line in verdict.bid.lines:
            told += _wrapped(f"{words.first_up(say(line.words))}: {say(line.because)}", width)
    if verdict.worth.left_out:
        told += _wrapped(worded("Not counted: {say}.", say="; ".join(map(say, verdict.worth.left_out))), width)
    if verdict.bid is not None:
        told += _wrapped(say(verdict.bid.caution), width)
    return told


def _worth_said(worth: Worth) -> str:
    code = worth.left.currency
    left, new = (words.amount(money.usual, code) for money in (worth.left, worth.as_new))
    over = words.amount(abs(worth.against_half.usual), code)
    spread = words.amount_range(worth.left)
    capped = translated(" Held at the asking price: no more can sit in it.") if worth.capped else ""
    text = (
        translated("Running gear today: {left}{spread} of {new} as new; {over} more than half worn.")
        if worth.against_half.usual >= 0
        else translated("Running gear today: {left}{spread} of {new} as new; {over} less than half worn.")
    )
    said = text.format(left=left, spread=f" ({spread})" if spread else "", new=new, over=over)
    return (said + capped).replace(words.GAP, " ")


def _table(verdict: Verdict) -> list[str]:
    if verdict.bid is None:
        return []
    code = verdict.bid.offer.currency
    head = worded("From asking price to offer, {code}", code=code).ljust(_LINE)
    asked = verdict.bid.lines[0].amount.usual
    rows = [(words.first_up(say(line.words)), line.amount) for line in verdict.bid.lines]
    ends = translated("cautious"), translated("middle"), translated("hopeful")
    told = [head + "".join(name.rjust(_FIGURE) for name in ends)]
    told += [_row(name, money, asked) for name, money in rows]
    return [*told, "-" * (_LINE + 3 * _FIGURE), *_end(verdict.bid)]


def _end(bid: Bid) -> list[str]:
    """The sum, and the offer where it is held below or above it."""
    asked = bid.lines[0].amount.usual
    if bid.offer == bid.worth_it:
        return [_row(translated("Offer"), bid.offer, asked)]
    return [
        _row(translated("Comes to"), bid.worth_it, asked),
        _row(translated("Offer, not above the asking price"), bid.offer, asked),
    ]


def _row(name: str, money: Money, asked: float) -> str:
    each = (money.low, money.usual, money.high)
    figures = (words.amount_as_asked(figure, "", asked).strip() for figure in each)
    return name.ljust(_LINE) + "".join(figure.rjust(_FIGURE) for figure in figures)


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, subsequent_indent="  ")
