"""What is looked at again once a job's work has been in use."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "sag": "Check the sag again after the first shift.",
    "sag_and_bolts": "Check the sag and the bolts again after the first shift.",
}
