"""Writes the API's example of a verdict anew, after a field was added: the demo yard's main machine, cut short."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pitchline.demo.yard import build_yard
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge import judge

EXAMPLE = Path(__file__).parent.parent / "src/pitchline/desk/api/verdict-example.json"
NEW_LISTS = 2


def lengths(item: Any, path: str = "") -> Iterator[tuple[str, int]]:
    """How long each list of an example is, by its path."""
    if isinstance(item, dict):
        for key, each in item.items():
            yield from lengths(each, f"{path}/{key}")
    elif isinstance(item, list):
        yield path, len(item)
        for each in item:
            yield from lengths(each, f"{path}[]")


def cut(item: Any, longest: dict[str, int], path: str = "") -> Any:
    """The same with lists no longer than they were and figures rounded."""
    if isinstance(item, dict):
        return {key: cut(each, longest, f"{path}/{key}") for key, each in item.items()}
    if isinstance(item, list):
        return [cut(each, longest, f"{path}[]") for each in item[: longest.get(path, NEW_LISTS)]]
    if isinstance(item, float):
        return float(f"{item:.4g}") if abs(item) < 10 else round(item, 1)
    return item


def main() -> None:
    """Nothing comes out; afterwards the example holds every field there is."""
    longest: dict[str, int] = {}
    for path, length in lengths(json.loads(EXAMPLE.read_text(encoding="utf-8"))):
        longest[path] = max(longest.get(path, 0), length)
    yard = build_yard()
    told = json.loads(verdict_json(judge(yard.main.with_sheet, yard.prices)))
    EXAMPLE.write_text(json.dumps(cut(told, longest), indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
