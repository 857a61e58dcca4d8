"""What a job takes, one of each."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "part": "{part:part}",
    "to_turn": "pin and bush to turn",
    "joint_out": "joint to take out",
    "bolt": "bolt and nut for {part:parts}",
    "joining_link_bolt": "bolt and nut for joining links",
    "chain": "chain of {joints:d} joints",
    "shoe": "shoe",
    "shoe_bolt": "shoe bolt and nut",
    "pad": "rubber pad",
    "pad_bolt": "pad bolt and nut",
    "sprocket_segment": "sprocket segment",
    "roller_two_flanges": "bottom roller, two flanges",
    "roller_one_flange": "bottom roller, one flange",
}
