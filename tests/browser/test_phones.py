"""A phone is let in over TLS by a browser that trusts the desk's root as a phone does, and what works by which way.

A browser told to pass over errors of certificates proves nothing of a phone that trusts: so the root lies in a store of the
browser's own (NSS), as on a phone where somebody installed it. The desk is the real one, at an address that needs no network.
"""

import os
import shutil
import socket
import ssl
import subprocess
import sys
import urllib.request
from contextlib import closing, suppress
from pathlib import Path

import pytest
from playwright.sync_api import Error, expect

import pitchline
from pitchline.desk.phones.network import NAMED
from pitchline.desk.phones.ways import WAYS

HERE = "127.0.0.1"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-dev-shm-usage",
]
MAY_KEEP_ITSELF = """navigator.serviceWorker.register(document.querySelector("script[src]").src)
    .then(() => true, error => error.name !== "SecurityError")"""
"""Whether a page may keep itself. The script is no worker of ours: a browser that refuses does so before it looks into it."""
WITH_TRUST, WITHOUT, _, PLAIN = WAYS


def free_port():
    """A port nobody has, nor the one after it."""
    while True:
        with closing(socket.create_server((HERE, 0))) as first:
            port = first.getsockname()[1]
            try:
                socket.create_server((HERE, port + 1)).close()
            except OSError:
                continue
            return port


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    """Address of a real desk, on an empty yard."""
    call = [
        sys.executable,
        "-m",
        "pitchline.cli",
        "desk",
        "--port",
        "0",
        "--data",
        str(tmp_path_factory.mktemp("yard")),
    ]
    env = os.environ | {"PYTHONPATH": str(Path(pitchline.__file__).parents[1]), NAMED: HERE}
    env.pop("DJANGO_SETTINGS_MODULE", None)
    with subprocess.Popen(call, stdout=subprocess.PIPE, text=True, env=env) as process:  # noqa: S603  ourselves
        try:
            yield process.stdout.readline().split()[5].rstrip("/")
        finally:
            process.terminate()


@pytest.fixture(scope="module")
def at_desk(browser, desk):
    """The desk's own page of phones, its door open."""
    context = browser.new_context(viewport={"width": 1440, "height": 900}, base_url=desk)
    page = context.new_page()
    page.goto("/settings/")
    page.get_by_role("link", name="Let a phone in").click()
    page.get_by_text("Port 8322").click()
    page.get_by_label("Port", exact=True).fill(str(free_port()))
    page.get_by_role("button", name="Open the door to phones").click()
    page.get_by_role("button", name="Make a code for a phone").wait_for()
    yield page
    context.close()


@pytest.fixture(scope="module")
def door(at_desk):
    """Address of the door, once it answers, and that of the page of trust."""
    trust = at_desk.locator(".address").first.inner_text()
    port = int(trust.rstrip("/").rpartition(":")[2]) - 1
    for _ in range(600):
        with closing(socket.socket()) as knocked:
            if knocked.connect_ex((HERE, port)) == 0:
                return f"https://{HERE}:{port}", trust
        at_desk.wait_for_timeout(100)
    pytest.fail("the door did not open")


@pytest.fixture(scope="module")
def trusting_browser(browser, door, tmp_path_factory):
    """A browser of its own that trusts the root which the page of trust hands out."""
    home = tmp_path_factory.mktemp("home")
    store, root = home / ".pki" / "nssdb", home / "root.pem"
    store.mkdir(parents=True)
    with urllib.request.urlopen(f"{door[1]}desk.crt", timeout=30) as sent:  # noqa: S310  our own desk
        root.write_text(ssl.DER_cert_to_PEM_cert(sent.read()))
    for call in (["-N", "--empty-password"], ["-A", "-t", "C,,", "-n", "desk", "-i", str(root)]):
        subprocess.run(["certutil", "-d", f"sql:{store}", *call], check=True)  # noqa: S603, S607
    opened = browser.browser_type.launch(
        executable_path=os.environ.get("PITCHLINE_BROWSER", "/usr/bin/chromium"),
        args=FLAGS,
        env={**os.environ, "HOME": str(home)},
    )
    yield opened
    opened.close()


