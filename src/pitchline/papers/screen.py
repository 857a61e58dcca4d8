"""A verdict as one terminal screen: the same story as the paper, safe as plain text."""

from dataclasses import dataclass

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

from pitchline.judge.called import age_alone, counted_due, either_way, stakes_of
from pitchline.papers import names, words
from pitchline.papers.ground import ground_lines
from pitchline.papers.rows import HoursAxis, PartRow, SpanBar, hours_axis, part_rows
from pitchline.papers.story import Headline, boxes, call_said
from pitchline.papers.story_work import caution_titles, when_said
from pitchline.papers.whose_told import odd_in_short
from pitchline.trade.calls import HATCHES, Call, Stake
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.verdict import Job, PartVerdict, Verdict
from pitchline.words import counted, in_english, say, translated, worded
from pitchline.words.called import looked_said, machine_called, part_called
from pitchline.words.labels import brief as brief_label
from pitchline.words.labels import label, plural, singular

_HATCHED = {(): " ", (45,): "/", (45, 135): "#"}
MARKS = {call: f"[{_HATCHED[lines]}]" for call, lines in HATCHES.items()} | {Call.UNJUDGED: "[?]"}
_STYLES = {Call.UNJUDGED: "", Call.RUN: "", Call.BOOK: "bold", Call.STOP: "bold red"}
_SHORT = {
    in_english("no limit entered"): in_english("no limit"),
    in_english("reading held back"): in_english("held back"),
    in_english("adjusted, not worn"): in_english("adjusted"),
    in_english("by eye only"): in_english("by eye"),
}
_LEAST_BAR, _MOST_BAR, _BESIDE, _ROOMY = 8, 30, 80, 96
_NAME_MOST = 24
_JOBS, _LATER = 7, 2


@dataclass(frozen=True, slots=True)
class _Line:
    """One line of the calls table: a part, or several like parts that all run."""

    name: str
    left: PartVerdict | None
    right: PartVerdict | None


@dataclass(frozen=True, slots=True)
class _Form:
    """How the calls table is laid out at one width."""

    beside: bool
    used: int
    name: int
    bar: int


def verdict_screen(verdict: Verdict, units: UnitSystem = UnitSystem.METRIC, width: int = 100) -> RenderableType:
    """The verdict for a terminal; every state is told by a word and a mark, none by colour alone.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    units : UnitSystem
        Metric or imperial.
    width : int
        Columns of the terminal, from 40; about 50 lines come out at 100.
    """
    rule = Rule(style="", characters="-")
    return Group(
        _head(verdict, units, width),
        _headlines(verdict, width),
        _plain(say(verdict.headline), "bold"),
        *(_plain(say(one.said)) for one in verdict.mismatches),
        *([] if verdict.causes is None else [_plain(say(verdict.causes.headline))]),
        *(_plain(said) for said in odd_in_short(verdict)),
        rule,
        _calls(verdict, hours_axis(verdict), width),
        _key(verdict),
        rule,
        *_work(verdict),
        *_ground(verdict),
        *_rest(verdict),
    )


def _plain(text: str, style: str = "") -> Text:
    return Text(" ".join(text.replace(words.GAP, " ").splitlines()), style=style)


def _head(verdict: Verdict, units: UnitSystem, width: int) -> RenderableType:
    name = _plain(verdict.machine.name, "bold")
    call = _plain(f"{MARKS[verdict.call]} {_called_line(verdict)}", _STYLES[verdict.call])
    top: RenderableType = Group(name, call)
    if len(name) + len(call) + 3 <= width:
        top = Text("").join([name, Text(" " * (width - len(name) - len(call))), call])
    said = (names.machine_known(verdict.machine, units), *names.gear_said(verdict.gear, units))
    note = f" {verdict.machine.note}" if verdict.machine.note else ""
    about = f"{worded('As of {day}.', day=words.day(verdict.as_of))} {words.counts_from(verdict)}{note}"
    known = verdict.looked_at
    looked = looked_said(known) if known is not None and known[0] < known[1] else ""
    read = [_plain(f"{words.first_up(looked)}.", "bold")] if looked else []
    return Group(top, _plain("; ".join(said), "dim"), _plain(about, "dim"), *read)


