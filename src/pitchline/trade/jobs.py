"""Jobs on running gear, and the cautions that belong beside them."""

from enum import StrEnum

from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import PartKind


class JobKind(StrEnum):
    """One thing done at a stop."""

    TURN = "turn"
    REPLACE = "replace"
    REBUILD = "rebuild"
    RESHOE = "reshoe"
    RESHELL = "reshell"
    ADJUST = "adjust"
    REMOVE_JOINT = "remove_joint"
    REFIT_BOLTS = "refit_bolts"
    CLEAN_OUT = "clean_out"
    INVESTIGATE = "investigate"
    MEASURE = "measure"


RENEWS = (JobKind.REPLACE, JobKind.RESHOE, JobKind.RESHELL, JobKind.REBUILD)
"""Jobs that put a part back to new."""


class Caution(StrEnum):
    """A hazard of the work, most dangerous first."""

    UNSAFE_MACHINE = "unsafe_machine"
    SLEW_RING = "slew_ring"
    GREASE_PRESSURE = "grease_pressure"
    RECOIL_SPRING = "recoil_spring"
    RAISED_MACHINE = "raised_machine"
    ONE_TRACK_OFF = "one_track_off"
    HYDRAULIC_PRESSURE = "hydraulic_pressure"
    MOVING_TRACK = "moving_track"
    CRUSH = "crush"
    PRESSED_PINS = "pressed_pins"
    HOT_WORK = "hot_work"
    HEAVY_PARTS = "heavy_parts"
    HOT_PARTS = "hot_parts"
    JETS_AND_DIRT = "jets_and_dirt"
    FLYING_CHIPS = "flying_chips"


SOURCES: dict[Caution, str] = {
    Caution.UNSAFE_MACHINE: "30 CFR 57.14100",
    Caution.SLEW_RING: "nobody under what is raised: OSHA 29 CFR 1926.600(a)(3)(i); the rest common practice, no source",
    Caution.GREASE_PRESSURE: "HSENI alert, 30 Sep 2014; HSE FOD 4-2014; HSE STSU 2-2017; HSE report RR976",
    Caution.RECOIL_SPRING: (
        "stored energy to be released or held: OSHA 29 CFR 1910.147(d)(5), number from memory; the rest common "
        "practice, no source"
    ),
    Caution.RAISED_MACHINE: "OSHA 29 CFR 1926.600(a)(3)(i); MSHA Program Policy Manual vol. V",
    Caution.ONE_TRACK_OFF: (
        "blocked whenever a track is off: NAVEDTRA 14273, number from memory; tipping: common practice, no source"
    ),
    Caution.HYDRAULIC_PRESSURE: (
        "stored pressure to be let down: OSHA 29 CFR 1910.147(d)(5), number from memory; HSE STSU 2-2017 for what "
        "enters skin"
    ),
    Caution.MOVING_TRACK: "30 CFR 56.14105 and 56.14107",
    Caution.CRUSH: "guarded or blocked against movement: 30 CFR 56.14105; the rest common practice, no source",
    Caution.PRESSED_PINS: "common practice, no source",
    Caution.HOT_WORK: (
        "explosion of a closed container under a torch: NIOSH FACE 17OR007; fire prevention: OSHA 29 CFR 1926.352, "
        "number from memory"
    ),
    Caution.HEAVY_PARTS: "common practice, no source",
    Caution.HOT_PARTS: "common practice, no source",
    Caution.JETS_AND_DIRT: "Safe Work Australia, guide on high pressure water jetting, 2013; the rest common practice, no source",
    Caution.FLYING_CHIPS: (
        "tools with mushroomed heads: OSHA 29 CFR 1926.301(b), number from memory; the rest common practice, no source"
    ),
}
"""Where each caution comes from: a published source, or common practice. Its words are our own, `words/cautions.py`."""

_J, _P, _C = JobKind, PartKind, Caution
_CHAIN = (_P.CHAIN, _P.BUSH, _P.LINK)
_ROLLERS = (_P.BOTTOM_ROLLER, _P.UPPER_ROLLER)
_FITTED = (_J.REPLACE, _J.RESHELL, _J.REBUILD)
"""Jobs for which a part comes off."""
_LOOKED_INTO = (_J.INVESTIGATE, _J.MEASURE)
_CRAWLED_UNDER = (*_LOOKED_INTO, _J.REFIT_BOLTS, _J.CLEAN_OUT)
_LOW_DOWN = (*_ROLLERS, _P.IDLER, _P.FINAL_DRIVE, _P.GUARD, _P.TRACK_ADJUSTER)
"""Jobs that people crawl under a machine for, and the parts they do it at."""


def opens_track(job: JobKind, part: PartKind, gear: RunningGear) -> bool:
    """Whether a job needs the chain opened.

    Parameters
    ----------
    job : JobKind
        What is done.
    part : PartKind
        To what.
    gear : RunningGear
        A sprocket in bolted segments is changed with the chain closed.

    Returns
    -------
    bool
        Never for a one-piece rubber track: there is nothing to open.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> from pitchline.trade.machine import SprocketGaps, TrackKind
    >>> gear = RunningGear(TrackKind.STEEL, 45, 0.2, 0.6, 23, SprocketGaps.EACH, 7, 2, sprocket_segments=5)
    >>> opens_track(JobKind.TURN, PartKind.BUSH, gear), opens_track(JobKind.REPLACE, PartKind.SPROCKET, gear)
    (True, False)
    """
    if not gear.has_chain:
        return False
    if job in (JobKind.TURN, JobKind.REMOVE_JOINT):
        return True
    if part is PartKind.SPROCKET:
        return job is JobKind.REPLACE and not gear.sprocket_segments
    return job in _FITTED and part in (*_CHAIN, PartKind.IDLER)


