"""What is taken along though nothing presses for it, and what goes in pairs."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "with_other_side": "Taken along with the {side:side} side: both at once is usual, because {why}.",
    "since_track": "Taken along, since the {side:side} track is worked on anyway.",
    "since_slew_ring": "Taken along, since the slew ring is worked on anyway.",
    "pair_due": (
        "The {part:part} on the {side:side} falls due in about {due_h:hours}: both at once is usual, because {why}.",
        "The {part:part} on the {side:side} fall due in about {due_h:hours}: both at once is usual, because {why}.",
    ),
    "pair_far_apart": (
        "The {part:part} on the {side:side} falls due only in about {due_h:hours}: both at once is usual, because {why}, but here "
        "the sides lie far apart.",
        "The {part:part} on the {side:side} fall due only in about {due_h:hours}: both at once is usual, because {why}, but here "
        "the sides lie far apart.",
    ),
    "unlike_pitch": "sides of unlike pitch pull the machine to one of them",
    "each_with_its_chain": "each wears with its chain, and one visit does both",
    "unlike_tracks": "unlike tracks pull the machine to one side",
    "unlike_pads": "on unlike pads it stands and grips unevenly",
    "unlike_shoes": "on unlike shoes it stands and grips unevenly",
}
