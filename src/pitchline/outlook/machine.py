"""The outlook of one machine: every part now fitted, with the constants integrated over.

See docs/explanation/outlook.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pitchline.outlook.changes import believe_split, cut_at, surely_changed
from pitchline.outlook.crossing import Crossing, crossing, first_of
from pitchline.outlook.filter import Habits
from pitchline.outlook.fit import constants_for
from pitchline.outlook.hours_left import HoursLeft
from pitchline.outlook.kinds import ground_pace
from pitchline.outlook.late import Late, bent, slope, straight, straightened
from pitchline.outlook.learned import Learned, kind_word, late_for, priors_for
from pitchline.outlook.lives import TURNED_START, Life, Lives
from pitchline.outlook.milder import MILDER, no_milder
from pitchline.outlook.paths import FloatArray, IntArray, Paths, stack
from pitchline.outlook.quadrature import Beliefs, believe
from pitchline.trade.dossier import Limit, LineShape
from pitchline.trade.ground import GroundClass, GroundMix
from pitchline.trade.measurands import Measurand

CHANCES = np.array([0.1, 0.5, 0.9])
_LEAST_DOUBT = 1e-3


@dataclass(frozen=True, slots=True)
class LifeOutlook:
    """Outlook of one part now fitted, in one quantity.

    Parameters
    ----------
    life : Life
        The wear path.
    life_used, life_used_u : float
        Mean and standard deviation of life used now [1].
    to_limit : HoursLeft
        Hours to the wear limit.
    to_turn : HoursLeft or None
        Hours to the turn point; None where nothing is turned, or it was.
    after_turn : HoursLeft or None
        Hours the other face lasts, counted from the turn.
    whole_life_h : tuple of float
        Hours from new to the limit on middling ground [h] that 9 in 10, 1 in 2 and 1 in 10 such parts here would pass.
    chance_changed : float
        Chance that the part was changed without a record [1].
    chance_misread : float
        Chance that one of its readings is far off [1].
    chance_odd : float
        Chance that it wears unlike its fellows [1].
    times_late : float
        How many times as fast it wears late in its life [1]; 1 where nothing else was learned.
    """

    life: Life
    life_used: float
    life_used_u: float
    to_limit: HoursLeft
    to_turn: HoursLeft | None
    after_turn: HoursLeft | None
    whole_life_h: tuple[float, float, float]
    chance_changed: float
    chance_misread: float
    chance_odd: float
    times_late: float = 1.0

    @property
    def due(self) -> HoursLeft:
        """Hours to whatever comes first by rule: the turn, else the limit."""
        return self.to_limit if self.to_turn is None else self.to_turn


@dataclass(frozen=True, slots=True)
class MachineOutlook:
    """Outlook of every part of one machine.

    Parameters
    ----------
    parts : tuple of LifeOutlook
        Those now fitted, in walking order.
    rows : tuple of int
        Their rows in the beliefs.
    beliefs : Beliefs
        Posterior weights and states, for parts taken off too.
    limits : Crossing
        Against the wear limits.
    dues : Crossing
        Against the turn point where a part is turned, else the limit.
    other_face : dict of int to Crossing
        For bushes that are turned next, by place among the parts: the other face from the turn on.
    pace : ndarray, shape (k, g), or None
        Pace of each kind of part on each ground, by which the hours behind the beliefs are weighted [1]; None where all go alike.
    """

    parts: tuple[LifeOutlook, ...]
    rows: tuple[int, ...]
    beliefs: Beliefs
    limits: Crossing
    dues: Crossing
    other_face: dict[int, Crossing]
    pace: FloatArray | None = None

    def first_due(self, members: Sequence[int]) -> HoursLeft:
        """Hours until the first of several parts is due.

        Returns
        -------
        HoursLeft
            Their shared machine effect is taken into account.
        """
        return self._first(self.dues, members)

    def first_at_limit(self, members: Sequence[int]) -> HoursLeft:
        """Hours until the first of several parts is at its wear limit.

        Returns
        -------
        HoursLeft
            Their shared machine effect is taken into account.
        """
        return self._first(self.limits, members)

    def chances_due(self, hours_h: float) -> FloatArray:
        """Chance of each part being due within a number of hours.

        Parameters
        ----------
        hours_h : float
            Hours from now [h], zero or more.

        Returns
        -------
        ndarray, shape (p,)
            Chances [1], in the order of `parts`.
        """
        everywhere = self.dues.chance(np.full((self.dues.level.size, 1), hours_h))[:, 0]
        return np.asarray(everywhere[list(self.rows)])

    def _first(self, against: Crossing, members: Sequence[int]) -> HoursLeft:
        rows = [self.rows[member] for member in members]
        hours, now = first_of(self.beliefs, against, rows, CHANCES)
        return HoursLeft(float(hours[0]), float(hours[1]), float(hours[2]), now)


def machine_outlook(
    lives: Lives,
    future_ground: GroundClass | GroundMix,
    habits: Habits | None = None,
    seed: int = 0,
    learned: Learned | None = None,
) -> MachineOutlook:
    """Outlook of one machine from its wear paths.

    Parameters
    ----------
    lives : Lives
        One path or more.
    future_ground : GroundClass or GroundMix
        Ground of the hours to come, or their shares over the grounds.
    habits : Habits or None
        How often records leave something out; None takes the project's own assumptions.
    seed : int
        Seed of the sets of constants.
    learned : Learned or None
        What the yard's readings say of the constants; None starts from typical lives alone.

    Raises
    ------
    NotAllowedError
        No wear path at all.
    """
    late = _late(lives, learned)
    pace = ground_pace(lives.kinds) if learned is None else None
    whole = _paced(straightened(stack([life.path for life in lives.lives]), late), pace)
    habits = habits or Habits()
    priors, _ = priors_for(lives.kinds, learned)
    to_come, worked = _to_come(future_ground)
    # A change that is sure is taken for a fact before anything is fitted: two parts taken for one are either uneven or odd, and
    # from one reading to a worse one the fit would turn from the one to the other.
    usual = priors.usual()
    sure = surely_changed(whole, usual, habits)
    paths, newest = cut_at(whole, sure > 0)
    constants = constants_for(paths, priors, habits, worked, seed)
    before = believe(paths, constants, habits)
    told_apart = believe_split(before, ask=lambda: believe(paths, usual, habits, None, before.grid))
    beliefs, row_of = before, newest
    if told_apart is not None:
        beliefs, row_of = told_apart[0], told_apart[1].newest[newest]
    level = np.ones(beliefs.paths.kind.size)
    turning = [number for number, life in enumerate(lives.lives) if is_turned_next(life)]
    turn_at = np.array([lives.lives[number].line.limit.turn_at for number in turning])
    level[row_of[turning]] = straight(turn_at, late.begins, late.times[whole.kind[turning]])
    level_u = _level_doubts(lives, row_of, level.size)
    against = crossing(beliefs, to_come, pace=pace, level_u=level_u)
    split = None if told_apart is None else told_apart[1]
    milder = no_milder(beliefs, against, split, usual, milder_doubts(lives, newest, paths.kind.size))
    beliefs = milder.beliefs
    limits = crossing(beliefs, to_come, pace=pace, level_u=level_u)
    dues = crossing(beliefs, to_come, level, pace, level_u)
    fitted = [number for number, life in enumerate(lives.lives) if life.now_fitted]
    rows = tuple(int(row_of[number]) for number in fitted)
    to_limit = dict(
        zip(fitted, _hours_left(*milder.hours_and_now(limits.of(rows), np.array(rows), CHANCES)), strict=True)
    )
    to_turn = {}
    if turning:
        turns = row_of[turning]
        to_turn = dict(
            zip(turning, _hours_left(*milder.hours_and_now(dues.of(turns), turns, CHANCES)), strict=True)
        )
    full = before.in_full()
    suspected, odd = _suspected(full, newest, sure), full.chance_odd()[newest]
    other_face = {number: _other_face(lives, number, row_of, beliefs, limits, late) for number in turning}
    parts = tuple(
        LifeOutlook(
            lives.lives[number],
            *_used(limits, int(row_of[number]), beliefs, late, lives.lives[number].line.limit.allowance_doubt),
            to_limit[number],
            to_turn.get(number),
            _hours_left(*other_face[number].hours_and_now(CHANCES))[0] if number in to_turn else None,
            _whole_life_h(beliefs, int(row_of[number])),
            float(suspected[0, number]),
            float(suspected[1, number]),
            float(odd[number]),
            float(late.times[whole.kind[number]]),
        )
        for number in fitted
    )
    by_member = {fitted.index(number): face for number, face in other_face.items()}
    return MachineOutlook(parts, rows, beliefs, limits, dues, by_member, pace)


def _paced(paths: Paths, pace: FloatArray | None) -> Paths:
    """Hours on each ground weighted by how that ground takes to each kind of part; learned constants know of no such weights."""
    if pace is None:
        return paths
    weights = pace[paths.kind]
    return replace(paths, step_h=paths.step_h * weights[:, None], tail_h=paths.tail_h * weights)


def _to_come(future_ground: GroundClass | GroundMix) -> tuple[int | GroundMix, int | tuple[int, ...]]:
    """The ground to come as `crossing` takes it, and the classes whose effects are kept free; a mix of one is that one."""
    mix = future_ground if isinstance(future_ground, GroundMix) else GroundMix.all_of(future_ground)
    grounds = tuple(int(ground) for ground in mix.grounds)
    return (grounds[0], grounds[0]) if len(grounds) == 1 else (mix, grounds)


def _late(lives: Lives, learned: Learned | None) -> Late:
    """Change of pace of the machine's kinds; a wear line that is not straight says itself how wear goes on."""
    late = late_for([kind_word(kind.part.value, kind.measurand.value) for kind in lives.kinds], learned)
    bent_lines = [life.path.kind for life in lives.lives if not _is_straight(life.line.limit)]
    times = late.times.copy()
    times[bent_lines] = 1.0
    return Late(late.begins, times)


