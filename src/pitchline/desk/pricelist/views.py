"""Pages of the price list. What is typed is shown with what it moves before it is put in force."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.downloads import sent_file
from pitchline.desk.gearbook.queries import entries_of
from pitchline.desk.machine.papers import XLSX
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor, DeskRequest
from pitchline.desk.posts import Reason, as_sent
from pitchline.desk.pricelist.class_forms import Asked, ClassForm, Multiply, Sent, TimesForm
from pitchline.desk.pricelist.classes import class_in, classes_on, key_of
from pitchline.desk.pricelist.forms import PricesForm, Row
from pitchline.desk.pricelist.moves import Moves, moves_of, told_of
from pitchline.desk.prices import content_of, enter_prices, newest_prices, number_of_list, prices_of
from pitchline.desk.problems import problems_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.undo.models import Undoable
from pitchline.desk.uploads import Upload, sent_files
from pitchline.exchange.prices_file import rows_as_sent, write_blank_prices, write_prices
from pitchline.money.machine_class import EVERY, MachineClass
from pitchline.money.price_changes import Times, all_multiplied, copied, moved
from pitchline.money.prices import PriceList
from pitchline.papers.price_words import class_said
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.words import translated

KINDS = {"csv": "text/csv; charset=utf-8", "xlsx": XLSX}
SHOWN_LISTS = 20
"""Earlier lists a page tells of, our own choice; each stays and has its address."""


@dataclass(frozen=True, slots=True)
class Tab:
    """One class of machine with how many prices it has."""

    key: str
    said: str
    many: int
    here: bool


@dataclass(frozen=True, slots=True)
class Standing:
    """A business's prices as they are in force."""

    file: PriceFile | None
    listed: PriceList | None

    @property
    def number(self) -> int:
        """Which list it is; 0 where there is none."""
        return number_of_list(self.file) if self.file is not None else 0


def _standing(business: Business) -> Standing:
    file = newest_prices(business)
    return Standing(file, prices_of(file) if file is not None else None)


@require_http_methods(["GET", "HEAD", "POST"])
def prices(request: DeskRequest) -> HttpResponse:
    """The prices of one class of machine, to be changed; a file sent is put in force at once."""
    if request.method == "POST":
        return _bring(request) if request.FILES else _change(request)
    standing = _standing(request.actor.business)
    asked = Asked(as_sent(request))
    try:
        read = asked.read()
        which, shown = class_in(read["which"]), standing.listed
        if read["copy"] != "" and shown is not None and which != EVERY:
            times = TimesForm(request.GET, numbers=request.actor.business.numbers)
            source = EVERY if read["copy"] == "every" else class_in(read["copy"])
            if times.is_valid() and times.times is not None:
                shown = copied(shown, source, which, times.times)
    except (InputError, NotAllowedError) as error:
        return _page(request, standing, EVERY, problems=problems_of(error))
    form = _form(request, standing, which, shown=shown)
    return _page(request, standing, which, form, copied_in=shown is not standing.listed)


def _form(
    request: DeskRequest,
    standing: Standing,
    which: MachineClass,
    data: dict[str, str] | None = None,
    shown: PriceList | None = None,
) -> PricesForm:
    numbers = request.actor.business.numbers
    form = PricesForm(data, numbers=numbers, which=which, listed=standing.listed, shown=shown)
    form.initial["seen"] = standing.file.pk if standing.file else ""
    return form


def _change(request: DeskRequest) -> HttpResponse:
    actor = request.actor
    standing, sent = _standing(actor.business), Sent.of(request)
    try:
        which = class_in(sent["which"])
    except NotAllowedError as error:
        return _page(request, standing, EVERY, problems=problems_of(error))
    form = _form(request, standing, which, as_sent(request))
    if not form.is_valid() or form.prices is None:
        return _page(request, standing, which, form, status=400)
    if form.cleaned_data["seen"] != (standing.file.pk if standing.file else None):
        fresh = as_sent(request) | {"seen": str(standing.file.pk) if standing.file else ""}
        return _page(request, standing, which, _form(request, standing, which, fresh), meanwhile=True, status=409)
    if not sent["save"]:
        return _page(request, standing, which, form, moves=moves_of(actor.business, standing.listed, form.prices))
    done = _put(actor, standing, form.prices, form.cleaned_data["why"])
    _tell(request, done)
    return redirect(_address(which if which in classes_on(form.prices) else EVERY))


def _put(actor: Actor, standing: Standing, whole: PriceList, why: str) -> Undoable | None:
    """What takes the list back; None where it is the one in force already."""
    if standing.listed == whole:
        return None
    told = told_of(actor.business, standing.listed, whole, why)
    name = f"{Path(standing.file.name).stem if standing.file else 'prices'}.csv"
    return enter_prices(actor, name=name, content=content_of(whole), why=why, told=told)


