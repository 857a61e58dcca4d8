"""The door on real sockets: encrypted, with the desk's own certificate, and never held up by whoever comes."""

import datetime as dt
import http.client
import socket
import ssl
import threading
import time
from contextlib import closing, contextmanager

import pytest

from pitchline.desk.page_server import PageServer
from pitchline.desk.phones import door
from pitchline.desk.phones.certificates import leaf_of, paths_in, root_of
from pitchline.desk.phones.door import Stands, address_of, trust_address_of
from pitchline.desk.phones.middleware import BY_THE_DOOR
from pitchline.desk.tls import context_of

HERE = "127.0.0.1"
LARGE = 3 * 1024**2


def echo(environ, start):
    """What was sent, and by which way it came."""
    sent = environ["wsgi.input"].read(int(environ.get("CONTENT_LENGTH") or 0))
    how = f"{environ['wsgi.url_scheme']} {environ.get(BY_THE_DOOR)}"
    start("200 OK", [("X-How", how), ("Content-Length", str(len(sent)))])
    return [sent]


def free_ports():
    """Two ports, one after the other, that nobody has."""
    while True:
        with socket.create_server((HERE, 0)) as first:
            port = first.getsockname()[1]
            try:
                with socket.create_server((HERE, port + 1)):
                    return port
            except OSError:
                continue


@contextmanager
def standing(port, monkeypatch, settings):
    """The door, open at a port of this computer."""
    shut, stands = threading.Event(), Stands(port, (), (HERE,))
    monkeypatch.setattr(door, "_look", lambda: None if shut.is_set() else stands)
    monkeypatch.setattr(door, "_tell", lambda problem: None)
    monkeypatch.setattr(door, "_way", lambda: door.PLAIN)
    settings.ALLOWED_HOSTS = []
    thread = threading.Thread(target=door._stand, args=(stands, echo, threading.Event()), daemon=True)
    thread.start()
    try:
        yield
    finally:
        shut.set()
        thread.join(30)
        assert not thread.is_alive()


@pytest.fixture
def port(monkeypatch, settings, tmp_path):
    settings.DATA = settings.MADE_HERE = tmp_path
    port = free_ports()
    with standing(port, monkeypatch, settings):
        for _ in range(300):
            try:
                socket.create_connection((HERE, port + 1)).close()
                break
            except OSError:
                time.sleep(0.05)
        yield port


@pytest.fixture
def trusting(port, tmp_path):
    """A phone that trusts the desk's root, as it was handed out by the page of trust."""
    with closing(http.client.HTTPConnection(HERE, port + 1, timeout=20)) as asked:
        asked.request("GET", "/desk.crt")
        pem = ssl.DER_cert_to_PEM_cert(asked.getresponse().read())
    return ssl.create_default_context(cadata=pem)


def said(port, context, body=b""):
    with closing(http.client.HTTPSConnection(HERE, port, context=context, timeout=30)) as asked:
        asked.request("POST", "/", body)
        answer = asked.getresponse()
        return answer.status, answer.getheader("X-How"), answer.read()


def test_phone_that_trusts_the_root_is_answered_and_marked_as_come_by_the_door(port, trusting):
    assert said(port, trusting, b"hello") == (200, "https True", b"hello")


def test_phone_that_does_not_trust_it_is_not_served_and_harms_nobody(port, trusting):
    for _ in range(20):
        with pytest.raises(ssl.SSLCertVerificationError):
            said(port, ssl.create_default_context())
    assert said(port, trusting)[0] == 200


