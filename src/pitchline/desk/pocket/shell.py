"""The app of the yard in your pocket: its page, its worker, its manifest. They hold no data and are for anybody."""

import json
from functools import lru_cache
from pathlib import Path

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.http import require_safe

from pitchline.desk.headers import POLICY
from pitchline.desk.pocket import bundle
from pitchline.desk.pocket.bundle import digest_of
from pitchline.desk.script_words import words_of_scripts
from pitchline.trade.writing import way_in_force
from pitchline.words import translated

_HERE = Path(__file__).parent
_DESK = _HERE.parent / "static"
KEPT = ("desk/mark.svg", "desk/PitchlineSans-Regular.woff2", "desk/PitchlineSans-SemiBold.woff2")
"""What the app takes beside its script and its style sheet."""
SHELL_POLICY = POLICY.replace("img-src 'self' data:", "img-src 'self' data: blob:") + "; worker-src 'self'"
"""A photo that waits on the phone is shown from there, and the worker comes from here alone."""
_NOT_YET = "0version0"
_ICONS = ((192, "any"), (512, "any"), (512, "maskable"))


def app_files() -> tuple[str, ...]:
    """Addresses of every file of the app, the pictures of what is measured among them."""
    pictures = sorted(f"desk/measured/{file.name}" for file in (_DESK / "desk" / "measured").iterdir())
    return (*_made(), *map(static, (*KEPT, *pictures)))


def _made() -> tuple[str, str]:
    """Addresses of the script and of the style sheet: each has a name of its content."""
    return (
        reverse("pocket-script", args=[digest_of(bundle.script())]),
        reverse("pocket-sheet", args=[digest_of(bundle.sheet())]),
    )


@lru_cache(maxsize=8)
def _page(language: str, days: str, _storage: str) -> tuple[str, str]:
    context = {
        "language": language,
        "days": days,
        "words_of_scripts": words_of_scripts(),
        "version": _NOT_YET,
        "made": _made(),
    }
    text = render_to_string("pocket/app.html", context)
    version = digest_of(f"{json.dumps(app_files())}{_worker_text()}{text}")
    return version, text.replace(_NOT_YET, version)


def _worker_text() -> str:
    return (_HERE / "worker" / "sw.js").read_text(encoding="utf-8")


def shell() -> tuple[str, str]:
    """The app's version, and its page in the language and with the days of the way in force."""
    way = way_in_force()
    return _page(way.language, way.days, settings.STORAGES["staticfiles"]["BACKEND"])


@require_safe
@login_not_required
def page(_request: HttpRequest) -> HttpResponse:
    """The page the worker keeps, and answers every way below it with."""
    response = HttpResponse(shell()[1])
    response.headers["Content-Security-Policy"] = SHELL_POLICY
    response.headers["Cache-Control"] = "no-cache"
    return response


@require_safe
@login_not_required
def script(_request: HttpRequest, digest: str) -> HttpResponse:
    """All scripts of the app."""
    return _for_ever(bundle.script(), digest, "text/javascript; charset=utf-8")


@require_safe
@login_not_required
def sheet(_request: HttpRequest, digest: str) -> HttpResponse:
    """All style sheets of the app."""
    return _for_ever(bundle.sheet(), digest, "text/css; charset=utf-8")


def _for_ever(text: str, digest: str, content_type: str) -> HttpResponse:
    """A file under a name of its content; another content is another file, and not this desk's."""
    if digest_of(text) != digest:
        raise Http404("The app is of another version.")
    response = HttpResponse(text, content_type=content_type)
    response.headers["Cache-Control"] = "public, max-age=31536000, immutable"
    return response


@require_safe
@login_not_required
def worker(_request: HttpRequest) -> HttpResponse:
    """The worker, with the list of what it keeps."""
    lists = {"VERSION": shell()[0], "FILES": app_files()}
    head = "".join(f"const {name} = {json.dumps(value)};\n" for name, value in lists.items())
    response = HttpResponse(head + _worker_text(), content_type="text/javascript; charset=utf-8")
    response.headers["Cache-Control"] = "no-cache"
    return response


@require_safe
@login_not_required
def manifest(_request: HttpRequest) -> JsonResponse:
    """What a phone puts on its home screen. Its reach is the whole desk: being let in again stays inside the app."""
    icons = [
        {
            "src": static(f"pocket/icon-{size}{'-maskable' if purpose == 'maskable' else ''}.png"),
            "sizes": f"{size}x{size}",
            "type": "image/png",
            "purpose": purpose,
        }
        for size, purpose in _ICONS
    ]
    told = {
        "id": "/pocket/",
        "name": translated("pitchline: the yard in your pocket"),
        "short_name": "pitchline",
        "lang": way_in_force().language,
        "start_url": "/pocket/",
        "scope": "/",
        "display": "standalone",
        "background_color": "#fbfaf6",
        "theme_color": "#fbfaf6",
        "icons": icons,
    }
    return JsonResponse(told, content_type="application/manifest+json", headers={"Cache-Control": "no-cache"})
