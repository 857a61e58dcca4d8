"""What a walk-round's pages show: every line of the sheet with what was typed, the previous reading and what looks wrong."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from html import escape

from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from pitchline.desk.bridge.sheets import Rows, place_of, set_head, tools_of, walk_round_of
from pitchline.desk.walkround.models import ReadingRow, SeenRow, Sheet
from pitchline.desk.walkround.route import Route, Spot, route_of
from pitchline.exchange.sheet import SheetRow, sheet_rows
from pitchline.papers.names import place_said
from pitchline.papers.words import first_up
from pitchline.trade.dossier import Dossier
from pitchline.trade.findings import CONSEQUENCES, FindingKind
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import Place
from pitchline.trade.units import UnitSystem, show_length
from pitchline.wear.plausibility import suspicions

_KEY, _LABEL, _PLACE = "0key0", "0label0", "0place0"
"""What `lines.js` puts words for."""


@dataclass(frozen=True, slots=True)
class Warned:
    """What looks wrong about a reading.

    Parameters
    ----------
    said : str
        In a sentence or two.
    held : bool
        Whether it stays out of the figures until corrected or kept with a reason.

    References
    ----------
    Definition.
    """

    said: str
    held: bool


@dataclass(frozen=True, slots=True)
class ReadingField:
    """One quantity to be read.

    Parameters
    ----------
    key : str
        Line key.
    label, how, previous : str
        The quantity, how it is read, the previous reading.
    boxes : tuple of str
        Three repeats as typed.
    joints, tool, keep, unit : str
        Joints spanned, tool, and why it was kept, as typed; the unit the texts are read in.
    spans : bool
        Whether it spans joints.
    version : int
        Of the row; 0 before the first writing.
    problem : str
        Why it cannot be used.
    warned : tuple of Warned
        What looks wrong.
    sizes : str
        New size and limit, or the band it must stay in; empty where neither is entered.
    spread : str
        How far apart its repeats lie; empty below two.
    not_read_because : str
        Why it was not read; empty where it was, or is still to be.

    References
    ----------
    Definition.
    """

    key: str
    label: str
    how: str
    previous: str
    boxes: tuple[str, str, str]
    joints: str
    tool: str
    keep: str
    unit: str
    spans: bool
    version: int
    problem: str
    warned: tuple[Warned, ...]
    sizes: str = ""
    spread: str = ""
    not_read_because: str = ""

    @property
    def quantity(self) -> str:
        """What is read, as its key has it."""
        return self.key.rpartition(":")[2]

    @property
    def settled(self) -> bool:
        """Whether nothing is left to do on it: read, or told that it cannot be."""
        return any(self.boxes) or bool(self.not_read_because)

    @property
    def before(self) -> SafeString:
        """What it is held against, in words."""
        last = f"Last time: <b>{escape(self.previous)}</b>" if self.previous else "Not read before"
        return mark_safe(f"{last} · {escape(self.sizes)}" if self.sizes else last)  # noqa: S308  escaped here

    @property
    def mark(self) -> str:
        """What stands in its place on a page that holds the pattern of a line; empty once anybody has written it."""
        if self.version or self.warned:
            return ""
        spans = " data-spans" if self.spans else ""
        about = f'data-key="{escape(self.key)}" data-label="{escape(self.label)}" data-how="{escape(self.quantity)}"{spans}'
        return f'<p data-mark="reading" {about}>{self.before}</p>'


@dataclass(frozen=True, slots=True)
class SeenField:
    """One thing that may be seen.

    Parameters
    ----------
    key, label : str
        Line key, and the thing.
    bad, count, note : str
        As entered.
    version : int
        Of the row; 0 before the first writing.

    References
    ----------
    Definition.
    """

    key: str
    label: str
    bad: str
    count: str
    note: str
    version: int

    @property
    def mark(self) -> SafeString:
        """What stands in its place on a page that holds the pattern of a line; empty once anybody has written it."""
        if self.version:
            return SafeString("")
        return format_html('<i data-mark="finding" data-key="{}" data-label="{}"></i>', self.key, self.label)


@dataclass(frozen=True, slots=True)
class PlaceFields:
    """One part on the sheet.

    Parameters
    ----------
    key, name, side : str
        Place key, name, side.
    readings : tuple of ReadingField
        What to read.
    seen : tuple of SeenField
        What to look for.
    done : bool
        Whether anything was read or seen on it, or told that it cannot be.
    spot : Spot or None
        Where it is on the small drawing; None where nothing is drawn.

    References
    ----------
    Definition.
    """

    key: str
    name: str
    side: str
    readings: tuple[ReadingField, ...]
    seen: tuple[SeenField, ...]
    done: bool
    spot: Spot | None = None

    @property
    def marks(self) -> SafeString:
        """What stands in place of its readings, where nobody has written any of them."""
        marks = [field.mark for field in self.readings]
        return mark_safe("".join(marks) if all(marks) else "")  # noqa: S308  escaped by each

    @property
    def was_seen(self) -> tuple[SeenField, ...]:
        """What anybody has written of what may be seen."""
        return tuple(field for field in self.seen if field.version)

    @property
    def unread(self) -> tuple[ReadingField, ...]:
        """Quantities neither read nor told that they cannot be."""
        return tuple(field for field in self.readings if not field.settled)

    @property
    def unread_said(self) -> str:
        """The same in words."""
        return ", ".join(field.label for field in self.unread)


@dataclass(frozen=True, slots=True)
class SheetPage:
    """A walk-round as its pages show it.

    Parameters
    ----------
    places : tuple of PlaceFields
        In walking order.
    head_problems : list of str
        What is wrong with day and hours.
    tools : tuple of (str, str)
        Tools to choose from.
    route : Route or None
        The small drawing of where one stands.
    unit : str
        The unit that lines nobody has written yet are read in.

    References
    ----------
    Definition.
    """

    places: tuple[PlaceFields, ...]
    head_problems: list[str]
    tools: tuple[tuple[str, str], ...]
    route: Route | None = None
    unit: str = "mm"

    @property
    def pattern(self) -> PlaceFields:
        """A line of each kind that nobody has written, its words still to be put in: see `lines.js`."""
        reading = ReadingField(
            key=_KEY, label=_LABEL, how="", previous="", boxes=("", "", ""), joints="", tool="", keep="",
            unit=self.unit, spans=True, version=0, problem="", warned=(),
        )  # fmt: skip
        return PlaceFields(_KEY, _PLACE, "", (reading,), (SeenField(_KEY, _LABEL, "", "1", "", 0),), False)

    @property
    def hows(self) -> tuple[tuple[str, str], ...]:
        """How each quantity is read."""
        return tuple({field.quantity: field.how for each in self.places for field in each.readings}.items())

    @property
    def missing(self) -> tuple[PlaceFields, ...]:
        """Parts on which something is still to be read."""
        return tuple(place for place in self.places if place.unread)

    @property
    def unread_count(self) -> int:
        """How many quantities are still to be read on the whole machine."""
        return sum(len(place.unread) for place in self.places)

    @property
    def told(self) -> str:
        """How far it has come."""
        wanted = [place for place in self.places if place.readings]
        return f"{sum(place.done for place in wanted)} of {len(wanted)} parts read"

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
        found[key] = (*found.get(key, ()), Warned(first_up(one.suspects), one.held))
    return found


def sheet_page(sheet: Sheet, rows: Rows, dossier: Dossier) -> SheetPage:
    """The whole sheet, in walking order."""
    others = tuple(one for one in dossier.walk_rounds if sheet.date is None or one.date < sheet.date)
    lines = sheet_rows(replace(dossier, walk_rounds=others))
    warned = warned_of(sheet, rows, dossier)
    read = {f"{place_of(row).key}:{row.measurand}": row for row in rows.readings}
    seen = {f"{place_of(row).key}:{row.kind}": row for row in rows.seen if row.nth == 0}
    by_place: dict[Place, list[ReadingField]] = {}
    for line in lines:
        fields = by_place.setdefault(line.place, [])
        if line.measurand is not None:
            fields.append(_reading_field(line, line.measurand, read, warned, sheet.unit, dossier))
    route = route_of(dossier.gear)
    places = tuple(_place_fields(place, fields, seen, dossier, route) for place, fields in by_place.items())
    tools = tuple((tool.name, tool.label) for tool in tools_of(dossier))
    return SheetPage(places, set_head(sheet, dossier), tools, route, sheet.unit)


def _reading_field(
    line: SheetRow,
    measurand: Measurand,
    read: Mapping[str, ReadingRow],
    warned: Mapping[str, tuple[Warned, ...]],
    unit: str,
    dossier: Dossier,
) -> ReadingField:
    key = f"{line.place.key}:{measurand.value}"
    row, words = read.get(key), MEASURANDS[measurand]
    typed = [*(row.typed if row is not None else []), "", "", ""]
    return ReadingField(
        key=key,
        label=words.label,
        how=line.how,
        previous=line.previous,
        boxes=(typed[0], typed[1], typed[2]),
        joints=row.over_joints if row is not None else "",
        tool=row.tool if row is not None else "",
        keep=row.kept_because if row is not None else "",
        unit=row.unit if row is not None else unit,
        spans=words.spans_joints,
        version=row.version if row is not None else 0,
        problem=row.problem if row is not None else "",
        warned=warned.get(key, ()),
        sizes=sizes_said(dossier, line.place, measurand, row.unit if row is not None else unit),
        spread=spread_said(row) if row is not None else "",
        not_read_because=row.not_read_because if row is not None else "",
    )


def _system(unit: str) -> UnitSystem:
    return UnitSystem.IMPERIAL if unit == "in" else UnitSystem.METRIC


def sizes_said(dossier: Dossier, place: Place, measurand: Measurand, unit: str) -> str:
    """What the yard has entered to hold a reading against, in words."""
    system = _system(unit)
    for limit in dossier.limits:
        if (limit.part, limit.measurand) == (place.part, measurand):
            new = f"New {show_length(limit.new_m, system)}"
            return new if limit.limit_m is None else f"{new}, limit {show_length(limit.limit_m, system)}"
    for band in dossier.bands:
        if (band.part, band.measurand) == (place.part, measurand):
            return f"Should be {show_length(band.least_m, system)} to {show_length(band.most_m, system)}"
    return ""


def spread_said(row: ReadingRow) -> str:
    """How far apart the repeats of one place lie, in words; empty below two."""
    if len(row.repeats_m) < 2:
        return ""
    apart = show_length(max(row.repeats_m) - min(row.repeats_m), _system(row.unit))
    return f"{len(row.repeats_m)} readings, {apart} apart"


def _place_fields(
    place: Place,
    readings: list[ReadingField],
    seen: Mapping[str, SeenRow],
    dossier: Dossier,
    route: Route | None,
) -> PlaceFields:
    here = place.key
    kinds = [kind for kind in FindingKind if place.part in CONSEQUENCES[kind].parts]
    fields = tuple(_seen_field(f"{here}:{kind.value}", kind, seen) for kind in kinds)
    done = any(field.settled for field in readings) or any(field.bad for field in fields)
    name = first_up(place_said(place, dossier.gear))
    spot = route.spots.get(here) if route is not None else None
    return PlaceFields(here, name, place.side.value, tuple(readings), fields, done, spot)


def _seen_field(key: str, kind: FindingKind, seen: Mapping[str, SeenRow]) -> SeenField:
    row = seen.get(key)
    if row is None:
        return SeenField(key, kind.label, "", "1", "", 0)
    return SeenField(key, kind.label, row.how_bad, str(row.count), row.note, row.version)
