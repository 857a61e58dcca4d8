"""New parts beside worn ones."""

from pitchline.words.english import Sentence

_APART = "; their pitches lie {apart:percent1} apart."
SENTENCES: dict[str, Sentence] = {
    "all": "{said:then}",
    "chain_on_worn_sprocket_both_sides": "A new chain runs on a worn sprocket on both sides, {used:percent} used"
    + _APART,
    "chain_on_worn_sprocket_one_side": "A new chain runs on a worn sprocket on the {side:side}, {used:percent} used"
    + _APART,
    "chain_on_worn_sprocket_both_sides_to_come": "The new chain would run on a worn sprocket on both sides, {used:percent} used"
    + _APART,
    "chain_on_worn_sprocket_one_side_to_come": "The new chain would run on a worn sprocket on the {side:side}, {used:percent} used"
    + _APART,
    "sprocket_on_worn_chain_both_sides": "A new sprocket runs on a stretched chain on both sides, its pitch {used:percent} used"
    + _APART,
    "sprocket_on_worn_chain_one_side": "A new sprocket runs on a stretched chain on the {side:side}, its pitch {used:percent} used"
    + _APART,
    "sprocket_on_worn_chain_both_sides_to_come": "The new sprocket would run on a stretched chain on both sides, its pitch {used:percent} used"
    + _APART,
    "sprocket_on_worn_chain_one_side_to_come": "The new sprocket would run on a stretched chain on the {side:side}, its pitch {used:percent} used"
    + _APART,
    "booked_puts_right": "What is booked puts that right: do not put it off.",
    "price": " ({currency} {amount})",
    "new_sprockets_end_it": "New sprockets{price} end it.",
    "never_chain_alone": "Change the sprockets with it{price}: never the chain alone.",
    "sprockets_too": "Change the sprockets with it{price}: sprockets are usually changed with it.",
    "turn_or_chain_ends_it": "A turn, where it pays, or a new chain ends it.",
    "never_sprocket_alone": "Never the sprocket alone: with the turn, where it pays, or with a new chain.",
    "best_with_turn_or_chain": "It goes best with the turn or with a new chain.",
    "one_new_chain": "A new chain runs on the {fresh:side} beside one {used:percent} used on the {worn:side}.",
    "goes_further": "The worn one goes {apart:percent1} further a turn: the machine pulls to the {fresh:side}.",
    "falls_due_first": "The {worn:side} one falls due{when}{cost}, long before the {fresh:side} one: the sides stay apart.",
    "for_price": " for {currency} {amount}",
    "in_about": " in about {due_h:hours}",
    "before_the_other": " before the other",
    "chain_wears_faster": "By our own assumption the chain's bushes wear {times} times as fast while that lasts{left}{lost}.",
    "sprocket_wears_faster": "By our own assumption the sprocket wears {times} times as fast while that lasts{left}{lost}.",
    "times_up_to": "up to {high:g}",
    "times_from": "{low:g} to {high:g}",
    "to_the_limit": ", {few_h:hours_bare} to {many_h:hours} to the limit",
    "lost_from": "; kept so to the end, {currency} {low} to {high} of its price is lost",
    "lost_up_to": "; kept so to the end, up to {currency} {high} of its price is lost",
}
