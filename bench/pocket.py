"""What a phone loses or sends twice when browser or desk are killed in the middle, or the network fails, by the desk's database.

    python bench/pocket.py [--kills 20] [--minutes 60] [--fails 10]
    python bench/pocket.py --cold

Kills: records are kept on the phone, and at a moment chosen by chance while they are sent either every process of the browser
or every process of the desk is ended by SIGKILL, and started again. Fails: between phone and desk stands a relay that lets three
in ten requests come to nothing: not connected, held for 20 s without an answer, or carried out and the answer cut off. Cold: the
app opened without a network, 300 machines carried and 200 photos waiting, until its first field is there: by the clock with the
page's processor slowed six times (which other work on this computer makes longer), and six times what its main thread worked.
"""

import argparse
import json
import random
import socket
import socketserver
import statistics
import sys
import tempfile
import threading
import time
from pathlib import Path
from uuid import UUID

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))
from playwright.sync_api import sync_playwright

from pocket_phone import HERE, Desk, Phone

MACHINES = 17
SHARE, STALL_S = 0.3, 20.0
LONGEST_S = 0.1  # after so many were sent, a kill falls within this
ROUND = """
  const store = await own.openStore();
  const yard = await store.read("yard", "yard");
  const begin = async (machine, name) => {
    const about = { sheet: crypto.randomUUID(), machine, date: "2026-11-30", hours: "99999", by: "bench" };
    const round = { ...about, name, unit: "mm", lines: {}, state: "draft", begun: Date.now(), photos: [] };
    await store.add("begin", about, { also: (ask) => ask("rounds", "put", round) });
    return about.sheet;
  };
  const photo = (machine, sheet, place, file) =>
    store.add("photo", { photo: crypto.randomUUID(), machine, sheet, place, caption: "" }, { file });
"""
BATCH = (
    ROUND
    + """
  const [lines, photos] = about;
  const machine = yard.machines[Math.floor(Math.random() * yard.machines.length)].id;
  const { parcel } = await store.read("parcels", machine);
  const sheet = await begin(machine, parcel.name);
  const keys = parcel.places.flatMap((place) => place.readings.map((one) => one.key)).slice(0, lines);
  for (const key of keys) await store.keepLine(sheet, key, { 1: "50.5", 2: "", 3: "", unit: "mm", tool: "" }, false);
  for (let n = 0; n < photos; n += 1) {
    const canvas = new OffscreenCanvas(640, 480);
    const ink = canvas.getContext("2d");
    for (let at = 0; at < 200; at += 1) {
      ink.fillStyle = `hsl(${Math.random() * 360} 60% 50%)`;
      ink.fillRect(Math.random() * 640, Math.random() * 480, 80, 60);
    }
    const file = await canvas.convertToBlob({ type: "image/jpeg" });
    await photo(machine, sheet, parcel.places[n % parcel.places.length].key, file);
  }
  const all = await store.all("records");
  store.db.close();
  const ids = all.filter((one) => one.about.sheet === sheet).map((one) => one.id);
  return { sheet, lines: keys.length, photos, ids };
"""
)
FULL = (
    ROUND
    + """
  const [machines, photos] = about;
  const whole = await store.read("parcels", yard.machines[0].id);
  const rows = Array.from({ length: machines }, (_, n) => {
    const row = yard.machines[n % yard.machines.length];
    return { ...row, id: crypto.randomUUID(), name: `${row.name} ${n}` };
  });
  await store.write(["yard", "parcels"], async (ask) => {
    for (const row of rows) await ask("parcels", "put", { id: row.id, parcel: { ...whole.parcel, id: row.id, name: row.name } });
    await ask("yard", "put", { ...yard, machines: rows }, "yard");
    await ask("yard", "put", Object.fromEntries(rows.map((row) => [row.id, row.etag])), "carried");
  });
  const sheet = await begin(rows[0].id, rows[0].name);
  const noise = new Uint8Array(300000);
  for (let at = 0; at < noise.length; at += 65536) crypto.getRandomValues(noise.subarray(at, at + 65536));
  const { places } = whole.parcel;
  for (let n = 0; n < photos; n += 1)
    await photo(rows[0].id, sheet, places[n % places.length].key, new Blob([noise], { type: "image/jpeg" }));
  store.db.close();
  return sheet;
"""
)

