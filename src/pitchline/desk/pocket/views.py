"""What a phone asks and sends; every answer is JSON, and says why where there is nothing else to say."""

import uuid
from collections.abc import Iterable
from dataclasses import replace

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from pitchline.desk.clock import today
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.photos.pictures import MEDIA_TYPE
from pitchline.desk.photos.store import path_of
from pitchline.desk.photos.views import POLICY
from pitchline.desk.pocket.carried import yard_of
from pitchline.desk.pocket.file_in import Taken, take_file
from pitchline.desk.pocket.forms import GO, TOGETHER, Decision, SentRecord
from pitchline.desk.pocket.intake import PHOTO_NAME, Sender, take
from pitchline.desk.pocket.look import (
    Waiting,
    let_go,
    many_waiting,
    put_together,
    take_in,
    waiting_of,
    waiting_with,
)
from pitchline.desk.pocket.marks import answer_with
from pitchline.desk.pocket.models import Brought
from pitchline.desk.pocket.parcel import machine_in_the_list, parcel_of
from pitchline.desk.pocket.records import MOST_RECORD, NotTakenError, record_in, shapes, too_large
from pitchline.desk.pocket.shell import shell
from pitchline.desk.posts import why_typed
from pitchline.desk.problems import problems_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.uploads import LARGEST_PHOTO_MB, LARGEST_POCKET_MB, Upload, check_size, taken
from pitchline.exchange.gathering import refuse
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.words import counted, translated
from pitchline.words.catalogue import refused


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
    try:
        content, files = SentRecord.of(request)["record"].encode(), request.FILES.getlist("file")
    except InputError:
        raise too_large() from None
    if not files:
        return content, None
    try:
        return content, replace(taken(files[0], LARGEST_PHOTO_MB), name=PHOTO_NAME)
    except InputError as error:
        raise NotTakenError(413, "too large", " ".join(map(refused, error.problems))) from None


@require_safe
def brought(request: DeskRequest) -> HttpResponse:
    """What phones brought that needs a look, and the form for the file a phone saved."""
    return _brought(request)


def _brought(
    request: DeskRequest, problems: tuple[Problem, ...] = (), file: Taken | None = None, status: int = 200
) -> HttpResponse:
    business = request.actor.business
    waiting = waiting_of(business)
    machines: Iterable[tuple[uuid.UUID, str]] = ()
    if any(one.has_no_machine for one in waiting):
        machines = (
            Machine.objects.filter(business=business, archived_at=None).order_by("name").values_list("pk", "name")
        )
    context = {
        "waiting": waiting,
        "more": max(many_waiting(business) - len(waiting), 0),
        "machines": machines,
        "problems": problems,
        "file": file,
        "why": why_typed(request),
    }
    return render(request, "pocket/brought.html", context, status=status)


@require_POST
def decide(request: DeskRequest, brought_id: int) -> HttpResponse:
    """Taken in, put together, or let go."""
    actor = request.actor
    waiting = waiting_with(actor, brought_id)
    try:
        typed = Decision.of(request)
        what, why = typed["decision"], typed["why"]
        if what == GO:
            done = let_go(actor, waiting, why=why)
            tell_undo(request, done.said, done)
        elif what == TOGETHER:
            many = put_together(actor, waiting, why=why)
            said = counted("{n} line was put together.", "{n} lines were put together.", many).format(n=many)
            messages.success(request, f"{said} {translated('Where both said something, both stand there.')}")
            return (
                redirect("walk-round", waiting.other.pk)
                if waiting.other is not None
                else redirect("pocket-brought")
            )
        else:
            _take_in(request, waiting, typed["machine"], why)
    except (InputError, NotAllowedError) as error:
        return _brought(request, problems_of(error), status=400)
    return redirect("pocket-brought")


@require_safe
def photo(request: DeskRequest, brought_id: int) -> HttpResponse:
    """A photo that waits for a look, so that somebody can."""
    row = Brought.objects.filter(business=request.actor.business, pk=brought_id).exclude(file="").first()
    path = path_of(row.file) if row is not None else None
    if path is None or not path.is_file():
        raise Http404("No such photo that waits.")
    response = HttpResponse(path.read_bytes(), content_type=MEDIA_TYPE)
    response.headers["Content-Security-Policy"], response.headers["Cache-Control"] = POLICY, "private, no-store"
    return response


def _take_in(request: DeskRequest, waiting: Waiting, to: uuid.UUID | None, why: str) -> None:
    if to is not None:
        machine_of(request.actor.business, to)  # one of this yard
    left = take_in(request.actor, waiting, to=to, why=why)
    done = len(waiting.rows) - len(left)
    if done:
        said = counted("{n} entry is taken in.", "{n} entries are taken in.", done).format(n=done)
        messages.success(request, said)
    if left:
        said = counted(
            "{n} entry still waits; why stands with it.",
            "{n} entries still wait; why stands with them.",
            len(left),
        )
        messages.warning(request, said.format(n=len(left)))


@require_POST
def file(request: DeskRequest) -> HttpResponse:
    """The file a phone saved, taken in; the page then tells each line that could not be."""
    try:
        sent = request.FILES.get("file")
        if sent is None:
            raise refuse("", "file", "nothing", "a file that the yard in a phone saved", "Choose it first.")
        check_size(str(sent.name), sent.size or 0, LARGEST_POCKET_MB)
        return _brought(request, file=take_file(sender_of(request), str(sent.name)[:60], sent))
    except InputError as error:
        return _brought(request, error.problems, status=400)
