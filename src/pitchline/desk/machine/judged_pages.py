"""The parts of a machine's pages that rest on one judgement alone, drawn once and kept with it, written as it was."""

import hashlib
from dataclasses import replace
from urllib.parse import quote

from django.http import Http404
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from pitchline.desk.bridge.figures import verdict_of, verdict_seen
from pitchline.desk.drawing import SMALL, WIDE, inline
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.pages import machine_page, part_figures
from pitchline.desk.machine.papers import offered
from pitchline.desk.people.who import prices_seen
from pitchline.desk.piece_cache import cached, is_cached
from pitchline.papers.advert import advert_text
from pitchline.papers.names import place_said
from pitchline.picture.gear_side import gear_svg
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.parts import Place, Side
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import Writing, way_in_force, writing
from pitchline.verdict import Verdict


def piece_key(
    machine: Machine, side: Side | None, units: UnitSystem, priced: bool, judgement_id: object
) -> tuple[str, ...]:
    """Under what the pieces of a machine's page are kept; without a side, with the pressing one drawn."""
    drawn = side.value if side else "pressing"
    return "machine", str(judgement_id), drawn, units.value, str(priced), machine.business.language, *_without()


def _without() -> tuple[str, ...]:
    """What more a piece is kept under for whoever sees no prices."""
    return () if prices_seen() else ("no prices",)


def _way(machine: Machine, verdict: Verdict) -> Writing:
    """Figures as they were written when it was judged, words in the language of now: a verdict is codes and values."""
    return replace(verdict.writing, language=machine.business.language)


def judged_piece(
    machine: Machine,
    judgement: Judgement,
    side: Side | None,
    units: UnitSystem,
    priced: bool,
) -> dict[str, SafeString]:
    """What a machine's page shows of its judgement: headline figures, drawing, jobs and parts as `main`; `papers`; `rests`.

    For whoever sees no prices without worth, offer and the papers that say prices.
    """

    def make() -> dict[str, str]:
        verdict, papers = verdict_seen(judgement), offered(verdict_of(judgement), priced)
        names = {"main": "judged", "papers": "papers", "rests": "rests"}
        with writing(_way(machine, verdict)):
            context = {
                "machine": machine,
                "judgement": judgement,
                "shown": machine_page(machine, verdict, side, units),
                "papers": [one for one in papers if one[0].endswith(".pdf")],
                "files": [one for one in papers if not one[0].endswith(".pdf")],
                "advert": advert_text(verdict, units, machine.asking_price if prices_seen() else None),
                "priced": priced,
                "prices_seen": prices_seen(),
            }
            return {
                name: render_to_string(f"machine/{template}.html", context) for name, template in names.items()
            }

    texts = cached(piece_key(machine, side, units, priced, judgement.pk), make, str(judgement.pk))
    return {name: mark_safe(text) for name, text in texts.items()}  # noqa: S308  a template's own output, escaped there


def gear_piece(machine: Machine, dossier: Dossier, units: UnitSystem) -> SafeString:
    """What a machine's page shows of its running gear before anything is judged: the drawing, and the blank sheet to print."""

    def make() -> dict[str, str]:
        new = {
            (place, limit.measurand): limit.new_m
            for limit in dossier.limits
            for place in dossier.gear.places()
            if place.part is limit.part
        }
        context: dict[str, object] = {"machine": machine}
        try:
            for name, width in (("side", WIDE), ("sidesmall", SMALL)):
                context[name] = inline(gear_svg(dossier.gear, width, units, prefix=name, new=new), name, {})
        except NotAllowedError:
            context["not_drawn"] = True
        return {"gear": render_to_string("machine/gear-drawn.html", context)}

    said = hashlib.sha256(machine.file_text.encode()).hexdigest()
    key = ("gear", str(machine.pk), said, units.value, repr(way_in_force()))
    return mark_safe(cached(key, make, str(machine.pk))["gear"])  # noqa: S308  a template's own output, escaped there


def is_drawn(machine: Machine, priced: bool) -> bool:
    """Whether the machine's page finds its drawing made."""
    return is_cached(piece_key(machine, None, UnitSystem(machine.business.units), priced, machine.judgement_id))


def draw(machine: Machine, judgement: Judgement, priced: bool) -> None:
    """Nothing comes out; afterwards the machine's page finds its drawing made; the other side and each part's page take less."""
    judged_piece(machine, judgement, None, UnitSystem(machine.business.units), priced)


def part_piece(
    machine: Machine, judgement: Judgement, place: Place, dossier: Dossier, units: UnitSystem
) -> dict[str, str]:
    """What a part's page shows of the judgement: its name as `name`, and its call, drawings and figures as `figures`.

    Raises
    ------
    Http404
        The judgement has no such part.
    """

    def make() -> dict[str, str]:
        verdict = verdict_seen(judgement)
        if place not in [each.place for each in verdict.parts]:
            raise Http404("This machine has no such part.")
        with writing(_way(machine, verdict)):
            shown = part_figures(machine, verdict, dossier, place, units)
            here = reverse("part", args=(machine.pk, place.key))
            about = {"machine": machine, "shown": shown, "and_back": f"?next={quote(here)}"}
            figures = render_to_string("machine/part-figures.html", about)
            return {"name": place_said(place, verdict.gear), "figures": figures}

    texts = cached(
        ("part", str(judgement.pk), place.key, units.value, machine.business.language, *_without()),
        make,
        str(judgement.pk),
    )
    return texts | {"figures": mark_safe(texts["figures"])}  # noqa: S308  a template's own output, escaped there
