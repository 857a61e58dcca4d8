"""A file handed out by the desk."""

from django.http import HttpResponse
from django.utils.http import content_disposition_header


def sent_file(content: bytes, kind: str, name: str) -> HttpResponse:
    """A file to be kept, or a paper to be looked at."""
    response = HttpResponse(content, content_type=kind)
    response.headers["Content-Disposition"] = (
        content_disposition_header(kind != "application/pdf", name) or "inline"
    )
    response.headers["Cache-Control"] = "private, no-store"
    return response
