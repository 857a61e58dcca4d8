"""What the primer's pages show: every figure and rule from where the tool itself has it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from django.urls import reverse

from pitchline.cause.mending import MENDED_FIRST, MOVES
from pitchline.cause.nets import RUBBER, STEEL
from pitchline.cause.next_look import TOGETHER
from pitchline.cause.signs import SHOWS
from pitchline.desk.primer.lessons import AFTER_PARTS, AFTER_SEEN, FIRST, LESSONS, Lesson
from pitchline.stops.jobs import job_of_finding
from pitchline.trade.causes import Cause, Sign
from pitchline.trade.consequences import CONSEQUENCES, FindingKind, Severity, why_it_matters
from pitchline.trade.findings import Finding
from pitchline.trade.jobs import SOURCES, Caution, JobKind, cautions_of
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import MEASURANDS, Direction, Measurand, Role, measurands_of
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.trade.saying import saying
from pitchline.words import label, say, translated
from pitchline.words.cautions import caution_text, title
from pitchline.words.how_read import HOW_TURNED, how_read
from pitchline.words.labels import plural
from pitchline.words.speaking import capital

PARTS_IN_ORDER: tuple[PartKind, ...] = (
    PartKind.CHAIN, PartKind.LINK, PartKind.BUSH, PartKind.SHOE, PartKind.PAD, PartKind.RUBBER_TRACK, PartKind.SPROCKET,
    PartKind.IDLER, PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER, PartKind.TRACK_ADJUSTER, PartKind.GUARD,
    PartKind.FINAL_DRIVE, PartKind.SLEW_RING,
)  # fmt: skip
"""As one learns them: the track, what it runs on, what holds it."""


@dataclass(frozen=True, slots=True)
class Told:
    """A heading with its address and what stands under it.

    Parameters
    ----------
    mark, title, href : str
        Its mark on a page, its name, and where it leads.
    lines : tuple of str
        Sentences.
    links : tuple of (str, str)
        Names and addresses of what goes with it.
    """

    mark: str
    title: str
    href: str
    lines: tuple[str, ...] = ()
    links: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Careful:
    """A caution with its source."""

    title: str
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Graded:
    """What a finding leads to on a part, by how bad it is: for each the call, its word, what it is about, and the job."""

    part: tuple[str, str]
    kind: tuple[str, str]
    cells: tuple[tuple[str, str, str, str], ...]
    border: str


def to_part(part: PartKind) -> tuple[str, str]:
    """A part's name, as of several, and its page."""
    return capital(plural(part)), reverse("primer-part", args=[part.value])


def to_finding(kind: FindingKind) -> tuple[str, str]:
    """A finding's name and its page."""
    return capital(label(kind)), reverse("primer-seen", args=[kind.value])


def to_lesson(lesson: Lesson) -> tuple[str, str]:
    """A lesson's title and its page."""
    return lesson.title, reverse("primer-lesson", args=[lesson.name])


def _on(name: str, mark: str) -> str:
    return f"{reverse('primer-lesson', args=[name])}#{mark}"


def to_cause(cause: Cause) -> tuple[str, str]:
    """A cause's name and where it is told."""
    return capital(label(cause)), _on("causes", cause.value)


def to_sign(sign: Sign) -> tuple[str, str]:
    """A sign's name and where it is told."""
    return capital(label(sign)), _on("patterns", sign.value)


def part_told(part: PartKind, what: str) -> str:
    """What is said of a part: where it `sits`, what it `does`, how it `wears`, what `ends` it."""
    return say(saying(f"primer_part.{part.value}_{what}"))


def also_called(part: PartKind) -> str:
    """What else the trade calls a part."""
    return say(saying(f"primer_also.{part.value}"))


def finding_told(kind: FindingKind, what: str) -> str:
    """What is said of a finding: what it `is`, `how` it is seen."""
    return say(saying(f"primer_finding.{kind.value}_{what}"))


def careful(cautions: Iterable[Caution]) -> tuple[Careful, ...]:
    """Cautions in words."""
    return tuple(Careful(title(one), caution_text(one), translated(SOURCES[one])) for one in cautions)


def cautions_beside(job: JobKind, part: PartKind, gear: RunningGear) -> tuple[Careful, ...]:
    """What stands beside a part or a finding: the cautions of looking closer, a moving track first."""
    return careful(dict.fromkeys((Caution.MOVING_TRACK, *cautions_of(job, part, gear))))


def reads(part: PartKind) -> tuple[Told, ...]:
    """Each quantity of a part: how it is read, and which way it goes."""
    return tuple(_read(one, part) for one in measurands_of(part))


def _read(measurand: Measurand, part: PartKind) -> Told:
    facts = MEASURANDS[measurand]
    if facts.role is Role.SETTING:
        goes = translated("A setting: it is adjusted, not worn.")
    elif facts.direction is Direction.RISES:
        goes = translated("It grows as the part wears.")
    else:
        goes = translated("It shrinks as the part wears.")
    name, href = capital(label(measurand)), f"{reverse('primer-part', args=[part.value])}#{measurand.value}"
    turned = (translated(HOW_TURNED),) if part is PartKind.BUSH else ()
    return Told(measurand.value, name, href, (how_read(measurand), *turned, goes))


