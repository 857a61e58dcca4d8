"""`pitchline schema`: the JSON Schema of the machine file."""

import argparse
import json

from pitchline.cli.shared import Commands
from pitchline.exchange.machine_file import machine_schema


def add(commands: Commands) -> None:
    """The command."""
    schema = commands.add_parser("schema", help="print the JSON Schema of the machine file")
    schema.set_defaults(run=run)


def run(asked: argparse.Namespace) -> None:
    """Print it."""
    del asked
    print(json.dumps(machine_schema(), indent=2))
