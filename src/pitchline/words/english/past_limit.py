"""What comes of working on past a wear limit, in one clause."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "ring_lets_go": "the upper machine hangs on this bearing, and one worn through lets go without notice",
    "cords_give_way": "steel cords do not stretch unless they give way: the track can part or jump off",
    "bush_breaks": "a bush that wears through breaks, and takes pin, link bores and sprocket with it",
    "chain_rides_up": "the chain rides up on the teeth and wears the sprocket; far past the limit it jumps",
    "flanges_on_bosses": "the rollers' flanges come down on the pin bosses",
    "shoe_grips_less": "it grips less, on slopes too, and the thin plate bends",
    "steel_on_surface": "steel comes down on the surface it runs on",
    "roller_carries_less": "its flanges come up to the pin bosses, and the rollers beside it carry its load",
    "guided_by_others": "the track is guided by the rollers beside it; where theirs are gone too, it runs off",
    "upper_run_rubs": "the upper run hangs lower and rubs",
    "upper_run_unguided": "the upper run is no longer guided there",
    "idler_on_bushes": "its centre flange comes up to the bushes",
    "no_longer_fit": "chain and sprocket no longer fit and wear each other",
    "thin_teeth": "thin teeth wear the bushes; once they are hooked or break, the chain jumps",
    "rubber_grips_less": "it grips less, on slopes too, and the body over the cords wears next",
    "guide_lugs_tear": "thin guide lugs tear; where two in a row are gone, the track runs off",
    "chain_jumps": "so far past it the chain jumps its teeth, and drive and hold of that side go",
    "teeth_jumped": "so far past it the chain jumps the teeth, and drive and hold of that side go",
    "runs_off": "so far past it the guide lugs tear, and the track runs off",
}
