"""A phone's pocket: what it keeps until it is sent, and how the app sends it."""

import io
import json
import uuid

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from pitchline.desk.clock import today
from pitchline.desk.pocket.records import record_in


def jpeg(colour="orange", size=(60, 40)):
    """A photo as a phone makes it smaller."""
    stream = io.BytesIO()
    Image.new("RGB", size, colour).save(stream, "JPEG")
    return stream.getvalue()


def read(record):
    """A record as the desk reads it."""
    return record_in(json.dumps(record).encode())


class Pocket:
    """What a phone keeps until it is sent: records in order, each with an id of its own."""

    def __init__(self, client, writer="one-store", person=""):
        self.client, self.writer, self.person, self.nth = client, writer, person, 0

    def record(self, kind, /, **about):
        self.nth += 1
        return {
            "id": str(uuid.uuid4()), "shape": 1, "nth": self.nth, "at": "2026-11-26T10:12:13Z", "writer": self.writer,
            "person": self.person, "kind": kind, "about": about,
        }  # fmt: skip

    def send(self, record, photo=None):
        """The answer to one record, as the app sends it."""
        if photo is None:
            return self.client.post("/pocket/send", json.dumps(record), content_type="application/json")
        file = SimpleUploadedFile("IMG_1.jpg", photo, "image/jpeg")
        return self.client.post("/pocket/send", {"record": json.dumps(record), "file": file})

    def became(self, kind, /, **about):
        """What became of a record sent just now."""
        answer = self.send(self.record(kind, **about))
        assert answer.status_code == 200, answer.content
        return answer.json()

    def begin(self, machine, hours="3100", **about):
        sheet = str(uuid.uuid4())
        told = {
            "sheet": sheet,
            "machine": str(getattr(machine, "pk", machine)),
            "date": str(today()),
            "hours": hours,
        }
        return sheet, self.became("begin", **(told | about))

    def line(self, sheet, key="bush/left:bush_od_forward", seen=0, **fields):
        return self.became("line", sheet=sheet, key=key, fields=fields, seen=seen)

    def photo(self, machine, sheet=None, photo=None, **about):
        told = {"photo": str(uuid.uuid4()), "machine": str(getattr(machine, "pk", machine)), "sheet": sheet}
        return self.send(self.record("photo", **(told | about)), photo or jpeg())
