"""Practice: every piece can be asked and has one right answer; kept for each person, and shown to who teaches."""

import datetime as dt
import re
from dataclasses import replace
from html import unescape

import pytest
from django.utils import timezone
from fsrs import Card, Rating, Scheduler

from judged_once import judge_once
from pitchline.desk.people.who import Actor
from pitchline.desk.photos.models import Attachment, PartName
from pitchline.desk.primer import ask_calls
from pitchline.desk.primer.ask_calls import CALLED, FROM, MACHINES, such
from pitchline.desk.primer.ask_scales import READ, ask_scale
from pitchline.desk.primer.ask_worn import WORN, ask_worn
from pitchline.desk.primer.models import KNOWN_DAYS, Practised
from pitchline.desk.primer.pieces import Piece, PieceKind, grade_of
from pitchline.desk.primer.practice import Practice, answer, learners
from pitchline.desk.primer.schedule import Grade, after
from pitchline.picture.scale_read import SLIDING, scale_svg
from pitchline.trade.parts import PartKind
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import PLAIN, writing

CALLIPER = Piece(PieceKind.SCALE, "calliper")


@pytest.fixture(autouse=True)
def judged(monkeypatch):
    """Made-up machines are judged once for all tests."""
    monkeypatch.setattr(ask_calls, "judge", judge_once)


def page(client, address, **sent):
    answer = client.get(address, sent)
    assert answer.status_code == 200, address
    return " ".join(
        unescape(re.sub(r"<(style|svg)\b.*?</\1>|<[^>]*>", " ", answer.content.decode(), flags=re.DOTALL)).split()
    )


def address(piece):
    return f"/primer/practice/{piece.mark}/"


def test_every_part_is_asked_by_name_and_its_address_tells_no_answer(client, actor):
    pieces = [one for one in Practice(actor).pieces if one.kind is PieceKind.NAME]
    assert sorted(one.name for one in pieces) == sorted(one.value for one in PartKind)
    assert len({one.mark for one in pieces}) == len(PartKind)
    for one in pieces[:4]:
        text = client.get(address(one)).content.decode()
        keys = re.findall(r'name="answer" value="(\w+)"', text)
        assert len(keys) == len(set(keys)) == 4
        assert one.name in keys
        assert f"parts/{one.name}/" not in text
        assert one.name not in address(one)


def lines_of(drawn):
    """Where the lines of a drawing stand: the upright ones, by whether they go up or down from the edge both scales share."""
    found = re.findall(r'd="M([\d.]+) 92L([\d.]+) ([\d.]+)"', drawn)
    return [float(x) for x, other, y in found if x == other and float(y) < 92], [
        float(x) for x, other, y in found if x == other and float(y) > 92
    ]


@pytest.mark.parametrize("size_mm", [48.0, 57.4, 61.9, 69.0])
def test_a_sliding_scale_reads_as_such_scales_do(size_mm):
    """Read off the drawing as a person reads: the last whole line before the nought, and the line that meets one above.

    A second scale of ten lines over nine millimetres: ISO 13385-1 (number from memory).
    """
    drawn = scale_svg("calliper", size_mm, 720, "a")
    above, below = (sorted(lines) for lines in lines_of(drawn))
    assert len(below) == 11
    assert below[10] - below[0] == pytest.approx(9 * (above[1] - above[0]), abs=0.3)
    tens = [
        (float(x), int(said)) for x, said in re.findall(r'<text x="([\d.]+)" y="[\d.]+" class="m b">(\d+)<', drawn)
    ]
    step = above[1] - above[0]
    whole = tens[0][1] + (below[0] - tens[0][0]) / step
    meets = min(range(10), key=lambda line: min(abs(below[line] - one) for one in above))
    assert int(whole + 0.02) + meets / 10 == pytest.approx(size_mm)


