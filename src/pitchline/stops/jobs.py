"""Which job a worn part, a finding or a setting leads to, on what, and what goes into it."""

from pitchline.trade.dossier import Limit
from pitchline.trade.findings import Finding
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import RunningGear, TrackKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import Saying, saying

_WHOLE_CHAIN = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK)

USUAL_AT_LIMIT: dict[PartKind, JobKind] = {
    PartKind.SHOE: JobKind.RESHOE,
    PartKind.SLEW_RING: JobKind.INVESTIGATE,
}
"""What is done when a part is at its limit; all others are replaced. Common practice, no source; a limit can say otherwise."""


def job_at_limit(limit: Limit, turnable: bool) -> JobKind:
    """The job of a part at its wear limit.

    Parameters
    ----------
    limit : Limit
        The yard's limit, which may name the job.
    turnable : bool
        Whether the chain's bushes are still on their first side.

    Returns
    -------
    JobKind
        A chain stretched to its limit with bushes not yet turned is turned; it brings the pitch back.

    References
    ----------
    Common practice, no source.
    """
    if limit.at_limit is not None:
        return limit.at_limit
    if limit.part is PartKind.CHAIN and turnable:
        return JobKind.TURN
    return USUAL_AT_LIMIT.get(limit.part, JobKind.REPLACE)


def target_of(job: JobKind, place: Place) -> Place:
    """Where a job is really done: links and bushes are changed as a whole chain.

    Returns
    -------
    Place
        The chain of that side for its links and bushes, the bushes for a turn, else the place itself.

    References
    ----------
    Common practice, no source.
    """
    if job is JobKind.TURN:
        return Place(PartKind.BUSH, place.side)
    if job is JobKind.REPLACE and place.part in _WHOLE_CHAIN:
        return Place(PartKind.CHAIN, place.side)
    return place


def job_of_finding(finding: Finding) -> JobKind:
    """The job a finding leads to.

    Returns
    -------
    JobKind
        A cracked link or bush is looked into before a chain is condemned; shoes are re-shod.

    References
    ----------
    Common practice, no source.
    """
    if finding.job is JobKind.REPLACE and finding.place.part in _WHOLE_CHAIN:
        return JobKind.INVESTIGATE
    if finding.job is JobKind.REPLACE and finding.place.part is PartKind.SHOE:
        return JobKind.RESHOE
    return finding.job


def pieces_at(job: JobKind, part: PartKind, gear: RunningGear, side: Side = Side.NONE) -> int:
    """Pieces in a whole place: shoes or pads on one side, joints of a chain; 1 for everything else.

    Parameters
    ----------
    job : JobKind
        What is done; a chain that is renewed has its full count of joints again.
    part : PartKind
        To what.
    gear : RunningGear
        Counts the joints.
    side : Side
        Whose; of no side a whole chain's.

    Returns
    -------
    int
        From 1.
    """
    if part is PartKind.SHOE:
        return gear.joints(side)
    if part is PartKind.PAD:
        return gear.joints(side) * (gear.pads_per_shoe if gear.track is TrackKind.STEEL_BOLTED_PADS else 1)
    if part in _WHOLE_CHAIN and job in (JobKind.REPLACE, JobKind.TURN):
        return gear.joints(side) if job is JobKind.TURN else gear.joints_per_side
    return 1


_STEPS = {JobKind.CLEAN_OUT: 0, JobKind.ADJUST: 2}
"""Dug out first, set last; the rest between."""
_BOLTED_ANEW = (PartKind.CHAIN, PartKind.SHOE, PartKind.PAD)


def step_of(job: JobKind) -> int:
    """When a job comes among others of one stop.

    Returns
    -------
    int
        Small first: packed soil is dug out before anything else, and the sag is set when all else is done.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> sorted([JobKind.ADJUST, JobKind.TURN, JobKind.CLEAN_OUT], key=step_of)[0].value
    'clean_out'
    """
    return _STEPS.get(job, 1)


