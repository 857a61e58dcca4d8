"""The work of one machine as a workbook: jobs, stops, order list, worth. Every text is a text cell, never a formula."""

import datetime as dt
import io
import re
from collections.abc import Sequence
from typing import Any, TypeAlias

import xlsxwriter

from pitchline.judge.age import age_of
from pitchline.money.amount import Money
from pitchline.money.tax import with_tax
from pitchline.papers import names, words
from pitchline.papers.stop import PlannedStop, not_in
from pitchline.papers.story_work import because_said
from pitchline.papers.work_order import where_said
from pitchline.picture.part_words import invented
from pitchline.trade.calls import Call
from pitchline.trade.writing import as_figure
from pitchline.verdict import Dates, HoursLeft, Job, Verdict
from pitchline.words import say, translated, worded
from pitchline.words.called import looked_said, machine_called
from pitchline.words.labels import label

Cell: TypeAlias = str | int | float | dt.date | None
_WIDEST = 60
_HOURS = ("cautious h", "middle h", "hopeful h")
_NOW: tuple[Cell, ...] = (0.0, 0.0, 0.0)
_DAYS = ("cautious day", "middle day", "hopeful day")
_PRICES = ("price low", "price usual", "price high", "currency")
JOB_COLUMNS = (
    "lay-up", "call", "call about", "job", "where", *_HOURS, *_DAYS, "chance in window", "labour h", *_PRICES, "not priced",
    "why", "cautions", "overdue",
)  # fmt: skip
"""Heads are said in the language in force: a workbook is read by people, and none of it is read back."""
STOP_COLUMNS = ("lay-up", "at service h", "day", "labour h", "what", "amount", "currency", "overdue since")
ORDER_COLUMNS = ("lay-up", "list", "count", "what", "where", "note", "on the shelf", "to order")
_THREE = ("cautious", "middle", "hopeful")
WORTH_COLUMNS = (
    "part", "as new", "currency", *(f"life left, {each}" for each in _THREE),
    *(f"worth left in it, {each}" for each in _THREE), "to put right now",
)  # fmt: skip
BID_COLUMNS = ("line", *_THREE, "currency", "why")
ABOUT_COLUMNS = ("what", "said")
ADDED = "invented"
TITLES = ("jobs", "lay-ups", "order list", "worth", "bid", "about")
_TITLE_MOST = 31
"""Letters of a sheet's name, as spreadsheets have it."""


def workbook_xlsx(verdict: Verdict, stops: Sequence[PlannedStop]) -> bytes:
    """A workbook of the work, the same bytes for the same input.

    Parameters
    ----------
    verdict : Verdict
        The machine and its jobs; those in no stop are listed without one.
    stops : sequence of PlannedStop
        The stops, in order.

    Returns
    -------
    bytes
        An .xlsx file with the sheets jobs, stops, order list, worth and bid (where there are any), and about. Texts are written
        as text cells with the mark that keeps them texts when edited; there is no formula and no link in it.

    References
    ----------
    ECMA-376 (Office Open XML); the layout is our own.
    """
    stream = io.BytesIO()
    settings = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    book = xlsxwriter.Workbook(stream, {"in_memory": True} | settings)
    book.set_properties(
        {
            "title": worded("Work on {machine}", machine=verdict.machine.name),
            "author": f"pitchline {verdict.version}",
            "created": dt.datetime(verdict.as_of.year, verdict.as_of.month, verdict.as_of.day),  # noqa: DTZ001
        }
    )
    for title, columns, rows in _sheets(verdict, stops):
        _put_sheet(book, title, columns, rows)
    book.close()
    return stream.getvalue()


def _sheets(
    verdict: Verdict, stops: Sequence[PlannedStop]
) -> list[tuple[str, tuple[str, ...], list[tuple[Cell, ...]]]]:
    numbered: list[tuple[Job, int | None]] = [(job, stop.number) for stop in stops for job in stop.jobs]
    numbered += [(job, None) for job in not_in(stops, verdict)]
    sheets: list[tuple[str, tuple[str, ...], list[tuple[Cell, ...]]]] = [
        ("jobs", JOB_COLUMNS, [_job_row(job, number, verdict) for job, number in numbered]),
        ("lay-ups", STOP_COLUMNS, [row for stop in stops for row in _stop_rows(stop, verdict)]),
        ("order list", ORDER_COLUMNS, [row for stop in stops for row in _order_rows(stop, verdict)]),
    ]
    if verdict.worth is not None:
        sheets.append(("worth", WORTH_COLUMNS, _worth_rows(verdict)))
    if verdict.bid is not None:
        sheets.append(("bid", BID_COLUMNS, _bid_rows(verdict)))
    if invented(verdict):  # rows are copied out of a workbook without its sheet about
        sheets = [
            (title, (*columns, ADDED), [(*row, translated(ADDED)) for row in rows])
            for title, columns, rows in sheets
        ]
    return [*sheets, ("about", ABOUT_COLUMNS, _about_rows(verdict))]