@pytest.mark.parametrize("size_in", [1.9, 2.137, 2.324, 2.699])
@pytest.mark.parametrize("width", [720, 390])
def test_a_sliding_scale_in_inches_reads_in_thousandths(size_in, width):
    """Fortieths of an inch above, twenty-five lines over twenty-four below, read off the drawing as a person reads."""
    drawn = scale_svg("calliper", size_in * 25.4, width, "a", units=UnitSystem.IMPERIAL)
    above, below = (sorted(lines) for lines in lines_of(drawn))
    assert len(below) == 26
    assert below[25] - below[0] == pytest.approx(24 * (above[1] - above[0]), abs=0.5)
    assert below[25] <= width
    x, said = re.search(r'<text x="([\d.]+)" y="[\d.]+" class="(?:m b|s m)">(\d\.\d)<', drawn).groups()
    before = float(said) + 0.025 * (below[0] - float(x)) / (above[1] - above[0])
    meets = min(range(25), key=lambda line: min(abs(below[line] - one) for one in above))
    assert int((before + 5e-4) / 0.025) * 0.025 + meets / 1000 == pytest.approx(size_in, abs=1e-6)


@pytest.mark.parametrize("piece", READ, ids=lambda one: one.name)
def test_a_business_on_inches_reads_and_types_inches(piece, client, actor):
    with writing(replace(PLAIN, units=UnitSystem.IMPERIAL)):
        asked = ask_scale(piece, 0)
        told = asked.right_said
    assert told.endswith(" in")
    assert float(told.split()[0]) * 25.4 == pytest.approx(float(asked.right), abs=2e-3)
    lines = (
        float(asked.right) / 25.4 * (4 if piece.name == "tape" else 1) * (1000 if piece.name in SLIDING else 16)
    )
    assert lines == pytest.approx(round(lines), abs=1e-2)
    actor.business.units = UnitSystem.IMPERIAL
    actor.business.save()
    text = page(client, address(piece))
    assert "What it reads, in inches" in text
    told = page(client, client.post(address(piece), {"number": 0, "answer": told.split()[0]})["Location"])
    assert "Right:" in told


@pytest.mark.parametrize("piece", READ, ids=lambda one: one.name)
def test_a_scale_is_marked_by_how_far_off_a_figure_is(piece):
    for number in range(5):
        asked = ask_scale(piece, number)
        right = float(asked.right)
        line = asked.near
        assert line == pytest.approx({"tape": 0.125, "rule": 0.5}.get(piece.name, 0.1))
        marks = [
            (0, Grade.RIGHT),
            (line, Grade.NEAR),
            (-line, Grade.NEAR),
            (1.5 * line, Grade.WRONG),
            (10, Grade.WRONG),
        ]
        assert [grade_of(asked, right + off, "") for off, _ in marks] == [grade for _, grade in marks]
        steps = right * (4 if piece.name == "tape" else 1) * (10 if piece.name in SLIDING else 2)
        assert steps == pytest.approx(round(steps))
        assert ask_scale(piece, number) == asked


@pytest.mark.parametrize("piece", WORN, ids=lambda one: one.name)
def test_a_worn_section_is_worn_as_far_as_its_answer_says(piece):
    """The share worn by sizes alone, told beside the drawing; of a round part by its area, a circle's segment.

    Area of a segment of height h: r² acos(1 - h/r) - (r - h) sqrt(2 r h - h²), Bronstein, plane geometry.
    """
    import math

    says = {"quarter": 0.25, "half": 0.5, "most": 0.75, "limit": 1.0, "past": 1.25}
    seen = set()
    for number in range(12):
        asked = ask_worn(piece, number)
        ((_, told),) = asked.facts
        new, limit, today = (float(one) for one in re.findall(r"([\d.]+)\smm", told))
        share = (new - today) / (new - limit)
        if piece.name == "bush":

            def area(lost, r=new / 2):
                return r * r * math.acos(1 - lost / r) - (r - lost) * math.sqrt(2 * r * lost - lost * lost)

            share = area(new - today) / area(new - limit)
        assert share == pytest.approx(says[asked.right], abs=0.02)
        assert asked.drawn is not None
        seen.add(asked.right)
    assert len(seen) >= 3


@pytest.mark.parametrize("name", FROM)
def test_each_call_is_the_verdict_s_own_on_each_machine_it_is_taken_from(name):
    call, stake, _ = FROM[name]
    for number in MACHINES[name]:
        verdict = ask_calls.verdict_of(number, ask_calls.way_in_force().units)
        found = such(verdict, name)
        assert found, (name, number)
        assert {(one.call, one.stake) for one in found} == {(call, stake)}


