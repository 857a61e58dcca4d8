"""An order list without a plan, in words."""

from pitchline.papers import words
from pitchline.stops.order import OrderList
from pitchline.trade.writing import as_figure
from pitchline.words import say


def order_lines(order: OrderList) -> list[tuple[str, str, str]]:
    """How many, what, and what to know of it: parts, what is used up, and what nobody counted.

    Parameters
    ----------
    order : OrderList
        The list.
    """
    return [
        ("?" if one.count is None else as_figure(one.count, ","), words.first_up(say(one.words)), say(one.note))
        for one in (*order.parts, *order.consumables, *order.ask)
    ]
