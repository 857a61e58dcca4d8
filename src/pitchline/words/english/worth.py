"""What the worth of a running gear leaves out, and why."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "not_read": "{part:parts}: not read, or no limit entered",
    "by_eye": "{part:parts}: by eye only",
}
