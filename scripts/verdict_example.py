"""Writes the API's examples of a verdict and of a plan anew, after a field was added: the demo yard's main machine, cut short."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pitchline.demo.yard import build_yard
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge import judge
from pitchline.stops.settings import PlanSettings

API = Path(__file__).parent.parent / "src/pitchline/desk/api"
PLANNED_H = 2000.0
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


def renew(name: str, told: Any) -> None:
    """Nothing comes out; afterwards an example holds every field there is, with lists no longer than they were."""
    file, longest = API / name, dict[str, int]()
    for path, length in lengths(json.loads(file.read_text(encoding="utf-8"))):
        longest[path] = max(longest.get(path, 0), length)
    file.write_text(json.dumps(cut(told, longest), indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


def main() -> None:
    """Nothing comes out; afterwards both examples are what would be written today."""
    yard = build_yard()
    renew("verdict-example.json", json.loads(verdict_json(judge(yard.main.with_sheet, yard.prices))))
    verdict = judge(yard.main.with_sheet, yard.prices, planning=PlanSettings(PLANNED_H))
    head = json.loads((API / "plan-example.json").read_text(encoding="utf-8"))
    told = json.loads(verdict_json(verdict))
    renew("plan-example.json", head | {name: told[name] for name in ("as_of", "from_service_h", "plan")})


if __name__ == "__main__":
    main()
