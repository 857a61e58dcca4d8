"""Tries a business from the first person on, over TLS: the parts of deploy/compose.yaml run by hand, and used as new users would.

    scripts/with-postgres .venv/bin/python scripts/try_business.py --proxy caddy [--wheel build/pitchline-*.whl] [--shots FOLDER]

An owner adds two depots and two machines, invites a fitter to one depot and gives a buyer a link, each in a browser of their own.
Settings are those of the compose file and the image; the proxy runs by the file in deploy/, with a certificate made for it.
"""

# ruff: noqa: S101, S603  a trial of this computer, on files of our own
import argparse
import json
import os
import re
import shutil
import signal
import socket
import ssl
import subprocess
import sys
import tempfile
import time
import venv
from collections.abc import Callable
from contextlib import ExitStack
from http.client import HTTPConnection, HTTPMessage
from pathlib import Path

import yaml
from playwright.sync_api import Browser, Page, expect, sync_playwright

ROOT = Path(__file__).parents[1]
BROWSER = os.environ.get("PITCHLINE_BROWSER") or shutil.which("chromium-headless-shell") or "/usr/bin/chromium"
HOST, TLS, PLAIN, DESK = "yard.example", 18443, 18080, 18321
AT = f"https://{HOST}"
ANN, BO = "four steel idlers roll", "a dozen track pins"
PATIENCE_S = 180.0


def settings() -> dict[str, str]:
    """What the image and the compose file set, but the database, which is the one that is set here."""
    text = (ROOT / "deploy" / "Containerfile").read_text(encoding="utf-8")
    line = next(each for each in text.splitlines() if each.startswith("ENV "))
    image = dict(each.split("=", 1) for each in line.split()[1:])
    whole = yaml.safe_load((ROOT / "deploy" / "compose.yaml").read_text(encoding="utf-8"))
    told = image | whole["services"]["desk"]["environment"]
    told = {name: re.sub(r"\$\{YARD_HOST:\?\}", HOST, value) for name, value in told.items()}
    told = {name: value for name, value in told.items() if name.startswith("PITCHLINE_")}
    return told | {"PITCHLINE_DATABASE": os.environ["PITCHLINE_DATABASE"]}


def replaced(text: str, *pairs: tuple[str, str]) -> str:
    """The text with each first part, which must stand there, as the second."""
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    return text


def nginx(folder: Path) -> list[str]:
    """How to start it by deploy/nginx.conf at free ports."""
    text = replaced(
        (ROOT / "deploy" / "nginx.conf").read_text(encoding="utf-8"),
        ("listen 80;", f"listen 127.0.0.1:{PLAIN};"), ("listen 443 ssl;", f"listen 127.0.0.1:{TLS} ssl;"),
        ("/etc/ssl/yard.pem", f"{folder}/yard.pem"), ("/etc/ssl/yard.key", f"{folder}/yard.key"),
        ("127.0.0.1:8321", f"127.0.0.1:{DESK}"),
    )  # fmt: skip
    temp = "".join(
        f"{one}_temp_path {folder}/{one};" for one in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    )
    head = f"pid {folder}/pid; error_log {folder}/error.log; events {{}}"
    types = "types {text/html html;} default_type application/octet-stream;"
    (folder / "nginx.conf").write_text(f"{head} http {{access_log off; {types} {temp}\n{text}}}", encoding="utf-8")
    return ["nginx", "-c", f"{folder}/nginx.conf", "-g", "daemon off;"]


def caddy(folder: Path) -> list[str]:
    """How to start it by deploy/Caddyfile at free ports, with the certificate of the trial in place of one it fetches."""
    text = replaced(
        (ROOT / "deploy" / "Caddyfile").read_text(encoding="utf-8"),
        ("{$YARD_HOST} {", f"{HOST} {{\n\ttls {folder}/yard.pem {folder}/yard.key"),
        ("{$YARD_DESK}", f"127.0.0.1:{DESK}"),
    )
    head = f"{{\n\tadmin off\n\thttp_port {PLAIN}\n\thttps_port {TLS}\n}}\n"
    (folder / "Caddyfile").write_text(head + text, encoding="utf-8")
    return ["caddy", "run", "--config", f"{folder}/Caddyfile", "--adapter", "caddyfile"]


PROXIES: dict[str, Callable[[Path], list[str]]] = {"nginx": nginx, "caddy": caddy}


