"""The page of ground fit: one machine, asked by address alone."""

import uuid

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.groundfit.pages import ground_page
from pitchline.desk.groundfit.queries import MOST_LISTED, other_of, others_of
from pitchline.desk.groundfit.question import GROUND_ENDS, SIZES, SOILS, GroundQuestion, asked_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import as_sent
from pitchline.ground.describe import MOISTURES, BootTest, ThumbTest
from pitchline.ground.shoes import ShoeKind, fitted_kind
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.words import translated


@require_safe
def ground_fit(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Whether a machine suits a ground, which shoes it should wear, and another machine beside it."""
    business = request.actor.business
    one = machine_of(business, machine_id)
    dossier = known_dossier(one)
    if dossier is None:
        return render(request, "groundfit/ground.html", {"machine": one})
    asked = asked_of(as_sent(request), fitted_kind(dossier.gear), business.numbers)
    other, theirs = _beside(business, asked)
    taken_as_flat = fitted_kind(dossier.gear) is ShoeKind.FLAT and not asked.text("kind")
    context = _form(asked, one, business) | {"dossier": dossier, "taken_as_flat": taken_as_flat}
    if not asked.problems and (
        dossier.machine.mass_kg or asked.text("mass")
    ):  # without it every answer is unknown
        try:
            context["shown"] = ground_page(dossier, one.name, asked, theirs, other.name if other else "")
        except NotAllowedError as error:
            asked.problems.append(error.problem)
    status = 400 if asked.problems else 200
    return render(request, "groundfit/ground.html", context | {"problems": asked.problems}, status=status)


def _beside(business: Business, asked: GroundQuestion) -> tuple[Machine | None, Dossier | None]:
    """The machine to compare with; one that is not there is a problem."""
    text = asked.text("beside")
    if not text:
        return None, None
    other = other_of(business, text)
    if other is None:
        step = translated("Pick one from the list.")
        asked.problems.append(Problem("Machine beside it", text, "a machine of this yard", step))
        return None, None
    try:
        return other, known_dossier(other)
    except (InputError, NotAllowedError):
        step = translated("Correct that machine's file first.")
        asked.problems.append(Problem("Machine beside it", other.name, "one whose file can be read", step))
        return None, None


def _form(asked: GroundQuestion, machine: Machine, business: Business) -> dict[str, object]:
    typed = asked.typed
    others = others_of(business, machine)
    return {
        "machine": machine,
        "typed": dict.fromkeys(("vane", "cone", "remould", "slope", "load", "reach", "shoes"), "") | dict(typed),
        "any": any(text.strip() for text in typed.values()),
        "grounds": [
            {
                "number": place,
                "end": end,
                "soil": typed.get(f"soil{end}", ""),
                "share": typed.get(f"share{end}", ""),
                "called": asked.form.fields[f"soil{end}"].label,
                "share_called": asked.form.fields[f"share{end}"].label,
            }
            for end, place in GROUND_ENDS.items()
        ],
        "more_grounds": any(
            typed.get(f"{name}{end}") for end in list(GROUND_ENDS)[1:] for name in ("soil", "share")
        ),
        "soils": SOILS,
        "moistures": MOISTURES,
        "thumbs": list(ThumbTest),
        "boots": list(BootTest),
        "kinds": list(ShoeKind),
        "sizes": [
            {"name": size[0], "label": size[2], "unit": size[3], "typed": typed.get(size[0], "")} for size in SIZES
        ],
        "tests_typed": any(typed.get(name) for name in ("thumb", "boot", "vane", "cone", "remould")),
        "sizes_typed": any(typed.get(size[0]) for size in SIZES),
        "others": others,
        "others_full": len(others) == MOST_LISTED,
    }
