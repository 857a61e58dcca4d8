"""Cautions in our own words; each has its source in `trade/jobs.py`."""

from pitchline.trade.jobs import Caution
from pitchline.words.catalogue import in_english, translated
from pitchline.words.names import named

WORKING_AID = in_english(
    "A working aid, not a licence to work. The maker's manual, local codes and a competent person come first."
)
"""What stands below every paper, page and drawing that goes out by itself."""

WHAT_TO_DO: dict[Caution, str] = {
    Caution.UNSAFE_MACHINE: (
        "It stands until this is done. A machine with a defect that affects safety is taken out of use and marked until "
        "a competent person has cleared it."
    ),
    Caution.SLEW_RING: (
        "Nobody stands under the boom or within the swing of the upper machine while the ring is tested or its bolts "
        "are turned. Judge the increase over the base reading against the bearing maker's limit; bolts are fitted and "
        "tightened as the maker says."
    ),
    Caution.GREASE_PRESSURE: (
        "Trained people only: the track adjuster holds grease at a pressure that can go through skin, and people have "
        "been killed by a fitting that flew off. Check the fittings are sound and tight, stand to one side, wear eye "
        "protection, never look into the relief valve, never reuse a part that has blown off. If grease has gone into "
        "skin, go to hospital at once even if it looks small."
    ),
    Caution.RECOIL_SPRING: (
        "The recoil spring is preloaded far beyond what a person can hold, and pushes idler and yoke while they are "
        "fast. Release the track's tension first. Never weld on, nick, drop or open the spring without the maker's "
        "compression tool and guard."
    ),
    Caution.RAISED_MACHINE: (
        "Nobody goes under or between before the machine is blocked on solid timber that carries its weight on firm, "
        "level ground, and blade, bucket or boom is lowered or blocked. A jack or the machine's own hydraulics hold "
        "nothing by themselves; nobody is under it while it goes up or down."
    ),
    Caution.ONE_TRACK_OFF: (
        "The machine stands on one track and its frame: level hard ground, blocked before the track is opened, no "
        "slewing, nothing lifted over the side, no travelling but as a guide directs."
    ),
    Caution.HYDRAULIC_PRESSURE: (
        "Engine off, attachment on the ground, stored pressure let down and shown to be gone before a pipe or motor is "
        "opened. Look for leaks with card, never with a hand: oil that has gone into skin is an emergency."
    ),
    Caution.MOVING_TRACK: (
        "Power off and blocked against movement. Turn a track only as far as the work needs, with everyone clear of "
        "track, sprocket and idler."
    ),
    Caution.CRUSH: (
        "A shoe or a track that is pried, lifted or let down closes the gap to frame, roller and bucket at once. No "
        "hand or foot in the gap; pry with a bar, and hold the run before anybody reaches in."
    ),
    Caution.PRESSED_PINS: (
        "Pins and presses throw metal. Use a track press with its guard, eye protection, and nobody in line with the "
        "pin. The end of an opened chain runs out fast: everyone clear, front and rear."
    ),
    Caution.HOT_WORK: (
        "Welding, burning off bolts and heating: nothing closed is heated, no oil-filled roller, hollow pin or adjuster "
        "cylinder, which can burst. Grease, oil and dry brush packed in the gear are cleared first; extinguisher and a "
        "fire watch beside it."
    ),
    Caution.HEAVY_PARTS: (
        "Chains, sprockets, idlers and rollers are lifted by a plan, with gear rated for the mass, nobody under them or "
        "in line with a tight sling; a chain can run off by its own weight when it is opened."
    ),
    Caution.HOT_PARTS: (
        "After travel, leaking or seized rollers, joints and final drives are hot enough to burn, and their oil sprays. "
        "Bring a hand near, not on; let it cool, open plugs slowly and stand aside."
    ),
    Caution.JETS_AND_DIRT: (
        "A nozzle is never pointed at anybody and kept off seals and electrics; soil, stones and water come back: eye "
        "and face cover. Engine off before anybody digs between track and roller."
    ),
    Caution.FLYING_CHIPS: (
        "Hammer on hardened bolts, pins and chisels throws splinters: face cover, a soft drift, no mushroomed heads, "
        "nobody in line."
    ),
}
"""What to do and not to do."""


def title(caution: Caution) -> str:
    """The hazard, as a heading."""
    told = translated(named(caution))
    return told[:1].upper() + told[1:]


def caution_text(caution: Caution) -> str:
    """What to do and not to do."""
    return translated(WHAT_TO_DO[caution])