def installed(folder: Path, wheel: Path | None) -> Path:
    """Where `pitchline` is: in an environment of its own, made as the image makes it, or this one."""
    if wheel is None:
        return Path(sys.executable).parent
    venv.create(folder / "opt", with_pip=True)
    pip = [str(folder / "opt" / "bin" / "pip"), "install", "--quiet", "--no-cache-dir"]
    subprocess.run([*pip, "--require-hashes", "-r", str(ROOT / "requirements" / "run.txt")], check=True)
    subprocess.run([*pip, "psycopg[binary]>=3.2"], check=True)
    subprocess.run([*pip, "--no-deps", str(wheel.absolute())], check=True)
    return folder / "opt" / "bin"


class Business:
    """Who comes, each by a browser of their own, and what they do."""

    def __init__(self, browser: Browser, shots: Path | None) -> None:
        self.browser, self.shots, self.taken = browser, shots, 0

    def comes(self, phone: bool = False) -> Page:
        """Somebody's browser, which knows nothing yet."""
        size = {"width": 390, "height": 844} if phone else {"width": 1280, "height": 900}
        page = self.browser.new_context(ignore_https_errors=True, viewport=size).new_page()  # type: ignore[arg-type]
        page.on("console", self._told)
        page.on("pageerror", lambda error: print("  a script failed:", error))
        return page

    @staticmethod
    def _told(message: object) -> None:
        if getattr(message, "type", "") == "error":
            print("  the browser says:", getattr(message, "text", ""))

    def seen(self, page: Page, what: str) -> None:
        """One more thing that went as it should."""
        self.taken += 1
        print(f"{self.taken:2} {what}", flush=True)
        if self.shots:
            page.screenshot(path=self.shots / f"{self.taken:02}.png", full_page=True)


def sign_in(page: Page, name: str, password: str) -> None:
    """By name and password."""
    page.goto(f"{AT}/sign-in/")
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Sign in", exact=True).click()


def owner_sets_up(us: Business, ann: Page, files: list[Path]) -> None:
    """Two depots, two machines, each at one."""
    sign_in(ann, "ann", ANN)
    expect(ann.get_by_role("heading", name="An empty yard")).to_be_visible()
    cookies = {one["name"]: one for one in ann.context.cookies()}
    assert all(one["secure"] for one in cookies.values()), cookies
    assert {"__Host-sessionid", "__Host-csrftoken"} <= cookies.keys(), cookies
    us.seen(ann, "the owner is in")
    ann.goto(f"{AT}/people/")
    for name in ("North", "South"):
        ann.get_by_label("Name of the depot").fill(name)
        ann.get_by_role("button", name="Add a depot").click()
        expect(ann.get_by_role("listitem").filter(has_text=name).first).to_be_visible()
    us.seen(ann, "two depots stand there")
    ann.goto(f"{AT}/bring/")
    ann.locator("input[type=file]").first.set_input_files(files)
    ann.locator("form:has(input[type=file]) button").first.click()
    ann.wait_for_load_state()
    end = time.monotonic() + PATIENCE_S
    while len(machines(ann)) < 2 or waiting(ann):
        assert time.monotonic() < end, "the machines are not judged"
        time.sleep(1)
    us.seen(ann, "two machines were brought in and are judged")
    for link, depot in zip(machines(ann), ("North", "South"), strict=True):
        ann.goto(AT + link)
        ann.get_by_label("Stands at").select_option(label=depot)
        ann.locator("form:has(#stand-at) button").click()
        ann.wait_for_load_state()
        expect(ann.locator("#stand-at option:checked")).to_have_text(depot)
    us.seen(ann, "each stands at a depot")


def waiting(page: Page) -> bool:
    """Whether a machine still waits to be judged."""
    return not status_and_text(page, "/api/v1/yard")[1].replace(" ", "").count('"waiting":0')


def status_and_text(page: Page, address: str) -> tuple[int, str]:
    """What their browser is answered; a way on to another page is 302."""
    ask = """async (address) => {
        const answer = await fetch(address, {redirect: "manual"});
        return [answer.type === "opaqueredirect" ? 302 : answer.status, await answer.text()];
    }"""
    status, text = page.evaluate(ask, address)
    return status, text


def machines(page: Page) -> list[str]:
    """Addresses of the machines a person finds in the yard."""
    page.goto(f"{AT}/")
    links = page.locator("main a").evaluate_all("all => all.map(one => one.getAttribute('href'))")
    return sorted({one for one in links if re.fullmatch(r"/machines/[0-9a-f-]{36}/", one or "")})


