"""Fetching from an address somebody entered: bounded in time and size, to the host that was meant and no other.

Never into a network of this computer's own, unless whoever runs the desk allows it.
"""

import http.client
import ipaddress
import json
import os
import socket
import ssl
import time
import urllib.error
import urllib.parse
import urllib.request
from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass
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
    if parts.scheme not in ("http", "https") or not parts.hostname or parts.username or parts.password:
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


def fetched(address: str, headers: Mapping[str, str], body: bytes | None = None) -> bytes:
    """The body of the answer.

    Raises
    ------
    FetchError
        Nothing usable came.
    """
    asked = urllib.request.Request(checked_address(address), data=body, headers={"User-Agent": _AGENT, **headers})  # noqa: S310  checked
    ends = time.monotonic() + WHOLE_S
    try:
        with _opener().open(asked, timeout=TIMEOUT_S) as answer:
            found = bytearray()
            while piece := answer.read1(1 << 16):
                found += piece
                if len(found) > LARGEST_BYTES:
                    raise FetchError("large", passing=False)
                if time.monotonic() > ends:
                    raise FetchError("slow")
            return bytes(found)
    except urllib.error.HTTPError as error:
        with error:
            raise _refused(error) from None
    except urllib.error.URLError as error:
        if isinstance(error.reason, FetchError):
            raise error.reason from None
        raise FetchError("unreached", seen=str(error.reason)[:80]) from None
    except (OSError, http.client.HTTPException, ValueError) as error:
        raise FetchError("unreached", seen=type(error).__name__) from None


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


def _opener() -> urllib.request.OpenerDirector:
    return urllib.request.build_opener(urllib.request.ProxyHandler({}), _NoWayOn(), _Http(), _Https())


def _checked(sock: socket.socket) -> None:
    """The other end as it was reached, whatever its name was looked up as before."""
    there = ipaddress.ip_address(sock.getpeername()[0].split("%")[0])
    if not there.is_global and os.environ.get(PRIVATE_ALLOWED, "") != "1":
        sock.close()
        raise FetchError("private", seen=str(there), passing=False)


class _HttpConnection(http.client.HTTPConnection):
    def connect(self) -> None:
        super().connect()
        _checked(self.sock)


class _HttpsConnection(http.client.HTTPSConnection):
    def connect(self) -> None:
        http.client.HTTPConnection.connect(self)
        _checked(self.sock)
        self.sock = ssl.create_default_context().wrap_socket(self.sock, server_hostname=self.host)


class _Http(urllib.request.HTTPHandler):
    def http_open(self, req: urllib.request.Request) -> http.client.HTTPResponse:
        return self.do_open(_HttpConnection, req)


class _Https(urllib.request.HTTPSHandler):
    def https_open(self, req: urllib.request.Request) -> http.client.HTTPResponse:
        return self.do_open(_HttpsConnection, req)
