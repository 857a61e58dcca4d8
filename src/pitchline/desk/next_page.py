"""Where a form says to go on once it is done."""

from urllib.parse import urljoin

from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme

from pitchline.desk.posts import next_text


def next_address(request: HttpRequest, otherwise: str) -> str:
    """The form's "next" where that is an address of this desk; anything else is left aside for the one given."""
    goal = next_text(request)
    if goal.startswith("../"):  # beside where the form was sent
        goal = urljoin(request.path, goal)
    ours = goal.startswith("/") and url_has_allowed_host_and_scheme(goal, allowed_hosts={request.get_host()})
    return goal if ours else otherwise
