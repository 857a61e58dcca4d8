"""What was seen on a part, how bad it is, and from where on it stops."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "one": "{finding:finding}, {severity:severity}",
    "several": "{finding:finding}, {severity:severity} ({count:d})",
    "bolts": "{finding:finding} ({count:d}{where})",
    "bolts_of_all": "{finding:finding} ({count:d} of {all_there:d}{where})",
    "two_on_one": ", two or more on one {part:piece}",
    "no_two_on_one": ", no two on one {part:piece}",
    "stop_from_first": "stop from the first",
    "stop_from": "stop from {many:d}",
    "stop_from_either": "stop from {on_one:d} on one {part:piece} or {spread:d} on one side",
    "stop_from_either_ask": "stop from {on_one:d} on one {part:piece} or {spread:d} on one side: say whether two sit on one {part:piece}",
    "because": "Seen: {seen}; {why}.",
    "because_with_border": "Seen: {seen}, {border}; {why}.",
    "together": "Seen: {seen:also}: {why}.",
    "one_failure": "Seen: {seen:also}; together they point at one failure: {why}.",
}
