"""The primer's words on each job: what is done, and when. Common practice, no source."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "turn": "Pins and bushes are pressed out, turned half round and pressed in again. The unworn face then meets the tooth. It is done once, at about half the wear.",
    "replace": "Another part is fitted. Where it runs with a worn partner, the partner wears it too.",
    "rebuild": "The worn face is built up again by welding and ground to its size, by a shop that does it.",
    "reshoe": "Other shoes are bolted on the same chain, with new bolts; seats are cleaned first.",
    "reshell": "A new shell or tread is fitted on a hub that is still good.",
    "adjust": "Grease is put in or let out until the sag is as the manual says. Clean first, and look again on site.",
    "remove_joint": "One joint is taken out of a stretched chain, to win stroke back. It mends no pitch: the teeth still meet the worn one.",
    "refit_bolts": "Missing bolts are put in, loose ones tightened as the manual says. Dirt and rust under a head undo it again.",
    "clean_out": "Packed soil is dug and washed out, before it sets or freezes.",
    "investigate": "Somebody looks closer, before anything is ordered: for the cause, or for how far it goes.",
    "measure": "It is read once more with care: either the reading is wrong or the part is, and the money hangs on which.",
}
