"""A figure that would move a plan's first lay-up if it were another; follows "with"."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "lay_up_at_half": "a lay-up at half the cost",
    "lay_up_at_twice": "a lay-up at twice the cost",
    "limits_passed_at_half": "limits passed at half the loss",
    "limits_passed_at_twice": "limits passed at twice the loss",
    "at_low_price": "{job:job} {part:parts} at the low price",
    "at_high_price": "{job:job} {part:parts} at the high price",
    "due_cautious": "{part} due in {due_h} h, its cautious figure",
    "due_hopeful": "{part} due in {due_h} h, its hopeful figure",
}
