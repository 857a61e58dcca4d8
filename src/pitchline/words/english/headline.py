"""The verdict in a few sentences."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "all": "{said:then}",
    "do_not_work_it": "Do not work it before this is done: {jobs:also}.",
    "then_book": "Then book: {jobs:also}.",
    "go_round_before_ordering": "Go round it before anything is ordered: {old}.",
    "look_limit_up": "Look the wear limit up before it works on, it is only assumed: {kinds:kinds}.",
    "not_gone_round": "Not gone round yet: no calls.",
    "go_round_first": "Go round it first: {old}.",
    "work_it_and_book": "Work it, and book: {jobs:also}.",
    "book": "Book: {jobs:also}.",
    "no_wear_judged": "Nothing seen asks for work, but no wear could be judged.",
    "too_little_known": "Too little is known to call it. What could be judged asks for nothing in the next {weeks:g} weeks; "
    "the first of the parts read is due in about {due_h:hours}.",
    "run_it": "Run it: nothing falls due in the next {weeks:g} weeks. The first of the parts read is due in about {due_h:hours}.",
    "run_it_as_judged": "Run it: nothing falls due in the next {weeks:g} weeks on what could be judged. "
    "The first of the parts read is due in about {due_h:hours}.",
    "by_these_readings": "By these readings nothing falls due in the next {weeks:g} weeks. "
    "The first of the parts read is due in about {due_h:hours}.",
    "by_these_readings_as_judged": "By these readings nothing falls due in the next {weeks:g} weeks on what could be judged. "
    "The first of the parts read is due in about {due_h:hours}.",
    "none_looked_at": "None of {of} parts was looked at: no verdict on the machine.",
    "few_looked_at": (
        "Only {n} of {of} parts was looked at: no verdict on the machine.",
        "Only {n} of {of} parts were looked at: no verdict on the machine.",
    ),
    "side_missing": "Nobody looked at the {side:side} side: go round it too for a verdict on both.",
    "passed_by": (
        "{n} of {of} parts was not looked at: {kinds:kinds}.",
        "{n} of {of} parts were not looked at: {kinds:kinds}.",
    ),
    "quiet_but_passed_by": (
        "Nothing seen asks for work, but {n} of {of} parts was not looked at: {kinds:kinds}. Go round them before it is called.",
        "Nothing seen asks for work, but {n} of {of} parts were not looked at: {kinds:kinds}. Go round them before it is called.",
    ),
    "wear_unknown": "Nothing is said of the wear of {count} of {of} parts, not read or without a limit: {kinds:kinds}.",
}
