"""What a phone carries of the whole yard: a row for each machine in the list, and what a machine nobody entered yet is asked."""

from functools import partial
from math import inf

from pitchline.desk.clock import today
from pitchline.desk.machine.models import KINDS, Machine
from pitchline.desk.people.models import Business
from pitchline.desk.piece_cache import cached
from pitchline.desk.pocket.blanks import blanks_of
from pitchline.desk.pocket.marks import digest, parcel_mark, sheet_marks, way_of
from pitchline.desk.pocket.parcel import SHAPE, as_json, cautions, round_told, severities, unit_of, which
from pitchline.desk.walkround.models import Sheet
from pitchline.desk.yard.queries import words_of
from pitchline.papers import words
from pitchline.words import translated

_READ = (
    "id", "name", "kind", "customer", "place", "serial_number", "owner_number", "call", "stake", "due_said", "judgement_id",
    "version", "judged_for", "not_judged_because", "last_walk_on", "carried_h", "call_rank", "due_middle_h", "archived_at",
)  # fmt: skip


def yard_of(business: Business) -> tuple[str, bytes]:
    """The mark of the yard's list, and the list as JSON: in the order in which the desk shows it, four queries."""
    way, sheets = way_of(business), sheet_marks(business)
    found = Machine.objects.filter(business=business, archived_at=None).only(*_READ)
    rows = sorted(
        found, key=lambda one: (-one.call_rank, inf if one.due_middle_h is None else one.due_middle_h, one.name)
    )
    told = {
        "shape": SHAPE,
        "day": today().isoformat(),
        "machines": [_row(one, sheets.get(one.pk, []), way) for one in rows],
        "severities": severities(),
        "cautions": cautions(),
        "kinds": [[key, translated(said)] for key, said in KINDS],
        "customers": words_of(business, "customer"),
        "sites": words_of(business, "place"),
    }
    text, mark = as_json(told), digest(told, way)
    return mark, f'{{"etag":"{mark}","blanks":{_blanks(business, way)},{text[1:]}'.encode()


def _blanks(business: Business, way: str) -> str:
    """What a machine nobody entered yet is asked: made once a day, and whenever something of how it is said changes."""
    asks = partial(round_told, Machine(business=business))
    return cached(("pocket blanks", way), lambda: {"blanks": as_json(blanks_of(unit_of(business), asks))})[
        "blanks"
    ]


def _row(machine: Machine, sheets: list[list[object]], way: str) -> dict[str, object]:
    judged = machine.judged_for
    age = machine.readings_age
    said = words.day(judged) if judged is not None else ""
    return {
        "id": str(machine.pk),
        "etag": parcel_mark(machine, sheets, way),
        **which(machine),
        "call": machine.call,
        "call_said": machine.call_label,
        "stake": machine.about,
        "headline": machine.due_said or machine.not_judged_because,
        "of": said,
        "age": age,
        "draft": any(state == Sheet.DRAFT for _, state, *_ in sheets),
        "archived": False,
    }
