"""What a test does beside a running desk: asks it over the network, and looks who is still there."""

import http.client
import json
import re
import uuid
from pathlib import Path


class Browser:
    """Somebody's browser: one cookie, one token, one connection at a time."""

    def __init__(self, port):
        self.port, self.cookie, self.token = port, "", ""
        page = self.send("GET", "/machines/new/")[1]
        self.token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)[1]

    def send(self, method, path, body=None, kind="application/x-www-form-urlencoded"):
        """Status and text of an answer; raises where the connection breaks."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        try:
            headers = {"Cookie": self.cookie, "Accept": "application/json", "X-CSRFToken": self.token}
            connection.request(method, path, body, headers | ({"Content-Type": kind} if body else {}))
            answer = connection.getresponse()
            text = answer.read().decode()
            self.cookie = self.cookie or answer.headers["Set-Cookie"].split(";")[0]
            return answer.status, text
        finally:
            connection.close()

    def bring(self, name, text):
        """A file into the yard."""
        edge = uuid.uuid4().hex
        head = f'--{edge}\r\nContent-Disposition: form-data; name="files"; filename="{name}"\r\n\r\n'
        body = f"{head}{text}\r\n--{edge}--\r\n".encode()
        return self.send("POST", "/bring/", body, f"multipart/form-data; boundary={edge}")[0]

    def read(self, path):
        """What a page of figures says."""
        return json.loads(self.send("GET", path)[1])


def is_gone(pid):
    """Whether a process has ended; one that ended unmissed counts."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] == "Z"
    except (FileNotFoundError, ProcessLookupError):
        return True