def _hours(left: HoursLeft | None) -> tuple[Cell, ...]:
    return (
        (None, None, None)
        if left is None
        else tuple(round(x, 1) for x in (left.cautious, left.middle, left.hopeful))
    )


def _days(dates: Dates | None) -> tuple[Cell, ...]:
    return (None, None, None) if dates is None else (dates.cautious, dates.middle, dates.hopeful)


def _money(money: Money | None) -> tuple[Cell, ...]:
    if money is None:
        return (None, None, None, None)
    return (*(round(figure, 2) for figure in (money.low, money.usual, money.high)), money.currency)


def _job_row(job: Job, stop: int | None, verdict: Verdict) -> tuple[Cell, ...]:
    return (
        stop,
        label(job.call),
        label(job.stake) if job.stake is not None else "",
        label(job.kind),
        names.places_said(job.places, verdict.gear).replace(words.GAP, " "),
        *(_NOW if job.call is Call.STOP else _hours(job.due)),
        *(3 * (verdict.as_of,) if job.call is Call.STOP else _days(job.dates)),
        round(job.chance_in_window, 3),
        job.labour_h,
        *_money(job.price),
        "; ".join(map(say, job.not_priced)),
        because_said(job, verdict).replace(words.GAP, " "),
        ", ".join(label(caution) for caution in job.cautions),
        translated("yes") if names.is_overdue(job) else "",
    )


def _stop_rows(stop: PlannedStop, verdict: Verdict) -> list[tuple[Cell, ...]]:
    """The jobs, the charges, and their sum; tax apart."""
    at_h = round(verdict.from_service_h + stop.at_h, 1)
    head: tuple[Cell, ...] = (stop.number, at_h, stop.day if stop.dated else None, round(stop.order.labour_h, 2))
    lines: list[tuple[str, float | None]] = [
        (_job_said(job, verdict), round(job.price.usual, 2) if job.price else None) for job in stop.jobs
    ]
    lines += [(say(charge.words), round(charge.amount, 2)) for charge in stop.charges]
    price = stop.price
    if price is not None:
        lines.append((translated("sum without tax, usual"), round(price.usual, 2)))
        if stop.tax_rate is not None:
            taxed = with_tax(price, stop.tax_rate)
            lines += [
                (worded("tax, {rate} %", rate=as_figure(stop.tax_rate * 100, ".4g")), taxed.tax.usual),
                (translated("sum with tax"), taxed.gross.usual),
            ]
    return [(*head, what, amount, stop.currency, stop.overdue_since) for what, amount in lines]


def _job_said(job: Job, verdict: Verdict) -> str:
    return names.job_said(job.kind, names.places_said(job.places, verdict.gear)).replace(words.GAP, " ")


def _order_rows(stop: PlannedStop, verdict: Verdict) -> list[tuple[Cell, ...]]:
    lists = (
        (translated("part"), stop.order.parts),
        (translated("to find out"), stop.order.ask),
        (translated("used up"), stop.order.consumables),
        (translated("taken off and refitted"), stop.order.handled),
    )
    return [
        (
            stop.number,
            name,
            line.count,
            say(line.words),
            where_said(line.places, verdict).replace(words.GAP, " "),
            say(line.note),
            line.on_shelf,
            None if line.on_shelf is None or line.count is None else line.count - line.on_shelf,
        )
        for name, lines in lists
        for line in lines
    ]


def _worth_rows(verdict: Verdict) -> list[tuple[Cell, ...]]:
    worth = verdict.worth
    if worth is None:
        return []
    rows: list[tuple[Cell, ...]] = [
        (
            names.place_said(part.place, verdict.gear).replace(words.GAP, " "),
            round(part.installed.usual, 2),
            part.installed.currency,
            *(round(share, 3) for share in (part.cautious, part.usual, part.hopeful)),
            *_money(part.worth_left)[:3],
            translated("yes") if part.put_right else "",
        )
        for part in worth.parts
    ]
    return rows + [
        (worded("not counted: {said}", said=say(said)), *(None,) * (len(WORTH_COLUMNS) - 2), "")
        for said in worth.left_out
    ]


