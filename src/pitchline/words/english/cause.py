"""Why a running gear wears as it does: what speaks for a cause, and what it costs to leave."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "told": "Most likely: {cause:cause} ({chance:in_a_hundred}).",
    "named": "{cause:cause}",
    "cannot_tell": "Cannot tell yet; first in question: {causes:commas}.",
    "cannot_tell_look": "Cannot tell yet; first in question: {causes:commas}. Next: {look:small}",
    "nothing_likely": "Nothing points to one cause.",
    "sign_seen": "{sign:sign}: {said}",
    "sign_not_seen": "{sign:sign}: {said}",
    "sign_read": "{sign:sign}? {said:capital}",
    "seen": "{finding:finding} seen, {at:place}",
    "looked_for": "looked for, not there",
    "not_noted": "looked over, nothing noted",
    "faces": "reverse face {times:.1f} times as worn as the forward face",
    "sides": (
        "{more:side} {times:.1f} times as worn as {less:side}, by one quantity read on both",
        "{more:side} {times:.1f} times as worn as {less:side}, by {n} quantities read on both",
    ),
    "front_more": "front rollers {times:.1f} times as worn as the rear ones, {side:side}",
    "rear_more": "rear rollers {times:.1f} times as worn as the front ones, {side:side}",
    "one_roller": "{at:place}, {times:.1f} times as worn as those beside it",
    "pitch_ahead": "pitch {here:percent} used, bushes {there:percent}",
    "bush_ahead": "bushes {here:percent} used, pitch {there:percent}",
    "root_ahead": "sprocket {here:percent} used, bushes {there:percent}",
    "rail_ahead": "rail {here:percent} used, rollers {there:percent}",
    "rollers_ahead": "rollers {here:percent} used, rail {there:percent}",
    "shoes_ahead": "shoes {here:percent} used, rail {there:percent}",
    "sag_below": "read below its range with a chance of {chance:in_a_hundred}, {at:place}",
    "sag_above": "read above its range with a chance of {chance:in_a_hundred}, {at:place}",
    "sag_not_below": "read, and not below its range",
    "sag_not_above": "read, and not above its range",
    "left_alone": "By our own assumption {few:percent} to {most:percent} of the wear of {quantity:quantity} is its doing while it lasts{money}.",
    "of_price": ", {currency} {low} to {high} of the {currency} {price} for a new {part:part}",
    "footing": "{looked} of {signs} signs were looked at. How common causes are and how they show is assumed: no published figures were "
    "found, and nothing here changes hours left.",
    "mended": "If it is {cause:cause}: {mend:small}",
    "first": "Mend first what wears new parts too: {causes:cause_list}.",
}
