"""Why an outcome of ground fit has no figure, or none in part of the cases."""

from pitchline.words.english import Sentence

_HARD = "the machine presses harder than the curve was fitted for"
_LIMIT = "the ground is not what limits the pull"
_COHESION = "cohesion alone holds it: never count on that"
_BELLIED = "it lies on its belly"
SENTENCES: dict[str, Sentence] = {
    "mass_unknown": "nobody knows the machine's mass",
    "load_outside_tracks": "the load stands outside the tracks: it tips",
    "tips_on_level": "it tips on the level",
    "no_tested_soil": "no tested soil brackets this ground",
    "nothing_to_push_on": "no tested soil, cone index or friction is known for it",
    "no_turning_coefficient": "no turning coefficient with a tested soil or friction",
    "nothing_to_hold_on": "no tested soil or friction is known for it",
    "as_for_slide": "as for the slide",
    "no_rating_index": "no rating cone index: it takes a penetrometer and the remould test",
    "no_strength": "no strength is known: press a thumb into it, or use a hand vane",
    "sinks_too_deep": "sinks deeper than its clearance or its shoe is wide: the method ends here, take it as no go",
    "outside_or_shears": "the load stands outside the tracks, or its pull downhill shears the soil",
    "not_for_rubber": "the method is not for one-piece rubber tracks on steel rollers",
    "uncontrolled_fill": "uncontrolled fill: nobody presumes what it bears (UFC 3-220-20, 5-2.5)",
    "hard_unchecked": "hard ground is not checked here; slabs and voids are another matter",
    "index_too_low": "its cone index is too low for one pass",
    "bellied": _BELLIED,
    "presses_too_hard": _HARD,
    "presses_too_hard_or_bellied": f"{_HARD}; or {_BELLIED}",
    "ground_not_the_limit": _LIMIT,
    "ground_not_the_limit_or_bellied": f"{_LIMIT}; or {_BELLIED}",
    "cohesion_alone": _COHESION,
    "cohesion_alone_or_bellied": f"{_COHESION}; or {_BELLIED}",
    "not_told_yet": "not yet told when this was judged",
}
