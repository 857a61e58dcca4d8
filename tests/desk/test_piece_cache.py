"""Pieces of pages: made once, kept, and never in the way."""

import sqlite3
from dataclasses import replace

import pytest
from django.db import connection
from django.template import Context, Template, TemplateSyntaxError
from django.test.utils import CaptureQueriesContext

from pitchline.desk import fragment_cache, piece_cache
from pitchline.desk.machine.models import Machine
from pitchline.desk.piece_cache import cached, close_store, tidy


@pytest.fixture
def folder(settings, tmp_path):
    """A data folder of this test's own."""
    settings.MADE_HERE = tmp_path
    yield tmp_path
    close_store()


class Maker:
    """Counts how often it is asked."""

    def __init__(self, said="made"):
        self.said, self.times = said, 0

    def __call__(self):
        self.times += 1
        return {"text": f"{self.said} ü {self.times}"}


def test_piece_is_made_once_and_read_back_the_same(folder):
    make = Maker()
    first = cached(("a", "b"), make)
    close_store()
    assert cached(("a", "b"), make) == first == {"text": "made ü 1"}
    assert make.times == 1


def test_keys_that_run_together_alike_are_kept_apart(folder):
    assert cached(("ab", "c"), Maker("one")) != cached(("a", "bc"), Maker("other"))


def test_what_cannot_be_made_is_not_kept(folder):
    def refuse():
        raise LookupError("no such part")

    for _ in range(2):
        with pytest.raises(LookupError):
            cached(("a",), refuse)
    assert cached(("a",), Maker())["text"] == "made ü 1"


def test_other_code_makes_its_own_pieces_and_the_old_ones_go(folder, monkeypatch):
    cached(("a",), Maker())
    monkeypatch.setattr(piece_cache, "code_digest", lambda: "another release")
    assert cached(("a",), Maker("newer"))["text"] == "newer ü 1"
    tidy()
    with sqlite3.connect(folder / "pieces.sqlite3") as store:
        assert store.execute("SELECT code FROM drawn").fetchall() == [("another release",)]
    store.close()


def test_broken_file_costs_time_and_nothing_else(folder):
    (folder / "pieces.sqlite3").write_bytes(b"no database at all " * 500)
    assert cached(("a",), Maker())["text"] == "made ü 1"
    tidy()
    make = Maker("again")
    assert [cached(("a",), make)["text"] for _ in range(2)] == ["again ü 1"] * 2


def test_folder_that_cannot_be_written_is_no_hindrance(settings, tmp_path):
    settings.MADE_HERE = tmp_path / "not there"
    assert cached(("a",), Maker())["text"] == "made ü 1"


def test_page_of_a_machine_is_drawn_once(client, machine, monkeypatch):
    from pitchline.desk.machine import pages

    drawn = []
    real = pages.side_svg
    monkeypatch.setattr(pages, "side_svg", lambda *args, **how: drawn.append(1) or real(*args, **how))
    first, again = (client.get(f"/machines/{machine.pk}/").content.decode() for _ in range(2))
    assert len(drawn) == 2  # for a wide screen and for a phone
    assert first.count("<svg") == again.count("<svg")
    client.get(f"/machines/{machine.pk}/?side=right")
    assert len(drawn) == 4


def test_new_judgement_is_drawn_anew(client, bring, dossier, machine):
    """The piece belongs to the judgement: another machine's, or a later one's, is another piece."""
    other = bring(replace(dossier, machine=replace(dossier.machine, machine_id="T2", name="Second machine")))
    pages = [client.get(f"/machines/{one.pk}/").content.decode() for one in (machine, other, machine, other)]
    assert pages[1] != pages[0]
    assert str(machine.pk) not in pages[3]
    assert str(other.pk) not in pages[2]


def test_page_drawn_before_reads_no_packed_verdict(client, machine):
    client.get(f"/machines/{machine.pk}/")
    with CaptureQueriesContext(connection) as asked:
        client.get(f"/machines/{machine.pk}/")
    assert not any("verdict_packed" in one["sql"] for one in asked)


def rendered(text, **values):
    return Template(text).render(Context(values))


def test_remembered_part_is_rendered_again_only_for_other_values():
    template = Template(
        "{% for one in many %}{% remembered one.key %}{{ one.shown }} {% endremembered %}{% endfor %}"
    )
    many = [
        {"key": (1, "a"), "shown": "x"},
        {"key": (1, "a"), "shown": "not asked"},
        {"key": (1, "b"), "shown": "y"},
    ]
    assert template.render(Context({"many": many})) == "x x y "


def test_two_remembered_parts_do_not_share():
    assert rendered("{% remembered 1 %}a{% endremembered %}{% remembered 1 %}b{% endremembered %}") == "ab"


def test_remembered_text_stays_escaped():
    text = "{% remembered said %}{{ said }}{% endremembered %}"
    assert rendered(text, said="<b>") == rendered(text, said="<b>") == "&lt;b&gt;"


def test_row_is_refused_as_a_value():
    with pytest.raises(TemplateSyntaxError, match="a row is no value"):
        rendered("{% remembered one %}{{ one }}{% endremembered %}", one=Machine(name="x"))


def test_values_must_be_named():
    with pytest.raises(TemplateSyntaxError, match="name every value"):
        Template("{% remembered %}x{% endremembered %}")


def test_no_more_is_remembered_than_there_is_room_for(monkeypatch):
    monkeypatch.setattr(fragment_cache, "MOST", 5)
    template = Template("{% remembered one %}{{ one }}{% endremembered %}")
    for number in range(20):
        assert template.render(Context({"one": number})) == str(number)
    assert len(fragment_cache._KNOWN) <= 5


def test_changed_machine_shows_in_the_yard_at_once(client, machine, words):
    """The yard's lines are remembered by their values: a changed one is another line."""
    assert "Test machine" in words(client.get("/"))
    Machine.objects.filter(pk=machine.pk).update(customer="Invented & Sons", call="stop")
    text = words(client.get("/"))
    assert "Invented &amp; Sons" in text