def _called_line(verdict: Verdict) -> str:
    """The call on the machine, what it is about and what it means."""
    due_alone = stakes_of(verdict)[:1] == (Stake.FALLS_DUE,)
    called = label(verdict.call) if due_alone else machine_called(verdict, brief=True)
    return f"{called}{';' if ': ' in called else ':'} {call_said(verdict)}"


def _headlines(verdict: Verdict, width: int) -> RenderableType:
    cells = [_headline(one) for one in boxes(verdict)]
    if width < _BESIDE:
        return Padding(Group(*cells), (1, 0))
    grid = Table.grid(expand=True, padding=(0, 2, 0, 0))
    for _ in cells:
        grid.add_column(ratio=1)
    grid.add_row(*cells)
    return Padding(grid, (1, 0))


def _headline(one: Headline) -> Text:
    said = [_plain(one.label, "dim"), _plain(one.figure, "bold"), *map(_plain, one.lines)]
    return Text("\n").join(said)


def _form(lines: list[_Line], width: int) -> _Form:
    beside = width >= _BESIDE
    both = any(
        "/" in words.life_used(part) for line in lines for part in (line.left, line.right) if part is not None
    )
    starred = any(part.assumed_limit for line in lines for part in (line.left, line.right) if part is not None)
    used = (7 if both else 5) + starred if width >= _ROOMY or not beside else 0
    name = min(
        max(len(line.name) for line in lines) + (0 if beside else len(f", {label(Side.RIGHT)}")), _NAME_MOST
    )
    taken = 9 + 9 + 1 + (used + 1 if used else 0)
    bar = (width - name - 1) // (2 if beside else 1) - taken
    return _Form(beside, used, name, max(_LEAST_BAR, min(_MOST_BAR, bar)))


def _calls(verdict: Verdict, axis: HoursAxis, width: int) -> RenderableType:
    lines = _shortened_rows(verdict)
    form = _form(lines, width)
    table = Table(box=None, padding=(0, 1, 0, 0), pad_edge=False, show_edge=False, header_style="dim")
    table.add_column(translated("part"), width=form.name)
    for side in (label(Side.LEFT), label(Side.RIGHT)) if form.beside else (translated("call"),):
        table.add_column(side, no_wrap=True, width=8)
        if form.used:
            table.add_column(translated("used"), justify="right", no_wrap=True, width=form.used)
        table.add_column(translated("hours"), justify="right", no_wrap=True, width=8)
        table.add_column(f"0{f'{as_figure(axis.end_h)}':>{form.bar - 1}}", no_wrap=True, width=form.bar)
    for line in lines:
        _add_line(table, line, axis, form)
    return table


def _add_line(table: Table, line: _Line, axis: HoursAxis, form: _Form) -> None:
    parts = (line.left, line.right)
    cells = [_cells(part, axis, form) for part in parts]
    if form.beside:
        table.add_row(_plain(line.name), *cells[0], *cells[1])
        return
    for part, told in zip(parts, cells, strict=True):
        if part is not None:
            side = f", {label(part.place.side)}" if part.place.side.value else ""
            table.add_row(_plain(line.name + side), *told)


def _cells(part: PartVerdict | None, axis: HoursAxis, form: _Form) -> list[Text]:
    if part is None:
        return [Text("")] * (4 if form.used else 3)
    call = _plain(part_called(part) if part.call is Call.UNJUDGED else _marked(part.call), _STYLES[part.call])
    used = [_plain(words.life_used(part).replace(f"{words.GAP}/{words.GAP}", "/"))] if form.used else []
    seen, due, about = (
        ", ".join(label(finding.kind) for finding in part.findings),
        counted_due(part),
        _about(part, form),
    )
    if about:
        hours = translated("now") if part.call is Call.STOP else words.hours(due.middle) if due is not None else ""
        return [call, *used, _plain(hours, "bold"), _plain(about)]
    if due is None:
        said = names.hours_cell(part).replace(words.GAP, " ")
        short = next((translated(brief) for long, brief in _SHORT.items() if said == translated(long)), said)
        quiet = "" if said == call.plain else seen or short
        if len(quiet) > form.bar:
            alone = part.due if part.call is Call.UNJUDGED and not seen else None
            quiet = (f"({words.hours(alone.middle)})" if alone is not None else quiet)[: form.bar]
        return [call, *used, Text(""), _plain(quiet, "dim")]
    bar = bar_said(axis.band(due), form.bar)
    return [call, *used, _plain(words.hours(due.middle), "bold"), _plain(bar)]


