"""What a figure of ground fit rests on, as its range."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "range_n_m3": "{ends:range_thousands_1} kN/m3",
    "range_kg": "{ends:range_0} kg",
    "range_pa": "{ends:range_thousands_0} kPa",
    "range_deg": "{ends:range_0} deg",
    "range_w": "{ends:range_thousands_0} kW",
    "range_m": "{ends:range_3} m",
    "range_bare": "{ends:range_2}",
    "sunk_flat": "grousers not sunk, k = {share:g}",
    "sunk_grousers_in": "grousers sunk in, k = {share:g}",
}
