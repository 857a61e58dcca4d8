"""The yard's price list, in and out, as CSV or workbook."""

from functools import partial
from pathlib import Path

from pitchline.exchange.figures import exact_number, number_of
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.table import Layout, Line, Table, read_table, write_table
from pitchline.exchange.words import job_of, look_up, part_of
from pitchline.money.prices import PriceLine, PriceList
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PARTS, PartKind

PRICES = Layout(
    title="prices",
    heads=("currency", "labour per hour", "source"),
    columns=("job", "part", "per", "price low", "price usual", "price high", "labour hours"),
    anchors=("job", "part", "price usual"),
    must=("labour hours",),
)
_PER = {"place": "place", "piece": "piece"}


def _line(line: Line, gathering: Gathering) -> PriceLine | None:
    row = line.row
    job = gathering.attempt(partial(job_of, line.word("job")), row)
    part = gathering.attempt(partial(part_of, line.word("part")), row)
    per = gathering.attempt(partial(look_up, line.word("per") or "place", _PER, "per"), row)
    usual = gathering.attempt(partial(number_of, line.word("price usual"), "price usual"), row)
    prices = [usual, usual, usual]
    for index, column in ((0, "price low"), (2, "price high")):
        if line.word(column):
            prices[index] = gathering.attempt(partial(number_of, line.word(column), column), row)
    labour_h = gathering.attempt(partial(number_of, line.word("labour hours") or "0", "labour hours"), row)
    low, usual, high = prices
    if (
        job is None
        or part is None
        or per is None
        or labour_h is None
        or low is None
        or usual is None
        or high is None
    ):
        return None
    return gathering.attempt(partial(PriceLine, job, part, low, usual, high, labour_h, per), row)


def _lines(table: Table, gathering: Gathering) -> tuple[PriceLine, ...]:
    first: dict[tuple[JobKind, PartKind], int] = {}
    lines = []
    for each in table.lines:
        line = _line(each, gathering)
        if line is None:
            continue
        row = first.setdefault((line.job, line.part), each.row)
        if row == each.row:
            lines.append(line)
        else:
            seen = f"{line.job.label} {PARTS[line.part].singular} again"
            gathering.add(
                "job", seen, f"once; it stands in row {row} already", "Delete one of the rows.", each.row
            )
    return tuple(lines)


def read_prices(path: Path) -> PriceList:
    """A yard's price list.

    Parameters
    ----------
    path : Path
        The file, .csv or .xlsx.

    Returns
    -------
    PriceList
        Its lines in the order of the rows; an empty low or high price equals the usual one.

    Raises
    ------
    InputError
        With every problem of the file.

    References
    ----------
    Our own layout; see docs/reference/price-list.md.
    """
    gathering = Gathering(path.name)
    table = read_table(path, PRICES, gathering)
    rate_row = table.head_row("labour per hour")
    rate = gathering.attempt(partial(number_of, table.head_text("labour per hour"), "labour per hour"), rate_row)
    currency = table.head_text("currency").strip()
    gathering.attempt(partial(PriceList, currency, 0.0, ()), table.head_row("currency"))
    lines = _lines(table, gathering)
    gathering.raise_if_any()
    if rate is None:
        raise AssertionError("a list without problems has a labour rate")
    return PriceList(currency, rate, lines, table.head_text("source"))


def write_prices(prices: PriceList, path: Path) -> None:
    """Nothing comes out; afterwards the file holds the price list.

    Parameters
    ----------
    prices : PriceList
        The list.
    path : Path
        The file, .csv or .xlsx, new or replaced.

    Raises
    ------
    InputError
        Another file ending, a place that cannot be written to, or a text no sheet can hold.

    References
    ----------
    Our own layout; see docs/reference/price-list.md.
    """
    head = [
        ("currency", prices.currency),
        ("labour per hour", exact_number(prices.labour_per_h)),
        ("source", prices.source),
    ]
    lines = [
        {
            "job": line.job.label,
            "part": PARTS[line.part].singular,
            "per": line.per,
            "price low": exact_number(line.price_low),
            "price usual": exact_number(line.price_usual),
            "price high": exact_number(line.price_high),
            "labour hours": exact_number(line.labour_h),
        }
        for line in prices.lines
    ]
    lists = {
        "job": [job.label for job in JobKind],
        "per": list(_PER),
        "part": [w.singular for w in PARTS.values()],
    }
    write_table(path, PRICES, head, lines, PRICES.columns, lists)
