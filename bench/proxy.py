"""Try deploy/nginx.conf before a desk of its own: TLS, signing in, the feed's address, limits, and 1,000 slow connections.

python bench/proxy.py          needs nginx and openssl; everything lies in a temporary folder
"""

# ruff: noqa: S603, S607  programs of this computer, on files of our own
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
from contextlib import ExitStack
from http.client import HTTPSConnection
from pathlib import Path
from urllib.parse import urlencode

ROOT = Path(__file__).parents[1]
HOST, PORT, PLAIN, DESK = "yard.example", 18443, 18080, 18321
SLOW = 1000


def conf_of(folder: Path) -> str:
    """The recipe, at free ports and with the files of this folder."""
    text = (ROOT / "deploy" / "nginx.conf").read_text(encoding="utf-8")
    for old, new in (
        ("listen 80;", f"listen 127.0.0.1:{PLAIN};"), ("listen 443 ssl;", f"listen 127.0.0.1:{PORT} ssl;"),
        ("/etc/ssl/yard.pem", f"{folder}/yard.pem"), ("/etc/ssl/yard.key", f"{folder}/yard.key"),
        ("127.0.0.1:8321", f"127.0.0.1:{DESK}"),
    ):  # fmt: skip
        assert old in text, old
        text = text.replace(old, new)
    temp = "".join(
        f"{kind}_temp_path {folder}/{kind};" for kind in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    )
    head = f"pid {folder}/pid; error_log {folder}/error.log; events {{worker_connections 4096;}}"
    return f"{head} http {{access_log off; {temp}\n{text}}}"