def test_a_call_tells_the_facts_before_and_the_reason_after(client, actor):
    ruins = next(one for one in CALLED if one.name == "ruins")
    before = page(client, address(ruins))
    assert "Booking window" in before
    assert "The verdict says" not in before
    after_it = page(client, address(ruins), number="0", answer="run", done="1")
    assert "Too hopeful. You said Run; it is Stop." in after_it
    assert "The verdict says “stop: ruins what is dearer”" in after_it
    plenty = next(one for one in CALLED if one.name == "plenty")
    assert "Too strict. You said Stop; it is Run." in page(
        client, address(plenty), number="0", answer="stop", done="1"
    )


def test_an_answer_is_kept_once_and_shown_by_its_address(client, actor):
    right = ask_scale(CALLIPER, 0).right
    for _ in range(2):  # sent twice, as a page that is loaded again does
        shown = client.post(address(CALLIPER), {"number": "0", "answer": right}, follow=True)
        assert "Right:" in shown.content.decode()
    row = Practised.objects.get()
    assert (row.piece, row.who, row.right, row.wrong, row.last_right) == ("scale/calliper", actor.name, 1, 0, True)
    assert ask_scale(CALLIPER, 1).right != right
    client.post(address(CALLIPER), {"number": "1", "answer": ""})
    row.refresh_from_db()
    assert (row.right, row.wrong, row.last_right, row.is_known) == (1, 1, False, False)


def test_what_is_no_figure_is_said_beside_the_field_and_not_kept(client, actor):
    answer = client.post(address(CALLIPER), {"number": "0", "answer": "fifty"})
    assert answer.status_code == 400
    assert "fifty" in re.search(r'id="wrong-answer">(.*?)</p>', answer.content.decode())[1]
    assert not Practised.objects.exists()
    comma = ask_scale(CALLIPER, 0).right.rstrip("0").replace(".", ",")
    client.post(address(CALLIPER), {"number": "0", "answer": f"{comma} mm"})
    assert Practised.objects.get().last_right


def test_pieces_come_again_as_the_scheduler_says():
    """The same answers given to the library itself; more right answers in a row, the longer it waits."""
    moment, other, kept = dt.datetime(2026, 1, 1, tzinfo=dt.UTC), Card(card_id=1), None
    scheduler, waits = Scheduler(enable_fuzzing=False), []
    for _ in range(6):
        kept, due, days = after(kept, Grade.RIGHT, moment)
        other, _log = scheduler.review_card(other, Rating.Good, moment)
        assert due == other.due
        assert days == pytest.approx(other.stability)
        waits.append(due - moment)
        moment = due
    assert waits == sorted(waits)
    assert days > KNOWN_DAYS
    _, soon, fewer = after(kept, Grade.WRONG, moment)
    assert soon - moment < dt.timedelta(days=1)
    assert fewer < days


def test_what_is_due_comes_before_what_is_new(actor):
    mine = Practice(actor)
    first = mine.new()
    assert [one.kind for one in first[:4]] == [PieceKind.NAME, PieceKind.SCALE, PieceKind.WORN, PieceKind.CALL]
    answer(actor, piece=CALLIPER, number=0, grade=Grade.WRONG)
    now = timezone.now()
    assert Practice(actor).next(now) == first[0]
    later = now + dt.timedelta(hours=1)
    assert Practice(actor).next(later) == CALLIPER
    assert Practice(actor).next(later, but=CALLIPER.key) == first[0]
    assert CALLIPER not in Practice(actor).new()


