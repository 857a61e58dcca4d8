"""Signs as they stand on one machine: worked out from readings beside each other, and from what was seen or looked for."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean, median

from pitchline.cause import contrasts
from pitchline.cause.contrasts import USABLE
from pitchline.cause.posterior import NOT_SEEN, SEEN
from pitchline.trade.causes import LookedFor, Sign
from pitchline.trade.findings import Finding, FindingKind
from pitchline.trade.machine import MachineKind, RunningGear
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import Saying, saying

_SIDES = (Side.LEFT, Side.RIGHT)
_BOTH_SIDES_OF = (
    Measurand.PITCH, Measurand.RAIL_HEIGHT, Measurand.GROUSER_HEIGHT, Measurand.TREAD_DIAMETER, Measurand.LUG_HEIGHT,
)  # fmt: skip
"""What wears alike left and right where nothing is wrong."""


@dataclass(frozen=True, slots=True)
class Worn:
    """One quantity of one part as read.

    Parameters
    ----------
    place : Place
        Where.
    measurand : Measurand
        What.
    life, doubt : float
        Life used as the newest reading says, and its standard uncertainty [1].
    since_h : float or None
        Service hours at which the part was last renewed or turned [h]; None where nothing is recorded.
    allowance_doubt : float
        Standard doubt of its wear allowance, as a share of it [1].
    """

    place: Place
    measurand: Measurand
    life: float
    doubt: float
    since_h: float | None
    allowance_doubt: float = 0.0


@dataclass(frozen=True, slots=True)
class Setting:
    """Sag of one side against its permitted range.

    Parameters
    ----------
    place : Place
        Of the chain or rubber track.
    below, above : float
        Chance that it lies below, and above it, by the doubt of its reading [1].
    """

    place: Place
    below: float
    above: float


@dataclass(frozen=True, slots=True)
class Evidence:
    """What is known of one sign.

    Parameters
    ----------
    sign : Sign
        Which.
    ratio : float
        `SEEN`, `NOT_SEEN`, or how many times likelier what was read is with the sign than without it [1].
    said : Saying
        What was read or seen.
    """

    sign: Sign
    ratio: float
    said: Saying


SHOWS: Mapping[Sign, tuple[tuple[FindingKind, tuple[PartKind, ...]], ...]] = {
    Sign.TEETH: (
        (FindingKind.HOOKED_TEETH, (PartKind.SPROCKET,)),
        (FindingKind.BROKEN_TEETH, (PartKind.SPROCKET,)),
    ),
    Sign.PACKED: (
        (
            FindingKind.PACKED_WITH_SOIL,
            (PartKind.CHAIN, PartKind.SPROCKET, PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER, PartKind.IDLER),
        ),
    ),
    Sign.BOSSES: ((FindingKind.PIN_BOSS_CONTACT, (PartKind.LINK,)),),
    Sign.FLANGES: ((FindingKind.SIDE_WEAR, (PartKind.LINK,)),),
    Sign.HOLLOW_RAIL: ((FindingKind.HOLLOW_RAIL, (PartKind.LINK,)),),
    Sign.CAME_OFF: ((FindingKind.CAME_OFF, (PartKind.CHAIN,)),),
    Sign.JOINTS_UNLIKE: ((FindingKind.DRY_JOINT, (PartKind.CHAIN,)),),
    Sign.LEAKING: ((FindingKind.LEAK, (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER, PartKind.IDLER)),),
    Sign.ONE_ROLLER: (
        (FindingKind.SEIZED, (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER, PartKind.IDLER)),
        (FindingKind.FLAT, (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER)),
        (FindingKind.UNEVEN_TREAD, (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER)),
    ),
    Sign.BENT_SHOES: ((FindingKind.BENT, (PartKind.SHOE,)), (FindingKind.CRACKED, (PartKind.SHOE,))),
    Sign.BOLT_RINGS: ((FindingKind.LOOSE_BOLTS, (PartKind.SHOE,)), (FindingKind.MISSING_BOLTS, (PartKind.SHOE,))),
    Sign.CUTS: ((FindingKind.CUT, (PartKind.RUBBER_TRACK,)),),
    Sign.LUGS_TORN: ((FindingKind.LUG_TORN_OFF, (PartKind.RUBBER_TRACK,)),),
    Sign.CORD: ((FindingKind.CORD_SHOWING, (PartKind.RUBBER_TRACK,)),),
    Sign.BULGE: ((FindingKind.SEPARATION, (PartKind.RUBBER_TRACK,)),),
    Sign.GUIDES_WORN: ((FindingKind.TORN_GUIDE_LUG, (PartKind.RUBBER_TRACK,)),),
    Sign.CORE_BARE: ((FindingKind.STEEL_INSERT_LOST_OR_BROKEN, (PartKind.RUBBER_TRACK,)),),
    Sign.SKIPS: ((FindingKind.CAME_OFF, (PartKind.RUBBER_TRACK,)),),
}
"""Signs that are seen, and the findings they are."""
_FELT = frozenset((Sign.FLANGES, Sign.JOINTS_UNLIKE, Sign.ONE_ROLLER))
"""Looking a part over says little of these: they are felt, or measured."""
GLANCE = 0.5
"""How many times likelier it is that nobody noted one of them where it is there than where it is not: an assumption."""
READ = frozenset((
    Sign.FACES, Sign.SIDES, Sign.ENDS, Sign.ONE_ROLLER, Sign.PITCH_AHEAD, Sign.BUSH_AHEAD, Sign.ROOT_AHEAD,
    Sign.RAIL_AHEAD, Sign.ROLLERS_AHEAD, Sign.SHOES_AHEAD, Sign.SAG_LOW, Sign.SAG_HIGH,
))  # fmt: skip
"""Signs that are worked out from readings; all others are seen, or asked of somebody who looks."""


def seen_signs(
    findings: Iterable[Finding], looked_at: frozenset[Place], gear: RunningGear, signs: Iterable[Sign]
) -> list[Evidence]:
    """Signs that somebody saw, and those that were looked for in vain.

    Parameters
    ----------
    findings : iterable of Finding
        What stands.
    looked_at : frozenset of Place
        Parts somebody was at.
    gear : RunningGear
        Which parts there are.
    signs : iterable of Sign
        Those that count on this track.

    Returns
    -------
    list of Evidence
        A sign is not there where every part that could show it was looked at; where only some were, nothing is said of it.
    """
    found, seen = [], list(findings)
    for sign in signs:
        shows = SHOWS.get(sign, ())
        hits = [one for one in seen for kind, parts in shows if one.kind is kind and one.place.part in parts]
        if hits:
            found.append(Evidence(sign, SEEN, saying("cause.seen", at=hits[0].place, finding=hits[0].kind)))
            continue
        parts = {part for _, each in shows for part in each}
        places = [place for place in gear.places() if place.part in parts]
        if places and looked_at.issuperset(places):
            felt = sign in _FELT
            code = "cause.not_noted" if felt else "cause.looked_for"
            found.append(Evidence(sign, GLANCE if felt else NOT_SEEN, saying(code)))
    return found


def said_signs(answers: Iterable[LookedFor], signs: Iterable[Sign]) -> list[Evidence]:
    """Signs somebody looked for and answered for: the newest answer of each.

    Parameters
    ----------
    answers : iterable of LookedFor
        Those that still count.
    signs : iterable of Sign
        Those that count on this track.
    """
    newest = {one.about: one for one in sorted(answers, key=lambda one: one.date)}
    found = []
    for sign in signs:
        if (one := newest.get(sign)) is not None:
            code = "cause.said_there" if one.there else "cause.said_not_there"
            said = saying(code, on=one.date, note=saying("cause.note", note=one.note) if one.note else None)
            found.append(Evidence(sign, SEEN if one.there else NOT_SEEN, said))
    return found


def sag_signs(settings: Sequence[Setting]) -> list[Evidence]:
    """Sag beside its range: the side that lies furthest out counts, one of low and high at most."""
    if not settings:
        return []
    low = max(settings, key=lambda one: one.below)
    high = max(settings, key=lambda one: one.above)
    is_high = high.above > low.below
    above, below = contrasts.beyond_window(high.above), contrasts.beyond_window(low.below)
    told_above, told_below = saying("cause.sag_not_above"), saying("cause.sag_not_below")
    if is_high:
        below, told_above = NOT_SEEN, saying("cause.sag_above", at=high.place, chance=high.above)
    else:
        told_below = saying("cause.sag_below", at=low.place, chance=low.below)
    return [Evidence(Sign.SAG_HIGH, above, told_above), Evidence(Sign.SAG_LOW, below, told_below)]


@dataclass(frozen=True, slots=True)
class _Log:
    """Logarithm of the mean life used of like parts, its doubt, and how many they are."""

    value: float
    doubt: float
    many: int
    life: float


class Readings:
    """The readings of one machine that are fit to be compared: life used clear of its doubt.

    Parameters
    ----------
    worn : iterable of Worn
        Newest reading of each quantity of each part.
    kind : MachineKind
        Whose.
    """

    def __init__(self, worn: Iterable[Worn], kind: MachineKind) -> None:
        self.worn = [one for one in worn if one.life > USABLE * one.doubt and one.life > 0]
        self.turns_often = kind in (MachineKind.DOZER, MachineKind.TRACK_LOADING_SHOVEL)

    def signs(self) -> list[Evidence]:
        """Every sign that the readings tell something of."""
        found: list[Evidence | None] = [
            self._faces(),
            self._sides(),
            self._flanges(),
            self._ends(),
            self._one_roller(),
        ]
        pitch, bush = Measurand.PITCH, Measurand.BUSH_OD_FORWARD
        rail, tread, grouser = Measurand.RAIL_HEIGHT, Measurand.TREAD_DIAMETER, Measurand.GROUSER_HEIGHT
        found += self._pair(Sign.PITCH_AHEAD, Sign.BUSH_AHEAD, pitch, bush, 1.8)
        found += self._pair(Sign.RAIL_AHEAD, Sign.ROLLERS_AHEAD, rail, tread, 1.5)
        root = self._ahead(Measurand.ROOT_DIAMETER, bush) or self._ahead(Measurand.TOOTH_THICKNESS, bush)
        found.append(self._told(Sign.ROOT_AHEAD, root, 1.6))
        found.append(self._told(Sign.SHOES_AHEAD, self._ahead(grouser, rail), 1.6))
        return [one for one in found if one is not None]

    def _of(self, measurand: Measurand, side: Side | None = None) -> list[Worn]:
        """Of one kind of part: upper rollers wear by a rule of their own."""
        return [
            one
            for one in self.worn
            if one.measurand is measurand
            and one.place.part is not PartKind.UPPER_ROLLER
            and (side is None or one.place.side is side)
        ]

    def _faces(self) -> Evidence | None:
        """Both faces of a side's bushes since they were fitted; over both sides where both were read."""
        logs, variances, ratios = [], [], []
        for side in _SIDES:
            forward, reverse = (
                self._of(measurand, side) for measurand in (Measurand.BUSH_OD_FORWARD, Measurand.BUSH_OD_REVERSE)
            )
            if forward and reverse and forward[0].since_h == reverse[0].since_h:
                logs.append(math.log(reverse[0].life / forward[0].life))
                variances.append(sum((one.doubt / one.life) ** 2 for one in (forward[0], reverse[0])))
                ratios.append(reverse[0].life / forward[0].life)
        if not logs:
            return None
        ratio = contrasts.reverse_face(fmean(logs), math.sqrt(sum(variances)) / len(logs), self.turns_often)
        return Evidence(Sign.FACES, ratio, saying("cause.faces", times=math.exp(fmean(logs))))

    def _sides(self) -> Evidence | None:
        """Left against right over what was read on both since the same day, weighed by what each can tell."""
        found: list[tuple[float, float, float, float]] = []
        for measurand in _BOTH_SIDES_OF:
            left, right = (self._mean(self._of(measurand, side)) for side in _SIDES)
            if left is None or right is None or self._since(measurand) is None:
                continue
            read = math.hypot(left.doubt, right.doubt)
            parts = contrasts.PART_SPREAD**2 * (1 / left.many + 1 / right.many)
            found.append((left.value - right.value, read, parts, 1 / (read**2 + parts)))
        if not found:
            return None
        whole = sum(weight for *_, weight in found)
        x = sum(value * weight for value, *_, weight in found) / whole
        s = math.sqrt(sum((read * weight) ** 2 for _, read, _, weight in found)) / whole
        parts = math.sqrt(sum(parts * weight**2 for _, _, parts, weight in found)) / whole
        ratio = contrasts.side_against_side(x, s, parts)
        more, less = (Side.LEFT, Side.RIGHT) if x >= 0 else (Side.RIGHT, Side.LEFT)
        return Evidence(
            Sign.SIDES, ratio, saying("cause.sides", more=more, less=less, times=math.exp(abs(x)), n=len(found))
        )

    def _flanges(self) -> Evidence | None:
        """Flanges of one side worn more than those of the other: what pushes a track sideways wears one hand of them."""
        sides = [self._mean(self._of(Measurand.FLANGE_THICKNESS, side)) for side in _SIDES]
        left, right = sides
        if left is None or right is None or self._since(Measurand.FLANGE_THICKNESS) is None:
            return None
        x = left.value - right.value
        ratio = contrasts.flanges_apart(x, math.hypot(left.doubt, right.doubt), left.many, right.many)
        more, less = (Side.LEFT, Side.RIGHT) if x >= 0 else (Side.RIGHT, Side.LEFT)
        return Evidence(Sign.FLANGES, ratio, saying("cause.flanges", more=more, less=less, times=math.exp(abs(x))))

    def _since(self, measurand: Measurand) -> tuple[float | None] | None:
        """Since when all parts of a kind run; None where they do not run since the same hours."""
        since = {one.since_h for one in self._of(measurand)}
        return (since.pop(),) if len(since) == 1 else None

    def _mean(self, worn: Sequence[Worn]) -> _Log | None:
        if not worn:
            return None
        life = fmean(one.life for one in worn)
        doubt = math.sqrt(sum(one.doubt**2 for one in worn)) / len(worn) / life
        return _Log(math.log(life), doubt, len(worn), life)

    def _rollers(self, side: Side) -> list[Worn]:
        rollers = sorted(self._of(Measurand.TREAD_DIAMETER, side), key=lambda one: one.place.position)
        return rollers if len({one.since_h for one in rollers}) == 1 else []

    def _ends(self) -> Evidence | None:
        """Front third of a side's rollers against the rear third, on the side that parts more."""
        found = []
        for side in _SIDES:
            rollers = self._rollers(side)
            third = len(rollers) // 3
            if third == 0:
                continue
            front, rear = self._mean(rollers[:third]), self._mean(rollers[-third:])
            if front is None or rear is None:
                continue
            x = front.value - rear.value
            ratio = contrasts.front_against_rear(x, math.hypot(front.doubt, rear.doubt), third, third)
            code = "cause.front_more" if x >= 0 else "cause.rear_more"
            found.append(Evidence(Sign.ENDS, ratio, saying(code, side=side, times=math.exp(abs(x)))))
        if not found:
            return None
        mean = fmean(one.ratio for one in found)
        told = max(found, key=lambda one: one.ratio)
        return Evidence(Sign.ENDS, mean, told.said)

    def _one_roller(self) -> Evidence | None:
        """One roller unlike its neighbours; over both sides, as it may be on either."""
        found = []
        for side in _SIDES:
            rollers = self._rollers(side)
            if len(rollers) < 3:
                continue
            logs = [math.log(one.life) for one in rollers]
            ratio = contrasts.one_unlike(logs, [one.doubt / one.life for one in rollers])
            apart = [abs(log - median(logs[:at] + logs[at + 1 :])) for at, log in enumerate(logs)]
            worst = max(range(len(rollers)), key=apart.__getitem__)
            others = math.exp(logs[worst] - median(logs[:worst] + logs[worst + 1 :]))
            found.append((ratio, apart[worst], rollers[worst].place, others))
        if not found:
            return None
        _, _, place, times = max(found, key=lambda one: one[1])
        mean = fmean(ratio for ratio, *_ in found)
        return Evidence(Sign.ONE_ROLLER, mean, saying("cause.one_roller", at=place, times=times))

    def _ahead(self, first: Measurand, second: Measurand) -> tuple[float, float, float, float] | None:
        """Log ratio of life used of two quantities that run since the same hours, its doubt, and both lives."""
        found = []
        for side in _SIDES:
            here, there = self._of(first, side), self._of(second, side)
            if not here or not there or {one.since_h for one in here} != {one.since_h for one in there}:
                continue
            one, other = self._mean(here), self._mean(there)
            if one is not None and other is not None:
                allowances = here[0].allowance_doubt ** 2 + there[0].allowance_doubt ** 2
                found.append((one, other, allowances))
        if not found:
            return None
        x = fmean(one.value - other.value for one, other, _ in found)
        read = sum(one.doubt**2 + other.doubt**2 for one, other, _ in found) / len(found) ** 2
        s = math.sqrt(read + found[0][2])
        return x, s, fmean(one.life for one, *_ in found), fmean(other.life for _, other, _ in found)

    def _told(self, sign: Sign, ahead: tuple[float, float, float, float] | None, times: float) -> Evidence | None:
        if ahead is None:
            return None
        x, s, here, there = ahead
        return Evidence(sign, contrasts.ahead(x, s, times), saying(f"cause.{sign.value}", here=here, there=there))

    def _pair(
        self, first: Sign, second: Sign, here: Measurand, there: Measurand, times: float
    ) -> list[Evidence | None]:
        """One reading tells both signs, never both seen."""
        forward, back = self._ahead(here, there), self._ahead(there, here)
        return [self._told(first, forward, times), self._told(second, back, times)]
