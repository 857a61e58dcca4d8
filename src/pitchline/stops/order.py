"""The order list of one stop: what to have there, counted from the running gear, and what the machine file does not say."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pitchline.stops.jobs import pieces_at
from pitchline.trade.jobs import Caution, JobKind, cautions_of
from pitchline.trade.jobs import opens_track as opens_track
from pitchline.trade.machine import ChainType, RunningGear, TrackKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import Saying, saying

_NOT_SAID = saying("order.not_in_file")
_CHAIN = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK)
_SLACKENED = (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER, PartKind.RUBBER_TRACK, PartKind.TRACK_ADJUSTER)
_WITH_SEALS = (ChainType.SEALED, ChainType.SEALED_AND_OILED)
_RENEWING = (JobKind.REPLACE, JobKind.REBUILD, JobKind.RESHELL)


@dataclass(frozen=True, slots=True)
class StopJob:
    """One job of a stop.

    Parameters
    ----------
    job : JobKind
        What is done.
    places : tuple of Place
        Where, one or more, all of one kind of part.
    pieces : int
        How many pieces over all places (joints, shoes, pads, bolts), from 1.
    labour_h : float or None
        Labour [h]; None where the price list does not say.
    """

    job: JobKind
    places: tuple[Place, ...]
    pieces: int
    labour_h: float | None = None

    @property
    def part(self) -> PartKind:
        """The kind of part it is done to."""
        return self.places[0].part


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line of an order list.

    Parameters
    ----------
    words : Saying
        What.
    count : int or None
        How many; None where it is not known.
    places : tuple of Place
        What for.
    note : Saying or None
        How the count comes about, or where to look what is not known.
    on_shelf : int or None
        How many of them lie on the yard's shelf; None where nobody looked there.
    """

    words: Saying
    count: int | None
    places: tuple[Place, ...]
    note: Saying | None = None
    on_shelf: int | None = None

    @property
    def known(self) -> Saying | None:
        """What to know of it: how its count comes about, and what of it is on the shelf."""
        if self.on_shelf is None or self.count is None:
            return self.note
        values = {"there": self.on_shelf, "to_order": self.count - self.on_shelf}
        return saying("order.on_shelf" if self.note is None else "order.noted_on_shelf", note=self.note, **values)


@dataclass(frozen=True, slots=True)
class OrderList:
    """What one stop needs.

    Parameters
    ----------
    parts : tuple of OrderLine
        To order, counted.
    handled : tuple of OrderLine
        Taken off, turned or built up and fitted again: nothing to order.
    consumables : tuple of OrderLine
        Used up by the work.
    ask : tuple of OrderLine
        Needed, but the machine file does not say how many or which.
    labour_h : float
        Labour of the jobs for which it is known [h].
    labour_not_known : tuple of StopJob
        Jobs without labour on the price list.
    opened : tuple of Side
        Sides whose track is opened.
    cautions : tuple of Caution
        Of all the jobs, each once, most frequent first in the order of the jobs.

    References
    ----------
    Counts follow from the running gear; what goes with what is common practice, no source.
    """

    parts: tuple[OrderLine, ...]
    handled: tuple[OrderLine, ...]
    consumables: tuple[OrderLine, ...]
    ask: tuple[OrderLine, ...]
    labour_h: float
    labour_not_known: tuple[StopJob, ...]
    opened: tuple[Side, ...]
    cautions: tuple[Caution, ...]


def sides_opened(jobs: tuple[StopJob, ...], gear: RunningGear) -> tuple[Side, ...]:
    """Sides whose track some jobs open, left first.

    References
    ----------
    Common practice, no source.
    """
    opened = {place.side for job in jobs if opens_track(job.job, job.part, gear) for place in job.places}
    return tuple(side for side in Side if side in opened)


