"""What mends a cause, before new parts go on."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "tight": "Clean out, set the sag by the machine's manual, on site as well as in the yard; tell who drives it.",
    "slack": "Clean out, set the sag by the machine's manual; at the end of the stroke find out why before a joint comes out.",
    "packing": "Clean out each shift, look at guards and scrapers; set the sag in the state it works in.",
    "reverse": "Tell who drives it: travel forward where there is room, slowly in reverse.",
    "one_way": "Tell who drives it: turn both ways, and turn the loading place round from time to time.",
    "side_hill": "Tell who drives it: change the direction of work on slopes; turn the work round from time to time.",
    "out_of_line": "Have frame, idler and sprocket aligned before chain, rollers or sprocket are renewed.",
    "dry_joints": "Look for the joints that run hot or rusty; a dry joint is resealed or renewed, adjusting does not mend it.",
    "worn_rollers": "Renew worn-through rollers and idlers before new rails run on them, and the other way round.",
    "seized": "Free or renew what does not turn before a new chain runs over it.",
    "wide_shoes": "Fit shoes as narrow as the ground allows, with the next chain or before the bolts are renewed.",
    "unlike_pitch": "Renew sprocket and chain so that their pitches agree: never the one alone.",
    "worn_idler": "Put idler and guides right before a new chain runs over it.",
    "loose_bolts": "Take the shoes off, clean the seats, tighten by the machine's manual; look again after the first shift.",
    "frame_or_spring": "Have frame, recoil spring and adjuster looked at by a workshop: the spring is under load even when it is broken.",
    "sharp_ground": "Keep it off sharp edges and kerbs where that can be done; close cuts before water reaches the cord.",
    "wet_cord": "Nothing mends a rusty cord: look at it often, and renew the track before it parts.",
    "overloaded_cord": "Set the tension by the machine's manual, keep stones out of the drive; a stretched loop is renewed.",
    "spin": "Tell who drives it: no turning on the spot on hard ground, wide turns.",
    "slack_or_worn_drive": "Set the tension by the machine's manual, read the drive before a new track runs on it.",
    "line_or_slopes": "Have rollers and idler aligned before a new track runs over them; change the direction on slopes.",
    "core_leaving": "Nothing mends steel that leaves its rubber: renew the track before the drive skips.",
}
