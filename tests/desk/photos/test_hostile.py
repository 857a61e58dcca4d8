"""Files that mean harm, or are not what they say: refused in words, nothing kept, nothing run."""

import io
import struct
import zipfile
import zlib

import pytest
from PIL import Image

from pitchline.desk.photos import store
from pitchline.desk.photos.models import Attachment
from pitchline.exchange.grid_xlsx import xlsx_bytes

SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
HTML = b"<!doctype html><html><script>alert(1)</script></html>"
PDF = b"%PDF-1.7\n1 0 obj<<>>endobj\ntrailer<<>>\n%%EOF\n"


def png(width, height, rows=b"", extra=b""):
    """A PNG that says a size, whatever it holds (chunks after the PNG specification, W3C 2003, section 5.3)."""

    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    data = chunk(b"IDAT", zlib.compress(rows, 9))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + extra + data + chunk(b"IEND", b"")


def text_bomb():
    """A PNG whose compressed text unpacks to 200 MB."""
    body = b"note\x00\x00" + zlib.compress(bytes(200 * 1024**2), 9)
    return struct.pack(">I", len(body)) + b"zTXt" + body + struct.pack(">I", zlib.crc32(b"zTXt" + body))


def archive(**members):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as opened:
        for name, content in members.items():
            opened.writestr(name.replace("__", "/"), content)
    return packed.getvalue()


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("photo.jpg", SVG),
        ("photo.svg", SVG),
        ("photo.png", HTML),
        ("page.html", HTML),
        ("photo.jpg", b""),
        ("photo.jpg", b"\xff\xd8\xff\xe0" + b"\x00" * 500),
        ("photo.gif", b"GIF89a" + b"\x00" * 100),
        ("photo.png", png(30_000, 30_000)),
        ("photo.png", png(200_000, 1)),
        ("photo.png", png(9_000, 9_000)),
        ("photo.png", png(100_000, 100_000)),
        ("photo.zip", archive(a=b"x")),
        ("paper.pdf", HTML),
        ("paper.pdf", b"%PDF-1.7\n" + HTML),
        ("paper.pdf", b"junk" + PDF),
        ("table.xlsx", b"PK\x03\x04 nothing"),
        ("table.xlsx", archive(**{"[Content_Types].xml": b"", "word__document.xml": b""})),
        ("table.xlsx", archive(**{"[Content_Types].xml": b"", "xl__workbook.xml": b"<!DOCTYPE x>"})),
        ("table.xlsx", archive(**{"[Content_Types].xml": b"", "xl__workbook.xml": bytes(60 * 1024**2)})),
        ("table.csv", b"\x00\x01\x02" * 100),
        ("notes.txt", b"MZ\x90\x00\x03\x00\x00\x00\x04\x00"),
        ("tool.exe", b"MZ\x90\x00"),
    ],
)
def test_not_what_it_says_is_refused(machine, send, name, content):
    answer = send(machine, content, name)
    assert answer.status_code == 400
    (said, *_) = answer.json()["problems"]
    assert name in said
    assert "allowed:" in said
    assert not Attachment.objects.exists()


def test_picture_cut_short_is_refused(machine, send, picture):
    assert send(machine, picture()[:2000]).status_code == 400


def test_text_bomb_inside_a_picture_is_refused_or_left_out(machine, send):
    content = png(1, 1, b"\x00\x00", text_bomb())
    assert len(content) < 1024**2
    answer = send(machine, content, "photo.png")
    assert answer.status_code == 400 or b"zTXt" not in store.path_of(Attachment.objects.get().file).read_bytes()


def test_what_hangs_on_a_picture_is_gone(machine, send, picture):
    """A polyglot: a whole JPEG, with a page and an archive behind it. What is kept has neither."""
    send(machine, picture() + HTML + archive(a=b"evil"))
    row = Attachment.objects.get()
    for name in (row.file, row.file_small):
        raw = store.path_of(name).read_bytes()
        assert b"<script" not in raw
        assert b"PK\x03\x04" not in raw
        assert Image.open(io.BytesIO(raw)).format == "JPEG"


def test_script_inside_a_picture_comment_is_gone(machine, send, picture):
    send(machine, picture(comment=HTML))
    assert b"script" not in store.path_of(Attachment.objects.get().file).read_bytes()


@pytest.mark.parametrize(
    ("name", "content", "kind"),
    [
        ("paper.pdf", PDF, "application/pdf"),
        ("table.csv", b"a;b\n1;2\n", "text/csv; charset=utf-8"),
        ("notes.txt", "Grüße\n".encode(), "text/plain; charset=utf-8"),
        ("page.txt", HTML, "text/plain; charset=utf-8"),
        (
            "table.xlsx",
            xlsx_bytes("t", [["a"], ["1"]], 1, {}, {}),
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        ),
    ],
)
def test_document_is_handed_out_as_a_download_alone(client, machine, send, name, content, kind):
    assert send(machine, content, name).status_code == 200
    row = Attachment.objects.get()
    answer = client.get(f"/photos/{row.pk}/file")
    assert b"".join(answer.streaming_content) == content
    assert answer["Content-Type"] == kind
    assert answer["Content-Disposition"].startswith("attachment")
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert client.get(f"/photos/{row.pk}/").status_code == 200


def test_too_large_is_refused_before_it_is_read(machine, send, monkeypatch):
    monkeypatch.setattr("pitchline.desk.photos.views.LARGEST_PHOTO_MB", 1000 / 1024**2)
    answer = send(machine, b"x" * 1001, "notes.txt")
    assert answer.status_code == 400
    assert "0 MB" in answer.json()["problems"][0]


@pytest.mark.parametrize("name", ["../../etc/passwd.txt", "..\\..\\x.txt", "‮gpj.txt", "😀" * 80 + ".txt"])
def test_odd_names_lead_nowhere(client, machine, send, settings, name):
    assert send(machine, b"text", name).status_code == 200
    row = Attachment.objects.get()
    assert "/" not in row.name
    assert "\\" not in row.name
    answer = client.get(f"/photos/{row.pk}/file")
    assert b"".join(answer.streaming_content) == b"text"
    assert "\n" not in answer["Content-Disposition"]
    assert store.path_of(row.file).is_relative_to(settings.DATA)