def order_list(jobs: tuple[StopJob, ...], gear: RunningGear) -> OrderList:
    """What a stop needs, counted once over all its jobs.

    Parameters
    ----------
    jobs : tuple of StopJob
        The jobs of one stop.
    gear : RunningGear
        The running gear: the only source of counts.

    References
    ----------
    Counts follow from the running gear; what goes with what is common practice, no source.
    """
    parts = [line for job in jobs for line in _parts(job, gear)]
    parts += [*_for_joints_out(jobs, gear), *_shoe_bolts(jobs, gear)]
    found = Counter(caution for job in jobs for caution in cautions_of(job.job, job.part, gear))
    return OrderList(
        parts=_merged(parts),
        handled=_merged([line for job in jobs for line in _handled(job, jobs, gear)]),
        consumables=tuple(_consumables(jobs, gear)),
        ask=_merged([line for job in jobs for line in _ask(job, gear)]),
        labour_h=sum(job.labour_h for job in jobs if job.labour_h is not None),
        labour_not_known=tuple(job for job in jobs if job.labour_h is None),
        opened=sides_opened(jobs, gear),
        cautions=tuple(found),
    )


def order_of_counts(counts: Iterable[tuple[JobKind, PartKind, int, bool]], gear: RunningGear) -> OrderList:
    """What parts and jobs somebody asked for take, without a plan.

    Parameters
    ----------
    counts : iterable of (JobKind, PartKind, int, bool)
        Each job, its part, how many, and whether that counts pieces (shoes, pads, joints) and not places.
    gear : RunningGear
        The running gear; what it has none of is left out.

    References
    ----------
    As in `order_list`.
    """
    jobs = []
    for job, part, many, is_pieces in counts:
        there = [place for place in gear.places() if place.part is part]
        whole = [pieces_at(job, part, gear, place.side) for place in there]
        if not there:
            continue
        if is_pieces:
            reached = next((n for n in range(1, len(there) + 1) if sum(whole[:n]) >= many), len(there))
            jobs.append(StopJob(job, tuple(there[:reached]), many))
        else:
            jobs.append(StopJob(job, tuple(there[:many]), sum(whole[:many])))
    return order_list(tuple(jobs), gear)


def order_of_part(part: PartKind, gear: RunningGear) -> OrderList:
    """What goes with a part when all of its kind on a machine are renewed, both sides.

    Parameters
    ----------
    part : PartKind
        What; on a running gear that has none, nothing.
    gear : RunningGear
        The running gear.

    References
    ----------
    As in `order_list`.
    """
    places = tuple(place for place in gear.places() if place.part is part)
    pieces = sum(pieces_at(JobKind.REPLACE, part, gear, place.side) for place in places)
    return order_list((StopJob(JobKind.REPLACE, places, pieces),) if places else (), gear)


def _merged(lines: list[OrderLine]) -> tuple[OrderLine, ...]:
    """Lines with the same words as one; not known with known stays not known."""
    found: dict[Saying, OrderLine] = {}
    for line in lines:
        old = found.get(line.words)
        if old is None:
            found[line.words] = line
            continue
        count = None if old.count is None or line.count is None else old.count + line.count
        places = tuple(dict.fromkeys((*old.places, *line.places)))
        found[line.words] = OrderLine(line.words, count, places, old.note or line.note)
    return tuple(found.values())


def _parts(job: StopJob, gear: RunningGear) -> Iterator[OrderLine]:
    """Parts to order for one job, shoe bolts left out."""
    part, places = job.part, job.places
    if job.job is JobKind.REFIT_BOLTS:
        held = "joining_link" if part is PartKind.CHAIN else "part"
        yield OrderLine(saying(f"order.{held}_bolt", part=part), job.pieces, places, saying("order.as_seen"))
    if job.job is JobKind.RESHELL:
        yield OrderLine(saying("order.shell", part=part), len(places), places)
    if job.job is JobKind.TURN and gear.chain_type in _WITH_SEALS:
        count = _counted(job, gear)
        yield OrderLine(saying("order.set_of_seals"), count, places, saying("order.set_to_a_joint"))
    if part is PartKind.SHOE and job.job in (JobKind.REPLACE, JobKind.RESHOE):
        yield OrderLine(saying("order.shoe"), job.pieces, places)
    elif job.job is JobKind.REPLACE and part is PartKind.PAD:
        yield from _pads(job, gear)
    elif job.job is JobKind.REPLACE and part in _CHAIN:
        which = "chain" if gear.chain_type is None else "chain_of_type"
        words = saying(f"order.{which}", joints=gear.joints_per_side, chain_type=gear.chain_type)
        yield OrderLine(words, len(places), places)
    elif job.job is JobKind.REPLACE and part is PartKind.SPROCKET and gear.sprocket_segments:
        note = saying("order.to_a_sprocket", count=gear.sprocket_segments)
        yield OrderLine(saying("order.sprocket_segment"), len(places) * gear.sprocket_segments, places, note)
    elif job.job is JobKind.REPLACE and part is PartKind.BOTTOM_ROLLER:
        yield from _bottom_rollers(places, gear)
    elif job.job in (JobKind.REPLACE, JobKind.RESHOE):
        yield OrderLine(saying("order.part", part=part), len(places), places)


