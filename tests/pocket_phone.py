"""A phone with the yard in its pocket, and the desk it belongs to: real processes, which can be ended at any moment."""

import json
import os
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.request
from contextlib import closing, suppress
from pathlib import Path
from urllib.parse import urlsplit

import psutil

import pitchline

HERE = "127.0.0.1"
BROWSER = os.environ.get("PITCHLINE_BROWSER", "/usr/bin/chromium")
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--disable-dev-shm-usage",
]  # fmt: skip
SCRIPTS = Path(pitchline.__file__).parent / "desk"


def own(route):
    """A module of the app by itself, for a test's own script: the app loads all of them as one."""
    name = urlsplit(route.request.url).path.removeprefix("/own/")
    (file,) = SCRIPTS.glob(f"**/static/{name}")
    route.fulfill(path=file, content_type="text/javascript")


class Desk:
    """`pitchline desk` on a folder, always at one port."""

    def __init__(self, folder, *options):
        self.folder, self.options, self.process = Path(folder), options, None
        with closing(socket.create_server((HERE, 0))) as free:
            self.port = free.getsockname()[1]
        self.address = f"http://{HERE}:{self.port}"

    def start(self):
        """Once it says where it is open; one that runs goes on."""
        if self.process is not None:
            return self
        call = [sys.executable, "-m", "pitchline.cli", "desk", "--no-browser", "--port", str(self.port)]
        env = os.environ | {"PYTHONPATH": str(Path(pitchline.__file__).parents[1])}
        for name in ("DJANGO_SETTINGS_MODULE", "PITCHLINE_DESK_LOGIN", "PITCHLINE_TODAY"):
            env.pop(name, None)
        self.process = subprocess.Popen(  # noqa: S603  ourselves
            [*call, "--data", str(self.folder), *self.options],
            stdout=subprocess.PIPE, text=True, env=env, start_new_session=True,
        )  # fmt: skip
        self.options = ()
        while "open at" not in (line := self.process.stdout.readline()):
            assert line, "the desk did not open"
        return self

    def stop(self, by=signal.SIGTERM):
        """Gone, with all its processes."""
        if self.process is None:
            return
        os.killpg(self.process.pid, by)
        self.process.wait(60)
        self.process.stdout.close()
        with suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process = None

    def kill(self):
        """Gone in the middle of whatever it did."""
        self.stop(signal.SIGKILL)

    def rows(self, asked, *values):
        """What the database holds."""
        with closing(
            sqlite3.connect(f"file:{self.folder}/desk.sqlite3?mode=ro", uri=True, timeout=60)
        ) as database:
            return database.execute(asked, values).fetchall()

    def judged(self):
        """Waits until there are machines, and none is left to judge."""
        judged = "SELECT count(*) > 0 AND sum(to_judge) = 0 FROM machine_machine"
        while not self.rows(judged)[0][0]:
            time.sleep(0.2)


class Phone:
    """A browser with a profile that outlives it."""

    def __init__(self, chromium, profile, address, **about):
        self.chromium, self.profile, self.address, self.about = chromium, str(profile), address, about
        self.context = self.page = None
        self.complaints = []

    def open(self, way="/pocket/", **about):
        """The app, in a browser started anew."""
        self.context = self.chromium.launch_persistent_context(
            self.profile, executable_path=BROWSER, args=FLAGS, base_url=self.address,
            viewport={"width": 360, "height": 740}, **self.about,
        )  # fmt: skip
        self.page = self.context.pages[0]
        self.page.set_default_timeout(60_000)
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.context.route("**/own/**", own)
        self.context.set_offline(about.get("offline", False))
        self.page.goto(way)
        return self.page

    def kill(self):
        """Every process of this browser, at once: known by the profile they were started with."""
        for process in psutil.process_iter(["cmdline"]):
            if f"--user-data-dir={self.profile}" in (process.info["cmdline"] or ()):
                with suppress(psutil.NoSuchProcess):
                    for each in (process, *process.children(recursive=True)):
                        with suppress(psutil.NoSuchProcess):
                            each.kill()
        with suppress(Exception):
            self.context.close()

    def close(self):
        """As a phone that is put away."""
        with suppress(Exception):
            self.context.close()

    def here(self, script, *about, module="store"):
        """What a script says that has one of the app's modules as `own`."""
        text = f"async (about) => {{ const own = await import('/own/pocket/{module}.js'); {script} }}"
        return self.page.evaluate(text, list(about))

    def waits(self):
        """Records that wait, without their photos."""
        return self.here(
            "const store = await own.openStore(); const all = await store.all('records'); store.db.close();"
            " return all.map(({ file, ...record }) => ({ ...record, bytes: file?.size ?? 0 }))"
        )

    def carried(self, machines):
        """Waits until everything is carried."""
        self.page.locator(".machines li").nth(machines - 1).wait_for(state="attached")
        count = (
            "const store = await own.openStore(); const all = await store.read('yard', 'carried'); store.db.close();"
            " return all ?? {}"
        )
        while len(self.here(count)) < machines:
            self.page.wait_for_timeout(100)

    def kept(self):
        """Waits until the worker keeps the app."""
        self.page.evaluate("async () => Boolean((await navigator.serviceWorker.ready).active)")

    def all_gone(self):
        """Waits until nothing waits any more."""
        self.page.get_by_role("link", name="nothing waits").first.wait_for(timeout=600_000)


def is_answering(address):
    """Whether the desk is there."""
    try:
        with urllib.request.urlopen(f"{address}/alive", timeout=5) as answer:  # noqa: S310  our own desk
            return json.load(answer) == {"pitchline": "alive"}
    except OSError:
        return False
