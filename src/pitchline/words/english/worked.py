"""What was done to a part that nobody read since."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "fitted_new": "Fitted new at {at_h} h, and not read since.",
    "fitted_part_worn": "Fitted part worn at {at_h} h, and not read since.",
    "turned": "Turned at {at_h} h, and not read since.",
    "rebuilt": "Rebuilt at {at_h} h, and not read since.",
}
