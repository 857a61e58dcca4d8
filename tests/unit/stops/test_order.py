"""What a stop needs, counted from the running gear and from nothing else."""

from dataclasses import replace

import pytest

from pitchline.stops.jobs import pieces_at
from pitchline.stops.order import StopJob, opens_track, order_list, sides_opened
from pitchline.trade.jobs import Caution, JobKind
from pitchline.trade.machine import ChainType, TrackKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.words import say
from pitchline.words.names import named

LEFT, RIGHT = Side.LEFT, Side.RIGHT
CHAINS = (Place(PartKind.CHAIN, LEFT), Place(PartKind.CHAIN, RIGHT))
SHOES = (Place(PartKind.SHOE, LEFT), Place(PartKind.SHOE, RIGHT))
BUSHES = (Place(PartKind.BUSH, LEFT), Place(PartKind.BUSH, RIGHT))
SPROCKETS = (Place(PartKind.SPROCKET, LEFT), Place(PartKind.SPROCKET, RIGHT))
NEW_CHAINS = StopJob(JobKind.REPLACE, CHAINS, 90, 24.0)
SEALS = {"set of joint seals": 45}
NEW_SHOES = StopJob(JobKind.RESHOE, SHOES, 90, 9.0)


def counts(lines):
    return {say(line.words): line.count for line in lines}


def rollers(*numbers, side=LEFT):
    return tuple(Place(PartKind.BOTTOM_ROLLER, side, number) for number in numbers)


def test_new_chains_bring_their_links_and_ask_for_shoe_bolts(steel_gear):
    """By hand: 45 shoes of 4 bolts on two sides are 360."""
    order = order_list((NEW_CHAINS,), steel_gear)
    assert counts(order.parts) == {
        "chain of 45 joints (45 links), with pins and bushes": 2,
        "shoe bolt and nut": 360,
    }
    assert counts(order.handled) == {"shoe to take over to the new chain": 90}


def test_chains_and_shoes_changed_together_take_their_bolts_once(steel_gear):
    both = order_list((NEW_CHAINS, NEW_SHOES), steel_gear)
    assert counts(both.parts) == {
        "chain of 45 joints (45 links), with pins and bushes": 2,
        "shoe": 90,
        "shoe bolt and nut": 360,
    }
    assert both.handled == ()


def test_a_chain_on_one_side_and_shoes_on_both_take_both_sides_bolts_once(steel_gear):
    one = StopJob(JobKind.REPLACE, CHAINS[:1], 45)
    assert counts(order_list((one, NEW_SHOES), steel_gear).parts)["shoe bolt and nut"] == 360


def test_a_few_shoes_take_the_bolts_of_a_few(steel_gear):
    few = StopJob(JobKind.RESHOE, SHOES[1:], 3)
    assert counts(order_list((few,), steel_gear).parts) == {"shoe": 3, "shoe bolt and nut": 12}
    beside = StopJob(JobKind.REPLACE, CHAINS[:1], 45)
    assert counts(order_list((few, beside), steel_gear).parts)["shoe bolt and nut"] == 180 + 12


def test_bolts_the_machine_file_does_not_count_are_not_known(steel_gear):
    order = order_list((NEW_CHAINS,), replace(steel_gear, bolts_per_shoe=0))
    (bolts,) = [line for line in order.parts if say(line.words) == "shoe bolt and nut"]
    assert (bolts.count, say(bolts.note)) == (None, "nobody said how many: count them on the machine")


def test_rollers_come_by_type_and_place(steel_gear):
    """Number 2 has two flanges in this running gear."""
    job = StopJob(JobKind.REPLACE, (*rollers(2, 3), *rollers(2, side=RIGHT)), 3)
    lines = {say(line.words): line for line in order_list((job,), steel_gear).parts}
    assert lines["bottom roller, two flanges"].places == (*rollers(2), *rollers(2, side=RIGHT))
    assert lines["bottom roller, one flange"].places == rollers(3)
    plain = order_list((job,), replace(steel_gear, two_flange_rollers=())).parts
    assert (say(plain[0].words), plain[0].count) == ("bottom roller", 3)
    assert "look at the old one" in say(plain[0].note)


