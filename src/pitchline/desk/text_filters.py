"""Template filters: values in words, by the same words as the papers; no figure is computed here."""

import datetime as dt

from django import template
from django.contrib.messages.storage.base import Message

from pitchline.desk.fragment_cache import remembered
from pitchline.desk.uploads import LARGEST_FILE_MB, LARGEST_PHOTO_MB
from pitchline.papers import words
from pitchline.trade.writing import as_day, marked

register = template.Library()
register.tag("remembered", remembered)
register.filter(marked)


@register.simple_tag
def largest(kind: str) -> str:
    """How large a file of a kind may be, such as "20 MB": a photo or document kept, or a file brought in."""
    return f"{ {'photo': LARGEST_PHOTO_MB, 'file': LARGEST_FILE_MB}[kind] } MB"


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


@register.filter(expects_localtime=True)
def at_day(moment: dt.datetime) -> str:
    """The day of a moment here, such as "12 Nov 2026"."""
    return as_day(moment)


@register.filter(expects_localtime=True)
def at_moment(moment: dt.datetime) -> str:
    """A moment here, such as "12 Nov 2026, 09:05"."""
    return f"{as_day(moment)}, {moment:%H:%M}"


@register.filter
def about(date: dt.date | None) -> str:
    """A day known roughly, such as "mid Mar 2027"."""
    return words.about_day(date)


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
def spaced(key: str) -> str:
    """A key as words."""
    return key.replace("_", " ")


@register.filter
def undo_of(message: Message) -> str:
    """The id of what a message offers to undo; empty where it offers nothing."""
    tag = message.extra_tags or ""
    return tag.removeprefix("undo:") if tag.startswith("undo:") else ""
