"""Small fleets cut from the sample, and what one process makes of them."""

from pathlib import Path

import pytest

from pitchline.exchange.fleet_tables import open_fleet
from pitchline.fleet.learning import learned_from
from pitchline.fleet.run import run_outlook

SAMPLE = Path(__file__).parents[2] / "data" / "fleet-sample"


@pytest.fixture(scope="session")
def cut_from_sample():
    """What writes the first machines of the sample into a folder, with their first positions."""
    return _cut


def _cut(folder, machines, positions=100):
    for name in ("parts", "readings", "grounds"):
        with (SAMPLE / f"{name}.csv").open() as file:
            head, *lines = file.read().splitlines()
        kept = [line for line in lines if int(line.split(",")[0]) < machines]
        if name != "grounds":
            kept = [line for line in kept if int(line.split(",")[1]) < positions]
        (folder / f"{name}.csv").write_text("\n".join([head, *kept]) + "\n")
    return folder


@pytest.fixture(scope="session")
def narrow(cut_from_sample, tmp_path_factory):
    """The first 70 machines of the sample with four positions each: two blocks and a bit."""
    return cut_from_sample(tmp_path_factory.mktemp("narrow"), 70, 4)


@pytest.fixture(scope="session")
def learned_narrow(narrow):
    with open_fleet(narrow) as fleet:
        return learned_from(fleet)


@pytest.fixture(scope="session")
def first_narrow(narrow, learned_narrow, tmp_path_factory):
    out = tmp_path_factory.mktemp("first narrow") / "out.parquet"
    return run_outlook(narrow, out, learned_narrow, machines_per_chunk=1000), out.read_bytes()