def test_fixing_bolts_are_asked_for_and_never_guessed(steel_gear):
    job = StopJob(JobKind.REPLACE, rollers(3), 1)
    (line,) = order_list((job,), steel_gear).ask
    assert (say(line.words), line.count) == ("fixing bolts for bottom rollers", None)


def test_sprockets_in_segments_are_counted_by_segment_and_leave_the_chain_closed(steel_gear):
    job = StopJob(JobKind.REPLACE, SPROCKETS, 2)
    split = replace(steel_gear, sprocket_segments=5)
    assert counts(order_list((job,), split).parts) == {"sprocket segment": 10}
    assert counts(order_list((job,), steel_gear).parts) == {"sprocket": 2}
    assert sides_opened((job,), split) == ()
    assert sides_opened((job,), steel_gear) == (LEFT, RIGHT)


def test_a_turn_orders_nothing_and_opens_the_track(steel_gear):
    order = order_list((StopJob(JobKind.TURN, BUSHES[1:], 45, 10.0),), steel_gear)
    assert order.parts == ()
    assert counts(order.handled) == {"pin and bush to turn": 45}
    assert order.opened == (RIGHT,)
    assert {say(line.words) for line in order.ask} == {"joining pin, or bolts of the joining link", "joint seals"}
    assert {say(line.words) for line in order.consumables} == {"grease for the track adjuster"}


@pytest.mark.parametrize(
    ("chain_type", "seals", "oil"),
    [(ChainType.DRY, {}, False), (ChainType.SEALED, SEALS, False), (ChainType.SEALED_AND_OILED, SEALS, True)],
)
def test_a_chain_of_a_known_type_is_not_asked_about(steel_gear, chain_type, seals, oil):
    """45 joints a side in this running gear; a dry joint has neither seal nor oil."""
    gear = replace(steel_gear, chain_type=chain_type)
    order = order_list((StopJob(JobKind.TURN, BUSHES[1:], 45, 10.0),), gear)
    assert counts(order.parts) == seals
    assert {say(line.words) for line in order.ask} == {"joining pin, or bolts of the joining link"}
    assert any(say(line.words) == "oil for the joints" for line in order.consumables) is oil
    new = order_list((NEW_CHAINS,), gear)
    assert f"chain of 45 joints (45 links), {named(chain_type)}, with pins and bushes" in counts(new.parts)
    assert not any("chain type" in say(line.words) for line in new.ask)


def test_the_type_of_a_new_chain_is_asked_for_where_nobody_said_it(steel_gear):
    (line,) = [line for line in order_list((NEW_CHAINS,), steel_gear).ask if "chain type" in say(line.words)]
    assert (line.count, say(line.note)) == (None, "which: look at the chain")


@pytest.mark.parametrize(
    ("track", "words", "bolts"),
    [
        (TrackKind.STEEL_BOLTED_PADS, "pad bolt and nut", 90 * 2),
        (TrackKind.STEEL_PAD_SHOES, "pad bolt and nut", 90 * 4),
    ],
)
def test_pads_take_pad_bolts_and_pads_in_place_of_shoes_take_shoe_bolts(steel_gear, track, words, bolts):
    gear = replace(steel_gear, track=track, bolts_per_pad=2)
    job = StopJob(JobKind.REPLACE, (Place(PartKind.PAD, LEFT), Place(PartKind.PAD, RIGHT)), 90)
    assert counts(order_list((job,), gear).parts) == {"rubber pad": 90, words: bolts}


def test_a_rubber_track_has_nothing_to_open(steel_gear):
    gear = replace(steel_gear, track=TrackKind.RUBBER)
    job = StopJob(JobKind.REPLACE, (Place(PartKind.RUBBER_TRACK, LEFT),), 1)
    assert not opens_track(JobKind.REPLACE, PartKind.RUBBER_TRACK, gear)
    assert counts(order_list((job,), gear).parts) == {"rubber track": 1}


