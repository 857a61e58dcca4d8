"""Why a part has its call, or none."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "other_reading_without_limit": "Another reading on it has no limit entered.",
    "last_read": "Last read on {day:day}.",
    "another_asks": (
        "Its {part:part} asks for a new one: {why:small}",
        "Its {part:part} ask for a new one: {why:small}",
    ),
    "put_right": "Seen, and put right at {at_h} h: {seen:also}.",
    "looked_into": "Seen, and looked into at {at_h} h and nothing wrong found: {seen:also}.",
    "held_back": "Its only reading looks wrong and is held back: measure again.",
    "without_limit": "No limit entered: its reading is kept, but nothing can be said of the wear.",
    "read": "Read; nothing asks for work.",
    "not_read": "Not read and not looked at: no call.",
    "not_looked_at": "Not looked at on the last walk-round: no call.",
    "looked_over_not_read": "Looked over, but not read: nothing is said of its wear.",
    "looked_over": "Looked over; nothing asks for work.",
}