STANDS = """(field) => {
  const look = () => {
    if (!document.querySelector(field)) return;
    watch.disconnect();
    requestAnimationFrame(() => setTimeout(() => (globalThis.stood = performance.now())));
  };
  const watch = new MutationObserver(look);
  watch.observe(document, { childList: true, subtree: true });
}"""
"""By the page's own clock, from its being asked for to the frame that shows a field: what drives the browser works beside it."""


class Relay(socketserver.ThreadingTCPServer):
    """Between a phone and its desk: one request a connection, and some come to nothing."""

    daemon_threads = allow_reuse_address = True

    def __init__(self, port, chance):
        self.desk, self.chance, self.share, self.counts = (
            port,
            chance,
            0.0,
            {"through": 0, "refused": 0, "held": 0, "cut": 0},
        )
        super().__init__((HERE, 0), Passed)


class Passed(socketserver.BaseRequestHandler):
    """One request."""

    def handle(self):
        """Through, or one of the three ways of coming to nothing."""
        fate = "through"
        if self.server.chance.random() < self.server.share:
            fate = self.server.chance.choice(("refused", "held", "cut"))
        self.server.counts[fate] += 1
        if fate == "refused":
            return
        asked = whole(self.request)
        if fate == "held":
            time.sleep(STALL_S)
            return
        if asked is None:
            return
        try:
            with socket.create_connection((HERE, self.server.desk), timeout=60) as desk:
                desk.sendall(asked)
                if fate == "cut":
                    begun = desk.recv(120)
                    while desk.recv(65536):
                        pass
                    self.request.sendall(begun)
                    return
                while part := desk.recv(65536):
                    self.request.sendall(part)
        except OSError:
            return


def whole(phone):
    """A request with its body, told to be the only one of its connection; None where there is none."""
    got = b""
    phone.settimeout(30)
    try:
        while b"\r\n\r\n" not in got:
            part = phone.recv(65536)
            if not part:
                return None
            got += part
        head, _, body = got.partition(b"\r\n\r\n")
        lines = [line for line in head.split(b"\r\n") if not line.lower().startswith(b"connection:")]
        length = next(
            (int(line.split(b":")[1]) for line in lines if line.lower().startswith(b"content-length:")), 0
        )
        while len(body) < length:
            part = phone.recv(65536)
            if not part:
                return None
            body += part
    except OSError:
        return None
    return b"\r\n".join([*lines, b"Connection: close"]) + b"\r\n\r\n" + body


def tally(desk, batches):
    """How many of what the phone kept the desk has not, and how many it has twice."""
    kept = [each for batch in batches for each in batch["ids"]]
    there = [str(UUID(one)) for (one,) in desk.rows("SELECT record_id FROM pocket_brought")]
    lost, doubled = len(set(kept) - set(there)), len(there) - len(set(there))
    for batch in batches:
        sheet = batch["sheet"].replace("-", "")
        (photos,) = desk.rows("SELECT count(*) FROM photos_attachment WHERE sheet_id = ?", sheet)[0]
        (lines,) = desk.rows("SELECT count(*) FROM walkround_readingrow WHERE sheet_id = ?", sheet)[0]
        (rounds,) = desk.rows("SELECT count(*) FROM walkround_sheet WHERE id = ?", sheet)[0]
        for has, wants in ((photos, batch["photos"]), (lines, batch["lines"]), (rounds, 1)):
            lost, doubled = lost + max(0, wants - has), doubled + max(0, has - wants)
    return len(kept), lost, doubled


def hurry(phone):
    """As if the phone came back into the network."""
    phone.page.evaluate("dispatchEvent(new Event('online'))")


def kills(desk, phone, told, chance):
    """Kept, sent, killed in the middle, as often as asked."""
    batches, killed, until = [], {"browser": 0, "desk": 0}, time.monotonic() + 60 * told.minutes
    for moment in range(told.kills):
        if time.monotonic() > until:
            break
        phone.context.set_offline(True)
        batches.append(phone.here(BATCH, 12, 4))
        phone.context.set_offline(False)
        hurry(phone)
        left = len(phone.waits()) - chance.randrange(0, 17)
        while len(phone.waits()) > left:
            time.sleep(0.02)
        time.sleep(chance.random() * LONGEST_S)
        what = "browser" if moment % 2 == 0 else "desk"
        killed[what] += 1
        if what == "browser":
            phone.kill()
            phone.open()
        else:
            desk.kill()
            desk.start()
            hurry(phone)
        print(f"  {moment + 1:3d} {what:7s} {len(phone.waits()):3d} wait", flush=True)
    until_all_gone(phone)
    return batches, killed


