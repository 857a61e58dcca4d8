"""`pitchline done`: write work that was done into a machine file."""

import argparse
import json
from itertools import count
from pathlib import Path
from typing import Any

from pitchline.cli.streams import write_out
from pitchline.exchange.figures import date_of
from pitchline.exchange.machine_file import machine_from_json, read_machine
from pitchline.exchange.text_in import read_text
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.work_done import Did
from pitchline.words import in_english, label, translated, worded

EXAMPLES = (
    (
        in_english("a new bottom roller, third from the front on the left"),
        "pitchline done machine.json fitted_new bottom_roller/left/3 --date 2026-11-30 --hours 2410",
    ),
)


def add(done: argparse.ArgumentParser) -> None:
    """Its options."""
    done.add_argument(
        "machine", type=Path, metavar="MACHINE.json", help=translated("machine file; it is written anew")
    )
    done.add_argument("what", choices=[did.value for did in Did], metavar="WHAT", help=", ".join(Did))
    done.add_argument(
        "at", nargs="+", metavar="PART", help=translated("to what, such as bottom_roller/left/3 or chain/left")
    )
    done.add_argument("--date", required=True, metavar="DAY", help=translated("the day, such as 2026-11-28"))
    done.add_argument(
        "--hours", required=True, type=float, metavar="H", help=translated("hours on the meter that day")
    )
    done.add_argument(
        "--put-right",
        nargs="+",
        default=[],
        metavar="PART:SEEN",
        help=translated("what had been seen and no longer stands, such as final_drive/left:leak"),
    )
    done.add_argument("--by", default="", metavar="WHO", help=translated("who did it"))
    done.add_argument("--labour", type=float, metavar="AMOUNT", help=translated("what labour cost, without tax"))
    done.add_argument("--parts", type=float, metavar="AMOUNT", help=translated("what the parts cost, without tax"))
    done.add_argument("--currency", metavar="CODE", help=translated("of the cost, such as EUR"))
    done.add_argument("--note", default="", metavar="TEXT", help=translated("free text"))
    done.add_argument(
        "--out",
        type=Path,
        metavar="FILE",
        help=translated("write to this file, and leave the machine file as it is"),
    )


def run(asked: argparse.Namespace) -> None:
    """Add the record and write the file, if the whole can be used."""
    dossier = read_machine(asked.machine)
    whole: dict[str, Any] = json.loads(read_text(asked.machine))
    known = {one.key for one in dossier.work}
    day = date_of(asked.date, "--date")
    walked = [walk.date.isoformat() for walk in dossier.walk_rounds if walk.date <= day]
    entry: dict[str, Any] = {
        "id": next(key for number in count(1) if (key := f"w{number}") not in known),
        "what": asked.what,
        "places": [_place(key) for key in asked.at],
        "date": day.isoformat(),
        "meter_h": asked.hours,
        "put_right": [_seen(text) for text in asked.put_right],
        "by": asked.by,
        "note": asked.note,
    }
    if walked:
        entry["seen_on"] = walked[-1]
    if asked.labour is not None or asked.parts is not None:
        entry["cost"] = {
            "labour": asked.labour or 0.0,
            "parts": asked.parts or 0.0,
            "currency": asked.currency or "",
        }
    whole["work_done"] = [
        *whole.get("work_done", []),
        {key: told for key, told in entry.items() if told not in ("", [])},
    ]
    text = json.dumps(whole, indent=2, ensure_ascii=False) + "\n"
    out: Path = asked.out or (Path("-") if asked.piped else asked.machine)
    machine_from_json(text, asked.machine.name)
    if not write_out(out, text.encode("utf-8"), ".json"):
        return
    print(
        worded(
            "Written down for {machine}: {what}, {at}: {out}",
            machine=dossier.machine.name,
            what=label(Did(asked.what)),
            at=", ".join(asked.at),
            out=out,
        )
    )


def _place(key: str) -> dict[str, Any]:
    """A part as a machine file names it; what is wrong with the words, the file's own check says."""
    part, *rest = key.split("/")
    if len(rest) > 2 or (len(rest) == 2 and not rest[1].isdecimal()):
        step = translated("Write part, side and number from the front, parted by slashes.")
        raise NotAllowedError("PART", key, "such as bottom_roller/left/3 or chain/left", step)
    side = {"side": rest[0]} if rest else {}
    return {"part": part, **side, **({"position": int(rest[1])} if len(rest) == 2 else {})}


def _seen(text: str) -> dict[str, Any]:
    key, mark, seen = text.rpartition(":")
    if not mark:
        step = translated("Write the part, a colon, and what had been seen on it.")
        raise NotAllowedError("--put-right", text, "such as final_drive/left:leak", step)
    return {**_place(key), "seen": seen}
