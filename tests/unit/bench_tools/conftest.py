"""The fleet simulator of the bench, loaded by path: it is a tool of this project and not part of the package."""

import importlib.util
import sys
from pathlib import Path

import numpy as np
import pytest

BENCH = Path(__file__).parents[3] / "bench"


def load(name):
    spec = importlib.util.spec_from_file_location(name, BENCH / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def gamma_paths():
    """Exact draws of a gamma process."""
    return load("gamma_paths")


@pytest.fixture(scope="session")
def fleet_simulator(gamma_paths):
    """Simulated fleets with their truth."""
    return load("fleet_simulator")


@pytest.fixture(scope="session")
def causes_bench():
    """Machines with causes planted."""
    return load("causes")


@pytest.fixture(scope="session")
def largest():
    """Files in their worst shapes."""
    return load("largest")


@pytest.fixture(scope="session")
def rng():
    """Random numbers, the same in every run."""
    return np.random.default_rng(20261125)


@pytest.fixture(scope="session")
def clean_fleet(fleet_simulator):
    """A fleet of 600 machines in which everything the wear model assumes is true."""
    return fleet_simulator.simulate(600, 20261125)


@pytest.fixture(scope="session")
def sample_like_fleet(fleet_simulator):
    """A fleet in which parts come off by their true wear and some are changed unseen, as in the fleet sample."""
    return fleet_simulator.simulate(600, 20261126, "by_wear", hidden=0.016)
