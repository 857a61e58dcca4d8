"""A real browser against a real server, on this computer only. The browser is one that is installed; none is fetched."""

import os
import shutil
from pathlib import Path

import pytest
from django.conf import settings
from django.db import transaction
from django.test import override_settings

from judged_once import footing_once, judge_once, write_once
from pitchline.desk.bridge import figures
from pitchline.desk.machine import judging
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.workplan import actions
from pitchline.desk.yard.importing import write_machine
from pitchline.exchange.machine_file import machine_json
from tables_once import django_db_setup  # noqa: F401  a fixture

BROWSER = os.environ.get("PITCHLINE_BROWSER") or shutil.which("chromium-headless-shell") or "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--js-flags=--min-semi-space-size=64",  # what a test leaves is cleared away seldom: a tenth of all a page does otherwise
    "--disable-site-isolation-trials",  # one site alone is asked: no process is held ready for another
]

PATIENCE_MS = 120_000
"""How long is waited for anything, on a computer that has other things to do."""

LOOK = """(rules) => axe.run({ resultTypes: ["violations"], ...rules }).then(({ violations }) =>
  violations.map(({ id, nodes }) => `${id}: ${nodes[0].html.slice(0, 200)} (${nodes.length})`))"""
# `test_in_the_dark_only_colours_differ` holds why: what is no colour was found in the light. Of the rules of colour the milder
# one of contrast is left out there: of the same texts it asks 4.5:1 where the other asks 7:1 (WCAG 1.4.3 and 1.4.6).
SCHEMES = {"light": {}, "dark": {"runOnly": ["color-contrast-enhanced", "link-in-text-block"]}}


def pytest_collection_modifyitems(items):
    """Without a browser these tests say so and step aside; where one is promised, a missing one is a failure."""
    if shutil.which(BROWSER) is None and "PITCHLINE_BROWSER" not in os.environ:
        skip = pytest.mark.skip(reason=f"no browser at {BROWSER}; name one in PITCHLINE_BROWSER")
        for item in items:
            if Path(__file__).parent in item.path.parents:
                item.add_marker(skip)


@pytest.fixture(scope="session")
def browser():
    """The browser, started once."""
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # playwright keeps a loop running in this thread
    from playwright.sync_api import sync_playwright

    with sync_playwright() as started:
        opened = started.chromium.launch(executable_path=BROWSER, args=FLAGS)
        yield opened
        opened.close()


@pytest.fixture(scope="session", autouse=True)
def plain_static(tmp_path_factory):
    """Static files by their own names, as the test server finds them; before the server starts."""
    plain = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    root = tmp_path_factory.mktemp("static")
    with override_settings(STORAGES={**settings.STORAGES, "staticfiles": plain}, STATIC_ROOT=root):
        yield


@pytest.fixture(scope="session", autouse=True)
def patience():
    """What is expected of a page is waited for as long as anything else."""
    from playwright.sync_api import expect

    expect.set_options(timeout=PATIENCE_MS)


@pytest.fixture(scope="session")
def free_pages():
    """Pages no test has at the moment. To open one takes a browser as long as three pages of the desk."""
    return []


@pytest.fixture
def opened(browser, live_server, free_pages):
    """A factory of pages of a width and a height; what their console complains about fails the test.

    A page that was another test's holds nothing of it: no cookie, no storage, no file, no route, no look of its own.
    """
    taken, complaints = [], []

    def make(width, height):
        page = free_pages.pop() if free_pages else new_page(browser, live_server.url)
        page.set_viewport_size({"width": width, "height": height})
        page.complaints = complaints
        taken.append(page)
        return page

    yield make
    for page in taken:
        page.complaints = []  # what leaving breaks off is nobody's complaint
        leave(page, live_server.url)
    free_pages += taken
    assert complaints == []


def new_page(browser, address):
    """A page whose console goes to the test that has it."""
    page = browser.new_context(base_url=address).new_page()
    page.on(
        "console", lambda said: page.complaints.append(said.text) if said.type in ("error", "warning") else None
    )
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    page.set_default_timeout(PATIENCE_MS)
    page.asks = page.context.new_cdp_session(page)
    return page


def leave(page, address):
    """Nothing comes out; the page stands where the desk keeps nothing, and keeps nothing."""
    page.context.set_offline(False)
    page.context.unroute_all()
    page.unroute_all()
    page.goto(f"{address}/alive")  # elsewhere the browser would begin a process of its own for it
    page.evaluate("sessionStorage.clear(); localStorage.clear()")
    page.emulate_media(media="null", color_scheme="light")
    page.asks.send("Storage.clearDataForOrigin", {"origin": address, "storageTypes": "all"})
    page.asks.send("Network.clearBrowserCache")
    page.context.clear_cookies()


@pytest.fixture
def phone(opened):
    """A page the size of a phone."""
    return opened(360, 740)


@pytest.fixture(scope="session", autouse=True)
def judged_once():
    """Each judgement and each plan worked out once: the same inputs give the same verdict."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(judging, "judge", judge_once)
        patched.setattr(figures, "verdict_json", write_once)
        patched.setattr(actions, "judge", judge_once)
        patched.setattr(actions, "footing_of", footing_once)
        yield


@pytest.fixture
def in_yard(live_server, dossier):
    """The invented excavator, judged; `test_yard_jobs.py` brings it in by hand."""
    actor = local_actor()
    with transaction.atomic():
        machine = write_machine(actor, machine_json(dossier), dossier)
    judging.judge_machine(actor, machine.pk)
    return machine


@pytest.fixture
def brought(phone, in_yard):
    """A phone on the page of the invented excavator."""
    phone.goto(f"/machines/{in_yard.pk}/")
    phone.get_by_role("button", name="Begin a walk-round").wait_for()
    return phone


@pytest.fixture
def fits():
    """A check that nothing lies beyond the right edge of a page."""

    def make(page):
        page.wait_for_load_state()
        seen, there = page.evaluate("[document.documentElement.clientWidth, document.documentElement.scrollWidth]")
        assert there <= seen, page.url

    return make


@pytest.fixture
def looked_at(fits, axe):
    """A check of a page: nothing beyond its right edge, nothing for axe to find."""

    def make(page):
        fits(page)
        axe(page)

    return make


@pytest.fixture
def all_saved():
    """Waits until the desk has said of everything that was typed on a walk-round that it is saved."""

    def make(page):
        page.wait_for_function(
            "() => !Object.keys(localStorage).some(key => key.startsWith('walk-round ') && !key.endsWith(' writer'))"
        )

    return make


@pytest.fixture
def axe():
    """A check of a page by axe-core, light and dark: every rule it knows, nothing left out."""
    from axe_playwright_python.base import AXE_SCRIPT

    def make(page):
        page.wait_for_load_state("networkidle")  # whatever leads on to another page has done so
        page.evaluate(AXE_SCRIPT)
        for scheme, rules in SCHEMES.items():
            page.emulate_media(color_scheme=scheme)
            assert page.evaluate(LOOK, rules) == [], f"{page.url}, {scheme}"
        page.emulate_media(color_scheme="light")

    return make
