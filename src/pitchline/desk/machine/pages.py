"""What the pages of one machine show, put together from its verdict; no figure is computed here."""

from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils.safestring import SafeString

from pitchline.desk.bridge.sheet_rows import ReadingRow, Sheet
from pitchline.desk.bridge.sheets import finding_of, place_of, reading_of
from pitchline.desk.drawing import SMALL, WIDE, inline
from pitchline.desk.machine.closer import closer_look
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import rows_on
from pitchline.judge.called import counted_due, either_way
from pitchline.papers import words
from pitchline.papers.causes_told import ToldCauses, told_causes
from pitchline.papers.names import either_said, hours_cell, place_said
from pitchline.papers.rows import HoursAxis, hours_axis
from pitchline.papers.story import Headline, boxes
from pitchline.papers.story_work import told_jobs, told_rest_on, told_suspicions
from pitchline.papers.whose_told import ToldIdentity, told_identity
from pitchline.papers.worth_told import WorthTold, told_worth
from pitchline.picture.part import part_svg
from pitchline.picture.part_words import call_said
from pitchline.picture.record import record_svg
from pitchline.picture.side import side_svg
from pitchline.stops.doubted import tells_of_misreading
from pitchline.trade.calls import Call, Stake
from pitchline.trade.dossier import Dossier
from pitchline.trade.findings import tells_of, why_it_matters
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import Place, Side
from pitchline.trade.units import UnitSystem, show_length
from pitchline.verdict import Judged, PartVerdict, Verdict, Why
from pitchline.words import say, translated, worded
from pitchline.words.called import call_word, limit_called, looked_said, machine_called, part_called
from pitchline.words.carried import note_said
from pitchline.words.labels import brief, label, quantity

BAND_WIDE = 300


@dataclass(frozen=True, slots=True)
class PartLine:
    """One part in the machine's table.

    Parameters
    ----------
    key, name, call, label, about, said, reason, used : str
        Place key, name, call, its word, what it is about in two words at most, hours or what stands in their place, why, life
        used.
    low, middle, wide : int or None
        PermittedRange and upright, of 300; None without an outlook.
    alt : str
        The band in words.
    """

    key: str
    name: str
    call: str
    label: str
    about: str
    said: str
    reason: str
    used: str
    low: int | None = None
    middle: int | None = None
    wide: int | None = None
    alt: str = ""


@dataclass(frozen=True, slots=True)
class MachinePage:
    """A judged machine.

    Parameters
    ----------
    verdict : Verdict
        As it was given.
    boxes : tuple of Headline
        The three headline figures.
    side : str
        The side drawn.
    drawing, drawing_small : SafeString
        The side elevation for a desk and for a phone.
    parts : tuple of PartLine
        Most pressing first.
    axis : HoursAxis
        The hours axis of the bands.
    jobs : list of dict
        As the paper tells them.
    suspicions, rest_on : list
        Readings that look wrong, each with its part's address and whether it is held back; what the figures assume.
    worth : WorthTold or None
        What the running gear is worth; None without prices, or where nothing that was read is priced.
    judged_for, counts_from, aid : str
        The day, and how old the readings are; from which hours everything counts; that this is no licence.
    """

    verdict: Verdict
    boxes: tuple[Headline, Headline, Headline]
    side: str
    drawing: SafeString
    drawing_small: SafeString
    parts: tuple[PartLine, ...]
    axis: HoursAxis
    jobs: list[dict[str, object]]
    suspicions: list[tuple[str, str, bool]]
    rest_on: list[dict[str, str]]
    worth: WorthTold | None
    judged_for: str
    counts_from: str
    aid: str

    @property
    def causes(self) -> ToldCauses | None:
        """Why it wears so."""
        return told_causes(self.verdict)

    @property
    def whose(self) -> ToldIdentity | None:
        """Whether the running gear is what is said of its machine."""
        return told_identity(self.verdict)

    @property
    def called(self) -> str:
        """The machine's call with what it is about."""
        return machine_called(self.verdict)

    @property
    def doubts(self) -> tuple[str, ...]:
        """Remarks that ask whether readings are right."""
        return words.of_readings(self.verdict)

    @property
    def by_assumed_limit(self) -> bool:
        """Whether a figure of any part rests on an assumed limit."""
        return any(part.assumed_limit for part in self.verdict.parts)

    @property
    def looked(self) -> str:
        """How much was looked at; empty where that is not known."""
        return looked_said(self.verdict.looked_at)

    @property
    def looks(self) -> tuple[str, ...]:
        """The call of every part for a box each, most pressing first; none where it is not known how much was looked at."""
        return tuple(part.call for part in self.parts) if self.looked else ()

    @property
    def held(self) -> int:
        """How many readings wait for an answer."""
        return sum(held for _, _, held in self.suspicions)

    @property
    def pressing(self) -> tuple[PartLine, ...]:
        """Parts something is to be done about."""
        return tuple(part for part in self.parts if Call(part.call).asks)

    @property
    def running(self) -> tuple[PartLine, ...]:
        """Parts that run on."""
        return tuple(part for part in self.parts if part.call == Call.RUN.value)

    @property
    def unjudged(self) -> tuple[PartLine, ...]:
        """Parts without a call: not read, or no limit to judge by."""
        return tuple(part for part in self.parts if part.call == Call.UNJUDGED.value)

    @property
    def due_jobs(self) -> list[dict[str, object]]:
        """Jobs called stop or book."""
        return [job for job in self.jobs if job["call"] != Call.RUN.value]

    @property
    def later_jobs(self) -> list[dict[str, object]]:
        """Jobs that fall due after the booking window."""
        return [job for job in self.jobs if job["call"] == Call.RUN.value]

    @property
    def ahead(self) -> str:
        """How far ahead work is booked."""
        return words.window_ahead(self.verdict)


