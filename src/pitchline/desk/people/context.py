"""What every page knows of where it is."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest

from pitchline import __version__
from pitchline.desk.people.rights import RIGHTS
from pitchline.desk.people.who import prices_seen
from pitchline.desk.script_words import words_of_scripts
from pitchline.trade.writing import way_in_force


def here(request: HttpRequest) -> dict[str, Any]:
    """Who asks, by which phone and what they may; whether people sign in; version, language and its words for scripts."""
    actor = getattr(request, "actor", None)
    return {
        "actor": actor,
        "may": dict.fromkeys(RIGHTS, False) | dict.fromkeys(actor.rights if actor is not None else (), True),
        "prices_seen": prices_seen(),
        "login": settings.LOGIN,
        "company": settings.COMPANY["address"] and settings.COMPANY["name"],
        "mail": settings.MAIL,
        "by_phone": getattr(request, "phone", None),
        "version": __version__,
        "language": way_in_force().language,
        "words_of_scripts": words_of_scripts(),
    }
