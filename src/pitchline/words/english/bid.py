"""The way from an asking price to an offer."""

from pitchline.words.english import Sentence

_GEAR = (
    "Each part's price as new, times its share of life left less a half; what is put right now counts as new, so that it is taken "
    "off once only."
)

SENTENCES: dict[str, Sentence] = {
    "asking": "asking price",
    "as_entered": "As entered, without tax; taken to be for a running gear that is half worn.",
    "put_right": "to put right now",
    "not_priced": "Not priced, and so not taken off: {jobs:also}. Price it first.",
    "nothing_unsafe": "Nothing is unsafe or ruins what is dearer.",
    "every_job": "Every job on what is unsafe or ruins what is dearer, parts and labour in full.",
    "one_stop": "one lay-up for it",
    "no_stop_entered": "No cost of a lay-up is entered in the price list: nothing is taken off for it.",
    "no_stop_needed": "None needed today.",
    "stop_made_of": "Lorry, call-out, fitter's day, standing machine and opened tracks, as far as the price list has them.",
    "gear": "running gear against half worn",
    "gear_by_life": _GEAR,
    "gear_cut": f"{_GEAR} Cut: no more can sit in it than is asked for the whole machine.",
    "not_a_valuation": "A working aid, not a valuation: for that ask a qualified valuer.",
}
