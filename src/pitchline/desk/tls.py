"""TLS inside the page server: a connection that is greeted, read and written under one lock, and never holds anybody up.

What shaped it: a TLS object must not be read and written by two threads at once; bytes already decrypted wake no poll; a
handshake may be left half done for ever by somebody who hangs up or does not trust the desk.
"""

import ssl
import threading
import time
from pathlib import Path
from typing import Any

from waitress.channel import HTTPChannel

_LATER = (ssl.SSLWantReadError, ssl.SSLWantWriteError)


def context_of(certificate: Path, key: Path) -> ssl.SSLContext:
    """What a server greets with; made in each process, after it divided."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.load_cert_chain(certificate, key)
    return context


class TLSChannel(HTTPChannel):  # type: ignore[misc]
    """One connection of waitress, encrypted."""

    def __init__(self, server: Any, sock: Any, addr: Any, adj: Any, map: Any = None) -> None:
        self._gate, self._greeted = threading.Lock(), False  # a thread that answers sends while the loop reads
        sock.setblocking(False)
        tls = server.tls.wrap_socket(sock, server_side=True, do_handshake_on_connect=False)
        super().__init__(server, tls, addr, adj, map=map)

    def handle_read(self) -> None:
        """Take in all there is, also what was decrypted with it and would wake nobody."""
        while True:
            try:
                data, more = self._read()
            except _LATER:
                return
            except OSError:  # hung up, speaks no TLS, or does not trust us: no news
                self.handle_close()
                return
            if not data:
                self.handle_close()
                return
            self.last_activity = time.time()
            self.received(data)
            if not (self.connected and more):
                return

    def _read(self) -> tuple[bytes, int]:
        with self._gate:
            if not self._greeted:
                self.socket.do_handshake()
                self._greeted = True
            return self.socket.recv(self.adj.recv_bytes), self.socket.pending()

    def send(self, data: bytes, do_close: bool = True) -> int:
        """How much went out; none where the other side has to speak first."""
        try:
            with self._gate:
                return int(self.socket.send(data))
        except _LATER:
            return 0
        except OSError:
            if do_close:
                self.handle_close()
            return 0

    def close(self) -> None:
        """Under the same lock: closing lets go of TLS before the socket, and a send between would go out in the clear."""
        with self._gate:
            super().close()


def channel(server: Any, sock: Any, addr: Any, adj: Any, map: Any = None) -> None:
    """A connection made; what goes wrong here must not reach the listening socket, which would be closed."""
    try:
        TLSChannel(server, sock, addr, adj, map=map)
    except OSError:
        sock.close()
