"""The machines of the demo yard. Every one is invented; pitch, joints, teeth and shoes are chosen off the grid of real ones."""

from pitchline.demo.excavators import EXCAVATORS
from pitchline.demo.limits import INCH_GRAIN_M
from pitchline.demo.recipe import Recipe, both, days_of_2026, left, right
from pitchline.demo.sheets import Hand
from pitchline.demo.simulate import Habits
from pitchline.trade.dossier import Event, LineShape
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.ground import GroundClass, GroundSpan
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import ChainType, Layout, MachineKind, RunningGear, ShoeClass, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.trade.readings import Tool
from pitchline.trade.units import INCH_M

_EACH, _SECOND = SprocketGaps.EACH, SprocketGaps.EVERY_SECOND
_SLIGHT, _CLEAR, _SEVERE = Severity
_EXCAVATOR, _DOZER, _SHOVEL, _PAVER, _OTHER = MachineKind
_STEEL, _BOLTED_PADS, _PAD_SHOES, _RUBBER = TrackKind
_LGP = ShoeClass.LOW_GROUND_PRESSURE

_INCH_TOOLS = (
    Tool("tape", "steel tape in thirty-seconds", INCH_M / 32, 0.0008, 0.0007),
    Tool("outside_calliper", "outside calliper and rule in thirty-seconds", INCH_M / 32, 0.0005, 0.0007),
    Tool("rule", "steel rule in thirty-seconds", INCH_M / 32, 0.0005, 0.0006),
)


