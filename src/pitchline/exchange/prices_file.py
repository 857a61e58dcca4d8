"""The yard's price list, in and out, as CSV or workbook.

See docs/reference/price-list.md.
"""

import re
from decimal import Decimal
from functools import partial
from pathlib import Path

from pitchline.exchange.figures import exact_number, number_of
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.table import Layout, Table, TableLine, read_table, write_table
from pitchline.exchange.words import job_of, look_up, part_of
from pitchline.money.prices import PriceLine, PriceList
from pitchline.money.stop_costs import StopCosts
from pitchline.money.tax import checked_tax
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PARTS, PartKind

PRICES = Layout(
    title="prices",
    heads=(
        "currency",
        "labour per hour",
        "source",
        "tax percent",
        "lorry",
        "call-out",
        "fitter's day",
        "standing per hour",
        "standing per hour busy",
        "busy months",
        "opening a track per side",
    ),
    columns=("job", "part", "per", "price low", "price usual", "price high", "labour hours"),
    anchors=("job", "part", "price usual"),
    must=("labour hours",),
)
_PER = {"each": "each", "piece": "piece"}
_PER_BEFORE = {"place": "each"}
_STOP = {
    "lorry": "lorry",
    "call-out": "call_out",
    "fitter's day": "fitter_day",
    "standing per hour": "standing_per_h",
    "standing per hour busy": "busy_standing_per_h",
    "opening a track per side": "opening_per_side",
}
"""Head entries of a stop's cost, and their names in the core."""
_MONTHS = re.compile(r"([0-9]{1,2})(?:\s*(?:-|–|to)\s*([0-9]{1,2}))?", re.ASCII)


def _line(line: TableLine, gathering: Gathering) -> PriceLine | None:
    row = line.row
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


def months_of(text: str) -> tuple[int, ...]:
    """Months as numbers, from text such as "4-10", "11 to 2" or "4, 5, 9".

    Examples
    --------
    >>> months_of("11-2, 5")
    (1, 2, 5, 11, 12)
    """
    found: set[int] = set()
    for piece in re.split(r"[,;]", text) if text.strip() else ():
        match = _MONTHS.fullmatch(piece.strip())
        first, last = (int(match[1]), int(match[2] or match[1])) if match else (0, 0)
        if not (1 <= first <= 12 and 1 <= last <= 12):
            raise NotAllowedError(
                "busy months", text, "months from 1 to 12, such as 4-10", "Type numbers of months."
            )
        found |= {(first - 1 + step) % 12 + 1 for step in range((last - first) % 12 + 1)}
    return tuple(sorted(found))


def _tax_of(text: str) -> float:
    """A tax rate as a share, from a percentage such as "19" or "7.5 %"."""
    bare = text.strip().removesuffix("%").strip()
    number_of(bare, "tax percent")
    return checked_tax(float(f"{bare.replace(',', '.')}e-2"))


def _tax(table: Table, gathering: Gathering) -> float | None:
    text = table.head_text("tax percent")
    return gathering.attempt(partial(_tax_of, text), table.head_row("tax percent")) if text.strip() else None


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
    lines = _lines(table, gathering)
    tax_rate, stop = _tax(table, gathering), _stop(table, gathering)
    gathering.raise_if_any()
    if rate is None:
        raise AssertionError("a list without problems has a labour rate")
    return PriceList(currency, rate, lines, table.head_text("source"), tax_rate, stop)


def _head_of_stop(prices: PriceList) -> list[tuple[str, str]]:
    """Tax and the cost of a stop as head entries; what is not entered is left out."""
    head = [] if prices.tax_rate is None else [("tax percent", _percent(prices.tax_rate))]
    if prices.stop is None:
        return head
    for key, name in _STOP.items():
        figure = getattr(prices.stop, name)
        head += [] if figure is None else [(key, exact_number(figure))]
    months = ", ".join(str(month) for month in prices.stop.busy_months)
    return head + ([("busy months", months)] if months else [])


def _percent(rate: float) -> str:
    """A share as a percentage that reads back the same, never with a mark that could mean thousands."""
    whole, _, part = format(Decimal(repr(rate)) * 100, "f").partition(".")
    part = part.rstrip("0")
    return f"{whole}.{part}{'0' * (len(part) == 3)}" if part else whole


def write_prices(prices: PriceList, path: Path) -> None:
    """Nothing comes out; afterwards the file holds the price list.

    Raises
    ------
    InputError
        Another file ending, a place that cannot be written to, or a text no sheet can hold.
    """
    head = [
        ("currency", prices.currency),
        ("labour per hour", exact_number(prices.labour_per_h)),
        ("source", prices.source),
        *_head_of_stop(prices),
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
