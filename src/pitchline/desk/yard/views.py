"""Pages of the yard. A view finds who asks, calls one query or one action, and hands a template what it shows."""

import uuid

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.bridge.machines import WHICH_ONE
from pitchline.desk.machine.actions import About, add_machine
from pitchline.desk.machine.archiving import archive_several
from pitchline.desk.machine.forms import refused as refused_at
from pitchline.desk.machine.models import KINDS
from pitchline.desk.machine.page_facts import told
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.next_page import next_address
from pitchline.desk.people.rights import KEEP, WHOLE
from pitchline.desk.people.who import DeskRequest, prices_seen
from pitchline.desk.posts import Archived, as_sent, ids_sent
from pitchline.desk.problems import problems_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.uploads import sent_files
from pitchline.desk.yard import queries
from pitchline.desk.yard.demo import open_demo_yard
from pitchline.desk.yard.forms import AddMachineForm, wanted_in
from pitchline.desk.yard.importing import Brought, bring_in, found_in
from pitchline.desk.yard.list_views import is_list, start_list
from pitchline.desk.yard.rows import lines_of
from pitchline.desk.yard.strip import strip_of
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.words import translated


@require_safe
def yard(request: DeskRequest) -> HttpResponse:
    """The yard's list, or the three ways in where it is still empty."""
    actor = request.actor
    if queries.is_empty(actor.business):
        return render(request, "yard/first-run.html")
    wanted = wanted_in(as_sent(request))
    page = queries.page_of(actor.business, wanted, request.GET.get("page", "1"))
    lines, end_h = lines_of(list(page.object_list))
    tally = queries.tally_of(actor.business, wanted)
    context: dict[str, object] = {
        "wanted": wanted,
        "problems": wanted.problems,
        "page": page,
        "lines": lines,
        "end_h": end_h,
        "worths": prices_seen() and any(line.machine.worth_usual is not None for line in lines),
        "tally": tally,
        "left_said": queries.left_said(actor.business, tally.waiting) if tally.waiting else "",
        "kinds": [(key, translated(said)) for key, said in KINDS],
        "calls": queries.CALL_LABELS.items(),
        "sorts": [(key, queries.SORTS[key][0]) for key in queries.sorts_seen()],
        "customers": tuple(queries.words_of(actor.business, "customer")),
        "places": tuple(queries.words_of(actor.business, "place")),
        "held": KEEP in actor.rights and actor.is_person and told("sign-in held", actor.business),
        "hook_off": KEEP in actor.rights and told("hook off", actor.business),
        "mail_held_up": KEEP in actor.rights and told("mail held up", actor.business),
        "brought": told("brought into the yard", actor.business),
        "hours_doubted": WHOLE in actor.rights and told("hours asked about in the yard", actor.business),
        "choosing": request.GET.get("choose") in ("1", "all"),
        "ticked": request.GET.get("choose") == "all",
    }
    if wanted.view == queries.STRIP:
        context["strip"] = strip_of(list(page.object_list), UnitSystem(actor.business.units))
    return render(request, "yard/yard.html", context, status=400 if wanted.problems else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: DeskRequest) -> HttpResponse:
    """A new machine from kind, name and hours."""
    actor = request.actor
    form = AddMachineForm(request.POST if request.method == "POST" else None, business=actor.business)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        machine_id: uuid.UUID = typed["machine_id"]
        about = About(*(typed[each] for each in ("name", "kind", "customer", "place", "asking_price", *WHICH_ONE)))
        try:
            machine = add_machine(
                actor,
                machine_id=machine_id,
                short_name=f"m-{machine_id.hex[:8]}",
                about=about,
                hours_text=typed["hours"],
                hours_h=form.hours_h,
            )
            return redirect("machine", machine.pk)
        except NotAllowedError as error:  # another yard's machine has this id, or one whose id begins alike
            form.add_error("machine_id", refused_at(error))
    return render(request, "yard/add.html", {"form": form}, status=400 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def bring(request: DeskRequest) -> HttpResponse:
    """Machine files, sheets and price lists into the yard."""
    actor = request.actor
    if request.method != "POST":
        return render(request, "yard/bring.html")
    try:
        sent = sent_files(request)
        if is_list(sent):
            return start_list(actor, sent[0])
        brought = bring_in(actor, found_in(sent))
    except (InputError, NotAllowedError) as error:
        return render(request, "yard/bring.html", {"problems": problems_of(error)}, status=400)
    judge_soon()
    _tell(request, brought)
    return redirect("yard")


def _tell(request: DeskRequest, brought: Brought) -> None:
    """Say what an import did."""
    said = [
        translated("{n} machines added.").format(n=as_figure(len(brought.added), ","))
        if len(brought.added) != 1
        else translated("{added} added.").format(added=brought.added[0])
    ]
    if brought.unchanged:
        said.append(
            translated("{n} were there already, unchanged.").format(n=as_figure(len(brought.unchanged), ","))
        )
    if brought.prices:
        said.append(translated("A new price list is in force."))
    if brought.left_alone:
        said.append(translated("Left alone: {listed}.").format(listed=", ".join(brought.left_alone[:5])))
    tell_undo(request, " ".join(said), brought.undoable)


@require_POST
def archive_ticked(request: DeskRequest) -> HttpResponse:
    """The ticked machines, out of the list or back in it."""
    actor = request.actor
    ids, archived = ids_sent(request, "machine"), Archived.of(request)["archived"]
    done = archive_several(actor, machine_ids=ids, archived=archived)
    tell_undo(
        request,
        done.said if done is not None else translated("No machine was ticked, so nothing was changed."),
        done,
    )
    return redirect(next_address(request, reverse("yard")))


def _uuid(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None


@require_POST
def demo(request: DeskRequest) -> HttpResponse:
    """The invented demo yard, into this one."""
    try:
        _tell(request, open_demo_yard(request.actor))
    except InputError as error:
        messages.error(
            request,
            translated("The demo yard cannot be opened here: {problems}").format(problems=error.problems[0]),
        )
    judge_soon()
    return redirect("yard")
