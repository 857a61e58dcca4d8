"""The yard's price list, in and out, as CSV or workbook.

See docs/reference/price-list.md.
"""

from functools import partial
from pathlib import Path

from pitchline.exchange.figures import exact_number, number_of
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.price_figures import (
    CLASS_COLUMNS,
    class_cells,
    class_of,
    months_of,
    owning_of,
    owning_texts,
    percent,
    tax_of,
)
from pitchline.exchange.table import Layout, Table, TableLine, read_table, rows_of_file, write_table
from pitchline.exchange.words import job_of, look_up, part_of, plain
from pitchline.money.machine_class import EVERY, MachineClass
from pitchline.money.owning import OWNING_WORDS
from pitchline.money.prices import FIGURE_WORDS, ClassFigure, ClassOwning, PriceLine, PriceList
from pitchline.money.stop_costs import StopCosts
from pitchline.money.usual_jobs import USUAL_JOBS
from pitchline.trade.errors import InputError, phrase
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import MachineKind
from pitchline.trade.parts import PartKind
from pitchline.words.catalogue import in_english
from pitchline.words.names import named

_STOP = {words: name for name, words in FIGURE_WORDS.items() if name != "labour_per_h"}
"""Head entries of a stop's cost, and their names in the core."""
_OWNING = {words: name for name, words in OWNING_WORDS.items()}
PRICES = Layout(
    title="prices",
    heads=("currency", "labour per hour", "source", "tax percent", *_STOP, "busy months", *_OWNING),
    columns=("job", "part", "per", "price low", "price usual", "price high", "labour hours"),
    anchors=("job", "part", "price usual"),
    must=("labour hours",),
    further=CLASS_COLUMNS,
)
_PER = {"each": "each", "piece": "piece"}
_PER_BEFORE = {"place": "each"}
_FIGURES = {plain(words): name for words, name in (*_STOP.items(), *_OWNING.items())} | {
    plain("labour per hour"): "labour_per_h"
}
"""What may stand in the job column for a class of machine beside a job."""
_TO_FILL_IN = ("price low", "price usual", "price high", "labour hours")
"""A row without any of these is one of a blank that nobody has filled in."""
_LINE_ALONE = ("part", "per", "price low", "price high", "labour hours")


def _line(line: TableLine, gathering: Gathering) -> PriceLine | None:
    row = line.row
    which = class_of(line, gathering)
    job = gathering.attempt(partial(job_of, line.word("job")), row)
    part = gathering.attempt(partial(part_of, line.word("part")), row)
    per = gathering.attempt(
        partial(look_up, line.word("per") or "each", _PER | _PER_BEFORE, "per", ", ".join(_PER)), row
    )
    usual = gathering.attempt(partial(number_of, line.word("price usual"), "price usual"), row)
    prices = [usual, usual, usual]
    for index, column in ((0, "price low"), (2, "price high")):
        if line.word(column):
            prices[index] = gathering.attempt(partial(number_of, line.word(column), column), row)
    labour_h = gathering.attempt(partial(number_of, line.word("labour hours") or "0", "labour hours"), row)
    low, usual, high = prices
    if (
        which is None
        or job is None
        or part is None
        or per is None
        or labour_h is None
        or low is None
        or usual is None
        or high is None
    ):
        return None
    return gathering.attempt(partial(PriceLine, job, part, low, usual, high, labour_h, per, which), row)


def _figure(line: TableLine, gathering: Gathering) -> tuple[str, MachineClass] | None:
    """Which figure of which class a row tells; None, with its problems noted, where it tells none."""
    which = class_of(line, gathering)
    for column in _LINE_ALONE:
        if line.word(column):
            said = phrase("nothing beside {job}: it is one figure, under price usual", job=line.word("job"))
            gathering.add(column, line.word(column), said, "Empty the cell.", line.row)
    if which == EVERY:
        words = line.word("job")
        step = in_english("Say the class, or put it into the head of the file.")
        gathering.add(words, phrase("all machines"), "a class of machine", step, line.row)
        return None
    return (_FIGURES[plain(line.word("job"))], which) if which is not None else None