def _tell(request: DeskRequest, done: Undoable | None) -> None:
    if done is None:
        messages.success(request, translated("Nothing was changed."))
        return
    judge_soon()
    tell_undo(
        request, translated("{said} Every machine whose prices moved is priced anew.").format(said=done.said), done
    )


def _bring(request: DeskRequest) -> HttpResponse:
    """A price list from a file, in force at once."""
    actor = request.actor
    sent: Upload | None = None
    try:
        sent = sent_files(request)[0]
        done = enter_prices(actor, name=sent.name, content=sent.content)
    except (InputError, NotAllowedError) as error:
        problems = problems_of(error)
        rows = _wrong_rows(sent, problems) if sent is not None else []
        return _page(request, _standing(actor.business), EVERY, problems=problems, wrong_rows=rows)
    if done is None:
        messages.success(request, translated("That list is used already."))
    else:
        judge_soon()
        tell_undo(request, translated("The price list is used now; every machine is priced anew."), done)
    return redirect("prices")


def _wrong_rows(sent: Upload, problems: Sequence[Problem]) -> list[tuple[int, str, list[Problem]]]:
    """Each row of a refused file that something is wrong with, as it was sent, with what that is."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / f"prices{sent.ending}"
        path.write_bytes(sent.content)
        rows = rows_as_sent(path)
    found: dict[int, list[Problem]] = {}
    for one in problems:
        if one.row is not None and one.row <= len(rows):
            found.setdefault(one.row, []).append(one)
    return [(row, rows[row - 1], wrong) for row, wrong in sorted(found.items())]


def _page(
    request: DeskRequest,
    standing: Standing,
    which: MachineClass,
    form: PricesForm | None = None,
    *,
    problems: tuple[Problem, ...] = (),
    wrong_rows: Sequence[tuple[int, str, list[Problem]]] = (),
    moves: Moves | None = None,
    meanwhile: bool = False,
    copied_in: bool = False,
    status: int = 200,
) -> HttpResponse:
    business = request.actor.business
    form = form or _form(request, standing, which)
    units = UnitSystem(business.units)
    lines = [(row, _fallback(row, standing.listed, which)) for row in form.rows]
    context: dict[str, Any] = {
        "file": standing.file,
        "number": standing.number,
        "listed": standing.listed,
        "currency": standing.listed.currency if standing.listed else "",
        "form": form,
        "which": key_of(which),
        "every": which == EVERY,
        "class_said": class_said(which, units),
        "gear": which.gear,
        "tabs": _tabs(standing.listed, which, units),
        "big": [each for each in lines if not each[0].small],
        "small": [each for each in lines if each[0].small],
        "small_open": _any_wrong(form, [row for row, _ in lines if row.small]),
        "owning_open": any(field.errors for field in form.of_owning)
        or any(field.value() for field in form.of_owning),
        "owning": _reckoned(form.prices or standing.listed, which),
        "moves": moves,
        "moved_keys": _moved_keys(standing.listed, form),
        "meanwhile": meanwhile,
        "copied_in": copied_in,
        "problems": [one for one in problems if not wrong_rows or one.row is None],
        "wrong_rows": wrong_rows,
        "lists": _earlier(business),
        "unknown": _unknown_gear(business, standing.listed),
    }
    return render(
        request, "pricelist/prices.html", context, status=status if status != 200 or not problems else 400
    )


def _fallback(row: Row, listed: PriceList | None, which: MachineClass) -> str:
    """The usual price of every machine, which a class without its own takes; empty where there is none."""
    if listed is None or which == EVERY:
        return ""
    line = next(
        (one for one in listed.lines if (one.job, one.part, one.which) == (row.job, row.part, EVERY)), None
    )
    return as_figure(line.price_usual, ",.10g") if line is not None else ""


def _tabs(listed: PriceList | None, here: MachineClass, units: UnitSystem) -> list[Tab]:
    found = classes_on(listed)
    return [
        Tab(
            key_of(which),
            class_said(which, units),
            sum(line.which == which for line in listed.lines) if listed is not None else 0,
            which == here,
        )
        for which in (found if here in found else (*found, here))
    ]


def _any_wrong(form: PricesForm, rows: Sequence[Row]) -> bool:
    return any(field.errors for row in rows for _, field in form.cells(row.key))


def _reckoned(listed: PriceList | None, which: MachineClass) -> Any:
    """What the standing hour of a class is reckoned to be; None where it is not reckoned."""
    return next((one.owning for one in listed.owning if one.which == which), None) if listed is not None else None


def _moved_keys(listed: PriceList | None, form: PricesForm) -> set[str]:
    if form.prices is None:
        return set()
    found = moved(listed, form.prices)
    return {f"{one.job.value}-{one.part.value}" for one in found if one.job is not None and one.part is not None}


def _earlier(business: Business) -> list[tuple[int, PriceFile]]:
    rows = PriceFile.objects.filter(business=business).defer("content").order_by("-entered_at")
    many, in_force = rows.count(), newest_prices(business)
    shown = [(many - n, row) for n, row in enumerate(rows[:SHOWN_LISTS])]
    return [(number, row) for number, row in shown if in_force is None or row.pk != in_force.pk]


def _unknown_gear(business: Business, listed: PriceList | None) -> list[str]:
    """Entries that prices are for and the gear list does not have, under any name they ever had."""
    wanted = {which.gear for which in classes_on(listed) if which.gear}
    if not wanted:
        return []
    entries = entries_of(business).filter(versions__name__in=wanted)
    return sorted(wanted - set(entries.values_list("versions__name", flat=True)))


def _address(which: MachineClass, **more: str) -> str:
    asked = {"which": key_of(which), **more}
    query = urlencode({name: text for name, text in asked.items() if text})
    return reverse("prices") + (f"?{query}" if query else "")


@require_safe
def add_class(request: DeskRequest) -> HttpResponse:
    """Another class of machine, or an entry of the gear list, with whose prices it begins; nothing is stored by it."""
    business = request.actor.business
    standing, units = _standing(business), UnitSystem(business.units)
    if standing.listed is None:
        messages.error(
            request,
            translated("Enter the prices of every machine first; a class takes from them what it has not."),
        )
        return redirect("prices")
    classes = [(key_of(one) or "every", class_said(one, units)) for one in classes_on(standing.listed)]
    names = list(entries_of(business).filter(put_away_at=None).values_list("name", flat=True))
    asked = request.GET if "family" in request.GET else None
    start = {"copy": "every", "percent": "100", "labour": "100", "step": "1"}
    form = ClassForm(
        asked, initial=start, numbers=business.numbers, listed=standing.listed, entries=names, classes=classes
    )
    if asked is not None and form.is_valid():
        typed = form.cleaned_data
        copy = "" if typed["copy"] == "none" else typed["copy"] or "every"
        more = {name: typed[name] for name in ("percent", "labour", "step")} if copy else {}
        return redirect(_address(form.which, copy=copy, **more))
    return render(request, "pricelist/class.html", {"form": form}, status=400 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def times(request: DeskRequest) -> HttpResponse:
    """The whole list times a percentage: first what it moves, then putting it in force."""
    actor = request.actor
    standing = _standing(actor.business)
    if standing.listed is None or standing.file is None:
        raise Http404("There is no price list to multiply.")
    asked = as_sent(request) if request.method == "POST" or "percent" in request.GET else None
    form = TimesForm(asked, initial={"percent": "", "labour": "100", "step": "1"}, numbers=actor.business.numbers)
    found: Times | None = form.times if asked is not None and form.is_valid() else None
    if found is not None and request.method == "POST":
        if Multiply.of(request)["list"] == standing.file.pk:
            why = Multiply.of(request)["why"]
            _tell(request, _put(actor, standing, all_multiplied(standing.listed, found), why))
            return redirect("prices")
        messages.error(
            request, translated("Somebody else changed the list meanwhile; nothing was changed. Look again.")
        )
    moves = moves_of(actor.business, standing.listed, all_multiplied(standing.listed, found)) if found else None
    context = {"form": form, "moves": moves, "file": standing.file, "number": standing.number}
    return render(request, "pricelist/times.html", context, status=400 if form.errors else 200)


@require_POST
def again(request: DeskRequest, list_id: uuid.UUID) -> HttpResponse:
    """An earlier list in force again, as a new one."""
    actor = request.actor
    file = _list(actor.business, list_id)
    why = Reason.of(request)["why"] or translated("again as in list {number_of_list}").format(
        number_of_list=number_of_list(file)
    )
    done = enter_prices(actor, name=file.name, content=bytes(file.content), why=why)
    _tell(request, done)
    return redirect("prices")


def _list(business: Business, list_id: uuid.UUID) -> PriceFile:
    file = PriceFile.objects.filter(business=business, pk=list_id).first()
    if file is None:
        raise Http404("No such price list.")
    return file


@require_safe
def download(request: DeskRequest, list_id: uuid.UUID, ending: str) -> HttpResponse:
    """A price list as a file, to be filled in further and brought back."""
    listed = prices_of(_list(request.actor.business, list_id))
    return _file(ending, "prices", lambda path: write_prices(listed, path))


@require_safe
def blank(request: DeskRequest, ending: str) -> HttpResponse:
    """A table that asks for every usual job and every figure."""
    return _file(ending, "prices blank", write_blank_prices)


def _file(ending: str, name: str, write: Any) -> HttpResponse:
    if ending not in KINDS:
        raise Http404("A price list is given as CSV or XLSX.")
    with TemporaryDirectory() as folder:
        path = Path(folder) / f"prices.{ending}"
        write(path)
        return sent_file(path.read_bytes(), KINDS[ending], f"{name}.{ending}")
