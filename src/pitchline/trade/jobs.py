"""Jobs on running gear, and the cautions that belong beside them."""

from dataclasses import dataclass
from enum import StrEnum

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
        own = {JobKind.RESHOE: "re-shoe", JobKind.REMOVE_JOINT: "remove a joint", JobKind.MEASURE: "measure again"}
        return own.get(self, self.value.replace("_", " "))

    def order(self, what: str) -> str:
        """The job as an order on something, such as "turn bushes, left"."""
        if self in (JobKind.REMOVE_JOINT, JobKind.REFIT_BOLTS):
            return f"{self.label} of {what}"
        if self is JobKind.MEASURE:
            return f"{self.label}: {what}"
        if self is JobKind.RESHOE:
            return f"{self.label} {what.replace(PARTS[PartKind.SHOE].plural, 'track', 1)}"
        return f"{self.label} {what}"


RENEWS = (JobKind.REPLACE, JobKind.RESHOE, JobKind.RESHELL, JobKind.REBUILD)
"""Jobs that put a part back to new."""


class Caution(StrEnum):
    """A hazard of the work."""

    GREASE_PRESSURE = "grease_pressure"
    RECOIL_SPRING = "recoil_spring"
    RAISED_MACHINE = "raised_machine"
    MOVING_TRACK = "moving_track"
    HEAVY_PARTS = "heavy_parts"
    PRESSED_PINS = "pressed_pins"
    UNSAFE_MACHINE = "unsafe_machine"
    SLEW_RING = "slew_ring"


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


CAUTIONS: dict[Caution, CautionWords] = {
    Caution.GREASE_PRESSURE: CautionWords(
        "Grease under pressure",
        "Trained people only: the track adjuster holds grease at a pressure that can go through skin, and people have been "
        "killed by a fitting that flew off. Check the fittings are sound and tight, stand to one side, wear eye "
        "protection, never look into the relief valve, never reuse a part that has blown off. If grease has gone into "
        "skin, go to hospital at once even if it looks small.",
        "HSENI alert, 30 Sep 2014; HSE FOD 4-2014; HSE STSU 2-2017; HSE report RR976",
    ),
    Caution.RECOIL_SPRING: CautionWords(
        "Stored energy",
        "The recoil spring is preloaded far beyond what a person can hold. Never weld on, nick, drop or open it without the "
        "maker's compression tool and guard.",
        "TM 5-3805-280-24-1",
    ),
    Caution.RAISED_MACHINE: CautionWords(
        "Raised machine",
        "Nobody goes under or between before the machine is blocked on solid timber that carries its weight on firm, level "
        "ground, and blade, bucket or boom is lowered or blocked.",
        "OSHA 29 CFR 1926.600(a)(3)(i); MSHA Program Policy Manual vol. V",
    ),
    Caution.MOVING_TRACK: CautionWords(
        "Moving track",
        "Power off and blocked against movement. Turn a track only as far as the work needs, with everyone clear of "
        "sprocket, idler and chain.",
        "30 CFR 56.14105 and 56.14107",
    ),
    Caution.HEAVY_PARTS: CautionWords(
        "Heavy parts",
        "Chains, sprockets, idlers and rollers are lifted by a plan, with gear rated for the mass; a chain can run off by "
        "its own weight when it is opened.",
        "common practice, no source",
    ),
    Caution.PRESSED_PINS: CautionWords(
        "Pressed pins",
        "Pins and presses throw metal. Use a track press with its guard, eye protection, and nobody in line with the pin.",
        "common practice, no source",
    ),
    Caution.UNSAFE_MACHINE: CautionWords(
        "Do not work it",
        "A machine with a defect that affects safety is taken out of use and marked until a competent person has cleared it.",
        "30 CFR 57.14100",
    ),
    Caution.SLEW_RING: CautionWords(
        "Slew ring",
        "Nobody stands under the boom while the ring is tested. Judge the increase over the base reading against the bearing "
        "maker's limit.",
        "TB 9-2320-279-34",
    ),
}

_OPENING = (
    Caution.GREASE_PRESSURE,
    Caution.RECOIL_SPRING,
    Caution.MOVING_TRACK,
    Caution.PRESSED_PINS,
    Caution.HEAVY_PARTS,
)
_LIFTING = (Caution.RAISED_MACHINE, Caution.HEAVY_PARTS)
_OPENED_FOR = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK, PartKind.SPROCKET, PartKind.RUBBER_TRACK)
_SLACKENED_FOR = (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER)


def cautions_of(job: JobKind, part: PartKind) -> tuple[Caution, ...]:
    """The cautions that stand beside a job.

    Parameters
    ----------
    job : JobKind
        What is done.
    part : PartKind
        To what.

    Returns
    -------
    tuple of Caution
        Each once, most dangerous first; never empty for work on a track, an adjuster or a slew ring.

    References
    ----------
    Our own table; the source of each caution is in CAUTIONS.

    Examples
    --------
    >>> [c.value for c in cautions_of(JobKind.ADJUST, PartKind.CHAIN)]
    ['grease_pressure', 'moving_track']
    """
    if part is PartKind.SLEW_RING:
        return (Caution.SLEW_RING, Caution.UNSAFE_MACHINE)
    adjuster = (Caution.GREASE_PRESSURE, Caution.RECOIL_SPRING) if part is PartKind.TRACK_ADJUSTER else ()
    if job is JobKind.ADJUST:
        return (Caution.GREASE_PRESSURE, Caution.MOVING_TRACK)
    if job in (JobKind.CLEAN_OUT, JobKind.REFIT_BOLTS, JobKind.RESHOE) or part in (
        PartKind.SHOE,
        PartKind.PAD,
    ):
        shoes = (Caution.HEAVY_PARTS,) if job is JobKind.RESHOE else ()
        return (*adjuster, Caution.MOVING_TRACK, *shoes)
    if job in (JobKind.INVESTIGATE, JobKind.MEASURE):
        return (*adjuster, Caution.MOVING_TRACK)
    if part in (PartKind.IDLER, PartKind.TRACK_ADJUSTER):
        return (Caution.GREASE_PRESSURE, Caution.RECOIL_SPRING, Caution.MOVING_TRACK, *_LIFTING)
    if part is PartKind.RUBBER_TRACK:
        return (Caution.GREASE_PRESSURE, Caution.RECOIL_SPRING, Caution.MOVING_TRACK, *_LIFTING)
    if part in _OPENED_FOR:
        return _OPENING
    if part in _SLACKENED_FOR:
        return (Caution.GREASE_PRESSURE, Caution.MOVING_TRACK, *_LIFTING)
    return (Caution.MOVING_TRACK, *_LIFTING)
