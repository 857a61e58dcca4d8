"""Two machines beside each other on the same grounds."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "each": "{name}: {going:going}. {because}",
    "press": "They press with {one} against {other}.",
    "presses": "{ends_pa:range_thousands_0} kPa on {width_m:rough_length} shoes",
    "wider_bends": "The wider shoes of {name} bend, crack and pull bolts there (common practice, no source).",
    "width_gives_nothing": "Width gives nothing here.",
    "all_grounds": "{told:also}.",
    "rather_on": "{name} rather on {grounds:grounds}",
    "alike_on": "nothing tells them apart on {grounds:grounds}",
}
