"""Not read, unsafe, worn out, measure again at the desk: the words of the paper on page, list, files and API. By hand."""

import csv
import io
from dataclasses import replace

import pytest

from half_looked import half_looked
from pitchline.desk.bridge.figures import inputs_text, judgement_row, set_figures, verdict_of
from pitchline.desk.bridge.machines import known_dossier


@pytest.fixture
def half(machine):
    """The machine with a verdict of every kind of call."""
    old = machine.judgement
    verdict = half_looked(verdict_of(old))
    row = judgement_row(verdict, inputs_text(old), "0" * 64, old.units)
    row.business, row.machine, row.who = old.business, machine, old.who
    row.save()
    machine.judgement = row
    set_figures(machine, verdict, known_dossier(machine))
    machine.save()
    return verdict


def test_the_verdict_reads_back_with_all_it_says(machine, half):
    assert verdict_of(machine.judgement) == half


def test_the_machines_page_says_how_much_was_looked_at_and_what_each_call_is_about(client, machine, half, words):
    text = words(client.get(f"/machines/{machine.pk}/"))
    looked, every = half.looked_at
    assert f"{looked} of {every} parts looked at" in text
    assert f"{every - looked} of {every} parts without a call: not read, or no limit entered" in text
    for told in (
        "stop: unsafe",
        "stop: ruins what is dearer",
        "book: worn out, works on at your cost",
        "by age alone",
    ):
        assert told in text, told
    assert "If it is right, about 300 h; if misread, about 5,900 h." in text
    assert "unjudged" not in text


@pytest.mark.parametrize(
    ("key", "told"),
    [
        ("sprocket/left", "book: worn out, works on at your cost"),
        (
            "link/left",
            "book: measure again It was read far off. If it is right, about 300 h; if misread, about 5,900 h.",
        ),
        ("link/right", "not read Nobody read it or looked it over."),
        ("link/right", "by age alone"),
        ("shoe/left", " as judged"),
        ("shoe/left", "At the rate so far 520 h to the limit, as a ruler draws it"),
    ],
)
def test_a_parts_page_tells_it_in_the_same_words(client, machine, half, words, key, told):
    text = words(client.get(f"/machines/{machine.pk}/parts/{key}/"))
    assert told in text


def test_the_list_its_filter_and_its_tiles(client, machine, half, words):
    text = words(client.get("/"))
    looked, every = half.looked_at
    assert f"{looked} of {every} parts looked at" in text
    assert "if it is right, about 300 h" in text
    assert "1 looked at in part" in text
    page = client.get("/").content.decode()
    assert '<option value="none">not read</option>' in page
    assert "unsafe" in text


def test_the_list_as_a_file(client, machine, half):
    rows = list(csv.DictReader(io.StringIO(client.get("/machines.csv").content.decode("utf-8-sig"))))
    (row,) = [row for row in rows if row["short name"] == machine.short_name]
    assert (row["call"], row["call about"]) == ("stop", "unsafe")
    assert (row["parts looked at"], row["parts in all"]) == tuple(map(str, half.looked_at))


def test_the_api_says_it_as_values_and_as_words(client, machine, half):
    told = client.get(f"/api/v1/machines/{machine.pk}").json()
    assert (told["call"], told["stake"], told["called"]) == ("stop", "unsafe", "stop: unsafe")
    assert (told["looked_at"], told["looked_of"]) == half.looked_at
    assert client.get("/api/v1/yard").json()["looked_at_in_part"] == 1


def test_a_line_of_the_yard_says_that_its_job_rests_on_an_assumed_limit(machine):
    verdict = verdict_of(machine.judgement)
    jobs = tuple(replace(job, call=verdict.call, assumed_limit=True) for job in verdict.jobs)
    assert "assumed" not in machine.due_said
    set_figures(machine, replace(verdict, jobs=jobs), known_dossier(machine))
    assert "(assumed limit)" in machine.due_said
    of_a_part = tuple(
        replace(part, judged=tuple(replace(one, limit_assumed=True) for one in part.judged))
        for part in verdict.parts
    )
    set_figures(machine, replace(verdict, parts=of_a_part), known_dossier(machine))
    assert machine.due_said.endswith("; some limits assumed")
