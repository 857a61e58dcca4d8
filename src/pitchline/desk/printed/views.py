"""A printed sheet by its code: typed, scanned by a phone's own camera, or in a photo that is kept with its machine."""

import uuid

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from pitchline.desk.machine.sheet_code import Named, read_code
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.photos.actions import About, keep
from pitchline.desk.posts import as_sent
from pitchline.desk.printed.forms import CodeQuestion, SheetPhoto
from pitchline.desk.printed.queries import machines_named, sheet_begun
from pitchline.desk.printed.reading import code_in
from pitchline.desk.problems import problems_of
from pitchline.desk.uploads import LARGEST_PHOTO_MB, taken
from pitchline.exchange.gathering import refuse
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.words import translated, worded


@require_http_methods(["GET", "HEAD", "POST"])
def any_sheet(request: DeskRequest) -> HttpResponse:
    """The field for a code, and for a photo of a sheet."""
    if request.method == "POST":
        return _photo_sent(request)
    asked = CodeQuestion(request.GET)
    if not asked.is_valid():
        return _asked(request, asked.problems, 400)
    typed = asked.cleaned_data["code"]
    if not typed:
        return _asked(request)
    named = read_code(typed)
    return redirect("printed-sheet", named.code) if named is not None else _asked(request, (_no_code(typed),), 400)


def _no_code(typed: str) -> Problem:
    step = translated("Compare each letter with the sheet: one is wrong or missing.")
    return Problem("code on the sheet", typed[:60], "twelve letters, such as stand beside the square", step)


def _asked(request: DeskRequest, problems: tuple[Problem, ...] = (), status: int = 200) -> HttpResponse:
    context = {"problems": problems, "typed": as_sent(request).get("code", "")}
    return render(request, "printed/code.html", context, status=status)


def _photo_sent(request: DeskRequest) -> HttpResponse:
    """Kept with its machine where the code can be read; else nothing is kept, and the letters are asked for."""
    actor = request.actor
    try:
        send_id = SheetPhoto.of(request)["send_id"] or uuid.uuid4()
        files = [*request.FILES.getlist("camera"), *request.FILES.getlist("files")]
        if not files:
            raise refuse("", "photo", "nothing", "a photo of a sheet", "Take or choose one first.")
        sent = taken(files[0], LARGEST_PHOTO_MB)
        named = code_in(sent.content)
        if named is None:
            step = translated("Take it again, the square large and flat; or type the letters beside it.")
            raise refuse(sent.name, "photo", "no square code that can be read", "the code of a sheet", step)
        found = machines_named(actor.business, named)
        if len(found) != 1:
            return redirect("printed-sheet", named.code)
        begun = sheet_begun(named, found[0])
        caption = worded("Walk-round sheet {code}", code=named.code)
        about = About(caption=caption, sheet_id=begun.pk if begun is not None else None)
        keep(actor, machine_id=found[0].pk, attachment_id=send_id, sent=sent, about=about)
    except (InputError, NotAllowedError) as error:
        return _asked(request, problems_of(error), 400)
    messages.success(request, worded("Photo kept with {machine}.", machine=found[0].name))
    return redirect("printed-sheet", named.code)


@require_safe
def sheet(request: DeskRequest, code: str) -> HttpResponse:
    """Which machine it is, and what can be done with the sheet; nothing is written by looking."""
    named = read_code(code)
    if named is None:
        return _asked(request, (_no_code(code),), 404)
    found = machines_named(request.actor.business, named)
    if not found:
        return _asked(request, (_unknown(named),), 404)
    rows = [(one, sheet_begun(named, one), named.sheet_id(one)) for one in found]
    return render(request, "printed/sheet.html", {"named": named, "rows": rows})


def _unknown(named: Named) -> Problem:
    step = translated("It may be of another yard, or its machine was entered anew.")
    return Problem("code on the sheet", named.code, "the code of a machine of this yard", step)