def until_all_gone(phone):
    """Nothing waits."""
    while phone.waits():
        hurry(phone)
        time.sleep(0.5)


def cold(desk, chromium):
    """Seconds from the address to the first field, without a network, with everything full: by the clock, and of work."""
    found = []
    with tempfile.TemporaryDirectory() as profile:
        phone = Phone(chromium, profile, desk.address)
        phone.open()
        phone.carried(MACHINES)
        phone.kept()
        sheet = phone.here(FULL, 300, 200)
        for _ in range(5):
            for name, way, field in (("round", f"#r/{sheet}", "[data-box]"), ("list", "", "#text")):
                found.append((name, started(phone, way, field, 6), started(phone, way, field, 1)))
        phone.close()
    for name in ("round", "list"):
        slowed, plain = zip(*((one[1], one[2]) for one in found if one[0] == name), strict=True)
        clock, work = statistics.median(one[0] for one in slowed), statistics.median(one[1] for one in plain)
        whole = statistics.median(one[0] for one in plain)
        print(f"{name}: {clock:.2f} s slowed 6 times, {whole:.2f} s as it is;", end=" ")
        print(f"main thread worked {work:.3f} s, times 6 {6 * work:.2f} s")


def started(phone, way, field, rate):
    """Seconds by the clock, and of the main thread's work, in a browser started anew."""
    phone.kill()
    phone.open("about:blank", offline=True)
    tools = phone.context.new_cdp_session(phone.page)
    tools.send("Emulation.setCPUThrottlingRate", {"rate": rate})
    tools.send("Performance.enable", {"timeDomain": "threadTicks"})
    phone.page.add_init_script(f"({STANDS})({json.dumps(field)})")
    phone.page.goto(f"/pocket/{way}", wait_until="commit")
    while not (took_ms := phone.page.evaluate("globalThis.stood ?? 0")):
        time.sleep(0.2)
    told = {one["name"]: one["value"] for one in tools.send("Performance.getMetrics")["metrics"]}
    return took_ms / 1000, told["TaskDuration"]


def main():
    """Prints what was lost and doubled, or how long a cold start took."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--kills", type=int, default=20)
    asked.add_argument("--minutes", type=float, default=60, help="no more kills begin after this")
    asked.add_argument("--fails", type=int, default=10, help="batches of 17 records over the failing network")
    asked.add_argument("--cold", action="store_true", help="the cold start alone")
    asked.add_argument("--seed", type=int, default=20261130)
    told = asked.parse_args()
    chance = random.Random(told.seed)  # noqa: S311  no secret
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        desk = Desk(folder, "--demo").start()
        try:
            if told.cold:
                cold(desk, playwright.chromium)
                return
            with tempfile.TemporaryDirectory() as profile:
                run(desk, playwright.chromium, profile, told, chance)
        finally:
            desk.stop()


def run(desk, chromium, profile, told, chance):
    """Kills, then the failing network."""
    relay = Relay(desk.port, chance)
    threading.Thread(target=relay.serve_forever, daemon=True).start()
    phone = Phone(chromium, profile, f"http://{HERE}:{relay.server_address[1]}")
    phone.open()
    phone.carried(MACHINES)
    phone.kept()
    if told.kills:
        batches, killed = kills(desk, phone, told, chance)
        kept, lost, doubled = tally(desk, batches)
        print(
            f"{sum(killed.values())} kills ({killed}): {kept} records kept, {lost} lost, {doubled} doubled",
            flush=True,
        )
    if told.fails:
        before = dict(relay.counts)
        relay.share = SHARE
        batches = []
        for number in range(told.fails):
            batches.append(phone.here(BATCH, 12, 4))
            hurry(phone)
            print(f"  batch {number + 1}: {len(phone.waits())} wait", flush=True)
        until_all_gone(phone)
        kept, lost, doubled = tally(desk, batches)
        fates = {name: count - before[name] for name, count in relay.counts.items()}
        print(
            f"{SHARE:.0%} of requests came to nothing ({fates}): {kept} records kept, {lost} lost, {doubled} doubled"
        )
    phone.close()
    relay.shutdown()


if __name__ == "__main__":
    main()
