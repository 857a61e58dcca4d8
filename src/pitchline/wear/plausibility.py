"""Readings that look wrong, before anything is computed from them. Nothing is changed; everything is asked.

How likely explanations are ranked: a slip counts only if what was meant then lies inside new-to-scrap, or a little past it. Of
several such slips the one wins whose value lies closest to what is known (the last reading of the part, else the same quantity
on its neighbours, else anywhere from new to scrap), where each step down the list joint count, length of one joint, inches,
decimal mark, swapped digits must be made up for by lying a tenth of the wear allowance closer. So a reading gets at most one
explanation.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median

from pitchline.trade.dossier import Dossier
from pitchline.trade.measurands import MEASURANDS, Role
from pitchline.trade.parts import PARTS, Side
from pitchline.trade.readings import Reading, WalkRound
from pitchline.trade.saying import Saying, saying
from pitchline.wear.doubt import reading_doubt
from pitchline.wear.history import last_reading, renewed_h
from pitchline.wear.settings import suspect_setting
from pitchline.wear.slips import Slip, SlipKind, repeat_meant, shown, slips
from pitchline.wear.suspicion import Suspicion, as_read, asked_of
from pitchline.wear.yardstick import LEAST_LIFE, Yardstick, yardstick

RANK_STEP = 0.1
"""Life used by which a less usual slip must lie closer to what is known. Our own judgement."""
REPEATS_SIGMAS, REPEATS_SHARE = 8.0, 0.02
"""Repeats on one place may lie this many times apart what the tool repeats to, or this share of the length. Our own judgement."""
BACKWARDS, BACKWARDS_SLIP = 2.5, 3.0
"""Combined standard uncertainties beyond which less wear than last time is asked about, and beyond which a slip is looked for."""
SIDES_APART, SIDES_SHARE, SIDES_SIGMAS = 0.3, 0.5, 4.0
"""Left and right are far apart beyond this life used, this share of their middle, and this many standard uncertainties."""
UNLIKE, UNLIKE_SIGMAS, LEAST_NEIGHBOURS = 0.25, 4.0, 3
_FACTORS = (SlipKind.INCHES, SlipKind.MILLIMETRES, SlipKind.DECIMAL)
JUMP = 0.5
"""Life used gained since the last reading beyond which a slip of hand is looked for."""


@dataclass(frozen=True, slots=True)
class _Looked:
    """One reading with what is known about it."""

    reading: Reading
    stick: Yardstick | None
    last: tuple[WalkRound, Reading] | None
    renewed_h: float | None
    u_m: float
    outside: bool
    life: float
    life_u: float
    last_life: float

    @property
    def kind(self) -> tuple[object, ...]:
        """What like readings share: the same quantity on the same kind of part, renewed at the same time."""
        return self.reading.place.part, self.reading.measurand, self.renewed_h


def suspicions(dossier: Dossier, walk_round: WalkRound) -> tuple[Suspicion, ...]:
    """What looks wrong among the readings of one walk-round.

    Parameters
    ----------
    dossier : Dossier
        The machine, with limits, running gear, recorded events and earlier walk-rounds.
    walk_round : WalkRound
        The walk-round; it need not be part of the dossier yet.

    Returns
    -------
    tuple of Suspicion
        In the order of the readings. Held: a value outside new-to-scrap, with the slip of hand that explains it best where one
        does, or a value less worn than its last reading or its neighbours where a slip would set it right. Not held: less
        wear than last time beyond the doubt with no recorded event between, left and right far apart, one roller unlike its
        neighbours, and whatever shows more wear than expected, whether a slip would explain it or not: a leap, a roller worse
        than those beside it, a value past the limit. A reading kept with a reason is never held.

    References
    ----------
    Our own rules; doubts by JCGM 100:2008 (GUM), robust spread 1.4826 times the median absolute deviation (normal consistency).
    """
    looked = _look(dossier, walk_round)
    alike: dict[tuple[object, ...], list[_Looked]] = {}
    for one in looked:
        alike.setdefault(one.kind, []).append(one)
    found: list[Suspicion] = []
    for one in looked:
        if MEASURANDS[one.reading.measurand].role is Role.SETTING:
            setting = suspect_setting(dossier, one.reading, walk_round.date)
            found += [setting] if setting else []
        else:
            found += _of_one(one, alike[one.kind], walk_round)
    return tuple(found)


def _look(dossier: Dossier, walk_round: WalkRound) -> list[_Looked]:
    """Each reading with its yardstick, its doubt and its place between new and scrap."""
    looked = []
    for reading in walk_round.readings:
        last = last_reading(dossier, walk_round, reading)
        stick = _stick(dossier, walk_round, reading, last)
        u_m = reading_doubt(reading).u_m
        life, life_u, outside = (
            stick.weighed(reading.value_m, u_m) if stick else (None, math.nan, not _in_bounds(reading))
        )
        last_life = _last_life(stick, last)
        one = _Looked(
            reading=reading,
            stick=stick,
            last=last,
            renewed_h=renewed_h(dossier, reading.place, walk_round),
            u_m=u_m,
            outside=outside and not _went_on(reading, life, last_life),
            life=math.nan if life is None else life,
            life_u=life_u,
            last_life=last_life,
        )
        looked.append(one)
    return looked


def _stick(
    dossier: Dossier, walk_round: WalkRound, reading: Reading, last: tuple[WalkRound, Reading] | None
) -> Yardstick | None:
    """What to hold a reading against: without limits the last reading, else the same quantity elsewhere."""
    if MEASURANDS[reading.measurand].role is Role.SETTING:
        return None
    part, measurand = reading.place.part, reading.measurand
    others = (
        [last[1]]
        if last
        else [
            other
            for other in walk_round.readings
            if other is not reading and other.measurand is measurand and other.place.part is part
        ]
    )
    return yardstick(dossier, reading, [other.value_m for other in others])


def _last_life(stick: Yardstick | None, last: tuple[WalkRound, Reading] | None) -> float:
    """Life used at the last reading; not a number where there is none that is plausible itself."""
    if stick is None or last is None:
        return math.nan
    earlier = last[1]
    life, _, outside = stick.weighed(earlier.value_m, reading_doubt(earlier).u_m)
    return math.nan if life is None or (outside and not earlier.kept_because) else life


def _in_bounds(reading: Reading) -> bool:
    """Whether any tracked machine can show this."""
    words = MEASURANDS[reading.measurand]
    return words.least_m <= reading.value_m <= words.most_m


def _went_on(reading: Reading, life: float | None, last_life: float) -> bool:
    """Whether a part far past its limit was nearly as far last time: then it is worn, not mistyped."""
    return life is not None and _in_bounds(reading) and last_life > 1 and 0 <= life - last_life <= JUMP


def _of_one(one: _Looked, looked: Sequence[_Looked], walk_round: WalkRound) -> list[Suspicion]:
    """Everything suspected of one reading: one hard suspicion, or any number of soft ones."""
    apart = _repeats_apart(one.reading, walk_round)
    if apart is not None:
        return [apart]
    if one.outside:
        slip = _best_slip(one, looked, lambda life: True)
        return [_told(one, walk_round, _why_outside(one), slip, hard=True)]
    if one.stick is None:
        return []
    found = []
    for check in (_less_worn, _unlike_neighbours):
        asked = check(one, looked)
        if asked is not None:
            what, fits = asked
            slip = _best_slip(one, looked, fits)
            if slip:
                return [_told(one, walk_round, what, slip, hard=not _worse(one, looked))]
            found.append(_told(one, walk_round, what, None, hard=False, of_two=check is _less_worn))
    if not found:
        for check in (_sides_apart, _leapt, _past_limit):
            asked = check(one, looked)
            if asked is not None:
                what, fits = asked
                slip = _best_slip(one, looked, fits, _FACTORS if check is _past_limit else tuple(SlipKind))
                if slip or check is _sides_apart:
                    return [_told(one, walk_round, what, slip, hard=False)]
    return found


def _worse(one: _Looked, looked: Sequence[_Looked]) -> bool:
    """Whether a reading shows more wear than both its last one and the parts beside it: a bad part is commoner than a slip."""
    beside = _lives_beside(one, looked)
    known = [one.last_life, median(beside) if beside else math.nan]
    return all(one.life > life for life in known if not math.isnan(life))


_Asked = tuple[Saying, Callable[[float], bool]] | None
"""What looks wrong, and which life used would set the reading right."""


def _repeats_apart(reading: Reading, walk_round: WalkRound) -> Suspicion | None:
    """One repeat that lies far from the others, by what the tool repeats to and by a share of the length."""
    middle_m = median(reading.repeats_m)
    room_m = max(
        REPEATS_SIGMAS * math.hypot(reading.tool.repeatability_m, reading.tool.resolution_m),
        REPEATS_SHARE * middle_m,
    )
    farthest_m = max(reading.repeats_m, key=lambda repeat_m: abs(repeat_m - middle_m))
    if len(reading.repeats_m) < 2 or max(reading.repeats_m) - min(reading.repeats_m) <= room_m:
        return None
    others = [shown(repeat_m, reading) for repeat_m in reading.repeats_m if repeat_m != farthest_m]
    what = saying("reading.repeats_apart", far=shown(farthest_m, reading), others=others)
    held = not reading.kept_because
    if len(reading.repeats_m) == 2:
        return Suspicion(
            reading, walk_round.date, asked_of(reading, what, saying("reading.one_is_a_slip")), held=held
        )
    number = reading.repeats_m.index(farthest_m)
    rest_m = [repeat_m for repeat_m in reading.repeats_m if repeat_m != farthest_m]
    meant_m = repeat_meant(reading, number, rest_m, room_m)
    if meant_m is None:
        like = saying("reading.like_the_others", meant=shown(middle_m, reading))
        return Suspicion(reading, walk_round.date, asked_of(reading, what, like), middle_m, None, held)
    meant = saying("reading.one_repeat_meant", meant=shown(meant_m, reading))
    asked = asked_of(reading, what, meant)
    return Suspicion(reading, walk_round.date, asked, middle_m, None, held, number + 1, meant_m)


def _best_slip(
    one: _Looked,
    looked: Sequence[_Looked],
    fits: Callable[[float], bool],
    kinds: Sequence[SlipKind] = tuple(SlipKind),
) -> Slip | None:
    """The likeliest slip that lands inside new-to-scrap and fits, by the ranking at the top of this file."""
    stick = one.stick
    if stick is None:
        return None
    known = _known_life(one, looked)
    ranked = []
    for slip in (slip for slip in slips(one.reading) if slip.kind in kinds):
        u_m = one.u_m * slip.value_m / one.reading.value_m if one.reading.value_m else one.u_m
        life = stick.life(slip.value_m)
        if life is None or not stick.could_be_meant(slip.value_m, min(u_m, one.u_m)) or not fits(life):
            continue
        away = abs(life - known) if not math.isnan(known) else max(-life, life - 1, 0.0)
        ranked.append((away + RANK_STEP * slip.step, slip.kind, slip.whole_m, slip))
    return min(ranked, key=lambda row: row[:3])[3] if ranked else None


def _known_life(one: _Looked, looked: Sequence[_Looked]) -> float:
    """Life used to be expected: the last reading's, else the middle of the same quantity elsewhere on the machine."""
    if not math.isnan(one.last_life):
        return one.last_life
    lives = [other.life for other in looked if other is not one and not other.outside]
    lives = [life for life in lives if not math.isnan(life)]
    return median(lives) if lives else math.nan