def owner_invites(us: Business, ann: Page) -> str:
    """The link by which a fitter comes, held to the depot of the first machine."""
    ann.goto(f"{AT}/people/")
    form = ann.locator("form[action='/people/invite/']")
    form.get_by_label("Who").fill("the new fitter")
    form.get_by_label("Fitter", exact=False).first.check() if form.get_by_role("radio").count() else form.locator(
        "select"
    ).select_option("fitter")
    form.get_by_label("North").check()
    form.get_by_role("button", name="Make a link").click()
    link = ann.get_by_role("textbox", name="The link").input_value()
    assert link.startswith(f"{AT}/welcome/"), link
    us.seen(ann, "a fitter is invited")
    return link


def fitter_works(us: Business, bo: Page, link: str, mine: str, other: str) -> None:
    """By the link in, to the one machine, round it, and to nothing else."""
    bo.goto(link)
    us.seen(bo, "the fitter opens the link")
    bo.get_by_label("Name").fill("bo")
    for box in bo.locator("input[type=password]").all():
        box.fill(BO)
    bo.get_by_role("button", name="Come in").click()
    bo.wait_for_load_state()
    if "/sign-in/" in bo.url:
        sign_in(bo, "bo", BO)
    assert machines(bo) == [mine], bo.url
    us.seen(bo, "the fitter sees the machine of their depot, and no other")
    for address, status in ((other, 404), ("/people/", 403), ("/prices/", 403), ("/settings/", 200)):
        found, _ = status_and_text(bo, address)
        assert found == status or (status == 200 and found in (200, 403)), (address, found)
    assert status_and_text(bo, f"{mine}about/")[0] in (403, 404)
    bo.goto(AT + mine)
    text = bo.locator("main").inner_text()
    assert "EUR" not in text, text
    us.seen(bo, "the machine's page shows them no price")
    bo.get_by_role("button", name=re.compile("walk-round", re.I)).first.click()
    bo.wait_for_load_state()
    assert "/walk-rounds/" in bo.url, bo.url
    box = bo.locator("main input[name$='tread_diameter~1']").first
    box.scroll_into_view_if_needed()
    box.fill("76,5")
    box.blur()
    expect(bo.get_by_text(re.compile("^Everything is saved|saved$", re.I)).first).to_be_visible(timeout=20_000)
    bo.reload()
    expect(bo.locator("main input[name$='tread_diameter~1']").first).to_have_value("76,5")
    us.seen(bo, "the fitter reads a size on a walk-round, and it is saved")


def buyer_looks(us: Business, ann: Page, mine: str) -> None:
    """The paper of one machine without signing in, until it is taken back."""
    ann.goto(AT + mine)
    ann.get_by_role("link", name="Give a buyer a link").click()
    ann.get_by_label(re.compile("For|Who", re.I)).first.fill("a buyer from far away")
    ann.get_by_role("button", name="Make a link").click()
    link = ann.get_by_role("textbox", name="The link").input_value()
    assert link.startswith(AT), link
    us.seen(ann, "a buyer's link is made")
    buyer = us.comes(phone=True)
    buyer.goto(link)
    us.seen(buyer, "the buyer sees machine and photos")
    paper = buyer.get_by_role("link", name="Read the paper").get_attribute("href") or ""
    status, text = status_and_text(buyer, paper)
    assert (status, text[:4]) == (200, "%PDF"), status
    links = buyer.locator("a").evaluate_all("all => all.map(one => one.getAttribute('href'))")
    assert all((one or "").startswith(link.removeprefix(AT).rsplit("/", 1)[0]) for one in links), links
    for address in ("/", mine, "/api/v1/machines", "/tables/"):
        status, _ = status_and_text(buyer, address)
        assert status in (302, 401, 403, 404), (address, status)
    ann.get_by_role("button", name=re.compile("Take back the link")).click()
    ann.wait_for_load_state()
    assert "1" in ann.locator("td[data-said=Opened]").inner_text()
    assert buyer.goto(link).status == 404  # type: ignore[union-attr]
    us.seen(buyer, "the link leads nowhere once it is taken back")


def fitter_is_put_out(us: Business, ann: Page, bo: Page) -> None:
    """From their next page on."""
    ann.goto(f"{AT}/people/")
    row = ann.locator(".persons > li").filter(has_text="bo")
    row.get_by_text("Change", exact=True).click()
    row.get_by_role("button", name="Put out").click()
    ann.wait_for_load_state()
    bo.goto(f"{AT}/")
    assert "/sign-in/" in bo.url, bo.url
    us.seen(bo, "who was put out is asked to sign in")


