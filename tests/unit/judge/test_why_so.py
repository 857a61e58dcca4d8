"""Wear as an expert would plant it, on one invented machine: the answer names the cause, or the look that tells it.

The cases are those an undercarriage expert asked for, each with the cause the trade gives it: common practice, no source. New
parts beside worn ones are in test_work_that_makes_sense.py.
"""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from pitchline.judge.machine_by_day import known_by
from pitchline.judge.why_so import causes_of
from pitchline.trade.causes import Cause, LookedFor, Sign
from pitchline.trade.dossier import Limit, PermittedRange
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.wear.doubt import reading_doubt

LEFT, RIGHT, BOTH = Side.LEFT, Side.RIGHT, (Side.LEFT, Side.RIGHT)
M, P = Measurand, PartKind
SIZES = {
    M.PITCH: (P.CHAIN, 200.0, 206.0), M.BUSH_OD_FORWARD: (P.BUSH, 60.0, 54.0), M.BUSH_OD_REVERSE: (P.BUSH, 60.0, 54.0),
    M.RAIL_HEIGHT: (P.LINK, 110.0, 100.0), M.GROUSER_HEIGHT: (P.SHOE, 26.0, 12.0), M.ROOT_DIAMETER: (P.SPROCKET, 744.0, 732.0),
    M.TREAD_DIAMETER: (P.BOTTOM_ROLLER, 160.0, 144.0), M.FLANGE_THICKNESS: (P.BOTTOM_ROLLER, 24.0, 16.0),
}  # fmt: skip
ROLLERS = range(1, 6)


def _judged(one):
    """A reading as a verdict has it, without the hours that need an outlook."""
    _, new, limit = SIZES[one.measurand]
    life = (one.value_m * 1e3 - new) / (limit - new)
    return SimpleNamespace(
        place=one.place,
        measurand=one.measurand,
        life_used_read=life,
        u_m=reading_doubt(one).u_m,
        new_m=new / 1e3,
        limit_m=limit / 1e3,
    )


@pytest.fixture(scope="module")
def diagnosed(dossier, reading):
    """What is told of the machine worn to a third, but for what a case says: life used by quantity, side, roller."""

    def make(case=lambda what, side, n: 0.35, sag_mm=40.0, findings=(), looked_for=(), whole=True):
        readings = []
        for side in BOTH:
            for what, (part, new, limit) in SIZES.items():
                for n in ROLLERS if part is P.BOTTOM_ROLLER else [0]:
                    life = case(what, side, n)
                    many = 4 if what is M.PITCH else 1
                    size = round(many * (new + life * (limit - new)), 2)
                    readings.append(reading(part, side, what, size, position=n, joints=many))
            readings.append(reading(P.CHAIN, side, M.SAG, sag_mm))
        limits = tuple(
            Limit(part, what, new / 1e3, limit / 1e3, source="invented")
            for what, (part, new, limit) in SIZES.items()
        )
        seen = {one.place for one in (*readings, *findings)}
        looked = tuple(place for place in dossier.gear.places() if place not in seen) if whole else ()
        last = replace(
            dossier.walk_rounds[-1], readings=tuple(readings), findings=tuple(findings), looked_over=looked
        )
        band = PermittedRange(P.CHAIN, M.SAG, 0.030, 0.050, "invented")
        machine = replace(
            dossier, limits=limits, walk_rounds=(last,), ranges=(band,), events=(), looked_for=tuple(looked_for)
        )
        known = known_by(machine, None)
        judged = [_judged(one) for one in readings if one.measurand is not M.SAG]
        return causes_of(known, (SimpleNamespace(judged=judged),))

    return make


def only(**lives):
    """A third everywhere, but for some quantities on some sides."""
    wanted = {M(name): value for name, value in lives.items()}

    def case(what, side, n):
        life = wanted.get(what, 0.35)
        return life(side, n) if callable(life) else life

    return case


