"""A template tag: a small part of a page, remembered by all the values it shows.

    {% remembered line.key choosing %}<tr>...</tr>{% endremembered %}

The values are compared, never looked into: texts, numbers, dates, tuples and frozen dataclasses of them. A row of the database is
no such value, because two rows with one key are equal whatever they hold; it is refused.
"""

import re
from collections import OrderedDict
from itertools import count
from threading import Lock

from django.db.models import Model
from django.template import Context, Node, NodeList, TemplateSyntaxError
from django.template.base import FilterExpression, Parser, Token
from django.utils.safestring import SafeString

from pitchline.trade.writing import way_in_force

MOST = 8192
"""Parts remembered by one process; the one not shown for longest goes first."""
_KNOWN: OrderedDict[object, SafeString] = OrderedDict()
_LOCK = Lock()
_NUMBERS = count()


class RememberedNode(Node):
    """Renders what it holds once for each set of values."""

    def __init__(self, values: list[FilterExpression], nodelist: NodeList) -> None:
        self.values, self.nodelist, self.number = values, nodelist, next(_NUMBERS)

    def render(self, context: Context) -> SafeString:
        """What it holds, as it was rendered for these values before, or now."""
        values = tuple(value.resolve(context) for value in self.values)
        if any(isinstance(value, Model) for value in values):
            raise TemplateSyntaxError("remembered: a row is no value to remember by; name the values it shows")
        key = (self.number, way_in_force(), values)
        with _LOCK:
            known = _KNOWN.get(key)
            if known is not None:
                _KNOWN.move_to_end(key)
                return known
        made = SafeString(
            re.sub(r"\n{2,}", "\n", self.nodelist.render(context))
        )  # tags leave empty lines, tens to a reading
        with _LOCK:
            _KNOWN[key] = made
            while len(_KNOWN) > MOST:
                _KNOWN.popitem(last=False)
        return made


def remembered(parser: Parser, token: Token) -> RememberedNode:
    """The tag: its values, then what it holds, up to endremembered."""
    values = [parser.compile_filter(bit) for bit in token.split_contents()[1:]]
    if not values:
        raise TemplateSyntaxError("remembered: name every value the part shows")
    nodelist = parser.parse(("endremembered",))
    parser.delete_first_token()
    return RememberedNode(values, nodelist)
