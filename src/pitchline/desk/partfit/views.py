"""Which part fits, asked by address alone; and the yard's tables of parts: brought in, looked at, put away, out again."""

import uuid
from typing import Any

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.downloads import sent_file
from pitchline.desk.gearbook.queries import anything_in
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.partfit import actions, pages, queries
from pitchline.desk.partfit.asking import DOUBT, answer_to, asked_of, torque_asked, unit_of
from pitchline.desk.partfit.forms import PREFIX, BoltAsked, ColumnsForm, WhichPart
from pitchline.desk.partfit.models import PartsTable
from pitchline.desk.partfit.stored import columns_of, part_of, read_anew, table_of
from pitchline.desk.partfit.whole import whole_of
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import Post, PutAway, as_sent, sent_id
from pitchline.desk.problems import problems_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.uploads import sent_files
from pitchline.exchange.grid_csv import csv_bytes
from pitchline.exchange.parts_own_table import guessed_columns, parts_csv
from pitchline.trade.errors import InputError, Problem
from pitchline.trade.parts import PartKind
from pitchline.words import translated
from pitchline.words.labels import singular

CSV = "text/csv; charset=utf-8"
EXAMPLES = 3


class Bring(Post):
    """The table a newer file replaces."""

    replaces = sent_id()


@require_safe
def which(request: DeskRequest) -> HttpResponse:
    """Which part of the yard's lists fits what was read of a worn one."""
    business = request.actor.business
    typed = as_sent(request)
    form = WhichPart(typed)
    problems = list(form.problems)
    machine_id = form.cleaned_data.get("machine")
    machine = machine_of(business, machine_id) if machine_id is not None else None
    context: dict[str, Any] = {"machine": machine, "unit": unit_of(business)}
    context |= {"any_list": queries.in_use(business).exclude(columns=[]).exists() or anything_in(business)}
    asked = asked_of(form, business)
    problems += asked.gathering.problems
    if asked.part is None:
        context |= {"cards": pages.cards(machine), "problems": problems}
        context |= {"whole": whole_of(machine) if machine is not None else None}
        return render(request, "partfit/which.html", context, status=400 if problems else 200)
    filled: dict[str, str] = {}
    if machine is not None and not any(name.startswith(PREFIX) for name in typed):
        filled, day, places = pages.filled_in(machine, asked.part, business)
        context |= {"day": day, "places": places} if filled else {}
    answered = None if problems else answer_to(business, asked)
    context |= {
        "part": singular(asked.part),
        "part_value": asked.part.value,
        "fields": pages.fields_of(asked, typed, business, filled, answered),
        "doubt": typed.get("doubt") or DOUBT[unit_of(business)],
        "problems": problems,
        "read": bool(asked.readings),
    }
    if answered is not None:
        context["shown"] = pages.shown(answered, asked, business, machine)
    return render(request, "partfit/which.html", context, status=400 if problems else 200)


@require_safe
def bolts(request: DeskRequest) -> HttpResponse:
    """Whether a torque somebody typed is plausible; nothing is kept."""
    typed = as_sent(request)
    form = BoltAsked(typed)
    said, problems = torque_asked(form, request.actor.business.numbers) if typed else ("", form.problems)
    context = {"form": form, "said": said, "problems": problems}
    return render(request, "partfit/bolts.html", context, status=400 if problems else 200)


@require_http_methods(["GET", "HEAD", "POST"])
def tables(request: DeskRequest) -> HttpResponse:
    """The yard's tables of parts, and bringing in another or a newer one."""
    actor = request.actor
    problems: tuple[Problem, ...] = ()
    if request.method == "POST":
        replaces_id = Bring.of(request)["replaces"]
        replaces = queries.table_by(actor.business, replaces_id) if replaces_id is not None else None
        try:
            row, done = actions.bring_table(actor, sent_files(request)[0], replaces)
        except InputError as error:
            problems = error.problems
        else:
            tell_undo(request, done.said, done)
            return redirect("parts-table" if row.columns else "parts-columns", row.pk)
    rows = list(queries.tables_of(actor.business).defer("rows"))
    context = {
        "tables": [_listed(row) for row in rows if row.put_away_at is None],
        "away": [row for row in rows if row.put_away_at is not None],
        "problems": problems,
    }
    return render(request, "partfit/tables.html", context, status=400 if problems else 200)


def _listed(row: PartsTable) -> tuple[PartsTable, str, int]:
    kinds = dict.fromkeys(one["part"] for one in row.parts)
    return row, ", ".join(singular(PartKind(kind)) for kind in kinds), len(row.parts)


@require_safe
def table(request: DeskRequest, table_id: uuid.UUID) -> HttpResponse:
    """One table: what was read of it, what could not be and why, what its columns hold."""
    row = queries.table_by(request.actor.business, table_id)
    not_used = read_anew(row)[1] if row.columns else ()
    context = {"row": row, "not_used": not_used, "columns": columns_of(row), "parts": len(row.parts)}
    context["kinds"] = _listed(row)[1]
    return render(request, "partfit/table.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def columns(request: DeskRequest, table_id: uuid.UUID) -> HttpResponse:
    """What each column of a table holds, asked once."""
    row = queries.table_by(request.actor.business, table_id)
    whole = table_of(row)
    known = columns_of(row) or guessed_columns(whole)
    form = ColumnsForm(
        request.POST if request.method == "POST" else None, columns=known, initial={"every": row.every}
    )
    problems: tuple[Problem, ...] = ()
    if request.method == "POST":
        problems = form.problems if not form.is_valid() else form.missing
        if not problems:
            try:
                done = actions.set_columns(
                    request.actor, table_id=row.pk, columns=form.chosen, every=form.cleaned_data["every"]
                )
            except InputError as error:
                problems = problems_of(error)
            else:
                tell_undo(request, done.said, done)
                return redirect("parts-table", row.pk)
    lines = [
        (
            column.heading,
            [line.word(column.heading) for line in whole.lines[:EXAMPLES]],
            form[f"holds_{at}"],
            form[f"unit_{at}"],
        )
        for at, column in enumerate(known)
    ]
    context = {"row": row, "form": form, "lines": lines, "problems": problems}
    return render(request, "partfit/columns.html", context, status=400 if problems else 200)


@require_POST
def away(request: DeskRequest, table_id: uuid.UUID) -> HttpResponse:
    """A table out of the way, or back."""
    done = actions.set_put_away(request.actor, table_id=table_id, away=PutAway.of(request)["away"])
    if done is not None:
        tell_undo(request, done.said, done)
    return redirect("parts-tables")


@require_safe
def blank(request: DeskRequest) -> HttpResponse:
    """An empty table with our columns."""
    return sent_file(parts_csv([]), CSV, "parts blank.csv")


@require_safe
def out(request: DeskRequest, table_id: uuid.UUID) -> HttpResponse:
    """The parts that were read of a table, in our columns."""
    row = queries.table_by(request.actor.business, table_id)
    return sent_file(parts_csv([part_of(one) for one in row.parts]), CSV, f"{row.name}.csv")


@require_safe
def as_it_came(request: DeskRequest, table_id: uuid.UUID) -> HttpResponse:
    """Every cell of a table as it was brought in."""
    row = queries.table_by(request.actor.business, table_id)
    return sent_file(csv_bytes(row.rows), CSV, translated("{name} as it came").format(name=row.name) + ".csv")
