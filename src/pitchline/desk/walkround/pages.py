"""What a walk-round's pages show: every line of the sheet with what was typed, the previous reading and what looks wrong."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from django.urls import reverse

from pitchline.desk.bridge.sheets import JOINTS, Rows, place_of, problem_of, tools_of, walk_round_of
from pitchline.desk.walkround.carry_over import day_seen, last_findings, still_standing
from pitchline.desk.walkround.day_and_hours import Head, head_of
from pitchline.desk.walkround.field_hints import (
    USUAL_JOINTS,
    Warned,
    joints_before,
    last_read,
    sizes_of,
    spread_said,
    warned,
)
from pitchline.desk.walkround.fields import PlaceFields, ReadingField, SeenBefore, SeenField
from pitchline.desk.walkround.models import NOTHING_SEEN, ReadingRow, SeenRow, Sheet
from pitchline.desk.walkround.sketch import Route, route_of
from pitchline.exchange.sheet import SheetRow, sheet_rows
from pitchline.papers.names import place_said
from pitchline.papers.words import day, first_up
from pitchline.trade.bolts import PIECES, asks_on_one
from pitchline.trade.dossier import Dossier
from pitchline.trade.findings import COUNTED, Finding, FindingKind, asks_how_many, seen_on
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import Place
from pitchline.trade.readings import WalkRound
from pitchline.wear.plausibility import suspicions
from pitchline.words import label, translated
from pitchline.words.called import looked_said
from pitchline.words.carried import own_note
from pitchline.words.labels import piece as piece_label
from pitchline.words.labels import quantity_asked

_KEY, _LABEL, _PLACE = "0key0", "0label0", "0place0"
"""What `lines.js` puts words for."""


@dataclass(frozen=True, slots=True)
class Refused:
    """A figure that cannot be used as typed.

    Parameters
    ----------
    key, name, said, place : str
        Line key, what it is, why, and the key of its part; "" for day and hours.
    """

    key: str
    name: str
    said: str
    place: str = ""


@dataclass(frozen=True, slots=True)
class SheetPage:
    """A walk-round as its pages show it.

    Parameters
    ----------
    places : tuple of PlaceFields
        In walking order.
    head : Head
        What is wrong with day and hours, and the hours of last time.
    tools : tuple of (str, str)
        Tools to choose from.
    route : Route or None
        The small drawing of where one stands.
    unit : str
        The unit that lines nobody has written yet are read in.
    """

    places: tuple[PlaceFields, ...]
    head: Head
    tools: tuple[tuple[str, str], ...]
    route: Route | None = None
    unit: str = "mm"

    @property
    def pattern(self) -> PlaceFields:
        """A line of each kind that nobody has written, its words still to be put in: see `lines.js`."""
        reading = ReadingField(
            key=_KEY,
            label=_LABEL,
            how="",
            boxes=("", "", ""),
            joints="",
            tool="",
            keep="",
            unit=self.unit,
            spans=True,
            version=0,
            problem="",
            wrong="",
            warned=(),
            links=any(field.links for place in self.places for field in place.readings),
        )
        seen = (
            *(SeenField(_KEY, _LABEL, "", "1", "", 0, several=several) for several in (True, False)),
            *(SeenField(_KEY, _LABEL, "", "", "", 0, True, piece) for piece in ("", *map(piece_label, PIECES))),
        )
        return PlaceFields(_KEY, _PLACE, "", (reading,), seen, SeenField(_KEY, "", "", "", "", 0))

    @property
    def hows(self) -> tuple[tuple[str, str], ...]:
        """How each quantity is read."""
        return tuple({field.quantity: field.how for each in self.places for field in each.readings}.items())

    @property
    def sides(self) -> tuple[tuple[str, tuple[PlaceFields, ...]], ...]:
        """Both sides, and what there is one of, each with its parts in walking order."""
        names = {
            "left": translated("Left side"),
            "right": translated("Right side"),
            "": translated("Whole machine"),
        }
        found = {side: tuple(one for one in self.places if one.side == side) for side in names}
        return tuple((names[side], parts) for side, parts in found.items() if parts)

    @property
    def missing(self) -> tuple[PlaceFields, ...]:
        """Parts on which something is still to be read."""
        return tuple(place for place in self.places if place.unread)

    @property
    def unread_count(self) -> int:
        """How many quantities are still to be read on the whole machine."""
        return sum(len(place.unread) for place in self.places)

    @property
    def refused(self) -> tuple[Refused, ...]:
        """Every figure that cannot be used as typed, day and hours first."""
        names = {"date": translated("Day"), "hours": translated("Hours")}
        return (
            *(Refused("head", names[name], said) for name, said in self.head.wrong),
            *(
                Refused(field.key, f"{first_up(field.label)}, {place.name}", field.problem, place.key)
                for place in self.places
                for field in place.refused
            ),
        )

    @property
    def counts(self) -> dict[str, int]:
        """How many quantities are read, not read, refused, questioned, and how many parts nobody looked over."""
        fields = [field for place in self.places for field in place.readings]
        refused = sum(bool(field.problem) for field in fields)
        return {
            "read": sum(field.settled for field in fields) - refused,
            "unread": self.unread_count,
            "refused": refused,
            "questioned": sum(field.questioned for field in fields),
            "unlooked": sum(bool(place.seen) and not place.looked for place in self.places),
        }

    @property
    def told(self) -> str:
        """How far it has come, counted as the verdict counts it."""
        return looked_said((sum(place.done for place in self.places), len(self.places)))

    def place(self, key: str) -> tuple[int, PlaceFields] | None:
        """A part with its number in the walk, from 0."""
        return next(((n, place) for n, place in enumerate(self.places) if place.key == key), None)


def warned_of(sheet: Sheet, rows: Rows, dossier: Dossier) -> Mapping[str, tuple[Warned, ...]]:
    """What looks wrong, by line key; what cannot be read at all is left out here and told beside its line."""
    if sheet.date is None:
        return {}
    hours_h = sheet.service_h
    if hours_h is None:
        hours_h = dossier.walk_rounds[-1].service_h if dossier.walk_rounds else 0.0
    probe = Sheet(date=sheet.date, service_h=hours_h)
    walk_round = walk_round_of(probe, rows, dossier, strict=False)
    before = replace(dossier, walk_rounds=tuple(one for one in dossier.walk_rounds if one.date < sheet.date))
    found: dict[str, tuple[Warned, ...]] = {}
    for one in suspicions(before, walk_round):
        key = f"{one.reading.place.key}:{one.reading.measurand.value}"
        found[key] = (*found.get(key, ()), warned(one))
    return found


def sheet_page(sheet: Sheet, rows: Rows, dossier: Dossier) -> SheetPage:
    """The whole sheet, in walking order."""
    others = tuple(one for one in dossier.walk_rounds if sheet.date is None or one.date < sheet.date)
    known = replace(dossier, walk_rounds=others)
    doubts = warned_of(sheet, rows, dossier)
    read = {f"{place_of(row).key}:{row.measurand}": row for row in rows.readings}
    seen = {f"{place_of(row).key}:{row.kind}": row for row in rows.seen if row.nth == 0}
    enter_at = reverse("all-section", args=[sheet.machine_id, "ranges"])
    by_place: dict[Place, list[ReadingField]] = {}
    written = [(place_of(row), Measurand(row.measurand)) for row in rows.readings]
    for line in sheet_rows(known, written):
        fields = by_place.setdefault(line.place, [])
        if line.measurand is not None:
            fields.append(_reading_field(line, line.measurand, read, doubts, sheet.unit, known, enter_at))
    route = route_of(dossier.gear)
    before = _seen_before(rows, known, sheet)
    last_day = day(known.walk_rounds[-1].date) if known.walk_rounds else ""
    places = tuple(
        replace(
            _place_fields(place, fields, seen, dossier, route),
            before=tuple(before.get(place, ())),
            last_day=last_day,
        )
        for place, fields in by_place.items()
    )
    tools = tuple((tool.name, translated(tool.label)) for tool in tools_of(dossier) if tool.name != "unknown")
    return SheetPage(places, head_of(sheet, dossier), tools, route, sheet.unit)


def _seen_before(rows: Rows, known: Dossier, sheet: Sheet) -> Mapping[Place, Sequence[SeenBefore]]:
    """What was seen last time, by part."""
    last = last_findings(known, sheet.date)
    found: dict[Place, list[SeenBefore]] = {}
    if last is None:
        return found
    open_ones = still_standing(last[1], rows.seen)
    for one in last[1]:
        found.setdefault(one.place, []).append(_before(one, last[0], one in open_ones))
    return found


def _before(one: Finding, last: WalkRound, stands: bool) -> SeenBefore:
    what = f"{label(one.kind)}, {label(one.severity)}"
    many = f", {one.count}" if one.count > 1 else ""
    note = f" ({own})" if (own := own_note(one)) else ""
    key = f"{one.place.key}:{one.kind.value}"
    return SeenBefore(
        key,
        f"{what}{many}{note}",
        translated("{what} on {day_seen}").format(what=what, day_seen=day_seen(one, last.date)),
        stands,
    )


def _reading_field(
    line: SheetRow,
    measurand: Measurand,
    read: Mapping[str, ReadingRow],
    doubts: Mapping[str, tuple[Warned, ...]],
    unit: str,
    dossier: Dossier,
    enter_at: str,
) -> ReadingField:
    key = f"{line.place.key}:{measurand.value}"
    row, about = read.get(key), MEASURANDS[measurand]
    typed = [*(row.typed if row is not None else []), "", "", ""]
    last = last_read(dossier, line.place, measurand)
    joints = row.over_joints if row is not None else ""
    if about.spans_joints and not joints and not typed[0]:
        joints = joints_before(last, dossier, measurand)
    over = 1
    if about.spans_joints:
        over = (
            int(joints) if joints.isdecimal() and 0 < int(joints) <= dossier.gear.joints_per_side else USUAL_JOINTS
        )
    unit = row.unit if row is not None else unit
    return ReadingField(
        key=key,
        label=quantity_asked(measurand),
        how=line.how,
        boxes=(typed[0], typed[1], typed[2]),
        joints=joints,
        tool=row.tool if row is not None else "",
        keep=row.kept_because if row is not None else "",
        unit=unit,
        spans=about.spans_joints,
        links=measurand is Measurand.RUBBER_PITCH,
        version=row.version if row is not None else 0,
        problem=row.problem if row is not None else "",
        wrong=_wrong_field(row, dossier) if row is not None and row.problem else "",
        warned=doubts.get(key, ()),
        over=over,
        sizes=sizes_of(dossier, line.place, measurand, unit, over, last),
        spread=spread_said(row) if row is not None else "",
        not_read_because=row.not_read_because if row is not None else "",
        enter_at=enter_at if dossier.range_missing(line.place.part, measurand) else "",
    )


def _wrong_field(row: ReadingRow, dossier: Dossier) -> str:
    """Short name of the field a line's problem stands in."""
    problem = problem_of(row, dossier)
    if problem is not None and problem.field in (JOINTS, "over_joints"):
        return "joints"
    found = [str(n) for n, text in enumerate(row.typed, 1) if problem is not None and problem.seen == text]
    return found[0] if found else "1"


