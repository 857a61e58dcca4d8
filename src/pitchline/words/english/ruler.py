"""Why what is judged parts from the reading, and from the figure a mechanic draws with a ruler."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "both": "{both:then}",
    "used": "{read:percent} used as read, {judged:percent} as judged: {why:which_and}.",
    "carried_on": "{worked_h:hours} worked since are carried on",
    "others": "the machine's other parts",
    "earlier_and_others": "its earlier readings and the machine's other parts",
    "counts_for_little_less": "{witnesses} say so much less that the reading counts for little",
    "counts_for_little_more": "{witnesses} say so much more that the reading counts for little",
    "may_be_changed": "it may have been changed without a record",
    "within_doubt_less": "the reading alone is good to {room:percent} either way, and {witnesses} say less",
    "within_doubt_more": "the reading alone is good to {room:percent} either way, and {witnesses} say more",
    "straight": "At the rate so far it would be {straight_h:hours}; {why}.",
    "other_used_less": "less, because {judged:percent} is taken as used and not {read:percent}",
    "other_used_more": "more, because {judged:percent} is taken as used and not {read:percent}",
    "faster_late": "less, because such parts wear {times:.1f} times as fast late in their life",
    "one_reading_less": "less, because one reading says little of its own rate: how such parts and the others here wear counts too",
    "one_reading_more": "more, because one reading says little of its own rate: how such parts and the others here wear counts too",
    "more_counts_less": "less, because how such parts and the others here wear, and the ground to come, count beside its own rate",
    "more_counts_more": "more, because how such parts and the others here wear, and the ground to come, count beside its own rate",
}
