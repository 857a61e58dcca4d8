"""What a walk-round sheet looks like: its head, its columns, its units."""

from pitchline.exchange.table import Layout

READING_COLUMNS = ("reading 1", "reading 2", "reading 3")
MORE_READING_COLUMNS = tuple(f"reading {number}" for number in range(4, 13))
UNITS = ("mm", "in")

SHEET = Layout(
    title="walk-round",
    heads=("machine", "day", "hours on the meter", "service hours", "who", "unit", "turned bushes"),
    columns=(
        "side",
        "part",
        "number",
        "quantity",
        *READING_COLUMNS,
        "over joints",
        "tool",
        "seen",
        "how bad",
        "how many",
        "keep because",
        "note",
    ),
    anchors=("side", "part", "quantity"),
    must=("reading 1",),
    further=(*MORE_READING_COLUMNS, "extra doubt", "on one"),
    before=(
        ("date", "day"),
        ("meter hours", "hours on the meter"),
        ("read by", "who"),
        ("position", "number"),
        ("measurand", "quantity"),
    ),
)

CONTENT_COLUMNS = (
    *READING_COLUMNS,
    *MORE_READING_COLUMNS,
    "seen",
    "how bad",
    "how many",
    "keep because",
    "note",
    "extra doubt",
    "on one",
)
"""A row with nothing in these was not read."""

NOTHING_SEEN = "nothing"
"""What stands in "seen" where somebody looked and saw nothing."""
NOTHING_WORDS = (NOTHING_SEEN, "nothing seen", "looked over")
"""Words that are understood so."""
