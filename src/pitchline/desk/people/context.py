"""What every page knows of where it is."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest

from pitchline import __version__


def here(request: HttpRequest) -> dict[str, Any]:
    """The actor, whether people sign in, and the version, for every template."""
    return {"actor": getattr(request, "actor", None), "login": settings.LOGIN, "version": __version__}
