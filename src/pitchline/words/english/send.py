"""What to do about a ground, for whoever sends the machine there."""

from pitchline.words.english import Sentence

_DECIDES = "on the spot a competent person decides."
SENTENCES: dict[str, Sentence] = {
    "answer": "{task:capital}: {told:also}; " + _DECIDES,
    "answer_for_stand_ins": "Nobody named the ground it is to go to, so these stand in for it; {task}: {told:also}; "
    + _DECIDES,
    "suits": "it suits {grounds:grounds}",
    "with_care": "go with care on {grounds:grounds}",
    "try_first": "on {grounds:grounds} with care, and try the ground first, for more is against it there than for it",
    "ask_first": "on {grounds:grounds} with care, and only by a competent person's word",
    "keep_off": "keep off {grounds:grounds}",
    "unknown": "nobody can say of {grounds:grounds}, so have it looked at before it goes there",
    "ask_for_shoes": "ask for {width_m:rough_length} shoes",
    "ask_for_shoes_as_told": "ask for {width_m:rough_length} shoes: {told:commas}",
    "shoes_get_further": "{width_m:rough_length} shoes get further",
    "shoes_get_further_as_told": "{width_m:rough_length} shoes get further: {told:commas}",
    "shoes_suit": "they suit {grounds:grounds}",
    "shoes_up_to": "on {ground:ground} they are up to it in {wider}, these in {own}",
    "hardly_any": "hardly any",
    "places": "{tenths} of 10 such places",
    "hardly_any_place": "hardly any such place",
    "hire": "{told:capital}; " + _DECIDES,
    "listed": "{told:also}",
    "rather": "for {ground:ground} {name}, {against}",
    "neither": "for {grounds:grounds} neither is told to be the better one",
    "keep_both_off": "keep both off {grounds:grounds}",
    "it_does": "it {does}, {name} {other}",
    "does_suit": "suits it",
    "does_not_suit": "does not suit it",
    "does_up_to": "is up to it in {cases}",
    "wider_bends": "both do alike, but wide shoes as those of {name} bend, crack and pull bolts there",
    "twice_as_often": "with care: it is up to it twice as often as {name}, in {cases} against {other}",
    "more_often": "with care: it is up to it more often than {name}, in {cases} against {other}",
}
