"""`pitchline schema`: the JSON Schema of the machine file."""

import argparse
import json

from pitchline.exchange.machine_file import machine_schema
from pitchline.words import in_english

EXAMPLES = ((in_english("keep it beside your machine files"), "pitchline schema > machine.schema.json"),)


def add(schema: argparse.ArgumentParser) -> None:
    """The command."""


def run(asked: argparse.Namespace) -> None:
    """Print it."""
    del asked
    print(json.dumps(machine_schema(), indent=2))
