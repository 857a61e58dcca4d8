"""The gallery in docs/pictures is what the code draws today, byte for byte, and covers what it promises."""

import importlib.util
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


def test_gallery_is_what_would_be_drawn_today(pictures):
    """Renew with `make pictures`, after looking."""
    kept = {path.name: path.read_bytes() for path in pictures.FOLDER.iterdir()}
    drawn = {name: text.encode() for name, text in pictures.files()}
    assert sorted(kept) == sorted(drawn)
    assert [name for name in kept if kept[name] != drawn[name]] == []


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
