"""The server of pages: answers under way are finished when the desk is told to go, and slow senders keep nobody out."""

import os
import signal
import socket
import subprocess
import sys
import threading
import urllib.request
from pathlib import Path
from types import SimpleNamespace

import pytest

from pitchline.desk import crew, page_server

SLOW_DESK = """
import pathlib, signal, socket, sys, time, types
folder = pathlib.Path(sys.argv[1])
from django.conf import settings
settings.configure(HTTPS=False, PROXY="")
from pitchline.desk import crew, page_server
page_server.HEAD_S, page_server.SILENCE_S, page_server.UNREAD_S = 0.2, 3600, 0.2

def answer(environ, begin):
    if environ["PATH_INFO"] == "/slow":
        (folder / "begun").touch()
        while not (folder / "go").exists():
            time.sleep(0.01)
    begin("200 OK", [("Content-Type", "text/plain")])
    return [b"whole" * 1_000_000] * (10 if environ["PATH_INFO"] == "/large" else 1)

sys.modules["pitchline.desk.wsgi"] = types.SimpleNamespace(application=answer)  # in place of all the pages
crew._make_ready = lambda: None
listening = socket.create_server(("127.0.0.1", 0))
crew.heed()
print(listening.getsockname()[1], flush=True)
if sys.argv[2] == "divided":
    crew.Crew([lambda line: page_server.PageServer(listening, answer).run([signal.SIGTERM])]).run()
else:
    crew.can_divide = lambda: False
    with crew.answering_here(listening):
        crew.Crew([]).run()
"""


@pytest.fixture(params=["divided", "alone"])
def slow_desk(request, tmp_path):
    """A desk whose answer to /slow waits for a file "go"; a head may take 0.2 s; SIGINT is ignored, as in the background."""
    env = os.environ | {"PYTHONPATH": str(Path(crew.__file__).parents[2])}
    process = subprocess.Popen(  # noqa: S603  ourselves
        [sys.executable, "-c", SLOW_DESK, str(tmp_path), request.param],
        stdout=subprocess.PIPE,
        text=True,
        env=env,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_IGN),
    )
    process.port = int(process.stdout.readline())
    yield process
    process.kill()
    process.communicate()


@pytest.mark.parametrize("told", [signal.SIGTERM, signal.SIGINT])
def test_answer_under_way_is_finished_when_the_desk_is_told_to_go(slow_desk, tmp_path, until, told):
    got = []

    def ask():
        with urllib.request.urlopen(f"http://127.0.0.1:{slow_desk.port}/slow", timeout=60) as answer:
            got.append(answer.read())

    asking = threading.Thread(target=ask)
    asking.start()
    until((tmp_path / "begun").exists)
    slow_desk.send_signal(told)
    with pytest.raises(subprocess.TimeoutExpired):
        slow_desk.wait(0.3)
    (tmp_path / "go").touch()
    asking.join(60)
    assert got == [b"whole" * 1_000_000]
    slow_desk.wait(60)


def test_head_that_never_comes_whole_is_hung_up_on(slow_desk):
    with socket.create_connection(("127.0.0.1", slow_desk.port), timeout=60) as slow:
        slow.sendall(b"GET / HTTP/1.1\r\nHost: x\r\n")
        assert slow.recv(100) == b""


@pytest.mark.parametrize("slow_desk", ["alone"], indirect=True)
def test_answers_nobody_reads_hold_no_thread_for_ever(slow_desk):
    """More of them than there are threads; each larger than what the server keeps for one."""
    unread = [socket.create_connection(("127.0.0.1", slow_desk.port), timeout=60) for _ in range(6)]
    try:
        for one in unread:
            one.sendall(b"GET /large HTTP/1.1\r\nHost: x\r\n\r\n")
        with urllib.request.urlopen(f"http://127.0.0.1:{slow_desk.port}/", timeout=30) as answer:
            assert answer.status == 200
    finally:
        for one in unread:
            one.close()


class Standing:
    """A connection as the server of pages sees it."""

    def __init__(self, since, sending="head", asked=False):
        self.creation_time = self.last_activity = since
        self.request = SimpleNamespace(headers_finished=sending == "body") if sending else None
        self.requests, self.total_outbufs_len, self.will_close = [self] if asked else [], 0, False
        self.adj = SimpleNamespace(outbuf_high_watermark=1)


def test_in_a_crowd_those_go_who_keep_the_desk_waiting_longest(monkeypatch):
    monkeypatch.setattr(page_server, "CROWD", 4)
    asked, photo, idle = Standing(1, asked=True), Standing(2, "body"), Standing(3, "")
    slow, newest = [Standing(since) for since in (4, 5, 6)], Standing(7)
    with socket.create_server(("127.0.0.1", 0)) as listening:
        server = page_server.PageServer(listening, lambda environ, begin: [])
        everybody = [newest, *slow, idle, photo, asked]
        server._server.active_channels = dict(enumerate(everybody))
        server._hang_up_on_the_slow()
        server._server.task_dispatcher.shutdown()
        server._server.close()
    assert [one for one in everybody if one.will_close] == [*slow[:2], idle]


@pytest.mark.parametrize(
    ("proxy", "seen"), [("127.0.0.1", b"203.0.113.7"), ("", b"127.0.0.1"), ("192.0.2.1", b"127.0.0.1")]
)
def test_only_the_proxys_own_word_is_taken_for_where_somebody_comes_from(proxy, seen):
    def application(environ, begin):
        begin("200 OK", [("Content-Type", "text/plain")])
        return [environ["REMOTE_ADDR"].encode()]

    with socket.create_server(("127.0.0.1", 0)) as listening:
        server = page_server.PageServer(listening, application, proxy=proxy)
        answering = threading.Thread(target=server.run)
        answering.start()
        try:
            asked = urllib.request.Request(
                f"http://127.0.0.1:{listening.getsockname()[1]}/",
                headers={"X-Forwarded-For": "198.51.100.1, 203.0.113.7"},
            )
            with urllib.request.urlopen(asked, timeout=60) as answer:  # noqa: S310  ourselves
                assert answer.read() == seen
        finally:
            server.leave()
            answering.join()


def test_half_sent_requests_keep_nobody_out(desk):
    """More than the 100 connections that waitress takes for each process as a rule."""
    slow = [socket.create_connection(("127.0.0.1", desk.port), timeout=60) for _ in range(120 * crew.processes())]
    try:
        for one in slow:
            one.sendall(b"GET / HTTP/1.1\r\nHost:")
        assert desk.ask("/alive") == 200
    finally:
        for one in slow:
            one.close()
