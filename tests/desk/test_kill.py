"""Killing the desk (kill -9) at any moment during entry loses nothing that was answered as saved.

Twelve moments as a rule, PITCHLINE_KILLS=200 for a long run. At each, the processes that answer pages and the one that judges are
killed while several people save; now and then their parent too, and the desk is started again.
"""

import http.client
import json
import os
import random
import re
import signal
import sqlite3
import threading
import uuid
from urllib.parse import urlencode

from beside_the_desk import Browser
from pitchline.desk.database import database_of
from pitchline.exchange.machine_file import machine_json

MOMENTS = int(os.environ.get("PITCHLINE_KILLS", "12"))
WHOLE_EVERY = 25
MOST_BETWEEN, LONGEST_S = 10, 0.05
"""Savings answered between two moments, and how long after the last of them."""
WRITERS = 4
KEYS = [f"bottom_roller/{side}/{n}:tread_diameter" for side in ("left", "right") for n in range(1, 5)]


class Writer(threading.Thread):
    """Saves ever larger numbers at its own places, and notes what was answered as saved."""

    def __init__(self, port, sheet, keys, over):
        super().__init__()
        self.browser, self.sheet, self.over = Browser(port), sheet, over
        self.sent, self.saved = dict.fromkeys(keys, 0), dict.fromkeys(keys, 0)
        self.answered, self.broken, self.refused = 0, 0, []

    def run(self):
        """Until told."""
        name, number = uuid.uuid4().hex, 0
        while not self.over.is_set():
            key, number = list(self.sent)[number % len(self.sent)], number + 1
            self.sent[key] = number
            body = urlencode({"writer": name, f"{key}~1": f"{100_000 + number}", f"{key}~v": "0"})
            try:
                status, text = self.browser.send("POST", f"/walk-rounds/{self.sheet}/save/", body)
            except (OSError, http.client.HTTPException):
                self.broken += 1
                self.over.wait(0.02)
                continue
            line = json.loads(text)["lines"][0] if status == 200 else {}
            if line.get("words") == "saved" and not line["aside"]:
                self.saved[key] = number
                self.answered += 1
            else:
                self.refused.append((status, text[:300]))


def stored(folder, sheet):
    """What the database holds of a sheet, by key; and what it says of its own soundness."""
    address = os.environ.get("PITCHLINE_DATABASE", "")
    asked = "SELECT part, side, position, measurand, typed FROM walkround_readingrow WHERE sheet_id = "
    if address:
        import psycopg

        told = database_of(address, folder)
        with psycopg.connect(host=told["HOST"], user=told["USER"], dbname=told["NAME"]) as database:
            rows, sound = database.execute(asked + "%s", (sheet,)).fetchall(), "ok"
    else:
        database = sqlite3.connect(f"file:{folder}/desk.sqlite3?mode=ro", uri=True)
        rows = database.execute(asked + "?", (sheet.hex,)).fetchall()
        (sound,) = database.execute("PRAGMA integrity_check").fetchone()
        database.close()
    read = {
        f"{part}/{side}/{n}:{what}": typed if address else json.loads(typed) for part, side, n, what, typed in rows
    }
    return {key: int(typed[0]) - 100_000 for key, typed in read.items()}, sound


def test_nothing_that_was_answered_as_saved_is_lost(start_desk, until, tmp_path, dossier):
    chance = random.Random(20261125)
    desk = start_desk()
    port = desk.port
    first = Browser(port)
    assert first.bring("machine.json", machine_json(dossier)) == 302
    machine = re.search(r'href="/machines/([0-9a-f-]{36})/"', first.send("GET", "/")[1])[1]
    sheet = uuid.uuid4()
    assert first.send("POST", f"/machines/{machine}/begin/", urlencode({"sheet_id": str(sheet)}))[0] == 302
    over = threading.Event()
    writers = [Writer(port, sheet, KEYS[number::WRITERS], over) for number in range(WRITERS)]
    for writer in writers:
        writer.start()
    try:
        for moment in range(1, MOMENTS + 1):
            more = sum(writer.answered for writer in writers) + chance.randrange(MOST_BETWEEN)
            until(lambda more=more: sum(writer.answered for writer in writers) >= more)
            over.wait(chance.random() * LONGEST_S)
            children = desk.children()
            if moment % WHOLE_EVERY == 0 or moment == MOMENTS:
                desk.process.send_signal(signal.SIGKILL)
            for child in children:
                os.kill(child, signal.SIGKILL)
            saved = {key: number for writer in writers for key, number in writer.saved.items()}
            if moment % WHOLE_EVERY == 0 or moment == MOMENTS:
                desk.process.wait(60)
                until(lambda: first_answer(port) is None)
                desk = start_desk(port)
            held, sound = stored(tmp_path, sheet)
            assert sound == "ok"
            assert all(held.get(key, 0) >= number for key, number in saved.items()), (moment, saved, held)
            until(lambda: first_answer(port) == 200)
    finally:
        over.set()
        for writer in writers:
            writer.join(60)
    held, sound = stored(tmp_path, sheet)
    assert sound == "ok"
    for writer in writers:
        assert writer.refused == []
        for key, number in writer.saved.items():
            assert number <= held.get(key, 0) <= writer.sent[key], key
    answered, broken = (sum(getattr(one, name) for one in writers) for name in ("answered", "broken"))
    print(f"{MOMENTS} moments: {answered} savings answered, all of them there; {broken} tries not answered")
    assert answered > 0
    assert broken > 0
    page = Browser(port).send("GET", f"/walk-rounds/{sheet}/")[1]
    assert all(f'value="{100_000 + number}"' in page for number in held.values())


def first_answer(port):
    """The status of a plain page; None where nobody answers."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        connection.request("GET", "/alive")
        return connection.getresponse().status
    except (OSError, http.client.HTTPException):
        return None
    finally:
        connection.close()
