"""Jobs as orders, such as "turn bushes, left"."""

from pitchline.trade.jobs import JobKind
from pitchline.words.english import Sentence
from pitchline.words.names import named

_PLAIN: dict[str, Sentence] = {kind.value: f"{named(kind)} {{places:places}}" for kind in JobKind}
SENTENCES: dict[str, Sentence] = _PLAIN | {
    "remove_joint": "remove a joint of {places:places}",
    "refit_bolts": "refit bolts of {places:places}",
    "reshoe": "re-shoe {places:shod}",
}