def _is_straight(limit: Limit) -> bool:
    return limit.shape is LineShape.STRAIGHT and not limit.between


def _level_doubts(lives: Lives, row_of: IntArray, count: int) -> FloatArray | None:
    """Doubt of each part's level, where some limit is assumed."""
    doubts = np.zeros(count)
    doubts[row_of] = [life.line.limit.allowance_doubt for life in lives.lives]
    return doubts if doubts.any() else None


def _used(limits: Crossing, row: int, beliefs: Beliefs, late: Late, of_limit: float) -> tuple[float, float]:
    """Mean and standard deviation of life used now; an assumed allowance adds its own doubt."""
    weight, wear, var = (part[:, row] for part in (limits.weight, limits.wear, limits.wear_var))
    used = float((weight * wear).sum(axis=1).mean())
    square = float((weight * (wear**2 + var)).sum(axis=1).mean())
    spread = float(np.sqrt(max(square - used**2, 0.0)))
    times = late.times[beliefs.paths.kind[row]]
    if times != 1.0:
        used = float(bent(np.array(used), late.begins, times))
        spread /= float(slope(np.array(used), late.begins, times))
    return used, float(np.hypot(spread, of_limit * used))


def milder_doubts(lives: Lives, rows: IntArray, count: int) -> FloatArray | None:
    """Times its doubt that each part's newest reading would have, had it shown less wear: along a bent wear line doubts differ.

    Parameters
    ----------
    lives : Lives
        n of them.
    rows : ndarray of int, shape (n,)
        Their rows among the wear paths.
    count : int
        Number of these.

    Returns
    -------
    ndarray, shape (count, s), or None
        At each of MILDER [1], at most 1; None where every line is straight.
    """
    times = np.ones((count, MILDER.size))
    for row, life in zip(rows.tolist(), lives.lives, strict=True):
        if life.traces and not _is_straight(life.line.limit):
            newest = life.traces[-1]
            below = newest.life_used > MILDER
            sizes_m = np.r_[life.line.size_m(MILDER[below]), newest.reading.value_m]
            doubts = life.line.life_doubt(sizes_m, np.full(sizes_m.size, newest.doubt.u_m))
            times[row, below] = np.clip(doubts[:-1] / max(doubts[-1], _LEAST_DOUBT), _LEAST_DOUBT, 1.0)
    return times if (times < 1.0).any() else None