def machine_page(machine: Machine, verdict: Verdict, side: Side | None, units: UnitSystem) -> MachinePage:
    """What the machine's page shows; without a side the one that presses more."""
    side = side or pressing_side(verdict)
    links = _links(machine, verdict)
    axis = hours_axis(verdict)
    return MachinePage(
        verdict=verdict,
        boxes=boxes(verdict),
        side=side.value,
        drawing=inline(side_svg(verdict, side, WIDE, units, prefix="side"), "side", links),
        drawing_small=inline(side_svg(verdict, side, SMALL, units, prefix="sidesmall"), "sidesmall", links),
        parts=part_lines(verdict, axis),
        axis=axis,
        jobs=_jobs(verdict),
        suspicions=[
            (part_address(machine, one.reading.place), said, one.held)
            for one, said in zip(verdict.suspicions, told_suspicions(verdict), strict=True)
        ],
        rest_on=told_rest_on(verdict),
        worth=told_worth(verdict.worth, verdict.bid) if verdict.worth is not None else None,
        judged_for=words.judged_for(verdict),
        counts_from=words.counts_from(verdict),
        aid=words.WORKING_AID,
    )


def part_lines(verdict: Verdict, axis: HoursAxis) -> tuple[PartLine, ...]:
    """Every part, most pressing first."""
    return tuple(_line(part, verdict, axis) for part in sorted(verdict.parts, key=_urgency))


def _jobs(verdict: Verdict) -> list[dict[str, object]]:
    """The jobs as the paper tells them; cautions told in full at an earlier job are named in one line."""
    jobs = told_jobs(verdict)
    for job, judged in zip(jobs, verdict.jobs, strict=True):
        job["kind"], job["what"] = judged.kind.value, label(judged.kind)
        cautions = job["cautions"]
        if isinstance(cautions, list):
            job["again"] = ", ".join(one["title"].lower() for one in cautions if not one["text"])
    return jobs


def part_address(machine: Machine, place: Place) -> str:
    """Address of a part's page."""
    return reverse("part", args=[machine.pk, place.key])


def _links(machine: Machine, verdict: Verdict) -> dict[str, tuple[str, str]]:
    return {
        part.place.key: (
            part_address(machine, part.place),
            f"{place_said(part.place, verdict.gear)}: {call_said(part)}".replace(words.GAP, " "),
        )
        for part in verdict.parts
    }


def _urgency(part: PartVerdict) -> tuple[int, float]:
    due = counted_due(part)
    return -part.call.rank, due.middle if due is not None else float("inf")


def pressing_side(verdict: Verdict) -> Side:
    """The side of the part that is most pressing; left where none is."""
    sides = (part.place.side for part in sorted(verdict.parts, key=_urgency) if part.call.asks)
    return next((side for side in sides if side in (Side.LEFT, Side.RIGHT)), Side.LEFT)


def _line(part: PartVerdict, verdict: Verdict, axis: HoursAxis) -> PartLine:
    due, both = counted_due(part), either_way(part)
    said = words.hours(due.middle) if due is not None else hours_cell(part)
    if part.call is Call.STOP:
        due, said = None, translated("now")
    if part.findings and part.call.asks and part.stake not in (Stake.CONFIRM, Stake.WORN_OUT, Stake.FALLS_DUE):
        said = label(part.findings[0].kind)
    if both is not None and part.call.asks:
        said = translated("{if_right_h} or {if_misread_h}").format(
            if_right_h=words.hours(both.if_right_h), if_misread_h=words.hours(both.if_misread_h)
        )
    line = PartLine(
        part.place.key,
        place_said(part.place, verdict.gear),
        part.call.value,
        call_word(part),
        brief(part.stake) if part.stake is not None and part.call.asks else "",
        said,
        _reason(part),
        words.life_used(part),
    )
    if due is None:
        return line
    band = axis.band(due)
    low, middle, high = (
        round(BAND_WIDE * min(max(share, 0.0), 1.0)) for share in (band.low, band.middle, band.high)
    )
    return PartLine(
        line.key, line.name, line.call, line.label, line.about, line.said, line.reason, line.used,
        low, middle, max(high - low, 2), words.range_said(due),
    )  # fmt: skip


