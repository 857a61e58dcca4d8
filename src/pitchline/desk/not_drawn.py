"""Templates for whoever needs no page: a request that asks so gets what the page would show, and nothing is drawn."""

from typing import Any

from django.http import HttpRequest
from django.template.backends.django import DjangoTemplates, Template
from django.utils.safestring import SafeString


class _Template(Template):
    def render(self, context: dict[str, Any] | None = None, request: HttpRequest | None = None) -> SafeString:
        """The page; or nothing, where the request has a `shown` that takes the values in its place."""
        shown = getattr(request, "shown", None)
        if shown is None:
            return SafeString(super().render(context, request))
        shown.update(context or {})
        return SafeString("")


class Templates(DjangoTemplates):
    """Django's own, but for requests that need no page."""

    def get_template(self, template_name: str) -> Template:
        """The template of that name."""
        return _Template(super().get_template(template_name).template, self)
