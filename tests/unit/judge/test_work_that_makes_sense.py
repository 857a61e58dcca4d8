"""Turns that pay, jobs in their order, what is taken along, and new parts beside worn ones: on one invented machine."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pitchline.exchange.verdict_in import verdict_from_json
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge import judge
from pitchline.judge.machine_by_day import known_by
from pitchline.judge.turns import LEAST_GAIN_H, TurnGain, turn_gains
from pitchline.money.amount import Money
from pitchline.money.prices import PriceLine
from pitchline.outlook.lives import lives_of
from pitchline.outlook.machine import machine_outlook
from pitchline.papers.stop import next_stop
from pitchline.trade.calls import Call
from pitchline.trade.dossier import Event, Limit, PartEvent, PermittedRange
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.verdict import Unlike
from pitchline.words import say

LEFT, RIGHT = Side.LEFT, Side.RIGHT
WAYS = {
    Measurand.PITCH: (PartKind.CHAIN, 200.0, 206.0),
    Measurand.BUSH_OD_FORWARD: (PartKind.BUSH, 60.0, 54.0),
    Measurand.BUSH_OD_REVERSE: (PartKind.BUSH, 60.0, 54.0),
    Measurand.RAIL_HEIGHT: (PartKind.LINK, 110.0, 100.0),
    Measurand.ROOT_DIAMETER: (PartKind.SPROCKET, 720.0, 708.0),
}


@pytest.fixture
def read(dossier, reading):
    """The machine with one walk-round of the chain and sprocket; wear as a share of the allowance, by side or for both."""

    def machine(events=(), extra=(), findings=(), **used):
        readings = list(extra)
        for side in (LEFT, RIGHT):
            for measurand, (part, new, limit) in WAYS.items():
                share = used.get(f"{measurand.value}_{side.value}", used.get(measurand.value))
                if share is not None:
                    many = 4 if measurand is Measurand.PITCH else 1
                    size = many * (new + share * (limit - new))
                    readings.append(reading(part, side, measurand, round(size, 2), joints=many))
        limits = [one for one in dossier.limits if one.measurand not in WAYS] + [
            Limit(part, measurand, new / 1e3, limit / 1e3, source="invented")
            for measurand, (part, new, limit) in WAYS.items()
        ]
        walk = replace(dossier.walk_rounds[-1], readings=tuple(readings), findings=tuple(findings))
        bands = (
            PermittedRange(PartKind.CHAIN, Measurand.SAG, 0.030, 0.050),
            PermittedRange(PartKind.TRACK_ADJUSTER, Measurand.ADJUSTER_EXTENSION, 0.0, 0.120),
        )
        return replace(dossier, limits=tuple(limits), walk_rounds=(walk,), events=tuple(events), ranges=bands)

    return machine


def gains_of(dossier, prices=None):
    known = known_by(dossier, None)
    outlook = machine_outlook(lives_of(known.dossier, known.now_h, known.held), dossier.mix_to_come)
    return turn_gains(outlook, dossier.gear, prices)


def jobs_of(verdict, kind, side=None):
    return [
        job for job in verdict.jobs if job.kind is kind and (side is None or side in {p.side for p in job.places})
    ]


WORN_BUSHES = {"pitch": 0.4, "bush_od_forward": 0.6, "bush_od_reverse": 0.2, "rail_height": 0.3}


def test_worn_bushes_on_good_rails_are_turned(read, prices):
    """By a ruler: a face 60 % used in 3,000 h has 2,000 h left, the other one 0.8 x 5,000 = 4,000 h, rails 7,000 h."""
    verdict = judge(read(**WORN_BUSHES), prices)
    (turn,) = jobs_of(verdict, JobKind.TURN)
    assert turn.call is Call.BOOK
    assert "Turned, the chain lasts about" in say(turn.because)
    gain = gains_of(read(**WORN_BUSHES), prices)[LEFT]
    assert gain.gain_h == pytest.approx(4000 - 2000, rel=0.2)
    assert gain.worth > gain.price.usual == 120.0 + 10 * 50.0


@pytest.mark.parametrize(
    "spent",
    [
        {"bush_od_reverse": 0.95},
        {"rail_height": 0.93},
        {"rail_height": 0.8, "pitch": 0.8, "bush_od_forward": 0.55},
    ],
)
def test_no_turn_onto_a_worn_face_or_under_worn_rails(read, prices, spent):
    """Nothing is gained where the other face, or the rails, are at their end."""
    verdict = judge(read(**WORN_BUSHES | spent), prices)
    assert not [job for job in jobs_of(verdict, JobKind.TURN) if job.call.asks]
    assert not gains_of(read(**WORN_BUSHES | spent), prices)[LEFT].pays
    bush = next(part for part in verdict.parts if part.place == Place(PartKind.BUSH, LEFT))
    assert bush.call.asks
    assert bush.job is not JobKind.TURN
    assert "not worth it" in say(bush.reason)
    assert "run the bushes to their limit" not in say(
        bush.reason
    )  # that is not settled before it is measured again


def test_hours_to_the_limit_do_not_hang_on_whether_a_turn_pays(read, prices):
    dear = replace(
        prices,
        lines=tuple(
            replace(line, price_low=8500.0, price_usual=9000.0, price_high=9500.0)
            if line.job is JobKind.TURN
            else line
            for line in prices.lines
        ),
    )
    cheap, spent = judge(read(**WORN_BUSHES), prices), judge(read(**WORN_BUSHES), dear)
    for one, other in zip(cheap.parts, spent.parts, strict=True):
        assert [judged.to_limit for judged in one.judged] == [judged.to_limit for judged in other.judged]
    assert jobs_of(cheap, JobKind.TURN)
    assert not jobs_of(spent, JobKind.TURN)


def test_what_a_turn_gains_is_worth_is_hours_times_the_cost_of_an_hour():
    """By hand: 1,000 h at 0.90 are 900; a fifth of 1,125 less is 900, and so is 720 and a quarter."""

    def turn(*price):
        return TurnGain(LEFT, 0.0, 2000.0, 3000.0, Money(*price, "EUR"), 0.9)

    assert turn(0, 1, 2).worth == pytest.approx(900)
    assert (turn(719, 719, 719).pays, turn(719, 719, 719).is_close) == (True, False)
    assert turn(721, 721, 721).is_close
    assert turn(1124, 1124, 1124).is_close
    assert not turn(1126, 1126, 1126).pays
    assert turn(899, 1200, 1500).is_close
    assert turn(400, 600, 901).is_close
    assert TurnGain(LEFT, 0.0, 2000.0, 2001.0 + LEAST_GAIN_H).is_close
    assert not TurnGain(LEFT, 0.0, 2000.0, 1900.0).gain_h


@pytest.mark.parametrize("dear", [1.2, 1.3, 1.6, 1.9])
def test_a_side_that_nearly_pays_goes_with_the_other(read, prices, dear):
    """From eight tenths of its price on in any case; from half on where both together are worth eight tenths of both."""
    uneven = WORN_BUSHES | {"rail_height_left": 0.3, "rail_height_right": 0.5}
    alone = gains_of(read(**uneven), prices)
    assert alone[LEFT].gain_h > alone[RIGHT].gain_h > 0
    both = gains_of(read(**uneven), costing_a_turn(prices, alone[RIGHT].worth * dear))
    assert both[RIGHT].times_price == pytest.approx(1 / dear, rel=1e-4)  # prices are kept to the cent
    assert both[LEFT].pays
    together = both[LEFT].times_price + both[RIGHT].times_price
    assert both[RIGHT].pays is (1 / dear > 0.8 or (1 / dear > 0.5 and together > 1.6))
    assert (both[RIGHT].other is not None) is (0.5 < 1 / dear < 0.8 and together > 1.6)


def costing_a_turn(prices, price):
    """The list with a turn of that price, and no range of it."""
    turn = next(line for line in prices.lines if line.job is JobKind.TURN)
    others = (line for line in prices.lines if line is not turn)
    of_turn = replace(turn, price_low=price, price_usual=price, price_high=price, labour_h=0.0)
    return replace(prices, lines=(of_turn, *others))


@pytest.mark.parametrize("dear", [0.9, 0.99, 1.01, 1.1])
def test_a_few_euros_do_not_take_a_turn_out_of_the_sum(read, prices, dear):
    """A turn worth about its price stays booked and in the sum, and says that it is measured before it is decided."""
    alone = gains_of(read(**WORN_BUSHES), prices)
    price = min(gain.worth for gain in alone.values()) * dear
    verdict = judge(read(**WORN_BUSHES), costing_a_turn(prices, price))
    (turn,) = jobs_of(verdict, JobKind.TURN)
    assert turn.call is Call.BOOK
    assert turn.price.usual == pytest.approx(2 * price, rel=1e-3)
    assert "Measure both faces and the rails before it is decided" in say(turn.because)
    assert verdict.money_window.usual >= turn.price.usual
    assert verdict.money_window.low <= verdict.money_window.usual - turn.price.usual + 1e-6


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.floats(0.1, 0.99), st.floats(0.0, 0.99), st.floats(0.1, 0.99), st.floats(0.0, 0.99), st.booleans())
def test_a_turn_that_is_booked_gains_hours(read, prices, forward, reverse, rails, pitch, priced):
    machine = read(pitch=pitch, bush_od_forward=forward, bush_od_reverse=reverse, rail_height=rails)
    listed = prices if priced else None
    gains = gains_of(machine, listed)
    verdict = judge(machine, listed)
    for job in jobs_of(verdict, JobKind.TURN):
        for place in job.places:
            assert gains[place.side].gain_h > 0
            assert gains[place.side].with_h > gains[place.side].without_h
    chains = {
        place.side
        for job in jobs_of(verdict, JobKind.REPLACE)
        if job.call.asks and job.part is PartKind.CHAIN
        for place in job.places
    }
    assert not chains & {place.side for job in jobs_of(verdict, JobKind.TURN) for place in job.places}


def test_soil_first_sag_last_and_what_waits_is_taken_along(read, reading, prices):
    sag = reading(PartKind.CHAIN, LEFT, Measurand.SAG, 70, tool="rule")
    packed = [
        Finding(Place(PartKind.CHAIN, side), FindingKind.PACKED_WITH_SOIL, Severity.SLIGHT)
        for side in (LEFT, RIGHT)
    ]
    seized = Finding(Place(PartKind.BOTTOM_ROLLER, RIGHT, 3), FindingKind.SEIZED, Severity.SEVERE)
    verdict = judge(
        read(pitch=0.2, bush_od_forward=0.2, rail_height=0.2, extra=(sag,), findings=(*packed, seized)), prices
    )
    booked = [job.kind for job in verdict.jobs if job.call is Call.BOOK]
    assert booked.index(JobKind.CLEAN_OUT) < booked.index(JobKind.ADJUST)
    (along,) = [job for job in jobs_of(verdict, JobKind.CLEAN_OUT) if job.call is Call.RUN]
    assert along.places == (Place(PartKind.CHAIN, RIGHT),)
    assert say(along.along) == "Taken along, since the right track is worked on anyway."
    stop = next_stop(verdict, prices)
    assert along in stop.jobs
    assert stop.jobs[0].kind is JobKind.CLEAN_OUT
    assert stop.jobs[-1].kind is JobKind.ADJUST


def test_a_new_chain_on_a_worn_sprocket_is_told_with_hours_and_money(read, prices):
    """By hand: the root 9.6 mm less across is 4.8 mm on the radius; 23 teeth half a pitch apart seat joints at 100/sin(pi/11.5) =
    371.0 mm, so the pitches lie 4.8/366.2 = 1.31 % apart: up to 1.5 times as fast, up to a third of two chains at 4,100."""
    new = [PartEvent(Place(PartKind.CHAIN, side), Event.FITTED_NEW, 2990.0) for side in (LEFT, RIGHT)]
    (told,) = judge(
        read(new, pitch=0.0, bush_od_forward=0.0, rail_height=0.0, root_diameter=0.8), prices
    ).mismatches
    assert (told.unlike, told.fitted) == (Unlike.CHAIN_ON_WORN_SPROCKET, True)
    assert told.apart == pytest.approx(0.0131, abs=2e-4)
    assert told.faster == (1.0, 1.5)
    assert told.lost.high == pytest.approx(8200 / 3)
    assert told.hours_h[1] == pytest.approx(1.5 * told.hours_h[0])
    assert "both sides" in say(told.said)


def test_a_new_sprocket_on_a_stretched_chain_is_told(read):
    new = [PartEvent(Place(PartKind.SPROCKET, LEFT), Event.FITTED_NEW, 2990.0)]
    told = judge(
        read(new, pitch=0.9, bush_od_forward=0.3, rail_height=0.3, root_diameter_left=0.0, root_diameter_right=0.8)
    ).mismatches
    (one,) = [each for each in told if each.unlike is Unlike.SPROCKET_ON_WORN_CHAIN]
    assert one.newer == (Place(PartKind.SPROCKET, LEFT),)
    assert one.faster == (1.5, 4.0)
    assert one.lost is None


def test_a_new_chain_beside_a_worn_one_is_told(read):
    new = [PartEvent(Place(PartKind.CHAIN, LEFT), Event.FITTED_NEW, 2990.0)]
    left = {f"{what}_left": 0.0 for what in ("pitch", "bush_od_forward", "rail_height")}
    worn = {"pitch": 0.8, "bush_od_forward": 0.8, "rail_height": 0.8, "root_diameter": 0.1}
    told = judge(read(new, **worn, **left)).mismatches
    (one,) = [each for each in told if each.unlike is Unlike.CHAIN_BESIDE_WORN_CHAIN]
    assert (one.newer, one.older) == ((Place(PartKind.CHAIN, LEFT),), (Place(PartKind.CHAIN, RIGHT),))
    assert one.apart == pytest.approx(0.8 * 6 / 200, rel=1e-3)
    assert "pulls to the left" in say(one.said)


def test_parts_that_wear_together_are_no_mismatch(read):
    for share in (0.0, 0.3, 0.7):
        alike = {what.value: share for what in WAYS}
        assert judge(read(**alike)).mismatches == ()


def test_a_chain_that_is_booked_onto_a_worn_sprocket_is_told_before_it_is_fitted(read, prices):
    worn = judge(
        read(pitch=0.7, bush_od_forward=0.9, bush_od_reverse=0.9, rail_height=1.02, root_diameter=0.6), prices
    )
    assert jobs_of(worn, JobKind.REPLACE, LEFT)
    (told,) = worn.mismatches
    assert (told.unlike, told.fitted, told.hours_h) == (Unlike.CHAIN_ON_WORN_SPROCKET, False, None)
    assert "sprockets are usually changed with it" in say(told.said)


def test_mismatches_and_what_is_taken_along_are_read_back_from_json(read, prices):
    new = [PartEvent(Place(PartKind.CHAIN, LEFT), Event.FITTED_NEW, 2990.0)]
    verdict = judge(read(new, pitch=0.0, bush_od_forward=0.0, rail_height=0.0, root_diameter=0.8), prices)
    assert verdict_from_json(verdict_json(verdict)).mismatches == verdict.mismatches != ()


def test_no_hours_of_the_verdict_move_for_a_mismatch(read, prices):
    lines = [line for line in prices.lines if line.part is not PartKind.SPROCKET]
    sprocket = PriceLine(JobKind.REPLACE, PartKind.SPROCKET, 300.0, 450.0, 700.0, 4.0)
    new = [PartEvent(Place(PartKind.CHAIN, side), Event.FITTED_NEW, 2990.0) for side in (LEFT, RIGHT)]
    used = {"pitch": 0.0, "bush_od_forward": 0.0, "rail_height": 0.0, "root_diameter": 0.8}
    verdict = judge(read(new, **used), replace(prices, lines=(*lines, sprocket)))
    assert "New sprockets (EUR 1,300) end it." in say(verdict.mismatches[0].said)
    bush = next(part for part in verdict.parts if part.place == Place(PartKind.BUSH, LEFT))
    assert bush.judged[0].to_limit.middle > 1.2 * verdict.mismatches[0].hours_h[0]
