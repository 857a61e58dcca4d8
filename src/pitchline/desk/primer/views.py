"""The primer's pages: nothing is written, so everybody signed in and every phone let in may read them."""

from enum import StrEnum
from typing import TypeVar

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import MOST_NAME, as_sent
from pitchline.desk.primer import drawings, pages
from pitchline.desk.primer.lessons import AFTER_PARTS, AFTER_SEEN, FIRST, LESSONS
from pitchline.desk.primer.queries import example_of, seen_at
from pitchline.trade.consequences import CONSEQUENCES, FindingKind, why_it_matters
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind
from pitchline.words import say
from pitchline.words.speaking import capital

_Kind = TypeVar("_Kind", bound=StrEnum)


def _kind(kind: type[_Kind], text: str) -> _Kind:
    try:
        return kind(text)
    except ValueError:
        raise Http404("The primer has no such page.") from None


@require_safe
def contents(request: DeskRequest) -> HttpResponse:
    """What there is to learn, in its order, and a search for words."""
    query = as_sent(request).get("q", "").strip()[:MOST_NAME]
    context = {
        "query": query,
        "found": pages.found(query),
        "drawn": drawings.drawn(drawings.STEEL),
        "first": [(*pages.to_lesson(one), one.about) for one in FIRST],
        "parts": [(*pages.to_part(one), pages.part_told(one, "does")) for one in pages.PARTS_IN_ORDER],
        "after": [(*pages.to_lesson(one), one.about) for one in AFTER_PARTS],
        "seen": sorted(map(pages.to_finding, FindingKind)),
        "last": [(*pages.to_lesson(one), one.about) for one in AFTER_SEEN],
    }
    return render(request, "primer/contents.html", context)


@require_safe
def part(request: DeskRequest, part: str) -> HttpResponse:
    """One part: where it sits, what it does, how it wears and is read, what ends it, what is seen on it."""
    kind = _kind(PartKind, part)
    example = example_of(request.actor.business, kind)
    own = example.gear if example is not None else None
    drawn = drawings.drawn(own, kind) if own is not None else None
    gear = drawings.made_up_for(kind) if own is None or drawn is None else own
    name, href = pages.to_part(kind)
    context = {
        "name": name,
        "told": {what: pages.part_told(kind, what) for what in ("sits", "does", "wears", "ends")},
        "also": pages.also_called(kind),
        "drawn": drawn or drawings.drawn(gear, kind),
        "example": example,
        "own": drawn is not None,
        "reads": pages.reads(kind),
        "grades": pages.grades(part=kind),
        "cautions": pages.cautions_beside(JobKind.INVESTIGATE, kind, gear),
        "turns": kind is PartKind.BUSH,
        "moving": drawings.moving(kind.value),
        "beside": pages.beside(href),
    }
    return render(request, "primer/part.html", context)


@require_safe
def finding(request: DeskRequest, finding: str) -> HttpResponse:
    """One thing that is seen: what it is, how to see it, why it matters, what it leads to."""
    kind = _kind(FindingKind, finding)
    example = seen_at(request.actor.business, kind)
    first = example.part if example is not None else CONSEQUENCES[kind].parts[0]
    gear = drawings.made_up_for(first)
    context = {
        "name": pages.to_finding(kind)[0],
        "what": pages.finding_told(kind, "is"),
        "how": pages.finding_told(kind, "how"),
        "why": capital(say(why_it_matters(kind))),
        "example": example,
        "grades": pages.grades(kind),
        "causes": pages.causes_of(kind),
        "cautions": pages.cautions_beside(CONSEQUENCES[kind].job, first, gear),
        "drawn": drawings.drawn(gear, first),
    }
    return render(request, "primer/finding.html", context)


_LISTED = {
    "measuring": pages.quantities_told,
    "patterns": pages.signs_told,
    "causes": pages.causes_told,
    "jobs": pages.jobs_told,
}


@require_safe
def lesson(request: DeskRequest, lesson: str) -> HttpResponse:
    """One lesson in short steps, with its drawings."""
    one = LESSONS.get(lesson)
    if one is None:
        raise Http404("The primer has no such page.")
    gears = drawings.OF_LESSON.get(lesson, ())
    context = {
        "lesson": one,
        "drawn": [
            (drawings.called(gear), drawings.drawn(gear, prefix=f"gear{nth}")) for nth, gear in enumerate(gears)
        ],
        "stages": drawings.stages(lesson),
        "moving": drawings.moving(lesson),
        "listed": _LISTED[lesson]() if lesson in _LISTED else (),
        "pictured": lesson == "measuring",
        "cautions": pages.careful(one.cautions),
        "beside": pages.beside(pages.to_lesson(one)[1]),
    }
    return render(request, "primer/lesson.html", context)