def asked(port: int, path: str, context: ssl.SSLContext | None) -> tuple[int, HTTPMessage]:
    """Status and headers, the name of the business meant and its certificate believed."""
    line = socket.create_connection(("127.0.0.1", port), timeout=60)
    with line if context is None else context.wrap_socket(line, server_hostname=HOST) as sock:
        asking = HTTPConnection(HOST)
        asking.sock = sock
        asking.request("GET", path)
        answer = asking.getresponse()
        return answer.status, answer.headers


def outside(folder: Path) -> None:
    """What the proxy says to whoever comes from outside; and that the image's own look at its health finds it well."""
    image = (ROOT / "deploy" / "Containerfile").read_text(encoding="utf-8")
    look = json.loads(image.partition("HEALTHCHECK")[2].partition("CMD ")[2].splitlines()[0])[2]
    subprocess.run([sys.executable, "-c", look.replace(":8321", f":{DESK}")], check=True)
    context = ssl.create_default_context(cafile=str(folder / "yard.pem"))
    for path, status in (("/alive", 200), ("/ready", 404), ("/metrics", 404), ("/", 302)):
        found, headers = asked(TLS, path, context)
        assert found == status, (path, found)
        assert status == 404 or "max-age=31536000" in headers["Strict-Transport-Security"], path
    found, headers = asked(PLAIN, "/people/", None)
    assert found in (301, 308), found
    assert headers["Location"] == f"{AT}/people/", headers["Location"]


def main() -> None:
    """Nothing comes out; raises where something does not go as it should."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--proxy", choices=PROXIES, default="caddy")
    parser.add_argument("--wheel", type=Path)
    parser.add_argument("--shots", type=Path)
    told = parser.parse_args()
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="pitchline-business-")))
        folder.chmod(0o711)
        made = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", f"/CN={HOST}"]
        names = [
            "-addext",
            f"subjectAltName=DNS:{HOST}",
            "-keyout",
            folder / "yard.key",
            "-out",
            folder / "yard.pem",
        ]
        subprocess.run([*made, *names], check=True, capture_output=True)
        place = installed(folder, told.wheel)
        env = {name: value for name, value in os.environ.items() if "PITCHLINE" not in name}
        if told.wheel:
            env.pop("PYTHONPATH", None)
        env |= settings() | {"PITCHLINE_DESK_DATA": str(folder / "yard"), "HOME": str(folder)}
        call = [str(place / "python"), "-m", "pitchline.cli"]
        subprocess.run([*call, "people", "add", "ann"], input=f"{ANN}\n", text=True, env=env, check=True)
        subprocess.run([*call, "demo", "--out", str(folder / "demo")], env=env, check=True, capture_output=True)
        files = sorted((folder / "demo").glob("*/machine.json"))[6:8]  # walked round before
        log = (folder / "desk.log").open("w")
        desk = subprocess.Popen(
            [*call, "desk", "--port", str(DESK), "--no-browser"], env=env, stdout=subprocess.PIPE, stderr=log
        )
        stack.callback(desk.wait)
        stack.callback(desk.send_signal, signal.SIGTERM)
        assert desk.stdout is not None
        print(desk.stdout.readline().decode().strip(), flush=True)
        proxy = subprocess.Popen(PROXIES[told.proxy](folder), stderr=(folder / "proxy.log").open("w"))
        stack.callback(proxy.wait)
        stack.callback(proxy.send_signal, signal.SIGTERM)
        time.sleep(2)
        outside(folder)
        started = stack.enter_context(sync_playwright())
        rules = f"MAP {HOST}:443 127.0.0.1:{TLS}"
        browser = started.chromium.launch(
            executable_path=BROWSER, args=["--no-sandbox", f"--host-resolver-rules={rules}"]
        )
        stack.callback(browser.close)
        us = Business(browser, told.shots)
        ann, bo = us.comes(), us.comes(phone=True)
        try:
            owner_sets_up(us, ann, files)
            mine, other = machines(ann)
            fitter_works(us, bo, owner_invites(us, ann), mine, other)
            buyer_looks(us, ann, mine)
            fitter_is_put_out(us, ann, bo)
        except BaseException:
            if told.shots:
                for name, page in (("ann", ann), ("bo", bo)):
                    page.screenshot(path=told.shots / f"failed-{name}.png", full_page=True)
            print((folder / "desk.log").read_text()[-3000:])
            raise
        log.flush()
        said = (folder / "desk.log").read_text()
        assert ANN not in said, "a password stands in the log"
        assert BO not in said, "a password stands in the log"
        print(f"A business works over TLS, by {told.proxy}.")


if __name__ == "__main__":
    main()
