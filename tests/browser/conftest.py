"""A real browser against a real server, on this computer only. The browser is one that is installed; none is fetched."""

import os
import shutil
from pathlib import Path

import pytest
from django.conf import settings
from django.test import override_settings

BROWSER = os.environ.get("PITCHLINE_BROWSER", "/usr/bin/chromium")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
]


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


@pytest.fixture
def phone(browser, live_server):
    """A page the size of a phone; what its console complains about fails the test."""
    context = browser.new_context(viewport={"width": 360, "height": 740}, base_url=live_server.url)
    page = context.new_page()
    complaints = []
    page.on("console", lambda said: complaints.append(said.text) if said.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.complaints = complaints
    yield page
    context.close()
    assert complaints == []


@pytest.fixture
def axe():
    """A check of a page by axe-core, light and dark: every rule it knows, nothing left out."""
    from axe_playwright_python.sync_playwright import Axe

    def make(page):
        page.wait_for_load_state("networkidle")  # whatever leads on to another page has done so
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            found = Axe().run(page)
            told = [
                f"{one['id']}: {one['nodes'][0]['html'][:200]} ({len(one['nodes'])})"
                for one in found.response["violations"]
            ]
            assert told == [], f"{page.url}, {scheme}"
        page.emulate_media(color_scheme="light")

    return make
