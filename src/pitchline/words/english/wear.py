"""What wear asks for: a limit or a turn point that is passed, or reached, and by when."""

from pitchline.words.english import Sentence

_WITHIN = "within the next {window_h:hours}, the booking window, with a chance of {chance:in_a_hundred}"
_FROM = "; work is booked from {book_chance:in_a_hundred} on."
SENTENCES: dict[str, Sentence] = {
    "due": "Due in about {due_h:hours}.",
    "anew": "By then it has been renewed once, and wears anew.",
    "past_limit": "The {quantity:quantity} is past its limit already with a chance of {chance:in_a_hundred}: {then}.",
    "past_wear_limit": "The {quantity:quantity} is past its wear limit already with a chance of {chance:in_a_hundred}.",
    "past_turn_point": "The {quantity:quantity} is past its turn point already with a chance of {chance:in_a_hundred}.",
    "reaches_wear_limit": "The {quantity:quantity} reaches its wear limit in about {due_h:hours}.",
    "reaches_turn_point": "The {quantity:quantity} reaches its turn point in about {due_h:hours}.",
    "within_window_wear_limit": f"The {{quantity:quantity}} reaches its wear limit {_WITHIN}.",
    "within_window_turn_point": f"The {{quantity:quantity}} reaches its turn point {_WITHIN}.",
    "within_window_wear_limit_booked_from": f"The {{quantity:quantity}} reaches its wear limit {_WITHIN}{_FROM}",
    "within_window_turn_point_booked_from": f"The {{quantity:quantity}} reaches its turn point {_WITHIN}{_FROM}",
    "read_past_but_short": "The {quantity:quantity} was read past its limit, and all else known of it puts it short of that.",
    "measure_before_ordering": "Measure again before the new one is ordered.",
    "measure_again": "The {quantity:quantity} was read past its limit: if that is right, nothing is left; everything else known of "
    "it leaves about {otherwise_h:hours}. Measure again first.",
    "turned_and_not_said": "The bushes were turned, and nobody said what the calliper sat on: used {either:and}. Measure again and "
    "say so: across both flats, or the new flat alone with a depth gauge.",
    "used_on_new_face": "{used:percent} if it sat on the new face alone{pace}",
    "used_across_old_flat": "{used:percent} if it sat on the old flat too{pace}",
    "at_pace_since_turn": ", about {left_h:hours} at the pace since the turn",
    "flanges_gone": "The flanges of {worn:d} of {of:d} bottom rollers of this side are past their limit: too little guides the "
    "track, and it can run off.",
}
