"""The record of a machine's work as a table."""

from pitchline.desk.workdone.history import in_order
from pitchline.exchange.grid_csv import csv_bytes
from pitchline.papers import names
from pitchline.trade.dossier import Dossier
from pitchline.trade.part_events import Because
from pitchline.trade.work_done import WorkDone
from pitchline.words.names import named

COLUMNS = (
    "day", "service hours", "part", "where", "what was done", "why the old one came off", "put right", "who", "labour",
    "parts", "cost", "currency", "reckoned", "reckoned in", "reckoned where", "note",
)  # fmt: skip


def table_of(dossier: Dossier) -> bytes:
    """Every record as CSV, oldest first."""
    return csv_bytes([COLUMNS, *(_cells(one, dossier) for one in in_order(dossier.work))])


def _cells(one: WorkDone, dossier: Dossier) -> list[str]:
    spent, reckoned = one.spent, one.reckoned
    return [
        one.date.isoformat(),
        f"{one.service_h:g}",
        named(one.places[0].part),
        " ".join(place.key for place in one.places),
        named(one.did),
        named(one.because) if one.because is not Because.UNKNOWN else "",
        "; ".join(f"{names.place_said(place, dossier.gear)}: {named(kind)}" for place, kind in one.put_right),
        one.by,
        *(
            (f"{spent.labour:.2f}", f"{spent.parts:.2f}", f"{spent.total:.2f}", spent.currency)
            if spent
            else [""] * 4
        ),
        *((f"{reckoned.amount:.2f}", reckoned.currency, reckoned.source) if reckoned else [""] * 3),
        one.note,
    ]
