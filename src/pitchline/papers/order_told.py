"""An order list without a plan, in words."""

from pitchline.papers import words
from pitchline.stops.order import OrderList
from pitchline.trade.parts import PartKind
from pitchline.trade.saying import saying
from pitchline.trade.writing import as_figure
from pitchline.words import say
from pitchline.words.labels import singular


def shelved_said(what: str) -> str:
    """What lies on a shelf, by name.

    Parameters
    ----------
    what : str
        One of `SHELVED`.
    """
    return singular(PartKind(what)) if what in list(PartKind) else say(saying(f"order.{what}"))


def order_lines(order: OrderList) -> list[tuple[str, str, str]]:
    """How many, what, and what to know of it: parts, what is used up, and what nobody counted.

    Parameters
    ----------
    order : OrderList
        The list.
    """
    return [
        ("?" if one.count is None else as_figure(one.count, ","), words.first_up(say(one.words)), say(one.known))
        for one in (*order.parts, *order.consumables, *order.ask)
    ]
