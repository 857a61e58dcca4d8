"""What a job takes beside its parts: tools and gear to have there. Common practice, no source; the maker's manual comes first."""

from pitchline.trade.jobs import Caution, JobKind, cautions_of, opens_track
from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import PartKind
from pitchline.words import translated

_RAISING = "jacks, and timber or stands that carry the machine's weight"
_BOLTS = "torque wrench; torque by the maker's manual"
_BY_CAUTION = {
    Caution.GREASE_PRESSURE: "grease gun with a sound hose and coupler",
    Caution.RAISED_MACHINE: _RAISING,
    Caution.HEAVY_PARTS: "hoist and slings rated for the part",
    Caution.PRESSED_PINS: "track press with its guard, pin drifts",
    Caution.RECOIL_SPRING: "the maker's spring tool, should the spring have to come out",
    Caution.HOT_WORK: "fire extinguisher, should anything be burnt off or welded",
    Caution.HYDRAULIC_PRESSURE: "caps and plugs for opened pipes, card to look for leaks",
    Caution.SLEW_RING: "dial gauge on a magnetic stand",
    Caution.JETS_AND_DIRT: "water jet or bar and shovel, eye and face cover",
    Caution.FLYING_CHIPS: "eye and face cover, soft drift",
}
"""What each hazard is met with."""
_BY_JOB = {
    JobKind.ADJUST: "straightedge and rule for the sag",
    JobKind.REMOVE_JOINT: "straightedge and rule for the sag",
    JobKind.REFIT_BOLTS: _BOLTS,
    JobKind.RESHOE: _BOLTS,
    JobKind.REPLACE: _BOLTS,
    JobKind.RESHELL: "welding set, or a bench that does it",
    JobKind.REBUILD: "welding set, or a bench that does it",
    JobKind.CLEAN_OUT: "",
}


def needed_for(job: JobKind, part: PartKind, gear: RunningGear) -> tuple[str, ...]:
    """What to have there for a job, beside its parts.

    Parameters
    ----------
    job : JobKind
        What is done.
    part : PartKind
        To what.
    gear : RunningGear
        Of which running gear.

    Returns
    -------
    tuple of str
        Each once; what it is measured with is not among them.

    References
    ----------
    Common practice, no source.
    """
    told = [_BY_CAUTION[caution] for caution in cautions_of(job, part, gear) if caution in _BY_CAUTION]
    if opens_track(job, part, gear):
        told.append(translated("straightedge and rule for the sag, once it is closed"))
    return tuple(dict.fromkeys(one for one in (*told, _BY_JOB.get(job, "")) if one))
