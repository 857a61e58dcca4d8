"""A mail server of RFC 5321's words, for tests: it takes, puts off (4.2.1: 4yz), refuses, or breaks off; by TLS if wanted."""

import socketserver
import threading
from contextlib import contextmanager
from typing import ClassVar


class Server(socketserver.StreamRequestHandler):
    """One connection; what was taken, and what trouble the next ones make, stands at the class."""

    taken: ClassVar = []
    trouble: ClassVar = []
    offers_tls, is_secret = False, False

    def handle(self):
        """Until it is told to quit."""
        how = self.trouble.pop(0) if self.trouble else "takes"
        self.say("220 made up" if how != "greets not" else "421 come again")
        while line := self.rfile.readline():
            verb = line.split()[0].upper()
            if verb == b"EHLO" and self.offers_tls and not self.is_secret:
                self.say("250-made up\r\n250 STARTTLS")
            elif verb == b"STARTTLS":
                self.say("220 go on")
                try:
                    self.request = self.server.context.wrap_socket(self.request, server_side=True)
                except OSError:  # it believes no such certificate
                    return
                self.setup()
                self.is_secret = True
            elif verb == b"DATA":
                self.say("354 go on")
                text = b""
                while (line := self.rfile.readline()) != b".\r\n":
                    text += line
                if how == "breaks off":
                    self.taken.append(text)
                    return
                if how == "takes":
                    self.taken.append(text)
                self.say("250 taken" if how == "takes" else "451 not now")
            elif verb == b"RCPT" and how == "knows nobody":
                self.say("450 nobody here just now")
            elif verb == b"QUIT":
                self.say("221 bye")
                return
            else:
                self.say("250 yes")

    def finish(self):
        """A line that became secret is another socket than the server knows."""
        super().finish()
        if self.is_secret:
            self.request.close()

    def say(self, text):
        """A line of an answer."""
        self.wfile.write(text.encode() + b"\r\n")


class _Listening(socketserver.ThreadingTCPServer):
    context, at_once = None, False

    def get_request(self):
        sock, address = super().get_request()
        return (self.context.wrap_socket(sock, server_side=True) if self.at_once else sock), address

    def handle_error(self, request, client_address):
        """A line that broke off is what is tried."""


@contextmanager
def listening(context=None, at_once=False):
    """The port of one; with a context it offers STARTTLS (RFC 3207), or speaks TLS from the first byte (RFC 8314)."""
    handler = type("Handler", (Server,), {"offers_tls": context is not None and not at_once})
    served = _Listening(("127.0.0.1", 0), handler)
    served.context, served.at_once = context, at_once
    threading.Thread(target=served.serve_forever, daemon=True).start()
    try:
        yield served.server_address[1]
    finally:
        served.shutdown()
        served.server_close()
