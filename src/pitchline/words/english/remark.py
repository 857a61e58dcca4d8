"""What a reader has to know about the figures of a verdict."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "place": "{place:place}",
    "place_read": "{place:place} ({quantity:quantity})",
    "kind": "{part:parts}",
    "kind_read": "{part:parts} ({quantity:quantity})",
    "done_since": "Done since the walk-round of {day:day}: {done:also}.",
    "work": "{places:places}: {did:did} at {at_h} h",
    "held_back": "Readings held back until they are corrected, or kept with a reason: {places:commas}. "
    "Hours left there rest on everything else.",
    "almost_surely_changed": "{place:Place} was almost surely changed without a record (chance {chance:in_a_hundred}): "
    "ask, and enter it in the history.",
    "may_be_changed": "{place:Place} may have been changed without a record (chance {chance:in_a_hundred}): "
    "ask, and enter it in the history.",
    "many_far_off": "{count} of {of} readings look far off. So many are not misread: what is expected of this machine is wrong. "
    "Look at its limits, its hours and the work nobody wrote down; its hours left are rough until then.",
    "far_less_wear": "Far less wear was read than all else says: {places:commas}. That was given little weight; measure again.",
    "read_alike": "{count} {part:parts} read alike ({typed}, {quantity:quantity}): was each one measured? They count as one reading "
    "of how fast this machine wears.",
    "no_limit": "No limit entered, so nothing is said of the wear of: {kinds:commas}.",
    "assumed_limit": "Assumed limit, a rule of thumb and no manual's figure, for: {kinds:commas}. Their hours left are rougher for it, and "
    "count on the near side of its doubt. Type the manual's figures in place of it.",
    "not_read": "Not read on the part now fitted, and in no call: {kinds:commas}. Hours shown for them go by age and by this "
    "machine's other parts alone.",
    "one_sided": "On the {side:side} {count} {part:parts} read alike worn ({quantity:quantity}), on the {other:side} none does: look for "
    "the cause (alignment, working across a slope) before new parts go on.",
    "better_than_new": "Read better than new by the sizes entered: {kinds:commas}. Is the size when new right?",
    "no_limits_at_all": "No limits are entered for what was read: hours left cannot be given.",
    "one_walk_round": "One walk-round only: how fast this machine wears is mostly assumed. A second one narrows the ranges.",
    "learned": "Typical lives, grounds and spreads are learned from {readings} readings of the yard.",
    "weak_life": "Where the yard has entered no typical life, a weak one is assumed, for {taken}; the readings move it.",
    "fitted_unknown": "Hours of fitting not known for: {parts:parts_listed}. Enter them in the history and the ranges narrow.",
    "ground_mix": "Hours to come are taken on this ground: {mix:ground_mix}.",
    "ground_to_come": "Hours to come are taken on {ground:ground_like} ground.",
    "no_ground": "No ground is entered: hours past and to come are taken on {ground:ground_like} ground.",
    "week_learned": "Hours a week are learned from {weeks} weeks of its meter: {usual_h:.3g} in a usual week, {low_h:.3g} in a quiet and "
    "{high_h:.3g} in a busy one.",
    "week_learned_over": "Hours a week are learned from {weeks} weeks of its meter: {usual_h:.3g} in a usual week, {low_h:.3g} in a quiet "
    "and {high_h:.3g} in a busy one. The {entered_h:g} entered are not used.",
    "stands": "By its meter it stood for the last {weeks} weeks: no hours a week are learned from it.",
    "no_hours_a_week": "No hours a week are entered: no days are given, and work is booked ahead as at {assumed_h:g} h a week.",
    "pitch_stayed": "{places:Places}: the pitch did not come back with the turn of the bushes ({first:also}). Was the turn done "
    "there, and was the track pulled tight when it was measured?",
    "pitch_before_and_after": "{before:percent} before, {after:percent} at {at_h} h",
    "other_currency": "The asking price is in {asking}, the price list in {prices}: no offer is made.",
    "dry_on_dry": "A dry joint was seen on {places:places}, but the chain is entered as dry and has no oil to lose: look again whether "
    "a joint is stiff, hot or longer than the others, or correct the chain type. Its call stands until then.",
    "other_pace": "Between the last two walk-rounds it worked about {worked_h:.0f} h a week, and {entered_h:g} are entered: correct "
    "the meter or the hours a week, or the days given are wrong.",
    "new_chain_on_sprocket": "A new chain on a worn sprocket wears fast: sprockets are usually changed with it (common practice).",
}
