"""A walk-round finished, taken up again, brought from a file, put away: what counts and what does not. Nothing is deleted."""

import uuid
from dataclasses import replace

from django.db import IntegrityError, transaction
from django.http import Http404
from django.utils import timezone

from pitchline.desk.bridge.machines import entered_dossier, known_dossier, whole_dossier
from pitchline.desk.bridge.sheets import (
    DAY,
    place_of,
    problem_of,
    rows_of,
    walk_round_of,
)
from pitchline.desk.machine.actions import mark_for_judging
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of, rows_on
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.walkround.actions import check_whole, locked, other_finished
from pitchline.desk.walkround.carry_over import carried_rows, let_go
from pitchline.desk.walkround.day_and_hours import HOURS, head_problems
from pitchline.desk.walkround.models import (
    ReadingRow,
    SeenRow,
    Sheet,
)
from pitchline.papers.names import place_said
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, Problem, phrase
from pitchline.trade.measurands import Measurand
from pitchline.trade.readings import WalkRound
from pitchline.words import translated
from pitchline.words.catalogue import NOTHING
from pitchline.words.labels import quantity


def finish_sheet(actor: Actor, *, sheet_id: uuid.UUID) -> bool:
    """Whether it was finished just now; a finished one stays as it is.

    What was seen last time on a part nobody looked over stands on it too.

    Raises
    ------
    InputError
        Lines that cannot be used.
    NotAllowedError
        No day, no hours, nothing on it, another walk-round of that day, or hours that cannot be.
    """
    with transaction.atomic():
        sheet = locked(actor, sheet_id)
        if sheet.state == Sheet.FINISHED:
            return False
        dossier = known_dossier(sheet.machine)
        if dossier is None:
            raise Http404("This machine has no running gear entered.")
        _raise_unfinished(sheet, dossier)
        walk_round = check_whole(sheet, dossier)
        if not walk_round.looked_at:
            allowed = translated("one part read or looked over at least")
            raise NotAllowedError("walk-round", translated("nothing on it"), allowed, "Read something.")
        sheet.state, sheet.finished_at = Sheet.FINISHED, timezone.now()
        sheet.save(update_fields=["state", "finished_at", "date", "service_h"])
        told = _carry_over(sheet, dossier)
        _newest(sheet.machine)
        note(actor, sheet.machine_id, [Told(phrase("walk-round finished"), "", str(walk_round.date)), *told])
    return True


def _carry_over(sheet: Sheet, dossier: Dossier) -> list[Told]:
    """What was written for the trail, a line for each finding nobody has looked at again."""
    others = [walk_round_of(one, rows_on(one), dossier) for one in other_finished(sheet)]
    whole = whole_dossier(dossier, others)
    rows = carried_rows(sheet, whole, rows_on(sheet).seen)
    SeenRow.objects.bulk_create(rows)
    return [
        Told(
            phrase("{kind:finding}, {place:place}, carried over", kind=row.kind, place=place_of(row).key),
            "",
            _carried_said(row),
        )
        for row in rows
    ]


def _carried_said(row: SeenRow) -> str:
    values = {"severity": row.how_bad, "day": str(row.last_seen_on)}
    if not row.note:
        return phrase("{severity:severity}; last seen {day:day}, not looked over since", **values)
    return phrase(
        "{severity:severity}; {note}; last seen {day:day}, not looked over since", note=row.note, **values
    )


def _raise_unfinished(sheet: Sheet, dossier: Dossier) -> None:
    """Nothing comes out where day, hours and every line can be used.

    Raises
    ------
    InputError
        With everything that cannot be used as typed, and what is missing of day and hours.
    """
    others = [walk_round_of(one, rows_on(one), dossier) for one in other_finished(sheet)]
    problems = head_problems(sheet, dossier, sorted(others, key=lambda one: one.date))
    if not sheet.date_text.strip():
        problems.append(Problem(DAY, NOTHING, "the day of the walk-round", "Enter it."))
    if not sheet.hours_text.strip():
        problems.append(Problem(HOURS, NOTHING, "what the hour meter shows", "Enter the hours."))
    for row in rows_on(sheet).readings:
        problem = problem_of(row, dossier)
        if problem is not None:
            where = place_of(row)
            what = quantity(Measurand(row.measurand))
            called = f"{what}, {place_said(where, dossier.gear)}"
            problems.append(replace(problem, field=called, seen=problem.seen or translated("no number of joints")))
    if problems:
        raise InputError(tuple(problems))


