"""Call run, book or stop on a part of a made-up machine: the answer is the tool's own verdict, with its own reason."""

from functools import cache, lru_cache, partial

from pitchline.demo.yard import Yard, build_yard
from pitchline.desk.primer import pages
from pitchline.desk.primer.ask_worn import section_drawn
from pitchline.desk.primer.lessons import LESSONS
from pitchline.desk.primer.pieces import Asked, Piece, PieceKind
from pitchline.judge import judge
from pitchline.papers.words import hours, range_said, window_ahead
from pitchline.picture.part_words import length_said
from pitchline.picture.sections import states_of
from pitchline.trade.calls import Call, Stake
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import way_in_force
from pitchline.verdict import PartVerdict, Verdict
from pitchline.words import in_english, label, say, translated, worded
from pitchline.words.called import called
from pitchline.words.labels import quantity
from pitchline.words.speaking import capital

_SEED = 7
"""The made-up machines are those of the demo yard by another seed: nobody has them in their yard."""
FROM: dict[str, tuple[Call, Stake | None, str]] = {
    "plenty": (Call.RUN, None, in_english(
        "Run, for even the cautious figure lies beyond the booking window, and nothing was seen that asks for work.")),
    "due": (Call.BOOK, Stake.FALLS_DUE, in_english(
        "Book, not run: one time in ten or more it reaches its limit inside the window. Not stop: until then it works.")),
    "worn_out": (Call.BOOK, Stake.WORN_OUT, in_english(
        "Book, not stop: it is past its limit, but it hurts nobody and ruins nothing dearer. It works on at its owner's cost.")),
    "seen": (Call.BOOK, Stake.SEEN, in_english(
        "Book, for what was seen asks for work. Not stop: as it is now it is not unsafe, and ruins nothing dearer.")),
    "measure": (Call.BOOK, Stake.MEASURE, in_english(
        "Book a measurement: the reading and the rest do not agree. Doubt on the bad side asks for work; it never buys hours.")),
    "setting": (Call.BOOK, Stake.SETTING, in_english(
        "Book, for a setting is wrong: it is put right, and nothing is replaced. Left alone it wears what is dear.")),
    "unsafe": (Call.STOP, Stake.UNSAFE, in_english(
        "Stop, for it can hurt somebody. No hours are weighed against that.")),
    "ruins": (Call.STOP, Stake.RUINS, in_english(
        "Stop, for every hour it works on ruins what is dearer than the work itself.")),
    "not_read": (Call.UNJUDGED, None, in_english(
        "No call: nobody read it or looked at it. Not read is not good, and not bad.")),
}  # fmt: skip
"""Each kind of answer, and why not the calls beside it."""
CALLED = tuple(Piece(PieceKind.CALL, name) for name in FROM)
MACHINES = {
    "plenty": (3, 6, 9), "due": (6, 9), "worn_out": (8, 9), "seen": (2, 3, 8), "measure": (6, 13), "setting": (7,),
    "unsafe": (2, 8), "ruins": (4, 7, 8), "not_read": (3, 8),
}  # fmt: skip
"""Made-up machines that have such parts, by their number; a test holds it."""
_CALLS = ("run", "book", "stop", "unjudged")


@cache
def _yard() -> Yard:
    return build_yard(_SEED)


@lru_cache(maxsize=24)
def verdict_of(number: int, units: UnitSystem) -> Verdict:
    """The verdict on a made-up machine, worked out when it is first asked about."""
    whole = _yard()
    return judge(whole.machine(number).with_sheet, whole.prices, units=units)


def such(verdict: Verdict, name: str) -> list[PartVerdict]:
    """Parts of a verdict that give a kind of answer; of run those alone that were read."""
    call, stake, _ = FROM[name]
    found = [one for one in verdict.parts if one.call is call and one.stake is stake]
    if name == "plenty":
        return [
            one for one in found if one.due is not None and any(each.value_m is not None for each in one.judged)
        ]
    return found


def ask_call(piece: Piece, number: int) -> Asked:
    """A part of a made-up machine."""
    chance = piece.chance(number)
    verdict = verdict_of(chance.choice(MACHINES[piece.name]), way_in_force().units)
    part = chance.choice(such(verdict, piece.name))
    states = states_of(part, verdict.gear)
    drawn = section_drawn(states) if states is not None else None
    links = [pages.to_part(part.place.part), *[pages.to_finding(one.kind) for one in part.findings]]
    return Asked(
        translated("What do you call it?"),
        part.call.value,
        tuple((call, capital(label(Call(call)))) for call in _CALLS),
        drawn,
        drawn,
        tuple(_facts(part, verdict)),
        (
            worded(
                "The verdict says “{called}”. {reason}",
                called=called(part.call, part.stake),
                reason=say(part.reason),
            ),
            translated(FROM[piece.name][2]),
        ),
        (*links, pages.to_lesson(LESSONS["calls"])),
        ranks={"run": 0, "book": 1, "stop": 2},
    )


def _short(verdict: Verdict) -> str:
    """A machine's name without its English description."""
    return verdict.machine.name.split(",")[0]


def _facts(part: PartVerdict, verdict: Verdict) -> list[tuple[str, str]]:
    length = partial(length_said, units=way_in_force().units)
    facts = [
        (
            translated("Machine"),
            worded("{name}, made up: {kind}", name=_short(verdict), kind=label(verdict.machine.kind)),
        ),
        (translated("Part"), capital(label(part.place))),
    ]
    for judged in part.judged:
        said = length(judged.value_m) if judged.value_m is not None else translated("not read")
        if judged.new_m is not None and judged.limit_m is not None:
            sizes = {"new": length(judged.new_m), "limit": length(judged.limit_m)}
            said = worded("{read}; new {new}, limit {limit}", read=said, **sizes)
        facts.append((capital(quantity(judged.measurand)), said))
    seen = [say(one.told()) for one in part.findings]
    nothing = translated("looked over, nothing found") if part.looked_at else translated("nobody looked")
    facts.append((translated("Seen"), capital("; ".join(seen) or nothing)))
    if part.due is not None:
        facts.append(
            (
                translated("Outlook"),
                worded("middle {middle}, {between}", middle=hours(part.due.middle), between=range_said(part.due)),
            )
        )
    facts.append((translated("Booking window"), window_ahead(verdict)))
    return facts