def grades(kind: FindingKind | None = None, part: PartKind | None = None) -> tuple[Graded, ...]:
    """What each finding of a part, or a finding on each part, leads to."""
    pairs = [
        (one, on)
        for one in ([kind] if kind else FindingKind)
        for on in CONSEQUENCES[one].parts
        if part in (None, on)
    ]
    return tuple(_graded(one, on) for one, on in pairs)


def _graded(kind: FindingKind, part: PartKind) -> Graded:
    facts = PARTS[part]
    place = Place(part, Side.LEFT if facts.sided else Side.NONE, 1 if facts.numbered else 0)
    found = [Finding(place, kind, severity) for severity in Severity]
    cells = tuple(
        (one.call.value, label(one.call), label(one.stake) if one.stake else "", label(job_of_finding(one)))
        for one in found
    )
    border = say(found[0].border) if found[0].border else ""
    return Graded(to_part(part), to_finding(kind), cells, border)


def causes_of(kind: FindingKind) -> tuple[tuple[str, str], ...]:
    """Causes a finding is a sign of, the one it shows most by first."""
    signs = {sign for sign, shown in SHOWS.items() if kind in [one for one, _ in shown]}
    strong: dict[Cause, float] = {}
    for sign in signs:
        for cause, strength in _brought_by(sign):
            strong[cause] = max(strong.get(cause, 0.0), strength)
    return tuple(to_cause(cause) for cause in sorted(strong, key=lambda one: -strong[one]))


def _brought_by(sign: Sign) -> Iterator[tuple[Cause, float]]:
    for net in (STEEL, RUBBER):
        for cause, signs in net.strengths.items():
            if sign in signs:
                yield cause, signs[sign]


_LOOKED_BY = {other: one for one, other in TOGETHER.items()}


def signs_told() -> tuple[Told, ...]:
    """Each wear pattern: how to look, and what it may come from."""
    told = []
    for sign in Sign:
        brought = dict(sorted(_brought_by(sign), key=lambda one: -one[1]))
        look = say(saying(f"look.{_LOOKED_BY.get(sign, sign).value}"))
        told.append(Told(sign.value, *to_sign(sign), (look,), tuple(map(to_cause, brought))))
    return tuple(told)


def causes_told() -> tuple[Told, ...]:
    """Each cause, in the order they are mended: what mends it, what it wears, the signs it shows by."""
    return tuple(_cause(one) for one in MENDED_FIRST)


def _cause(cause: Cause) -> Told:
    lines = [say(saying(f"mend.{cause.value}"))]
    if (moves := MOVES.get(cause)) is not None:
        lines.append(say(saying("primer.move", quantities=moves.measurands, low=moves.low, high=moves.high)))
    shown: dict[Sign, float] = {}
    for net in (STEEL, RUBBER):
        shown |= net.strengths.get(cause, {})
    return Told(
        cause.value, *to_cause(cause), tuple(map(capital, lines)),
        tuple(to_sign(sign) for sign in sorted(shown, key=lambda one: -shown[one])),
    )  # fmt: skip


def jobs_told() -> tuple[Told, ...]:
    """Each job: what is done, and when."""
    return tuple(
        Told(job.value, capital(label(job)), _on("jobs", job.value), (say(saying(f"primer_job.{job.value}")),))
        for job in JobKind
    )


def quantities_told() -> tuple[Told, ...]:
    """Each quantity once, in the order of the parts."""
    found: dict[str, Told] = {}
    for part in PARTS_IN_ORDER:
        for one in reads(part):
            found.setdefault(one.mark, one)
    return tuple(found.values())


def in_order() -> list[tuple[str, str]]:
    """Every page of the primer in the order a colleague learns it."""
    return [
        *map(to_lesson, FIRST), *map(to_part, PARTS_IN_ORDER), *map(to_lesson, AFTER_PARTS), *map(to_lesson, AFTER_SEEN),
    ]  # fmt: skip


def beside(href: str) -> tuple[tuple[str, str] | None, tuple[str, str] | None]:
    """The pages before and after one."""
    order = in_order()
    before = next((one for one, other in pairwise(order) if other[1] == href), None)
    after = next((other for one, other in pairwise(order) if one[1] == href), None)
    return before, after


def found(query: str) -> list[Told]:
    """What the words asked for lead to: by name first, then by what is said."""
    words = query.casefold().split()
    by_name, by_text = [], []
    for one, also in _everything() if words else ():
        named = f"{one.title} {also}".casefold()
        if all(word in named for word in words):
            by_name.append(one)
        elif all(word in f"{named} {' '.join(one.lines)}".casefold() for word in words):
            by_text.append(one)
    return by_name + by_text


def _everything() -> Iterator[tuple[Told, str]]:
    """Whatever has a page or a place on one, with what else it is called."""
    for part in PARTS_IN_ORDER:
        lines = tuple(part_told(part, what) for what in ("does", "sits", "wears", "ends"))
        yield Told("", *to_part(part), lines), also_called(part)
    for kind in FindingKind:
        why = capital(say(why_it_matters(kind)))
        yield Told("", *to_finding(kind), (finding_told(kind, "is"), finding_told(kind, "how"), f"{why}.")), ""
    for lesson in LESSONS.values():
        yield Told("", *to_lesson(lesson), (lesson.about, *lesson.told)), ""
    for one in (*quantities_told(), *jobs_told(), *causes_told(), *signs_told()):
        yield one, ""
    for caution in Caution:
        yield Told("", title(caution), _on("clear", "cautions"), (caution_text(caution),)), ""
