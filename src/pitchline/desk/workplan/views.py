"""The work plan's page, its moving, keeping and papers, and the calendar feed."""

import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpResponse, HttpResponseBase, JsonResponse, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.clock import today
from pitchline.desk.downloads import sent_file
from pitchline.desk.gearbook.queries import anything_in
from pitchline.desk.machine.missing import missing_of
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.papers import EARLIER_NAMES
from pitchline.desk.machine.queries import drafts_of, machine_of
from pitchline.desk.machine.shelved import KEPT, PLANNED, stops_shelved
from pitchline.desk.outlook.views import judged, judged_today
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import Reason, as_sent, ids_sent, lines_sent, why_typed
from pitchline.desk.prices import judged_prices, list_said, newest_prices, prices_of
from pitchline.desk.problems import problems_of
from pitchline.desk.thousands import figure_text
from pitchline.desk.workplan import actions
from pitchline.desk.workplan.feed import business_of, machine_address, machine_behind, told
from pitchline.desk.workplan.models import DecidedPlan, Plan
from pitchline.desk.workplan.pages import PlanPage, RailStop, money, plan_page
from pitchline.desk.workplan.papers import PLAN_PAPERS, PaperTold, nth_of
from pitchline.desk.workplan.queries import decided_plan, newest_plan, plan_for, plan_of
from pitchline.desk.workplan.question import FIELDS, asked_of
from pitchline.desk.workplan.stored import footing_of_row, planned
from pitchline.desk.workplan.worker import plan_soon
from pitchline.exchange.figures import hours_of
from pitchline.judge.plan_by_hand import cost_of, moved_plan, spots_for, steps_of
from pitchline.money.bid import with_asking
from pitchline.money.prices import PriceList
from pitchline.papers.stop import PlannedStop, planned_stops
from pitchline.trade.errors import InputError, NotAllowedError, Problem, phrase
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import Writing, as_figure, way_in_force, writing
from pitchline.verdict import MachinePlan, Verdict
from pitchline.words import translated
from pitchline.words.catalogue import refused


