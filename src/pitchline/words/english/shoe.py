"""Which shoes, and why."""

from pitchline.words.english import Sentence

_RULE = " {because} Rule of practice, no source: the narrowest shoe that floats."
SENTENCES: dict[str, Sentence] = {
    "width": "{width_m:rough_length}",
    "width_and_kind": "{width_m:rough_length}, {kind:shoe_kind}",
    "none_floats": "No shoe on offer is known to float on any of these grounds.",
    "hard_ground": "On hard ground width does not help: grouser tips carry the machine, and a narrow shoe bends less.",
    "floats_on": "It floats on {grounds:grounds}.",
    "floats_on_none": "It floats for sure on none of the soft grounds.",
    "next_narrower": "The next narrower one, {width_m:rough_length}: {lost:and}.",
    "no_width_floats": "On {grounds:grounds} no width on offer floats for sure.",
    "on_finished_one_grouser": "cuts deep into a finished surface",
    "on_finished_two_grousers": "cuts into a finished surface",
    "on_finished_three_grousers": "marks a finished surface",
    "on_finished_flat": "marks a finished surface least of all steel",
    "on_finished_rubber_pads": "spares a finished surface, scuffs in tight turns",
    "on_finished_rubber_track": "spares a finished surface, scuffs in tight turns",
    "rubber_cut": "rock and rubble cut rubber",
    "wide_on_rough": "wide shoes bend, crack and pull bolts on rock and rubble",
    "rubber_grips": "rubber grips hard ground: turns cost more",
    "unusual_rubber_track": "one-piece rubber is unusual above about 8 t",
    "unusual_rubber_pads": "rubber pads are unusual above about 13 t",
    "fitted_is_suggested": "Fitted now: {shoe}, which is also what is suggested." + _RULE,
    "other_is_suggested": "Fitted now: {fitted}; {shoe} is suggested." + _RULE,
    "unnamed_fitted": "Its grounds are not named. For all of these alike: {shoe}, which is fitted now. {because}",
    "unnamed_other": "Its grounds are not named. For all of these alike: {shoe}, where {fitted} is fitted now. {because}",
}