def _suspected(before: Beliefs, newest: IntArray, sure: FloatArray) -> FloatArray:
    """Chances that each part was changed without a record and that a reading of it is far off, shape (2, n)."""
    logs = (before.filtered.log_kept, before.filtered.log_sound)
    each = np.array([(before.weight * np.exp(log)).sum(axis=2).mean(axis=0) for log in logs])
    never = np.multiply.reduceat(each, np.r_[0, newest[:-1] + 1], axis=1)
    never[0] *= (1 - sure).prod(axis=1)
    return np.asarray(np.clip(1 - never, 0.0, 1.0))


def is_turned_next(life: Life) -> bool:
    """Whether a wear path is of bushes that have not been turned yet.

    Returns
    -------
    bool
        True for the forward face of bushes on their first side.

    References
    ----------
    Bushes are turned once: common practice, no source.
    """
    return life.measurand is Measurand.BUSH_OD_FORWARD and life.now_fitted and not life.turned


def _hours_left(hours: FloatArray, now: FloatArray) -> list[HoursLeft]:
    return [HoursLeft(float(h[0]), float(h[1]), float(h[2]), float(p)) for h, p in zip(hours, now, strict=True)]


def _whole_life_h(beliefs: Beliefs, row: int) -> tuple[float, float, float]:
    rates = beliefs.rate_log[:, row].ravel()
    order = np.argsort(-rates)
    share = np.cumsum(beliefs.weight[:, row].ravel()[order]) / beliefs.weight.shape[0]
    low, middle, high = (float(np.exp(-np.interp(chance, share, rates[order]))) for chance in CHANCES)
    return low, middle, high


