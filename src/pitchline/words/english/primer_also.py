"""What else the trade calls a part, for whoever looks it up by another word: named in the primer, used nowhere. Common practice, no source."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "chain": "track chain, track group, track link assembly, pin, joint, joining link, master link",
    "bush": "bushing, track bush, sleeve, pin and bush turn",
    "link": "track link, rail, link height, pin boss",
    "shoe": "track plate, track shoe, track pad, grouser, lug, rib, swamp shoe",
    "pad": "road pad, rubber block, bolt-on pad, street pad",
    "bottom_roller": "track roller, lower roller, load roller, bogie",
    "upper_roller": "carrier roller, top roller, return roller, support roller",
    "idler": "front idler, guide wheel, tension wheel",
    "sprocket": "drive sprocket, drive wheel, segment, rim, tooth, gear",
    "rubber_track": "rubber belt, rubber crawler, lug, tread, cord, core, guide lug, drive lug",
    "track_adjuster": "tensioner, grease cylinder, recoil spring, tension spring, track tension, yoke",
    "guard": "track guide, rock guard, chain guide, guiding guard, roller guard",
    "final_drive": "travel motor, gearbox, hub, reduction gear, planetary drive",
    "slew_ring": "slewing ring, swing bearing, turntable bearing, slew bearing, rotation bearing",
}
