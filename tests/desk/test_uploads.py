"""Archives people send are looked at before anything of them is unpacked."""

import io
import zipfile

import pytest

from pitchline.desk.uploads import unpacked, upload
from pitchline.trade.errors import InputError

MB = 1024**2


def zipped(files):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return stream.getvalue()


def locked():
    """An archive with the mark of a password in its list of files: bit 0 of the flags (zip's APPNOTE, 4.4.4, from memory)."""
    raw = bytearray(zipped({"a.csv": b"x"}))
    raw[raw.find(b"PK\x01\x02") + 8] |= 1
    return bytes(raw)


def test_files_of_an_archive_come_out_one_by_one_with_their_folders():
    found = unpacked([upload("sheets.zip", zipped({"one/a.csv": b"x", "b.csv": b"y"})), upload("c.csv", b"z")])
    assert [(one.folder, one.name, one.content) for one in found] == [
        ("one", "a.csv", b"x"),
        (".", "b.csv", b"y"),
        (".", "c.csv", b"z"),
    ]


@pytest.mark.parametrize(
    ("content", "seen", "allowed"),
    [
        (zipped({"a.csv": bytes(3 * MB)}), "a.csv unpacks to ", "up to 200 times"),
        (zipped({f"{n}.csv": bytes(14 * MB) for n in range(15)}), "210 MB unpacked", "up to 200 MB unpacked"),
        (zipped({f"{n}.csv": b"" for n in range(12_001)}), "12,001 files inside", "up to 12,000"),
        (locked(), "protected by a password", "an open file"),
        (zipped({"a.csv": b"x"})[:-30], "damaged content", "a zip without password"),
    ],
    ids=["swollen", "too much", "too many", "locked", "cut short"],
)
def test_an_archive_that_could_fill_the_disk_is_refused_unopened(content, seen, allowed):
    with pytest.raises(InputError) as caught:
        unpacked([upload("sheets.zip", content)])
    (problem,) = caught.value.problems
    assert problem.field == "archive"
    assert problem.seen.startswith(seen)
    assert problem.allowed == allowed


def test_small_files_that_pack_well_are_taken():
    """A megabyte of nothing packs to a thousandth, and is no danger."""
    (found,) = unpacked([upload("sheets.zip", zipped({"a.csv": bytes(MB)}))])
    assert len(found.content) == MB


def test_name_of_a_file_is_kept_whole_with_its_ending_or_refused():
    longest = "n" * 195 + ".json"
    assert upload(longest, b"x").name == longest
    assert upload(longest, b"x").ending == ".json"
    with pytest.raises(InputError) as caught:
        upload("n" + longest, b"x")
    (problem,) = caught.value.problems
    assert (problem.field, problem.seen) == ("file name", "201 letters")
    assert problem.allowed == "200 letters at most"
    assert problem.next_step == "Rename it, and send it again."
