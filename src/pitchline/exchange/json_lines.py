"""In which line of a JSON text each entry stands, so that a problem can be found again."""

import json
import re

LONGEST_SEARCHED = 2_000_000
Path = tuple[str | int, ...]
_TOKEN = re.compile(r'"[^"\\]*(?:\\.[^"\\]*)*"|[{}\[\],:]|[^\s{}\[\],:"]+')


def lines_of(text: str) -> dict[Path, int]:
    r"""The line of every entry of a valid JSON text.

    Returns
    -------
    dict
        From the keys and list positions leading to an entry to its line, from 1; empty for texts over two million characters,
        where the search would take too long.

    References
    ----------
    RFC 8259 for the tokens.

    Examples
    --------
    >>> lines_of('{"a": 1,\n "b": [2,\n 3]}')[("b", 1)]
    3
    """
    found: dict[Path, int] = {}
    if len(text) > LONGEST_SEARCHED:
        return found
    open_: list[list[str | int | None]] = []
    line, seen_to = 1, 0
    for match in _TOKEN.finditer(text):
        line += text.count("\n", seen_to, match.start())
        seen_to, piece = match.start(), match.group()
        if piece == ",":
            step = open_[-1][1]
            open_[-1][1] = step + 1 if isinstance(step, int) else None
        elif piece in ("}", "]"):
            open_.pop()
        elif piece != ":":
            if open_ and open_[-1][1] is None:
                open_[-1][1] = json.loads(piece, strict=False)
            found.setdefault(tuple(step for _, step in open_ if step is not None), line)
            if piece in ("{", "["):
                open_.append([piece, 0 if piece == "[" else None])
    return found


def line_at(lines: dict[Path, int], path: Path) -> int | None:
    """The line of an entry, or of the nearest entry around it."""
    for length in range(len(path), -1, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return None
