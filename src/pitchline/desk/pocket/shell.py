"""The app of the yard in your pocket: its page, its worker, its manifest. They hold no data and are for anybody."""

import hashlib
import json
from functools import lru_cache
from pathlib import Path

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.views.decorators.http import require_safe

from pitchline.desk.headers import POLICY
from pitchline.desk.script_words import words_of_scripts
from pitchline.trade.writing import way_in_force
from pitchline.words import translated

_HERE = Path(__file__).parent
_DESK = _HERE.parent / "static"
SHARED = (
    "desk/desk.css",
    "desk/drawing.css",
    "desk/mark.svg",
    "desk/PitchlineSans-Regular.woff2",
    "desk/PitchlineSans-SemiBold.woff2",
    "desk/awake.js",
    "desk/calliper.js",
    "desk/say.js",
    "desk/smaller.js",
    "walkround/round.css",
    "walkround/asking.js",
    "walkround/caret.js",
    "walkround/device.js",
    "walkround/form.js",
    "walkround/keys.js",
    "walkround/seen.js",
    "walkround/sizes.js",
    "walkround/standing.js",
)
"""What the app takes from elsewhere at the desk; a test holds it to what is loaded."""
SHELL_POLICY = POLICY.replace("img-src 'self' data:", "img-src 'self' data: blob:") + "; worker-src 'self'"
"""A photo that waits on the phone is shown from there, and the worker comes from here alone."""
_NOT_YET = "0version0"
_ICONS = ((192, "any"), (512, "any"), (512, "maskable"))


def app_files() -> tuple[str, ...]:
    """Every file of the app by its name, the pictures of what is measured among them."""
    ours = (f"pocket/{file.name}" for file in (_HERE / "static" / "pocket").iterdir() if file.suffix != ".png")
    pictures = (f"desk/measured/{file.name}" for file in (_DESK / "desk" / "measured").iterdir())
    return (*SHARED, *sorted(ours), *sorted(pictures))


@lru_cache(maxsize=8)
def _page(language: str, days: str, _storage: str) -> tuple[str, str]:
    context = {
        "language": language,
        "days": days,
        "words_of_scripts": words_of_scripts(),
        "version": _NOT_YET,
        "modules": [name for name in app_files() if name.endswith(".js")],
    }
    text = render_to_string("pocket/app.html", context)
    addresses = json.dumps([static(name) for name in app_files()])
    version = hashlib.sha256(f"{addresses}{_worker_text()}{text}".encode()).hexdigest()[:12]
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
def worker(_request: HttpRequest) -> HttpResponse:
    """The worker, with the list of what it keeps."""
    lists = {"VERSION": shell()[0], "FILES": [static(name) for name in app_files()]}
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