class Visitor:
    """A browser that keeps its cookies and trusts the certificate of this trial."""

    def __init__(self, folder: Path) -> None:
        self.context = ssl.create_default_context(cafile=str(folder / "yard.pem"))
        self.context.check_hostname = False  # it comes by a number; the name is sent as Host
        self.cookies: dict[str, str] = {}

    def ask(self, path: str, sent: dict[str, str] | None = None) -> tuple[int, dict[str, str], str, float]:
        """Status, headers, text, and how long it took [s]."""
        began = time.monotonic()
        asking = HTTPSConnection("127.0.0.1", PORT, context=self.context, timeout=60)
        headers = {"Host": HOST, "Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items())}
        if sent is not None:
            headers |= {
                "Content-Type": "application/x-www-form-urlencoded",
                "Referer": f"https://{HOST}/",
                "Origin": f"https://{HOST}",
            }
        asking.request("GET" if sent is None else "POST", path, urlencode(sent) if sent else None, headers)
        answer = asking.getresponse()
        text = answer.read().decode(errors="replace")
        for one in answer.headers.get_all("Set-Cookie") or ():
            name, _, value = one.split(";")[0].partition("=")
            self.cookies[name] = value
        asking.close()
        return answer.status, dict(answer.headers), text, time.monotonic() - began


def token_in(text: str) -> str:
    """The form's own sign."""
    found = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', text)
    assert found, text[:300]
    return found[1]


def slow_heads(many: int, port: int) -> list[socket.socket]:
    """Connections that never finish their request."""
    made = []
    for _ in range(many):
        one = socket.create_connection(("127.0.0.1", port), timeout=60)
        one.sendall(b"GET / HTTP/1.1\r\nHost:")
        made.append(one)
    return made


def main() -> int:
    if not shutil.which("nginx"):
        print("No nginx on this computer.")
        return 69
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="pitchline-proxy-")))
        folder.chmod(0o711)
        subprocess.run(
            ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", f"/CN={HOST}",
             "-addext", f"subjectAltName=DNS:{HOST}", "-keyout", folder / "yard.key", "-out", folder / "yard.pem"],
            check=True, capture_output=True,
        )  # fmt: skip
        told = {
            "PITCHLINE_DESK_LOGIN": "1", "PITCHLINE_DESK_HTTPS": "1", "PITCHLINE_DESK_HOSTS": HOST,
            "PITCHLINE_DESK_ORIGINS": f"https://{HOST}", "PITCHLINE_DESK_METRICS": "word", "PITCHLINE_DESK_LOG": "json",
            "PITCHLINE_DESK_LOG_REQUESTS": "1", "PITCHLINE_DESK_PROXY": "127.0.0.1",
        }  # fmt: skip
        env = os.environ | told
        env.pop("PITCHLINE_DATABASE", None)
        command = [sys.executable, "-m", "pitchline.cli"]
        data = ["--data", str(folder / "yard")]
        subprocess.run(
            [*command, "people", "add", "ann", *data],
            env=env,
            check=True,
            input="correct horse battery 7\n",
            text=True,
        )
        log = (folder / "desk.log").open("w")
        desk = subprocess.Popen(
            [*command, "desk", "--port", str(DESK), "--no-browser", *data],
            env=env,
            stdout=subprocess.PIPE,
            stderr=log,
            text=True,
        )
        stack.callback(desk.wait)
        stack.callback(desk.send_signal, signal.SIGTERM)
        assert desk.stdout is not None
        desk.stdout.readline()
        (folder / "nginx.conf").write_text(conf_of(folder), encoding="utf-8")
        subprocess.run(["nginx", "-t", "-q", "-c", folder / "nginx.conf"], check=True)
        proxy = subprocess.Popen(["nginx", "-c", folder / "nginx.conf", "-g", "daemon off;"])
        stack.callback(proxy.wait)
        stack.callback(proxy.send_signal, signal.SIGTERM)
        time.sleep(1)
        visitor = Visitor(folder)
        status, headers, text, _ = visitor.ask("/sign-in/")
        assert status == 200, status
        assert "max-age=31536000" in headers["Strict-Transport-Security"], headers
        assert "__Host-csrftoken" in visitor.cookies, visitor.cookies
        sent = {
            "csrfmiddlewaretoken": token_in(text),
            "username": "ann",
            "login": "ann",
            "password": "correct horse battery 7",
            "next": "/",
        }
        assert visitor.ask("/sign-in/", sent)[0] == 302
        status, _, page, _ = visitor.ask("/settings/")
        assert status == 200, status
        visitor.ask("/settings/feed/", {"csrfmiddlewaretoken": token_in(page), "feed": "on"})
        feed = re.search(r"https?://[^\s\"<]*/calendar/", visitor.ask("/settings/")[2])
        print("the feed's address:", feed[0] if feed else "switched on elsewhere")
        assert feed is None or feed[0].startswith(f"https://{HOST}/"), feed
        assert [visitor.ask(path)[0] for path in ("/ready", "/metrics", "/alive")] == [404, 404, 200]
        by_itself = socket.create_connection(("127.0.0.1", DESK))
        by_itself.sendall(
            b"GET /metrics HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer word\r\nConnection: close\r\n\r\n"
        )
        counted = b"".join(iter(lambda: by_itself.recv(65536), b"")).decode()
        assert 'pitchline_requests_total{address="sign-in"' in counted, counted[:2000]
        for name, port in (("nginx", PORT), ("the desk itself", DESK)):
            slow = slow_heads(SLOW, port)
            took = [_page(port, visitor) for _ in range(20)]
            print(
                f"{SLOW} slow connections to {name}: a page in {sorted(took)[10]:.2f} s, {max(took):.2f} s at most"
            )
            for one in slow:
                one.close()
        log.flush()
        told_in_log = (folder / "desk.log").read_text()
        assert "correct horse" not in told_in_log
        assert '"person": "ann"' in told_in_log, told_in_log[-2000:]
    return 0


def _page(port: int, visitor: Visitor) -> float:
    """How long a page takes [s], by the proxy or from the desk itself."""
    if port == PORT:
        status, _, _, took_s = visitor.ask("/sign-in/")
        assert status in (200, 302, 429), status
        return took_s
    began = time.monotonic()
    with socket.create_connection(("127.0.0.1", port), timeout=60) as one:
        one.sendall(b"GET /sign-in/ HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
        assert b" 200 " in b"".join(iter(lambda: one.recv(65536), b""))[:20]
    return time.monotonic() - began


if __name__ == "__main__":
    sys.exit(main())
