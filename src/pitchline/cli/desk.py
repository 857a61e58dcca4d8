"""`pitchline desk`: the yard in a browser."""

import argparse
from contextlib import suppress
from pathlib import Path

from pitchline.desk.serve import Address, open_demo, prepare, serve
from pitchline.words import translated, worded


def add(desk: argparse.ArgumentParser) -> None:
    """Its options."""
    desk.add_argument(
        "--host", default=Address().host, help=translated("address to listen at; by default this computer alone")
    )
    desk.add_argument(
        "--port", type=_port, default=Address().port, help=translated("port; 0 takes any that is free")
    )
    desk.add_argument(
        "--data",
        type=Path,
        metavar="FOLDER",
        help=translated("the desk's data folder; by default in the user's own"),
    )
    desk.add_argument("--demo", action="store_true", help=translated("bring in the invented demo yard first"))
    desk.add_argument(
        "--no-browser",
        action="store_true",
        help=translated("print the address alone; else a terminal's desk opens the browser"),
    )


def _port(text: str) -> int:
    if not text.isdecimal() or not 0 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"{text!r} is not a port; write a number from 0 to 65535")
    return int(text)


def run(asked: argparse.Namespace) -> None:
    """Make ready, then serve until stopped."""
    address = Address(asked.host, asked.port)
    prepare(address, asked.data)
    if asked.demo:
        added = open_demo()
        print(
            worded("Demo yard, all invented: {added} machines added.", added=added)
            if added
            else translated("The demo yard is there already.")
        )
    with suppress(KeyboardInterrupt):
        serve(address, browser=not asked.no_browser)
    print(translated("The desk is closed."))