def check_after(job: JobKind, part: PartKind) -> Saying | None:
    """What is looked at again once a job's work has been in use for a shift.

    Returns
    -------
    Saying or None
        None where nothing settles. After a turn, a new chain, shoes, pads or a rubber track.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> check_after(JobKind.TURN, PartKind.BUSH).code
    'after.sag_and_bolts'
    """
    if job is JobKind.REPLACE and part is PartKind.RUBBER_TRACK:
        return saying("after.sag")
    renewed = job in (JobKind.REPLACE, JobKind.RESHOE) and part in _BOLTED_ANEW
    if job is JobKind.TURN or renewed:
        return saying("after.sag_and_bolts")
    return None


def bolts_at(place: Place, gear: RunningGear) -> int | None:
    """Bolts of a whole place, where the running gear says.

    Returns
    -------
    int or None
        Bolts of the shoes or pads of one side; None for other parts, and where nobody has counted them.
    """
    per_piece = {PartKind.SHOE: gear.bolts_per_shoe, PartKind.PAD: _bolts_per_pad(gear)}.get(place.part, 0)
    return pieces_at(JobKind.REFIT_BOLTS, place.part, gear, place.side) * per_piece or None


def _bolts_per_pad(gear: RunningGear) -> int:
    return gear.bolts_per_pad if gear.track is TrackKind.STEEL_BOLTED_PADS else gear.bolts_per_shoe


def parts_needed(
    job: JobKind, places: tuple[Place, ...], pieces: int, gear: RunningGear, bolted: int | None = None
) -> tuple[tuple[Saying, int], ...]:
    """What a job takes, and how many.

    Parameters
    ----------
    job : JobKind
        What is done.
    places : tuple of Place
        Where, one or more, all of one kind of part.
    pieces : int
        How many pieces over all places (joints, shoes, pads, bolts), from 1.
    gear : RunningGear
        The running gear.
    bolted : int or None
        Of these shoes or pads, those whose bolts are not counted with a new chain; None for all of them.

    Returns
    -------
    tuple of (Saying, int)
        Empty for work that takes no parts. What the machine file does not count is left out here; the order list names it.

    References
    ----------
    Counts follow from the running gear; what goes with what is common practice, no source.
    """
    counts = _counts(job, places, pieces, gear, pieces if bolted is None else bolted)
    return tuple((piece, count) for piece, count in counts if count)


def bolt_for(part: PartKind) -> Saying:
    """The bolt that holds a part; of a chain that of its joining link, for it is held by no other."""
    return saying("piece.joining_link_bolt") if part is PartKind.CHAIN else saying("piece.bolt", part=part)


def _counts(
    job: JobKind, places: tuple[Place, ...], pieces: int, gear: RunningGear, bolted: int
) -> tuple[tuple[Saying, int], ...]:
    """The same, with nothing for what is not known."""
    part = places[0].part
    if job in (JobKind.INVESTIGATE, JobKind.MEASURE, JobKind.ADJUST, JobKind.CLEAN_OUT, JobKind.REBUILD):
        return ()
    if job is JobKind.TURN:
        return ((saying("piece.to_turn"), pieces),)
    if job is JobKind.REFIT_BOLTS:
        return ((bolt_for(part), pieces),)
    if job is JobKind.REMOVE_JOINT:
        return ((saying("piece.joint_out"), pieces),)
    if part is PartKind.CHAIN:
        return (
            (saying("piece.chain", joints=gear.joints_per_side), len(places)),
            (saying("piece.shoe_bolt"), pieces * gear.bolts_per_shoe),
        )
    if part is PartKind.SHOE:
        return ((saying("piece.shoe"), pieces), (saying("piece.shoe_bolt"), bolted * gear.bolts_per_shoe))
    if part is PartKind.PAD:
        own = pieces if gear.track is TrackKind.STEEL_BOLTED_PADS else bolted
        return ((saying("piece.pad"), pieces), (saying("piece.pad_bolt"), own * _bolts_per_pad(gear)))
    if part is PartKind.SPROCKET and gear.sprocket_segments:
        return ((saying("piece.sprocket_segment"), len(places) * gear.sprocket_segments),)
    if part is PartKind.BOTTOM_ROLLER and gear.two_flange_rollers:
        two = sum(place.position in gear.two_flange_rollers for place in places)
        return ((saying("piece.roller_two_flanges"), two), (saying("piece.roller_one_flange"), len(places) - two))
    return ((saying("piece.part", part=part), len(places)),)
