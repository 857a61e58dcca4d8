"""Judge a worn section: new, limit and today drawn on each other, made up; how much of its life is used."""

from functools import partial

from pitchline.desk.drawing import SMALL, inline
from pitchline.desk.primer import drawings, pages
from pitchline.desk.primer.lessons import LESSONS
from pitchline.desk.primer.pieces import Asked, Drawn, Piece, PieceKind
from pitchline.picture.ink import Board
from pitchline.picture.part_words import length_said
from pitchline.picture.sections import States, states_of
from pitchline.picture.worn import draw_key, draw_section, needed_tall
from pitchline.trade.calls import Call
from pitchline.trade.dossier import Limit, LineShape
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.trade.saying import saying
from pitchline.trade.writing import way_in_force
from pitchline.verdict import Judged, PartVerdict
from pitchline.wear.line import wear_line
from pitchline.words import in_english, translated, worded
from pitchline.words.labels import quantity
from pitchline.words.speaking import capital

_MADE_UP = {
    PartKind.BUSH: Limit(PartKind.BUSH, Measurand.BUSH_OD_FORWARD, 0.060, 0.054, shape=LineShape.FLAT_ON_ROUND),
    PartKind.LINK: Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, 0.108, 0.097),
    PartKind.SHOE: Limit(PartKind.SHOE, Measurand.GROUSER_HEIGHT, 0.027, 0.011),
    PartKind.BOTTOM_ROLLER: Limit(PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER, 0.162, 0.146),
    PartKind.IDLER: Limit(PartKind.IDLER, Measurand.TREAD_DEPTH, 0.018, 0.028),
    PartKind.SPROCKET: Limit(PartKind.SPROCKET, Measurand.ROOT_DIAMETER, 0.640, 0.616),
    PartKind.RUBBER_TRACK: Limit(PartKind.RUBBER_TRACK, Measurand.LUG_HEIGHT, 0.030, 0.010),
}
"""New size and limit of each part asked for. Made up: sizes of nobody's parts, and no rule of thumb."""
WORN = tuple(Piece(PieceKind.WORN, part.value) for part in _MADE_UP)
_STEPS = {
    "quarter": (in_english("about a quarter"), 0.25),
    "half": (in_english("about half"), 0.5),
    "most": (in_english("about three quarters"), 0.75),
    "limit": (in_english("all of it: it is at its limit"), 1.0),
    "past": (in_english("more than all: it is past its limit"), 1.25),
}


def section_drawn(states: States) -> Drawn:
    """The states of a part on each other with their key, wide and for a phone; sizes are told beside it."""
    length = partial(length_said, units=way_in_force().units)
    drawn = []
    for width, prefix in ((560, "part"), (SMALL, "partsmall")):
        board, tall = Board(width, prefix), 0.0
        tall = needed_tall(states, width, 260.0, length)
        draw_section(board, states, (0.0, 0.0, width, tall), length)
        height = draw_key(board, 8, tall + 14, states)
        drawn.append(
            inline(
                board.svg(height, translated("Section"), translated("New, limit and today on each other.")),
                prefix,
                {},
            )
        )
    return drawn[0], drawn[1]


def ask_worn(piece: Piece, number: int) -> Asked:
    """A made-up part worn by so much."""
    part, chance = PartKind(piece.name), piece.chance(number)
    limit, right = _MADE_UP[part], chance.choice(list(_STEPS))
    line = wear_line(limit)
    today_m = round(float(line.size_m([_STEPS[right][1]])[0]), 4)
    used = float(line.life_used([today_m])[0])
    states = _states(part, limit, today_m, drawings.made_up_for(part))
    units = way_in_force().units
    new, end, today = (length_said(one, units) for one in (limit.new_m, line.limit_m, today_m))
    gone, may = (abs(one - limit.new_m) for one in (today_m, line.limit_m))
    told = [
        worded(
            "{gone} of {may} that may wear are gone.", gone=length_said(gone, units), may=length_said(may, units)
        ),
        worded("Along its wear line {used:percent} of its life is used.", used=used),
    ]
    if limit.shape is LineShape.FLAT_ON_ROUND:
        told.append(
            translated(
                "Metal counts, not depth: a flat begins narrow and gets wider, so its first tenths go fast, its last slowly."
            )
        )
    if states is not None and states.times > 1:
        told.append(
            worded(
                "The loss is drawn {times} times as large as it is; new and limit are drawn alike, so the shares hold.",
                times=states.times,
            )
        )
    sizes = worded("{new} new, {end} at its limit, {today} today", new=new, end=end, today=today)
    drawn = section_drawn(states) if states is not None else None
    return Asked(
        translated("How much of its life is used?"),
        right,
        tuple((key, translated(said)) for key, (said, _) in _STEPS.items()),
        drawn,
        drawn,
        ((capital(quantity(limit.measurand)), sizes),),
        tuple(told),
        (pages.to_part(part), pages.to_lesson(LESSONS["measuring"])),
        ranks={key: rank for rank, key in enumerate(_STEPS)},
    )


def _states(part: PartKind, limit: Limit, today_m: float, gear: RunningGear) -> States | None:
    place = Place(part, Side.LEFT, 1 if PARTS[part].numbered else 0)
    sizes = {limit.measurand: today_m}
    if part is PartKind.BUSH:  # its other face is drawn, too
        sizes[Measurand.BUSH_OD_REVERSE] = limit.new_m
    judged = tuple(
        Judged(place, one, "judged", value_m=size_m, new_m=limit.new_m, limit_m=limit.limit_m)
        for one, size_m in sizes.items()
    )
    shown = PartVerdict(place, Call.UNJUDGED, saying("primer.calls_title"), None, None, None, judged, ())
    return states_of(shown, gear)
