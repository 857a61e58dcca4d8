"""What a job takes beside its parts: tools and gear to have there. Common practice, no source; the maker's manual comes first."""

from pitchline.trade.jobs import Caution, JobKind, cautions_of, opens_track
from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import PartKind
from pitchline.words import in_english, translated

_RAISING = in_english("jacks, and timber or stands that carry the machine's weight")
_BOLTS = in_english("torque wrench; torque by the maker's manual")
_BY_CAUTION = {
    Caution.GREASE_PRESSURE: in_english("grease gun with a sound hose and coupler"),
    Caution.RAISED_MACHINE: _RAISING,
    Caution.HEAVY_PARTS: in_english("hoist and slings rated for the part"),
    Caution.PRESSED_PINS: in_english("track press with its guard, pin drifts"),
    Caution.RECOIL_SPRING: in_english("the maker's spring tool, should the spring have to come out"),
    Caution.HOT_WORK: in_english("fire extinguisher, should anything be burnt off or welded"),
    Caution.HYDRAULIC_PRESSURE: in_english("caps and plugs for opened pipes, card to look for leaks"),
    Caution.SLEW_RING: in_english("dial gauge on a magnetic stand"),
    Caution.JETS_AND_DIRT: in_english("water jet or bar and shovel, eye and face cover"),
    Caution.FLYING_CHIPS: in_english("eye and face cover, soft drift"),
}
"""What each hazard is met with."""
_BY_JOB = {
    JobKind.ADJUST: in_english("straightedge and rule for the sag"),
    JobKind.REMOVE_JOINT: in_english("straightedge and rule for the sag"),
    JobKind.REFIT_BOLTS: _BOLTS,
    JobKind.RESHOE: _BOLTS,
    JobKind.REPLACE: _BOLTS,
    JobKind.RESHELL: in_english("welding set, or a bench that does it"),
    JobKind.REBUILD: in_english("welding set, or a bench that does it"),
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
        told.append(in_english("straightedge and rule for the sag, once it is closed"))
    return tuple(dict.fromkeys(translated(one) for one in (*told, _BY_JOB.get(job, "")) if one))
