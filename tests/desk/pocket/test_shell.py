"""The app itself: what it is made of, what it may load, and that nothing of a yard is in it."""

import json
import re
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders

from pitchline.desk import pocket
from pitchline.desk.pocket import bundle
from pitchline.desk.pocket.shell import app_files
from pitchline.trade.writing import Writing, writing
from pitchline.words import catalogue

pytestmark = pytest.mark.django_db
OURS = Path(pocket.__file__).parent / "static" / "pocket"
MOST_BYTES = 400_000


def loaded(name, known):
    """A script with all it imports, by name."""
    if name in known:
        return known
    known.add(name)
    for other in re.findall(r'from "(\.[^"]+)"', bundle.text_of(name)):
        folder, up = name.rpartition("/")[0], other.startswith("../")
        loaded(other.removeprefix("../") if up else f"{folder}/{other.removeprefix('./')}", known)
    return known


def test_worker_keeps_every_file_the_page_loads_and_no_other(client):
    """One script, one sheet with its fonts, the mark, and the pictures of what is measured."""
    page = client.get("/pocket/").content.decode()
    (script,), (sheet,) = (
        re.findall(r'<script type="module" src="([^"]+)"', page),
        re.findall(r'"stylesheet" href="([^"]+)"', page),
    )
    fonts = re.findall(r'url\("([^"]+)"\)', client.get(sheet).content.decode())
    assert len(fonts) == 2
    listed = json.loads(re.search(r"const FILES = (.*);", client.get("/pocket/sw.js").content.decode())[1])
    assert listed == list(app_files())
    others = {one for one in listed if not one.startswith("/static/desk/measured/")}
    assert others == {script, sheet, *fonts, "/static/desk/mark.svg"}
    static = [one.removeprefix("/static/") for one in listed if one.startswith("/static/")]
    assert len(static) == len(listed) - 2
    assert all(map(finders.find, static))


def test_script_is_all_modules_each_after_those_it_imports(client):
    """The app's own folder is in it whole: what nobody imports is not kept."""
    texts = bundle.modules()
    assert set(texts) == loaded("pocket/app.js", set())
    elsewhere = {"pocket/elsewhere.js"}  # on the desk's own pages
    ours = {f"pocket/{one.name}" for one in OURS.glob("*.js")} - elsewhere
    assert {name for name in texts if name.startswith("pocket/")} == ours
    order = list(texts)
    assert all(order.index(other) <= order.index(name) for name in order for other in loaded(name, set()))
    answer = client.get(app_files()[0])
    assert answer["Content-Type"].startswith("text/javascript")
    assert "immutable" in answer["Cache-Control"]
    assert not re.findall(r"^(?:import|export)\b.*", answer.content.decode(), re.MULTILINE)
    assert client.get("/pocket/app.000000000000.js").status_code == 404


@pytest.mark.parametrize(
    "text", ['import "./b.js";', "export default 1;", 'export { a } from "./b.js";', "import a from './b.js';"]
)
def test_import_or_export_in_another_form_is_refused(monkeypatch, text):
    monkeypatch.setattr(bundle, "text_of", lambda _: f"{text}\n")
    bundle.script.cache_clear()
    with pytest.raises(ValueError, match="not a form"):
        bundle.script()
    bundle.script.cache_clear()


def test_modules_that_import_each_other_are_refused(monkeypatch):
    texts = {"pocket/app.js": 'import { b } from "./b.js";\n', "pocket/b.js": 'import { a } from "./app.js";\n'}
    monkeypatch.setattr(bundle, "text_of", texts.__getitem__)
    with pytest.raises(ValueError, match="imported by what it imports"):
        bundle.modules()


def test_app_is_light(client):
    kept = [one.removeprefix("/static/") for one in app_files()[2:]]
    sent = [*app_files()[:2], "/pocket/", "/pocket/sw.js"]
    whole = [Path(finders.find(name)).stat().st_size for name in kept] + [
        file.stat().st_size for file in OURS.glob("*.png")
    ]
    assert 200_000 < sum(whole) + sum(len(client.get(address).content) for address in sent) < MOST_BYTES


def test_page_may_show_what_waits_on_the_phone_and_run_nothing_from_elsewhere(client):
    answer = client.get("/pocket/")
    policy = dict(one.split(" ", 1) for one in answer["Content-Security-Policy"].split("; "))
    assert policy["img-src"] == "'self' data: blob:"
    assert policy["worker-src"] == policy["script-src"] == policy["connect-src"] == "'self'"
    assert policy["default-src"] == "'none'"
    assert "unsafe" not in answer["Content-Security-Policy"]
    assert answer["Cache-Control"] == "no-cache"


def test_worker_is_asked_for_again_each_time_and_knows_its_page(client):
    worker = client.get("/pocket/sw.js")
    assert worker["Cache-Control"] == "no-cache"
    assert worker["Content-Type"].startswith("text/javascript")
    version = re.search(r'const VERSION = "(\w{12})"', worker.content.decode())[1]
    assert f'content="{version}"' in client.get("/pocket/").content.decode()
    assert client.get("/pocket/hello").json()["app"] == version


def test_manifest_installs_and_its_icons_are_there(client):
    """Name, start, display, PNG of 192 and 512 pixels: what a browser asks before it installs (W3C App Manifest; Chromium)."""
    answer = client.get("/pocket/manifest.webmanifest")
    assert answer["Content-Type"] == "application/manifest+json"
    told = answer.json()
    assert (told["start_url"], told["scope"], told["display"]) == ("/pocket/", "/", "standalone")
    assert {(one["sizes"], one["purpose"]) for one in told["icons"]} == {
        ("192x192", "any"), ("512x512", "any"), ("512x512", "maskable"),
    }  # fmt: skip
    for one in told["icons"]:
        head = Path(finders.find(one["src"].removeprefix("/static/"))).read_bytes()[:24]
        assert head[:8] == b"\x89PNG\r\n\x1a\n"
        assert f"{int.from_bytes(head[16:20])}x{int.from_bytes(head[20:24])}" == one["sizes"]


def test_version_follows_the_language(client, tmp_path, monkeypatch):
    import made_up
    from pitchline.desk.pocket.shell import shell

    made_up.write(tmp_path)
    monkeypatch.setattr(catalogue, "FOLDERS", [*catalogue.FOLDERS, tmp_path])
    made_up.read_once()
    plain, _ = shell()
    with writing(Writing(language=made_up.CODE)):
        version, page = shell()
    assert version != plain
    assert made_up.cyrillic("Nothing waits") in page.encode().decode("unicode_escape")


def test_days_in_the_app_follow_settings():
    from pitchline.desk.pocket.shell import shell

    found = {}
    for days in ("day-month", "iso"):
        with writing(Writing(days=days)):
            found[days] = shell()
        assert f'data-days="{days}"' in found[days][1]
    assert found["iso"][0] != found["day-month"][0]
