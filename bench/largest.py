"""What the largest file each reader takes costs, in its worst shapes: processor time and memory, each in a process of its own.

    python bench/largest.py [--only workbook]

A shape that takes over 10 s or 500 MB is named as too dear, and ends this with 1.
"""

import argparse
import io
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from functools import cache, partial
from pathlib import Path
from typing import Any

MOST_S, MOST_MB = 10.0, 500.0
LARGEST = 10 * 1024**2 - 64
MB = 1024**2
TYPES = (
    '<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="xml" ContentType="application/xml"/>'
    '<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.'
    'spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.'
    'openxmlformats-officedocument.spreadsheetml.worksheet+xml"/><Override PartName="/xl/styles.xml" ContentType='
    '"application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/><Override PartName="/xl/'
    'sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/>'
    "</Types>"
)
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


def filled(head: str, piece: Callable[[int], str], foot: str, size: int) -> str:
    """As many pieces as fit between head and foot."""
    each = len(piece(999_999))
    return head + "".join(map(piece, range((size - len(head) - len(foot)) // each))) + foot


def workbook(cells: str = "", styles: str = "", strings: str = "", names: str = "") -> bytes:
    """A workbook of one sheet with these members' insides, packed."""
    members = {
        "[Content_Types].xml": TYPES,
        "_rels/.rels": f'<Relationships xmlns="{PACKAGE}"><Relationship Id="r1" Type="{OFFICE}/officeDocument" '
        'Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook {MAIN} xmlns:r="{OFFICE}"><sheets><sheet name="a" sheetId="1" r:id="r1"/>'
        f"</sheets>{names}</workbook>",
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{PACKAGE}">'
        f'<Relationship Id="r1" Type="{OFFICE}/worksheet" Target="worksheets/sheet1.xml"/>'
        f'<Relationship Id="r2" Type="{OFFICE}/styles" Target="styles.xml"/>'
        f'<Relationship Id="r3" Type="{OFFICE}/sharedStrings" Target="sharedStrings.xml"/></Relationships>',
        "xl/worksheets/sheet1.xml": f"<worksheet {MAIN}><sheetData>{cells}</sheetData></worksheet>",
        "xl/styles.xml": f"<styleSheet {MAIN}>{styles}</styleSheet>",
        "xl/sharedStrings.xml": f"<sst {MAIN}>{strings}</sst>",
    }
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in members.items():
            # A long comment that does not pack keeps the ratio in bounds, as whoever means harm would.
            noise = os.urandom(len(text) // 90).hex() if len(text) > MB // 2 else ""
            archive.writestr(name, text + (f"<!--{noise}-->" if noise else ""))
    return stream.getvalue()


ROOM = 45 * MB
TABLES = {
    "one line": lambda: ("a," * (LARGEST // 2)).encode(),
    "short lines": lambda: ("a\n" * (LARGEST // 2)).encode(),
    "quotes": lambda: ('"a""b",' * (LARGEST // 7)).encode(),
    "open quote": lambda: ('name,kind,hours\n"' + "a\n" * (LARGEST // 2 - 10)).encode(),
    "long cells": lambda: (b"side,part,number,quantity\n" + (b"x" * 2000 + b",") * (LARGEST // 2001))[:LARGEST],
    "as many cells as there may be": lambda: b"\n".join([b",".join([b"ab"] * 60)] * 5000),
    "anchors that never come": lambda: b"machine,day,side\n" * (LARGEST // 17),
}
WORKBOOKS = {
    "fonts": lambda size: workbook(styles=filled("<fonts>", lambda n: f'<font><sz val="{n % 90}"/></font>', "</fonts>", size)),
    "cell formats": lambda size: workbook(
        styles=filled("<cellXfs>", lambda n: f'<xf numFmtId="{n % 900}" fontId="0"/>', "</cellXfs>", size)
    ),
    "number formats": lambda size: workbook(
        styles=filled("<numFmts>", lambda n: f'<numFmt numFmtId="{n + 200}" formatCode="0"/>', "</numFmts>", size)
    ),
    "shared strings": lambda size: workbook(strings="<si><t>a</t></si>" * (size // 17)),
    "rich strings": lambda size: workbook(strings="<si>" + "<r><t>a</t></r>" * (size // 15) + "</si>"),
    "cells": lambda size: workbook("".join(map(_row, range(1, 5100)))),
    "one cell again and again": lambda size: workbook('<row r="1">' + '<c r="A1"><v>1</v></c>' * (size // 22) + "</row>"),
    "cells without names": lambda size: workbook('<row r="1">' + "<c><v>1</v></c>" * (size // 15) + "</row>"),
    "rows": lambda size: workbook('<row r="1"/>' * (size // 12)),
    "rows without names": lambda size: workbook("<row/>" * (size // 6)),
    "defined names": lambda size: workbook(
        names=filled("<definedNames>", lambda n: f'<definedName name="n{n:07d}">a!$A$1</definedName>', "</definedNames>", size)
    ),
}  # fmt: skip
JSONS = {
    "one key again and again": lambda size: filled("{", lambda n: '"k":0,', '"k":0}', size),
    "each key twice": lambda size: filled("{", lambda n: f'"k{n // 2:07d}":0,', '"z":0}', size),
    "keys nobody knows": lambda size: filled("{", lambda n: f'"k{n:07d}":0,', '"z":0}', size),
    "brackets": lambda size: "[" * size,
    "digits": lambda size: '{"machine":' + "9" * (size - 20) + "}",
    "one text": lambda size: '{"machine":"' + "x" * (size - 20) + '"}',
    "escapes": lambda size: '{"machine":"' + "\\u00e4" * (size // 6 - 10) + '"}',
    **{
        f"{name} without end": partial(
            lambda name, size: filled(f'{{"format":"pitchline-machine/1","{name}":[', lambda n: "{},", "{}]}", size), name
        )
        for name in ("limits", "tools", "history", "work_done", "walk_rounds", "settings", "parts", "learned", "components")
    },
    "readings without end": lambda size: filled(
        '{"format":"pitchline-machine/1","walk_rounds":[{"readings":[', lambda n: "{},", "{}]}]}", size
    ),
    "blanks": lambda size: "{" + " " * (size - 5) + "}",
}  # fmt: skip


def _row(row: int) -> str:
    cells = (f'<c r="{_letters(n)}{row}" t="inlineStr"><is><t>ab</t></is></c>' for n in range(60))
    return f'<row r="{row}">{"".join(cells)}</row>'


def _letters(number: int) -> str:
    return (chr(64 + number // 26) if number >= 26 else "") + chr(65 + number % 26)


@cache
def _machine() -> Any:
    from pitchline.demo.yard import build_yard

    return build_yard().machines[0].dossier


def read(reader: str, path: Path) -> None:
    """A file by the reader of this name."""
    from pitchline.exchange.learned_file import read_learned
    from pitchline.exchange.limits_file import read_limits
    from pitchline.exchange.machine_file import read_machine
    from pitchline.exchange.machine_list import read_machine_list
    from pitchline.exchange.parts_file import read_parts
    from pitchline.exchange.parts_own_table import read_own_table
    from pitchline.exchange.prices_file import read_prices
    from pitchline.exchange.sheet import read_sheet
    from pitchline.exchange.stop_instance import read_instance
    from pitchline.exchange.verdict_in import verdict_from_json

    def sheet(path: Path) -> object:
        return read_sheet(path, _machine())

    readers: dict[str, Callable[[Path], object]] = {
        "machine file": read_machine,
        "constants": read_learned,
        "stop instance": read_instance,
        "verdict": lambda path: verdict_from_json(path.read_text()),
        "sheet": sheet,
        "prices": read_prices,
        "limits": read_limits,
        "machine list": read_machine_list,
        "parts": read_parts,
        "parts in own columns": read_own_table,
    }
    readers[reader](path)


TABLE_READERS = ("sheet", "prices", "limits", "machine list", "parts", "parts in own columns")
TEXT_READERS = ("machine file", "constants", "stop instance", "verdict")


def _once(reader: str, path: Path) -> None:
    """What a read costs beyond what loading the reader did; a refusal is an answer."""
    from pitchline.trade.errors import InputError

    small = path.with_name(f"small{path.suffix}")
    small.write_bytes(b"{}" if path.suffix == ".json" else b"a,b\n1,2\n")
    for first, one in ((True, small), (False, path)):
        began = time.process_time()
        try:
            read(reader, one)
            said = "read"
        except InputError as error:
            said = str(error.problems[0])[:60]
        if not first:
            peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
            print(json.dumps([time.process_time() - began, peak_mb, said]))


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--only", default="", help="readers or shapes with this in their name")
    parser.add_argument("--once", nargs=2, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.once:
        _once(asked.once[0], Path(asked.once[1]))
        return 0
    shapes = [
        *((reader, f"table, {name}", ".csv", make) for reader in TABLE_READERS for name, make in TABLES.items()),
        # Every table's workbook goes one way until its cells are there.
        *(("prices", f"workbook, {name}", ".xlsx", partial(make, ROOM)) for name, make in WORKBOOKS.items()),
        *(
            (reader, name, ".json", partial(make, LARGEST))
            for reader in TEXT_READERS
            for name, make in JSONS.items()
        ),
    ]
    too_dear = 0
    for reader, shape, ending, make in shapes:
        if asked.only not in f"{reader}: {shape}":
            continue
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / f"largest{ending}"
            made = make()
            path.write_bytes(made if isinstance(made, bytes) else made.encode())
            size_mb = path.stat().st_size / MB
            del made
            done = subprocess.run(  # noqa: S603  ourselves
                [sys.executable, __file__, "--once", reader, str(path)],
                capture_output=True,
                text=True,
                check=False,
            )
        if done.returncode:
            print(f"{reader}: {shape}: {done.stderr.strip().splitlines()[-1]}", flush=True)
            too_dear += 1
            continue
        took_s, peak_mb, said = json.loads(done.stdout)
        dear = took_s > MOST_S or peak_mb > MOST_MB
        too_dear += dear
        print(
            f"{reader + ': ' + shape:50}{size_mb:6.1f} MB{took_s:7.2f} s{peak_mb:6.0f} MB  {'TOO DEAR ' if dear else ''}{said}",
            flush=True,
        )
    return int(too_dear > 0)


if __name__ == "__main__":
    sys.exit(main())