def _marked(call: Call) -> str:
    return f"{MARKS[call]} {label(call)}"


def _about(part: PartVerdict, form: _Form) -> str:
    """What a call is about in the place of the range, where that is worth more than the range; else nothing."""
    both = either_way(part)
    if both is not None and part.call.asks:
        right, misread = words.hours(both.if_right_h), words.hours(both.if_misread_h)
        said = worded("{hours} or {others}", hours=right, others=misread).replace(words.GAP, " ")
        return said if len(said) <= form.bar else brief_label(Stake.MEASURE)
    if part.stake is Stake.SETTING:
        return translated("setting") if part.place.part is PartKind.TRACK_ADJUSTER else translated("sag")
    if part.stake is None or part.stake is Stake.FALLS_DUE:
        return ""
    brief = brief_label(part.stake)
    long = f"{brief}: {label(part.findings[0].kind)}" if part.findings else label(part.stake)
    return next((said for said in (long, brief) if len(said) <= form.bar), brief.split()[0])


def bar_said(band: SpanBar, width: int) -> str:
    """A range in characters: brackets at cautious and hopeful, an upright at the middle.

    Parameters
    ----------
    band : SpanBar
        The range as shares of the axis.
    width : int
        Characters of the whole axis, from 3.

    Returns
    -------
    str
        Such as "..(--|---)....", with ">" at its end where the range runs on.

    Examples
    --------
    >>> bar_said(SpanBar(0.2, 0.4, 0.8, False, False), 11)
    '..(-|---)..'
    """
    low, middle, high = (round(share * (width - 1)) for share in (band.low, band.middle, band.high))
    marks = ["."] * width
    marks[low : high + 1] = "-" * (high + 1 - low)
    marks[low], marks[high] = "(", ">" if band.runs_on else ")"
    if not band.off:
        marks[middle] = "|"
    return "".join(marks)


def _shortened_rows(verdict: Verdict) -> list[_Line]:
    """Numbered parts that ask for nothing share one line for each call, which shows the one due first on each side."""
    lines: list[_Line | list[PartRow]] = []
    running: dict[tuple[str, ...], list[PartRow]] = {}
    for row in part_rows(verdict):
        quiet = not any(part.call.asks or part.findings for part in row.both)
        if not (row.position and quiet and verdict.gear.count(row.part) > 1):
            lines.append(_Line(names.row_name(row.part, row.position, verdict.gear), row.left, row.right))
            continue
        alike = (row.part, *(part.call for part in row.both))
        if alike not in running:
            running[alike] = []
            lines.append(running[alike])
        running[alike].append(row)
    return [_merged(line) if isinstance(line, list) else line for line in lines]


def _merged(rows: list[PartRow]) -> _Line:
    numbers = names.numbers_said([row.position for row in rows], short=True)
    name = singular(rows[0].part) if len(rows) == 1 else plural(rows[0].part)
    return _Line(f"{name} {numbers}", _soonest([row.left for row in rows]), _soonest([row.right for row in rows]))


def _soonest(parts: list[PartVerdict | None]) -> PartVerdict | None:
    there = [part for part in parts if part is not None]
    return min(there, key=_first_due, default=None)


def _first_due(part: PartVerdict) -> float:
    due = counted_due(part)
    return due.middle if due is not None else float("inf")


def _key(verdict: Verdict) -> Text:
    unread = [part for part in verdict.parts if part.call is Call.UNJUDGED]
    marks = ", ".join(_marked(call) for call in Call if call is not Call.UNJUDGED)
    marks += (
        translated("; not read: no call")
        if any(part_called(part) == label(Call.UNJUDGED) for part in unread)
        else ""
    )
    marks += translated(", hours by age alone") if any(age_alone(part) for part in unread) else ""
    marks += translated("; *: by an assumed limit") if any(part.assumed_limit for part in verdict.parts) else ""
    merged = len(_shortened_rows(verdict)) < len(part_rows(verdict))
    several = translated(" Several parts on one line: the one due first.") if merged else ""
    return _plain(
        worded(
            "{marks}. ( 9 in 10 last past it, | middle, ) 1 in 10 lasts past it.{several}",
            marks=marks,
            several=several,
        ),
        "dim",
    )


