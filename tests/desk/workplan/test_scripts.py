"""The pure scripts of the page, where node is installed."""

import shutil
import subprocess
from pathlib import Path

import pytest

FOLDER = Path(__file__).parents[2] / "js"


NODE = shutil.which("node")


@pytest.mark.skipif(NODE is None, reason="node is not installed; the browser tests cover the page")
def test_pure_scripts():
    files = sorted(map(str, FOLDER.glob("*.test.js")))
    asked = [str(NODE), "--test", *files]
    found = subprocess.run(asked, capture_output=True, text=True, check=False)  # noqa: S603  our own files
    assert files
    assert found.returncode == 0, found.stdout[-3000:]
