"""A reading that is not understood, told both ways."""

from pitchline.words.english import Sentence

_MISREAD = "; if it was misread, about {misread_h:hours}: measure again before it is decided."
SENTENCES: dict[str, Sentence] = {
    "read": "{quantity:Quantity} read {typed}.",
    "read_held_back": "{quantity:Quantity} read {typed}, held back.",
    "if_right": "If that is right, about {right_h:hours} are left" + _MISREAD,
    "if_right_nothing": "If that is right, nothing is left" + _MISREAD,
    "if_meant": "If {meant_m:length} was meant, about {right_h:hours} are left" + _MISREAD,
    "if_meant_nothing": "If {meant_m:length} was meant, nothing is left" + _MISREAD,
    "check_fitting_too": "Look up when it was fitted, too: no part wears so far in {since_h:hours}.",
    "check_limit_too": "Every one of its kind looks wrong: check the limit too.",
}
