"""What a phone asks and sends; every answer is JSON, and says why where there is nothing else to say."""

import uuid
from dataclasses import replace

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from pitchline.desk.clock import today
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.pocket.carried import yard_of
from pitchline.desk.pocket.intake import Sender, take
from pitchline.desk.pocket.marks import answer_with
from pitchline.desk.pocket.parcel import machine_in_the_list, parcel_of
from pitchline.desk.pocket.records import MOST_RECORD, NotTakenError, record_in, shapes, too_large
from pitchline.desk.pocket.shell import shell
from pitchline.desk.uploads import LARGEST_PHOTO_MB, Upload, taken
from pitchline.trade.errors import InputError
from pitchline.words import translated
from pitchline.words.catalogue import refused

PHOTO_NAME = "photo.jpg"
"""What a phone's photo is called, whatever the phone called it."""


@require_safe
def hello(request: DeskRequest) -> HttpResponse:
    """Who the desk takes this phone for, the token its writes need, the day, and what is the newest."""
    phone = getattr(request, "phone", None)
    mark, _ = yard_of(request.actor.business)
    told = {
        "person": request.actor.name,
        "phone": phone.name if phone is not None else "",
        "csrf": get_token(request),
        "day": today().isoformat(),
        "now": timezone.now().isoformat(timespec="seconds"),
        "shapes": shapes(),
        "app": shell()[0],
        "yard": mark,
    }
    response = JsonResponse(told)
    response.headers["Cache-Control"] = "no-store"
    return response


@require_safe
def yard(request: DeskRequest) -> HttpResponse:
    """The list of machines."""
    return answer_with(request, *yard_of(request.actor.business))


@require_safe
def parcel(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """All a phone needs to walk round one machine."""
    machine = machine_in_the_list(request.actor.business, machine_id)
    if machine is None:
        said = translated("This machine is not in the list any more.")
        return JsonResponse({"why": "gone", "said": said}, status=404)
    return answer_with(request, *parcel_of(machine))


def sender_of(request: DeskRequest) -> Sender:
    """Who brings something."""
    return Sender(request.actor, getattr(request, "phone", None))


@require_POST
def send(request: DeskRequest) -> HttpResponse:
    """One record, with its photo where it is one."""
    try:
        content, photo = _sent(request)
        return JsonResponse(take(sender_of(request), record_in(content), photo))
    except NotTakenError as error:
        return JsonResponse({"why": error.why, "said": error.said}, status=error.status)


def _sent(request: HttpRequest) -> tuple[bytes, Upload | None]:
    """The record's text and its file, both within their limits before they are read."""
    if request.content_type != "multipart/form-data":
        if int(request.headers.get("Content-Length") or 0) > MOST_RECORD:
            raise too_large()
        return request.body, None
    content, files = request.POST.get("record", "").encode(), request.FILES.getlist("file")
    if not files:
        return content, None
    try:
        return content, replace(taken(files[0], LARGEST_PHOTO_MB), name=PHOTO_NAME)
    except InputError as error:
        raise NotTakenError(413, "too large", " ".join(map(refused, error.problems))) from None