class _Taken:
    """What the rows of the table told so far, so that each thing is told once for a class and no two classes overlap."""

    def __init__(self, gathering: Gathering) -> None:
        self.gathering = gathering
        self.known: dict[object, dict[MachineClass, int]] = {}

    def takes(self, what: object, said: str, which: MachineClass, row: int) -> bool:
        """Whether this is the first row that says it."""
        rows = self.known.setdefault(what, {})
        first = rows.setdefault(which, row)
        if first != row:
            step = in_english("Delete one of the rows.")
            self.gathering.add(
                "job",
                phrase("{said} again", said=said),
                phrase("once; it stands in row {first} already", first=first),
                step,
                row,
            )
            return False
        beside = next((at for other, at in rows.items() if other != which and which.overlaps(other)), None)
        if beside is not None:
            allowed = phrase("a class that does not overlap that of row {beside}", beside=beside)
            self.gathering.add("mass from", said, allowed, "Let one begin where the other ends.", row)
        return beside is None


def _rows(
    table: Table, gathering: Gathering
) -> tuple[tuple[PriceLine, ...], tuple[ClassFigure, ...], tuple[ClassOwning, ...]]:
    """Lines, figures of classes and what their standing hours are reckoned from."""
    taken, lines, figures = _Taken(gathering), list[PriceLine](), list[ClassFigure]()
    owning: dict[MachineClass, list[tuple[str, str, int]]] = {}
    for each in table.lines:
        if not any(each.word(column) for column in _TO_FILL_IN):
            continue
        if plain(each.word("job")) not in _FIGURES:
            line = _line(each, gathering)
            if line is not None:
                said = phrase("{job:job} {part:part}", job=line.job, part=line.part)
                if taken.takes((line.job, line.part), said, line.which, each.row):
                    lines.append(line)
            continue
        found = _figure(each, gathering)
        if found is None or not taken.takes(found[0], each.word("job"), found[1], each.row):
            continue
        name, which, text = *found, each.word("price usual")
        if name in OWNING_WORDS:
            owning.setdefault(which, []).append((name, text, each.row))
            continue
        amount = gathering.attempt(partial(number_of, text, "price usual"), each.row)
        if amount is not None:
            figures.append(ClassFigure(name, amount, which))
    _one_standing(figures, owning, gathering)
    reckoned = [(owning_of(entered, gathering), which) for which, entered in owning.items()]
    return tuple(lines), tuple(figures), tuple(ClassOwning(one, which) for one, which in reckoned if one)


def _one_standing(
    figures: list[ClassFigure], owning: dict[MachineClass, list[tuple[str, str, int]]], gathering: Gathering
) -> None:
    """A standing hour is entered or reckoned: not both for one class."""
    for figure in figures:
        if figure.name == "standing_per_h" and figure.which in owning:
            row = owning[figure.which][0][2]
            step = in_english("Leave one of them out.")
            gathering.add("standing per hour", "both", "entered, or reckoned from owning figures", step, row)


def _tax(table: Table, gathering: Gathering) -> float | None:
    text = table.head_text("tax percent")
    return gathering.attempt(partial(tax_of, text), table.head_row("tax percent")) if text.strip() else None


def _owning(table: Table, gathering: Gathering) -> tuple[ClassOwning, ...]:
    """What all machines' standing hour is reckoned from, out of the head."""
    entered = [
        (name, table.head_text(words), table.head_row(words))
        for words, name in _OWNING.items()
        if table.head_text(words).strip()
    ]
    found = owning_of(entered, gathering) if entered else None
    if found is not None and table.head_text("standing per hour").strip():
        row, step = table.head_row("standing per hour"), in_english("Leave one of them out.")
        gathering.add("standing per hour", "both", "entered, or reckoned from owning figures", step, row)
    return (ClassOwning(found),) if found is not None else ()


def _stop(table: Table, gathering: Gathering) -> StopCosts | None:
    """The yard's cost of a stop; None where nothing of it is entered, or something of it is wrong."""
    entered = {key: table.head_text(key) for key in (*_STOP, "busy months") if table.head_text(key).strip()}
    if not entered:
        return None
    before = len(gathering.problems)
    figures = {
        _STOP[key]: gathering.attempt(partial(number_of, text, key), table.head_row(key))
        for key, text in entered.items()
        if key != "busy months"
    }
    row = table.head_row("busy months")
    months = gathering.attempt(partial(months_of, entered.get("busy months", "")), row) or ()
    if len(gathering.problems) > before:
        return None
    at = row if "busy months" in entered else table.head_row("standing per hour busy")
    return gathering.attempt(lambda: StopCosts(**figures, busy_months=months), at)


