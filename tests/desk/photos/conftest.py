"""Photos as phones make them, and hostile files."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import ExifTags, Image


def exif_of(orientation=1, place=True):
    """What a phone writes beside a picture: invented maker, time, orientation, and where."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    exif[ExifTags.Base.Make] = "Invented phone"
    exif[ExifTags.Base.DateTime] = "2026:11:25 09:30:00"
    if place:
        exif[ExifTags.IFD.GPSInfo] = {
            ExifTags.GPS.GPSLatitudeRef: "N",
            ExifTags.GPS.GPSLatitude: (51.0, 28.0, 38.0),
            ExifTags.GPS.GPSLongitudeRef: "W",
            ExifTags.GPS.GPSLongitude: (0.0, 0.0, 5.0),
        }
    return exif


@pytest.fixture
def picture():
    """A factory of photos: red on the left half, blue on the right."""

    def make(size=(800, 600), form="JPEG", orientation=1, place=True, **saved):
        image = Image.new("RGB", size, "blue")
        image.paste("red", (0, 0, size[0] // 2, size[1]))
        stream = io.BytesIO()
        if form == "JPEG":
            saved.setdefault("comment", b"written by an invented phone")
        image.save(stream, form, exif=exif_of(orientation, place), **saved)
        return stream.getvalue()

    return make


@pytest.fixture
def sent():
    """A factory of uploads."""

    def make(content, name="photo.jpg", kind="image/jpeg"):
        return SimpleUploadedFile(name, content, kind)

    return make


@pytest.fixture
def send(client, sent):
    """A factory of sendings, as a phone's script does it."""

    def make(machine, content, name="photo.jpg", accept="application/json", **fields):
        post = {"files": sent(content, name)} | fields
        return client.post(f"/machines/{machine.pk}/photos/send/", post, headers={"Accept": accept})

    return make