def test_each_colleague_has_their_own_and_who_teaches_sees_all(client, actor):
    other = Actor(actor.business, "Robin", is_person=True)
    for number in range(2):
        answer(other, piece=CALLIPER, number=number, grade=Grade.WRONG)
    answer(actor, piece=CALLIPER, number=0, grade=Grade.RIGHT)
    Practised.objects.filter(who=actor.name).update(kept_days=KNOWN_DAYS)
    robin, desk = learners(actor.business)
    assert (robin.who, robin.right, robin.answered, robin.hard) == ("Robin", 0, 2, ["Calliper"])
    assert (desk.hard, [one.known for one in desk.standing if one.kind is PieceKind.SCALE]) == ([], [1])
    text = page(client, "/primer/practice/learners/")
    assert "Robin right 0 of 2 times" in text
    assert "known 1 of 4" in text
    mine = page(client, "/primer/practice/")
    assert "Known: 1 of 4. Learning: 0." in mine


def test_another_business_s_learners_are_not_shown(actor, stranger_client):
    answer(actor, piece=CALLIPER, number=0, grade=Grade.WRONG)
    assert "Nobody has practised yet." in page(stranger_client, "/primer/practice/learners/")


def test_a_photo_that_was_marked_is_asked_for_until_its_mark_is_gone(client, actor, machine):
    photo = Attachment.objects.create(
        business=actor.business, machine=machine, what="photo", name="a.jpg", kind="image/jpeg", size_bytes=1,
        file=_kept(actor), width=40, height=30,
    )  # fmt: skip
    name = PartName.objects.create(photo=photo, part="idler", tip_x=10, tip_y=50, at_x=60, at_y=10)
    (piece,) = [one for one in Practice(actor).pieces if one.kind is PieceKind.PHOTO]
    text = client.get(address(piece)).content.decode()
    assert f"/photos/{photo.pk}/page" in text
    assert re.findall(r"<text [^>]*>([^<]*)</text>", text) == ["?"]
    shown = client.post(address(piece), {"number": "0", "answer": "idler"}, follow=True).content.decode()
    assert "Right:" in shown
    assert re.findall(r"<text [^>]*>([^<]*)</text>", shown) == ["idler"]
    client.post(f"/photos/names/{name.pk}/off/")
    assert client.get(address(piece)).status_code == 404
    assert "Name the part on a photo" not in page(client, "/primer/practice/")


def _kept(actor):
    from pitchline.desk.photos import store

    return store.put(actor.business, b"x")


@pytest.mark.parametrize("number", ["x", "-1", "9" * 30, "²"])
def test_odd_numbers_of_questions_do_no_harm(client, actor, number):
    assert client.get(address(CALLIPER), {"number": number}).status_code == 200
    assert client.post(address(CALLIPER), {"number": number, "answer": "1"}).status_code == 400
    assert client.get("/primer/practice/nothing/").status_code == 404


def test_a_part_is_pointed_at_by_its_letter_or_by_a_click_that_tells_no_name(client, actor):
    """The letter of the right answer leads to the drawing's own groups of that part, and to no other's."""
    pieces = [one for one in Practice(actor).pieces if one.kind is PieceKind.POINT]
    assert {one.name for one in pieces} >= {"idler", "sprocket", "shoe", "pad", "rubber_track"}
    for one in pieces:
        asked = Practice(actor).asked(one, 0)
        text = client.get(address(one)).content.decode()
        form = text[text.index('<form method="post" class="asked">') :]
        assert sorted(re.findall(r'name="answer" value="(\w)"', form)) == [key for key, _ in asked.choices]
        wide = str(asked.drawn[0])
        of_part = re.findall(
            r'<a href="\?number=0&amp;spot=(\w)#say"[^>]*><g[^>]* id="point-([a-z-]+?)-left', wide
        )
        kind = one.name.replace("_", "-")
        assert {letter for letter, drawn in of_part if drawn == kind} == {asked.right}
        assert {drawn for letter, drawn in of_part if letter == asked.right} == {kind}
        assert len(re.findall(r"<a href", wide)) - wide.count('tabindex="-1"') == len(asked.choices)
        pointed = client.get(address(one), {"number": 0, "spot": asked.right}).content.decode()
        assert f'<button class="go" name="answer" value="{asked.right}">' in pointed
        assert Practised.objects.count() == 0, "pointing writes nothing; saying does"
    other = next(key for key, _ in asked.choices if key != asked.right)
    assert "No." in page(client, client.post(address(one), {"number": 0, "answer": other})["Location"])
    assert not Practised.objects.get().last_right