@require_safe
def plan(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """The plan for what the address asks; without anything asked, the newest one."""
    machine = machine_of(request.actor.business, machine_id)
    return _page(request, machine, as_sent(request))


def _page(
    request: DeskRequest,
    machine: Machine,
    typed: Mapping[str, str],
    *,
    problems: tuple[Problem, ...] = (),
    why: str = "",
    kept_now: bool = False,
    status: int = 200,
) -> HttpResponse:
    judgement, priced = judged(request, machine), newest_prices(machine.business) is not None
    kept = decided_plan(machine)
    context: dict[str, Any] = {
        "machine": machine,
        "judgement": judgement,
        "kept": kept,
        "why": why,
        "kept_now": kept_now,
    }
    if kept is not None:
        context["kept_page"] = _kept_page(kept)
    if machine.business.feed_secret:
        context["feed"] = request.build_absolute_uri(machine_address(machine.business, machine))
    if judgement is None or not priced:
        draft = next(iter(drafts_of(machine)), None)
        context["missing"] = missing_of(
            known_dossier(machine),
            machine.last_walk_on is not None,
            priced,
            anything_in(machine.business),
            draft is not None,
        )
        context["draft"] = draft
        context["new_sheet"] = uuid.uuid4()
        return render(request, "workplan/plan.html", context, status=status)
    wanted = {name: typed[name] for name in FIELDS if name in typed}
    newest = None if wanted else (kept.plan if kept is not None else newest_plan(machine))
    asked = asked_of(wanted if newest is None else newest.asked, machine.business.numbers)
    problems = problems or asked.problems
    found = newest or (plan_for(machine, judgement, asked) if asked.settings is not None else None)
    context["first_time"] = found is None and not wanted and not problems
    old = found is not None and found.judgement.footing != judgement.footing
    earlier = found is not None and not old and found.judgement.as_of < today()
    context |= {"asked": asked, "row": found, "old": old, "earlier": earlier}
    context["week"] = known_dossier(machine)
    context["currency"] = judgement.prices and prices_of(judgement.prices).currency
    if found is not None and found.state == Plan.DONE:
        verdict, cheapest = planned(found)
        with writing(_way(verdict)):
            problems = (*problems, *_done(typed, found, verdict, cheapest, kept, context))
    elif found is not None and found.state in (Plan.WANTED, Plan.WORKING):
        context["since_s"] = round((timezone.now() - (found.begun_at or found.asked_at)).total_seconds())
    context["problems"] = problems
    return render(request, "workplan/plan.html", context, status=400 if problems and status == 200 else status)


def _done(
    typed: Mapping[str, str],
    row: Plan,
    verdict: Verdict,
    cheapest: MachinePlan,
    kept: DecidedPlan | None,
    context: dict[str, Any],
) -> tuple[Problem, ...]:
    """Fill in a finished plan, moved where the address moves it; what it moves to no place comes back as problems."""
    prices = judged_prices(row.judgement)
    wanted = steps = list(steps_of(cheapest))
    problems: tuple[Problem, ...] = ()
    shown = verdict
    try:
        wanted = _steps(typed, cheapest, context["machine"].business.numbers)
        if wanted != steps:
            shown = replace(verdict, plan=moved_plan(footing_of_row(row), verdict, wanted))
            steps = wanted
    except NotAllowedError as error:
        problems = (error.problem,)
    moved = shown.plan or cheapest
    page = plan_page(shown, moved, prices, cheapest, steps, today(), _shelf(context["machine"], PLANNED))
    if problems:
        page = replace(page, rail=tuple(_refused(one, problems[0], typed, wanted) for one in page.rail))
    context |= {
        "shown": page,
        "moved": moved is not cheapest,
        "spared": _spared(verdict, shown, prices),
        "more": money(cheapest, moved.cost - cheapest.cost),
        "steps": ",".join(map(str, steps)),
    }
    if kept is not None and kept.plan_id == row.pk:
        context["kept_more"] = money(cheapest, kept.cost - cheapest.cost)
    return problems


def _refused(stop: RailStop, problem: Problem, typed: Mapping[str, str], wanted: list[int]) -> RailStop:
    """A lay-up's field as it was typed; one that was moved has the refusal beside it, where that is about a part."""
    is_moved = wanted[stop.number - 1 : stop.number] != [stop.step]
    return replace(stop, typed=typed.get(stop.name, ""), about=problem.field if is_moved else "")


def _spared(cheapest: Verdict, moved: Verdict, prices: PriceList | None) -> str:
    """What the stop before the first one costs by itself, where moving the first one makes it needless."""
    before, after = planned_stops(cheapest, prices), planned_stops(moved, prices)
    if not before or before[0].number or not after or not after[0].number or cheapest.plan is None:
        return ""
    beside = sum(charge.amount for charge in before[0].charges)
    return money(cheapest.plan, beside) if beside else ""


def _kept_page(kept: DecidedPlan) -> PlanPage:
    """A plan somebody decided on, whatever is asked or known by now."""
    verdict, moved = planned(kept)
    prices = judged_prices(kept.plan.judgement)
    with writing(_way(verdict)):
        return plan_page(verdict, moved, prices, moved, steps_of(moved), today(), _shelf(kept.machine, KEPT))


def _shelf(machine: Machine, way: str) -> Callable[[Sequence[PlannedStop]], Sequence[PlannedStop]]:
    """What looks on the shelf for the lay-ups of a plan."""
    return partial(stops_shelved, machine, way=way)


def _way(verdict: Verdict) -> Writing:
    """Figures as they were written when it was planned, words in the language of whoever looks."""
    return replace(verdict.writing, language=way_in_force().language)


def _steps(typed: Mapping[str, str], cheapest: MachinePlan, numbers: str) -> list[int]:
    """Where the stops are wanted: as steps, or as hours typed stop by stop; where nothing is asked, where they are cheapest.

    Raises
    ------
    NotAllowedError
        A figure that cannot be used.
    """
    text = typed.get("steps", "")
    found = list(steps_of(cheapest))
    if text:
        bits = text.split(",")
        if not all(bit.isdecimal() and len(bit) < 5 for bit in bits):
            raise NotAllowedError("steps", text[:60], "whole numbers parted by commas", "Open the plan again.")
        return [int(bit) for bit in bits]
    for number in range(1, len(found) + 1):
        hours = figure_text(typed.get(f"stop{number}", ""), numbers, cheapest.step_h, cheapest.horizon_h)
        if hours:
            found[number - 1] = round(
                hours_of(hours.removesuffix("h").rstrip(), phrase("lay-up {n}", n=number)) / cheapest.step_h
            )
    return found


@require_POST
def work_out(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Ask for a plan; it is worked out in the background."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    asked = asked_of(as_sent(request), actor.business.numbers)
    if asked.problems:
        return _page(request, machine, asked.typed)
    judgement: Judgement | None = judged_today(request, machine)
    if judgement is not None and judgement.prices_id is not None:
        actions.ask_for(actor, machine=machine, judgement=judgement, asked=asked)
        plan_soon()
    return redirect(f"{reverse('plan', args=[machine.pk])}?{urlencode(asked.typed)}")


@require_safe
def spots(request: DeskRequest, machine_id: uuid.UUID, plan_id: uuid.UUID) -> JsonResponse:
    """Every place one stop could be moved to, with what the whole plan would cost more, or why it cannot go there."""
    business = request.actor.business
    row = plan_of(business, machine_id, plan_id)
    _, cheapest = planned(row)
    footing, number = footing_of_row(row), request.GET.get("stop", "")
    try:
        steps = _steps(as_sent(request), cheapest, business.numbers)
        stop = int(number) if number.isdecimal() and len(number) < 4 else 0
        found = spots_for(footing, cheapest, stop, steps)
        now = cost_of(footing, cheapest, steps)
    except NotAllowedError as error:
        return JsonResponse({"refused": refused(error.problem)}, status=400)

    told_spots = [
        {"step": one.step, "said": f"{as_figure(one.at_h)} h"}
        | ({"refused": one.refused} if one.cost is None else {"cost": one.cost, "more": _more(cheapest, one.cost)})
        for one in found
    ]
    return JsonResponse({"stop": stop, "now": _more(cheapest, now), "least": cheapest.cost, "spots": told_spots})


def _more(cheapest: MachinePlan, cost: float) -> str:
    more = cost - cheapest.cost
    if abs(more) < 0.5:
        return translated("costs the same as the cheapest plan")
    if more > 0:
        return translated("costs {amount} more than the cheapest plan").format(amount=money(cheapest, more))
    return translated("costs {amount} less than the cheapest plan").format(amount=money(cheapest, -more))


@require_POST
def keep(request: DeskRequest, machine_id: uuid.UUID, plan_id: uuid.UUID) -> HttpResponse:
    """The plan as its stops are put, in force from now on."""
    actor = request.actor
    row = plan_of(actor.business, machine_id, plan_id)
    why = why_typed(request)
    try:
        steps = _steps(lines_sent(request), planned(row)[1], actor.business.numbers)
        why = Reason.of(request)["why"]
        actions.keep_plan(actor, plan=row, steps=steps, seen_kept=_seen(request), why=why)
    except (InputError, NotAllowedError) as error:
        return _again(request, row, why, problems_of(error), 400)
    except actions.DecidedMeanwhileError:
        return _again(request, row, why, (), 409, kept_now=True)
    messages.success(
        request,
        translated("This plan is kept. It stands in the calendar until another is kept or it is put away."),
    )
    return redirect("plan", machine_id)


def _again(
    request: DeskRequest,
    row: Plan,
    why: str,
    problems: tuple[Problem, ...],
    status: int,
    *,
    kept_now: bool = False,
) -> HttpResponse:
    """The page as it was sent, with what stands in the way."""
    typed = as_sent(request) | {name: row.asked.get(name, "") for name in FIELDS}
    machine = machine_of(row.business, row.machine_id)
    return _page(request, machine, typed, problems=problems, why=why, kept_now=kept_now, status=status)


def _seen(request: DeskRequest) -> uuid.UUID | None:
    return next(iter(ids_sent(request, "seen_kept")), None)


@require_POST
def put_away(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """No plan is in force any more; the page that follows still has it to keep again."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    try:
        actions.put_away(actor, machine=machine, seen_kept=_seen(request))
        messages.success(request, translated("Put away. The cheapest plan stands in the calendar again."))
    except actions.DecidedMeanwhileError:
        messages.error(request, translated("Another plan was kept meanwhile; it stands."))
    return redirect("plan", machine.pk)


@require_safe
def paper(request: DeskRequest, machine_id: uuid.UUID, plan_id: uuid.UUID, name: str) -> HttpResponse:
    """One paper of a plan's first stop; of the one kept where it is asked for."""
    business = request.actor.business
    row, name = plan_of(business, machine_id, plan_id), EARLIER_NAMES.get(name, name)
    if name not in PLAN_PAPERS:
        raise Http404("No such paper.")
    source: Plan | DecidedPlan = row
    if request.GET.get("kept") == "1":
        kept = decided_plan(row.machine)
        if kept is None or kept.plan_id != row.pk:
            raise Http404("This plan is not kept.")
        source = kept
    verdict, _ = planned(source)
    if (
        verdict.worth is not None
    ):  # a plan outlives another asking price, and its workbook tells the one that stands
        worth, offer = with_asking(verdict.worth, row.machine.asking_price)
        verdict = replace(verdict, worth=worth, bid=offer)
    prices = judged_prices(row.judgement)
    units, customer = UnitSystem(row.judgement.units), row.machine.customer
    on = max(today(), verdict.as_of)
    address = request.build_absolute_uri(reverse("machine", args=[machine_id]))
    nth = nth_of(source, on)
    content = PaperTold(
        verdict,
        prices,
        units,
        on,
        business.paper_name,
        customer,
        nth,
        row.machine.place,
        address,
        list_said(row.judgement.prices),
        _shelf(row.machine, KEPT if isinstance(source, DecidedPlan) else PLANNED),
    )
    try:
        with writing(verdict.writing):
            made = PLAN_PAPERS[name][2](content)
    except NotAllowedError as error:
        messages.error(request, refused(error.problem))
        return redirect("plan", machine_id)
    return sent_file(made, PLAN_PAPERS[name][1], f"{row.machine.short_name} {on} {name}")


@require_safe
@login_not_required
def feed(request: DeskRequest, secret: str) -> HttpResponseBase:
    """The stops of every machine of a yard, for whoever has the secret."""
    business = business_of(secret)
    if business is None:
        raise Http404("No such calendar.")
    machines = Machine.objects.filter(business=business, archived_at=None).exclude(judgement=None)
    return _calendar(
        request, business, list(machines.select_related("business").defer("file_text").order_by("short_name"))
    )


@require_safe
@login_not_required
def machine_feed(request: DeskRequest, machine_id: uuid.UUID, mark: str) -> HttpResponseBase:
    """The stops of one machine, for whoever has its address."""
    machine = machine_behind(machine_id, mark)
    if machine is None:
        raise Http404("No such calendar.")
    return _calendar(request, machine.business, [machine])


def _calendar(request: DeskRequest, business: Business, machines: Sequence[Machine]) -> HttpResponseBase:
    response = StreamingHttpResponse(
        told(business, machines, request.build_absolute_uri("/")), content_type="text/calendar; charset=utf-8"
    )
    response.headers["Cache-Control"] = "private, max-age=900"
    response.headers["Content-Disposition"] = 'inline; filename="jobs.ics"'
    response.headers["X-Robots-Tag"] = "noindex"
    return response
