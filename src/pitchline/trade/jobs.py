"""Jobs on running gear, and the cautions that belong beside them."""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import PARTS, PartKind


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

    @property
    def label(self) -> str:
        """Name for reading, as an order."""
        own = {
            JobKind.RESHOE: "re-shoe",
            JobKind.REMOVE_JOINT: "remove a joint",
            JobKind.MEASURE: "measure again",
            JobKind.INVESTIGATE: "look into",
        }
        return own.get(self, self.value.replace("_", " "))

    def order(self, what: str) -> str:
        """The job as an order on something, such as "turn bushes, left"."""
        if self in (JobKind.REMOVE_JOINT, JobKind.REFIT_BOLTS):
            return f"{self.label} of {what}"
        if self is JobKind.RESHOE:
            return f"{self.label} {what.replace(PARTS[PartKind.SHOE].plural, 'track', 1)}"
        return f"{self.label} {what}"


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


@dataclass(frozen=True, slots=True)
class CautionWords:
    """A caution in our words, and where it comes from.

    Parameters
    ----------
    title : str
        The hazard.
    text : str
        What to do and not to do.
    source : str
        Published source, or "common practice, no source".

    References
    ----------
    Our own words; the sources stand in each row.
    """

    title: str
    text: str
    source: str


WORKING_AID = (
    "A working aid, not a licence to work. The maker's manual, local codes and a competent person come first."
)
"""What stands below every paper, page and drawing that goes out by itself."""

CAUTIONS: dict[Caution, CautionWords] = {
    Caution.UNSAFE_MACHINE: CautionWords(
        "Do not work it",
        "It stands until this is done. A machine with a defect that affects safety is taken out of use and marked until a "
        "competent person has cleared it.",
        "30 CFR 57.14100",
    ),
    Caution.SLEW_RING: CautionWords(
        "Slew ring",
        "Nobody stands under the boom or within the swing of the upper machine while the ring is tested or its bolts are "
        "turned. Judge the increase over the base reading against the bearing maker's limit; bolts are fitted and "
        "tightened as the maker says.",
        "nobody under what is raised: OSHA 29 CFR 1926.600(a)(3)(i); the rest common practice, no source",
    ),
    Caution.GREASE_PRESSURE: CautionWords(
        "Grease under pressure",
        "Trained people only: the track adjuster holds grease at a pressure that can go through skin, and people have "
        "been killed by a fitting that flew off. Check the fittings are sound and tight, stand to one side, wear eye "
        "protection, never look into the relief valve, never reuse a part that has blown off. If grease has gone into "
        "skin, go to hospital at once even if it looks small.",
        "HSENI alert, 30 Sep 2014; HSE FOD 4-2014; HSE STSU 2-2017; HSE report RR976",
    ),
    Caution.RECOIL_SPRING: CautionWords(
        "Stored energy",
        "The recoil spring is preloaded far beyond what a person can hold, and pushes idler and yoke while they are fast. "
        "Release the track's tension first. Never weld on, nick, drop or open the spring without the maker's compression "
        "tool and guard.",
        "stored energy to be released or held: OSHA 29 CFR 1910.147(d)(5), number from memory; the rest common practice, "
        "no source",
    ),
    Caution.RAISED_MACHINE: CautionWords(
        "Raised machine",
        "Nobody goes under or between before the machine is blocked on solid timber that carries its weight on firm, "
        "level ground, and blade, bucket or boom is lowered or blocked. A jack or the machine's own hydraulics hold "
        "nothing by themselves; nobody is under it while it goes up or down.",
        "OSHA 29 CFR 1926.600(a)(3)(i); MSHA Program Policy Manual vol. V",
    ),
    Caution.ONE_TRACK_OFF: CautionWords(
        "One track off",
        "The machine stands on one track and its frame: level hard ground, blocked before the track is opened, no "
        "slewing, nothing lifted over the side, no travelling but as a guide directs.",
        "blocked whenever a track is off: NAVEDTRA 14273, number from memory; tipping: common practice, no source",
    ),
    Caution.HYDRAULIC_PRESSURE: CautionWords(
        "Hydraulic pressure",
        "Engine off, attachment on the ground, stored pressure let down and shown to be gone before a pipe or motor is "
        "opened. Look for leaks with card, never with a hand: oil that has gone into skin is an emergency.",
        "stored pressure to be let down: OSHA 29 CFR 1910.147(d)(5), number from memory; HSE STSU 2-2017 for what enters "
        "skin",
    ),
    Caution.MOVING_TRACK: CautionWords(
        "Moving track",
        "Power off and blocked against movement. Turn a track only as far as the work needs, with everyone clear of "
        "track, sprocket and idler.",
        "30 CFR 56.14105 and 56.14107",
    ),
    Caution.CRUSH: CautionWords(
        "Crushing",
        "A shoe or a track that is pried, lifted or let down closes the gap to frame, roller and bucket at once. No hand "
        "or foot in the gap; pry with a bar, and hold the run before anybody reaches in.",
        "guarded or blocked against movement: 30 CFR 56.14105; the rest common practice, no source",
    ),
    Caution.PRESSED_PINS: CautionWords(
        "Pressed pins",
        "Pins and presses throw metal. Use a track press with its guard, eye protection, and nobody in line with the pin. "
        "The end of an opened chain runs out fast: everyone clear, front and rear.",
        "common practice, no source",
    ),
    Caution.HOT_WORK: CautionWords(
        "Hot work and fire",
        "Welding, burning off bolts and heating: nothing closed is heated, no oil-filled roller, hollow pin or adjuster "
        "cylinder, which can burst. Grease, oil and dry brush packed in the gear are cleared first; extinguisher and a "
        "fire watch beside it.",
        "explosion of a closed container under a torch: NIOSH FACE 17OR007; fire prevention: OSHA 29 CFR 1926.352, number "
        "from memory",
    ),
    Caution.HEAVY_PARTS: CautionWords(
        "Heavy parts",
        "Chains, sprockets, idlers and rollers are lifted by a plan, with gear rated for the mass, nobody under them or "
        "in line with a tight sling; a chain can run off by its own weight when it is opened.",
        "common practice, no source",
    ),
    Caution.HOT_PARTS: CautionWords(
        "Hot oil and parts",
        "After travel, leaking or seized rollers, joints and final drives are hot enough to burn, and their oil sprays. "
        "Bring a hand near, not on; let it cool, open plugs slowly and stand aside.",
        "common practice, no source",
    ),
    Caution.JETS_AND_DIRT: CautionWords(
        "Jets and flying dirt",
        "A nozzle is never pointed at anybody and kept off seals and electrics; soil, stones and water come back: eye and "
        "face cover. Engine off before anybody digs between track and roller.",
        "Safe Work Australia, guide on high pressure water jetting, 2013; the rest common practice, no source",
    ),
    Caution.FLYING_CHIPS: CautionWords(
        "Flying chips",
        "Hammer on hardened bolts, pins and chisels throws splinters: face cover, a soft drift, no mushroomed heads, "
        "nobody in line.",
        "tools with mushroomed heads: OSHA 29 CFR 1926.301(b), number from memory; the rest common practice, no source",
    ),
}

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
    Our own table; the source of each caution is in CAUTIONS.

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
