"""Judging a machine and keeping the judgement: read, compute with the core, then a short transaction that writes."""

import datetime as dt
import logging
import uuid
from collections.abc import Callable, Collection
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace

from django.db import IntegrityError, OperationalError, transaction
from django.db.models import F, Manager, Q, QuerySet
from django.dispatch import Signal

from pitchline.desk.bridge.figures import (
    LIST_FIELDS,
    digest_of,
    footing_of,
    judgement_row,
    set_figures,
    verdict_of,
)
from pitchline.desk.bridge.machines import NO_GEAR, file_text_of
from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.clock import day_for, today
from pitchline.desk.constants import constants_in_force, learned_of
from pitchline.desk.machine.known_ground import judge
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.queries import dossier_of
from pitchline.desk.method import method_digest
from pitchline.desk.people.who import Actor
from pitchline.desk.piece_cache import let_go
from pitchline.desk.prices import digest_of_prices, kept_of, newest_prices, priced_machine, prices_of
from pitchline.desk.spoken import later
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import writing
from pitchline.verdict import Verdict
from pitchline.words.catalogue import refused

NO_WALK_ROUND = later("there is no finished walk-round yet")
FAILED = later(
    "the desk failed on this machine, its log says why; it is tried again when something of it changes, and after an upgrade"
)
PASSING_STAYS = dt.timedelta(days=2)
"""How long a passing judgement stays after the next, for whoever has its page open over night: our own choice."""
_LOG = logging.getLogger(__name__)
judged = Signal()
"""A judgement was written for a machine, or none can be: `machine` as it was before, `judgement` that is in force now or None."""
At = Callable[[uuid.UUID], AbstractContextManager[bool]]
"""Gives whether nobody else judges a machine, and nobody will meanwhile."""


def _alone(machine_id: uuid.UUID) -> AbstractContextManager[bool]:
    return nullcontext(True)


def judge_machine(actor: Actor, machine_id: uuid.UUID) -> Judgement | None:
    """The machine's judgement for today, made now unless the same inputs were judged for today before; None where it cannot be.

    What stands in the way is kept beside the machine in words. A machine that was changed meanwhile stays marked for judging.
    """
    return _judged(actor, _rows(Machine.objects).get(business=actor.business, pk=machine_id))


def _rows(machines: Manager[Machine] | QuerySet[Machine]) -> QuerySet[Machine]:
    """With what judging needs of each, and no more."""
    packed = ("judgement__inputs_packed", "judgement__verdict_packed")
    return machines.select_related("business", "judgement").defer(*packed)


def _judged(actor: Actor, machine: Machine) -> Judgement | None:
    with writing(machine.business.writing):
        return _judged_in_its_way(actor, machine)


def _judged_in_its_way(actor: Actor, machine: Machine) -> Judgement | None:
    prices = newest_prices(actor.business)
    try:
        dossier = dossier_of(machine)
        if dossier is None or not dossier.walk_rounds:
            _write(machine, None, NO_WALK_ROUND if dossier else NO_GEAR)
            return None
        judgement, verdict = _judgement(actor, machine, dossier, prices)
    except (InputError, NotAllowedError) as error:
        problems = error.problems if isinstance(error, InputError) else (error.problem,)
        _write(machine, None, " ".join(refused(problem) for problem in problems))
        return None
    set_figures(machine, verdict, dossier)
    return _write(machine, judgement, "")


def _judgement(
    actor: Actor, machine: Machine, dossier: Dossier, prices: PriceFile | None
) -> tuple[Judgement, Verdict]:
    inputs, units = file_text_of(dossier), machine.business.units
    way = machine.business.writing
    asking = dossier.asking
    # Hours fed move on like the calendar: a plan outlives the night, and a judgement made for a new day alone passes.
    seen = machine.hours_seen
    apart = replace(dossier, asking=None, hours_seen=() if seen else dossier.hours_seen)
    worked = file_text_of(apart) if seen or asking is not None else inputs
    priced = priced_machine(machine, dossier.machine)
    own = prices_of(prices).for_machine(priced) if prices else None
    constants = constants_in_force(actor.business)
    learned_as = constants.digest if constants is not None else ""
    footing, day = footing_of(worked, digest_of_prices(own), learned_as), day_for(dossier)
    known = Judgement.objects.filter(
        machine=machine, digest=digest_of(footing, units, way, day, asking, seen)
    ).first()
    if known is not None:
        return known, verdict_of(known)
    verdict = judge(dossier, own, day, UnitSystem(units), learned=learned_of(constants))
    judgement, before = judgement_row(verdict, inputs, footing, units, asking, seen), machine.judgement
    judgement.passing = (
        before is not None
        and before.call == judgement.call
        and (
            before.footing == footing
            and before.units == units
            and before.as_of < day  # nothing is new but its day and hours
            if seen
            else before.digest
            == digest_of(footing, units, way, before.as_of, asking)  # nothing is new but its day
        )
    )
    judgement.business, judgement.machine, judgement.who, judgement.prices = (
        actor.business,
        machine,
        actor.name,
        prices,
    )
    judgement.priced_as, judgement.constants = kept_of(priced), constants
    return judgement, verdict


