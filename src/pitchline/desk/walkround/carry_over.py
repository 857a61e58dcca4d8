"""What was seen last time on a part nobody has looked over since: it stands until somebody says it is gone."""

import datetime as dt
from collections.abc import Iterable, Sequence

from pitchline.desk.bridge.sheets import line_number, place_of
from pitchline.desk.walkround.models import SeenRow, Sheet
from pitchline.trade.dossier import Dossier
from pitchline.trade.findings import Finding
from pitchline.trade.readings import WalkRound
from pitchline.trade.writing import as_day
from pitchline.wear.history import standing
from pitchline.words.carried import own_note

CARRIED = "carried over"
"""Writer of a line that no person wrote: it goes when its walk-round is a draft again, and comes anew when that is finished."""


def last_findings(dossier: Dossier, before: dt.date | None) -> tuple[WalkRound, tuple[Finding, ...]] | None:
    """The newest finished walk-round before a day, with what was seen on it, less what was put right since."""
    last = next((one for one in reversed(dossier.walk_rounds) if before is None or one.date < before), None)
    if last is None:
        return None
    return last, standing(dossier, last)


def still_standing(findings: Iterable[Finding], rows: Sequence[SeenRow]) -> list[Finding]:
    """Those about which a sheet says nothing: the part not looked over on it, the finding not said to be gone."""
    looked = {place_of(row) for row in rows if row.how_bad}
    answered = {(place_of(row), row.kind) for row in rows}
    return [one for one in findings if one.place not in looked and (one.place, one.kind.value) not in answered]


def day_seen(finding: Finding, last: dt.date) -> str:
    """The day somebody saw it: of the last walk-round, or the earlier one it was carried over from."""
    return as_day(finding.last_seen_on or last)


def carried_rows(sheet: Sheet, dossier: Dossier, rows: Sequence[SeenRow]) -> list[SeenRow]:
    """Unsaved lines for what still stands when a sheet is finished, each with the day somebody last saw it."""
    found = last_findings(dossier, sheet.date)
    if found is None:
        return []
    last, findings = found
    places = dossier.gear.places()
    met: dict[tuple[str, str], int] = {}
    carried = []
    for one in still_standing(findings, rows):
        if one.place not in places:
            continue
        here = (one.place.key, one.kind.value)
        met[here] = met.get(here, -1) + 1
        carried.append(
            SeenRow(
                sheet=sheet,
                part=one.place.part.value,
                side=one.place.side.value,
                position=one.place.position,
                number=line_number(dossier.gear, one.place),
                kind=one.kind.value,
                nth=met[here],
                how_bad=one.severity.value,
                count=one.count,
                on_one=one.on_one,
                last_seen_on=one.last_seen_on or last.date,
                note=own_note(one),
                writer=CARRIED,
            )
        )
    return carried


def let_go(sheet: Sheet) -> None:
    """Nothing comes out; a sheet that is a draft again has only what people wrote on it."""
    sheet.seenrows.filter(writer=CARRIED).delete()