def read_prices(path: Path) -> PriceList:
    """A yard's price list.

    Returns
    -------
    PriceList
        Its lines in the order of the rows; an empty low or high price equals the usual one.

    Raises
    ------
    InputError
        With every problem of the file.
    """
    gathering = Gathering(path.name)
    table = read_table(path, PRICES, gathering)
    rate_row = table.head_row("labour per hour")
    rate = gathering.attempt(partial(number_of, table.head_text("labour per hour"), "labour per hour"), rate_row)
    currency = table.head_text("currency").strip()
    gathering.attempt(partial(PriceList, currency, 0.0, ()), table.head_row("currency"))
    tax_rate, stop, owning = _tax(table, gathering), _stop(table, gathering), _owning(table, gathering)
    lines, figures, of_classes = _rows(table, gathering)
    busy = [each for each in table.lines if plain(each.word("job")) == plain("standing per hour busy")]
    if busy and not table.head_text("busy months").strip():
        step = in_english("Enter them and the rate for all machines in the head.")
        gathering.add("busy months", phrase("nothing"), "months from 1 to 12, such as 4-10", step, busy[0].row)
    gathering.raise_if_any()
    if rate is None:
        raise AssertionError("a list without problems has a labour rate")
    source = table.head_text("source")
    return PriceList(currency, rate, lines, source, tax_rate, stop, figures, (*owning, *of_classes))


def rows_as_sent(path: Path) -> list[str]:
    """Each row of a price list's file as it was sent, its cells parted by bars; none where it cannot be read at all.

    Returns
    -------
    list of str
        In the order of the rows, blank ones included.
    """
    try:
        rows = rows_of_file(path, PRICES)
    except InputError:
        return []
    return [" | ".join(cells).rstrip(" |") for cells in rows]


def _head(prices: PriceList) -> list[tuple[str, str]]:
    """The head block; of tax and the cost of a stop what is not entered is left out."""
    head = [
        ("currency", prices.currency),
        ("labour per hour", exact_number(prices.labour_per_h)),
        ("source", prices.source),
    ]
    head += [] if prices.tax_rate is None else [("tax percent", percent(prices.tax_rate))]
    if prices.stop is not None:
        for key, name in _STOP.items():
            figure = getattr(prices.stop, name)
            head += [] if figure is None else [(key, exact_number(figure))]
        months = ", ".join(str(month) for month in prices.stop.busy_months)
        head += [("busy months", months)] if months else []
    of_all = [one.owning for one in prices.owning if one.which == EVERY]
    return head + [entry for owning in of_all for entry in owning_texts(owning).items()]


def _cells(prices: PriceList) -> list[dict[str, str]]:
    """The rows of the table."""
    lines = [
        {
            "job": named(line.job),
            "part": named(line.part),
            "per": line.per,
            "price low": exact_number(line.price_low),
            "price usual": exact_number(line.price_usual),
            "price high": exact_number(line.price_high),
            "labour hours": exact_number(line.labour_h),
            **class_cells(line.which),
        }
        for line in prices.lines
    ]
    figures = [(FIGURE_WORDS[one.name], exact_number(one.amount), one.which) for one in prices.figures]
    for one in prices.owning:
        if one.which != EVERY:
            figures += [(words, text, one.which) for words, text in owning_texts(one.owning).items()]
    return lines + [{"job": words, "price usual": text, **class_cells(which)} for words, text, which in figures]


def write_prices(prices: PriceList, path: Path) -> None:
    """Nothing comes out; afterwards the file holds the price list.

    Raises
    ------
    InputError
        Another file ending, a place that cannot be written to, or a text no sheet can hold.
    """
    _write(path, _head(prices), _cells(prices))


def write_blank_prices(path: Path) -> None:
    """Nothing comes out; afterwards the file holds every head entry and a line for each usual job, to be filled in.

    Raises
    ------
    InputError
        Another file ending, or a place that cannot be written to.
    """
    lines = [
        {"job": named(job), "part": named(part), "per": per} | dict.fromkeys(CLASS_COLUMNS, "")
        for (job, part), per in USUAL_JOBS.items()
    ]
    _write(path, [(key, "") for key in PRICES.heads], lines, blank=True)


def _write(path: Path, head: list[tuple[str, str]], lines: list[dict[str, str]], blank: bool = False) -> None:
    used = [column for column in CLASS_COLUMNS if blank or any(line.get(column) for line in lines)]
    lists = {
        "job": [named(job) for job in JobKind],
        "per": list(_PER),
        "part": [named(part) for part in PartKind],
    }
    lists |= {"family": [named(kind) for kind in MachineKind]} if "family" in used else {}
    write_table(path, PRICES, head, lines, (*PRICES.columns, *used), lists)
