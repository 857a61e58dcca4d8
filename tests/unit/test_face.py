"""`import pitchline` as a script's author meets it."""

import doctest
import re
import subprocess
import sys
import typing
import zipfile
from pathlib import Path

import pyarrow
import pytest
from flit_core import buildapi

import pitchline
from pitchline import face
from pitchline.cli import main

ROOT = Path(__file__).parents[2]


def test_the_page_shows_what_really_comes_out(tmp_path, monkeypatch, capsys):
    main(["demo", "--out", str(tmp_path / "demo")])
    capsys.readouterr()
    monkeypatch.chdir(tmp_path)
    found = doctest.testfile(str(ROOT / "docs" / "reference" / "python.md"), module_relative=False)
    assert found.attempted > 15
    assert found.failed == 0, capsys.readouterr().out


def test_the_page_names_every_verb_and_no_other():
    text = (ROOT / "docs" / "reference" / "python.md").read_text(encoding="utf-8")
    verbs = {name for name in pitchline.__all__ if name[0].islower()}
    assert set(re.findall(r"^\| `(\w+)\(", text, re.MULTILINE)) == verbs


def test_every_name_is_there_and_typed():
    assert set(pitchline.__all__) <= set(dir(pitchline))
    for name in pitchline.__all__:
        assert getattr(pitchline, name) is getattr(face, name)
        if name[0].islower():
            hints = typing.get_type_hints(getattr(face, name), localns={"pyarrow": pyarrow})
            assert typing.Any not in hints.values()
            assert "return" in hints
    with pytest.raises(AttributeError, match="no attribute 'judgement'"):
        _ = pitchline.judgement


def test_importing_the_package_loads_nothing_else():
    code = "import sys; import pitchline; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)  # noqa: S603
    assert {name for name in loaded.stdout.split() if name.startswith(("pitchline", "numpy"))} == {"pitchline"}


def test_the_wheel_says_it_is_typed(tmp_path, monkeypatch):
    monkeypatch.chdir(ROOT)
    wheel = buildapi.build_wheel(str(tmp_path))
    with zipfile.ZipFile(tmp_path / wheel) as archive:
        assert "pitchline/py.typed" in archive.namelist()
    assert wheel.startswith(f"pitchline-{pitchline.__version__}-")


def test_a_machine_is_read_from_text_and_a_bad_word_is_refused(tmp_path, capsys):
    main(["demo", "--out", str(tmp_path / "demo")])
    path = tmp_path / "demo" / "07-gorse" / "machine.json"
    assert pitchline.read_machine(path.read_text(encoding="utf-8")) == pitchline.read_machine(path)
    with pytest.raises(pitchline.NotAllowedError, match="metric, imperial"):
        pitchline.judge_machine(path, units="cubits")
    with pytest.raises(pitchline.InputError, match="file name"):
        pitchline.read_machine("none.json")
    verdict = pitchline.judge_machine(path)
    assert pitchline.draw_machine(verdict)._repr_svg_().startswith("<svg")