def _bottom_rollers(places: tuple[Place, ...], gear: RunningGear) -> Iterator[OrderLine]:
    if not gear.two_flange_rollers:
        words, note = saying("order.part", part=PartKind.BOTTOM_ROLLER), saying("order.flanges_not_in_file")
        yield OrderLine(words, len(places), places, note)
        return
    for words, two in ((saying("order.roller_two_flanges"), True), (saying("order.roller_one_flange"), False)):
        mine = tuple(place for place in places if (place.position in gear.two_flange_rollers) is two)
        if mine:
            yield OrderLine(words, len(mine), mine)


def _pads(job: StopJob, gear: RunningGear) -> Iterator[OrderLine]:
    bolted = gear.track is TrackKind.STEEL_BOLTED_PADS
    yield OrderLine(saying("order.rubber_pad"), job.pieces, job.places)
    if bolted:
        count = job.pieces * gear.bolts_per_pad or None
        note = saying("order.to_a_pad", count=gear.bolts_per_pad) if count else _NOT_SAID
        yield OrderLine(saying("order.pad_bolt"), count, job.places, note)


def _shoe_bolts(jobs: tuple[StopJob, ...], gear: RunningGear) -> Iterator[OrderLine]:
    """Bolts of shoes, or of pads in their place: once where a chain and its shoes are changed together."""
    chains = {place.side for job in jobs if _new_chain(job) for place in job.places}
    shod = [job for job in jobs if _takes_shoe_bolts(job, gear)]
    places = [place for job in jobs if _new_chain(job) for place in job.places]
    shoes = len(chains) * gear.joints_per_side
    for job in shod:
        beside = [place for place in job.places if place.side not in chains]
        if job.pieces == _joints(job, gear):
            shoes += sum(gear.joints(place.side) for place in beside)
        elif beside:
            shoes += job.pieces
        places += beside
    if shoes:
        what = "pad" if gear.track is TrackKind.STEEL_PAD_SHOES else "shoe"
        count = shoes * gear.bolts_per_shoe or None
        note = saying(f"order.to_a_{what}", count=gear.bolts_per_shoe) if count else _NOT_SAID
        yield OrderLine(saying(f"order.{what}_bolt"), count, tuple(dict.fromkeys(places)), note)


def _new_chain(job: StopJob) -> bool:
    return job.job is JobKind.REPLACE and job.part in _CHAIN


def _takes_shoe_bolts(job: StopJob, gear: RunningGear) -> bool:
    if job.part is PartKind.SHOE:
        return job.job in (JobKind.REPLACE, JobKind.RESHOE)
    return job.part is PartKind.PAD and job.job is JobKind.REPLACE and gear.track is TrackKind.STEEL_PAD_SHOES


def _handled(job: StopJob, jobs: tuple[StopJob, ...], gear: RunningGear) -> Iterator[OrderLine]:
    part, places = job.part, job.places
    if job.job is JobKind.TURN:
        count, a_side = _counted(job, gear), {gear.joints(place.side) for place in places}
        note = saying("order.to_a_side", count=a_side.pop()) if len(a_side) == 1 else None
        yield OrderLine(saying("order.to_turn"), count, places, note)
    if job.job is JobKind.REMOVE_JOINT:
        yield OrderLine(saying("order.to_take_out"), job.pieces, places)
    if job.job is JobKind.REBUILD:
        count = job.pieces if part is PartKind.SHOE else len(places)
        what = "shoe" if part is PartKind.SHOE else "part"
        yield OrderLine(saying(f"order.{what}_to_build_up", part=part), count, places)
    if _new_chain(job):
        kept = tuple(place for place in places if place.side in sides_taken_over(jobs, gear))
        if kept:
            what = "pad" if gear.track is TrackKind.STEEL_PAD_SHOES else "shoe"
            count = sum(gear.joints(place.side) for place in kept)
            yield OrderLine(saying(f"order.{what}_to_take_over"), count, kept)


