"""Reading the gear list, always inside one business."""

import uuid
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import OuterRef, QuerySet, Subquery, UUIDField
from django.http import Http404

from pitchline.desk.bridge.constant_rows import Constants
from pitchline.desk.constants import constants_in_force, learned_of
from pitchline.desk.gearbook.models import BookEntry, BookVersion, Fitting
from pitchline.desk.gearbook.parts import Changed, changes_between, fitted_text, loaded_object
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import depots_seen
from pitchline.exchange.machine_file import machine_from_json
from pitchline.outlook.learned import Learned
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.words.catalogue import refused

MOST_SHOWN = 200
MOST_VERSIONS = 50


def entries_of(business: Business) -> QuerySet[BookEntry]:
    """Every entry of a business, those put away too."""
    return BookEntry.objects.filter(business=business)


def anything_in(business: Business) -> bool:
    """Whether the gear list has an entry to choose."""
    return entries_of(business).filter(put_away_at=None).exists()


def machines_on(business: Business) -> Counter[uuid.UUID | None]:
    """How many machines have each entry now, by its id."""
    found = machines_with_fit(business)
    return Counter(found.values_list("book_entry", flat=True))  # type: ignore[misc]  # annotated there


def versions_of(entry: BookEntry) -> list[BookVersion]:
    """The newest versions of an entry; a reason that names a machine of a depot whoever asks does not see is left out."""
    versions, depots = list(entry.versions.all()[:MOST_VERSIONS]), depots_seen()
    if depots is not None:
        others = Machine._base_manager.filter(business=entry.business).exclude(depot__in=depots)
        names = [each for pair in others.values_list("name", "short_name") for each in pair if each]
        for one in versions:
            if any(name in one.why for name in names):
                one.why = ""
    return versions


def entry_of(business: Business, entry_id: uuid.UUID) -> BookEntry:
    """One entry; not found where it is another business's."""
    found = BookEntry.objects.filter(business=business, pk=entry_id).first()
    if found is None:
        raise Http404("No such running gear in this list.")
    return found


def _newest(machine: OuterRef) -> QuerySet[Fitting]:
    return Fitting.objects.filter(machine=machine, undone_at=None).order_by("-pk")


def machines_with_fit(business: Business) -> QuerySet[Machine]:
    """Machines still in use, each with the entry and version it has from the gear list; one query however many."""
    newest = _newest(OuterRef("pk"))
    return (
        Machine.objects.filter(business=business, archived_at=None)
        .annotate(
            book_entry=Subquery(newest.values("entry_id")[:1], output_field=UUIDField()),
            book_name=Subquery(newest.values("entry__name")[:1]),
            book_version=Subquery(newest.values("version")[:1]),
            book_newest=Subquery(newest.values("entry__version")[:1]),
        )
        .defer("file_text", "not_judged_because")
        .order_by("name", "pk")
    )


def fit_of(machine: Machine) -> Fitting | None:
    """What a machine has from the gear list; None where nothing is."""
    return Fitting.objects.filter(machine=machine, undone_at=None).select_related("entry").first()


def gear_names(machine: Machine) -> tuple[str, ...]:
    """Names by which prices know the entry a machine has: its own first, then those it had and no other entry has now."""
    fitting = fit_of(machine)
    if fitting is None:
        return ()
    entry, had = fitting.entry, BookVersion.objects.filter(entry=fitting.entry_id).values_list("name", flat=True)
    others = BookEntry.objects.filter(business=entry.business_id).exclude(pk=entry.pk)
    taken = set(others.values_list("name", flat=True))
    return entry.name, *(name for name in dict.fromkeys(had) if name != entry.name and name not in taken)


def on_machines(entry: BookEntry) -> list[Machine]:
    """Machines that have this entry now, whatever version."""
    found = machines_with_fit(entry.business)
    return list(found.filter(book_entry=entry.pk))  # type: ignore[misc]  # annotated there


@dataclass(frozen=True, slots=True)
class Fit:
    """What fitting would do to one machine.

    Parameters
    ----------
    machine : Machine
        The machine.
    changes : tuple of Changed
        What would change; empty where it has all of it already.
    problems : tuple of str
        Why it cannot be fitted; empty where it can.
    """

    machine: Machine
    changes: tuple[Changed, ...]
    problems: tuple[str, ...]


def fits_of(business: Business, entry: BookEntry, chosen: Sequence[uuid.UUID]) -> list[Fit]:
    """What fitting an entry would do, machine by machine; nothing is changed."""
    machines = Machine.objects.filter(business=business, pk__in=chosen).order_by("name", "pk")
    return [_fit(machine, entry) for machine in machines]


def _fit(machine: Machine, entry: BookEntry) -> Fit:
    changes = changes_between(loaded_object(machine.file_text), loaded_object(entry.text))
    try:
        machine_from_json(fitted_text(machine, entry.text), machine.short_name)
    except (InputError, NotAllowedError) as error:
        problems = error.problems if isinstance(error, InputError) else (error.problem,)
        return Fit(machine, changes, tuple(refused(problem) for problem in problems))
    return Fit(machine, changes, ())


def last_batch(business: Business, entry: BookEntry | None = None) -> Fitting | None:
    """The newest fitting that can still be undone."""
    found = Fitting.objects.filter(machine__business=business, undone_at=None).select_related("machine")
    return (found.filter(entry=entry) if entry is not None else found).first()


def batch_of(business: Business, batch: uuid.UUID) -> QuerySet[Fitting]:
    """The fittings made in one go, still to be undone; not found where none is, or they are another business's."""
    found = Fitting.objects.filter(batch=batch, undone_at=None, machine__business=business)
    if not found.exists():
        raise Http404("No running gear was given so in this yard, or it was taken back already.")
    return found.select_related("machine", "entry")


def learned_here(business: Business) -> tuple[Constants, Learned] | None:
    """What stands beside entered limits: the constants in force."""
    row = constants_in_force(business)
    learned = learned_of(row)
    return (row, learned) if row is not None and learned is not None else None
