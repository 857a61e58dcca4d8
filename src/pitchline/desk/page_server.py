"""One process's server of pages: kept from slow senders, and gone only when what it was asked is answered.

Waitress reads and writes for everybody in one thread and answers in others, so a phone at the edge of the signal holds a
connection, not a thread. Against the alternatives: docs/explanation/server.md.
"""

import select
import signal
import socket
import ssl
import time
from collections.abc import Sequence
from typing import TYPE_CHECKING

from waitress import wasyncore
from waitress.channel import HTTPChannel
from waitress.server import TcpWSGIServer, create_server

from pitchline.desk.tls import channel

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication

THREADS = 4
LARGEST_BODY = 64 * 1024**2
MOST_CONNECTIONS = 1000 if hasattr(select, "poll") else 400
"""Windows waits for 512 at most (from memory), listening and waking among them."""
SILENCE_S = 20
"""How long a connection may say nothing."""
CROWD = MOST_CONNECTIONS // 2
"""From so many on, those who keep the desk waiting longest are hung up on, so that there is always room for one more."""
HEAD_S = 30.0
"""How long the head of one request may take: who sends a byte now and then is never silent."""
UNREAD_S = 20.0
"""How long whoever asked may take nothing of an answer."""
DRAIN_S = 20.0
"""How long answers under way may take once the desk is told to go."""


class PageServer:
    """Answers pages from a listening socket until told to leave; encrypted where it is handed what to greet with."""

    def __init__(
        self,
        listening: socket.socket,
        application: "WSGIApplication",
        tls: ssl.SSLContext | None = None,
        is_behind_https: bool = False,
        proxy: str = "",
    ) -> None:
        server = create_server(
            application,
            sockets=[listening],
            threads=THREADS,
            max_request_body_size=LARGEST_BODY,
            connection_limit=MOST_CONNECTIONS,
            channel_timeout=SILENCE_S,
            cleanup_interval=SILENCE_S / 2,
            asyncore_use_poll=True,  # select, where there is nothing better, ends at 1,024 open files
            ident="pitchline",
            clear_untrusted_proxy_headers=True,
            **({"trusted_proxy": proxy, "trusted_proxy_headers": {"x-forwarded-for"}} if proxy else {}),
            url_scheme="https" if tls is not None or is_behind_https else "http",
        )
        if not isinstance(server, TcpWSGIServer):
            raise AssertionError("one socket is one server")
        if tls is not None:
            server.tls, server.channel_class = tls, channel
        self._server, self._leaving, self._heads = server, False, dict[HTTPChannel, float]()

    def run(self, told: Sequence[signal.Signals] = ()) -> None:
        """Answer until told to leave, also by one of these; then take nothing new, and answer what was asked before."""
        for number in told:
            signal.signal(number, lambda *_: self.leave())
        while not self._leaving:
            self._turn()
            self._hang_up_on_the_slow()
        self._server.del_channel(self._server._map)
        end = time.monotonic() + DRAIN_S
        while self._is_asked() and time.monotonic() < end:
            self._turn()
        self._server.task_dispatcher.shutdown(timeout=1.0)
        for one in list(self._server.active_channels.values()):
            one.handle_close()
        self._server.close()

    def leave(self) -> None:
        """Nothing comes out; `run` comes to its end."""
        self._leaving = True
        self._server.pull_trigger()

    def _turn(self) -> None:
        wasyncore.loop(timeout=1.0, map=self._server._map, count=1, use_poll=True)

    def _is_asked(self) -> bool:
        """Whether somebody waits for an answer, or for the rest of one."""
        return any(one.requests or one.total_outbufs_len for one in self._server.active_channels.values())

    def _hang_up_on_the_slow(self) -> None:
        """Heads that are still not whole after a while never will be; nor is an answer read that nobody reads on."""
        now, channels = time.monotonic(), list(self._server.active_channels.values())
        begun = [one for one in channels if one.request is not None and not one.request.headers_finished]
        self._heads = {one: self._heads.get(one, now) for one in begun}
        slow = [one for one, since in self._heads.items() if now - since > HEAD_S]
        if len(channels) > CROWD:
            waiting = [one for one in channels if not one.requests and not one.total_outbufs_len]
            # Whoever is in the middle of a head or idle goes before whoever sends a photo; of each, who came first.
            waiting.sort(
                key=lambda one: (one.request is not None and one.request.headers_finished, one.creation_time)
            )
            slow += waiting[: len(channels) - CROWD]
        for one in slow:
            one.will_close = True
        for one in channels:
            kept_by_thread = one.requests and one.total_outbufs_len <= one.adj.outbuf_high_watermark
            if one.total_outbufs_len and not kept_by_thread and time.time() - one.last_activity > UNREAD_S:
                one.handle_close()  # told to close it would wait until there is room to write
