"""What a bigger job makes pointless, or brings with it."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "look_before_new": "Look for it before the new one goes on.",
    "not_looked_into": "On a chain that is worn out it is not worth looking into.",
    "bushes_come_with_chain": "The chain is due no later: bushes come with it, so they are not turned.",
    "sag_set_after_turn": "The bushes are turned, and the sag is set at the end of that.",
    "sag_set_after_joint_out": "The {part:part} is shortened by a joint, and the sag is set at the end of that.",
    "sag_set_after_new": "The {part:part} is renewed, and the sag is set at the end of that.",
    "goes_with_new": (
        "The {part:part} is renewed, so that goes with it.",
        "The {part:part} are renewed, so that goes with it.",
    ),
    "goes_with_rebuilt": (
        "The {part:part} is built up again, so that goes with it.",
        "The {part:part} are built up again, so that goes with it.",
    ),
}