def _reason(part: PartVerdict) -> str:
    """Why the call, what else was seen, and both explanations of a reading that is not understood."""
    both, sentences = either_way(part), [say(part.reason)]
    if both is not None and part.call.asks and not tells_of_misreading(part.reason):
        sentences.append(f"{words.first_up(either_said(both))}.")
    untold = [one for one in part.findings if not tells_of(part.reason, one.kind)]
    if untold:
        listed = words.listed([say(one.told()) for one in untold])
        sentences.append(translated("Seen too: {listed}.").format(listed=listed))
    return " ".join(sentences)


@dataclass(frozen=True, slots=True)
class ReadLine:
    """One reading of a part, as typed beside its value.

    Parameters
    ----------
    sheet : Sheet
        The walk-round.
    row : ReadingRow
        The line.
    key, label, typed, value, tool : str
        Line key, quantity, text as typed, value in the yard's units, tool.
    boxes : tuple of str
        The three fields it was typed in, as they stand.
    spans : bool
        Whether it is read over several joints.
    """

    sheet: Sheet
    row: ReadingRow
    key: str
    label: str
    typed: str
    boxes: tuple[str, ...]
    value: str
    tool: str
    spans: bool


@dataclass(frozen=True, slots=True)
class QuantityPage:
    """One quantity of a part: its record and why its figure.

    Parameters
    ----------
    label, status : str
        The quantity, and what could be done with it.
    drawing, drawing_small : SafeString or None
        The wear record; None where nothing was read.
    figures : tuple of (str, str)
        Each figure with its name.
    parted : str
        Why the judged figure parts from the read one or from the ruler's; empty where they agree.
    pale : bool
        Whether its hours are by age alone, and no call rests on them.
    why : tuple of Why
        Why these figures.
    closer : dict or None
        The record as figures, for a closer look.
    no_range : bool
        Whether it is set and nothing was entered to judge it by.
    """

    label: str
    status: str
    drawing: SafeString | None
    drawing_small: SafeString | None
    figures: tuple[tuple[str, str], ...]
    parted: str
    pale: bool
    why: tuple[Why, ...]
    closer: dict[str, Any] | None
    no_range: bool = False


@dataclass(frozen=True, slots=True)
class PartFigures:
    """What a judgement tells of one part.

    Parameters
    ----------
    part : PartVerdict
        The call on it.
    called, reason : str
        Its call with what it is about, and why.
    drawing, drawing_small : SafeString
        The part sheet.
    quantities : tuple of QuantityPage
        Each quantity.
    before, after : (str, str)
        Address and name of the parts beside it in walking order.
    """

    part: PartVerdict
    called: str
    reason: str
    drawing: SafeString
    drawing_small: SafeString
    quantities: tuple[QuantityPage, ...]
    before: tuple[str, str]
    after: tuple[str, str]


def part_figures(
    machine: Machine, verdict: Verdict, dossier: Dossier, place: Place, units: UnitSystem
) -> PartFigures:
    """What a part's page shows of the judgement."""
    at = [part.place for part in verdict.parts].index(place)
    part, count = verdict.parts[at], len(verdict.parts)
    draw = (verdict, place.part, place.position)
    beside = [verdict.parts[number % count].place for number in (at - 1, at + 1)]
    before, after = ((part_address(machine, one), place_said(one, verdict.gear)) for one in beside)
    return PartFigures(
        part=part,
        called=part_called(part),
        reason=_reason(part),
        drawing=inline(part_svg(*draw, WIDE, units, prefix="part"), "part", {}),
        drawing_small=inline(part_svg(*draw, SMALL, units, prefix="partsmall"), "partsmall", {}),
        quantities=_quantities(part, verdict, dossier, units),
        before=before,
        after=after,
    )