def cautions_of(job: JobKind, part: PartKind, gear: RunningGear) -> tuple[Caution, ...]:
    """The cautions that stand beside a job.

    Parameters
    ----------
    job : JobKind
        What is done.
    part : PartKind
        To what.
    gear : RunningGear
        A one-piece rubber track has no pins, and is lifted off whole; a sprocket in segments is changed under the closed chain.

    Returns
    -------
    tuple of Caution
        Each once, most dangerous first; never empty. Not to work the machine is no matter of the job but of its call: it is not
        among them.

    References
    ----------
    Our own table; the source of each caution is in SOURCES.

    Examples
    --------
    >>> from pitchline.trade.machine import SprocketGaps, TrackKind
    >>> gear = RunningGear(TrackKind.STEEL, 45, 0.2, 0.6, 23, SprocketGaps.EACH, 7, 2)
    >>> [c.value for c in cautions_of(JobKind.ADJUST, PartKind.CHAIN, gear)]
    ['grease_pressure', 'moving_track']
    """
    found = _on_slew_ring(job) if part is _P.SLEW_RING else _on_running_gear(job, part, gear)
    return tuple(caution for caution in Caution if caution in found)


def _on_slew_ring(job: JobKind) -> set[Caution]:
    lifted_off = {_C.RAISED_MACHINE, _C.HEAVY_PARTS} if job in _FITTED else set()
    welded = {_C.HOT_WORK} if job in (_J.REBUILD, _J.RESHELL) else set()
    return {_C.SLEW_RING} | lifted_off | welded


def _on_running_gear(job: JobKind, part: PartKind, gear: RunningGear) -> set[Caution]:
    opens = opens_track(job, part, gear) or (gear.has_chain and part is _P.FINAL_DRIVE and job in _FITTED)
    lifted_out = not gear.has_chain and part in (_P.RUBBER_TRACK, _P.IDLER, _P.SPROCKET, _P.FINAL_DRIVE)
    off = opens or (job in _FITTED and lifted_out)
    shoes = part in (_P.SHOE, _P.PAD) or job is _J.RESHOE
    found = {_C.MOVING_TRACK}
    if job is _J.ADJUST:
        return found | {_C.GREASE_PRESSURE} | ({_C.RECOIL_SPRING} if part is _P.TRACK_ADJUSTER else set())
    if off:
        found |= {_C.GREASE_PRESSURE, _C.RECOIL_SPRING, _C.RAISED_MACHINE, _C.ONE_TRACK_OFF, _C.HEAVY_PARTS}
    if opens:
        found |= {_C.PRESSED_PINS}
    if part is _P.TRACK_ADJUSTER:
        found |= {_C.GREASE_PRESSURE, _C.RECOIL_SPRING}
    if part is _P.IDLER:
        found |= {_C.RECOIL_SPRING}
    if job is _J.REFIT_BOLTS and part is _P.CHAIN:
        found |= {_C.GREASE_PRESSURE, _C.HEAVY_PARTS}
    if part in _ROLLERS and job in _FITTED:
        found |= {_C.GREASE_PRESSURE}
    if job in _FITTED and not shoes:
        found |= {_C.RAISED_MACHINE, _C.HEAVY_PARTS}
    if job in _CRAWLED_UNDER and part in _LOW_DOWN:
        found |= {_C.RAISED_MACHINE}
    return found | _by_the_work(job, part, shoes, gear)


def _by_the_work(job: JobKind, part: PartKind, shoes: bool, gear: RunningGear) -> set[Caution]:
    """What comes of the tools and the state of the part, and not of lifting or opening."""
    found: set[Caution] = set()
    if part is _P.FINAL_DRIVE and job is not _J.CLEAN_OUT:
        found |= {_C.HYDRAULIC_PRESSURE}
    if job is not _J.REFIT_BOLTS and part in (*_ROLLERS, _P.IDLER, _P.FINAL_DRIVE):
        found |= {_C.HOT_PARTS}
    if job in _LOOKED_INTO and part in _CHAIN:
        found |= {_C.HOT_PARTS}
    if job in (_J.REBUILD, _J.RESHELL, _J.RESHOE) or (job in (_J.REFIT_BOLTS, _J.REPLACE) and shoes):
        found |= {_C.HOT_WORK}
    if job in (_J.REFIT_BOLTS, _J.RESHOE) or (job in _FITTED and shoes):
        found |= {_C.FLYING_CHIPS}
    if job is _J.CLEAN_OUT:
        found |= {_C.JETS_AND_DIRT, _C.HOT_WORK, _C.CRUSH}
    if (shoes and job not in _LOOKED_INTO) or (part is _P.RUBBER_TRACK and job in _FITTED):
        found |= {_C.CRUSH}
    if job is _J.RESHOE:
        found |= {_C.HEAVY_PARTS}
    if job is _J.CLEAN_OUT and not gear.has_chain:
        found |= {_C.RAISED_MACHINE}
    return found
