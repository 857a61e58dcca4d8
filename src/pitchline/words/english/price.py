"""What the price list lacks."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "no_list_one": "{job:job} {part:part}: no price list given",
    "no_list_several": "{job:job} {part:parts}: no price list given",
    "not_on_list_one": "{job:job} {part:part}: not on the price list",
    "not_on_list_several": "{job:job} {part:parts}: not on the price list",
    "job_not_on_list": "{part:parts}: {job:job} is not on the price list",
}
