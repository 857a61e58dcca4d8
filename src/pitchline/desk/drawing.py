"""Drawings on a page: the same SVG as everywhere, its style rules in a style sheet, its parts leading to their pages."""

from collections.abc import Mapping
from xml.etree.ElementTree import Element, fromstring, register_namespace, tostring

from django.templatetags.static import static
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from pitchline.picture.ink import page_rules
from pitchline.picture.measured import TALL as MEASURED_TALL
from pitchline.picture.measured import WIDE as MEASURED_WIDE
from pitchline.picture.measured import measured
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.words import worded

SVG = "http://www.w3.org/2000/svg"
PREFIXES = tuple(
    f"{name}{small}"
    for name in ("side", "gear", "part", "record", "yard", "strip", "going", "slew", "slip", "slope")
    for small in ("", "small")
)
KIND = "drawn"
"""The class of every drawing on a page, beside its own."""
WIDE, SMALL = 1120, 340
"""Widths drawn [CSS pixels]: the desk's column, and a phone."""


def drawing_css() -> str:
    """Style rules of the drawings a page may hold, as they stand in static/desk/drawing.css."""
    head = "/* Made by pitchline.desk.drawing.drawing_css from picture/ink.py; a test compares them. */\n"
    return head + page_rules(PREFIXES, KIND) + "\n"


def inline(svg: str, prefix: str, links: Mapping[str, tuple[str, str]]) -> SafeString:
    """A drawing for the inside of a page.

    Parameters
    ----------
    svg : str
        From `picture`.
    prefix : str
        Beginning of its ids, as it was drawn.
    links : mapping of str to (str, str)
        Place keys, such as "idler/left/1", to the address of the part's page and its name.

    Returns
    -------
    SafeString
        Without a style element; each part that is drawn by itself is a link.

    References
    ----------
    Our own; links in SVG after SVG 2, section 16.2 (section from memory).
    """
    root = fromstring(svg)  # noqa: S314  our own drawing, written a moment ago
    for parent in list(root.iter()):
        if parent.get("class") == prefix:
            parent.set("class", f"{KIND} {prefix}")
        for child in list(parent):
            if child.tag == f"{{{SVG}}}style":
                parent.remove(child)
    wanted = {f"{prefix}-{key.replace('/', '-').replace('_', '-')}": goal for key, goal in links.items()}
    linked = _link_all(root, wanted)
    if linked:
        root.set("role", "group")
    register_namespace("", SVG)  # again: a library that draws too may have named it otherwise since
    return mark_safe(tostring(root, encoding="unicode"))  # noqa: S308  our own drawing, every text in it escaped


def _link_all(root: Element, wanted: Mapping[str, tuple[str, str]]) -> int:
    linked = 0
    for parent in list(root.iter()):
        for place, child in enumerate(list(parent)):
            goal = wanted.get(child.get("id", ""))
            if goal is not None:
                linked += 1
                link = Element(f"{{{SVG}}}a", {"href": goal[0], "class": "to-part", "aria-label": goal[1]})
                parent.remove(child)
                child.attrib.pop("role", None)
                child.attrib.pop("aria-label", None)
                link.append(child)
                parent.insert(place, link)
    return linked


def measured_files() -> dict[str, str]:
    """The small pictures of what is measured, by their name in static/desk/measured: loaded once, and kept for good."""
    drawn = ((one, whole) for one in Measurand for whole in (False, MEASURANDS[one].spans_joints))
    return {_file_of(one, of_one): measured(one, of_one).svg() for one, of_one in drawn}


def _file_of(measurand: Measurand, of_one: bool) -> str:
    return f"{measurand.value}{'-of-one' if of_one and MEASURANDS[measurand].spans_joints else ''}.svg"


def measured_address(measurand: Measurand, of_one: bool = False) -> str:
    """Where the small picture of what is measured is found."""
    return static(f"desk/measured/{_file_of(measurand, of_one)}")


def measured_picture(
    quantity: str, of_one: bool = False, captioned: bool = True, linked: bool = False
) -> SafeString:
    """The small picture of what is measured, told in words; without caption where what it is called stands beside it.

    The quantity may stand behind a part, as in the names of fields. Linked, it leads to how it is read in the primer.
    """
    measurand = Measurand(quantity.rpartition(":")[2])
    picture = measured(measurand, of_one)
    caption = format_html("<figcaption>{}</figcaption>", picture.label) if captioned else ""
    opened = closed = ""
    if linked:
        goal = f"{reverse('primer-lesson', args=['measuring'])}#{measurand.value}"
        said = worded("{quantity}, in the primer", quantity=picture.label)
        opened, closed = format_html('<a href="{}" aria-label="{}">', goal, said), mark_safe("</a>")
    return format_html(
        '<figure class="measured">{}<img src="{}" width="{}" height="{}" alt="{}">{}{}</figure>',
        opened,
        measured_address(measurand, of_one),
        round(MEASURED_WIDE),
        round(MEASURED_TALL),
        picture.told,
        closed,
        caption,
    )
