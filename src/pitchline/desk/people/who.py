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
    is_person : bool
        Whether somebody signed in, whatever they are called; else it is the desk itself.
    """

    business: Business
    name: str = NOBODY_NAMED
    is_person: bool = False

    @property
    def signature(self) -> str:
        """How they sign a walk-round; empty for a desk where nobody signs in."""
        return self.name if self.is_person else ""


class DeskRequest(HttpRequest):
    """A request that went through `BusinessMiddleware`."""

    actor: Actor
