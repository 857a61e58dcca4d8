"""Each kind of suspicion once, on an invented excavator; no test changes a reading."""

from dataclasses import replace

import pytest

from pitchline.trade.dossier import Event, PartEvent
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.wear.plausibility import suspicions
from pitchline.words import say

ROLLERS = ("151.0", "150.5", "151.5", "150.0", "151.2", "150.8", "149.9", "150.6")


@pytest.fixture
def only(dossier, visit):
    """The one suspicion about a walk-round of these readings."""

    def ask(*readings, of=dossier):
        (found,) = suspicions(of, visit(*readings))
        return found

    return ask


@pytest.fixture
def rollers(read):
    def write(texts, side="left"):
        return [
            read("bottom_roller", "tread_diameter", text, side=side, position=number, tool="outside_calliper")
            for number, text in enumerate(texts, 1)
        ]

    return write


def test_sound_readings_raise_nothing(dossier, visit, read, rollers):
    readings = [
        read("chain", "pitch", "754.0", joints=4, tool="tape"),
        read("bush", "bush_od_forward", "57.1"),
        read("link", "rail_height", "99.5", tool="depth_gauge"),
        read("slew_ring", "slew_ring_rock", "0.65", tool="dial_gauge"),
        read("chain", "sag", "70", tool="rule"),
        *rollers(ROLLERS),
    ]
    assert suspicions(dossier, visit(*readings)) == ()


def test_a_new_part_on_the_large_side_is_sound(dossier, visit, read):
    assert suspicions(dossier, visit(read("link", "rail_height", "105.2", tool="depth_gauge"))) == ()


def test_a_part_well_past_its_limit_is_sound(dossier, visit, read):
    assert suspicions(dossier, visit(read("link", "rail_height", "89.5", tool="depth_gauge"))) == ()


@pytest.mark.parametrize(
    ("part", "measurand", "typed", "meant_mm", "said"),
    [
        ("link", "rail_height", "3.94", 100.076, "did you mean 3.94 in, which is 100.1 mm?"),
        ("bottom_roller", "tread_diameter", "6", 152.4, "did you mean 6.00 in, which is 152.4 mm?"),
        ("bush", "bush_od_forward", "2.26", 57.404, "did you mean 2.26 in, which is 57.4 mm?"),
    ],
)
def test_inches_typed_as_millimetres(only, read, part, measurand, typed, meant_mm, said):
    found = only(read(part, measurand, typed, position=1 if "roller" in part else 0))
    assert found.held
    assert found.instead_m == pytest.approx(meant_mm / 1e3)
    assert "inches typed as millimetres" in say(found.suspects)
    assert said in say(found.suspects)


def test_millimetres_typed_as_inches(only, read):
    found = only(read("link", "rail_height", "99.5", unit="in"))
    assert found.held
    assert found.instead_m == pytest.approx(0.0995)
    assert "did you mean 99.5 mm?" in say(found.suspects)


def test_whole_length_typed_with_the_joints_left_out(only, read):
    found = only(read("chain", "pitch", "749.6", tool="tape"))
    assert (found.held, found.instead_joints) == (True, 4)
    assert found.instead_m == pytest.approx(0.7496)
    assert say(found.suspects) == (
        "749.6 mm over 1 joint is too long for a pitch of 187.0 mm: did you mean 749.6 mm over 4 joints?"
    )


def test_one_joint_too_many_counted(only, read):
    found = only(read("chain", "pitch", "752.0", joints=5, tool="tape"))
    assert (found.instead_joints, found.held) == (4, True)
    assert "makes 150.4 mm a joint, too short for a pitch of 187.0 mm" in say(found.suspects)


def test_length_of_one_joint_typed_for_the_whole(only, read):
    found = only(read("chain", "pitch", "187.4", joints=4, tool="tape"))
    assert (found.instead_joints, found.held) == (4, True)
    assert found.instead_m == pytest.approx(0.7496)
    assert "did you mean 749.6 mm over 4 joints, or 187.4 mm over 1 joint?" in say(found.suspects)


