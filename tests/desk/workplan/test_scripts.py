"""The pure scripts of the page, where node is installed."""

import shutil
import subprocess
from pathlib import Path

import pytest

FOLDER = Path(__file__).parents[2] / "js"


@pytest.mark.skipif(shutil.which("node") is None, reason="node is not installed; the browser tests cover the page")
def test_pure_scripts():
    found = subprocess.run(
        ["node", "--experimental-default-type=module", "--test", *map(str, FOLDER.glob("*.test.js"))],
        capture_output=True,
        text=True,
        check=False,
    )
    assert found.returncode == 0, found.stdout[-3000:]