needs_a_store = pytest.mark.skipif(
    shutil.which("certutil") is None, reason="no certutil here, so no browser can be made to trust the desk's root"
)


@needs_a_store
def test_phone_is_let_in_and_works_as_the_table_says(at_desk, door, trusting_browser, looked_at):
    at_desk.get_by_role("button", name="Make a code for a phone").click()
    looked_at(at_desk)
    code = at_desk.locator(".code").inner_text()
    context = trusting_browser.new_context(viewport={"width": 360, "height": 740}, base_url=door[0])
    phone = context.new_page()
    assert phone.goto("/").status == 200
    phone.goto("about:blank")
    phone.goto(f"/ask-in/#{code.replace('-', '')}")  # as the square code says it
    expect(phone.get_by_label("Code")).to_have_value(code.replace("-", ""))
    assert (phone.evaluate("isSecureContext"), phone.evaluate(MAY_KEEP_ITSELF)) == (True, True)
    assert WITH_TRUST.opens
    assert WITH_TRUST.is_safe
    looked_at(phone)
    phone.get_by_label("Your name").fill("Ann")
    phone.get_by_label("A name for this phone").fill("Ann's phone")
    phone.get_by_role("button", name="Ask to come in").click()
    digits = phone.locator(".digits").inner_text()
    expect(at_desk.locator(".digits")).to_have_text(digits)  # the desk's page looks by itself
    looked_at(at_desk)
    at_desk.get_by_role("button", name="Let it in").click()
    phone.get_by_role("link", name="Yard", exact=True).wait_for()  # and so does the phone's
    assert phone.goto("/settings/").status == 403
    looked_at(phone)
    phone.goto("/")
    phone.get_by_role("link", name="Carry the yard in your pocket").click()
    phone.get_by_role("link", name="nothing waits").wait_for()
    assert phone.evaluate("async () => Boolean((await navigator.serviceWorker.ready).active)")
    phone.route("**/pocket/send", lambda route: route.abort())
    phone.get_by_role("link", name="Add a machine").click()
    phone.get_by_label("Name").fill("Sedge")
    phone.get_by_label("Hours on the meter").fill("100")
    phone.get_by_role("button", name="Keep this machine").click()
    phone.goto("/")  # the desk's own page says it too
    phone.get_by_role("link", name="1 waiting").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("1 line waiting")
    at_desk.get_by_role("button", name="Put Ann's phone out").click()
    phone.goto("/")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Come in")
    phone.goto("/pocket/#waiting")  # the app opens all the same, and says why nothing comes
    phone.get_by_role("link", name="Sign in again, 1 thing waits").wait_for()
    context.close()


def test_phone_that_does_not_trust_the_root_is_stopped_or_warned(browser, door):
    """Stopped; and where the warning is tapped away, pages open, but the browser keeps nothing of them."""
    context = browser.new_context()
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        context.new_page().goto(door[0])
    context.close()
    context = browser.new_context(ignore_https_errors=True)
    page = context.new_page()
    page.goto(door[0])
    assert page.get_by_role("heading", level=1).inner_text() == "Come in"
    assert not page.evaluate(MAY_KEEP_ITSELF)
    page.goto(f"{door[0]}/pocket/")
    page.get_by_text("This phone does not trust the desk’s certificate").wait_for()
    assert WITHOUT.opens
    assert not WITHOUT.is_safe
    context.close()


def test_nothing_is_offered_without_https(door):
    """What speaks plainly to the door hears nothing of the yard."""
    with closing(socket.create_connection((HERE, int(door[0].rpartition(":")[2])), timeout=30)) as plain:
        plain.sendall(b"GET / HTTP/1.1\r\nHost: x\r\n\r\n")
        with suppress(ConnectionResetError):
            assert b"HTTP" not in plain.recv(1000)
    assert not PLAIN.opens