def test_labour_adds_up_and_what_is_not_known_is_named(steel_gear):
    unknown = StopJob(JobKind.REPLACE, rollers(3), 1)
    order = order_list((NEW_CHAINS, unknown), steel_gear)
    assert (order.labour_h, order.labour_not_known) == (24.0, (unknown,))


def test_cautions_of_all_jobs_stand_once(steel_gear):
    cautions = order_list((NEW_CHAINS, NEW_SHOES), steel_gear).cautions
    assert len(set(cautions)) == len(cautions)
    assert {Caution.GREASE_PRESSURE, Caution.PRESSED_PINS, Caution.MOVING_TRACK} <= set(cautions)


def test_no_jobs_need_nothing(steel_gear):
    order = order_list((), steel_gear)
    assert (order.parts, order.ask, order.labour_h, order.cautions) == ((), (), 0, ())


def test_built_up_parts_are_handled_and_asked_no_parts_for(steel_gear):
    job = StopJob(JobKind.REBUILD, (Place(PartKind.IDLER, LEFT, 1),), 1)
    order = order_list((job,), steel_gear)
    assert order.parts == ()
    assert counts(order.handled) == {"idler to build up": 1}
    assert "welding wire or rod" in counts(order.consumables)


def test_refitted_bolts_are_as_many_as_were_seen(steel_gear):
    job = StopJob(JobKind.REFIT_BOLTS, SHOES[:1], 6)
    assert counts(order_list((job,), steel_gear).parts) == {"bolt and nut for shoes": 6}


@pytest.mark.parametrize("kind", list(JobKind))
def test_every_job_on_every_part_makes_a_list(steel_gear, kind):
    """Nothing is lost: a job is in the order, among what is handled, or takes no parts by its nature."""
    for place in steel_gear.places():
        order = order_list((StopJob(kind, (place,), 1),), steel_gear)
        nothing = kind in (JobKind.INVESTIGATE, JobKind.MEASURE, JobKind.ADJUST, JobKind.CLEAN_OUT)
        assert nothing or order.parts or order.handled, place


def test_a_side_that_lacks_a_joint_has_a_pin_and_a_shoe_less_to_handle_and_a_new_chain_takes_one_more(steel_gear):
    """By hand: left 44, right 45. A turn has 89 pins, new shoes 89 of 4 bolts; a new left chain of 45 takes over 44 shoes."""
    short = replace(steel_gear, joints_out=(1, 0))
    turn = order_list((StopJob(JobKind.TURN, BUSHES, 89, 20.0),), short)
    assert [(say(line.words), line.count, line.note) for line in turn.handled] == [
        ("pin and bush to turn", 89, None)
    ]
    shod = order_list((StopJob(JobKind.RESHOE, SHOES, 89, 9.0),), short)
    assert counts(shod.parts) == {"shoe": 89, "shoe bolt and nut": 356}
    left = StopJob(JobKind.REPLACE, CHAINS[:1], 45)
    renewed = order_list((left,), short)
    assert counts(renewed.handled) == {"shoe to take over to the new chain": 44}
    assert counts(renewed.parts) == {
        "chain of 45 joints (45 links), with pins and bushes": 1,
        "shoe": 1,
        "shoe bolt and nut": 180,
    }
    both = order_list((left, StopJob(JobKind.RESHOE, SHOES, 89, 9.0)), short)
    assert (counts(both.parts)["shoe"], counts(both.parts)["shoe bolt and nut"]) == (90, 360)
    assert both.handled == ()


def test_pieces_of_a_side_are_those_it_has_and_a_new_chain_is_whole(steel_gear):
    short = replace(steel_gear, joints_out=(1, 0))
    found = {
        (job, side): pieces_at(job, part, short, side)
        for job, part in (
            (JobKind.TURN, PartKind.BUSH),
            (JobKind.RESHOE, PartKind.SHOE),
            (JobKind.REPLACE, PartKind.CHAIN),
        )
        for side in (LEFT, RIGHT)
    }
    assert list(found.values()) == [44, 45, 44, 45, 45, 45]
