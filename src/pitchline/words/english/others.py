"""The same job at several places: where each reason stands, and when the other places are due."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "on_side": "{side:Side}: {why}",
    "at_place": "{place:Place}: {why}",
    "ask_too": ("The other one asks for it too.", "The other {n} ask for it too."),
    "ask_too_first": (
        "The other one asks for it too; the first of both in about {due_h:hours}.",
        "The other {n} ask for it too; the first of all {of} in about {due_h:hours}.",
    ),
    "likewise": ("The other one likewise.", "The other {n} likewise."),
    "due": ("The other one in about {due_h:hours}{every}.", "The other {n} in about {due_h:hours}{every}."),
    "due_between": (
        "The other one in about {low_h:hours} to {high_h:hours}{every}.",
        "The other {n} in about {low_h:hours} to {high_h:hours}{every}.",
    ),
    "first_of_both": "; the first of both in about {due_h:hours}",
    "first_of_all": "; the first of all {of} in about {due_h:hours}",
}
