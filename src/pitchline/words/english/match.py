"""Which part fits."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "fits": "{number} fits what was read ({chance:in_a_hundred}). Compare it with the part's own papers before it is ordered.",
    "none": "Probably none of these ({chance:in_a_hundred}): check the readings, or look in another list.",
    "read_next": "Not sure yet ({chance:in_a_hundred} for the first). To read next: {size:part_size}, "
    "which is expected to make it {sure_then:in_a_hundred}.",
    "outside": "{number} comes nearest, but does not agree with: {sizes:part_sizes}.",
    "alike": "The list tells the first ones apart by nothing that was not read ({chance:in_a_hundred} for the first).",
    "gear_is": "By all that was read and counted it is {name} of the gear list ({chance:in_a_hundred}).",
    "gear_none": "Probably none of the gear list ({chance:in_a_hundred}): check readings and counts, or enter it anew.",
    "gear_outside": "{name} of the gear list comes nearest, but not all of it agrees.",
    "gear_read_next": "Not sure yet ({chance:in_a_hundred} for {name}). To read next: {size:part_size}, {part:part}.",
    "gear_alike": "The gear list tells the first ones apart by nothing that was not read ({chance:in_a_hundred} for {name}).",
    "row": "{place}. {number}{note}: {chance:in_a_hundred}{outside}",
    "row_outside": "; does not agree with: {sizes:part_sizes}",
}
