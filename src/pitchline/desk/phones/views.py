"""The desk's page of phones, and the one page a phone sees before it is in."""

import uuid
from typing import Any, TypeVar

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.db.models import Model, QuerySet
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.people.rights import KEEP
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.phones.actions import answer_asking, ask_in, new_asking, open_door, put_out, wake_door
from pitchline.desk.phones.certificates import fingerprint_of
from pitchline.desk.phones.codes import shown
from pitchline.desk.phones.door import address_of, root_here, trust_address_of, wanted
from pitchline.desk.phones.forms import Answer, AskForm, CodeForm, DoorForm, Nothing
from pitchline.desk.phones.middleware import BY_THE_DOOR, COOKIE, keep
from pitchline.desk.phones.models import Asking, Phone
from pitchline.desk.phones.queries import asking_by, asking_of, phones_of, the_door
from pitchline.desk.phones.ways import WAYS
from pitchline.picture.square import square_svg
from pitchline.trade.errors import NotAllowedError
from pitchline.words import in_english, translated

Row = TypeVar("Row", bound=Model)
SAME_ANSWER = in_english(
    "This code lets nobody in: it is wrong, was used, or is too old. Look at the desk, and type it again."
)


@require_http_methods(["GET", "HEAD", "POST"])
def phones(request: DeskRequest) -> HttpResponse:
    """The door, a code, who asks, who is in; what is sent is the door's form."""
    if request.method != "POST":
        return _page(request)
    form = DoorForm(request.POST)
    if not form.is_valid():
        return _page(request, door_form=form, status=400)
    open_door(request.actor, is_open=form.cleaned_data["is_open"], port=form.cleaned_data["port"])
    return redirect("phones")


@require_POST
def code(request: DeskRequest) -> HttpResponse:
    """A code, shown once."""
    user = _person(request)
    form = CodeForm(request.POST, user=user)
    if not form.is_valid():
        return _page(request, code_form=form, status=400)
    _, letters = new_asking(request.actor, user)
    return _page(request, letters=letters)


@require_safe
def waiting(request: DeskRequest) -> JsonResponse:
    """How the newest code stands, for the page that shows it."""
    asking = asking_of(request.actor.business, request.actor.name)
    return JsonResponse({"state": asking.state if asking is not None else Asking.ENDED})


@require_POST
def answer(request: DeskRequest, asking_id: uuid.UUID) -> HttpResponse:
    """Let in, or refused."""
    get_object_or_404(_own(request, Asking.objects.filter(pk=asking_id)))
    try:
        phone = answer_asking(request.actor, asking_id, let_in=Answer.of(request)["let_in"])
    except NotAllowedError as error:
        return _page(request, problems=(error.problem,), status=409)
    if phone is not None:
        messages.success(request, translated("{name} is in.").format(name=phone.name))
    else:
        messages.success(request, translated("Refused. Nothing of the yard was shown to that phone."))
    return redirect("phones")


@require_POST
def end(request: DeskRequest, phone_id: uuid.UUID) -> HttpResponse:
    """Put out."""
    Nothing.of(request)
    get_object_or_404(_own(request, Phone.objects.filter(pk=phone_id)))
    phone = put_out(request.actor, phone_id)
    if phone is not None:
        messages.success(request, translated("{name} is out, from its next page on.").format(name=phone.name))
    return redirect("phones")


@require_POST
def wake(request: DeskRequest) -> HttpResponse:
    """Codes are taken again."""
    Nothing.of(request)
    wake_door(request.actor)
    return redirect("phones")


def _own(request: DeskRequest, rows: QuerySet[Row]) -> QuerySet[Row]:
    """Rows of the business; only one's own where one does not keep the desk."""
    mine = rows.filter(business=request.actor.business)
    return mine if KEEP in request.actor.rights else mine.filter(user=_person(request))


def _person(request: DeskRequest) -> User | None:
    """Who signed in; None at a desk where nobody does."""
    return request.user if isinstance(request.user, User) else None


def _page(request: DeskRequest, *, letters: str = "", status: int = 200, **more: Any) -> HttpResponse:
    door, stands = the_door(), wanted()
    asking = asking_of(request.actor.business, request.actor.name)
    context: dict[str, Any] = {
        "door": door,
        "phones": phones_of(request.actor.business),
        "asking": asking,
        "letters": shown(letters) if letters else "",
        "ways": WAYS,
        "door_form": DoorForm(initial={"port": door.port}),
        "code_form": CodeForm(user=_person(request)),
        "no_network": door.is_open and stands is None,
    }
    if stands is not None:
        address = address_of(stands)
        context |= {
            "address": address,
            "numbers": [
                one for one in (f"https://{each}:{stands.port}/" for each in stands.addresses) if one != address
            ],
            "trust": trust_address_of(stands),
            "trust_square": square(trust_address_of(stands)),
            "first_groups": " ".join(fingerprint_of(root_here())[:4]),
            "square": square(f"{address}ask-in/#{letters}") if letters else "",
            "pocket_square": square(f"{address}pocket/"),
        }
    return render(request, "phones/phones.html", context | more, status=status)


def square(text: str) -> str:
    """A square code to scan, as a drawing: paths alone, so that the page's policy has nothing against it."""
    return mark_safe(square_svg(text))  # noqa: S308  our own drawing; the text is not in it but as squares


@require_http_methods(["GET", "HEAD", "POST"])
@login_not_required
def at_the_door(request: HttpRequest) -> HttpResponse:
    """What a phone sees before it is in: the code's form, then that it waits; once it is in, the yard."""
    if BY_THE_DOOR not in request.META:
        return redirect("yard")
    if getattr(request, "phone", None) is not None:
        return redirect("yard")
    asking = asking_by(request.COOKIES.get(COOKIE, ""))
    if request.method != "POST":
        waits = asking is not None and asking.state == Asking.ASKED
        context: dict[str, Any] = {"form": AskForm(), "asking": asking if waits else None}
        if asking is not None and asking.state == Asking.REFUSED:
            context["told"] = translated("The desk refused. Ask there, and come with a new code.")
        return render(request, "phones/ask-in.html", context)
    form = AskForm(request.POST)
    if form.is_valid():
        typed = form.cleaned_data
        found = ask_in(
            typed["code"],
            name=typed["name"],
            person=typed["person"],
            asked_from=str(request.META.get("REMOTE_ADDR", "")),
        )
        if found is not None:
            response = redirect("ask-in")
            keep(response, found[1])
            return response
        form.add_error("code", translated(SAME_ANSWER))
    return render(request, "phones/ask-in.html", {"form": form, "asking": None}, status=400)
