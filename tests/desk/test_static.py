"""Static files: what is made is up to date, what is vendored says what it is, modules find each other under hashed names."""

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from django.core.management import call_command

from pitchline.desk import drawing, serve
from pitchline.desk.groundfit import pages

DESK = Path(drawing.__file__).parent
MODULES = [DESK / app / "static" / app for app in ("walkround", "outlook", "workplan", "pocket")]


def test_drawing_rules_are_those_of_the_pictures():
    assert (DESK / "static/desk/drawing.css").read_text(encoding="utf-8") == drawing.drawing_css()


def test_in_the_dark_only_colours_differ():
    """The browser's tests look at the dark for its colours alone."""
    found = 0
    for css in (file.read_text(encoding="utf-8") for file in DESK.rglob("static/**/*.css")):
        for dark in re.findall(r"prefers-color-scheme:\s*dark\)\s*\{((?:[^{}]*\{[^{}]*\})*)\s*\}", css):
            named = re.findall(r"([\w-]+)\s*:[^;}]*[;}]", " ".join(re.findall(r"\{[^{}]*\}", dark)))
            assert {name for name in named if not name.startswith("--")} <= {"fill", "stroke", "stroke-dasharray"}
            found += bool(named)
        assert css.count("prefers-color-scheme") == len(re.findall(r"prefers-color-scheme:\s*dark\)\s*\{", css))
    assert found >= 2


def test_small_pictures_are_as_they_are_drawn(request):
    """Look at them after `pytest --renew-drawings`, which writes them anew."""
    folder, drawn = DESK / "static/desk/measured", drawing.measured_files()
    if request.config.getoption("renew_drawings"):
        for name, text in drawn.items():
            (folder / name).write_text(text, encoding="utf-8")
    assert {file.name: file.read_text(encoding="utf-8") for file in folder.iterdir()} == drawn


def test_drawings_are_html_whatever_another_library_calls_svg():
    """A library for square codes registers the prefix for the whole process as it draws; <svg:svg> is no drawing in HTML."""
    ElementTree.register_namespace("svg", drawing.SVG)
    made = drawing.inline(f'<svg xmlns="{drawing.SVG}"><g id="side-x"/></svg>', "side", {})
    assert made.startswith("<svg xmlns=")


def test_every_drawing_of_ground_fit_has_its_hatches():
    assert set(pages.PREFIXES) <= set(drawing.PREFIXES)


def test_vendored_file_carries_its_version_and_licence():
    readme = (DESK / "static/desk/README.md").read_text(encoding="utf-8")
    (htmx,) = (DESK / "static/desk").glob("htmx-*.js")
    version = htmx.name.removeprefix("htmx-").removesuffix(".min.js")
    assert f'version:"{version}"' in htmx.read_text(encoding="utf-8")
    assert htmx.name in readme
    assert "Zero-Clause BSD" in (DESK / "static/desk/htmx-LICENSE.txt").read_text(encoding="utf-8")


@pytest.fixture
def collected(settings, tmp_path):
    """Static files as the desk serves them."""
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "pitchline.desk.static_files.HashedFiles"},
    }
    settings.STATIC_ROOT = tmp_path
    call_command("collectstatic", verbosity=0, interactive=False)
    return tmp_path


def test_every_module_import_is_hashed(collected):
    """Django's rewriting passes over imports it does not understand: none of ours may be one."""
    manifest = json.loads((collected / "staticfiles.json").read_text(encoding="utf-8"))["paths"]
    for module in (module for folder in MODULES for module in folder.glob("*.js")):
        app = module.parent.name
        served = (collected / manifest[f"{app}/{module.name}"]).read_text(encoding="utf-8")
        imports = re.findall(r'from\s+"([^"]+)"', served)
        assert len(imports) == len(re.findall(r"^import ", module.read_text(encoding="utf-8"), re.MULTILINE))
        for name in imports:
            assert re.fullmatch(r"(\./|\.\./(?:desk|walkround)/)[\w-]+\.[0-9a-f]{12}\.js", name), (
                module.name,
                name,
            )
            assert (collected / app / name).exists()


def test_fonts_and_icons_in_the_style_sheet_are_there(collected):
    (css,) = collected.glob("desk/desk.*.css")
    for name in re.findall(r'url\("([^"]+)"\)', css.read_text(encoding="utf-8")):
        assert (css.parent / name).exists()


@pytest.mark.parametrize("host", ["127.0.0.1", "127.8.9.1", "::1", "localhost"])
def test_loopback_is_this_computer(host):
    assert serve.is_loopback(host)


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.0.2.7", "example.invalid", ""])
def test_everything_else_is_not(host):
    assert not serve.is_loopback(host)


def test_no_page_takes_the_name_of_a_drawing():
    """A drawing's rules hold inside every element of its name: a page's own element would change the drawing within."""
    for path in DESK.rglob("templates/**/*.html"):
        named = set(" ".join(re.findall(r'class="([^"{}]*)"', path.read_text(encoding="utf-8"))).split())
        assert named & {*drawing.PREFIXES, drawing.KIND} == set(), path.name