@pytest.mark.parametrize("typed", ["9.95", "995", "9950", "0.995"])
def test_slipped_decimal_mark(only, read, typed):
    found = only(read("link", "rail_height", typed, tool="depth_gauge"))
    assert found.held
    assert found.instead_m == pytest.approx(0.0995)
    assert "the decimal mark may have slipped: did you mean 99.5 mm?" in say(found.suspects)


def test_swapped_digits_outside_new_to_scrap(only, read):
    found = only(read("bottom_roller", "tread_diameter", "510.5", position=2))
    assert found.held
    assert found.instead_m == pytest.approx(0.1505)
    assert "two digits may be swapped: did you mean 150.5 mm?" in say(found.suspects)


def test_needless_zero_in_front_is_a_swap(only, read):
    found = only(read("link", "rail_height", "09.7", tool="depth_gauge"))
    assert found.instead_m == pytest.approx(0.0907)


def test_swapped_digits_inside_new_to_scrap_show_among_neighbours(only, rollers):
    """It shows more wear than those beside it, and a bad roller is commoner than a slip: asked, and counted."""
    texts = ("158.1", "158.3", *["158.2"] * 4, "158.0", "152.8")
    found = only(*rollers(texts))
    assert not found.held
    assert found.reading.place.position == 8
    assert found.instead_m == pytest.approx(0.1582)
    assert "unlike the 7 bottom rollers beside it, about 158.2 mm" in say(found.suspects)


def test_swapped_digits_less_worn_than_the_neighbours_are_held(only, rollers):
    texts = ("152.7", "152.9", *["152.8"] * 4, "152.6", "158.2")
    found = only(*rollers(texts))
    assert found.held
    assert (found.reading.place.position, found.instead_m) == (8, pytest.approx(0.1528))


def test_outside_new_to_scrap_without_a_slip(only, read):
    found = only(read("link", "rail_height", "84.4", tool="depth_gauge"))
    assert (found.held, found.instead_m) == (True, None)
    assert say(found.suspects) == (
        "84.4 mm is too small for new 104.0 mm to scrap 94.0 mm; read it again, or keep it and say why."
    )


def test_much_larger_than_new_without_a_slip(only, read):
    found = only(read("link", "rail_height", "108.8", tool="depth_gauge"))
    assert (found.held, found.instead_m) == (True, None)
    assert "too large" in say(found.suspects)


def test_a_coarse_tool_gets_more_room(dossier, visit, read):
    """1 mm doubts make 88 mm of rail (1.6 allowances worn) a maybe; a depth gauge does not."""
    coarse, fine = (read("link", "rail_height", "87.0", tool=tool) for tool in ("unknown", "depth_gauge"))
    assert suspicions(dossier, visit(coarse)) == ()
    assert suspicions(dossier, visit(fine))[0].held


def test_nothing_read_is_held(only, read):
    assert only(read("link", "rail_height", "0")).held


def test_kept_with_a_reason_is_not_held(only, read):
    found = only(read("link", "rail_height", "84.4", tool="depth_gauge", kept="rail broken out at the joint"))
    assert not found.held
    assert say(found.suspects).endswith("Kept because: rail broken out at the joint.")


def test_far_past_the_limit_is_sound_when_it_was_so_last_time(dossier, visit, read, with_visits):
    earlier = visit(read("link", "rail_height", "89.0", tool="depth_gauge"), day=1, service_h=2500)
    now = visit(read("link", "rail_height", "85.5", tool="depth_gauge"))
    assert suspicions(with_visits(dossier, earlier), now) == ()
    assert suspicions(dossier, now)[0].held


