"""What the running gear is worth today, part by part, from the outlook and the yard's prices."""

from dataclasses import dataclass

from pitchline.judge.machine_by_day import Known
from pitchline.money.amount import Money
from pitchline.money.cost import job_cost, total
from pitchline.money.prices import PriceList
from pitchline.money.worth import ValuedPart, Worth, against_half, worth_left
from pitchline.outlook.expected import LifeLeft, life_left
from pitchline.outlook.machine import LifeOutlook, MachineOutlook, is_turned_next
from pitchline.stops.jobs import job_at_limit, pieces_at, target_of
from pitchline.stops.order import StopJob, sides_opened
from pitchline.stops.work import Work
from pitchline.trade.calls import Call
from pitchline.trade.dossier import Event
from pitchline.trade.jobs import RENEWS, JobKind
from pitchline.trade.measurands import MEASURANDS, Measurand, Role, measurands_of
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import Saying, saying

_NO_NEW = (JobKind.INVESTIGATE, JobKind.MEASURE, JobKind.TURN)


@dataclass(frozen=True, slots=True)
class _Counted:
    """A place with the quantity that runs out first."""

    place: Place
    job: JobKind
    left: LifeLeft


def running_gear_worth(
    work: list[Work],
    known: Known,
    outlook: MachineOutlook | None,
    prices: PriceList | None,
) -> Worth | None:
    """What the running gear is worth today.

    Parameters
    ----------
    work : list of Work
        What the machine asks for.
    known : Known
        The dossier as it stood.
    outlook : MachineOutlook or None
        Hours left of each part.
    prices : PriceList or None
        The yard's list.

    Returns
    -------
    Worth or None
        None without a price list, or where nothing that was read is priced.

    References
    ----------
    Depreciated replacement cost, part by part (IVSC Guidance Note 8, 2005); see docs/explanation/money.md.
    """
    if prices is None or outlook is None:
        return None
    counted = _counted(outlook, known)
    valued, left_out = _valued(counted, _renewed_now(work, known), known, prices)
    if not valued:
        return None
    left, capped = worth_left(valued, prices.currency)
    put_right, not_priced = _put_right(work, prices)
    return Worth(
        as_new=total([part.installed for part in valued], prices.currency),
        left=left,
        against_half=against_half(valued, prices.currency),
        put_right=put_right,
        not_priced=not_priced,
        stop=_one_stop(work, known, prices),
        capped=capped,
        parts=valued,
        left_out=tuple(dict.fromkeys((*left_out, *_not_read(known, counted)))),
    )


def _valued(
    counted: list[_Counted], renewed: set[Place], known: Known, prices: PriceList
) -> tuple[tuple[ValuedPart, ...], list[Saying]]:
    """Parts with their price as new, and what has none; a part that is renewed today has nothing left."""
    parts, left_out = [], []
    for one in counted:
        pieces = pieces_at(one.job, one.place.part, known.dossier.gear, one.place.side)
        cost = job_cost(prices, one.job, one.place.part, 1, pieces)
        if cost.price is None:
            left_out.append(saying("price.job_not_on_list", part=one.place.part, job=one.job))
            continue
        left, now = one.left, one.place in renewed
        shares = (0.0, 0.0, 0.0) if now else (left.cautious, left.usual, left.hopeful)
        parts.append(ValuedPart(one.place, cost.price, *shares, put_right=now))
    return tuple(parts), left_out


def _counted(outlook: MachineOutlook, known: Known) -> list[_Counted]:
    """Each place whose wear was read, or made new since the last walk-round; the quantity that has least of its life left."""
    turnable = {part.life.place.side for part in outlook.parts if is_turned_next(part.life)}
    found: dict[Place, _Counted] = {}
    for part, left in zip(outlook.parts, life_left(outlook), strict=True):
        if not (part.life.traces or _new_since(part, known)) or _waits(part, turnable):
            continue
        at_limit = job_at_limit(part.life.line.limit, turnable=False)
        job = JobKind.REPLACE if at_limit in _NO_NEW else at_limit
        place = target_of(job, part.life.place)
        if place not in found or left.usual < found[place].left.usual:
            found[place] = _Counted(place, job, left)
    return sorted(
        found.values(), key=lambda one: (one.place.side.value, list(PartKind).index(one.place.part), one.place)
    )


def _new_since(part: LifeOutlook, known: Known) -> bool:
    """Whether it was fitted new or rebuilt after everything else was last looked at: then the record says how much is left."""
    started, last = part.life.started, known.dossier.walk_rounds[-1]
    made = started is not None and started.event in (Event.FITTED_NEW, Event.REBUILT)
    return made and started is not None and started.follows(last.date, last.service_h)


def _waits(part: LifeOutlook, turnable: set[Side]) -> bool:
    """The other face of bushes is counted with the first; a pitch comes back with the turn."""
    life = part.life
    if life.measurand is Measurand.BUSH_OD_REVERSE:
        return True
    return life.measurand is Measurand.PITCH and life.place.side in turnable


def _stops(work: list[Work]) -> list[Work]:
    return [item for item in work if item.call is Call.STOP]


def _renewed_now(work: list[Work], known: Known) -> set[Place]:
    """Places that the jobs called stop make as new; a few shoes of a side do not."""
    return {
        item.place
        for item in _stops(work)
        if item.job in RENEWS
        and item.pieces >= pieces_at(item.job, item.place.part, known.dossier.gear, item.place.side)
    }


def _put_right(work: list[Work], prices: PriceList) -> tuple[Money, tuple[Saying, ...]]:
    costs = [job_cost(prices, item.job, item.place.part, 1, item.pieces) for item in _stops(work)]
    priced = total([cost.price for cost in costs if cost.price is not None], prices.currency)
    return priced, tuple(dict.fromkeys(cost.not_priced for cost in costs if cost.not_priced))


def _one_stop(work: list[Work], known: Known, prices: PriceList) -> Money | None:
    """Cost of one stop for everything called stop; nothing where there is none."""
    stops = _stops(work)
    if not stops:
        return Money(0.0, 0.0, 0.0, prices.currency)
    if prices.stop is None:
        return None
    jobs = tuple(StopJob(item.job, (item.place,), item.pieces, _labour(item, prices)) for item in stops)
    standing_h = sum(job.labour_h for job in jobs if job.labour_h is not None)
    opened = len(sides_opened(jobs, known.dossier.gear))
    cost = sum(charge.amount for charge in prices.stop.charges(standing_h, known.as_of.month, opened))
    return Money(cost, cost, cost, prices.currency)


def _labour(item: Work, prices: PriceList) -> float | None:
    return job_cost(prices, item.job, item.place.part, 1, item.pieces).labour_h


def _not_read(known: Known, counted: list[_Counted]) -> list[Saying]:
    """Wearing parts with nothing counted for them, and parts that are judged by eye only."""
    there = {one.place for one in counted}
    said = []
    for place in known.dossier.gear.places():
        wears = any(MEASURANDS[measurand].role is Role.WEAR for measurand in measurands_of(place.part))
        if place in there or target_of(JobKind.REPLACE, place) in there:
            continue
        said.append(saying("worth.not_read" if wears else "worth.by_eye", part=place.part))
    return said