def _quantities(
    part: PartVerdict, verdict: Verdict, dossier: Dossier, units: UnitSystem
) -> tuple[QuantityPage, ...]:
    pages, drawn = [], False
    for judged in part.judged:
        wide = small = None
        if judged.reading is not None and not drawn:
            about = (verdict, part.place, judged.measurand, dossier.ground_spans)
            wide = inline(record_svg(*about, WIDE, units, prefix="record"), "record", {})
            small = inline(record_svg(*about, SMALL, units, prefix="recordsmall"), "recordsmall", {})
            drawn = True
        figures: list[tuple[str, str]] = []
        if judged.value_m is not None:
            doubt = f" {words.doubt(judged.expanded_u_m, units)}" if judged.expanded_u_m else ""
            held = translated(", held back") if judged.believed_m is None else ""
            figures.append((translated("newest"), words.length(judged.value_m, units) + doubt + held))
        if judged.new_m is not None:
            figures.append((translated("new"), words.length(judged.new_m, units)))
        if judged.limit_m is not None:
            figures.append((limit_called(judged), words.length(judged.limit_m, units)))
        if judged.life_used is not None:
            unread = translated(", by age alone") if _age_alone(judged, part) else ""
            figures.append((translated("life used"), words.both_used(judged) + unread))
        figures += _left(judged, part)
        band = dossier.range_of(part.place.part, judged.measurand)
        if band is not None:
            least, most = words.length(band.least_m, units), words.length(band.most_m, units)
            figures.append((translated("should be"), worded("{least} to {most}", least=least, most=most)))
        elif judged.measurand is Measurand.ADJUSTER_EXTENSION and dossier.gear.adjuster_stroke_m is not None:
            stroke = words.length(dossier.gear.adjuster_stroke_m, units)
            figures.append((translated("at most"), worded("{stroke}, its stroke", stroke=stroke)))
        label = quantity(judged.measurand)
        pages.append(
            QuantityPage(
                label,
                judged.status,
                wide,
                small,
                tuple(figures),
                say(judged.parted),
                _age_alone(judged, part),
                judged.why,
                closer_look(verdict, part, judged, units),
                dossier.range_missing(part.place.part, judged.measurand),
            )
        )
    return tuple(pages)


def _age_alone(judged: Judged, part: PartVerdict) -> bool:
    """Whether no reading of its own stands behind a quantity."""
    return part.call is Call.UNJUDGED or judged.reading is None


def _left(judged: Judged, part: PartVerdict) -> list[tuple[str, str]]:
    """Hours left with their ranges, the ruler's beside them, and both explanations of a reading that is not understood."""
    figures = []
    unread = translated(", by age alone") if _age_alone(judged, part) else ""
    for called, left in (
        (translated("to the turn"), judged.to_turn),
        (translated("to the limit"), judged.to_limit),
    ):
        if left is not None:
            figures.append((called, f"{words.hours(left.middle)}{unread}; {words.range_said(left)}"))
    if judged.ruler_h is not None:
        figures.append(
            (
                translated("at the rate so far"),
                translated("{ruler_h} to the limit, as a ruler draws it").format(
                    ruler_h=words.hours(judged.ruler_h)
                ),
            )
        )
    if judged.either_way is not None:
        figures.append((translated("measure again"), words.first_up(either_said(judged.either_way))))
    return figures


def read_lines(sheets: list[Sheet], dossier: Dossier, units: UnitSystem) -> list[ReadLine]:
    """Every reading on these finished sheets, newest first."""
    newest_first = sorted(sheets, key=lambda one: str(one.date or ""), reverse=True)
    return [_read_line(sheet, row, dossier, units) for sheet in newest_first for row in rows_on(sheet).readings]


def _read_line(sheet: Sheet, row: ReadingRow, dossier: Dossier, units: UnitSystem) -> ReadLine:
    measurand = Measurand(row.measurand)
    reading = reading_of(row, dossier)
    return ReadLine(
        sheet=sheet,
        row=row,
        key=f"{place_of(row).key}:{row.measurand}",
        label=quantity(measurand),
        typed=words.as_typed(reading) if reading is not None else "",
        boxes=(*row.typed, "", "", "")[:3],
        value=show_length(row.value_m, units) if row.value_m is not None else "",
        tool=translated(reading.tool.label) if reading is not None else row.tool,
        spans=MEASURANDS[measurand].spans_joints,
    )


def seen_lines(sheets: list[Sheet], dossier: Dossier) -> list[tuple[str, str, str, str]]:
    """Everything seen on these finished sheets, newest first: day, words, why it matters, and its kind."""
    found = []
    for sheet in sorted(sheets, key=lambda one: str(one.date or ""), reverse=True):
        for finding in (finding_of(row, dossier) for row in rows_on(sheet).seen):
            if finding is not None:
                said = say(finding.told()) + (f" (“{note}”)" if (note := note_said(finding)) else "")
                found.append(
                    (
                        words.day(sheet.date) if sheet.date is not None else "",
                        said,
                        say(why_it_matters(finding.kind)),
                        finding.kind.value,
                    )
                )
    return found
