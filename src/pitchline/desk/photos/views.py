"""Pages of photos and documents: all of a machine, one by itself, its file, sending, removing."""

import hashlib
import uuid

from django.contrib import messages
from django.http import FileResponse, Http404, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from pitchline.desk.machine.queries import machine_of
from pitchline.desk.next_page import next_address
from pitchline.desk.people.who import Actor, DeskRequest
from pitchline.desk.photos import actions, store
from pitchline.desk.photos.forms import NameForm, PhotoForm
from pitchline.desk.photos.layer import layer_over
from pitchline.desk.photos.models import Attachment
from pitchline.desk.photos.queries import attachment_of, attachments_on, names_on
from pitchline.desk.posts import as_sent, ids_sent
from pitchline.desk.problems import problems_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.uploads import LARGEST_PHOTO_MB, taken
from pitchline.desk.versions import version_of
from pitchline.exchange.gathering import refuse
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.parts import PartKind
from pitchline.words import translated
from pitchline.words.catalogue import refused

POLICY = "default-src 'none'; sandbox"
"""For a file somebody sent: it may load nothing and run nothing, however it is opened."""


@require_safe
def photos(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Every photo and document of a machine, and a form to add more."""
    return _gallery(request, machine_id, (), 200)


def _gallery(
    request: DeskRequest, machine_id: uuid.UUID, problems: tuple[Problem, ...], status: int, many: int = 0
) -> HttpResponse:
    machine = machine_of(request.actor.business, machine_id)
    asked = as_sent(request)
    typed = {name: asked.get(name, "") for name in ("caption", "part", "sheet", "finding")}
    context = {
        "machine": machine,
        "kept": attachments_on(machine),
        "problems": problems,
        "typed": typed,
        "many": many,
    }
    return render(request, "photos/photos.html", context, status=status)


@require_POST
def send(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Photos and documents: each by itself, so that one that cannot be kept does not cost the others."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    rows, problems = _keep_all(request, actor, machine.pk)
    if _wants_json(request):
        return _as_json(rows, problems)
    if problems:
        return _gallery(request, machine.pk, tuple(problems), 400, len(rows))
    said = translated("{n} kept.").format(n=len(rows))
    if len(rows) == 1:
        said = translated("Photo kept.") if rows[0].is_photo else translated("Document kept.")
    messages.success(request, said)
    return redirect(next_address(request, reverse("photos", args=[machine.pk])))


def _wants_json(request: DeskRequest) -> bool:
    return request.headers.get("Accept", "").startswith("application/json")


def _keep_all(request: DeskRequest, actor: Actor, machine_id: uuid.UUID) -> tuple[list[Attachment], list[Problem]]:
    rows: list[Attachment] = []
    problems: list[Problem] = []
    sent = [*request.FILES.getlist("camera"), *request.FILES.getlist("files")]
    try:
        about, form_id = _about(request), next(iter(ids_sent(request, "send_id")), uuid.uuid4())
        if not sent:
            raise refuse("", "files", "nothing", "a photo or a document", "Take or choose one first.")
    except (InputError, NotAllowedError) as error:
        return rows, list(error.problems if isinstance(error, InputError) else (error.problem,))
    for one in sent:
        try:
            file = taken(one, LARGEST_PHOTO_MB)
            digest = hashlib.sha256(file.content).hexdigest()
            attachment_id = form_id if len(sent) == 1 else uuid.uuid5(form_id, digest)
            rows.append(
                actions.keep(actor, machine_id=machine_id, attachment_id=attachment_id, sent=file, about=about)
            )
        except InputError as error:
            problems += error.problems
        except NotAllowedError as error:
            problems.append(error.problem.at(str(one.name)))
    return rows, problems


def _uuid(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None


def _about(request: DeskRequest) -> actions.About:
    posted = PhotoForm.of(request)
    sheet = posted["sheet"]
    sheet_id = _uuid(sheet)
    if sheet and sheet_id is None:
        raise NotAllowedError("walk-round", sheet[:60], "one of this machine", "Open the page again.")
    return actions.About(
        caption=actions.caption_of(posted["caption"]),
        part=posted["part"],
        sheet_id=sheet_id,
        finding=posted["finding"],
        keep_place=posted["keep_place"],
    )


def _as_json(rows: list[Attachment], problems: list[Problem]) -> JsonResponse:
    kept_rows = [
        {
            "id": str(row.pk),
            "what": row.what,
            "caption": row.caption,
            "page": reverse("attachment", args=[row.pk]),
            "small": reverse("attachment-file", args=[row.pk, "small"]) if row.is_photo else "",
        }
        for row in rows
    ]
    said = [refused(problem) for problem in problems]
    return JsonResponse({"kept": kept_rows, "problems": said}, status=400 if problems else 200)


_FIRST_SPOT = {"tip_x": "50", "tip_y": "50", "at_x": "50", "at_y": "15"}


@require_safe
def attachment(request: DeskRequest, attachment_id: uuid.UUID) -> HttpResponse:
    """One photo or document, with its caption, who sent it and when."""
    return _shown(request, attachment_id)


def _shown(request: DeskRequest, attachment_id: uuid.UUID, problems: tuple[Problem, ...] = ()) -> HttpResponse:
    row = attachment_of(request.actor.business, attachment_id)
    beside = [one.pk for one in attachments_on(row.machine)]
    at = beside.index(row.pk)
    names, sent = names_on([row])[row.pk] if row.is_photo else [], as_sent(request)
    context = {
        "one": row,
        "machine": row.machine,
        "newer": beside[at - 1] if at else None,
        "older": beside[at + 1] if at + 1 < len(beside) else None,
        "caption": sent.get("caption", row.caption),
        "problems": problems,
        "names": names,
        "layer": layer_over(row, names),
        "parts": NameForm.base_fields["named"].choices,  # type: ignore[attr-defined]
        "named_first": sent.get("named") or row.part.partition("/")[0],
        "spot": _FIRST_SPOT | sent,
    }
    return render(request, "photos/attachment.html", context, status=400 if problems else 200)


@require_safe
def attachment_file(request: DeskRequest, attachment_id: uuid.UUID, size: str) -> HttpResponseBase:
    """The file itself: a photo in one of its sizes, a document as a download."""
    row = attachment_of(request.actor.business, attachment_id)
    sizes = {"small": row.file_small, "page": row.file} if row.is_photo else {"file": row.file}
    path = store.path_of(sizes[size]) if size in sizes else None
    if path is None or not path.is_file():
        raise Http404("No such file.")
    name = f"{row.name.rpartition('.')[0] or row.name}.jpg" if row.is_photo else row.name
    response = FileResponse(path.open("rb"), as_attachment=not row.is_photo, filename=name, content_type=row.kind)
    response.headers["Content-Security-Policy"] = POLICY
    response.headers["Cache-Control"] = "private, max-age=86400"
    return response


@require_POST
def caption(request: DeskRequest, attachment_id: uuid.UUID) -> HttpResponse:
    """What is said of it, changed."""
    actor, wants_json = request.actor, _wants_json(request)
    try:
        typed = PhotoForm.of(request)["caption"]
        changed = actions.change_caption(
            actor, attachment_id=attachment_id, seen_version=version_of(request), caption=typed
        )
    except (InputError, NotAllowedError) as error:
        return (
            _captioned(actor, attachment_id, problems_of(error))
            if wants_json
            else _shown(request, attachment_id, problems_of(error))
        )
    if wants_json:
        return _captioned(actor, attachment_id, ())
    messages.success(request, translated("Saved.") if changed else translated("Nothing was changed."))
    return redirect("attachment", attachment_id)


def _captioned(actor: Actor, attachment_id: uuid.UUID, problems: tuple[Problem, ...]) -> JsonResponse:
    """What a script is told of a caption it sent."""
    row, said = attachment_of(actor.business, attachment_id), [refused(problem) for problem in problems]
    return JsonResponse({"version": row.version, "problems": said}, status=400 if said else 200)


@require_POST
def remove(request: DeskRequest, attachment_id: uuid.UUID) -> HttpResponse:
    """Out of sight at once, and gone for good after a day."""
    actor = request.actor
    row = attachment_of(actor.business, attachment_id, removed_too=True)
    done = actions.remove(actor, attachment_id=attachment_id)
    tell_undo(request, done.said if done is not None else translated("It was removed already."), done)
    return redirect("photos", row.machine_id)


@require_POST
def name_part(request: DeskRequest, attachment_id: uuid.UUID) -> HttpResponse:
    """A part's name on a photo."""
    try:
        sent = NameForm.of(request)
        spot = actions.Spot(*(sent[name] for name in ("tip_x", "tip_y", "at_x", "at_y")))
        _, done = actions.name_part(
            request.actor,
            photo_id=attachment_id,
            name_id=sent["name_id"] or uuid.uuid4(),
            part=PartKind(sent["named"]),
            spot=spot,
        )
    except (InputError, NotAllowedError) as error:
        return _shown(request, attachment_id, problems_of(error))
    tell_undo(request, done.said if done is not None else translated("It is named already."), done)
    return redirect("attachment", attachment_id)


@require_POST
def take_name_off(request: DeskRequest, name_id: uuid.UUID) -> HttpResponse:
    """Off the photo at once, and back for a day."""
    name, done = actions.take_name_off(request.actor, name_id=name_id)
    tell_undo(request, done.said if done is not None else translated("It was taken off already."), done)
    return redirect("attachment", name.photo_id)
