"""What can still be undone, and undoing it."""

import uuid

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from pitchline.desk.next_page import next_address
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.problems import in_language
from pitchline.desk.undo.actions import standing, undo
from pitchline.desk.worker import ring_all
from pitchline.trade.errors import NotAllowedError
from pitchline.words import translated


@require_safe
def list_undoable(request: DeskRequest) -> HttpResponse:
    """What was done within a day and can be taken back."""
    actor = request.actor
    return render(request, "undo/undoable.html", {"undoables": standing(actor)})


@require_POST
def take_back(request: DeskRequest, undoable_id: uuid.UUID) -> HttpResponse:
    """Take one thing back, and return to the page it was asked from."""
    actor = request.actor
    try:
        messages.success(request, undo(actor, undoable_id=undoable_id))
        ring_all()
    except NotAllowedError as error:
        problem = in_language(error.problem)
        messages.error(
            request,
            translated("Not undone: {seen}. {next_step}").format(seen=problem.seen, next_step=problem.next_step),
        )
    return redirect(next_address(request, reverse("yard")))
