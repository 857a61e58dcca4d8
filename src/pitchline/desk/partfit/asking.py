"""What an address asks of the yard's lists, and what they answer."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.gearbook.models import BookEntry
from pitchline.desk.gearbook.parts import dossier_of_part
from pitchline.desk.gearbook.queries import entries_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of
from pitchline.desk.partfit.forms import PREFIX, BoltAsked, WhichPart
from pitchline.desk.partfit.models import PartsTable
from pitchline.desk.partfit.queries import in_use
from pitchline.desk.partfit.stored import parts_of
from pitchline.desk.people.models import Business
from pitchline.desk.thousands import length_text, number_text
from pitchline.exchange.figures import number_of, typed_length
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.part_readings import read_size
from pitchline.match.bolt_torque import BoltClass, check_torque
from pitchline.match.from_machine import parts_of_gear, sizes_read
from pitchline.match.next_size import NextSize, next_sizes
from pitchline.match.parts import Part, PartList
from pitchline.match.ranking import Match, PartReading, match_parts
from pitchline.trade.errors import InputError, NotAllowedError, Problem, phrase
from pitchline.trade.machine import RunningGear
from pitchline.trade.part_sizes import PART_SIZES, PartSize, Told, sizes_of_part
from pitchline.trade.parts import PartKind
from pitchline.trade.readings import Reading
from pitchline.trade.saying import saying
from pitchline.trade.units import UnitSystem, show_length
from pitchline.trade.writing import as_figure
from pitchline.words import say
from pitchline.words.names import named

DOUBT = {"mm": "0.5 mm", "in": "0.02 in"}
MOST = 10
Found = PartsTable | BookEntry
"""Where a part is listed."""


@dataclass(slots=True)
class Asked:
    """What was read of a worn part, as far as it could be understood.

    Parameters
    ----------
    part : PartKind or None
        None where nobody has said it.
    readings : list of PartReading
        What was read.
    gathering : Gathering
        What could not be understood.
    """

    part: PartKind | None
    readings: list[PartReading] = field(default_factory=list)
    gathering: Gathering = field(default_factory=lambda: Gathering(""))


@dataclass(frozen=True, slots=True)
class Answer:
    """What the lists say.

    Parameters
    ----------
    match : Match
        The parts, the best first.
    looks : tuple of NextSize
        What to read next.
    found : dict of int to PartsTable or BookEntry
        Where each part is listed, by the part's own identity.
    parts : int
        How many were looked through.
    """

    match: Match
    looks: tuple[NextSize, ...]
    found: dict[int, Found]
    parts: int


def unit_of(business: Business) -> str:
    """The unit of bare figures."""
    return "in" if UnitSystem(business.units) is UnitSystem.IMPERIAL else "mm"


def asked_of(form: WhichPart, business: Business) -> Asked:
    """What an address asks; nothing is raised."""
    asked = Asked(PartKind(form.usable("part")) if form.usable("part") else None)
    if asked.part is None:
        return asked
    unit = unit_of(business)
    doubt = form.usable("doubt").strip() or DOUBT[unit]
    u_m = asked.gathering.attempt(partial(_doubt, doubt, unit)) or _doubt(DOUBT[unit], unit)
    for size in sizes_of_part(asked.part):
        text = form.usable(PREFIX + size.value).strip()
        if text:
            reading = asked.gathering.attempt(partial(_reading, text, size, business.numbers, unit, u_m))
            if reading is not None:
                asked.readings.append(reading)
    return asked


def torque_asked(form: BoltAsked, numbers: str) -> tuple[str, Sequence[Problem]]:
    """Whether a typed torque is plausible, in a sentence; else what is wrong with what was typed."""
    gathering = Gathering("")
    typed = {
        name: gathering.attempt(partial(_figure, form.usable(name), name, str(form[name].label), numbers, unit))
        for name, unit in (("torque", "N·m"), ("thread", "mm"), ("lead", "mm"))
    }
    bolt = gathering.attempt(partial(_bolt, form.usable("bolt")))
    problems = (*form.problems, *gathering.problems)
    if problems or bolt is None:
        return "", problems
    torque_nm, thread_mm, lead_mm = (typed[name] or 0.0 for name in ("torque", "thread", "lead"))
    try:
        found = check_torque(torque_nm, thread_mm / 1e3, lead_mm / 1e3, bolt)
    except NotAllowedError as error:
        return "", [error.problem]
    least, most = (one / found.proof_n for one in found.preload_n)
    low_nm, high_nm = found.torque_nm
    told = saying(
        f"bolt.{found.answer}", typed_nm=torque_nm, least=least, most=most, low_nm=low_nm, high_nm=high_nm
    )
    return say(told), []


def _figure(text: str, field: str, label: str, numbers: str, unit: str) -> float:
    return number_of(number_text(text.strip().lstrip("Mm") if field == "thread" else text, numbers, unit), label)


def _bolt(text: str) -> BoltClass:
    if text in list(BoltClass):
        return BoltClass(text)
    raise NotAllowedError(
        "property class", text or "nothing", ", ".join(BoltClass), "Read it off the bolt's head."
    )


def _doubt(text: str, unit: str) -> float:
    u_m = typed_length(text, unit, "doubt of a reading").si
    if not 0 < u_m <= 0.05:
        raise NotAllowedError(
            "doubt of a reading", text, phrase("more than 0, up to {most}", most=show_length(0.05))
        )
    return u_m


def _reading(text: str, size: PartSize, numbers: str, unit: str, u_m: float) -> PartReading:
    facts = PART_SIZES[size]
    if facts.told is Told.LENGTH:
        text = length_text(text, numbers, unit, facts.least_m, facts.most_m)
    reading = read_size(text, size, unit, u_m)
    if facts.told is Told.LENGTH and not facts.least_m <= float(reading.value) <= facts.most_m:
        ends = {name: show_length(end) for name, end in (("least", facts.least_m), ("most", facts.most_m))}
        raise NotAllowedError(
            named(size), text, phrase("{least} to {most}", **ends), "Read it again; look at the unit."
        )
    return reading


def candidates(business: Business, kind: PartKind) -> list[tuple[Part, Found]]:
    """Every part of a kind in the yard's tables and its gear list, each with where it is listed."""
    found: list[tuple[Part, Found]] = [*parts_of(in_use(business), kind)]
    for entry in entries_of(business).filter(put_away_at=None):
        try:
            dossier = dossier_of_part(entry.text)
        except (InputError, NotAllowedError):  # its own page says what is wrong with it
            continue
        listed = parts_of_gear(entry.name, dossier.gear, dossier.limits, entry.note)
        found += [(part, entry) for part in listed if part.part is kind]
    return found