def _why_outside(one: _Looked) -> Saying:
    reading, stick = one.reading, one.stick
    read = as_read(reading)
    words = MEASURANDS[reading.measurand]
    if stick is None:
        least, most = shown(words.least_m, reading), shown(words.most_m, reading)
        return saying("reading.no_machine_shows", read=read, quantity=reading.measurand, least=least, most=most)
    large = reading.value_m > stick.line.limit.new_m
    if words.spans_joints:
        size, over = "long" if large else "short", "each" if reading.joints > 1 else "one"
        each = shown(reading.value_m, reading)
        return saying(f"reading.{over}_joint_too_{size}", read=read, each=each, basis=stick.basis)
    if _in_bounds(reading) and not math.isnan(one.life):
        large = (one.life < LEAST_LIFE) is (stick.line.sign < 0)
    return saying(f"reading.too_{'large' if large else 'small'}", read=read, basis=stick.basis)


def _less_worn(one: _Looked, looked: Sequence[_Looked]) -> _Asked:
    if one.last is None or one.stick is None or math.isnan(one.last_life):
        return None
    earlier, before = one.last
    by_m, doubt_m = one.reading.value_m - before.value_m, math.hypot(one.u_m, reading_doubt(before).u_m)
    back = -one.stick.line.sign * by_m / doubt_m
    if back <= BACKWARDS:
        return None
    what = saying("reading.less_wear", read=as_read(one.reading), before=as_read(before), day=earlier.date)
    near = _near(one.last_life - 0.02, one.last_life + 0.35, 3 * one.life_u)
    return what, lambda life: back > BACKWARDS_SLIP and near(life)


