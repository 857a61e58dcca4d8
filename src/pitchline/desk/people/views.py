"""Being alive, and the two pages for what went wrong."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.templatetags.static import static
from django.views.decorators.http import require_safe


@require_safe
@login_not_required
def icon(_request: HttpRequest) -> HttpResponse:
    """Where the icon is that browsers ask for by this name."""
    return redirect(static("desk/mark.svg"))


@require_safe
@login_not_required
def alive(request: HttpRequest) -> JsonResponse:
    """A tiny answer whose content a page can check: a proxy's error page does not say this."""
    return JsonResponse({"pitchline": "alive"})


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """The page for an address that leads nowhere, or to another business's rows."""
    return render(request, "desk/404.html", status=404)