def _place_fields(
    place: Place,
    readings: list[ReadingField],
    seen: Mapping[str, SeenRow],
    dossier: Dossier,
    route: Route | None,
) -> PlaceFields:
    here = place.key
    offered = seen_on(place.part, dossier.gear)
    kinds = [kind for kind in FindingKind if kind in offered or f"{here}:{kind.value}" in seen]
    fields = tuple(_seen_field(place, kind, seen) for kind in kinds)
    name = first_up(place_said(place, dossier.gear))
    spot = route.spots.get(here) if route is not None else None
    key = f"{here}:{NOTHING_SEEN}"
    row = seen.get(key)
    nothing = SeenField(
        key, translated("nothing seen"), row.how_bad if row else "", "", "", row.version if row else 0
    )
    return PlaceFields(here, name, place.side.value, tuple(readings), fields, nothing, spot)


def _seen_field(place: Place, kind: FindingKind, seen: Mapping[str, SeenRow]) -> SeenField:
    key = f"{place.key}:{kind.value}"
    row, counted = seen.get(key), kind in COUNTED
    piece = piece_label(place.part) if asks_on_one(kind, place.part) else ""
    several = asks_how_many(kind, place.part)
    if row is None:
        return SeenField(key, label(kind), "", "" if counted else "1", "", 0, counted, piece, several=several)
    count = "" if counted and not row.how_bad else str(row.count)
    one = {True: "yes", False: "no", None: ""}[row.on_one]
    several = several or row.count > 1
    return SeenField(
        key, label(kind), row.how_bad, count, row.note, row.version, counted, piece, one, several, row.last_seen_on
    )