def reopen_sheet(actor: Actor, *, sheet_id: uuid.UUID, why: str) -> bool:
    """Whether a finished walk-round is a draft again; its figures are out of the judgement until it is finished anew.

    From now on a line's first change keeps what stood in the judgement, as a correction does.

    Raises
    ------
    NotAllowedError
        No reason was given.
    """
    with transaction.atomic():
        sheet = locked(actor, sheet_id)
        if sheet.state != Sheet.FINISHED:
            return False
        if not why.strip():
            raise NotAllowedError("why", translated("nothing"), "a reason for opening it again", "Say why.")
        sheet.state, sheet.finished_at = Sheet.DRAFT, timezone.now()
        sheet.save(update_fields=["state", "finished_at"])
        let_go(sheet)
        _newest(sheet.machine)
        note(
            actor,
            sheet.machine_id,
            [Told(phrase("walk-round taken up again"), phrase("finished"), phrase("draft"), why)],
        )
    return True


def _newest(machine: Machine) -> None:
    """Let the machine's row know its last walk-round, and mark it for judging."""
    last = machine.sheets.filter(state=Sheet.FINISHED).order_by("-date").values_list("date", "service_h").first()
    entered = entered_dossier(machine)
    worked_h = [one.service_h for one in entered.work] if entered is not None else []
    newest = (
        {"last_walk_on": last[0], "hours_h": max([last[1] or 0.0, *worked_h])} if last else {"last_walk_on": None}
    )
    Machine.objects.filter(pk=machine.pk).update(**newest)
    mark_for_judging(machine.pk)


def bring_sheet(actor: Actor, *, machine_id: uuid.UUID, walk_round: WalkRound) -> bool:
    """Whether a sheet from a file was added, finished; the same one again changes nothing.

    Raises
    ------
    NotAllowedError
        There is another walk-round of that day, or its hours cannot be.
    """
    machine = Machine.objects.filter(business=actor.business, pk=machine_id).first()
    dossier = dossier_of(machine) if machine is not None else None
    if machine is None or dossier is None:
        raise Http404("No such machine in this yard, or its running gear is not entered yet.")
    same_day = [one for one in dossier.walk_rounds if one.date == walk_round.date]
    if same_day and replace(same_day[0], source="") == replace(walk_round, source=""):
        return False
    whole_dossier(dossier, [*dossier.walk_rounds, walk_round])
    sheet, rows = rows_of(walk_round, dossier)
    sheet.business, sheet.machine, sheet.finished_at = actor.business, machine, timezone.now()
    try:
        with transaction.atomic():
            sheet.save(force_insert=True)
            for row in (*rows.readings, *rows.seen):
                row.sheet = sheet
            ReadingRow.objects.bulk_create(rows.readings)
            SeenRow.objects.bulk_create(rows.seen)
            _newest(machine)
            note(
                actor,
                machine.pk,
                [
                    Told(
                        phrase("walk-round brought in"),
                        "",
                        phrase(
                            "{day:day} from {source}", day=walk_round.date.isoformat(), source=walk_round.source
                        ),
                    )
                ],
            )
    except IntegrityError:
        step = translated("Correct that walk-round on its page.")
        raise NotAllowedError("date", walk_round.date, "one walk-round a day", step) from None
    return True


def set_put_away(actor: Actor, *, sheet_id: uuid.UUID, away: bool, why: str = "") -> None:
    """Nothing comes out; afterwards the walk-round is out of the way, or back as a draft. Nothing is deleted."""
    with transaction.atomic():
        sheet = locked(actor, sheet_id)
        if (sheet.state == Sheet.PUT_AWAY) is away:
            return
        told = Told(
            phrase("walk-round put away") if away else phrase("walk-round brought back"),
            "",
            str(sheet.date or ""),
            why,
        )
        sheet.state = Sheet.PUT_AWAY if away else Sheet.DRAFT
        sheet.save(update_fields=["state"])
        if not away:
            let_go(sheet)
        _newest(sheet.machine)
        note(actor, sheet.machine_id, [told])


def restore_state(actor: Actor, *, sheet_id: uuid.UUID, state: str, why: str) -> bool:
    """Whether a walk-round that was put away is now what it was before, finished or draft.

    Raises
    ------
    NotAllowedError
        There is another finished one of that day by now.
    """
    try:
        with transaction.atomic():
            sheet = locked(actor, sheet_id)
            if sheet.state != Sheet.PUT_AWAY:
                return False
            sheet.state = state
            sheet.save(update_fields=["state"])
            _newest(sheet.machine)
            note(
                actor,
                sheet.machine_id,
                [Told(phrase("walk-round brought back"), phrase(Sheet.PUT_AWAY), phrase(state), why)],
            )
    except IntegrityError:
        step = translated("Put that one away first, or bring this one back as a draft.")
        raise NotAllowedError(
            "walk-round", translated("there is another one of that day by now"), "one a day", step
        ) from None
    return True
