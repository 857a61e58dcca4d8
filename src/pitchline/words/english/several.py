"""Several sentences said as one."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {"then": "{said:then}"}
