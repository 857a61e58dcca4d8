"""The gallery in docs/pictures is what the code draws today, and covers what it promises."""

import importlib.util
import re
from pathlib import Path

import pytest

from pitchline.demo.yard import build_yard
from pitchline.picture.ink import Tone
from pitchline.picture.views import VIEWS
from pitchline.trade.machine import Layout, MachineKind, ShoeClass, TrackKind

ROOT = Path(__file__).parents[3]


@pytest.fixture(scope="module")
def pictures():
    """The script that writes the gallery."""
    made = importlib.util.spec_from_file_location("pictures", ROOT / "scripts" / "pictures.py")
    module = importlib.util.module_from_spec(made)
    made.loader.exec_module(module)
    return module


NUMBER = re.compile(r"-?\d+\.\d+|-?\d+")


def same(kept, drawn):
    """The same text, with figures within the last digit drawn: another processor may round a place the other way."""
    if NUMBER.sub("#", kept) != NUMBER.sub("#", drawn):
        return False
    pairs = zip(NUMBER.findall(kept), NUMBER.findall(drawn), strict=True)
    return all(one == other or abs(float(one) - float(other)) < 0.11 for one, other in pairs)


def test_gallery_is_what_would_be_drawn_today(pictures, judged_demo):
    """Renew with `make pictures`, after looking."""
    kept = {path.name: path.read_text(encoding="utf-8") for path in pictures.FOLDER.iterdir()}
    drawn = dict(pictures.files(judged_demo))
    assert sorted(kept) == sorted(drawn)
    assert [name for name in kept if not same(kept[name], drawn[name])] == []


def test_a_figure_that_is_off_is_noticed():
    assert same('<line x1="10.1"/>', '<line x1="10.2"/>')
    assert not same('<line x1="10.1"/>', '<line x1="10.3"/>')
    assert not same("3,100 h", "3,200 h")


def test_gallery_is_small(pictures):
    assert sum(path.stat().st_size for path in pictures.FOLDER.iterdir()) < 900_000


def test_gallery_has_every_kind_of_machine_gear_and_view(pictures):
    yard = build_yard()
    shown = [one for one in pictures.GALLERY if one.wanted.view == "side"]
    dossiers = [yard.machine(one.machine).with_sheet for one in shown]
    all_kinds = {machine.with_sheet.machine.kind for machine in yard.machines}
    assert {one.machine.kind for one in dossiers} == all_kinds <= set(MachineKind)
    assert {one.gear.track for one in dossiers} == set(TrackKind)
    assert {one.gear.layout for one in dossiers} == set(Layout)
    assert {one.gear.shoe_class for one in dossiers} == set(ShoeClass)
    assert {one.wanted.view for one in pictures.GALLERY} == set(VIEWS)
    assert {Tone.SYSTEM, Tone.DARK, Tone.PAPER} <= {one.wanted.tone for one in pictures.GALLERY}
