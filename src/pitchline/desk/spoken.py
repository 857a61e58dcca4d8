"""The words of a template pass through the catalogue, without a mark on any of them.

When a template is loaded, each run of words between two elements, and each attribute that is read out, is set between the two
tags spoken and endspoken. In English they show what they hold. In another language they look up the run, with its values as
`{name}` and elements inside a sentence such as `<b>` as they stand. So nothing in a template can be forgotten or stands twice.
"""

import re
from collections.abc import Callable
from copy import copy

from django.template import Context, Node, NodeList
from django.template.base import FilterExpression, Parser, TextNode, Token, VariableNode
from django.utils.functional import lazy
from django.utils.safestring import SafeString, mark_safe

from pitchline.trade.writing import ENGLISH, way_in_force
from pitchline.words.catalogue import counted, translated

_PIECE = re.compile(
    r"""\{%-?\s*(?P<block>\w+).*?%\} | (?P<value>\{\{.*?\}\}) | \{\#.*?\#\} | <!--.*?--> | <!.*?>
    | <(?P<closes>/?)(?P<element>[a-zA-Z][\w-]*)(?:"(?:\{%.*?%\}|\{\{.*?\}\}|[^"])*"|\{%.*?%\}|\{\{.*?\}\}|[^>"])*>""",
    re.DOTALL | re.VERBOSE,
)
_INSIDE_SENTENCES = frozenset(
    (
        "a",
        "abbr",
        "b",
        "bdi",
        "br",
        "code",
        "em",
        "i",
        "kbd",
        "small",
        "span",
        "strong",
        "sub",
        "sup",
        "time",
        "wbr",
    )
)
_WITHOUT_END = frozenset(("br", "wbr"))
_READ_OUT = re.compile(
    r"""(?P<before>\s(?:title|aria-label|aria-description|aria-roledescription|placeholder|alt|data-said|data-say-[\w-]+)=")
    (?P<words>(?:\{%.*?%\}|\{\{.*?\}\}|[^"])*)(?=")""",
    re.DOTALL | re.VERBOSE,
)
_UNREAD = {
    "script": "</script>",
    "style": "</style>",
    "comment": "{% endcomment %}",
    "verbatim": "{% endverbatim %}",
}
_LETTER = re.compile(r"[^\W\d_]")
_ENTITY = re.compile(r"&#?\w+;")
_NAME = re.compile(r"\{(\w+)\}")
Piece = tuple[str, re.Match[str] | None]


def _with(text: str, **values: object) -> str:
    return translated(text).format(**values) if values else translated(text)


later: Callable[..., str] = lazy(_with, str)
"""A text in the language in force whenever it is shown, with its values: of forms and tables, which are made once for all."""


def spoken(source: str) -> str:
    """A template's source, with each run of words set between the two tags."""
    made: list[str] = []
    run: list[Piece] = []
    at = 0
    while at < len(source):
        found = _PIECE.search(source, at)
        end = found.start() if found else len(source)
        if end > at:
            run.append((source[at:end], None))
        if found is None:
            break
        at = found.end()
        if _may_stand_in_a_sentence(found):
            run.append((found[0], found))
            continue
        made.append(_marked(run))
        run = []
        unread = _UNREAD.get((found["element"] or found["block"] or "").lower()) if not found["closes"] else None
        if unread:
            stop = source.find(unread, at)
            at = len(source) if stop < 0 else stop
            made.append(source[found.start() : at])
        else:
            made.append(_READ_OUT.sub(_attribute, found[0]) if found["element"] else found[0])
    made.append(_marked(run))
    return "".join(made)


def _may_stand_in_a_sentence(found: re.Match[str]) -> bool:
    if found["value"]:
        return True
    plain = found["element"] in _INSIDE_SENTENCES and "{%" not in found[0]
    return plain and not any(_has_words(one["words"]) for one in _READ_OUT.finditer(found[0]))


def _has_words(text: str) -> bool:
    return bool(_LETTER.search(_ENTITY.sub("", _PIECE.sub("", text))))


def _attribute(found: re.Match[str]) -> str:
    return found["before"] + "".join(
        _set(part) if not part.startswith("{%") else part for part in re.split(r"(\{%.*?%\})", found["words"])
    )


