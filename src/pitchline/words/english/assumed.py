"""Wear limits by rule of thumb: what each rests on, and why some are never assumed."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "by_rule": "This goes by an assumed limit, a rule of thumb: look the limit up in the manual before anything is ordered.",
    "confirm_first": "This goes by an assumed limit, a rule of thumb. By a manual's figure it would be a stop: look the limit up "
    "before it works on.",
    "rule": "assumed by rule of thumb: {share:percent} of the new size may wear away, give or take {doubt:percent} of that",
    "rule_grows": "assumed by rule of thumb: it may grow by {share:percent} of the new size, give or take {doubt:percent} of that",
    "pitch_below_ceiling": "assumption: roller chain is changed at about 3 % (common practice, no source); a track chain carries more, "
    "so two thirds of that",
    "bush_wall": "assumption: the wall of a bush is taken as near a fifth of its diameter, and less than half of it may go on one side",
    "rail_over_boss": "assumption: a rail worn by about a twelfth lets the rollers' flanges come near the pin bosses",
    "grouser_bite": "assumption: below two fifths of its height a grouser hardly bites, and the plate begins to bend",
    "pad_half": "assumption: pads are changed half worn, before bolts and steel come near the surface",
    "tread_shell": "assumption: a roller worn by about a twelfth of its diameter has little shell left, and its flanges stand high",
    "flange_third": "assumption: a flange that has lost a third still guides; thinner ones bend or break",
    "idler_tread": "assumption: a tread two fifths deeper brings the centre flange near the bushes",
    "root_with_pitch": "assumption: a root as much smaller as the pitch may grow no longer fits the chain",
    "tooth_third": "assumption: a tooth that has lost a third has begun to hook",
    "lug_left": "assumption: below two fifths of its height a lug grips little, and the body over the cords wears next",
    "never_ring": "Never assumed: the upper machine hangs on this bearing. Its limit stands in the manual of the machine or the ring.",
    "never_cords": "Never assumed: steel cords that stretch have given way, and the track can part.",
    "never_guide_lugs": "Never assumed: where guide lugs are gone, the track runs off.",
}