_OTHERS = (
    Recipe(
        5,
        "Elder",
        "9 t dozer on wide shoes",
        _DOZER,
        8770.0,
        RunningGear(
            _STEEL,
            41,
            0.168,
            0.68,
            25,
            _SECOND,
            6,
            1,
            (2, 4, 6),
            shoe_class=_LGP,
            grousers_per_shoe=1,
            bolts_per_shoe=4,
            sprocket_segments=5,
            adjuster_stroke_m=0.13,
            guards=("sprocket guard",),
            chain_type=ChainType.SEALED_AND_OILED,
        ),
        days_of_2026((2, 17), (5, 12), (8, 18), (11, 17)),
        3320.0,
        (16.0, 24.0, 30.0),
        history=both(PartKind.BUSH, Event.TURNED, 2850.0),
        habits=Habits(machine_effect=-0.05, part_spread=0.12),
        shapes={(PartKind.SHOE, Measurand.GROUSER_HEIGHT): LineShape.TAPERED_BAR},
        seen={
            1: (Finding(right(PartKind.CHAIN), FindingKind.PACKED_WITH_SOIL, _CLEAR),),
            3: (
                Finding(
                    left(PartKind.CHAIN), FindingKind.DRY_JOINT, _SLIGHT, 1, "one joint warm after a long track"
                ),
            ),
        },
        note="Its bushes were turned.",
        travel_share=0.7,
    ),
    Recipe(
        6,
        "Fern",
        "17 t dozer with raised sprocket",
        _DOZER,
        17400.0,
        RunningGear(
            _STEEL,
            40,
            8.25 * INCH_M,
            21.5 * INCH_M,
            21,
            _SECOND,
            7,
            1,
            (1, 3, 5, 7),
            layout=Layout.RAISED_SPROCKET,
            grousers_per_shoe=1,
            bolts_per_shoe=4,
            sprocket_segments=3,
            adjuster_stroke_m=0.1524,
            guards=("rock guard", "front guide"),
            chain_type=ChainType.SEALED_AND_OILED,
        ),
        days_of_2026((1, 20), (4, 14), (6, 23), (9, 8), (11, 18)),
        4180.0,
        (26.0, 34.0, 42.0),
        spans=(GroundSpan(1400.0, 2300.0, GroundClass.SHARP), GroundSpan(3600.0, 4000.0, GroundClass.MILD)),
        grain_m=INCH_GRAIN_M,
        lives_h=(
            (PartKind.LINK, Measurand.RAIL_HEIGHT, 5500.0),
            (PartKind.SHOE, Measurand.GROUSER_HEIGHT, 5000.0),
        ),
        hand=Hand(unit="in", flange_too=True),
        habits=Habits(part_spread=0.12),
        tools=_INCH_TOOLS,
        at_limit={PartKind.IDLER: JobKind.REBUILD},
        seen={
            2: (Finding(left(PartKind.SPROCKET), FindingKind.LOOSE_BOLTS, _SLIGHT, 2),),
            4: (Finding(right(PartKind.GUARD), FindingKind.BENT, _SLIGHT),),
        },
        by="travelling fitter",
        note="Read and typed in inches.",
        travel_share=0.75,
    ),
    Recipe(
        10,
        "Juniper",
        "15 t track loading shovel",
        _SHOVEL,
        14800.0,
        RunningGear(
            _STEEL,
            39,
            0.178,
            0.46,
            25,
            _SECOND,
            6,
            1,
            (2, 5),
            grousers_per_shoe=2,
            bolts_per_shoe=4,
            adjuster_stroke_m=0.13,
            chain_type=ChainType.SEALED,
        ),
        days_of_2026((4, 8), (7, 29), (11, 6)),
        2900.0,
        (18.0, 25.0, 32.0),
        hand=Hand(flange_too=True),
        shapes={
            (PartKind.BUSH, Measurand.BUSH_OD_FORWARD): LineShape.FLAT_ON_ROUND,
            (PartKind.BUSH, Measurand.BUSH_OD_REVERSE): LineShape.FLAT_ON_ROUND,
        },
        slip_at=left(PartKind.CHAIN),
        seen={
            2: (
                Finding(left(PartKind.SHOE), FindingKind.LOOSE_BOLTS, _SLIGHT, 4),
                Finding(right(PartKind.IDLER, 1), FindingKind.UNEVEN_TREAD, _SLIGHT),
            )
        },
        by="second fitter",
    ),
    Recipe(
        11,
        "Linden",
        "20 t dozer with raised sprocket on wide shoes, new",
        _DOZER,
        19700.0,
        RunningGear(
            _STEEL,
            46,
            0.197,
            0.87,
            21,
            _SECOND,
            8,
            1,
            (2, 4, 6, 8),
            layout=Layout.RAISED_SPROCKET,
            shoe_class=_LGP,
            grousers_per_shoe=1,
            bolts_per_shoe=4,
            sprocket_segments=3,
            adjuster_stroke_m=0.15,
            guards=("front guide", "sprocket guard"),
            chain_type=ChainType.SEALED_AND_OILED,
        ),
        days_of_2026((11, 13)),
        14.0,
        (25.0, 32.0, 40.0),
        ground=GroundClass.GENTLE,
        hand=Hand(missed=0.0),
        note="Brand-new.",
    ),
    Recipe(
        12,
        "Maple",
        "18 t paver, rubber pads bolted to the shoes",
        _PAVER,
        18300.0,
        RunningGear(
            _BOLTED_PADS,
            51,
            0.157,
            0.31,
            12,
            _EACH,
            7,
            2,
            grousers_per_shoe=1,
            bolts_per_shoe=4,
            bolts_per_pad=4,
            adjuster_stroke_m=0.1,
        ),
        days_of_2026((6, 9), (11, 19)),
        3150.0,
        (18.0, 26.0, 40.0),
        ground=GroundClass.MILD,
        hand=Hand(every_roller=False),
        hours_a_week_entered=False,
        seen={1: (Finding(left(PartKind.PAD), FindingKind.SEPARATION, _SLIGHT, 2),)},
        passed_by=(PartKind.FINAL_DRIVE, PartKind.BOTTOM_ROLLER),
        note="Nobody entered its hours a week.",
    ),
    Recipe(
        13,
        "Nettle",
        "9 t paver, rubber pads in place of the shoes",
        _PAVER,
        9230.0,
        RunningGear(_PAD_SHOES, 42, 0.147, 0.26, 11, _EACH, 5, 1, adjuster_stroke_m=0.09),
        days_of_2026((3, 17), (7, 21), (11, 10)),
        6430.0,
        (15.0, 22.0, 30.0),
        ground=GroundClass.MILD,
        meter_changed_on=days_of_2026((5, 20))[0],
        seen={2: (Finding(right(PartKind.FINAL_DRIVE), FindingKind.LEAK, _SLIGHT),)},
        asked=46_000.0,
        note="Its hour meter was changed.",
    ),
    Recipe(
        14,
        "Osier",
        "24 t drill rig, bought used",
        _OTHER,
        23600.0,
        RunningGear(
            _STEEL,
            48,
            0.186,
            0.58,
            23,
            _SECOND,
            7,
            2,
            (1, 7),
            grousers_per_shoe=3,
            bolts_per_shoe=4,
            adjuster_stroke_m=0.14,
            slew_ring=True,
        ),
        days_of_2026((6, 2), (11, 2)),
        7860.0,
        (10.0, 16.0, 24.0),
        forgotten=(
            *both(PartKind.CHAIN, Event.FITTED_NEW, 5100.0),
            *both(PartKind.BUSH, Event.FITTED_NEW, 5100.0),
            *both(PartKind.LINK, Event.FITTED_NEW, 5100.0),
            *both(PartKind.SPROCKET, Event.FITTED_NEW, 5100.0),
        ),
        habits=Habits(writes_down=False),
        hand=Hand(every_roller=False),
        meter_from_new=False,
        seen={
            1: (
                Finding(left(PartKind.CHAIN), FindingKind.DRY_JOINT, _SLIGHT, 2),
                Finding(right(PartKind.CHAIN), FindingKind.PACKED_WITH_SOIL, _CLEAR),
            )
        },
        note="Nobody knows when its parts were fitted.",
    ),
    Recipe(
        15,
        "Poplar",
        "6 t carrier on rubber tracks",
        _OTHER,
        6090.0,
        RunningGear(_RUBBER, 56, 0.097, 0.46, 12, _EACH, 4, 1, (2,), adjuster_stroke_m=0.08),
        days_of_2026((8, 25), (11, 9)),
        2850.0,
        (18.0, 28.0, 38.0),
        scale_m=0.15,
        history=both(PartKind.RUBBER_TRACK, Event.FITTED_PART_WORN, 2200.0),
        habits=Habits(machine_effect=-0.1, part_spread=0.12, replaces_at=1.3),
        seen={1: (Finding(right(PartKind.RUBBER_TRACK), FindingKind.UNEVEN_TREAD, _SLIGHT),)},
        note="Its rubber tracks were fitted part-worn.",
    ),
)

RECIPES: tuple[Recipe, ...] = tuple(sorted((*EXCAVATORS, *_OTHERS), key=lambda recipe: recipe.number))
"""Seventeen invented machines, in the order of their numbers."""

MAIN_NUMBER = 7
"""The machine the tutorial and `make demo` begin with."""