def _marked(run: list[Piece]) -> str:
    """A run between two elements; an element without another end here, or with nothing said around it, cuts it."""
    ends = _ends(run)
    depth, outside = 0, ""
    for number, (text, found) in enumerate(run):
        if number in ends or (found and found["element"]):
            depth += 1 if number in ends else -1 if number in ends.values() else 0
        elif not depth:
            outside += text
    whole = _has_words(outside)
    made, part, number = [], "", 0
    while number < len(run):
        text, found = run[number]
        end = ends.get(number)
        if end is not None and not whole:
            made += [_set(part), text, _marked(run[number + 1 : end]), run[end][0]]
            part, number = "", end
        elif end is not None:
            part += "".join(piece for piece, _ in run[number : end + 1])
            number = end
        elif found and found["element"] and found["element"] not in _WITHOUT_END:
            made += [_set(part), text]
            part = ""
        else:
            part += text
        number += 1
    return "".join([*made, _set(part)])


def _ends(run: list[Piece]) -> dict[int, int]:
    """Where each element that both begins and ends in a run does."""
    opened: list[int] = []
    ends = {}
    for number, (_, found) in enumerate(run):
        if found is None or not found["element"] or found["element"] in _WITHOUT_END:
            continue
        if not found["closes"]:
            opened.append(number)
        elif opened and run[opened[-1]][0].startswith(f"<{found['element']}"):
            ends[opened.pop()] = number
    return ends


def _set(part: str) -> str:
    """Words between the two tags, and what is white around them outside."""
    if not _has_words(part):
        return part
    words = part.strip()
    before, _, after = part.partition(words)
    return f"{before}{{% spoken %}}{words}{{% endspoken %}}{after}"


class SpokenNode(Node):
    """A run of words; `words` is what the catalogue knows it by."""

    def __init__(self, nodelist: NodeList) -> None:
        self.nodelist = nodelist
        self.values: dict[str, Node] = {}
        self.number: FilterExpression | None = None
        made = [self._ends(node) or self._same(node) for node in nodelist]
        one, more = (re.sub(r"\s+", " ", "".join(each)) for each in zip(*made, strict=True))
        self.words: str | tuple[str, str] = (one, more) if self.number is not None else more

    def _ends(self, node: Node) -> tuple[str, str] | None:
        """What is said of one and of several where a value is only the end of a word, and the number that decides."""
        if not isinstance(node, VariableNode):
            return None
        last = node.filter_expression.filters[-1:]
        if not last or last[0][0].__name__ != "pluralize":
            return None
        self.number = copy(node.filter_expression)
        self.number.filters = self.number.filters[:-1]
        ends = last[0][1][0][1].split(",") if last[0][1] else ["s"]
        return (ends[0] if len(ends) > 1 else "", ends[-1])

    def _same(self, node: Node) -> tuple[str, str]:
        part = node.s if isinstance(node, TextNode) else f"{{{self._name(node)}}}"
        return part, part

    def _name(self, node: Node) -> str:
        if not isinstance(node, VariableNode):
            raise TypeError(f"{node!r} stands inside a run of words")
        bare = re.sub(r"\W", "_", node.filter_expression.token.split("|")[0].split(".")[-1]).strip("_") or "value"
        name, number = bare, 2
        while name in self.values and str(self.values[name]) != str(node):
            name, number = f"{bare}{number}", number + 1
        self.values[name] = node
        return name

    def render(self, context: Context) -> SafeString:
        """The run in the language in force."""
        if way_in_force().language == ENGLISH:
            return self.nodelist.render(context)
        shown = {name: str(node.render_annotated(context)) for name, node in self.values.items()}
        if self.number is not None and isinstance(self.words, tuple):
            words = counted(*self.words, int(self.number.resolve(context)))
        else:
            words = translated(str(self.words))
        said = _NAME.sub(lambda found: shown.get(found[1], found[0]), words)
        return mark_safe(said)  # noqa: S308 - the words are the template's or the catalogue's, the values escaped as they were shown


def spoken_tag(parser: Parser, token: Token) -> SpokenNode:
    """The tag: a run of words, up to endspoken."""
    nodelist = parser.parse(("endspoken",))
    parser.delete_first_token()
    return SpokenNode(nodelist)