def _other_face(
    lives: Lives, number: int, row_of: IntArray, beliefs: Beliefs, limits: Crossing, late: Late
) -> Crossing:
    """The other face from the turn on: worn as its own reading says, then as a new part on this machine."""
    row = int(row_of[number])
    weight = beliefs.new_part_weight(row)[:, None, :]
    start, start_var = np.zeros(weight.shape), np.full(weight.shape, TURNED_START**2)
    for other, life in enumerate(lives.lives):
        same = life.now_fitted and life.place == lives.lives[number].place
        if same and life.measurand is Measurand.BUSH_OD_REVERSE and life.traces:
            at = int(row_of[other])
            mean = (beliefs.weight[:, at] * limits.wear[:, at]).sum(axis=1)
            square = (beliefs.weight[:, at] * (limits.wear[:, at] ** 2 + limits.wear_var[:, at])).sum(axis=1)
            as_read = bent(mean, late.begins, late.times[life.path.kind])
            mean_even = straight(as_read, late.begins, late.times[lives.lives[number].path.kind])
            start = np.broadcast_to(mean_even[:, None, None], weight.shape)
            start_var = np.broadcast_to((square - mean**2)[:, None, None] + TURNED_START**2 / 4, weight.shape)
    like = limits.of([row])
    return replace(like, weight=weight, wear=start, wear_var=start_var, level=np.ones(1))
