"""Passkeys tried in a real browser with an authenticator of its own: `python scripts/try_passkeys.py`.

Starts a desk on an empty folder, adds a passkey, signs in by it alone, and with it as the second step. Chromium answers for the
authenticator (Chrome DevTools Protocol, domain WebAuthn); `localhost` counts as secure (W3C Secure Contexts, 3.1).
"""

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, expect, sync_playwright

BROWSER = os.environ.get("PITCHLINE_BROWSER") or shutil.which("chromium-headless-shell") or "/usr/bin/chromium"
PASSWORD = "four steel idlers roll"  # noqa: S105  of an empty folder that is gone afterwards
PITCHLINE = (sys.executable, "-m", "pitchline.cli")
KEY = {
    "protocol": "ctap2",
    "transport": "internal",
    "hasResidentKey": True,
    "hasUserVerification": True,
    "isUserVerified": True,
    "automaticPresenceSimulation": True,
}


def sign_in(page: Page, root: str) -> None:
    """By name and password."""
    page.goto(f"{root}/sign-in/")
    page.get_by_label("Name").fill("ann")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()


def tried(page: Page, root: str) -> None:
    """Nothing comes out; a passkey was added, and let its owner in both ways."""
    yard = page.get_by_role("heading", name="An empty yard")
    sign_in(page, root)
    expect(yard).to_be_visible()
    page.goto(f"{root}/own/second/passkeys/add/")
    page.get_by_label("Your password once more").fill(PASSWORD)
    page.locator("main form button").first.click()
    page.get_by_label("A name for this passkey").fill("this computer")
    page.get_by_label("Signs in without name and password").check()
    page.get_by_role("button", name="Make the passkey").click()
    expect(page.get_by_role("heading", name="Spare codes")).to_be_visible()
    page.context.clear_cookies()
    page.goto(f"{root}/sign-in/")
    page.get_by_role("button", name="Sign in with a passkey").click()
    expect(yard).to_be_visible()
    page.context.clear_cookies()
    sign_in(page, root)
    page.get_by_role("button", name="Use a passkey").click()
    expect(yard).to_be_visible()


def main() -> None:
    """Nothing comes out; raises where something does not work."""
    with tempfile.TemporaryDirectory() as folder:
        data, env = str(Path(folder) / "yard"), os.environ | {"PITCHLINE_DESK_LOGIN": "1"}
        add = [*PITCHLINE, "people", "add", "ann", "--data", data]
        subprocess.run(add, input=PASSWORD + "\n", text=True, env=env, check=True)  # noqa: S603  ourselves
        call = [*PITCHLINE, "desk", "--data", data, "--port", "0"]
        desk = subprocess.Popen(call, stdout=subprocess.PIPE, text=True, env=env)  # noqa: S603  ourselves
        try:
            said = desk.stdout.readline() if desk.stdout else ""
            root = "http://localhost:" + said.split("127.0.0.1:")[1].split("/")[0]
            with sync_playwright() as started:
                browser = started.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"])
                page = browser.new_page()
                devtools = page.context.new_cdp_session(page)
                devtools.send("WebAuthn.enable")
                devtools.send("WebAuthn.addVirtualAuthenticator", {"options": KEY})
                tried(page, root)
                browser.close()
        finally:
            desk.terminate()
            desk.wait()
    print("A passkey was added, signed in by itself, and as the second step.")


if __name__ == "__main__":
    main()
