"""How long somebody stays signed in.

Twelve hours without a page end it, and thirty days whatever happens. The 30 minutes and 12 hours of ASVS 4.0.3 level 2 would send
a fitter to the sign-in between two machines, with a walk-round unsent; what is unsent stays in the browser until then.
A desk whose computers several share sets less: PITCHLINE_DESK_IDLE_MINUTES.
"""

import time
from collections.abc import Callable

from django.conf import settings
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse

LONGEST_S = 30 * 24 * 3600
SEEN_EVERY_S = 300
"""A session's row is written at most this often, and not with every page."""
BEGAN, SEEN = "began", "seen"


class SessionLimits:
    """Ends a session that nobody used for long, or that is old."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """The answer; for a session that has ended, as to nobody."""
        if "_auth_user_id" in request.session:
            now, session = time.time(), request.session
            began, seen = session.get(BEGAN, now), session.get(SEEN, now)
            if now - seen > settings.SESSION_COOKIE_AGE or now - began > LONGEST_S:
                logout(request)
            elif SEEN not in session or now - seen > min(SEEN_EVERY_S, settings.SESSION_COOKIE_AGE / 10):
                session[BEGAN], session[SEEN] = began, now
        return self.get_response(request)
