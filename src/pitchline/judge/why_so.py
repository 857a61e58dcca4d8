"""Why a machine wears as it does: its readings and findings as signs, and what each cause costs while it is left."""

import math

from pitchline.cause.diagnosis import Diagnosis, diagnose
from pitchline.cause.mending import MOVES
from pitchline.cause.nets import RUBBER, STEEL
from pitchline.cause.posterior import SEEN
from pitchline.cause.signs import Evidence, Readings, Setting, Worn, sag_signs, said_signs, seen_signs
from pitchline.cause.work import Pairing, odds_of
from pitchline.judge.machine_by_day import Known
from pitchline.money.cost import job_cost
from pitchline.money.prices import PriceList
from pitchline.outlook.lives import events_at
from pitchline.stops.jobs import pieces_at, target_of
from pitchline.trade.causes import Cause, Sign
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side, how_many
from pitchline.trade.saying import Saying, saying
from pitchline.verdict import Judged, PartVerdict
from pitchline.wear.doubt import reading_doubt
from pitchline.wear.history import newest_reading, standing


def causes_of(known: Known, parts: tuple[PartVerdict, ...], prices: PriceList | None = None) -> Diagnosis | None:
    """The likely causes of a machine's wear.

    Parameters
    ----------
    known : Known
        The dossier as it stood.
    parts : tuple of PartVerdict
        With their readings and hours.
    prices : PriceList or None
        The yard's list.

    Returns
    -------
    Diagnosis or None
        None where nothing that was read or seen speaks for any. No hours of the verdict are changed by it.
    """
    dossier, last = known.dossier, known.dossier.walk_rounds[-1]
    net = STEEL if dossier.gear.has_chain else RUBBER
    judged = [one for part in parts for one in part.judged]
    worn = [each for one in judged if (each := _worn(known, one)) is not None]
    findings = standing(dossier, last)
    looked_into = {one.about: one for one in sorted(dossier.looked_for, key=lambda one: one.date)}
    found = Readings(worn, dossier.machine.kind).signs() + sag_signs(_sag(known))
    found += said_signs((one for one in dossier.looked_for if one.date >= last.date), net.leaks)
    found += seen_signs(findings, frozenset(last.looked_at), dossier.gear, net.leaks)
    odds = odds_of(dossier.machine.kind, dossier.gear, dossier.ground_mix, findings, _pairing(known, worn))
    causes = {about: one for about, one in looked_into.items() if isinstance(about, Cause)}
    return diagnose(net, _each_once(found), odds, _left_alone(judged, dossier.gear, prices), causes)


def _each_once(found: list[Evidence]) -> list[Evidence]:
    """A sign that was seen counts as seen, whatever the readings say; one that was read is not undone by a look."""
    best: dict[Sign, Evidence] = {}
    for one in found:
        if one.sign not in best or one.ratio == SEEN:
            best[one.sign] = one
    return list(best.values())


def _worn(known: Known, one: Judged) -> Worn | None:
    """A reading that counts, as life used with its doubt."""
    if one.life_used_read is None or one.u_m is None or one.new_m is None or one.limit_m is None:
        return None
    limit = known.dossier.limit_of(one.place.part, one.measurand)
    events = events_at(known.dossier, one.place)
    return Worn(
        one.place,
        one.measurand,
        one.life_used_read,
        one.u_m / abs(one.limit_m - one.new_m),
        events[-1].service_h if events else None,
        limit.allowance_doubt if limit is not None else 0.0,
    )


def _sag(known: Known) -> list[Setting]:
    dossier, part = known.dossier, PartKind.CHAIN if known.dossier.gear.has_chain else PartKind.RUBBER_TRACK
    band = dossier.range_of(part, Measurand.SAG)
    found = []
    for side in (Side.LEFT, Side.RIGHT):
        place = Place(part, side)
        newest = newest_reading(dossier, place, Measurand.SAG, known.now_h)
        if band is None or newest is None or (newest[1], newest[0]) in known.held:
            continue
        reading = newest[0]
        u_m = max(reading_doubt(reading).u_m, 1e-6)
        below = _phi((band.least_m - reading.value_m) / u_m)
        found.append(Setting(place, below, _phi((reading.value_m - band.most_m) / u_m)))
    return found


def _phi(x: float) -> float:
    return 0.5 * math.erfc(-x / math.sqrt(2))


def _pairing(known: Known, worn: list[Worn]) -> Pairing:
    """Whether a sprocket and its chain run since the same hours, where the history is known."""
    dossier = known.dossier
    parted: bool | None = None
    for side in (Side.LEFT, Side.RIGHT):
        chain, sprocket = (events_at(dossier, Place(part, side)) for part in (PartKind.CHAIN, PartKind.SPROCKET))
        if chain or sprocket:
            since = [events[-1].service_h if events else None for events in (chain, sprocket)]
            parted = bool(parted) or since[0] != since[1]
    pitches = [one.life for one in worn if one.measurand is Measurand.PITCH]
    return Pairing(parted, max(pitches, default=None))


def _left_alone(judged: list[Judged], gear: RunningGear, prices: PriceList | None) -> dict[Cause, Saying]:
    """What each cause costs while it lasts: its share of the wear of what it wears fastest, and of the price of a new one.

    Hours to come are never lengthened by it: the wear model has learned each part's own rate, whatever its cause.
    """
    found = {}
    for cause, moves in MOVES.items():
        mine = [one for one in judged if one.measurand in moves.measurands and one.life_used_read is not None]
        if not mine:
            continue
        first = max(mine, key=lambda one: one.life_used_read or 0.0)
        shares = {"few": 1 - 1 / moves.low, "most": 1 - 1 / moves.high}
        target = target_of(JobKind.REPLACE, first.place)
        pieces = pieces_at(JobKind.REPLACE, target.part, gear, target.side)
        price = job_cost(prices, JobKind.REPLACE, target.part, 1, pieces).price
        money = None
        if price is not None and how_many(target.part) == 1:
            money = saying(
                "cause.of_price",
                currency=price.currency,
                low=price.usual * shares["few"],
                high=price.usual * shares["most"],
                price=price.usual,
                part=target.part,
            )
        found[cause] = saying(
            "cause.left_alone", part=first.place.part, quantity=first.measurand, **shares, money=money
        )
    return found
