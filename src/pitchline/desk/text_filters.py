"""Template filters: values in words, by the same words as the papers; no figure is computed here."""

import datetime as dt
from collections.abc import Mapping
from typing import Any
from urllib.parse import quote, urlsplit

from django import template
from django.contrib.messages.storage.base import Message
from django.http import HttpRequest
from django.template import Context
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from pitchline.desk.drawing import measured_picture
from pitchline.desk.fragment_cache import remembered
from pitchline.desk.loopback import is_loopback
from pitchline.desk.posts import MOST_NAME, MOST_REASON, Reason
from pitchline.desk.problems import in_language
from pitchline.desk.spoken import spoken_tag
from pitchline.desk.uploads import LARGEST_FILE_MB, LARGEST_PHOTO_MB, LARGEST_POCKET_MB
from pitchline.papers import words
from pitchline.trade.errors import Problem
from pitchline.trade.writing import as_day, marked
from pitchline.words import label, say, translated
from pitchline.words.catalogue import is_nothing, seen_said

register = template.Library()
register.tag("remembered", remembered)
register.tag("spoken", spoken_tag)
register.filter(marked)
register.filter(say)
register.filter(label)
register.filter(translated)
register.filter(seen_said)
register.filter(is_nothing)
register.simple_tag(measured_picture)


@register.simple_tag
def largest(kind: str) -> str:
    """How large a file of a kind may be, such as "20 MB": a photo or document kept, a file brought in, one a phone saved."""
    largest_mb = {"photo": LARGEST_PHOTO_MB, "file": LARGEST_FILE_MB, "pocket": LARGEST_POCKET_MB}
    return f"{largest_mb[kind]} MB"


@register.simple_tag(takes_context=True)
def wrong(context: Context, mark: str, *called: str) -> SafeString:
    """What is wrong with a field, to stand beside it: the page's problems with what a field is called. Empty where nothing is.

    The field names it by `aria-describedby="wrong-…"`, so it is there before anything is wrong.
    """
    found = [in_language(one) for one in _problems_of(context, *called)]
    nothing, other = translated("Nothing is entered. Allowed: {}. {}"), translated("“{}”. Allowed: {}. {}")
    told = format_html_join(
        " ",
        "{}",
        (
            (format_html(nothing, one.allowed, one.next_step),)
            if is_nothing(one.seen)
            else (format_html(other, one.seen, one.allowed, one.next_step),)
            for one in found
        ),
    )
    return format_html('<p class="wrong-said" id="wrong-{}">{}</p>', mark, told)


def _problems_of(context: Context, *called: str) -> list[Problem]:
    names = {*called, *map(translated, called)}
    return [one for one in context.get("problems") or () if one.field in names]


@register.simple_tag(takes_context=True)
def invalid(context: Context, called: str) -> SafeString:
    """What tells a reader's aid that a field is wrong; empty where it is not."""
    return SafeString(' aria-invalid="true"' if _problems_of(context, called) else "")


@register.simple_tag(takes_context=True)
def field_of(context: Context, problem: Problem | Mapping[str, str]) -> SafeString | str:
    """The field a problem is about, leading to it where it is one of the page's table; a sentence begins with it."""
    cells = [cell for line in context.get("lines") or () for cell in getattr(line, "cells", ())]
    cells += [one for one in (context.get("same_source"),) if one is not None]
    field = (
        problem["field"] if isinstance(problem, Mapping) else problem.field
    )  # a list keeps its problems as JSON
    told = translated(field)
    mark = next((cell.name for cell in cells if field in (cell.called, translated(cell.called))), "")
    return format_html('<a href="#wrong-{}">{}</a>', mark, up_first(told)) if mark else told


@register.simple_tag(takes_context=True)
def and_back(context: Context) -> str:
    """What is put behind an address, so that its form leads back to this page."""
    return f"?next={quote(context['request'].get_full_path())}"


@register.inclusion_tag("desk/why.html", takes_context=True)
def why(context: Context, label: str, mark: str = "why", required: bool = True) -> dict[str, Any]:
    """The field for a reason, as the form reads it, with what was typed and what is wrong with it."""
    attrs: dict[str, str | bool] = {"id": mark, "required": required, "aria-describedby": f"wrong-{mark}"}
    box = Reason(initial={"why": context.get("why", "")})["why"].as_widget(attrs=attrs)
    problems = context.get("problems")
    return {"label": translated(label), "mark": mark, "required": required, "box": box, "problems": problems}


@register.simple_tag
def longest(kind: str) -> int:
    """How many letters a field may take: a reason or a note, or a few words."""
    return {"reason": MOST_REASON, "words": MOST_NAME}[kind]


@register.filter
def or_say(value: Any, otherwise: str) -> Any:
    """The value, or where there is none these words in the language in force."""
    return value or translated(otherwise)


@register.filter
def hours_left(hours_h: float | None) -> str:
    """Hours left, such as "620 h"."""
    return words.hours(hours_h) if hours_h is not None else ""


@register.filter
def meter(hours_h: float | None) -> str:
    """Hours of the machine, such as "7,420 h"."""
    return words.service_hours(hours_h) if hours_h is not None else ""


@register.filter
def on_day(date: dt.date | None) -> str:
    """A known day, such as "12 Nov 2026"."""
    return words.day(date) if date is not None else ""


@register.filter
def is_here_alone(request: HttpRequest) -> bool:
    """Whether a page was asked for at an address that no other computer reaches."""
    return is_loopback(urlsplit(request.build_absolute_uri("/")).hostname or "")


@register.filter(expects_localtime=True)
def at_day(moment: dt.datetime) -> str:
    """The day of a moment here, such as "12 Nov 2026"."""
    return as_day(moment)


@register.filter(expects_localtime=True)
def at_moment(moment: dt.datetime) -> str:
    """A moment here, such as "12 Nov 2026, 09:05"."""
    return f"{as_day(moment)}, {moment:%H:%M}"


@register.filter
def in_money(value: float | None, currency: str) -> str:
    """An amount, such as "EUR 4,150"."""
    return words.amount(value, currency) if value is not None else ""


@register.filter
def first_sentence(text: str) -> str:
    """The text up to the end of its first sentence."""
    return text.partition(". ")[0].removesuffix(".") + "."


@register.filter
def further_sentences(text: str) -> str:
    """The text after its first sentence."""
    return text.partition(". ")[2]


@register.filter
def up_first(text: str) -> str:
    """The text with its first letter large."""
    return words.first_up(text)


@register.filter
def coded(text: str) -> SafeString:
    """The text with what stands between two backticks as code, as the description of the API has it."""
    pieces = enumerate(text.split("`"))
    return format_html_join(
        "", "{}", ((format_html("<code>{}</code>", one) if n % 2 else one,) for n, one in pieces)
    )


@register.filter
def spaced(key: object) -> str:
    """A key as words; a list's cell may be a number."""
    return str(key).replace("_", " ")


@register.filter
def undo_of(message: Message) -> str:
    """The id of what a message offers to undo; empty where it offers nothing."""
    tag = message.extra_tags or ""
    return tag.removeprefix("undo:") if tag.startswith("undo:") else ""
