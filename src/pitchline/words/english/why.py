"""Why a figure is what it is: its ingredients and where each comes from."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "as_typed": "{typed}",
    "no_source": "entered by the yard, no source given",
    "sizes": "new {new_m:length}, limit {limit_m:length}{shape}",
    "sizes_per_joint": "new {new_m:length}, limit {limit_m:length} per joint{shape}",
    "shape_preserving": ", shape preserving",
    "tapered_bar": ", tapered bar",
    "flat_on_round": ", flat on round",
    "fitted_unknown": "hours of fitting not known",
    "fitted_new": "fitted new at {at_h} h",
    "fitted_part_worn": "fitted part-worn at {at_h} h, wear then unknown",
    "fitted_part_worn_and_read": "fitted part-worn at {at_h} h, its size then read",
    "turned": "turned at {at_h} h",
    "rebuilt": "rebuilt at {at_h} h",
    "history": "the machine's history",
    "learned_life": "{middle_h:hours} from new to the limit on middling ground, 8 in 10 between {low_h:hours} and {high_h:hours}",
    "all_parts_together": "all parts of this machine together",
    "taken_off_at": "takes them off at about {typical_m:length}, 8 in 10 sure between {from_m:length} and {to_m:length}; "
    "the entered limit is what counts",
    "learned_from": "learned from {rests_on}",
    "grounds": "{grounds:also}",
    "ground_pace": "{ground:wear_class} ground ({ground:ground_examples}) wears it {times:g} times as fast as all parts together there",
    "old_flat_told": "{off_m:small_length} taken off for the old flat opposite, on which the calliper sat too: {used:percent} used, "
    "{read:percent} as read",
    "old_flat_guessed": "{off_m:small_length} taken off, half of the old flat opposite, because nobody said whether the calliper sat on "
    "it: {used:percent} used, {read:percent} as read",
    "before_the_turn": "the last reading before the turn; geometry",
    "faster_late": "wears {times:.1f} times as fast once about {begins:percent} of the life is used",
    "typical_life": "{typical_h:hours} on middling ground, two in three between {low_h:hours} and {high_h:hours}",
    "reading": "{typed} by {tool:tool}, good to {doubt_m:fine_length} at 95 %",
    "reading_per_joint": "{typed} by {tool:tool}, good to {doubt_m:fine_length} per joint at 95 %",
    "as_fitted": "written down as it was fitted on {day:day}; doubt after JCGM 100:2008",
    "walk_round": "walk-round of {day:day}; doubt after JCGM 100:2008",
}