def _write(machine: Machine, judgement: Judgement | None, because: str, tried_by: str = "") -> Judgement | None:
    """Write a judgement and the list's figures, unless the machine was marked again since it was read."""
    with transaction.atomic():
        if judgement is not None and judgement._state.adding:
            judgement, _ = Judgement.objects.get_or_create(
                machine=machine,
                digest=judgement.digest,
                defaults={
                    field.name: getattr(judgement, field.name)
                    for field in Judgement._meta.concrete_fields
                    if field.name not in ("machine", "digest", "made_at")
                },
            )
        figures = {name: getattr(machine, name) for name in LIST_FIELDS} if judgement is not None else {}
        if judgement is None:
            figures = {"call": "", "call_rank": -1, "due_said": "", "due_middle_h": None, "money_usual": None}
            figures |= {"worth_low": None, "worth_usual": None, "worth_high": None}
            figures |= {"due_cautious_h": None, "due_hopeful_h": None, "due_on": None}
            figures |= {
                "judged_for": None,
                "judged_by": tried_by,
                "carried_h": None,
                "stake": "",
                "looked_at": None,
                "looked_of": None,
            }
        written = Machine.objects.filter(pk=machine.pk, marked=machine.marked).update(
            judgement=judgement, to_judge=False, not_judged_because=because, **figures
        )
        if written:
            judged.send(Judgement, machine=machine, judgement=judgement)
    if (
        written
        and machine.judgement_id is not None
        and (judgement is None or judgement.pk != machine.judgement_id)
    ):
        let_go(str(machine.judgement_id))
        _make_room(machine.pk)
    return judgement


def _make_room(machine_id: uuid.UUID) -> None:
    """Nothing comes out; judgements that only a day's passing made, and nobody took anything from, are gone after some days."""
    passed = Judgement.objects.filter(
        machine=machine_id, passing=True, as_of__lt=today() - PASSING_STAYS, plans=None
    )
    for row in passed.only("as_of", "made_at"):
        later = Judgement.objects.filter(machine=machine_id, as_of=row.as_of, made_at__gt=row.made_at)
        newest = Machine.objects.filter(judgement=row.pk)
        if later.exists() or newest.exists():  # the number of a later quote of that day counts it
            continue
        try:
            with transaction.atomic():
                Judgement.objects.select_for_update().filter(pk=row.pk, passing=True).delete()
        except IntegrityError:  # somebody asked for a plan of it just now
            _LOG.debug("a judgement stays, a plan was made of it", exc_info=True)


def take_from(judgement: Judgement) -> None:
    """Nothing comes out; somebody takes a paper or a plan from this judgement, so it stays."""
    if judgement.passing:
        Judgement.objects.filter(pk=judgement.pk).update(passing=False)


def is_outdated(judgement: Judgement) -> bool:
    """Whether a judgement is for a day before today, or by another method than the one that judges now."""
    return judgement.as_of < today() or judgement.method_digest != method_digest()


def _waiting(but: Collection[uuid.UUID]) -> list[uuid.UUID]:
    """Some of the machines marked for judging, oldest first."""
    found = Machine.objects.filter(to_judge=True).exclude(pk__in=but)
    return list(found.order_by("created_at").values_list("pk", flat=True)[:100])


def _outdated() -> QuerySet[Machine]:
    judged, tried = Q(judgement__isnull=False), ~Q(judged_by="")
    old = judged & (Q(judged_for__lt=today()) | Q(judged_for=None)) | (judged | tried) & ~Q(
        judged_by=method_digest()
    )
    return Machine.objects.filter(old, archived_at=None, to_judge=False)


def outdated() -> list[uuid.UUID]:
    """Machines in the yard judged for a past day or by an earlier method, as the yard shows them: the most pressing first."""
    shown = _outdated().order_by(F("call_rank").desc(), F("due_middle_h").asc(nulls_last=True), "name")
    return list(shown.values_list("pk", flat=True))


def still_outdated(machine_id: uuid.UUID) -> Machine | None:
    """The machine as it is by now; None where somebody else was faster."""
    return _rows(_outdated()).filter(pk=machine_id).first()


def judge_waiting(then: Callable[[Machine, Judgement], None] | None = None, at: At = _alone) -> int:
    """How many machines were judged; afterwards none that was marked before is still marked, but what others are at.

    With `then`, what else to do with each machine and its new judgement. One that fails on our side holds up no other, and its
    page says so. Where the database failed, it stays marked, and that is raised when all others are done.
    """
    judged, failed, met = 0, dict[uuid.UUID, OperationalError](), True
    while met and (batch := _waiting(failed)):
        met = False
        for machine_id in batch:
            with at(machine_id) as mine:
                met = met or mine
                machine = _rows(Machine.objects).filter(pk=machine_id, to_judge=True).first()
                if not mine or machine is None:
                    continue
                try:
                    judge_here(machine, then)
                    judged += 1
                except OperationalError as error:
                    failed[machine_id] = error
                except Exception:
                    _LOG.exception("%s could not be judged", machine_id)
                    leave_unjudged(machine, FAILED)
    for first in failed.values():
        raise first
    return judged


def leave_unjudged(machine: Machine, because: str) -> None:
    """Nothing comes out; the machine says why it could not be judged, and is left until something of it or the method changes."""
    _write(machine, None, because, tried_by=method_digest())


def judge_here(machine: Machine, then: Callable[[Machine, Judgement], None] | None = None) -> None:
    """Nothing comes out; the machine is judged in the desk's own name, which is no act of a person, and `then` done with it."""
    judgement = _judged(Actor(machine.business), machine)
    if then is not None and judgement is not None:
        then(machine, judgement)