def answer_to(business: Business, asked: Asked, most: int = MOST) -> Answer | None:
    """What the lists say; None where nothing was read, or they have no such part."""
    if asked.part is None or not asked.readings or asked.gathering.problems:
        return None
    known = candidates(business, asked.part)
    if not known:
        return None
    parts = PartList(tuple(part for part, _ in known))
    match = match_parts(parts, asked.readings, most)
    looks = next_sizes(parts, match, frozenset(one.size for one in asked.readings))
    return Answer(match, looks, {id(part): where for part, where in known}, len(known))


def read_on(machine: Machine, kind: PartKind) -> tuple[dict[PartSize, Reading], str]:
    """What the machine's last walk-round read of a part, and the day; nothing where its file cannot be used."""
    try:
        dossier = dossier_of(machine)
    except (InputError, NotAllowedError):
        return {}, ""
    last = dossier.last_walk_round if dossier is not None else None
    return (sizes_read(last.readings, kind), last.date.isoformat()) if last is not None else ({}, "")


def as_typed(reading: Reading, unit: str) -> str:
    """A reading of one joint as it goes into a field, in the unit in force."""
    system = UnitSystem.IMPERIAL if unit == "in" else UnitSystem.METRIC
    return show_length(reading.value_m, system, 3 if unit == "in" else 1)


def gear_of(machine: Machine) -> RunningGear | None:
    """A machine's running gear; None where it is not known."""
    try:
        dossier = known_dossier(machine)
    except (InputError, NotAllowedError):
        return None
    return dossier.gear if dossier is not None else None


def many_on(machine: Machine, kind: PartKind) -> int:
    """How many of a part a machine has; 0 where its running gear is not known."""
    gear = gear_of(machine)
    return sum(place.part is kind for place in gear.places()) if gear is not None else 0


def size_said(size: PartSize, value: float | str, units: UnitSystem) -> str:
    """A listed size for reading."""
    if PART_SIZES[size].told is Told.LENGTH and isinstance(value, float):
        return show_length(value, units)
    return as_figure(value, ",.0f") if isinstance(value, float) else value
