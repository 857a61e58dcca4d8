"""Who asks, as the views hand it on: a business, and a name for the trail."""

from dataclasses import dataclass

from django.http import HttpRequest

from pitchline.desk.people.models import Business

NOBODY_NAMED = "this desk"


@dataclass(frozen=True, slots=True)
class Actor:
    """The person behind a request.

    Parameters
    ----------
    business : Business
        Whose rows they may see and change.
    name : str
        What the trail calls them.
    """

    business: Business
    name: str = NOBODY_NAMED


class DeskRequest(HttpRequest):
    """A request that went through `BusinessMiddleware`."""

    actor: Actor