SPROCKETS = [Place(P.SPROCKET, side) for side in BOTH]
PACKED = [Finding(place, FindingKind.PACKED_WITH_SOIL, Severity.CLEAR) for place in SPROCKETS]
HOOKED = [Finding(SPROCKETS[0], FindingKind.HOOKED_TEETH, Severity.CLEAR)]
CASES = {
    "reverse faces more": (only(bush_od_reverse=0.62), {}, {Cause.REVERSE}, set()),
    "left worn more in everything": (
        lambda what, side, n: 0.60 if side is LEFT else 0.35,
        {},
        {Cause.ONE_WAY, Cause.SIDE_HILL},
        {Sign.FLANGES, Sign.SHOES_AHEAD},
    ),
    "left flanges alone, all of them": (
        only(flange_thickness=lambda side, n: 0.88 if side is LEFT else 0.22),
        {},
        {Cause.OUT_OF_LINE, Cause.SIDE_HILL},
        {Sign.SIDES, Sign.ENDS},
    ),
    "front rollers more": (
        only(tread_diameter=lambda side, n: 0.62 if n == 1 else 0.35),
        {},
        {Cause.WORN_ROLLERS, Cause.OUT_OF_LINE, Cause.WORN_IDLER, Cause.FRAME_OR_SPRING},
        {Sign.BOSSES, Sign.HOLLOW_RAIL, Sign.HOT},
    ),
    "bushes and sprocket fast, sag small": (
        only(bush_od_forward=0.62, bush_od_reverse=0.62, root_diameter=0.75),
        {"sag_mm": 22.0},
        {Cause.TIGHT},
        set(),
    ),
    "pitch ahead of the bushes": (
        only(pitch=0.75),
        {},
        {Cause.DRY_JOINTS},
        {Sign.JOINTS_UNLIKE, Sign.PIN_RUST, Sign.HOT},
    ),
    "packed with soil": (only(), {"findings": PACKED}, {Cause.PACKING}, set()),
    "one roller stood still": (
        only(tread_diameter=lambda side, n: 0.9 if (side, n) == (LEFT, 3) else 0.35),
        {},
        {Cause.SEIZED},
        {Sign.HOT, Sign.LEAKING},
    ),
    "teeth hooked, root gone, pitch right": (
        only(root_diameter=0.9),
        {"findings": HOOKED},
        {Cause.UNLIKE_PITCH, Cause.PACKING},
        {Sign.SAG_LOW, Sign.CAME_OFF, Sign.PACKED},
    ),
}


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("whole", [True, False], ids=["all looked over", "read alone"])
def test_the_answer_names_the_cause_or_the_look_that_tells_it(diagnosed, name, whole):
    case, more, causes, looks = CASES[name]
    found = diagnosed(case, whole=whole, **more)
    assert found is not None
    named = {one.cause for one in found.causes[:3]}
    assert named & causes or {one.sign for one in found.looks} & looks, (found.headline, named)


def test_even_wear_names_no_cause(diagnosed):
    found = diagnosed()
    assert found is None or not found.told


def test_what_was_answered_for_moves_the_verdict_and_ages_with_the_walk_round(diagnosed, dossier):
    day = dossier.walk_rounds[-1].date
    plain = diagnosed(only(pitch=0.75))
    rust = diagnosed(only(pitch=0.75), looked_for=[LookedFor(day, Sign.PIN_RUST, True)])
    stale = diagnosed(
        only(pitch=0.75), looked_for=[LookedFor(day.replace(year=day.year - 1), Sign.PIN_RUST, True)]
    )

    def dry(found):
        return next(one.chance for one in found.causes if one.cause is Cause.DRY_JOINTS)

    assert dry(rust) > dry(plain) == dry(stale)
    sure = diagnosed(
        only(pitch=0.75), looked_for=[LookedFor(day.replace(year=day.year - 1), Cause.DRY_JOINTS, True)]
    )
    assert sure.headline.code == "cause.found"