def test_less_wear_than_last_time(dossier, only, visit, read, with_visits):
    earlier = visit(read("link", "rail_height", "97.0", tool="depth_gauge"), day=1, service_h=2500)
    found = only(read("link", "rail_height", "101.0", tool="depth_gauge"), of=with_visits(dossier, earlier))
    assert (found.held, found.instead_m) == (False, None)
    assert "shows less wear than the 97.0 mm of 2 January 2026" in say(found.suspects)


def test_a_little_less_wear_within_the_doubt_is_sound(dossier, visit, read, with_visits):
    earlier = visit(read("link", "rail_height", "97.0", tool="depth_gauge"), day=1, service_h=2500)
    now = visit(read("link", "rail_height", "97.8", tool="depth_gauge"))
    assert suspicions(with_visits(dossier, earlier), now) == ()


@pytest.mark.parametrize(
    ("part", "quantity", "before", "now", "said"),
    [
        (
            "link",
            "rail_height",
            "100",
            "101.5",
            "It cannot grow by 1.5 mm: which of the two is right, or was the part",
        ),
        (
            "slew_ring",
            "slew_ring_rock",
            "1.9",
            "0.4",
            "It cannot shrink by 1.5 mm: which of the two is right, or was the",
        ),
    ],
)
def test_a_part_that_grew_beyond_the_tools_doubt_is_asked_about(
    dossier, only, visit, read, with_visits, part, quantity, before, now, said
):
    """1.5 mm by a depth gauge: the standard uncertainty of the difference is 0.59 mm (GUM 4.3.7 and 5.1.2, assumed tool)."""
    earlier = visit(read(part, quantity, before, tool="depth_gauge"), day=1, service_h=2500)
    found = only(read(part, quantity, now, tool="depth_gauge"), of=with_visits(dossier, earlier))
    assert not found.held
    assert said in say(found.suspects)


@pytest.mark.parametrize(
    ("part", "event"),
    [(PartKind.LINK, Event.REBUILT), (PartKind.LINK, Event.FITTED_NEW), (PartKind.CHAIN, Event.FITTED_PART_WORN)],
)
def test_less_wear_after_recorded_work_is_sound(dossier, visit, read, with_visits, part, event):
    earlier = visit(read("link", "rail_height", "97.0", tool="depth_gauge"), day=1, service_h=2500)
    now = visit(read("link", "rail_height", "103.0", tool="depth_gauge"))
    work = PartEvent(Place(part, Side.LEFT), event, 2600)
    assert suspicions(with_visits(dossier, earlier, events=[work]), now) == ()


def test_work_on_the_other_side_does_not_explain_it(dossier, only, visit, read, with_visits):
    earlier = visit(read("link", "rail_height", "97.0", tool="depth_gauge"), day=1, service_h=2500)
    work = PartEvent(Place(PartKind.LINK, Side.RIGHT), Event.FITTED_NEW, 2600)
    of = with_visits(dossier, earlier, events=[work])
    assert "less wear" in say(only(read("link", "rail_height", "103.0", tool="depth_gauge"), of=of).suspects)


def test_less_wear_that_a_swap_would_explain_is_held(dossier, only, visit, read, with_visits):
    earlier = visit(read("bottom_roller", "tread_diameter", "146.9", position=1), day=1, service_h=2500)
    found = only(read("bottom_roller", "tread_diameter", "154.8", position=1), of=with_visits(dossier, earlier))
    assert found.held
    assert found.instead_m == pytest.approx(0.1458)


def test_left_and_right_far_apart_is_asked_once(only, read):
    found = only(
        read("link", "rail_height", "101.0", tool="depth_gauge"),
        read("link", "rail_height", "96.3", side="right", tool="depth_gauge"),
    )
    assert not found.held
    assert found.reading.place.side is Side.RIGHT
    assert "96.3 mm on the right is far more worn than 101.0 mm on the left" in say(found.suspects)


