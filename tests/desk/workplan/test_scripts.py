"""The pure scripts, on the node that comes with Playwright; what needs a page is in `tests/browser/test_scripts.py`."""

import subprocess
from pathlib import Path

import playwright

FOLDER = Path(__file__).parents[2] / "js"
NODE = Path(playwright.__file__).parent / "driver" / "node"


def test_pure_scripts():
    files = sorted(map(str, FOLDER.glob("*.test.js")))
    asked = [str(NODE), "--test", *files]
    found = subprocess.run(asked, capture_output=True, text=True, check=False)  # noqa: S603  our own files
    assert files
    assert found.returncode == 0, found.stdout[-3000:]
