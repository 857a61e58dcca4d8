"""The wheel holds the whole package: every template, script, style, font, schema and table among it. `make trial` installs it."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

import pitchline

ROOT = Path(pitchline.__file__).parents[2]
BUILD = "import sys; from flit_core.buildapi import build_wheel; print(build_wheel(sys.argv[1]))"


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """The wheel as the project's build backend writes it, opened."""
    folder = tmp_path_factory.mktemp("wheel")
    call = [sys.executable, "-c", BUILD, str(folder)]
    name = subprocess.run(call, cwd=ROOT, check=True, capture_output=True, text=True).stdout.split()[-1]  # noqa: S603
    with zipfile.ZipFile(folder / name) as opened:
        yield opened


def test_wheel_holds_every_file_of_the_package_and_no_other(wheel):
    package = {
        path.relative_to(ROOT / "src").as_posix() for path in (ROOT / "src/pitchline").rglob("*") if path.is_file()
    }
    package = {name for name in package if "__pycache__" not in name}
    held = {name for name in wheel.namelist() if name.startswith("pitchline/")}
    assert held == package
    kinds = {Path(name).suffix for name in held}
    assert {".py", ".html", ".css", ".js", ".woff2", ".otf", ".typ", ".json", ".typed"} <= kinds


def test_wheel_is_pure_python_and_brings_its_command_and_licence(wheel):
    about = {
        name.rpartition("/")[2]: wheel.read(name).decode() for name in wheel.namelist() if ".dist-info/" in name
    }
    assert "Tag: py3-none-any" in about["WHEEL"]
    assert "pitchline=pitchline.cli:main" in about["entry_points.txt"]
    assert f"Version: {pitchline.__version__}\n" in about["METADATA"]
    assert "Apache License" in about["LICENSE"]
