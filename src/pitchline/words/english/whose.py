"""Which machine a running gear is from, whether it is what is said of it, and what on it is odd."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "agrees": "Nothing speaks against what is said of it.",
    "odd": "Not all of it belongs together.",
    "is_like": "By what is counted it is the running gear of {kind:a_machine} ({chance:in_a_hundred}): {clues:commas}.",
    "not_told": "Too little was counted to say of what kind of machine it is.",
    "width_standard": "Shoes of {width_m:rough_length} under {mass_kg:mass} are of standard width.",
    "width_low_ground_pressure": "Shoes of {width_m:rough_length} under {mass_kg:mass} are wide, for low ground pressure.",
    "other_kind": "It is said to be {said:a_machine}, and the running gear is like that of {kind:a_machine}: {clues:commas}.",
    "shoes_standard": "The shoes are said to be wide, for low ground pressure; {width_m:rough_length} under {mass_kg:mass} is standard width.",
    "shoes_low_ground_pressure": "The shoes are said to be of standard width; {width_m:rough_length} under {mass_kg:mass} is wide, for low ground pressure.",
    "pitch_small": "A pitch of {pitch_m:small_length} is small for {mass_kg:mass}: look whether mass and pitch are right.",
    "pitch_large": "A pitch of {pitch_m:small_length} is large for {mass_kg:mass}: look whether mass and pitch are right.",
    "clue_rubber": "rubber tracks",
    "clue_pads": "rubber pads on a steel chain",
    "clue_steel": "steel shoes",
    "clue_grousers_1": "single-grouser shoes",
    "clue_grousers_2": "double-grouser shoes",
    "clue_grousers_3": "triple-grouser shoes",
    "clue_slews": "a slew ring",
    "clue_raised": "a raised sprocket",
    "clue_segments": "bolted sprocket segments",
    "clue_flanges_mixed": "bottom rollers with one flange and with two",
    "clue_chain_sealed_and_oiled": "joints sealed and oiled",
    "clue_chain_sealed": "sealed joints",
    "clue_chain_dry": "dry joints",
    "larger_than_new": (
        "{places:Places} reads {by_m:small_length} larger than new ({quantity:quantity}): wear only takes away, so it is another part, or the "
        "new size is wrong.",
        "{places:Places} read up to {by_m:small_length} larger than new ({quantity:quantity}): wear only takes away, so they are other parts, or "
        "the new size is wrong.",
    ),
    "shorter_than_new": (
        "{places:Places} reads {by_m:small_length} shorter than new ({quantity:quantity}): wear only stretches, so it is another part, or the "
        "new size is wrong.",
        "{places:Places} read up to {by_m:small_length} shorter than new ({quantity:quantity}): wear only stretches, so they are other parts, or "
        "the new size is wrong.",
    ),
    "all_larger_than_new": "All {part:parts} that were read are up to {by_m:small_length} larger than new ({quantity:quantity}): other parts than the "
    "limits are for, or a wrong new size.",
    "all_shorter_than_new": "All {part:parts} that were read are up to {by_m:small_length} shorter than new ({quantity:quantity}): other parts than the "
    "limits are for, or a wrong new size.",
    "less_worn": "{at:Place} reads {by_m:small_length} larger than the other {n}, and no work on it is recorded: renewed without a record, or another "
    "part.",
    "more_worn": "{at:Place} reads {by_m:small_length} smaller than the other {n}, more than a whole wear allowance: another part, or one that stood still.",
    "sprocket": "{at:Place} reads {read_m:small_length} at the root; {teeth} teeth and a pitch of {pitch_m:small_length} give {should_m:small_length} "
    "new: a sprocket of another pitch, or teeth, gaps or pitch entered wrong.",
    "joints_unlike": "The left chain has {left} joints and the right one {right}, by the work recorded.",
    "seen": "Seen: odd part, {at:place}. {note}",
    "compare": "Hold it beside its neighbour: width, flanges, bolt holes, numbers cast in. Record it if it was renewed.",
    "check_new_size": "Look the new size up in the manual, and whether the limits are of this running gear.",
    "count_teeth": "Count the teeth, and whether each gap takes a joint or every second one.",
    "count_joints": "Count the joints of both sides.",
    "footing": "By proportions of the trade and borders of our own, all assumed: common practice, no source. It changes no figure and no call.",
}
