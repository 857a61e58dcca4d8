import os

import pytest

from pitchline.exchange.machine_file import read_machine
from pitchline.exchange.prices_file import read_prices
from pitchline.exchange.text_in import decode, read_bytes, read_text


def test_a_file_of_200_mb_is_refused_before_it_is_read(tmp_path, refused, monkeypatch):
    path = tmp_path / "huge.json"
    with path.open("wb") as stream:
        stream.truncate(200 * 1024**2)
    monkeypatch.setattr(type(path), "open", lambda *_: pytest.fail("it was opened"))
    (problem,) = refused(read_machine, path)
    assert (problem.seen, problem.allowed) == ("200.0 MB", "up to 10.0 MB")


def test_a_file_that_grew_after_the_look_is_refused_too(tmp_path, refused, monkeypatch):
    path = tmp_path / "grown.csv"
    path.write_bytes(b"x" * (10 * 1024**2 + 1))
    small = tmp_path / "small.csv"
    small.write_bytes(b"x")
    status = small.stat()
    monkeypatch.setattr(type(path), "stat", lambda *_, **__: status)
    (problem,) = refused(read_bytes, path)
    assert problem.field == "file size"


def _missing(folder):
    return folder / "nothing.json"


def _folder(folder):
    return folder


def _empty(folder):
    (folder / "empty.json").touch()
    return folder / "empty.json"


def _blank(folder):
    (folder / "blank.json").write_text(" \n\n")
    return folder / "blank.json"


def _circle(folder):
    (folder / "a.json").symlink_to(folder / "b.json")
    (folder / "b.json").symlink_to(folder / "a.json")
    return folder / "a.json"


def _pipe(folder):
    os.mkfifo(folder / "pipe.json")
    return folder / "pipe.json"


def _nul(folder):
    return folder / "a\x00b.json"


@pytest.mark.parametrize(
    ("make", "seen"),
    [
        (_missing, "nothing.json"),
        (_folder, "a folder"),
        (_empty, "an empty file"),
        (_blank, "nothing but blanks"),
        (_circle, "Too many levels of symbolic links"),
        (_pipe, "not an ordinary file"),
        (_nul, "a name that cannot be used"),
    ],
)
def test_what_cannot_be_read_is_told(tmp_path, refused, make, seen):
    path = make(tmp_path)
    (problem,) = refused(read_machine, path)
    assert problem.seen == seen
    assert problem.file == path.name


def test_a_file_without_permission_is_told(tmp_path, refused, monkeypatch):
    path = tmp_path / "locked.csv"
    path.write_text("x")

    def denied(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(type(path), "open", denied)
    (problem,) = refused(read_prices, path)
    assert problem.seen == "Permission denied"


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252"]
)
def test_encodings_are_recognised(encoding):
    text = "source,Händler größe – 5 €\njob,part\n" * 3
    assert decode(text.encode(encoding), "f.csv") == text


@pytest.mark.parametrize(
    "raw",
    [
        bytes(range(256)) * 4,
        b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(40),
        "a\x00b".encode("utf-16"),
        b"\xff\xfe\x00",
        b"caf\x81 \x8d\x9d job,part",
    ],
)
def test_binary_content_is_refused(raw, refused):
    (problem,) = refused(decode, raw, "f.csv")
    assert problem.field == "encoding"


def test_a_workbook_named_csv_is_told(tmp_path, refused):
    path = tmp_path / "prices.csv"
    path.write_bytes(b"PK\x03\x04rest")
    (problem,) = refused(read_text, path)
    assert problem.seen == "a workbook or archive"
