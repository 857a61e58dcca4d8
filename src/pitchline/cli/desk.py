"""`pitchline desk`: the yard in a browser."""

import argparse
from contextlib import suppress

from pitchline.cli.options import add_data
from pitchline.desk.serve import Address, open_demo, prepare, serve
from pitchline.words import in_english, translated, worded

EXAMPLES = (
    (in_english("open your yard"), "pitchline desk"),
    (in_english("the invented demo yard, in a folder of its own"), "pitchline desk --demo --data demo-yard"),
    (in_english("at another port, without a browser"), "pitchline desk --port 8080 --no-browser"),
)


def add(desk: argparse.ArgumentParser) -> None:
    """Its options."""
    desk.add_argument(
        "--host", default=Address().host, help=translated("address to listen at; by default this computer alone")
    )
    desk.add_argument(
        "--port", type=_port, default=Address().port, help=translated("port; 0 takes any that is free")
    )
    add_data(desk)
    desk.add_argument("--demo", action="store_true", help=translated("bring in the invented demo yard first"))
    desk.add_argument(
        "--no-browser",
        action="store_true",
        help=translated("print the address alone; else a terminal's desk opens the browser"),
    )


def _port(text: str) -> int:
    if not text.isdecimal() or not 0 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(
            worded("{text} is not a port; write a number from 0 to 65535", text=repr(text))
        )
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
