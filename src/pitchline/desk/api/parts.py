"""Which part fits over the API: what was read of a worn part against the yard's own lists."""

import uuid
from functools import partial

from ninja import Path, Query, Router

from pitchline.desk.api.base import told
from pitchline.desk.api.bodies import PartAsked, TorqueAsked
from pitchline.desk.api.refused import RefusedError
from pitchline.desk.api.shapes import FittingPart, FittingParts, GearListed, GearsListed, TorqueSaid
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.partfit.asking import Answer, Asked, answer_to, asked_of, size_said, torque_asked
from pitchline.desk.partfit.forms import PREFIX, BoltAsked, WhichPart
from pitchline.desk.partfit.models import PartsTable
from pitchline.desk.partfit.whole import whole_of
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import DeskRequest
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.words import look_up, part_of
from pitchline.match.ranking import Ranked
from pitchline.match.wording import answer
from pitchline.trade.errors import NotAllowedError, Problem
from pitchline.trade.part_sizes import sizes_of_part
from pitchline.trade.parts import PartKind
from pitchline.trade.units import UnitSystem
from pitchline.words import say
from pitchline.words.names import named

router = Router(tags=["parts"])


@router.get("/parts/which", response=FittingParts, openapi_extra=told(409, 422))
def which_part(request: DeskRequest, asked: Query[PartAsked]) -> FittingParts:
    """Which part of the yard's tables and gear list fits what was read of a worn one, the likeliest first.

    409 where no list has such a part.
    """
    business = request.actor.business
    gathering = Gathering("")
    kind = gathering.attempt(partial(part_of, asked.part))
    typed = {"part": kind.value, "doubt": asked.doubt} | _typed(asked.read, kind, gathering) if kind else {}
    form = WhichPart(typed)
    read = asked_of(form, business) if form.is_valid() else Asked(None)
    if problems := (*gathering.problems, *form.problems, *read.gathering.problems):
        raise RefusedError(422, *problems)
    found = answer_to(business, read)
    if found is None:
        wanted = "a table or a running gear with such parts"
        raise RefusedError(409, Problem("lists", "nothing", wanted, "Bring a table of parts in first."))
    return _told(found, business)


@router.get("/machines/{machine_id}/whose-gear", response=GearsListed, openapi_extra=told(404, 409, 422))
def whose_gear(request: DeskRequest, machine_id: Path[uuid.UUID]) -> GearsListed:
    """Which running gear of the gear list a machine's is, by all that was read and counted on it.

    409 where the gear list is empty, or nothing is known of the machine's running gear.
    """
    found = whole_of(machine_of(request.actor.business, machine_id))
    if found is None:
        wanted = "a running gear in the gear list, and a machine whose running gear is entered"
        raise RefusedError(409, Problem("gear list", "nothing to compare", wanted, "Enter them first."))
    return GearsListed(
        said=found.said,
        fits=found.match.fits,
        none=found.match.none,
        gears=[
            GearListed(
                id=entry.pk,
                name=entry.name,
                chance=one.chance,
                does_not_agree=[
                    *(f"{named(part)}: {named(size)}" for part, size in one.outside),
                    *map(named, one.counts_apart),
                ],
                given=entry == found.given,
            )
            for one, (entry, _, _) in zip(found.match.ranked, found.rows, strict=True)
        ],
        read_next=[f"{named(part)}: {named(look.size)}" for part, look in found.match.looks],
        read_on=found.day.isoformat() if found.day else "",
    )


@router.get("/parts/bolt-torque", response=TorqueSaid, openapi_extra=told(422))
def bolt_torque(request: DeskRequest, asked: Query[TorqueAsked]) -> TorqueSaid:
    """Whether a torque of a manual or a label is plausible for a bolt, by ISO 898-1 and VDI 2230; never one to tighten by."""
    said, problems = torque_asked(BoltAsked(asked.model_dump()), request.actor.business.numbers)
    if problems:
        raise RefusedError(422, *problems)
    return TorqueSaid(said=said)


def _typed(text: str, kind: PartKind, gathering: Gathering) -> dict[str, str]:
    """The readings, by the field of each."""
    sizes = {named(size): size for size in sizes_of_part(kind)}
    found = {}
    for one in filter(str.strip, text.split(";")):
        name, equals, figure = one.partition("=")
        size = gathering.attempt(partial(look_up, name, sizes, "read"))
        if size is not None and (not equals or not figure.strip() or PREFIX + size.value in found):
            said = NotAllowedError("read", one.strip(), "each size once, an equals sign and its figure")
            gathering.take(said.problem)
        elif size is not None:
            found[PREFIX + size.value] = figure
    if not found and not gathering.problems:
        gathering.take(NotAllowedError("read", text, "one size or more").problem)
    return found


def _told(found: Answer, business: Business) -> FittingParts:
    match = found.match
    return FittingParts(
        said=say(answer(match, found.looks)),
        fits=match.fits,
        none=match.none,
        parts=[_part(one, found, UnitSystem(business.units)) for one in match.ranked],
        read_next=[named(one.size) for one in found.looks] if not match.fits else [],
        looked_through=found.parts,
    )


def _part(one: Ranked, found: Answer, units: UnitSystem) -> FittingPart:
    where = found.found[id(one.part)]
    return FittingPart(
        number=one.part.number,
        chance=one.chance,
        does_not_agree=[named(size) for size in one.outside],
        sizes={named(size): size_said(size, value, units) for size, value in one.part.sizes.items()},
        note=one.part.note,
        listed_in="table" if isinstance(where, PartsTable) else "gear list",
        list_id=where.pk,
        list_name=where.name,
    )
