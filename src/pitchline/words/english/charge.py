"""What a lay-up is charged beside its jobs."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "lorry": "lorry",
    "call_out": "call-out",
    "fitters_day": "fitter's day",
    "standing": "machine standing, {standing_h:tenths} h",
    "standing_rate": "standing per hour",
    "opening": (
        "opening the track and closing it again, one side",
        "opening the track and closing it again, {n} sides",
    ),
    "opening_rate": "opening a track per side",
    "shoes_over": "taking {count} old shoes over to the new chain, {labour_h:labour}",
    "any": "any cost of the lay-up itself",
    "bolting_shoes": "bolting old shoes to the new chain",
}
