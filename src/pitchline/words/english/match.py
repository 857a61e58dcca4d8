"""Which part fits."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "fits": "{number} fits what was read ({chance:in_a_hundred}). Compare it with the part's own papers before it is ordered.",
    "none": "Probably none of these ({chance:in_a_hundred}): check the readings, or look in another list.",
    "read_next": "Not sure yet ({chance:in_a_hundred} for the first). To read next: {size:part_size}, "
    "which is expected to make it {sure_then:in_a_hundred}.",
    "outside": "{number} comes nearest, but does not agree with: {sizes:part_sizes}.",
    "alike": "The list tells the first ones apart by nothing that was not read ({chance:in_a_hundred} for the first).",
    "row": "{place}. {number}{note}: {chance:in_a_hundred}{outside}",
    "row_outside": "; does not agree with: {sizes:part_sizes}",
}
