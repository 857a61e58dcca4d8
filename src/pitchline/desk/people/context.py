"""What every page knows of where it is."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest

from pitchline import __version__
from pitchline.desk.script_words import words_of_scripts
from pitchline.trade.writing import way_in_force


def here(request: HttpRequest) -> dict[str, Any]:
    """The actor, the phone that asks, whether people sign in, the version, the language and its words for scripts."""
    return {
        "actor": getattr(request, "actor", None),
        "login": settings.LOGIN,
        "by_phone": getattr(request, "phone", None),
        "version": __version__,
        "language": way_in_force().language,
        "words_of_scripts": words_of_scripts(),
    }
