"""Fetching from an address somebody entered: bounded in time and size, to the host that was meant and no other.

Never into a network of this computer's own, unless whoever runs the desk allows it.
"""

import contextlib
import http.client
import ipaddress
import json
import os
import socket
import ssl
import threading
import urllib.error
import urllib.parse
import urllib.request
from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

LARGEST_BYTES = 20 * 1024**2
TIMEOUT_S, WHOLE_S = 30.0, 120.0
"""For one answer to begin or go on, and for the whole of it. Our own choice."""
PRIVATE_ALLOWED = "PITCHLINE_DESK_FETCH_PRIVATE"
_AGENT = "pitchline"


class FetchError(Exception):
    """It could not be fetched: why by a short code, whether it may work later, and when the other side asks us to come again."""

    def __init__(self, why: str, *, seen: str = "", passing: bool = True, again_in_s: float | None = None) -> None:
        self.why, self.seen, self.passing, self.again_in_s = why, seen, passing, again_in_s
        super().__init__(f"{why} {seen}".strip())


@dataclass(frozen=True, slots=True)
class SignIn:
    """How to sign in at an address: nothing, a name with a password, a token, or a client with its secret for a token."""

    kind: str = "none"
    user: str = ""
    secret: str = ""
    token_address: str = ""


def checked_address(address: str) -> str:
    """The address, where it can be fetched from.

    Raises
    ------
    FetchError
        No web address, or one with a name and password in it.
    """
    parts = urllib.parse.urlsplit(address)
    try:
        is_odd = parts.port == 0
    except ValueError:  # no number, or more than there are
        is_odd = True
    if is_odd or parts.scheme not in ("http", "https") or not parts.hostname or parts.username or parts.password:
        raise FetchError("address", seen=address[:60], passing=False)
    return address


def joined(address: str, href: str) -> str:
    """The address of a further page.

    Raises
    ------
    FetchError
        It leads to another host, which must not see what this one is told.
    """
    further = urllib.parse.urljoin(address, href)
    if urllib.parse.urlsplit(further)[:2] != urllib.parse.urlsplit(address)[:2]:
        raise FetchError("elsewhere", seen=further[:60], passing=False)
    return further


def fetched(
    address: str,
    headers: Mapping[str, str],
    body: bytes | None = None,
    *,
    timeout_s: float = TIMEOUT_S,
    whole_s: float = WHOLE_S,
    largest_bytes: int = LARGEST_BYTES,
) -> bytes:
    """The body of the answer.

    Raises
    ------
    FetchError
        Nothing usable came.
    """
    asked = urllib.request.Request(checked_address(address), data=body, headers={"User-Agent": _AGENT, **headers})  # noqa: S310  checked
    ends = _Ends(whole_s)
    try:
        with ends, _opener(ends).open(asked, timeout=min(timeout_s, whole_s)) as answer:
            found = bytearray()
            while piece := answer.read1(1 << 16):
                found += piece
                if len(found) > largest_bytes:
                    raise FetchError("large", passing=False)
            if ends.over:
                raise FetchError("slow")
            return bytes(found)
    except urllib.error.HTTPError as error:
        with error:
            raise _refused(error) from None
    except (OSError, http.client.HTTPException, ValueError) as error:
        raise _unreached(error, ends) from None


def _unreached(error: Exception, ends: "_Ends") -> FetchError:
    reason = error.reason if isinstance(error, urllib.error.URLError) else error
    if isinstance(reason, FetchError):
        return reason
    if ends.over or isinstance(reason, TimeoutError):
        return FetchError("slow")
    seen = str(reason)[:80] if isinstance(error, urllib.error.URLError) else type(error).__name__
    return FetchError("unreached", seen=seen)


class _Ends:
    """Cuts the line when the whole has taken too long, whatever the other end does, a byte at a time or in its headers."""

    def __init__(self, whole_s: float) -> None:
        self.over, self._line = False, threading.Lock()
        self._sock: socket.socket | None = None
        self._timer = threading.Timer(whole_s, self._cut)
        self._timer.daemon = True

    def __enter__(self) -> None:
        self._timer.start()

    def __exit__(self, *_: object) -> None:
        self._timer.cancel()

    def holds(self, sock: socket.socket) -> None:
        """Nothing comes out; this is the line to cut."""
        with self._line:
            self._sock = sock
            if self.over:
                raise FetchError("slow")

    def _cut(self) -> None:
        with self._line:
            self.over = True
            if self._sock is not None:
                with contextlib.suppress(OSError):
                    self._sock.shutdown(socket.SHUT_RDWR)


