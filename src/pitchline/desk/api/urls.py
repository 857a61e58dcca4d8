"""Addresses of the API: each behind the door, the description beside them."""

from django.contrib.auth.decorators import login_not_required
from django.urls import URLPattern, path, re_path

from pitchline.desk.api import views
from pitchline.desk.api.base import api
from pitchline.desk.api.document import PREFIX, ways_at
from pitchline.desk.api.door import Door

app_name = "api"


def _behind_the_door() -> list[URLPattern]:
    """Ninja's own addresses, except its root."""
    found = []
    for pattern in api.urls[0]:
        if isinstance(pattern, URLPattern) and pattern.name != "api-root":
            route = str(pattern.pattern)
            told = PREFIX + route.replace("<", "{").replace(">", "}")
            pattern.callback = Door(pattern.callback, ways_at(told))
            found.append(pattern)
    return found


urlpatterns = [
    path("openapi.json", login_not_required(views.openapi), name="openapi"),
    path("docs", views.docs, name="docs"),
    *_behind_the_door(),
    re_path("", views.nowhere, name="nowhere"),
]
