"""What sag and adjuster ask for."""

from pitchline.words.english import Sentence

_CAUSES = "Look for a worn idler or sprocket, an adjuster that loses grease, {} or a broken recoil spring."
SENTENCES: dict[str, Sentence] = {
    "sag": "{sag_m:length} of sag, range {least_m:length} to {most_m:length}",
    "tight_and_packed": "The track is too tight ({sag}) and packed with soil: clean it out, then measure the sag again.",
    "packed": "Packed soil tightens the track: clean it out before the sag is measured again and set.",
    "too_slack_and_packed": "The track is too slack ({sag}): clean out first, then set the sag.",
    "too_slack": "The track is too slack: take it up ({sag}).",
    "too_tight": "The track is too tight: let it out ({sag}).",
    "adjuster_besides": "The adjuster is out too far besides: measure it again once the sag is set.",
    "at_its_end": "The adjuster is out too far ({out_m:length} out, {most_m:length} allowed).",
    "at_its_end_and_slack": "The adjuster is out too far ({out_m:length} out, {most_m:length} allowed) and the track too slack "
    "({sag}): do not pump it further.",
    "causes": _CAUSES.format("a wrong count of joints"),
    "causes_on_rubber": _CAUSES.format("a track that has grown"),
    "pitch_not_read": "The pitch was not read: measure it before a joint comes out.",
    "stretch_explains_little": "The chain's stretch explains only about {about_m:rough_length} of it, so no joint comes out.",
    "turn_takes_back": "A turn takes about {about_m:rough_length} of it back, so no joint comes out.",
    "chain_past_limit": "The chain is stretched past its limit: a new one, and no joint out of the old one.",
    "less_than_a_joint": "Less is used than a joint gives back, so none can come out.",
    "joint_out": "Enough is used up to take out a joint, and stretch explains about {about_m:rough_length} of it.",
}