def _bid_rows(verdict: Verdict) -> list[tuple[Cell, ...]]:
    if verdict.bid is None:
        return []
    rows: list[tuple[Cell, ...]] = [
        (say(line.words), *_money(line.amount), say(line.because)) for line in verdict.bid.lines
    ]
    rows.append((translated("comes to"), *_money(verdict.bid.worth_it), translated("Sum of the lines.")))
    return [*rows, (translated("offer"), *_money(verdict.bid.offer), say(verdict.bid.caution))]


def _about_rows(verdict: Verdict) -> list[tuple[Cell, ...]]:
    rows: list[tuple[Cell, ...]] = [
        (translated("machine"), verdict.machine.name),
        (translated("short name"), verdict.machine.machine_id),
        *(((translated("known by"), which),) if (which := names.which_one(verdict.machine)) else ()),
        (translated("note"), verdict.machine.note),
        (translated("as of"), verdict.as_of),
        *(((translated("readings"), say(age)),) if (age := age_of(verdict)) is not None else ()),
        (translated("service hours then"), round(verdict.from_service_h, 1)),
        (translated("looked at"), looked_said(verdict.looked_at)),
        (
            translated("hours left"),
            translated("counted from there: 9 in 10 last past the cautious, 1 in 10 past the hopeful"),
        ),
        (translated("prices"), translated("without tax, unless a line says otherwise")),
        (translated("call"), machine_called(verdict)),
        (translated("verdict"), say(verdict.headline)),
        (translated("made by"), f"pitchline {verdict.version}, {translated(verdict.method)}"),
        (translated("caution"), words.working_aid()),
    ]
    worth = verdict.worth
    if worth is not None:
        for what, money in (
            (translated("running gear as new"), worth.as_new),
            (translated("running gear worth now"), worth.left),
            (translated("running gear half worn"), worth.half_worn),
            (translated("against half worn"), worth.against_half),
            (translated("to put right now"), worth.put_right),
        ):
            low, usual, high = (as_figure(amount, ",.2f") for amount in (money.low, money.usual, money.high))
            rows.append((what, f"{money.currency} {usual}, {words.between(low, high)}"))
    return rows


def _put_sheet(book: Any, title: str, columns: tuple[str, ...], rows: list[tuple[Cell, ...]]) -> None:
    text = book.add_format({"num_format": "@", "quote_prefix": True, "valign": "top", "text_wrap": True})
    head = book.add_format({"num_format": "@", "quote_prefix": True, "bold": True, "bottom": 1})
    day = book.add_format({"num_format": "yyyy-mm-dd", "valign": "top", "align": "left"})
    number = book.add_format({"num_format": "#,##0.##", "valign": "top"})
    share = book.add_format({"num_format": "0.000", "valign": "top"})
    whole = book.add_format({"num_format": "0", "valign": "top"})
    money = book.add_format({"num_format": "#,##0.00", "valign": "top"})
    sheet = book.add_worksheet(_sheet_name(book, title))
    for column, name in enumerate(columns):
        shown = translated(name)
        _put_text(sheet, 0, column, shown, head)
        sheet.set_column(column, column, _width([shown, *(_shown(row[column]) for row in rows)]))
    for at, row in enumerate(rows, start=1):
        for column, cell in enumerate(row):
            if isinstance(cell, dt.date):
                sheet.write_datetime(at, column, dt.datetime(cell.year, cell.month, cell.day), day)  # noqa: DTZ001
            elif isinstance(cell, int):
                sheet.write_number(at, column, cell, whole)
            elif isinstance(cell, float):
                name = columns[column]
                style = money if name.startswith(("price", "amount", "as new", "worth", *_THREE)) else number
                sheet.write_number(at, column, cell, share if name.startswith(("life", "chance")) else style)
            elif cell is not None:
                _put_text(sheet, at, column, cell, text)
    sheet.freeze_panes(1, 0)
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)


def _sheet_name(book: Any, title: str) -> str:
    """A sheet's name in the language in force; in English where a spreadsheet would refuse that."""
    said = re.sub(r"[\[\]:*?/\\]", " ", translated(title))[:_TITLE_MOST].strip("' ")
    return said if said and said.lower() not in map(str.lower, book.sheetnames) else title


def _put_text(sheet: Any, row: int, column: int, text: str, style: Any) -> None:
    """The text as it is; a spreadsheet's own limit would drop it without a word, so that it must not be reached."""
    if sheet.write_string(row, column, text, style) != 0:
        raise AssertionError("a text longer than a cell can hold")


def _shown(cell: Cell) -> str:
    return "" if cell is None else cell.isoformat() if isinstance(cell, dt.date) else str(cell)


def _width(texts: Sequence[str]) -> float:
    return min(max(len(text) for text in texts) + 2, _WIDEST)
