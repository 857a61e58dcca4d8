"""What a typical life is taken for, and where it comes from."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "travelling": "{kind:a_machine} travelling {share:percent_g} of its hours",
    "taken_to_travel": "{kind:a_machine} taken to travel {usual:percent} of its hours ({low:percent_bare} to {high:percent})",
    "assumed": "our assumption, no source",
    "assumed_for": "our assumption, no source, for {machine}",
    "assumed_for_unknown_chain": "our assumption, no source, for {machine}, its chain of a type nobody entered",
    "assumed_for_chain": "our assumption, no source, for {machine}, its chain {chain:chain_type}",
    "entered": "entered by the yard",
    "learned": "learned from {readings} readings on {machines} machines",
    "removals": "{worn_out} worn-out of {removals} removals",
    "too_few_removals": "too few: {worn_out} worn-out of {removals} removals, {needed} needed",
}
