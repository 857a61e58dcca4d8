"""What a browser may do with a page of the desk: what it may load, and that nobody keeps it on the way."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
"""No inline script, no inline style, no eval, nothing from elsewhere."""


class ContentPolicyMiddleware:
    """Puts the policy on every answer that has not a stricter one of its own, such as a file somebody sent."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """The answer, with its policy."""
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", POLICY)
        response.headers["Permissions-Policy"] = "geolocation=(), microphone=()"
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        response.headers.setdefault(
            "Cache-Control", "private, no-store" if settings.LOGIN else "private, no-cache"
        )
        return response