def _unlike_neighbours(one: _Looked, looked: Sequence[_Looked]) -> _Asked:
    place = one.reading.place
    if not PARTS[place.part].numbered:
        return None
    alike, lives = _beside(one, looked), _lives_beside(one, looked)
    if len(lives) < LEAST_NEIGHBOURS:
        return None
    middle = median(lives)
    spread = 1.4826 * median([abs(life - middle) for life in lives])
    if abs(one.life - middle) <= max(UNLIKE, UNLIKE_SIGMAS * math.hypot(spread, one.life_u)):
        return None
    usual = shown(round(median([x.reading.value_m for x in alike]), 4), one.reading)
    read = as_read(one.reading)
    what = saying("reading.unlike_beside", read=read, count=len(lives), part=place.part, usual=usual)
    return what, _near(middle, middle, max(0.1, 3 * one.life_u, 2 * spread))


def _beside(one: _Looked, looked: Sequence[_Looked]) -> list[_Looked]:
    side = one.reading.place.side
    return [
        other for other in looked if other is not one and other.reading.place.side is side and not other.outside
    ]


def _lives_beside(one: _Looked, looked: Sequence[_Looked]) -> list[float]:
    return [other.life for other in _beside(one, looked) if not math.isnan(other.life)]


def _sides_apart(one: _Looked, looked: Sequence[_Looked]) -> _Asked:
    """Asked once a pair, of the side that reads more worn."""
    place = one.reading.place
    if place.side is Side.NONE:
        return None
    across = [x for x in looked if x is not one and x.reading.place.position == place.position and not x.outside]
    across = [x for x in across if x.reading.place.side is not place.side and not math.isnan(x.life)]
    if not across or any(_unlike_neighbours(x, looked) for x in across):
        return None
    other = across[0]
    middle = (one.life + other.life) / 2
    far = max(SIDES_APART, SIDES_SHARE * middle, SIDES_SIGMAS * math.hypot(one.life_u, other.life_u))
    if not one.life - other.life > far:
        return None
    read, across_read = as_read(one.reading), as_read(other.reading)
    across_side = other.reading.place.side
    what = saying(
        "reading.sides_apart", read=read, side=place.side, across_read=across_read, across_side=across_side
    )
    return what, _near(other.life, other.life, max(0.1, 3 * one.life_u))


