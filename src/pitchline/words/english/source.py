"""Where an input of ground fit comes from."""

from pitchline.words.english import Sentence

_TURNING = "Wong table of turning coefficients, from memory"
SENTENCES: dict[str, Sentence] = {
    "entered": "entered",
    "machine_file": "machine file",
    "shoe_on_offer": "shoe on offer",
    "joints_pitch_sprocket": "from joints, pitch and sprocket: sprocket to idler centre, idler up to a tenth smaller",
    "of_track_length": "{low:percent_bare} to {high:percent} of the track's length, proportion of our own",
    "of_contact_length": "{low:percent_bare} to {high:percent} of the contact length, proportion of our own",
    "of_contact_length_high": "{low:percent_bare} to {high:percent} of the contact length, for a mast or a loaded body stands high, "
    "proportion of our own",
    "of_contact_length_offset": "share of the contact length, proportion of our own",
    "of_pitch_circle": "{low:g} to {high:g} of the sprocket's pitch circle, proportion of our own",
    "of_pads_or_lugs": "pads or lugs, proportion of our own",
    "of_pitch_grouser": "share of pitch, proportion of our own",
    "of_pitch_roller": "share of the pitch, proportion of our own",
    "of_rubber_pitch_roller": "share, proportion of our own",
    "of_mass_power": "{low:thousands} to {high:thousands} kW a tonne, proportion of our own",
    "implied_rolling": "{implied:g} implied by CRREL Report 95-1, widened",
    "wet_season_index": "wet season, second-hand from a planning toolbox after ERDC and FM 5-430; widened 30 % by us",
    "strength_table": "Caltrans Trenching and Shoring Manual, Table 3-3",
    "handbooks": "from memory: usual range of handbooks",
    "no_cohesion": "sand and gravel: none",
    "hard_ground": "our own wide range for steel or rubber on hard ground",
    "shear_from_memory": "shear displacement, from memory and widened",
    "winter_curve": "share of the curve of CRREL Report 95-1, from memory; never more, for wet snow and ice hold less",
    "turning_table": _TURNING,
    "turning_table_steel": _TURNING + "; hard earth to grass, steel",
    "turning_table_rubber": _TURNING + "; hard earth to grass, rubber",
    "turning_table_hard": _TURNING + "; as concrete and hard earth",
    "tested_soils": "{soils:soils}; widened by us",
    "thumb_test": "thumb scale of ASTM D2488 in UFC 3-220-10, strengths of Caltrans Table 3-3; scales differ, so widened by us",
    "boot_test": "common practice, no source; wide",
    "thumb_seen": "{seen:thumb}",
    "boot_seen": "{seen:boot}",
    "moisture_unknown": "moisture not known",
    "cone_alone": "cone index {cone:g}, not remoulded: says nothing yet",
    "cone_and_remould": "cone index {cone:g} x remould index {remould:g}",
    "hand_vane": "hand vane {strength_pa:thousands} kPa",
}