def _for_joints_out(jobs: tuple[StopJob, ...], gear: RunningGear) -> Iterator[OrderLine]:
    """A new chain is whole again: for each joint that the old one lacks, a shoe more than it had."""
    what = PartKind.PAD if gear.track is TrackKind.STEEL_PAD_SHOES else PartKind.SHOE
    places = [place for job in jobs if _new_chain(job) for place in job.places]
    lacking = tuple(place for place in places if gear.joints(place.side) < gear.joints_per_side)
    if lacking and (gear.count(PartKind.SHOE) or what is PartKind.PAD):
        words = saying("order.rubber_pad" if what is PartKind.PAD else "order.shoe")
        count = sum(gear.joints_per_side - gear.joints(place.side) for place in lacking)
        yield OrderLine(words, count, lacking, saying("order.for_joints_out"))


def _counted(job: StopJob, gear: RunningGear) -> int:
    return sum(pieces_at(job.job, job.part, gear, place.side) for place in job.places)


def _joints(job: StopJob, gear: RunningGear) -> int:
    return sum(gear.joints(place.side) for place in job.places)


def sides_taken_over(jobs: tuple[StopJob, ...], gear: RunningGear) -> tuple[Side, ...]:
    """Sides whose old shoes, or pads in their place, are bolted to a new chain.

    Parameters
    ----------
    jobs : tuple of StopJob
        The jobs of one lay-up.
    gear : RunningGear
        Says whether it has any.

    Returns
    -------
    tuple of Side
        Those with a new chain and without new shoes.
    """
    if not (gear.count(PartKind.SHOE) or gear.track is TrackKind.STEEL_PAD_SHOES):
        return ()
    whole = [job for job in jobs if job.pieces >= _joints(job, gear)]
    shod = {place.side for job in whole if _takes_shoe_bolts(job, gear) for place in job.places}
    chains = {place.side for job in jobs if _new_chain(job) for place in job.places}
    return tuple(side for side in Side if side in chains - shod)


def _consumables(jobs: tuple[StopJob, ...], gear: RunningGear) -> Iterator[OrderLine]:
    slackened = [
        place
        for job in jobs
        if job.job is JobKind.ADJUST
        or opens_track(job.job, job.part, gear)
        or (job.job in _RENEWING and job.part in (*_SLACKENED, PartKind.IDLER))
        for place in job.places
    ]
    adjusters = [Place(PartKind.TRACK_ADJUSTER, side) for side in Side if any(p.side is side for p in slackened)]
    if adjusters:
        yield OrderLine(saying("order.grease"), None, tuple(adjusters), saying("order.shows_when_set"))
    opened = tuple(place for job in jobs if job.job is JobKind.TURN for place in job.places)
    if opened and gear.chain_type is ChainType.SEALED_AND_OILED:
        yield OrderLine(saying("order.oil"), None, opened, saying("order.by_the_manual"))
    built_up = [place for job in jobs if job.job is JobKind.REBUILD for place in job.places]
    if built_up:
        yield OrderLine(saying("order.welding_wire"), None, tuple(built_up), saying("order.by_the_procedure"))


def _ask(job: StopJob, gear: RunningGear) -> Iterator[OrderLine]:
    """What a job takes that the machine file does not count."""
    part, places = job.part, job.places
    if opens_track(job.job, part, gear):
        opened = tuple(dict.fromkeys(Place(PartKind.CHAIN, place.side) for place in places))
        yield OrderLine(saying("order.joining_pin"), None, opened, saying("order.kind_not_in_file"))
    if job.job is JobKind.TURN and gear.chain_type is None:
        yield OrderLine(saying("order.joint_seals"), None, places, saying("order.sealed_not_in_file"))
    if _new_chain(job) and gear.chain_type is None:
        yield OrderLine(saying("order.chain_type"), None, places, saying("order.which_not_in_file"))
    if job.job is JobKind.REPLACE and part in (
        PartKind.BOTTOM_ROLLER,
        PartKind.UPPER_ROLLER,
        PartKind.IDLER,
        PartKind.SPROCKET,
    ):
        words, note = saying("order.fixing_bolts", part=part), saying("order.how_many_not_in_file")
        yield OrderLine(words, None, places, note)
