"""Whether a machine suits the grounds it goes to, and why."""

from pitchline.words.english import Sentence

_STAND_IN = "These grounds stand in for that, dry to wet; name the ones it goes to and they are judged instead."
SENTENCES: dict[str, Sentence] = {
    "all": "{said:then}",
    "on_level": "on the level",
    "on_slope": "on {slope_deg:g} degrees",
    "cases": "about {tens} in 10",
    "cases_nearly_all": "all or nearly all",
    "cases_hardly_any": "hardly any",
    "test_cone_index": "its cone index",
    "test_sinks": "how far it sinks",
    "test_pull": "the pull it gives",
    "test_bearing": "what it bears with a safety factor of {factor:g}",
    "test_tips": "tipping over",
    "test_slides": "sliding down",
    "goes": "It goes {where} in {cases} of the cases looked at, by {tests:and}.",
    "against": "What is against it {where}: {test}; it passes in {cases} of the cases looked at.",
    "hard_carries": "Hard ground carries it on its grouser tips; width does not help here.",
    "mass_unknown": "Nobody knows the machine's mass, so nobody can say.",
    "unknown_grip": "Of this ground its grip is not known, so nobody can say whether the machine slides {where}.",
    "unknown_pull": "Of this ground the pull it gives is not known, so nobody can say whether the machine climbs {where}.",
    "unknown_grip_pull": "Of this ground neither grip nor pull is known, so nobody can say what the machine does {where}.",
    "nothing_known": "Nothing known of this ground tells whether it carries the machine.",
    "hides_voids": "Loose fill hides voids.",
    "near_tipping": "It stands within reach of tipping {where}: nothing is called suitable past half of the slope it tips on at rest, "
    "or nearer to it than {clear_deg:g} degrees (our own margin for swing, travel, load and a soft edge).",
    "near_sliding_with_cohesion": "Friction alone does not hold it {where} with half as much to spare; what cohesion adds goes with "
    "water, a smeared surface or a crack.",
    "near_sliding_by_friction": "Friction does not hold it {where} with half as much to spare (our own margin).",
    "within_many_passes": "within the limit for many passes of {limit_pa:whole_thousands} kPa",
    "within_satisfactory": "within the satisfactory limit of {limit_pa:whole_thousands} kPa",
    "within_single_pass": "within the limit for a single pass of {limit_pa:whole_thousands} kPa",
    "above_single_pass": "above the limit for a single pass of {limit_pa:whole_thousands} kPa",
    "named_in_file": "The machine file names the grounds it goes to.",
    "usual_entered": "The machine file says only how hard its ground wears: its usual ground is {wear:wear_class}. "
    + _STAND_IN,
    "usual_not_entered": "The machine file says only how hard its ground wears: nobody entered its ground, which is taken as middling. "
    + _STAND_IN,
    "as_asked": "As asked here.",
    "going_on": "{going:going} on {grounds:grounds}",
    "goings": "{goings:also}",
    "every_going": "{goings:capital}.",
    "empty_level": "empty, on the level",
    "empty_slope": "empty, on {slope_deg:g} degrees",
    "loaded_level": "with {load_kg} kg at {reach_m:g} m, on the level",
    "loaded_slope": "with {load_kg} kg at {reach_m:g} m, on {slope_deg:g} degrees",
}
