"""Why each kind of finding matters, in one clause."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "leak": "a part that loses its oil or grease runs hot, seizes or gives way",
    "seized": "a wheel that does not turn is worn flat and wears the chain",
    "flat": "a flat says the roller has stood still, and it hammers the chain",
    "shaft_play": "a wheel that wobbles on its shaft loses its seal and wears the chain's rails and flanks",
    "cracked": "a crack grows under load and the part can break without notice",
    "bent": "bent metal loads its bolts and neighbours unevenly",
    "missing_bolts": "the bolts left carry the load of those that are gone",
    "loose_bolts": "a loose part works its holes and damages both faces",
    "bolt_holes_elongated": "bolts do not hold in a worn hole, and the loose shoe wears the seat of its links",
    "cord_showing": "once water reaches the cord the track can part without notice",
    "separation": "rubber that has left its steel comes off in use",
    "cut": "a cut lets water and grit into the rubber, and one down to the cord lets the track part",
    "torn_guide_lug": "where guide lugs are gone, two in a row above all, the track runs off",
    "lug_torn_off": "the drive skips and the grip goes where lugs are gone, which on a slope is a hold lost",
    "steel_insert_lost_or_broken": "the sprocket drives and the rollers run on the inserts, and a loose one cuts the cord",
    "pad_torn_or_missing": "bare steel breaks the surface it runs on and loads the pads beside it",
    "uneven_tread": "one-sided wear has a cause, most often alignment, that will wear the new part too",
    "packed_with_soil": "packed soil tightens the track and grinds everything that turns",
    "pin_walking_out": "a pin that leaves its link opens the track",
    "dry_joint": "a joint without oil wears its pin and bush from inside and stretches the chain",
    "joining_link_loose": "the whole track hangs on the bolts or the lock of its joining link",
    "snaking": "a chain with side play in its joints climbs the flanges and can run off",
    "side_wear": "links worn on their flanks have a cause, alignment or side slopes, that will wear new ones too",
    "pin_boss_contact": "flanges that run on the pin bosses wear the links where they hold their pins",
    "hooked_teeth": "hooked teeth drag the bushes, wear the chain and in the end let it jump",
    "broken_teeth": "the chain jumps where a tooth is gone, and the teeth beside it break next",
    "broken_recoil_spring": "a broken spring holds no tension, and what is left of it is still loaded",
    "losing_pressure": "a track that goes slack again and again jumps its teeth and runs off",
}
