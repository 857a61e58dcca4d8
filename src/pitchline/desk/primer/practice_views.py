"""Practice: what is due, one piece at a time, how far each colleague is. An answer is written down, then shown by its address."""

from urllib.parse import urlencode

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from pitchline.desk.clock import today
from pitchline.desk.downloads import sent_file
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import as_sent
from pitchline.desk.primer import practice as of_practice
from pitchline.desk.primer.forms import LAST_NUMBER, AnswerForm
from pitchline.desk.primer.models import Practised
from pitchline.desk.primer.pieces import Asked, Piece, PieceKind, grade_of
from pitchline.desk.primer.practice import Practice
from pitchline.desk.primer.schedule import Grade
from pitchline.desk.primer.slides import slides_of
from pitchline.desk.problems import problems_of
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.units import parse_length
from pitchline.words import translated


@require_safe
def practice(request: DeskRequest) -> HttpResponse:
    """What is due, and everything there is to practise."""
    mine, now = Practice(request.actor), timezone.now()
    after = mine.next(now)
    context = {
        "due": len(mine.due(now)),
        "new": len(mine.new()),
        "after": _address(after) if after else "",
        "again_at": mine.again_at(),
        "kinds": [(one, _address(mine.next_of(one.kind, now)), _rows(mine, one.kind)) for one in mine.standing()],
        "now": now,
    }
    return render(request, "primer/practice.html", context)


def _address(piece: Piece) -> str:
    return reverse("primer-piece", args=[piece.mark])


def _rows(mine: Practice, kind: PieceKind) -> list[tuple[str, Practised]]:
    """What was asked already, by name; what was not has none yet, or it would tell the answer."""
    asked = [one for one in mine.pieces if one.kind is kind and one.key in mine.rows]
    return [(of_practice.title_of(one.key, mine.names), mine.rows[one.key]) for one in asked]


@require_http_methods(("GET", "HEAD", "POST"))
def piece(request: DeskRequest, mark: str) -> HttpResponse:
    """One question; with an answer in its address, how it went and why."""
    mine = Practice(request.actor)
    one = mine.piece(mark)
    sent = as_sent(request)
    text = sent.get("number", "")
    number = int(text) if text.isdecimal() and int(text[:9]) <= LAST_NUMBER else mine.number(one)
    if request.method == "POST":
        try:
            form = AnswerForm.of(request)
            asked = mine.asked(one, form["number"])
            grade = _graded(asked, form["answer"])
        except (InputError, NotAllowedError) as error:
            return _shown(request, mine, one, number, None, problems_of(error))
        of_practice.answer(request.actor, piece=one, number=form["number"], grade=grade)
        address = urlencode({"number": form["number"], "answer": form["answer"], "done": "1"})
        return redirect(f"{_address(one)}?{address}")
    return _shown(request, mine, one, number, sent.get("answer", "") if "done" in sent else None)


def _graded(asked: Asked, text: str) -> Grade:
    """How an answer went; nothing typed is not knowing yet."""
    if asked.choices or not text.strip():
        return grade_of(asked, None, text)
    return grade_of(asked, parse_length(text, asked.unit, translated("answer")).si * 1000, "")


def _shown(
    request: DeskRequest,
    mine: Practice,
    one: Piece,
    number: int,
    answer: str | None,
    problems: tuple[Problem, ...] = (),
) -> HttpResponse:
    asked, grade = mine.asked(one, number), None
    spot = as_sent(request).get("spot", "") if asked.spots else ""
    if answer is not None:
        try:
            grade = _graded(asked, answer)
        except NotAllowedError:
            answer = None
    after, now = mine.next(timezone.now(), one.key), mine.rows.get(one.key)
    context = {
        "piece": one,
        "title": translated(of_practice.KINDS[one.kind]),
        "number": number,
        "asked": asked,
        "drawn": asked.drawn if grade is None else asked.answered,
        "grade": grade.value if grade else "",
        "chosen": asked.said(answer or ""),
        "right": asked.right_said,
        "strict": _strict(asked, answer or ""),
        "spot": spot if spot in dict(asked.choices) else "",
        "answer": as_sent(request).get("answer", ""),
        "again_at": now.due_at if now is not None and now.answered > number else None,
        "after": _address(after) if after is not None else "",
        "problems": problems,
    }
    return render(request, "primer/piece.html", context, status=400 if problems else 200)


def _strict(asked: Asked, key: str) -> str:
    """Whether a wrong answer was too hopeful or too strict; empty where one cannot say."""
    if key not in asked.ranks or asked.right not in asked.ranks:
        return ""
    return "strict" if asked.ranks[key] > asked.ranks[asked.right] else "hopeful"


@require_safe
def learners(request: DeskRequest) -> HttpResponse:
    """How far each colleague is, for whoever teaches."""
    return render(request, "primer/learners.html", {"learners": of_practice.learners(request.actor.business)})


@require_safe
def slides(request: DeskRequest) -> HttpResponse:
    """The primer as slides, with the business's own machines."""
    return sent_file(slides_of(request.actor.business, today()), "application/pdf", "primer-slides.pdf")
