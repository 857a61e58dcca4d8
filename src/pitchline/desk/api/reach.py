"""Who asks, and whether it is really them: token, session or the one person of a desk without login."""

from django.conf import settings
from django.http import HttpRequest
from ninja.utils import check_csrf

from pitchline.desk.api.refused import RefusedError
from pitchline.desk.api.tokens import actor_of
from pitchline.desk.people.who import Actor
from pitchline.trade.errors import Problem
from pitchline.words import translated

_OTHERS = ("cross-site", "same-site")
SAFE = ("GET", "HEAD", "OPTIONS")


def who_asks(request: HttpRequest) -> Actor:
    """The person behind a request.

    Raises
    ------
    RefusedError
        401 where nobody is named, 403 where a website sent it or the person has no business.
    """
    named = request.headers.get("Authorization")
    if named is not None:
        return _by_token(named, str(request.method))
    _check_site(request)
    if settings.LOGIN and not request.user.is_authenticated:
        step = translated("Send a token as “Authorization: Bearer …”, or sign in first.")
        raise RefusedError(401, Problem("Authorization", translated("nothing"), "a token, or a session", step))
    actor = getattr(request, "actor", None)
    if not isinstance(actor, Actor):
        allowed = translated("somebody who works for a business")
        step = translated("Ask whoever keeps the desk.")
        raise RefusedError(403, Problem("person", request.user.get_username(), allowed, step))
    if settings.LOGIN and request.method not in SAFE and check_csrf(request) is not None:
        step = translated("Send the csrftoken cookie's value as X-CSRFToken, or use a token.")
        allowed = translated("the session's own value")
        raise RefusedError(403, Problem("X-CSRFToken", request.headers.get("X-CSRFToken", ""), allowed, step))
    return actor


def _by_token(named: str, method: str) -> Actor:
    kind, _, secret = named.partition(" ")
    found = actor_of(secret.strip()) if kind.lower() == "bearer" else None
    if found is None:
        step = translated("Make one with: pitchline tokens add NAME")
        raise RefusedError(401, Problem("Authorization", kind, "Bearer and a token in use", step))
    actor, only_reads = found
    if only_reads and method not in SAFE:
        step = translated("Make one that may write, under “Own sign-in” at the desk.")
        raise RefusedError(
            403, Problem("Authorization", translated("a token that only reads"), "one that writes", step)
        )
    return actor


def _check_site(request: HttpRequest) -> None:
    """Refuse what another website made a browser send: by what browsers say of themselves, and nobody else can write.

    A desk without login knows nobody by cookie, so this is what keeps other websites out; with sessions Django's own check
    of the token comes on top. Host names are Django's `ALLOWED_HOSTS`: this computer's own, so a foreign name that leads here
    is refused before.
    """
    site = request.headers.get("Sec-Fetch-Site", "")
    origin = request.headers.get("Origin")
    own = {f"{request.scheme}://{request.get_host()}", *settings.CSRF_TRUSTED_ORIGINS}
    trusted = origin in own
    if (origin is not None and not trusted) or (site in _OTHERS and not trusted):
        seen = origin or site
        step = translated("Send it from the desk's own pages, or from a script without these headers.")
        raise RefusedError(403, Problem("Origin", seen, "the desk itself", step))