def _refused(error: urllib.error.HTTPError) -> FetchError:
    said = error.headers.get("Retry-After", "")
    wait = float(said) if said.isdigit() else None
    if error.code in (401, 403):
        return FetchError("sign-in", seen=str(error.code))
    passing = error.code == 429 or error.code >= 500
    return FetchError("answer", seen=str(error.code), passing=passing, again_in_s=wait)


def headers_for(sign_in: SignIn) -> dict[str, str]:
    """What proves to the other side who asks.

    Raises
    ------
    FetchError
        No token was given out.
    """
    if sign_in.kind == "basic":
        return {"Authorization": "Basic " + b64encode(f"{sign_in.user}:{sign_in.secret}".encode()).decode()}
    if sign_in.kind == "token":
        return {"Authorization": f"Bearer {sign_in.secret}"}
    if sign_in.kind == "client":  # RFC 6749, section 4.4
        form = {"grant_type": "client_credentials", "client_id": sign_in.user, "client_secret": sign_in.secret}
        told = {"Content-Type": "application/x-www-form-urlencoded", "Accept": "application/json"}
        answer = fetched(sign_in.token_address, told, urllib.parse.urlencode(form).encode())
        try:
            return {"Authorization": f"Bearer {json.loads(answer)['access_token']}"}
        except (ValueError, KeyError, TypeError):
            raise FetchError("sign-in", seen="no access_token") from None
    return {}


class _NoWayOn(urllib.request.HTTPRedirectHandler):
    """Whoever sends us elsewhere is refused: what proves who we are is for the address that was entered."""

    def redirect_request(self, *_: Any, **__: Any) -> None:
        """No request."""
        return


def _opener(ends: _Ends) -> urllib.request.OpenerDirector:
    return urllib.request.build_opener(urllib.request.ProxyHandler({}), _NoWayOn(), _Http(ends), _Https(ends))


_CARRIES_IPV4 = tuple(map(ipaddress.IPv6Network, ("::/96", "64:ff9b::/96", "64:ff9b:1::/48", "fec0::/10")))
"""IPv4 inside IPv6 (RFC 4291, 6052, 8215) leads wherever a translator takes it; the last is a site's own (RFC 3879)."""


def is_public(there: str) -> bool:
    """Whether an address is one of the internet, and stays so whatever carries it there."""
    address = ipaddress.ip_address(there.split("%")[0])
    if not address.is_global or address.is_multicast:
        return False
    if isinstance(address, ipaddress.IPv4Address):
        return True
    inside = [
        each for each in (address.ipv4_mapped, address.sixtofour, *(address.teredo or ())) if each is not None
    ]
    return all(each.is_global for each in inside) and not any(address in each for each in _CARRIES_IPV4)


def _allowed(there: str) -> bool:
    return is_public(there) or os.environ.get(PRIVATE_ALLOWED, "") == "1"


def _line_to(address: tuple[str, int], timeout: Any, *_: Any) -> socket.socket:
    """A line to one of the addresses a name has: looked up once, looked at before anything is sent there, not even a greeting."""
    found = [there[4] for there in socket.getaddrinfo(*address, type=socket.SOCK_STREAM)]
    allowed = [there for there in found if _allowed(str(there[0]))]
    if not allowed:
        raise FetchError("private", seen=str(found[0][0]), passing=False)
    for there in allowed[:-1]:
        with contextlib.suppress(OSError):
            return socket.create_connection((str(there[0]), int(there[1])), timeout)
    return socket.create_connection((str(allowed[-1][0]), int(allowed[-1][1])), timeout)


class _HttpConnection(http.client.HTTPConnection):
    def __init__(self, *args: Any, ends: _Ends, **more: Any) -> None:
        super().__init__(*args, **more)
        self._ends, self._create_connection = ends, _line_to

    def connect(self) -> None:
        super().connect()
        self._ends.holds(self.sock)


class _HttpsConnection(_HttpConnection):
    default_port = 443

    def connect(self) -> None:
        super().connect()
        self.sock = ssl.create_default_context().wrap_socket(self.sock, server_hostname=self.host)
        self._ends.holds(self.sock)


class _Http(urllib.request.HTTPHandler):
    def __init__(self, ends: _Ends) -> None:
        super().__init__()
        self._ends = ends

    def http_open(self, req: urllib.request.Request) -> http.client.HTTPResponse:
        return self.do_open(partial(_HttpConnection, ends=self._ends), req)


class _Https(urllib.request.HTTPSHandler):
    def __init__(self, ends: _Ends) -> None:
        super().__init__()
        self._ends = ends

    def https_open(self, req: urllib.request.Request) -> http.client.HTTPResponse:
        return self.do_open(partial(_HttpsConnection, ends=self._ends), req)