def test_one_side_renewed_on_record_is_sound(dossier, visit, read, with_visits):
    work = PartEvent(Place(PartKind.LINK, Side.LEFT), Event.FITTED_NEW, 2600)
    sides = [
        read("link", "rail_height", text, side=s, tool="depth_gauge")
        for text, s in (("103", "left"), ("96", "right"))
    ]
    assert suspicions(with_visits(dossier, events=[work]), visit(*sides)) == ()


def test_one_roller_unlike_its_neighbours(only, rollers):
    found = only(*rollers((*ROLLERS[:4], "142.6", *ROLLERS[5:])))
    assert not found.held
    assert found.reading.place.position == 5
    assert "142.6 mm is unlike the 7 bottom rollers beside it" in say(found.suspects)


def test_a_new_roller_on_record_is_sound(dossier, visit, rollers, with_visits):
    work = PartEvent(Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 5), Event.FITTED_NEW, 2600)
    texts = (*ROLLERS[:4], "159.6", *ROLLERS[5:])
    assert suspicions(with_visits(dossier, events=[work]), visit(*rollers(texts))) == ()


def test_two_odd_rollers_do_not_hide_each_other(dossier, visit, rollers):
    found = suspicions(dossier, visit(*rollers(("143.9", *ROLLERS[1:7], "144.3"))))
    assert [one.reading.place.position for one in found] == [1, 8]


def test_past_the_limit_with_a_decimal_mark_in_doubt_is_asked_but_not_held(only, read):
    found = only(read("slew_ring", "slew_ring_rock", "2.60", tool="dial_gauge"))
    assert not found.held
    assert found.instead_m == pytest.approx(0.00026)


def test_without_a_limit_the_gears_pitch_still_tells(dossier, only, read):
    bare = replace(dossier, limits=())
    assert only(read("chain", "pitch", "749.6", tool="tape"), of=bare).instead_joints == 4
    assert only(
        read("chain", "pitch", "766.16", joints=4, unit="in", tool="tape"), of=bare
    ).instead_m == pytest.approx(0.76616)


def test_without_a_limit_the_last_reading_still_tells(dossier, only, visit, read, with_visits):
    bare = replace(dossier, limits=())
    earlier = visit(read("link", "rail_height", "99.0", tool="depth_gauge"), day=1, service_h=2500)
    found = only(read("link", "rail_height", "9.85", tool="depth_gauge"), of=with_visits(bare, earlier))
    assert found.held
    assert found.instead_m == pytest.approx(0.0985)


def test_without_a_limit_neighbours_still_tell(dossier, only, rollers):
    bare = replace(dossier, limits=())
    found = only(*rollers((*ROLLERS[:7], "5.93")), of=bare)
    assert found.instead_m == pytest.approx(0.150622)


def test_without_anything_to_go_by_only_wide_bounds_tell(dossier, visit, read):
    bare = replace(dossier, limits=())
    assert suspicions(bare, visit(read("link", "rail_height", "99.0"))) == ()
    (found,) = suspicions(bare, visit(read("link", "rail_height", "990.0")))
    assert (found.held, found.instead_m) == (True, None)


def test_new_size_without_a_limit_still_tells(dossier, only, read):
    limits = tuple(replace(limit, limit_m=None, between=()) for limit in dossier.limits)
    found = only(read("link", "rail_height", "985", tool="depth_gauge"), of=replace(dossier, limits=limits))
    assert found.instead_m == pytest.approx(0.0985)


def test_a_mistyped_earlier_reading_does_not_accuse_this_one(dossier, visit, read, with_visits):
    earlier = visit(read("link", "rail_height", "9.85", tool="depth_gauge"), day=1, service_h=2500)
    now = visit(read("link", "rail_height", "98.0", tool="depth_gauge"))
    assert suspicions(with_visits(dossier, earlier), now) == ()


def test_several_repeats_are_asked_as_one(only, read):
    found = only(read("link", "rail_height", "3.94", "3.95", tool="depth_gauge"))
    assert found.instead_m == pytest.approx(0.0254 * 3.945)
