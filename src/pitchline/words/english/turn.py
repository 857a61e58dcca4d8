"""Whether a turn of the bushes is worth it."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "gains": "Turned, the chain lasts about {gain_h:hours} longer.",
    "gains_with_both": "Turned, the chain lasts about {gain_h:hours} longer, worth it with both sides at once.",
    "gains_about_its_price": "Turned, the chain lasts about {gain_h:hours} longer, worth {currency} {worth}: about what the turn "
    "costs ({currency} {price}).",
    "gains_about_its_price_with_both": "Turned, the chain lasts about {gain_h:hours} longer, worth {currency} {worth} with the "
    "other side’s: about what both turns cost ({currency} {price}).",
    "gains_about_enough": "Turned, the chain lasts about {gain_h:hours} longer: about as many as a turn is worth it for.",
    "measure_before_deciding": "Measure both faces and the rails before it is decided; till then it is counted in.",
    "gains_nothing": "Turned, the chain lasts nothing longer.",
    "run_to_limit": "{why}; run the bushes to their limit, then renew the chain.",
    "not_worth_it": "{why}.",
    "would_gain_nothing": "A turn would gain nothing: not worth it",
    "would_gain_little": "A turn would gain about {gain_h:hours}: not worth it",
    "would_gain_less_than_it_costs": "A turn would gain about {gain_h:hours} ({currency} {worth} of chain for {currency} {price}): "
    "not worth it",
    "measure_faces": "Measure both faces and the rails again before it is given up.",
    "past_turn_point": "The bushes are past their turn point, and reach their limit within the next {window_h:hours}, the booking "
    "window, with a chance of {chance:in_a_hundred}.",
    "turned_before": "The bushes were turned before: at their limit the chain is renewed.",
    "brings_pitch_back": "Before that a turn of the bushes, due in about {at_h:hours}, brings the pitch back.",
}
