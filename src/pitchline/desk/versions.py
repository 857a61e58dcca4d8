"""Which version of a row somebody saw when they changed it: read in one place."""

from django.http import HttpRequest

from pitchline.desk.posts import Version


def version_of(request: HttpRequest, name: str = "seen_version") -> int:
    """The version a form was made from.

    Raises
    ------
    InputError
        It says none, or no number.
    """
    return int(Version(request.POST, name=name).read()[name])


def version_in(text: str) -> int:
    """The version a text says; 0 where it says none."""
    return int(text) if text.isdecimal() and len(text) < 10 else 0