def _leapt(one: _Looked, looked: Sequence[_Looked]) -> _Asked:
    if one.last is None or not one.life - one.last_life > JUMP:
        return None
    earlier, before = one.last
    what = saying("reading.far_more_worn", read=as_read(one.reading), before=as_read(before), day=earlier.date)
    return what, _near(one.last_life - 0.02, one.last_life + 0.25, 3 * one.life_u)


def _past_limit(one: _Looked, looked: Sequence[_Looked]) -> _Asked:
    known = _known_life(one, looked)
    if not one.life - 2 * one.life_u > 1.15 or known > 0.9:
        return None
    return saying("reading.well_past", read=as_read(one.reading)), _near(0.0, 1.0, 0.05)


def _near(low: float, high: float, room: float) -> Callable[[float], bool]:
    return lambda life: low - room <= life <= high + room


def _told(
    one: _Looked, walk_round: WalkRound, what: Saying, slip: Slip | None, *, hard: bool, of_two: bool = False
) -> Suspicion:
    reading = one.reading
    meant = slip.said if slip else None
    if of_two and one.last is not None and not reading.kept_because:
        by_m = reading.joints * (reading.value_m - one.last[1].value_m)
        by = shown(round(abs(by_m), 4), reading)
        meant = saying(f"reading.{'grew' if by_m > 0 else 'shrank'}", by=by)
    joints = slip.joints if slip and slip.kind in (SlipKind.JOINTS, SlipKind.PER_JOINT) else None
    return Suspicion(
        reading=reading,
        date=walk_round.date,
        suspects=asked_of(reading, what, meant),
        instead_m=slip.whole_m if slip else None,
        instead_joints=joints,
        held=hard and not reading.kept_because,
    )