def _work(verdict: Verdict) -> list[RenderableType]:
    if not verdict.jobs:
        return [_plain(translated("No work was found to fall due."))]
    table = Table.grid(padding=(0, 2, 0, 0), expand=True)
    table.add_column(no_wrap=True)
    table.add_column(ratio=1)
    table.add_column(ratio=1)
    table.add_column(no_wrap=True)
    table.add_column(justify="right", no_wrap=True)
    shown = _shown(verdict.jobs)
    titles, here = caution_titles(verdict.jobs), caution_titles(job for _, job in shown)
    for number, job in shown:
        what = words.first_up(names.job_said(job.kind, names.places_said(job.places, verdict.gear)))
        call = _plain(f"{number} {_marked(job.call)}", _STYLES[job.call])
        own = names.numbers_said(sorted(titles.index(title) + 1 for title in caution_titles((job,))), short=True)
        beware = _plain(f"! {own.replace(', ', ',')}" if own else "", "bold")
        both = names.explained(job, verdict)
        about = (
            f": {brief_label(job.stake)}"
            if job.stake in (Stake.UNSAFE, Stake.RUINS, Stake.CONFIRM, Stake.WORN_OUT)
            else ""
        )
        what += f" ({names.either_said(both)})" if both is not None else about
        table.add_row(call, _plain(what), _plain(_when(job)), beware, _plain(_price(job)))
    later = len(verdict.jobs) - len(shown)
    more = counted("{n} later job on the paper.", "{n} later jobs on the paper.", later).format(n=later)
    told: list[RenderableType] = [table, *([_plain(more)] if later else [])]
    if not titles:
        return told
    numbered = [f"{number} {title.lower()}" for number, title in enumerate(titles, 1) if title in here]
    cautions = worded("! Cautions, in full on the paper: {numbered}.", numbered=words.listed(numbered))
    return [*told, _plain(cautions, "bold")]


def _shown(jobs: tuple[Job, ...]) -> list[tuple[int, Job]]:
    """Every job to stop or to book for, and the next few of the later ones, each with its number on the paper."""
    numbered = list(enumerate(jobs, 1))
    later = [number for number, job in numbered if job.call is Call.RUN]
    room = max(_LATER, _JOBS - (len(jobs) - len(later)))
    left_out = set(later[room:]) if len(later) > room + 1 else set()
    return [(number, job) for number, job in numbered if number not in left_out]


def _when(job: Job) -> str:
    about = f", {words.when_about(job.dates)}" if job.dates and job.call is not Call.STOP else ""
    return when_said(job) + about


def _price(job: Job) -> str:
    return words.amount(job.price.usual, job.price.currency) if job.price else translated("not priced")


def _ground(verdict: Verdict) -> list[RenderableType]:
    """Ground fit under a line of its own; the outcome of each ground stands first on its line."""
    lines = ground_lines(verdict)
    if not lines:
        return []
    first, *others = lines
    told: list[RenderableType] = [Rule(style="", characters="-"), _plain(first, "bold")]
    return [*told, *(Padding(_plain(line), (0, 0, 0, 2)) for line in others)]


def _rest(verdict: Verdict) -> list[RenderableType]:
    remarks = len(verdict.remarks) - len(words.of_readings(verdict))
    counts = [
        (
            len(verdict.suspicions),
            counted("{n} reading that looks wrong", "{n} readings that look wrong", len(verdict.suspicions)),
        ),
        (remarks, counted("{n} remark", "{n} remarks", remarks)),
        (
            len(verdict.not_priced),
            counted("{n} thing not priced", "{n} things not priced", len(verdict.not_priced)),
        ),
    ]
    told = [text.format(n=number) for number, text in counts if number]
    asked = [_plain(f"[?] {line}") for line in _asked(verdict)]
    first = [_plain(worded("On the paper: {told}.", told=words.listed(told)))] if told else []
    return [*asked, *first, _plain(words.working_aid(), "dim")]


def _asked(verdict: Verdict) -> list[str]:
    """Readings held back until somebody answers, and those that are doubted together; they must not wait for the paper."""
    held = [
        worded("Held back: {suspects}", suspects=say(suspicion.suspects))
        for suspicion in verdict.suspicions
        if suspicion.held
    ]
    return [*held, *words.of_readings(verdict)]