def test_large_upload_and_answer_come_through_whole(port, trusting):
    body = bytes(range(256)) * (LARGE // 256)
    assert said(port, trusting, body) == (200, "https True", body)


def test_several_at_once_each_get_their_own(port, trusting):
    found = {}

    def one(n):
        body = bytes([n]) * (LARGE // 8)
        found[n] = said(port, trusting, body)[2] == body

    threads = [threading.Thread(target=one, args=(n,)) for n in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert found == dict.fromkeys(range(8), True)


def test_silent_and_garbled_connections_hold_up_nobody(port, trusting):
    silent = [socket.create_connection((HERE, port)) for _ in range(60)]
    for n, one in enumerate(silent[:20]):
        one.sendall(b"GET / HTTP/1.1\r\n\r\n" if n % 2 else b"\x16\x03\x01")
    try:
        assert said(port, trusting, b"x") == (200, "https True", b"x")
    finally:
        for one in silent:
            one.close()
    assert said(port, trusting)[0] == 200


def test_page_of_trust_hands_out_the_root_and_nothing_else(port):
    kinds = {
        "/": (200, "text/html; charset=utf-8"), "/page.css": (200, "text/css"),
        "/desk.crt": (200, "application/x-x509-ca-cert"), "/desk.mobileconfig": (200, "application/x-apple-aspen-config"),
        "/desk.key": (404, "text/plain"), "/root.key": (404, "text/plain"), "/machines/": (404, "text/plain"),
        "/../tls/root.key": (404, "text/plain"),
    }  # fmt: skip
    with closing(http.client.HTTPConnection(HERE, port + 1, timeout=20)) as asked:
        for path, wanted in kinds.items():
            asked.request("GET", path)
            answer = asked.getresponse()
            body = answer.read()
            assert (answer.status, answer.getheader("Content-Type")) == wanted, path
            assert b"PRIVATE KEY" not in body


def test_door_that_is_shut_listens_to_nobody(monkeypatch, settings, tmp_path):
    settings.DATA = settings.MADE_HERE = tmp_path
    port = free_ports()
    with standing(port, monkeypatch, settings):
        for _ in range(300):
            try:
                socket.create_connection((HERE, port)).close()
                break
            except OSError:
                time.sleep(0.05)
    with pytest.raises(OSError, match="refused"):
        socket.create_connection((HERE, port), timeout=5)


def test_only_the_addresses_of_the_certificate_are_hosts(port, trusting, settings):
    """So a page elsewhere that leads a name of its own to this computer (DNS rebinding) is not answered by Django."""
    assert settings.ALLOWED_HOSTS == [HERE]


def test_plain_server_is_as_it_was(tmp_path):
    """Without a certificate to greet with, a page server speaks plain HTTP."""
    with socket.create_server((HERE, 0)) as listening:
        server = PageServer(listening, echo)
        thread = threading.Thread(target=server.run, daemon=True)
        thread.start()
        with closing(http.client.HTTPConnection(*listening.getsockname()[:2], timeout=20)) as asked:
            asked.request("POST", "/", b"x")
            assert asked.getresponse().getheader("X-How") == "http None"
        server.leave()
        thread.join(30)


def test_old_protocols_are_refused(tmp_path):
    """RFC 8996: TLS 1.0 and 1.1 must not be used."""
    now = dt.datetime(2026, 11, 30, tzinfo=dt.UTC)
    leaf_of(tmp_path, root_of(tmp_path, now), (), (HERE,), now)
    assert context_of(*paths_in(tmp_path)).minimum_version == ssl.TLSVersion.TLSv1_2


@pytest.mark.parametrize(
    ("answers", "wanted"), [(True, "https://yard.local:8322/"), (False, "https://10.0.0.7:8322/")]
)
def test_address_is_by_name_where_the_network_leads_it_here(monkeypatch, answers, wanted):
    monkeypatch.setattr(door, "resolves", lambda name: answers)
    stands = Stands(8322, ("yard.local",), ("10.0.0.7", "192.168.1.2"))
    assert address_of(stands) == wanted
    assert trust_address_of(stands) == "http://10.0.0.7:8323/"


def test_door_that_cannot_be_opened_says_so_and_goes_on_trying(monkeypatch, settings, tmp_path):
    settings.DATA = settings.MADE_HERE = tmp_path
    told, end = [], threading.Event()
    monkeypatch.setattr(door, "_AGAIN_AFTER_S", 0.01)
    monkeypatch.setattr(door, "_way", lambda: door.PLAIN)

    def tell(problem):
        told.append(problem)
        if len(told) == 2:
            end.set()

    monkeypatch.setattr(door, "_tell", tell)
    monkeypatch.setattr(door.threading, "Event", lambda: end)
    with socket.create_server((HERE, 0)) as taken:
        port = taken.getsockname()[1]
        monkeypatch.setattr(door, "_look", lambda: Stands(port, (), (HERE,)))
        monkeypatch.setattr(door, "_listening", lambda port: socket.create_server((HERE, port)))
        door.keep_door(echo, told=())
    assert len(told) == 2
    assert told[0] == f"another program holds port {port} or {port + 1}"
