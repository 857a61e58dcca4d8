"""A remembered part of a page shows nothing but what it is remembered by: else one business would be shown another's text."""

from pathlib import Path

import pytest
from django.template import Context, Engine, Template
from django.template.base import FilterExpression, Node, Variable
from django.template.defaulttags import ForNode, WithNode
from django.template.loader import get_template
from django.template.loader_tags import IncludeNode

from pitchline.desk import people
from pitchline.desk.fragment_cache import RememberedNode

TEMPLATES = sorted(
    path.relative_to(path.parents[len(path.parts) - path.parts.index("templates") - 2]).as_posix()
    for path in Path(people.__file__).parents[1].rglob("templates/**/*.html")
    if "{% remembered " in path.read_text(encoding="utf-8")
)

MADE_FROM = {
    "line.key": ("line", "one"),
    "place.seen": ("place.was_seen", "place.seen_marks"),
    "place.last_seen": ("place.before",),
    "shown.hows": ("shown.pattern",),
}
"""What is made from a named value and nothing beside the other named ones (`yard/rows.py`,
`walkround/fields.py`, `walkround/pages.py`)."""
NEVER_SET = {
    "walkround/table.html": {"folded", "whole", "compact"},
    "walkround/part.html": {"folded", "compact"},
    "walkround/stage.html": {"compact"},
}
"""What an included template asks for and this page gives to no part that is remembered here, or to each alike."""


def free_in(thing, bound=frozenset()):
    """Every variable a piece of a template looks up, as it is written, that the piece does not bind itself."""
    if isinstance(thing, Variable):
        if thing.lookups is not None and thing.lookups[0] not in bound:
            yield ".".join(map(str, thing.lookups))
    elif isinstance(thing, FilterExpression):
        yield from free_in(thing.var, bound)
        for _, arguments in thing.filters:
            yield from free_in([each for is_variable, each in arguments if is_variable], bound)
    elif isinstance(thing, ForNode):
        yield from free_in([thing.sequence, thing.nodelist_empty], bound)
        yield from free_in(thing.nodelist_loop, bound | {*thing.loopvars, "forloop"})
    elif isinstance(thing, WithNode):
        yield from free_in(thing.extra_context, bound)
        yield from free_in(thing.nodelist, bound | thing.extra_context.keys())
    elif isinstance(thing, IncludeNode):
        yield from free_in(thing.extra_context, bound)
        inside = bound | thing.extra_context.keys()
        yield from free_in(get_template(thing.template.resolve(Context())).template.nodelist, inside)
    elif isinstance(thing, dict):
        yield from free_in(list(thing.values()), bound)
    elif isinstance(thing, (list, tuple)):
        for one in thing:
            yield from free_in(one, bound)
    elif isinstance(thing, Node) or hasattr(thing, "first") or type(thing).__name__ == "TemplateLiteral":
        held = {name: value for name, value in vars(thing).items() if name not in ("origin", "token", "parent")}
        yield from free_in(held, bound)


def unnamed_in(node):
    """What a remembered part shows and is not remembered by."""
    named = [".".join(map(str, value.var.lookups)) for value in node.values]
    named += [one for name in named for one in MADE_FROM.get(name, ())]
    shown = set(free_in(node.nodelist)) - {"True", "False", "None"}
    return {one for one in shown if not any(one == name or one.startswith(f"{name}.") for name in named)}


@pytest.mark.parametrize(
    ("text", "unnamed"),
    [
        (
            "{% remembered a %}{{ a.b }}{% for c in a.d %}{{ c }}{{ forloop.counter }}{% endfor %}{% endremembered %}",
            set(),
        ),
        ("{% remembered a.b %}{{ a.b }}{{ a.c }}{% endremembered %}", {"a.c"}),
        ("{% remembered a %}{% if a and b.c %}x{% elif d == 2 %}y{% endif %}{% endremembered %}", {"b.c", "d"}),
        ("{% remembered a %}{{ a|default:b }}{% url 'machine' c %}{% endremembered %}", {"b", "c"}),
        ("{% remembered a %}{% with b=a c=d %}{{ b }}{{ c }}{% endwith %}{{ b }}{% endremembered %}", {"b", "d"}),
    ],
)
def test_a_forgotten_name_is_found(text, unnamed):
    (node,) = Template(text).nodelist.get_nodes_by_type(RememberedNode)
    assert unnamed_in(node) == unnamed


def test_templates_are_found():
    assert "yard/yard.html" in TEMPLATES


@pytest.mark.parametrize("name", TEMPLATES)
def test_each_part_is_remembered_by_all_it_shows(name):
    template = get_template(name).template
    assert isinstance(template.engine, Engine)
    found = template.nodelist.get_nodes_by_type(RememberedNode)
    assert found
    assert {one for node in found for one in unnamed_in(node)} - NEVER_SET.get(name, set()) == set()
