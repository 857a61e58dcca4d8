"""Ways of planning, as a table names them."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "this_plan": "this plan",
    "own_limits": "each job at its own limit",
    "window": "within {window_h} h of a lay-up it joins",
    "all_at_once": "everything at once, at the best times",
    "run_on": "run on until parts break",
    "calls_aside": "the calls left aside",
    "by_hand": "put by hand",
}
