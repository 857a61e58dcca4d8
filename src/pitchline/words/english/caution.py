"""What to heed with every ground fit."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "not_a_permit": "Figures to compare by, not a permit to work. Ground bearing, working platforms, edges and slopes are for a "
    "competent person, the maker's manual and local codes.",
    "off_slopes": "Keep off slopes where you can: tracked plant has slid, overturned and broken through. Swing, travel, load, "
    "water and a soft edge bring a machine over, or let it slide, long before the slopes told here.",
    "edge_of_excavation": "No machine near the edge of an excavation unless the edge is proved.",
}
